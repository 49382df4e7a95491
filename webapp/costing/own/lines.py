"""A formula of a maker's own sheet while its lines are gathered: amounts with their units, the size of a batch."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from webapp.costing import limits as lim
from webapp.costing.amounts import ONE, ZERO, Unreadable
from webapp.costing.called import Names
from webapp.costing.own import cells
from webapp.costing.own.cells import QUANTITY_PLACES, Read
from webapp.costing.own.lost import Lost, kind_of
from webapp.costing.own.made import Made, says_count, times
from webapp.costing.own.rows import Wrong, mark_of
from webapp.costing.own.spoons import spoon_in
from webapp.costing.own.told import Told
from webapp.costing.own.units import fraction_in
from webapp.costing.own.written import Written
from webapp.costing.units import MASS, VOLUME

#: from where to where amounts are thought to be fractions of one
NEAR_ONE = (Decimal("0.95"), Decimal("1.05"))
BATCH = re.compile(r"(?:batch(?: size)?|makes|yield|total batch|ansatz|charge)\b[\s:=]*(.*)", re.IGNORECASE)
STAGE = re.compile(
    r"(?:phase|stage)\s*\w*.*|(?:.*\b|(?!bi|tri|multi)\w{2,})phase(?:\s*[(\[:,\u2013-].*|\s+\w{1,2})?|cool[- ]?down|"
    r"heated",
    re.IGNORECASE,
)
_REST_TO = re.compile(
    r"(?:(?:q\.? ?s\.?|fill(?: up)?|add|make up|up|top up)?\s*(?:to|ad)\s+|q\.? ?s\.? ?p\.?\s*\u00e0?\s*)([0-9].*)",
    re.IGNORECASE,
)
#: what is written for the amount -> the unit of a formula's line, and its factor
_UNITS: dict[str, tuple[str, Decimal]] = {
    **dict.fromkeys(("%", "percent", "pct", "prozent", "% w/w"), ("percent", ONE)),
    **dict.fromkeys(("drop", "drops", "gtt", "tropfen", "gouttes", "gotas", "gocce"), ("drops", ONE)),
    **dict.fromkeys(("part", "parts", "teil", "teile", "partes", "parti"), ("part", ONE)),
    "ml": ("mL", ONE),
    "l": ("mL", Decimal(1000)),
}
#: what can be written for the unit of an amount beside what `written_units` knows
UNITS_SAID = frozenset(_UNITS)
WAYS = {"percent": "percent", "part": "parts", "g": "grams", "mL": "grams", "drops": "grams"}


@dataclass(frozen=True, slots=True)
class Amounts:
    """What was said of amounts: what bare ones are, and those of a formula (the mark of its name -> what they are)."""

    bare: str = ""
    of: Mapping[str, str] = field(default_factory=dict)
    written: Written = field(default=Written(), compare=False)
    """How figures are written in what is said of formulas."""
    below: str = ""
    """Whether what stands below the totals of formulas is "in" them or "out"."""
    counted: frozenset[str] = frozenset()
    """What is counted and not weighed, as names give it: it is in no formula."""
    titled: str = ""
    """The unit that the title of their sheet says of all of them."""

    def is_counted(self, known: Names, name: str) -> bool:
        """Whether a name means what is counted."""
        return known.meant(name).value in self.counted

    @property
    def unit(self) -> str:
        """The unit of bare amounts, as a head would say it; "" where nobody said."""
        return {"percent": "%", "grams": "g", "parts": "parts"}.get(self.bare, self.titled)


@dataclass(frozen=True, slots=True)
class Weight:
    """The weight that stands beside the amount of an ingredient, in which column, and how far it may be rounded.

    `grams` are exact; `unit` is what it is written in.
    """

    column: int
    grams: Decimal
    slack: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class LineRow:
    """An ingredient of a formula as its cells say it; `amount` None where it takes the rest. `percent_sign`: 42 %.

    Its amount stands in `row` and `column`, its name in the column `at`, of the same row or of `named`; `slack` is
    half of the last place that is written of it.
    """

    row: int
    column: int
    ingredient: str
    at: int
    amount: Decimal | None
    unit: str
    stage: str = ""
    percent_sign: bool = False
    weight: Weight | None = None
    named: int = 0
    slack: Decimal = ZERO

    @property
    def name_row(self) -> int:
        """The row in which its ingredient is named."""
        return self.named or self.row


class Gap(NamedTuple):
    """What stands between two lines of a formula, each by its row: a blank row, heads once more, a total; 0: none."""

    blank: int = 0
    heads: int = 0
    total: int = 0


@dataclass
class FormulaRows:
    """A formula while its rows are gathered, and what is wrong with it."""

    sheet: int
    row: int
    name: str
    lines: list[LineRow] = field(default_factory=list)
    batch: Decimal | None = None
    remarks: list[str] = field(default_factory=list)
    wrong: list[Wrong] = field(default_factory=list)
    column: int = 0
    gaps: list[tuple[int, Gap]] = field(default_factory=list)
    """Before which of its lines something else stands, and what."""
    sized: Decimal | None = None
    """The grams that stand behind its name in its title: its batch where nothing else says one."""
    titled: str = ""
    """Its name with those, where they tell it from another of its name."""
    numbered: str = ""
    """Its name with the running number before it, by which it may be called elsewhere."""
    proved: int = 0
    """How many of its lines a total below them says to be of one formula."""
    total: int = 0
    """The row with a total that its lines come to: what stands below is none of them; 0 where there is none."""
    below: list[tuple[int, int, str]] = field(default_factory=list)
    """What stands below it and is known as a material: row, column, name."""
    parted: bool = False
    """Whether words alone stand right below one of its lines, and may be a note or a name."""
    made: list[Made] = field(default_factory=list)
    """What stands where its batch is looked for and may be no weight: how many jars it makes."""
    bare: bool = False
    """Whether only the other formulas of its sheet say that its amounts are percent."""
    lost: list[Lost] = field(default_factory=list)
    """What its rows say of what is left of a batch, or lost."""
    loss: Decimal = ZERO
    """How much of it is lost, in percent; `loss_grams` are lost of every batch."""
    loss_grams: Decimal = ZERO
    left: Decimal | None = None
    """The grams that are left, where only the densities of its lines tell of how much."""
    is_whole: bool = False
    """Whether it is one formula by percent that come to 100, though its weights count."""
    written: Written = field(default=Written(), compare=False)
    """How figures are written in what is said of it as a whole."""

    @property
    def mark(self) -> str:
        """What a choice of its amounts is sent by: the mark of its name as its title has it, with the weight behind."""
        return mark_of(self.titled or self.name)

    @property
    def way(self) -> str:
        """How it is written; "" where its rows are written in different ways."""
        ways = {WAYS[line.unit] for line in self.lines if line.unit}
        return ways.pop() if len(ways) == 1 else ""

    def add(self, line: LineRow, gap: Gap) -> None:
        """One more line, and what stands between it and the one above."""
        if self.lines and any(gap):
            self.gaps.append((len(self.lines), gap))
        self.lines.append(line)

    def fault(self, sentence: str, choice: str = "", row: int = 0, column: int | None = None, read: str = "") -> None:
        """Note what is wrong with it, at a cell of one of its rows or at its name."""
        place = self.column if column is None else column
        self.wrong.append(Wrong(self.sheet, row or self.row, place, read or self.name, sentence, choice))

    def read_batch(self, text: str, told: Told, beside: str, at: tuple[int, int], says: str = "") -> None:
        """Take the size of its batch from a cell, in `beside` where it says no unit; the first that is said counts.

        What is no weight waits for its lines, which may say the batch themselves, and so does what it makes, where
        `says`, the words of the batch, speak of that: it may be what is left of them.
        """
        if says_count(text, beside):
            self.made.append(Made(text, *at))
            return
        several = times(text)
        try:
            grams = batch_grams(several or text, told, beside)
        except cells.Doubt as doubt:
            self.fault(doubt.sentence, doubt.choice, *at, text)
        except Unreadable as trouble:
            if several or trouble.sentence == _not_weighed(text):
                self.made.append(Made(text, *at, sentence="" if several else trouble.sentence))
            else:
                self.fault(trouble.sentence, "", *at, text)
        else:
            if several:
                self.made.append(Made(text, *at, grams))
            elif kind := kind_of(says):
                bare = not beside and not re.search(r"[^\W\d_]", text)
                self.lost.append(Lost(kind, says, text, *at, grams, "g", ZERO, bare))
            else:
                self.batch = self.batch or grams


def kept_name(name: str) -> tuple[str, str]:
    """The name of a formula as it can be kept, and what is wrong with it; "" where nothing is."""
    try:
        return cells.words(name), ""
    except Unreadable as unreadable:
        return name[: lim.NAME_LENGTH], unreadable.sentence


def measured(text: str, told: Told, beside: str) -> Read:
    """An amount of a formula with its unit: what is written behind it, else `beside`; "" where nobody says."""
    found = _measured(text, told, beside)
    kept, number = cells.fitting(found.whole, lim.QUANTITY, text), told.written.number
    remark = f"{number(found.value)} {found.said} are read as {number(kept)} mL." if found.said in VOLUME else ""
    return Read(kept, found.unit, remark, slack=_slack(found))


def figure(text: str, told: Told, beside: str) -> Read:
    """The same of any size: nothing, or less."""
    found = _measured(text, told, beside)
    return Read(found.whole, found.unit, slack=_slack(found))


def weighed(text: str, told: Told, beside: str, column: int) -> Weight | None:
    """Grams that stand beside an amount, which may be 0 where little of it is rounded; None for what is no mass."""
    found = _measured(text, told, beside)
    if found.unit != "g":
        return None
    if found.value:
        cells.fitting(found.whole, lim.QUANTITY, text)
    return Weight(column, found.whole, _slack(found), found.said)


class _Measured(NamedTuple):
    """An amount as it is written: the number, its last place, the unit that it is kept in, what makes that of it.

    `said` is the unit of mass or of volume that is written, "" for one that a formula is kept in.
    """

    value: Decimal
    step: Decimal
    unit: str
    factor: Decimal
    said: str

    @property
    def whole(self) -> Decimal:
        """How much it is in the unit that it is kept in."""
        return self.value * self.factor


def _slack(found: _Measured) -> Decimal:
    """Half of the last place in which a number is written, or is kept: how far what was rounded to it may be away."""
    return max(found.step * found.factor, ONE.scaleb(-QUANTITY_PLACES)) / 2


def _last_place(value: Decimal) -> Decimal:
    return ONE.scaleb(int(value.as_tuple().exponent))


def _measured(text: str, told: Told, beside: str) -> _Measured:
    """The number of an amount with what its unit, or the one `beside` it, makes of it."""
    if (ounces := cells.in_ounces(text, told)) is not None:
        return _Measured(ounces, _last_place(ounces), "g", MASS["oz"], "oz")
    if (divided := fraction_in(text)) is not None:
        return _in_unit(text, (cells.in_decimals(divided[0]), ONE / divided[1]), divided[2] or beside, told)
    parted = re.fullmatch(
        r"([-\u22120-9.,][-0-9., '\u2019]*?)\s*([^0-9.,\s/\u2044\u00bc-\u00be\u2150-\u215e].*)?", text.strip()
    )
    if parted is None:
        raise Unreadable("number-format", f"{text[:40]} is no amount. Type digits, or q.s. for the rest.")
    value = cells.number(parted[1].strip().replace("\u2212", "-"), told)
    return _in_unit(text, (value, _last_place(value)), parted[2] or beside, told)


def _in_unit(text: str, number: tuple[Decimal, Decimal], said: str, told: Told) -> _Measured:
    """A number with its last place in the unit that is said; what is no unit is quoted as its cell has it."""
    value, step = number
    word = said.strip(" .").casefold()
    if word in _UNITS:
        return _Measured(value, step, *_UNITS[word], "")
    if not word:
        return _Measured(value, step, "", ONE, "")
    if spoon := spoon_in(word):
        millilitres = told.written.number(value * spoon.millilitres)
        cell = text.strip() if word in text.casefold() else f"{text.strip()} {word}"
        raise Unreadable("unit", f"{cell[:24]}: {spoon.sizes}. Type it in mL, such as {millilitres} mL, or in grams.")
    try:
        read = cells.amount(f"1 {said}", told)
    except Unreadable as trouble:
        raise Unreadable(trouble.code, trouble.sentence.replace(f"1 {said}"[:40], text.strip()[:40])) from None
    if read.unit in VOLUME:
        return _Measured(value, step, "mL", read.value * VOLUME[read.unit], read.unit if read.value == 1 else said)
    if read.unit not in MASS:
        raise Unreadable("unit", f"{word[:24]}: write a formula in percent, grams, mL, drops or parts.")
    return _Measured(value, step, "g", read.value * MASS[read.unit], read.unit)


def rest_to(text: str) -> str:
    """What an ingredient fills up to, where its cell says so: "q.s. to 500 g" -> "500 g"; "" where it says none."""
    found = _REST_TO.fullmatch(text.strip())
    return "" if found is None or found[1].rstrip(" %") == "100" else found[1]


def batch_grams(text: str, told: Told, beside: str) -> Decimal:
    """The size of a batch in grams; a bare number is in `beside`, else grams. Doubt or Unreadable where it is none."""
    try:
        grams = cells.in_grams(cells.amount(BATCH.sub(r"\1", text).strip(), told, beside or "g"))
    except cells.Doubt as doubt:
        raise cells.Doubt(doubt.choice, f"The size of the batch: {doubt.sentence}") from None
    except Unreadable as trouble:
        raise Unreadable(trouble.code, f"The size of the batch: {trouble.sentence}") from None
    if grams is None:
        raise Unreadable("unit", _not_weighed(text))
    return grams


def _not_weighed(text: str) -> str:
    return f"The size of a batch is a mass, not {text[:24]}. Type grams or kg."
