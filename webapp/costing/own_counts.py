"""Columns of whole numbers beside a price: whether they say how many packs were bought, of which all are paid in it.

Where the numbers prove it, whatever the heads' language, it is read so; where they can't, it is asked: a number of
packs that is left out makes each of them cost as much as all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from itertools import pairwise

from webapp.costing.amounts import ONE, ZERO, Unreadable
from webapp.costing.own_cells import without_money
from webapp.costing.own_columns import (
    BLANK,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    PRICES,
    Layout,
    OwnTable,
    per_in,
    role_of,
    unit_in,
    words_of,
)
from webapp.costing.own_heads import stands_beside
from webapp.costing.own_price_heads import ALL_PACKS, ONE_PACK, packs_said, without_besides
from webapp.costing.sheets import bare, number_in, written_with
from webapp.costing.units import PIECES

#: how many packs of one thing are bought at most, for a guess; whole numbers from here on are years, codes, weights
MOST_PACKS = 999
_A_CENT, _HALF_A_CENT = Decimal("0.01"), Decimal("0.005")
#: how far a total may be away for a price of one that was rounded, as a share of it
_ROUNDED = Decimal("0.01")
#: heads of days, names and amounts, whose whole numbers beside a pack are how many of it; running numbers are not
_MAY_COUNT = frozenset(
    "menge, units, unit, einheiten, unites, unidades, pcs, pieces, bought, ordered, purchased, bestellt, gekauft, "
    "achete, comprado, nombre, no, nr".split(", ")
)
#: those of them that are a name or a number of the row as well, so that a pack has to stand beside them
_NUMBERED = frozenset(("no", "nr"))
_OF_A_PACK = frozenset(("menge", "units", "unit", "einheiten", "unites", "unidades", "pcs", "pieces")) | _NUMBERED


def counts_by_head(table: OwnTable, layout: Layout, roles: list[str], amounts: list[int]) -> None:
    """Say which column is the number of packs where a head that may mean more stands over whole numbers.

    `amounts` are the columns of amounts with their unit, one of which is the pack where the number was taken for it.
    """
    place = next((one for one in range(len(roles)) if _counts_by_head(table, layout, roles, one, amounts)), None)
    if "packs" in roles or place is None:
        return
    was, roles[place] = roles[place], "packs"
    names = [one for one, role in enumerate(roles) if not role and _head_says(table, layout, one, "name")]
    for one in (amounts if was == "pack" else names if was == "name" else [])[:1]:
        roles[one] = was


def counts_by_total(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """The same of a column of whole numbers that its total proves to be how many packs it is for."""
    if "packs" in roles or not layout.heads:
        return
    pairs = ((place, price) for price in _of_packs(table, layout, roles) for place in _left_out(table, layout, roles))
    found = next((place for place, price in pairs if _proves(table, layout, place, price, roles)), None)
    if found is not None:
        roles.extend([""] * (found + 1 - len(roles)))
        roles[found] = "packs"


def _counts_by_head(table: OwnTable, layout: Layout, roles: list[str], place: int, amounts: list[int]) -> bool:
    head = words_of(table.cell(layout.heads, place)) if layout.heads else ""
    if head not in _MAY_COUNT or not _are_whole(table, layout, place) or not {*PRICES} & {*roles}:
        return False
    if head in _NUMBERED and len(set(cells := _cells(table, layout, place))) == len(cells):
        return False  # each has its own: numbers of rows or of articles
    packs = [one for one, role in enumerate(roles) if one != place and (role == "pack" or one in amounts)]
    return bool(packs) or head not in _OF_A_PACK


def _head_says(table: OwnTable, layout: Layout, place: int, role: str) -> bool:
    return role_of(table.cell(layout.heads, place), MATERIALS) == role


def _of_packs(table: OwnTable, layout: Layout, roles: list[str]) -> list[int]:
    """The columns of prices that may be for all packs of a row: as their heads say, or as nobody can tell."""
    found = []
    for place, role in enumerate(roles):
        said = packs_said(words_of(without_besides(table.cell(layout.heads, place))))
        if role in ("price", "net_price") and said != ONE_PACK:
            found.append(place)
    return found


def _left_out(table: OwnTable, layout: Layout, roles: list[str]) -> Iterator[int]:
    """The columns of whole numbers that hold nothing yet."""
    for place in range(min(table.width, MOST_COLUMNS)):
        of_packs = unit_in(table.cell(layout.heads, place)) in ("", PIECES)
        if of_packs and not any(roles[place : place + 1]) and _are_whole(table, layout, place):
            yield place


def in_doubt(table: OwnTable, layout: Layout) -> tuple[int, ...]:
    """The columns that are left out and may be how many packs a price is for: nobody can tell, so that it is asked.

    Its head says that it is a total, or is none that is known; what is known to be something else is not asked.
    """
    roles = list(layout.roles)
    if "packs" in roles or not layout.heads:
        return ()
    totals = _of_packs(table, layout, roles)
    every = list(_left_out(table, layout, roles))
    found = [place for place in every if any(_proves(table, layout, place, price, roles) for price in totals)]
    if any(_may_be_total(table, layout, price) for price in totals):
        found += [place for place in every if place not in found and _may_count(table, layout, place)]
    return tuple(found)


def counted(table: OwnTable, layout: Layout) -> Layout:
    """The layout where somebody said that the first such column is how many packs were bought."""
    places = in_doubt(table, layout)
    if not places:
        return layout
    roles = [*layout.roles, *[""] * (places[0] + 1 - len(layout.roles))]
    roles[places[0]] = "packs"
    return replace(layout, roles=tuple(roles))


def is_total(head: str) -> bool:
    """Whether a head says that its prices are for all packs of a row."""
    return packs_said(words_of(without_besides(head))) == ALL_PACKS


def is_of_goods(table: OwnTable, layout: Layout, price: int) -> bool:
    """Whether a total is the number of packs times another column, so that nothing else is in it."""
    place = layout.place("packs")
    return place is not None and _proves(table, layout, place, price, list(layout.roles))


def _may_be_total(table: OwnTable, layout: Layout, price: int) -> bool:
    head = table.cell(layout.heads, price)
    return is_total(head) or not role_of(head, MATERIALS)


def _may_count(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether whole numbers may be those of packs: some are not 1, most rows have one, and no head says otherwise."""
    head, cells = table.cell(layout.heads, place), _cells(table, layout, place)
    numbers = [int(Decimal(cell)) for cell in cells]
    running = len(numbers) > 1 and all(after - one == 1 for one, after in pairwise(numbers))
    named = [row for row in _rows(table, layout) if any(map(str.strip, table.rows[row - 1]))]
    return (
        any(one != 1 for one in numbers)
        and not running
        and len(cells) * 2 > len(named)
        and not stands_beside(head)
        and role_of(head, MATERIALS) in ("", "packs", "unit", "day", "name")
    )


