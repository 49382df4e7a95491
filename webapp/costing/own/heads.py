"""Heads over formulas side by side: the name and the unit of each column, in one row of heads or in two.

A formula may have two columns, percent and grams: both heads say its name, or its name stands once above both (as in
a merged cell) with the units below.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.columns import (
    BLANK,
    FORMULAS,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    OF_FORMULA,
    Layout,
    OwnTable,
    known_role,
    role_of,
    sort_of,
    unit_in,
    words_of,
)
from webapp.costing.own.lines import UNITS_SAID
from webapp.costing.own.made import says_count
from webapp.costing.own.rows import says_total
from webapp.costing.own.units import fraction_in
from webapp.costing.own.weight_heads import says_how_much, weight_unit
from webapp.costing.units import MASS
from webapp.costing.written_units import unit_of

#: how many rows below the names the units may stand
_UNITS_BELOW = 3
_NAMED = re.compile(r"(.*\S)\s*(?:[(\[]\s*(?:in )?([^()\[\]]+?)\s*[)\]]|(%))")
_PERCENT = ("%", "percent", "pct", "% w/w", "w/w", "% by weight")
_BETWEEN = " ,;:-\u2013\u2014/|"
_BY_ROLE = {"percent": "%", "grams": "g", "parts": "parts"}
_FIGURES = frozenset(
    (
        "price",
        "unit_price",
        "supplier",
        "code",
        "packs",
        "pack",
        "unit",
        "currency",
        "tax_rate",
        "freight",
        "order_tax",
        "day",
        "density",
    )
)
#: what begins or ends the name of a figure: "Cost of batch", "Cost/jar", "Batch cost", "Costo lotto"
_COST = (
    r"(?:costs?|kosten|costo|costi|coste|cout|prices?|preis|prix|precio|prezzo|prijs|profit|margin|marge|margine|rrp)"
)
_OF = (
    "of per for a an each to in pro je par au al por di del della du de batch jar bottle tin unit piece kg g lb "
    "oz l ml lotto lot lote ansatz charge"
)
_COSTS = re.compile(rf"(?:.* )?{_COST}|{_COST} (?:{_OF.replace(' ', '|')})\b.*")
#: heads of columns of numbers beside prices that are no formula's: stock, what is to be bought, properties, months
_BESIDE = re.compile(
    r"(?:.* )?(?:in stock|on stock|stock|on hand|inventory|reorder|remaining|left|needed|required|to buy|to order|"
    r"bestand|meldebestand|lagerbestand|giacenz[ae]|scort[ae]|magazzino|existencias|voorraad|moq|shelf life|lead time|"
    r"usage|use rate|usage rate|hlb|ph|sap)"
    r"|stock (?:kg|g|l|ml|oz|lb|qty|quantity|level|now|today|value|count|on hand)"
    r"|(?:reorder|usage|dosage|shelf life|lead time|giacenza|scorta|sap) .*"
    r"|(?:min|max|minimum|maximum|order)(?: (?:use|stock|order|qty|quantity|dose|dosage|rate|level|point|now|%))*"
    r"|(?:am |auf |im )?lager|used|dosage|ins|iodine|score|rating"
    r"|jan|january|feb|february|mar|march|apr|april|may|june?|july?|aug|august|sept?|september|oct|october|nov|november"
    r"|dec|december"
)


class Column(NamedTuple):
    """What the heads say of a column: the name of what stands in it, and its unit; "" where they say none."""

    name: str
    unit: str


def named_in(head: str) -> Column:
    """The name in a head, and the unit that it says for its cells, in brackets or as a sign; "" where it says none."""
    found = _NAMED.fullmatch(head.strip())
    said = (found[3] or found[2]).casefold() if found else ""
    if found and said in _PERCENT:
        return Column(found[1].rstrip(_BETWEEN) or found[1], "%")
    if found and (said in ("part", "parts", "drops") or unit_of(said)):
        return Column(found[1], said)
    return Column(head.strip(), "")


def tells_figures(head: str) -> bool:
    """Whether a head is about something else than amounts of formulas: a price, a cost, a supplier, a day, a sum."""
    words = words_of(head)
    return role_of(head, MATERIALS) in _FIGURES or says_total(words) or is_cost(words)


def is_cost(words: str) -> bool:
    """Whether the words of a cell are about money: a cost, a price, a profit."""
    return bool(_COSTS.fullmatch(words))


def stands_beside(head: str) -> bool:
    """Whether a head beside prices is of numbers that are in no formula: what is in stock, a property, a month."""
    return bool(_BESIDE.fullmatch(words_of(head)))


def is_amount(text: str) -> bool:
    """Whether a cell looks like an amount of an ingredient."""
    divided = fraction_in(text)
    return (
        cells.is_rest(text)
        or sort_of(text) in ("number", "percent", "amount")
        or (divided is not None and not divided[2])
    )


def holds_amounts(table: OwnTable, row: int, place: int) -> bool:
    """Whether most of what stands in a column below a row, and below the units under it, are amounts.

    Money at its foot is what they cost, and jars there are how many a batch makes.
    """
    below = range(max(row, units_below(table, row)) + 1, min(len(table.rows), row + LOOKED_AT) + 1)
    filled = [text for one in below if (text := table.cell(one, place)) not in BLANK]
    while filled and (sort_of(filled[-1]) == "money" or says_count(filled[-1], "beside")):
        filled.pop()
    return bool(filled) and sum(map(is_amount, filled)) * 4 >= len(filled) * 3


def unit_alone(text: str) -> str:
    """The unit that a cell says and nothing else: "%", "(g)", "in grams", "Weight (g)"; "" where it says more."""
    bare = text.casefold().strip(" ()[].:").removeprefix("in ")
    if bare in _PERCENT:
        return "%"
    if bare in UNITS_SAID or unit_of(bare) in MASS:
        return bare
    role, unit = known_role(text, FORMULAS), unit_in(text)
    return (
        unit if role == "amount" or (role == "grams" and unit in MASS) else weight_unit(text) or _BY_ROLE.get(role, "")
    )


def is_mass(unit: str) -> bool:
    """Whether amounts in a unit say how much something weighs."""
    return unit_of(unit) in MASS


def units_below(table: OwnTable, heads: int) -> int:
    """The row below the names in which at least two columns say their unit, and none an amount; 0 where there is none.

    The batch may stand between them.
    """
    for row in range(heads + 1, min(heads + _UNITS_BELOW, len(table.rows)) + 1 if heads else 0):
        here = [text for place in range(table.width) if (text := table.cell(row, place))]
        if sum(bool(unit_alone(text)) for text in here) > 1 and not any(map(is_amount, here)):
            return row
    return 0


def named_columns(table: OwnTable, heads: int) -> dict[int, Column]:
    """What the heads in a row, with a row of units below them or of names above them, say of each column."""
    width = min(table.width, MOST_COLUMNS)
    below, here = units_below(table, heads), {p: u for p in range(width) if (u := unit_alone(table.cell(heads, p)))}
    units = {p: u for p in range(width) if (u := unit_alone(table.cell(below, p)))} if below else {}
    found: dict[int, Column] = {}
    for place in range(width):
        head = table.cell(heads, place)
        if place in here:
            name = _merged(table, heads - 1, place, here) or _beside(table, heads, place, found)
            column = Column(name, here[place])
        elif head:
            column = named_in(head)
            column = Column(column.name, column.unit or units.get(place, ""))
        else:
            column = Column(_merged(table, heads, place, units), units.get(place, ""))
        if column.name:
            found[place] = column
    return found | _with_units_at_their_ends(found)


def _merged(table: OwnTable, row: int, place: int, units: Mapping[int, str]) -> str:
    """What stands in a row above a column with a unit: in its own cell, or in the last one left of it over units."""
    for left in range(place, -1, -1):
        if left not in units:
            break
        if text := table.cell(row, left):
            return named_in(text).name
    return ""


def _beside(table: OwnTable, heads: int, place: int, found: Mapping[int, Column]) -> str:
    """The name left of a head that is only a unit: "Balm | g", where amounts of the balm stand below it."""
    left = found.get(place - 1)
    known = left is None or role_of(left.name, FORMULAS) or tells_figures(left.name)
    return "" if left is None or known or not holds_amounts(table, heads, place - 1) else left.name


def _with_units_at_their_ends(found: Mapping[int, Column]) -> dict[int, Column]:
    """Names that end or begin with a unit without brackets, where another column has the rest of the name too."""
    ends = {place: one for place, column in found.items() if not column.unit and (one := _parted(column.name))}
    rests = [name_key(one.name) for one in ends.values()]
    rests += [name_key(column.name) for place, column in found.items() if place not in ends]
    several = _are_names(ends, found)
    return {place: one for place, one in ends.items() if several or rests.count(name_key(one.name)) > 1}


def _are_names(ends: Mapping[int, Column], found: Mapping[int, Column]) -> bool:
    """Whether heads that end in a unit of mass say several names before it: "Whip oz | Edge oz"."""
    every = (*ends.values(), *(one for place, one in found.items() if place not in ends))
    rests = [one.name for one in every if one.unit == "%" or unit_of(one.unit) in MASS]
    known = any(
        role_of(one, FORMULAS) or tells_figures(one) or stands_beside(one) or says_how_much(one) for one in rests
    )
    return len({*map(name_key, rests)}) > 1 and not known


def _parted(name: str) -> Column | None:
    first, _, after = name.partition(" ")
    before, _, last = name.rpartition(" ")
    for rest, word in ((before, last), (after, first)):
        unit = unit_alone(word)
        if rest.strip(_BETWEEN) and unit:
            return Column(rest.strip(_BETWEEN), unit)
    return None


def columns_of(table: OwnTable, layout: Layout) -> dict[int, Column]:
    """The name and the unit of each column that stands for a formula, or for an ingredient, as its heads say them."""
    if OF_FORMULA in layout.roles:
        found, names = named_columns(table, layout.heads), layout.place("ingredient")
        corner = "" if names is None else unit_alone(table.cell(layout.heads, names))
        return {place: Column(one.name, one.unit or corner) for place, one in found.items()}
    return {place: named_in(head) for place in range(len(layout.roles)) if (head := table.cell(layout.heads, place))}


def paired(columns: Mapping[int, Column], places: Sequence[int]) -> dict[int, int]:
    """The columns of grams that stand beside another of the same formula: that one -> the grams beside it."""
    found = {}
    for group in _by_name(columns, places):
        main = next((place for place in group if columns[place].unit == "%"), group[0])
        beside = next((place for place in group if place != main and is_mass(columns[place].unit)), None)
        if beside is not None:
            found[main] = beside
    return found


def _by_name(columns: Mapping[int, Column], places: Sequence[int]) -> Iterable[list[int]]:
    found: dict[str, list[int]] = {}
    for place in places:
        found.setdefault(name_key(columns[place].name), []).append(place)
    return found.values()
