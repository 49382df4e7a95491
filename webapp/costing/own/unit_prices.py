"""Prices that are headed "Unit cost" beside a pack: whether the unit is the pack, or one kg, g, L, piece of it.

Where prices of rows in large units and of rows in small ones can be those of one list in one way only, that is taken,
and said; else it is asked once for the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from statistics import median

from webapp.costing.amounts import ONE, Unreadable, half_up
from webapp.costing.own import cells
from webapp.costing.own.answered import OF_ONE, OF_PACK
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import MATERIALS, Layout, OwnTable, per_in, words_of
from webapp.costing.own.price_heads import many_in, without_besides
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.units import MASS, PIECES, VOLUME

#: heads whose unit may be the pack or what is in it
_OPEN = frozenset(
    "unit price, unit cost, price per unit, cost per unit, price a unit, cost a unit, unit rate, rate per unit".split(
        ", "
    )
)
#: heads of how much was bought: beside a unit in a column of its own a price for one is that of the unit, as invoices
#: have it
_BOUGHT = frozenset("qty, quantity, amount, menge, quantite, cantidad, quantita, hoeveelheid".split(", "))
#: how many times as much a kg of what is bought by the gram costs as one of what is bought by the kg, in lists of
#: materials as they are; further out neither is likely, and beyond the second pair hardly any is
_LIKELY, _HARDLY = (Decimal("0.1"), Decimal(100)), (Decimal("0.05"), Decimal(200))
#: from how many grams or mL on a unit is a large one
_LARGE = 400


def is_open(head: str) -> bool:
    """Whether a head of prices names a unit and leaves open whether that is a pack."""
    return words_of(without_besides(head)) in _OPEN and not per_in(head) and not many_in(head)


def with_what_rows_show(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet], told: Told
) -> dict[int, OfSheet]:
    """What was said of each sheet, with what its unit prices are for where nobody said that and its rows show it."""
    found = dict(said)
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        of = found.get(number, OfSheet())
        shown = "" if of.each or layout.holds != MATERIALS else _shown(number, table, layout, told)
        if shown:
            found[number] = replace(of, each=shown)
    return found


def for_pack(row: OwnRow, price: Read, pack: Read) -> str | None:
    """What such a price is for: OF_PACK or OF_ONE; None where it is asked, which is noted at its cell."""
    if pack.value == ONE:
        return OF_PACK
    if row.told.each:
        return row.told.each
    if _is_bought(row.table, row.layout):
        return OF_ONE
    number, money = row.told.written.number, row.told.written.money
    one, size = "1 piece" if pack.unit == PIECES else f"1 {pack.unit}", f"{number(pack.value)} {pack.unit}"
    paid, each, whole = (
        money(half_up(value, cells.MONEY_PLACES), price.unit or row.told.home)
        for value in (price.whole, price.whole / pack.value, price.whole * pack.value)
    )
    words = f"\u201c{row.head('unit_price')[:40]}\u201d says {paid} beside {size}. Is that the price of the pack, so "
    row.fault(
        "unit_price",
        f"{words}that {one} costs {each}, or the price of {one}, so that the pack costs {whole}? Choose it for this "
        "sheet.",
        "each",
    )
    return None


def _is_bought(table: OwnTable, layout: Layout) -> bool:
    """Whether an amount that was bought stands beside its unit, and no size of a pack."""
    pack = layout.place("pack")
    return pack is not None and "unit" in layout.roles and words_of(table.cell(layout.heads, pack)) in _BOUGHT


def _shown(number: int, table: OwnTable, layout: Layout, told: Told) -> str:
    """What the rows of a sheet show; "" where they show nothing, or need not."""
    place = layout.place("unit_price")
    if (
        place is None
        or layout.place("pack") is None
        or not layout.heads
        or not is_open(table.cell(layout.heads, place))
    ):
        return ""
    rows = list(_rows(number, table, layout, told))
    of_one, of_pack = (_times(rows, way) for way in (OF_ONE, OF_PACK))
    if of_one is None or of_pack is None:
        return ""
    for way, share, other in ((OF_PACK, of_pack, of_one), (OF_ONE, of_one, of_pack)):
        likely, hardly = _LIKELY[0] <= share <= _LIKELY[1], not _HARDLY[0] <= other <= _HARDLY[1]
        if likely and hardly and not (way == OF_ONE and _is_bought(table, layout)):
            return way
    return ""


def _rows(number: int, table: OwnTable, layout: Layout, told: Told) -> Iterator[tuple[Decimal, Read]]:
    """The price and the pack of each row in which both can be read, the pack by weight or by volume."""
    for at in range(layout.heads + 1, len(table.rows) + 1):
        row = OwnRow(number, at, table, layout, told)
        beside = row.text("unit")
        try:
            price, unit = cells.money(row.text("unit_price"), row.told_of("unit_price"))
            pack = cells.amount(row.text("pack"), row.told_of("pack"), beside)
        except (cells.Doubt, Unreadable):
            continue
        if not row.text("price") and not unit and price.value and pack.unit in (*MASS, *VOLUME):
            yield price.value, pack


def _times(rows: Sequence[tuple[Decimal, Read]], way: str) -> Decimal | None:
    """How many times as much rows in small units cost as rows in large ones, for the same weight."""
    small: list[Decimal] = []
    large: list[Decimal] = []
    for price, pack in rows:
        unit = MASS.get(pack.unit) or VOLUME[pack.unit]
        each = price / unit / (pack.value if way == OF_PACK else ONE)
        (large if unit >= _LARGE else small).append(each)
    return median(small) / median(large) if small and large else None