def _proves(table: OwnTable, layout: Layout, place: int, total: int, roles: list[str]) -> bool:
    """Whether a number times another column of money, with a rate of tax or without, is the total in nearly all rows.

    One of them has to be of more than one pack.
    """
    rates = [one for one in range(len(roles)) if roles[one] == "tax_rate"]
    others = [
        one
        for one in range(min(table.width, MOST_COLUMNS))
        if one not in (place, total, *rates) and per_in(table.cell(layout.heads, one)) in ("", PIECES)
    ]
    return any(_comes_out(table, layout, (place, one, total), rate) for one in others for rate in (*rates, None))


def _comes_out(table: OwnTable, layout: Layout, places: tuple[int, int, int], rate: int | None) -> bool:
    many = fits = rows = 0
    for row in _rows(table, layout):
        packs, each, total = (number_at(table, row, place) for place in places)
        if packs is None or each is None or total is None:
            continue
        taxed = ONE + (ZERO if rate is None else _share(table, row, rate))
        rounding = max(_A_CENT, min(packs * _HALF_A_CENT * taxed, total * _ROUNDED))
        right = abs(packs * each * taxed - total) <= rounding
        rows, fits, many = rows + 1, fits + right, many + (right and packs != ONE)
    return bool(many) and fits * 5 >= rows * 4  # nearly all: four of five


def _share(table: OwnTable, row: int, place: int) -> Decimal:
    """A rate of tax as a share; 0 where none stands there."""
    value = number_at(table, row, place) or ZERO
    return value if value < ONE and "%" not in table.cell(row, place) else value / 100


def number_at(table: OwnTable, row: int, place: int) -> Decimal | None:
    """The number of a cell without its currency, for a guess only; None where it is none or can be read in two ways."""
    digits = without_money(table.cell(row, place).removesuffix("%").strip())[0]
    if table.is_exact(row, place) and re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", digits, re.ASCII):
        return Decimal(digits)
    said = written_with(bare(digits))
    try:
        return None if said == "?" else Decimal(number_in(digits, said or "."))
    except (InvalidOperation, Unreadable):
        return None


def _are_whole(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether all that stands in a column are whole numbers as packs have them."""
    cells = _cells(table, layout, place)
    return bool(cells) and all(
        re.fullmatch(r"[0-9]{1,9}(?:\.0)?", cell, re.ASCII) and 0 < Decimal(cell) <= MOST_PACKS for cell in cells
    )


def _cells(table: OwnTable, layout: Layout, place: int) -> list[str]:
    return [text for row in _rows(table, layout) if (text := table.cell(row, place)) not in BLANK]


def _rows(table: OwnTable, layout: Layout) -> range:
    return range(layout.heads + 1, min(len(table.rows), layout.heads + LOOKED_AT) + 1)
