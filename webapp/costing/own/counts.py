"""Columns of whole numbers beside a price: whether they say how many packs were bought, of which all are paid in it.

Where the numbers prove it, whatever the heads' language, it is read so; where they can't, it is asked: a number of
packs that is left out makes each of them cost as much as all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from itertools import pairwise

from webapp.costing.amounts import ONE, ZERO, Unreadable
from webapp.costing.own.columns import (
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
from webapp.costing.own.currencies import without_money
from webapp.costing.own.freight import speaks_of_freight
from webapp.costing.own.heads import stands_beside
from webapp.costing.own.money_rows import besides_in
from webapp.costing.own.price_heads import ALL_PACKS, ONE_PACK, currency_said, packs_said, tax_said, without_besides
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.rows import is_total as is_sum
from webapp.costing.own.told import Told
from webapp.costing.sheets import bare, number_in, written_with
from webapp.costing.units import PIECES

#: how many packs of one thing are bought at most, for a guess; whole numbers from here on are years, codes, weights
MOST_PACKS = 999
_A_CENT, _HALF_A_CENT = Decimal("0.01"), Decimal("0.005")
#: how far a total may be away for a price of one that was rounded, as a share of it
_ROUNDED = Decimal("0.01")
#: from how many numbers on, each one more than the last, they count the rows
_RUNNING = 3
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
    found = _proved(table, layout, roles)
    if len(found) == 1:
        roles.extend([""] * (found[0] + 1 - len(roles)))
        roles[found[0]] = "packs"


def _proved(table: OwnTable, layout: Layout, roles: list[str]) -> list[int]:
    """The columns that a total proves to be how many packs it is for; two where both have whole numbers: 30 x 2 = 60.

    The total may be the price, or stand in a column that is left out beside the price of one.
    """
    left = list(_left_out(table, layout, roles))
    totals = _of_packs(table, layout, roles)
    of_one = [one for one, role in enumerate(roles) if role in PRICES and _said(table, layout, one) == ONE_PACK]
    found = [place for place in left if any(_proves(table, layout, place, price, roles) for price in totals)]
    others = [one for one in range(min(table.width, MOST_COLUMNS)) if not any(roles[one : one + 1])]
    threes = ((place, price, other) for place in left for price in of_one for other in others if place != other)
    return found or list(dict.fromkeys(three[0] for three in threes if _comes_out(table, layout, three, None)))


def paid_by_total(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """Say which column is the price where a price for one kg or piece stands beside how much was bought, and a total.

    "5 | kg | 12.40 | 62.00": what is left out is how much times the price in nearly all rows, so that it is for all.
    With tax in it, it only proves that the price is for one.
    """
    priced = [one for one in range(len(roles)) if roles[one] in ("price", "net_price")]
    if len(priced) != 1 or "pack" not in roles or {"packs", "unit_price"} & {*roles} or not layout.heads:
        return
    pack, price = roles.index("pack"), priced[0]
    free = [place for place in range(min(table.width, MOST_COLUMNS)) if not any(roles[place : place + 1])]
    rate = roles.index("tax_rate") if "tax_rate" in roles else None
    total = next((place for place in free if _comes_out(table, layout, (pack, price, place), None)), None)
    if total is not None:
        roles.extend([""] * (total + 1 - len(roles)))
        roles[total], roles[price] = roles[price], ""
    elif rate is not None and any(_comes_out(table, layout, (pack, price, place), rate) for place in free):
        roles[price] = "unit_price"


def _counts_by_head(table: OwnTable, layout: Layout, roles: list[str], place: int, amounts: list[int]) -> bool:
    head = words_of(table.cell(layout.heads, place)) if layout.heads else ""
    if head not in _MAY_COUNT or not _are_whole(table, layout, place):
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
        if role in ("price", "net_price") and _said(table, layout, place) != ONE_PACK:
            found.append(place)
    return found


def _said(table: OwnTable, layout: Layout, place: int) -> str:
    """Whether the head of a column says that its prices are for one pack or for all."""
    return packs_said(words_of(without_besides(table.cell(layout.heads, place))))


def _left_out(table: OwnTable, layout: Layout, roles: list[str]) -> Iterator[int]:
    """The columns of whole numbers that hold nothing yet, or are taken for units, which they can't be."""
    for place in range(min(table.width, MOST_COLUMNS)):
        head = table.cell(layout.heads, place)
        of_packs = unit_in(head) in ("", PIECES) and not stands_beside(head)
        taken = any(role != "unit" for role in roles[place : place + 1] if role)
        priced = role_of(head, MATERIALS) in PRICES
        if of_packs and not taken and not priced and _are_whole(table, layout, place):
            yield place


def in_doubt(table: OwnTable, layout: Layout, *, for_all: bool = False) -> tuple[int, ...]:
    """The columns that are left out and may be how many packs a price is for: nobody can tell, so that it is asked.

    `for_all`: a person said that it is for all packs. Else its head says so, or is none of a price, or freight is
    shared over what all packs cost; what is known to be something else is not asked.
    """
    roles = list(layout.roles)
    if "packs" in roles or not layout.heads:
        return ()
    totals = _of_packs(table, layout, roles)
    every, found = list(_left_out(table, layout, roles)), _proved(table, layout, roles)
    if totals and (for_all or "freight" in roles or any(_may_be_total(table, layout, price) for price in totals)):
        found += [place for place in every if place not in found and _may_count(table, layout, place)]
    return tuple(found)


