"""What is in a jar by a maker's own list of products: one filling, or several of a set, each with its formula.

A set stands in pairs of columns, in one cell ("Butter + Oil", "48 g + 45 g"), or in rows without a name below its own.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from itertools import zip_longest

from webapp.costing import limits as lim
from webapp.costing.amounts import Unreadable
from webapp.costing.own import cells
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import BLANK, unit_in
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.told import Told
from webapp.costing.own.vessels import NUMBER
from webapp.costing.units import MASS, VOLUME
from webapp.costing.written_units import unit_of

#: what ounces of contents can be -> their unit; and what says already that they weigh
OUNCES = {"weight": "oz", "US": "US fl oz", "imp": "imp fl oz"}
_WEIGHT = re.compile(r"weight|\bwt\b|gewicht|poids|peso", re.IGNORECASE)
#: between the fillings of a set, in the cell of their formulas and in that of what is in it
_BETWEEN = re.compile(r"\s*[+&;/,]\s*|\s+(?:and|und|et|y|e|en|with|mit)\s+", re.IGNORECASE)
_BETWEEN_SIZES = re.compile(r"\s*[+&;]\s*|(?<=[^\W\d_])\s*/\s*|,\s+|\s+(?:and|und|et|y|e|en)\s+", re.IGNORECASE)
_ONE_OF_SET = re.compile(rf"({NUMBER})\s*((?:fl\.? ?)?[^\W\d_]*)\.?", re.IGNORECASE)
_TIMES = re.compile(r"([0-9])\s*[x\u00d7*]\s*([0-9].*)", re.IGNORECASE)
#: a filling with how much it is, in one cell: "Butter 50 g", "50 g Butter"
_WITH_SIZE = re.compile(
    rf"(?P<name>\D.*?)\s+\(?(?P<size>{NUMBER}\s*[^\W\d_]+)\)?|(?P<first>{NUMBER}\s*[^\W\d_]+)\s+(?:of\s+)?(?P<of>\D.*)"
)
_EACH = re.compile(r"\s+(?:each|ea\.?|je|chacun|cada uno|ciascuno)$", re.IGNORECASE)
_AMOUNTS = re.compile(rf"({NUMBER})\s*((?:fl\.? ?)?[^\W\d_]+)", re.IGNORECASE)
#: beside two amounts: that one of them is no filling
_NO_FILLING = re.compile(r"/\s*m?l\b|\bper\b|density|dichte|tare|empty|leer|vide|weighs", re.IGNORECASE)
#: how far two weights may be apart that are one in two units, rounded
_ROUNDED = Decimal("0.02")


@dataclass(frozen=True, slots=True)
class Filling:
    """A formula and how much of it is in a jar, in g or mL (None where that is not said), and where both stand."""

    row: OwnRow
    formula: str
    size: Decimal | None
    unit: str
    place: int | None
    size_place: int | None

    def fault(self, sentence: str, *, sized: bool = False) -> None:
        """Note what is wrong with its formula, or with how much of it there is."""
        places = (self.size_place, self.place) if sized else (self.place,)
        name = self.row.layout.place("name") or 0
        self.row.fault_at(next((one for one in places if one is not None), name), sentence)

    def complete(self) -> None:
        """Of several fillings each says its formula and how much of it there is; else that is wrong."""
        if self.row.wrong:
            return
        if not self.formula:
            text = _text(self.row, self.size_place)
            self.fault(f"Which formula is this {text[:24]} of? Name it beside, or empty this cell.", sized=True)
        elif self.size is None:
            words = f"Say how much {self.formula[:60]} is in it, such as 50 g; or empty the cell of its name."
            self.fault(words, sized=True)


def fillings_of(row: OwnRow, ounces: str) -> tuple[Filling, ...]:
    """What a row says is in a jar: pairs of columns, each with one filling or several; one at least."""
    pairs = [*zip_longest(row.layout.places("formula"), row.layout.places("size"))] or [(None, None)]
    found = [one for pair in pairs for one in _pair(row, *pair, ounces)]
    said = [one for one in found if one.formula or _text(row, one.size_place)]
    if len(said) > 1:
        for one in said:
            one.complete()
    return tuple(said or found[:1])


def _pair(row: OwnRow, place: int | None, size_place: int | None, ounces: str) -> list[Filling]:
    """The filling of a pair of columns, or those of a set that stands in both cells."""
    formula = "" if place is None else row.read_at(place, lambda text, _: cells.words(text)) or ""
    names = set_in(formula)
    sizes = _sizes_of(_text(row, size_place), len(names))
    inside = [_WITH_SIZE.fullmatch(one) for one in names]
    if len(names) > 1 and all(inside) and size_place is not None and not _text(row, size_place):
        names = tuple(one["name"] or one["of"] for one in inside if one)
        sizes = [one["size"] or one["first"] for one in inside if one]
    found = []
    for name, text in zip(names, sizes, strict=True) if sizes else [(formula, None)]:
        read = None if size_place is None else row.read_at(size_place, partial(_at, row, size_place, ounces), text)
        size, unit = (read.value, read.unit) if read else (None, "")
        found.append(Filling(row, name, size, unit, place, size_place))
    return found


def set_in(formula: str) -> tuple[str, ...]:
    """The names in a cell that may name several formulas; all of it where it names one."""
    return tuple(one for one in _BETWEEN.split(formula) if one) or (formula,)


def _sizes_of(text: str, many: int) -> Sequence[str]:
    """How much of each of so many formulas a cell says; nothing where it says one amount, or another number of them."""
    if many < 2:
        return ()
    if _EACH.search(text):
        return [_EACH.sub("", text)] * many
    if (times := _TIMES.fullmatch(text)) and int(times[1]) == many:  # "2 x 50 g" of two formulas
        return [times[2]] * many
    parts = [_ONE_OF_SET.fullmatch(one) for one in _BETWEEN_SIZES.split(text)]
    units = [one[2] for one in parts if one]
    mixed = len({unit_of(one) in MASS for one in units if one}) > 1 and not re.search(r"[+&]", text)
    if len(units) != many or len(parts) != many or mixed:
        return ()
    return [f"{one[1]} {one[2] or units[-1]}".strip() for one in parts if one]


def _text(row: OwnRow, place: int | None) -> str:
    text = "" if place is None else row.table.cell(row.number, place)
    return "" if text in BLANK else text


def _at(row: OwnRow, place: int, ounces: str, text: str, told: Told) -> Read:
    """What is in a jar by one cell, with what is said of how it is read."""
    head = row.table.cell(row.layout.heads, place) if row.layout.heads else ""
    read = _content(head, row.text("unit"), text, told, ounces)
    if read.remark:
        row.remarks.append(read.remark)
    return read


def _content(head: str, beside: str, text: str, told: Told, ounces: str) -> Read:
    """What is in a jar, in g or mL; a unit that nobody says is the one that was chosen, else it is asked for."""
    if filled := _filled_in(text, told):
        return filled
    read = cells.amount(text, told, beside or unit_in(head) or told.unit)
    if read.unit == "oz" and not _WEIGHT.search(f"{head} {text} {beside}"):
        if ounces not in OUNCES:
            raise cells.Doubt(
                "ounces", f"{text[:24]} can be a weight, or fluid ounces. Choose what ounces of contents are."
            )
        read = replace(read, unit=OUNCES[ounces])
    if not read.unit:
        raise cells.Doubt("unit", f"{text[:24]} of what? Write the unit behind it (50 mL), or choose one for all.")
    return _in_grams_or_millilitres(read, text)


def _in_grams_or_millilitres(read: Read, text: str) -> Read:
    for unit, table in (("g", MASS), ("mL", VOLUME)):
        if read.unit in table:
            value = cells.fitting(read.value * table[read.unit] / table[unit], lim.QUANTITY, text)
            return Read(value, unit, read.remark)
    raise Unreadable("unit", f"{text[:24]}: a jar holds grams or millilitres. Write it so, such as 100 g.")


def _filled_in(text: str, told: Told) -> Read | None:
    """The weight that is filled into a jar of a volume beside it, "100 ml (filled 95 g)"; None for anything else.

    Ounces may be the volume once more. Unreadable where two weights stand there that are not the same.
    """
    found = [(f"{one[1]} {one[2]}", unit_of(one[2])) for one in _AMOUNTS.finditer(text)]
    if len(found) < 2 or len(re.findall(NUMBER, text)) != len(found) or _NO_FILLING.search(text):
        return None
    grams = [one for one, unit in found if unit in MASS and unit != "oz"]
    weights = [_in_grams_or_millilitres(cells.amount(one, told), one) for one in grams]
    if not weights:
        return None
    first = weights[0]
    if "+" in text or any(abs(one.value - first.value) > first.value * _ROUNDED for one in weights):
        raise Unreadable("unit", f"{text[:40]}: which of these is in a jar? Write that one alone.")
    if not any(unit in VOLUME for _, unit in found):
        return None
    return replace(first, remark=f"{text[:40]}: the {told.written.number(first.value)} g that are filled in count.")
