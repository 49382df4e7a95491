"""What a template draws a form from: texts, faults, questions, and what its save is sent with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any

from markupsafe import Markup

from webapp.costing import limits
from webapp.costing.amounts import Notation
from webapp.costing.checks import Question
from webapp.costing.describing import Field, Many, Part, Rows, Shape
from webapp.pages.typed import SURE


@dataclass(frozen=True, slots=True)
class Form:
    """A form to be drawn: texts as typed or as stored, faults and questions, and what its save is sent with."""

    action: str
    shape: Shape
    texts: Mapping[str, str]
    token: str
    epoch: str
    version: str
    faults: tuple[tuple[str, str], ...] = ()
    questions: tuple[Question, ...] = ()
    sure: frozenset[str] = frozenset()
    stopped: bool = False
    """Whether the save waits for these questions; else they are only said, where a change is looked at."""
    keeps: bool = True
    """Whether a page that shows it again shows all that was typed: a passphrase is not."""
    extra: Mapping[str, int] = field(default_factory=dict)
    """More blank lines that were asked for, by the name of the lines."""
    draft: str = ""
    page: str = ""
    """Where what is typed is kept until it is saved: the form's own mark, and the page that it stands on."""
    labels: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    """What fields and lines are called on the page, noted as they are drawn."""

    asking_lines: set[str] = field(default_factory=set, compare=False, repr=False)
    """The lines of the page that ask their questions themselves, noted as they are drawn."""

    def named(self, path: str, label: str) -> str:
        """The label of a field or a line, noted as plain words so that the list of faults can name it."""
        self.labels[path] = label.striptags() if isinstance(label, Markup) else label
        return label

    def called(self, path: str) -> str:
        """What a field is called on this page, with its line: "Line 2, Amount"; "" of what has no label."""
        prefix, _, rest = path.partition("-")
        line = self.labels.get(f"{prefix}-{rest.partition('-')[0]}", "") if "-" in rest else ""
        return ", ".join(word for word in (line, self.labels.get(path, "")) if word)

    def asked_at(self, line: str) -> tuple[Question, ...]:
        """The questions about one line, to be answered there; the line is noted as one that asks them."""
        self.asking_lines.add(line)
        return tuple(one for one in self.questions if f"{self._at(one)}-".startswith(f"{line}-"))

    def _at(self, question: Question) -> str:
        """The field that a question is about; among many prices, the line of the one that it is about."""
        if question.pair is None:
            return question.field
        product, channel = map(str, question.pair)
        lines = (name.removesuffix("-product") for name, text in self.texts.items() if text == product)
        return next((one for one in lines if self.texts.get(f"{one}-channel") == channel), question.field)

    def line_of(self, question: Question) -> str:
        """The line, as it is drawn on this page, that a question stands at; "" where it is about none."""
        prefix, _, rest = self._at(question).partition("-")
        line = f"{prefix}-{rest.partition('-')[0]}"
        return line if rest and line in self.asking_lines else ""

    @property
    def at_lines(self) -> tuple[Question, ...]:
        """The questions that stand at a line of this page."""
        return tuple(one for one in self.questions if self.line_of(one))

    @property
    def elsewhere(self) -> tuple[Question, ...]:
        """The questions that stand at no line: they are asked below the form."""
        return tuple(one for one in self.questions if not self.line_of(one))

    @property
    def answered_before(self) -> tuple[str, ...]:
        """Answers to what is not asked on this page just now: carried along, so that no tick is lost."""
        return tuple(sorted(self.sure - {one.answer for one in self.questions}))

    @property
    def begins(self) -> str:
        """The first field of the blank lines that were asked for: whoever added them by keyboard types on there."""
        for prefix in self.extra:
            found = field_at(self.shape, prefix)
            if found is not None and isinstance(found.kind, Rows):
                return f"{prefix}-{self.typed_rows(prefix)}-{found.kind.keys[0]}"
        return ""

    def value(self, path: str) -> str:
        """The text of a field; of a line that nobody has touched, what it starts with."""
        if path in self.texts:
            return self.texts[path]
        return default_text(self.shape, path) if self._untouched(path) else ""

    def _untouched(self, path: str) -> bool:
        prefix, _, rest = path.partition("-")
        row = rest.partition("-")[0]
        return row == "__n__" or (row.isdigit() and int(row) >= self.typed_rows(prefix))

    def fault(self, path: str) -> str:
        """What is wrong at a field, or ""."""
        return next((sentence for at, sentence in self.faults if at == path), "")

    def attrs(self, path: str) -> dict[str, Any]:
        """Attributes that tell the browser the limits of a field."""
        found = field_at(self.shape, path)
        if found is None or isinstance(found.kind, Part | Rows | Many):
            return {}
        return limits.attributes(found.kind)

    def checked(self, path: str, value: object) -> bool:
        """Whether a box or a choice is ticked."""
        if path == SURE:
            return str(value) in self.sure
        if self.value(path) == str(value):
            return True
        return any(name.startswith(f"{path}-") and text == str(value) for name, text in self.texts.items())

    def typed_rows(self, prefix: str) -> int:
        """How many lines have been filled in."""
        numbers = (name[len(prefix) + 1 :].partition("-")[0] for name in self.texts if name.startswith(f"{prefix}-"))
        return max((int(number) + 1 for number in numbers if number.isdigit()), default=0)

    def rows(self, prefix: str, least: int = 0) -> int:
        """How many lines to draw: those filled in and some blank ones; with `least`, so many and no spare ones."""
        typed = self.typed_rows(prefix)
        spare = (max(least - typed, 0) if least else 1 if typed else 3) + self.extra.get(prefix, 0)
        found = field_at(self.shape, prefix)
        most = found.kind.most if found and isinstance(found.kind, Rows) else limits.FIELDS
        return min(typed + spare, most)


def field_at(shape: Shape, path: str) -> Field | None:
    """The field of a shape that a path names, or None."""
    found: Field | None = None
    here: Shape | None = shape
    for step in path.split("-"):
        if step.isdigit() or step == "__n__":
            continue
        found = next((one for one in here.fields if one.name == step), None) if here else None
        if found is None:
            return None
        here = found.kind.shape if isinstance(found.kind, Part | Rows) else None
    return found


def default_text(shape: Shape, path: str) -> str:
    """What a field of a line starts with. What makes a line count starts empty, or a spare line would count."""
    *way, last = [step for step in path.split("-") if not (step.isdigit() or step == "__n__")]
    here = shape
    for step in way:
        found = field_at(here, step)
        if found is None or not isinstance(found.kind, Part | Rows):
            return ""
        if isinstance(found.kind, Rows) and last in found.kind.keys:
            return ""
        here = found.kind.shape
    return defaults(here).get(last, "")


def defaults(shape: Shape) -> dict[str, str]:
    """What the bare fields of a record start with; no default is a fraction, so it reads the same everywhere."""
    found: dict[str, str] = {}
    for declared in fields(shape.record):
        known = next((one for one in shape.fields if one.name == declared.name), None)
        if known is None or isinstance(known.kind, Part | Rows | Many):
            continue
        value = None if declared.default is MISSING else declared.default
        found[declared.name] = "" if value is None else str(known.kind.show(value, Notation()))
    return found