def counted(table: OwnTable, layout: Layout, *, for_all: bool = False) -> Layout:
    """The layout where somebody said that the first such column is how many packs were bought."""
    places = in_doubt(table, layout, for_all=for_all)
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


def holds_tax(table: OwnTable, layout: Layout) -> bool:
    """Whether the price is the number of packs times another column with its rate of tax, and not without it."""
    packs, price, rate = (layout.place(role) for role in ("packs", "price", "tax_rate"))
    if packs is None or price is None or rate is None or not layout.heads:
        return False
    triples = [(packs, one, price) for one in _of_one(table, layout, packs, price, rate)]
    return any(_comes_out(table, layout, one, rate) for one in triples) and not any(
        _comes_out(table, layout, one, None) for one in triples
    )


def _may_be_total(table: OwnTable, layout: Layout, price: int) -> bool:
    head = table.cell(layout.heads, price)
    return is_total(head) or role_of(head, MATERIALS) not in ("price", "net_price")


def _may_count(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether whole numbers may be those of packs: some are not 1, most rows have one, and no head says otherwise."""
    head, cells = table.cell(layout.heads, place), _cells(table, layout, place)
    numbers = [int(Decimal(cell)) for cell in cells]
    running = len(numbers) >= _RUNNING and all(after - one == 1 for one, after in pairwise(numbers))
    filled = (row for row in _rows(table, layout) if any(map(str.strip, table.rows[row - 1])))
    named = [row for row in filled if not is_of_money(table, layout, row)]
    return (
        any(one != 1 for one in numbers)
        and not running
        and len(cells) * 2 > len(named)
        and not (tax_said(head) or currency_said(head) or speaks_of_freight(head))
        and role_of(head, MATERIALS) in ("", "packs", "unit", "day", "name")
    )


def _proves(table: OwnTable, layout: Layout, place: int, total: int, roles: list[str]) -> bool:
    """Whether a number times another column of money, with a rate of tax or without, is the total in nearly all rows.

    One of them has to be of more than one pack.
    """
    rates = [one for one in range(len(roles)) if roles[one] == "tax_rate"]
    others = _of_one(table, layout, place, total, *rates)
    return any(_comes_out(table, layout, (place, one, total), rate) for one in others for rate in (*rates, None))


def _of_one(table: OwnTable, layout: Layout, *taken: int) -> list[int]:
    """The columns that may be the price of one pack: any but those that are taken, and none for one kg or litre."""
    every = (one for one in range(min(table.width, MOST_COLUMNS)) if one not in taken)
    return [one for one in every if per_in(table.cell(layout.heads, one)) in ("", PIECES)]


def _comes_out(table: OwnTable, layout: Layout, places: tuple[int, int, int], rate: int | None) -> bool:
    many = fits = rows = 0
    for row in _rows(table, layout):
        packs, each, total = (number_at(table, row, place) or _amount_at(table, row, place) for place in places)
        if packs is None or each is None or total is None:
            continue
        taxed = ONE + (ZERO if rate is None else _share(table, row, rate))
        rounding = max(_A_CENT, min(packs * _HALF_A_CENT * taxed, total * _ROUNDED))
        right = abs(packs * each * taxed - total) <= rounding
        rows, fits, many = rows + 1, fits + right, many + (right and packs != ONE)
        if (rows - fits) * 5 > LOOKED_AT:
            return False  # whatever follows
    return bool(many) and fits * 5 >= rows * 4  # nearly all: four of five


def _share(table: OwnTable, row: int, place: int) -> Decimal:
    """A rate of tax as a share; 0 where none stands there."""
    value = number_at(table, row, place) or ZERO
    return value if value < ONE and "%" not in table.cell(row, place) else value / 100


def is_of_money(table: OwnTable, layout: Layout, row: int) -> bool:
    """Whether a row is money beside the materials: freight, tax, a discount, a total."""
    one = OwnRow(0, row, table, layout, Told())
    return is_sum(one) or bool(besides_in(one))


def number_at(table: OwnTable, row: int, place: int) -> Decimal | None:
    """The number of a cell without its currency, for a guess only; None where it is none or can be read in two ways."""
    return _read(table.cell(row, place), table.is_exact(row, place))


def number_of(text: str, *, exact: bool) -> Decimal | None:
    """The same of a text."""
    return _read(text, exact)


@lru_cache(maxsize=8192)  # each cell is asked for once with each pair of other columns
def _read(text: str, exact: bool) -> Decimal | None:
    digits = without_money(text.removesuffix("%").strip())[0]
    if exact and re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", digits, re.ASCII):
        return Decimal(digits)
    said = written_with(bare(digits))
    try:
        return None if said == "?" else Decimal(number_in(digits, said or "."))
    except (InvalidOperation, Unreadable):
        return None


def _amount_at(table: OwnTable, row: int, place: int) -> Decimal | None:
    """The number of an amount with its unit behind it: 5 of "5 kg"; None for anything else."""
    found = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?) ?[^\W\d_]+\.?", table.cell(row, place), re.ASCII)
    return Decimal(found[1]) if found else None


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
