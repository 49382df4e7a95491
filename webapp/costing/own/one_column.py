"""Formulas written as lines of words, an amount and a name in one cell: "600 g Shea butter", "Shea butter 600 g"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from webapp.costing.own.columns import FORMULAS, OwnTable
from webapp.costing.own.layouts import laid_out_together
from webapp.costing.own.lines import UNITS_SAID
from webapp.costing.own.method import is_step
from webapp.costing.own.units import fraction_in
from webapp.costing.units import MASS, VOLUME
from webapp.costing.written_units import AMOUNT, unit_of

#: how many such lines make a formula
_LINES = 2
_NUMBER = r"[0-9\u00bc-\u00be\u2150-\u215e][0-9., /\u2044\u00bc-\u00be\u2150-\u215e]*"
_FIRST = re.compile(rf"({_NUMBER}(?:%|[^\W\d]+\.?))\s+(?:(?:of|de|di|von)\s+)?([^\W\d].*)")
_LAST = re.compile(rf"([^\W\d].*?[^\s:,])\s*[:,\s]\s*({_NUMBER}(?:%|[^\W\d]+\.?))")
#: what takes the rest: "Water q.s.", "Water q.s. to" before an amount
_REST = re.compile(r"(.*?\w)[\s:,]+(q\.? ?s\.?|(?:q\.? ?s\.?\s+|up\s+)?(?:to|ad))", re.IGNORECASE)
#: a line below another whose unit is none of formulas, or that says none: it is asked
_OTHER = re.compile(
    rf"({_NUMBER}(?:tsp|tbsp|tea ?spoons?|table ?spoons?|cups?|pinch(?:es)?|dash(?:es)?|pumps?|[et]l)?\.?)\s+"
    r"([^\W\d].*)",
    re.IGNORECASE,
)
_MONEY = re.compile(r"[$\u00a2-\u00a5\u20a0-\u20bf]|[0-9][.,][0-9]{2}\b")


def in_columns(tables: Sequence[OwnTable]) -> tuple[OwnTable, ...]:
    """The tables, each that has formulas as such lines with the names and the amounts in two columns, and a word of it.

    It has them where that is a formula by its title, or by the prices of its names on another sheet.
    """
    apart = [_apart(table) for table in tables]
    if not any(apart):
        return tuple(tables)
    read = [other or table for table, other in zip(tables, apart, strict=True)]
    every = zip(tables, apart, laid_out_together(read), strict=True)
    return tuple(other if other and layout.holds == FORMULAS else table for table, other, layout in every)


def are_lines(table: OwnTable) -> bool:
    """Whether several lines of words, in one column, say an amount and a name."""
    return _apart(table) is not None


def _apart(table: OwnTable) -> OwnTable | None:
    """The table with the amounts right of the names; None where it has other columns, or too few such lines."""
    places = {place for row in table.rows for place, text in enumerate(row) if text.strip()}
    if len(places) != 1 or table.hidden:
        return None
    place = places.pop()
    found = {row: said for row in range(1, len(table.rows) + 1) if (said := _parts(table.cell(row, place)))}
    if len(found) < _LINES:
        return None
    for row in range(2, len(table.rows) + 1):
        other = _OTHER.fullmatch(table.cell(row, place))
        if other and row not in found and row - 1 in found and not is_step(other[0]):
            found[row] = (other[2], other[1].strip())
    rows = tuple(
        (*[""] * place, *found[number]) if number in found else row for number, row in enumerate(table.rows, 1)
    )
    line = table.cell(min(found), place)[:40]
    words = f"An amount and a name stand in one cell here (“{line}”): read as two columns, the name and the amount."
    return replace(table, rows=rows, remarks=(*table.remarks, words))


def _parts(text: str) -> tuple[str, str] | None:
    """The name and the amount that a line says, where its unit is one of formulas and it says no money."""
    first, last = _FIRST.fullmatch(text), _LAST.fullmatch(text)
    name, amount = (first[2], first[1]) if first else (last[1], last[2]) if last else (text, "")
    rest = None if first else _REST.fullmatch(name)
    if _MONEY.search(name) or not (_is_in_unit(amount) or (rest and rest[2].casefold().startswith("q"))):
        return None
    return (rest[1], f"{rest[2]} {amount}".strip()) if rest else (name, amount)


def _is_in_unit(amount: str) -> bool:
    divided, found = fraction_in(amount), AMOUNT.fullmatch(amount)
    unit = (divided[2] if divided else found["unit"] if found else "").strip(" .").casefold()
    return unit in UNITS_SAID or unit_of(unit) in {*MASS, *VOLUME}
