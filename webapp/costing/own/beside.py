"""Several tables side by side on one sheet of a maker's own: each read as a sheet.

They are parted by an empty column, or where the heads begin again: "Ingredient | % | Ingredient | %".

Rows and columns keep their places, so that a cell is called as its spreadsheet calls it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

from webapp.costing.limits import name_key
from webapp.costing.own.below import stacked
from webapp.costing.own.columns import (
    AMOUNTS,
    FORMULAS,
    LOOKED_AT,
    MATERIALS,
    NOTHING,
    OF_FORMULA,
    PRICES,
    PRODUCTS,
    OwnTable,
    role_of,
    sort_of,
    sort_of_most,
)
from webapp.costing.own.heads import holds_amounts, unit_alone
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.one_column import in_columns
from webapp.costing.own.rows import column_letters

#: what cells beside names look like where no head says it
_AMOUNTS = ("percent", "amount", "number")
#: cells are looked at as heads in every row
_role_of, _unit_alone = lru_cache(maxsize=16_384)(role_of), lru_cache(maxsize=16_384)(unit_alone)
_NAMES = frozenset(("name", "inci", "ingredient", "formula"))
#: what a part that is parted by its heads alone has beside its names
_FIGURES = frozenset((*AMOUNTS, *PRICES, OF_FORMULA, "pack", "size"))


def parted(tables: Iterable[OwnTable]) -> tuple[OwnTable, ...]:
    """The tables, each that holds several things side by side or below each other as several of them.

    What holds an amount and a name in one cell has them in two.
    """
    return tuple(
        part
        for table in in_columns(tuple(tables))
        for beside in _parts(table)
        for below in stacked(beside)
        for part in _again(below)
    )


def _parts(table: OwnTable) -> tuple[OwnTable, ...]:
    """The table, or what stands left and right of the first empty column on both sides of which something is known."""
    used = {place for row in table.rows for place, text in enumerate(row) if text.strip()}
    for gap in range(min(used, default=0), max(used, default=0)):
        if gap in used or table.hidden:
            continue
        left, right = _columns(table, 0, gap), _columns(table, gap, table.width)
        if _is_known(left) and _is_known(right):
            return (left, *_parts(_named(right, min(place for place in used if place > gap))))
    return (table,)


def _again(table: OwnTable) -> tuple[OwnTable, ...]:
    """The table, or what stands left and right of the first column in which heads begin again."""
    for place in () if table.hidden else _begun_again(table):
        left, right = _columns(table, 0, place), _columns(table, place, table.width)
        if _has_figures(left) and _has_figures(right):
            return (left, *_again(_named(right, place)))
    return (table,)


def _named(right: OwnTable, place: int) -> OwnTable:
    return replace(right, title=f"{right.title}, from column {column_letters(place)}")


def _begun_again(table: OwnTable) -> Iterable[int]:
    """The columns in which a row of heads begins once more: by the same head of names, or by a name and its unit."""
    found = set()
    for number, row in enumerate(table.rows, 1):
        heads = [table.cell(number, place) for place in range(len(row))]
        here = {*_same_heads(heads), *_names_with_units(table, number, heads)}
        if here and all(not head or sort_of(head) == "text" or unit_alone(head) for head in heads):
            found |= here
    return sorted(found) or _without_heads(table)


def _without_heads(table: OwnTable) -> list[int]:
    """The same where no heads stand: words beside amounts as the first are, both in percent or with words in common."""
    layout = laid_out(table)
    if layout.holds != FORMULAS or layout.heads or len(table.rows) > LOOKED_AT:
        return []
    sorts = [sort_of_most([*_texts(table, place)]) for place in range(table.width)]
    places = [one for one, sort in enumerate(sorts[:-1]) if sort == "text" and sorts[one + 1] in _AMOUNTS]
    return [
        one
        for one in places[1:]
        if sorts[one + 1] == sorts[places[0] + 1] == "percent" or _texts(table, one) & _texts(table, places[0])
    ]


def _texts(table: OwnTable, place: int) -> set[str]:
    return {name_key(text) for row in range(1, len(table.rows) + 1) if (text := table.cell(row, place))}


def _same_heads(heads: Sequence[str]) -> Iterable[int]:
    """Where a head of names stands once more, with what stood left of it before as well: "Phase | Ingredient"."""
    first: dict[str, int] = {}
    for place, head in enumerate(heads):
        if (
            not head
            or heads.count(head) < 2
            or not any(_role_of(head, kind) in _NAMES for kind in (MATERIALS, FORMULAS, PRODUCTS))
        ):
            continue
        before = first.setdefault(head, place)
        start, back = place, before
        while back > 0 and start - 1 > before and heads[back - 1] and heads[back - 1] == heads[start - 1]:
            start, back = start - 1, back - 1
        if before != place:
            yield start


def _names_with_units(table: OwnTable, row: int, heads: Sequence[str]) -> Iterable[int]:
    """Where a name stands over ingredients, with the unit of their amounts beside it: "Balm | % | Whip | %".

    The unit is that of the first, or one of its ingredients stands there too: other words may stand between amounts.
    """
    beside = [place for place in range(len(heads) - 1) if heads[place] and _unit_alone(heads[place + 1])]
    places = [place for place in beside if len(beside) > 1 and _is_name_with_unit(table, row, place)]
    for place in places[1:]:
        same = unit_alone(heads[place + 1]) == unit_alone(heads[places[0] + 1])
        if same or _below(table, row, places[0]) & _below(table, row, place):
            yield place


def _is_name_with_unit(table: OwnTable, row: int, place: int) -> bool:
    words = _below(table, row, place)
    are_words = bool(words) and sum(sort_of(text) == "text" for text in words) * 2 > len(words)
    return are_words and holds_amounts(table, row, place + 1)


def _below(table: OwnTable, row: int, place: int) -> set[str]:
    """What stands in a column down to the next gap."""
    found: set[str] = set()
    for number in range(row + 1, len(table.rows) + 1):
        if not any(map(str.strip, table.rows[number - 1])):
            break
        found |= {name_key(text)} if (text := table.cell(number, place)) else set()
    return found


def _has_figures(table: OwnTable) -> bool:
    """Whether a part has names with amounts or prices of its own."""
    layout = laid_out(table)
    return bool(_NAMES & {*layout.roles}) and bool(_FIGURES & {*layout.roles})


def _is_known(table: OwnTable) -> bool:
    """Whether a part holds something by itself: with names, not only amounts of what is named elsewhere."""
    layout = laid_out(table)
    return layout.holds != NOTHING and bool(_NAMES & {*layout.roles})


def _columns(table: OwnTable, since: int, to: int) -> OwnTable:
    rows = tuple(tuple(text if place >= since else "" for place, text in enumerate(row[:to])) for row in table.rows)
    return replace(table, rows=rows)
