"""A price for one of something as it is kept: that of the pack beside it, or of a thousand where one costs little."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing.amounts import ONE, Unreadable, half_up, plain
from webapp.costing.own import cells
from webapp.costing.own.cells import MONEY_PLACES, Read
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.told import Told
from webapp.costing.units import MASS, VOLUME

#: from which share on a fifth decimal of a price for one of something is worth keeping, and for how many it is then
_TOO_ROUGH, _MANY = Decimal("0.00005"), 1000


def sum_of(row: OwnRow, value: Decimal, currency: str) -> str:
    """An amount of money as it is said: in its own currency, else the workshop's."""
    return row.told.written.money(value, currency or row.told.home)


def finely(price: Read, each: Read, told: Told) -> tuple[Read, Read]:
    """A price for one of something as it is kept: where one gram costs too little for four decimals, of a thousand."""
    exact = price.whole
    if abs(exact - price.value) <= exact * _TOO_ROUGH or each.unit not in (*MASS, *VOLUME):
        return price, each
    kept = half_up(exact * _MANY, MONEY_PLACES)
    sums = [told.written.money(one, price.unit or told.home) for one in (exact * _MANY, kept)]
    said = "" if kept == exact * _MANY else f"{sums[0]} is kept as {sums[1]}."
    return replace(price, value=kept, remark=said), Read(each.value * _MANY, each.unit)


def for_all_of(row: OwnRow, price: Read, each: Read, pack: Read) -> Decimal | None:
    """The price of a pack from that of one of something; exact but for the last of four decimals, which is said."""
    factor = next((table for table in (MASS, VOLUME) if pack.unit in table and each.unit in table), None)
    if factor is None and pack.unit != each.unit:
        row.fault(
            "unit_price",
            f"The pack is in {pack.unit} and its price for one {each.unit}: correct one of them.",
            "",
            "price",
        )
        return None
    turned = ONE if factor is None else factor[pack.unit] / factor[each.unit]
    share = pack.value * turned / each.value
    exact = price.whole * share
    try:
        kept = cells.fitting(exact, lim.MONEY, plain(exact))
    except Unreadable as unreadable:
        row.fault("unit_price", unreadable.sentence, "", "price")
        return None
    number, (paid, comes) = row.told.written.number, (sum_of(row, one, price.unit) for one in (price.whole, kept))
    one, whole = f"{number(each.value)} {each.unit}", f"{number(pack.value)} {pack.unit}"
    row.remarks.append(f"{paid} for {one} makes {comes} for {whole}.")
    return kept
