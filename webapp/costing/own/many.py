"""Prices for a hundred or a thousand of what no unit is said: "Price/100", as packaging is offered."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.own.columns import per_in
from webapp.costing.own.price_heads import many_in
from webapp.costing.own.rows import OwnRow
from webapp.costing.units import PIECES


def for_how_much(row: OwnRow, role: str, *, is_packaging: bool) -> str:
    """For how much a price is by its head; where that says only how many, of the unit beside it, or of packaging."""
    many, beside = many_in(row.head(role)), row.text("unit")
    if not many:
        return per_in(row.head(role)) or beside
    if beside := beside or row.told.unit:
        return f"{many} {beside}"
    if not is_packaging:
        row.fault(role, f"For {many} of what is this price? Write it behind the price, such as 12.50/{many} g.")
    return f"{many} {PIECES}"


def in_packs_of_many(row: OwnRow, role: str, bought: Decimal) -> Decimal:
    """How many packs were bought where a price is for 100, and 300 were: nobody writes down 300 hundreds."""
    many = many_in(row.head(role))
    if not many or bought == ONE or bought % many != ZERO:
        return bought
    row.remarks.append(f"{bought} are {bought / many} times {many}.")
    return bought / many
