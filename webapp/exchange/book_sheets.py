"""Every sheet of a whole book, described once and made from the shapes of its records.

Lines of a record are sheets of their own that say what they belong to; things are named, never numbered.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.describing import Field, Many, Part, Rows, Shape
from webapp.costing.everything import dated_parts
from webapp.costing.shapes import SHAPES
from webapp.costing.size_shapes import SIZE_QUESTION
from webapp.costing.supposing import LINES, SUPPOSITION
from webapp.exchange.book_words import BESIDE, EXAMPLES, HEADS, INNER, NAMED, SHEETS, UNITS

#: the columns that say what a line belongs to, and that name what has no name of its own
OWNER, OWNER_SINCE, CALLED = "belongs_to", "belongs_to_from", "called"
#: kinds whose things have no name: they are called by what they are about
UNNAMED = b.EVENTS
SINGLE = ("workshop", "terms")
#: in the order in which one may refer to another
ORDER = tuple(SHEETS)
#: what is kept beside the book: nothing is reckoned from it, and no change makes it
WHAT_IF, SIZE_NOTE = BESIDE
AS_TYPED = "as_typed"
YES, NO = "yes", "no"
_MOMENT = Field("kept", lim.Text(40))
_TYPED = Field(AS_TYPED, lim.NOTE)
_SUPPOSED = replace(SUPPOSITION, fields=(*SUPPOSITION.fields, _TYPED))
_KEPT = {
    WHAT_IF: Shape(dict, (Field("name", lim.NAME, True), _MOMENT, Field(LINES.name, Rows(_SUPPOSED, ())))),
    SIZE_NOTE: Shape(
        dict,
        (
            Field("about_product", lim.Reference("product")),
            Field("about_formula", lim.Reference("formula")),
            Field("day", lim.DAY, True),
            Field("sentence", lim.NOTE, True),
            Field("figures", lim.NOTE),
            _MOMENT,
            *SIZE_QUESTION.fields,
            _TYPED,
        ),
    ),
}
_WORDS = SHEETS | BESIDE
_KEPT_PRICE = lim.Number(lim.SIGNED_MONEY.low, lim.SIGNED_MONEY.high, 6, money=True)


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its key in the program and in JSON, its head, what its cells are, and what is said of it.

    `refers` is the kind of thing that its cells name. `inner` says that it is a field of a part of the record.
    """

    key: str
    head: str
    kind: Any
    unit: str = ""
    required: bool = False
    example: str = ""
    refers: str = ""
    field: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """The head with its unit, for a file."""
        return f"{self.head}, {self.unit}" if self.unit else self.head

    @property
    def is_number(self) -> bool:
        """Whether its cells are amounts."""
        return isinstance(self.kind, lim.Number)


@dataclass(frozen=True, slots=True)
class BookSheet:
    """One sheet: of a kind of record, or (with `inner`) of the lines, parts or list that one of its fields holds."""

    key: str
    title: str
    kind: str
    about: str
    columns: tuple[Column, ...]
    shape: Shape
    inner: str = ""
    many: bool = False

    def column(self, key: str) -> Column | None:
        """The column of that key; None where there is none."""
        return next((one for one in self.columns if one.key == key), None)


@cache
def shape_of(kind: str) -> Shape:
    """The shape of a kind with what a price keeps beside it, which nobody types."""
    shape = _KEPT[kind] if kind in _KEPT else SHAPES[kind]
    if kind != "price":
        return shape
    kept = (Field("floor", _KEPT_PRICE), Field("suggested", _KEPT_PRICE))
    return replace(shape, fields=(*shape.fields, *kept))


@cache
def sheets() -> tuple[BookSheet, ...]:
    """All sheets, what is referred to before what refers."""
    return tuple(one for kind in (*ORDER, *BESIDE) for one in _of_kind(kind))


@cache
def sheet(key: str) -> BookSheet | None:
    """The sheet of that key."""
    return next((one for one in sheets() if one.key == key), None)


@cache
def main_sheet(kind: str) -> BookSheet:
    """The sheet of a kind's records."""
    return next(one for one in sheets() if one.kind == kind and not one.inner)


@cache
def inner_sheets(kind: str) -> tuple[BookSheet, ...]:
    """The sheets of what the records of a kind hold."""
    return tuple(one for one in sheets() if one.kind == kind and one.inner)


@cache
def is_dated(kind: str) -> bool:
    """Whether a kind has versions, each from its day on."""
    return kind not in (*UNNAMED, *BESIDE) and any(one.name == "since" for one in SHAPES[kind].fields)


@cache
def can_retire(kind: str) -> bool:
    """Whether things of a kind can be put away."""
    return "retired" in getattr(b.KINDS.get(kind), "__dataclass_fields__", {})


def _of_kind(kind: str) -> Iterator[BookSheet]:
    shape = shape_of(kind)
    title, _, about = _WORDS[kind]
    columns = [*_identity(kind, shape), *_columns(shape, kind)]
    if can_retire(kind):
        columns.append(Column("retired", HEADS["retired"], lim.DAY, example="2026-06-30"))
    yield BookSheet(_key(title), title, kind, about, tuple(columns), shape)
    parts = _dated(kind)
    for one in shape.fields:
        if isinstance(one.kind, Rows | Many) or one.name in parts:
            yield _inner(kind, one)


def _inner(kind: str, held: Field) -> BookSheet:
    title = INNER.get((kind, held.name)) or f"{_WORDS[kind][0]}, {_plain(held.name)}"
    owner = [Column(OWNER, "Belongs to", lim.NAME, "", True, NAMED.get(kind, ""), kind)]
    if is_dated(kind) and not isinstance(held.kind, Part):
        owner.append(Column(OWNER_SINCE, "Belongs to, from", lim.DAY, "", False, "2026-01-15"))
    noun = _WORDS[kind][1]
    if isinstance(held.kind, Many):
        one = Field(held.name, held.kind.kind, True)
        shape = Shape(SHAPES[kind].record, (one,))
        column = _column(one, kind, (held.name,))
        about = f"One row for each that a {noun} names; none: all of them."
        return BookSheet(_key(title), title, kind, about, (*owner, column), shape, held.name, many=True)
    shape = held.kind.shape  # type: ignore[union-attr]
    about = f"What belongs to each {noun}: a row each, in their order."
    if isinstance(held.kind, Part):
        about = f"The {_plain(held.name)} of each {noun}, each from a day on."
    return BookSheet(_key(title), title, kind, about, (*owner, *_columns(shape, "")), shape, held.name)


def _identity(kind: str, shape: Shape) -> Iterator[Column]:
    if kind in (*UNNAMED, SIZE_NOTE):
        yield Column(CALLED, _WORDS[kind][1].capitalize(), lim.Text(400), "", False, NAMED[kind])
    for given in shape.given:
        if given != "id":
            yield Column(given, given.capitalize(), lim.NAME, "", True, NAMED[given], given)


def _columns(shape: Shape, kind: str, above: tuple[str, ...] = ()) -> Iterator[Column]:
    """The columns of a shape; a part without days of its own stands in columns beside the rest."""
    dated = _dated(kind)
    for one in shape.fields:
        if isinstance(one.kind, Rows | Many) or one.name in dated:
            continue
        if isinstance(one.kind, Part):
            yield from _columns(one.kind.shape, "", (*above, one.name))
        else:
            yield _column(one, kind or shape.record.__name__.lower(), (*above, one.name))


def _column(one: Field, kind: str, path: tuple[str, ...]) -> Column:
    key = "_".join(path)
    refers = one.kind.kind if isinstance(one.kind, lim.Reference) else ""
    head = _said(HEADS, kind, key) or _plain(key).capitalize()
    required = one.required and len(path) == 1
    return Column(key, head, one.kind, _unit(one, kind, key), required, _example(one, kind, key), refers, path)


def _dated(kind: str) -> set[str]:
    return {one.name for one, _ in dated_parts(kind)} if kind in SHAPES else set()


def _said(words: dict[str, str], kind: str, key: str) -> str:
    return words.get(f"{kind}.{key}") or words.get(key, "")


def _unit(one: Field, kind: str, key: str) -> str:
    told = _said(UNITS, kind, key)
    if told or not isinstance(one.kind, lim.Number):
        return told
    return one.kind.beside[0] if one.kind.beside else ""


def _example(one: Field, kind: str, key: str) -> str:
    if isinstance(one.kind, lim.Reference):
        return NAMED[one.kind.kind]
    told = _said(EXAMPLES, kind, key)
    if told:
        return told
    if isinstance(one.kind, lim.Number):
        return "12" if one.kind.places == 0 else "12.5"
    if isinstance(one.kind, lim.Choice):
        return next(option for option in one.kind.options if option)
    return {lim.Day: "2026-01-15", lim.Flag: "yes"}.get(type(one.kind), "")


def _plain(name: str) -> str:
    return name.replace("_", " ")


def _key(title: str) -> str:
    return "".join(letter if letter.isalnum() else "_" for letter in title.lower())
