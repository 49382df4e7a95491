"""How much dearer each ingredient of a product may get before its price misses its target, and the sum behind it.

Method.md section 6. Money is in the home currency, a room is money per gram. The method speaks of one ingredient at a
time: all others, and everything else, stay as they are.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.jars import charged_grams
from webapp.costing.line import headroom
from webapp.costing.price_working import working as row_working
from webapp.costing.rows import Row
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


def rooms(known: Reckoning, row: Row) -> Mapping[Id, Figure] | Gap:
    """The headroom of every ingredient that a jar pays for; below zero where the target is missed already.

    A gap where the grams of a jar are not known; the gap of the row's profit at each ingredient where that is missing.
    """
    grams = charged_grams(known, row.product)
    if isinstance(grams, Gap):
        return grams
    return {material: headroom(row, charged) for material, charged in grams.items() if charged}


def working(known: Reckoning, row: Row, material: Id) -> Working:
    """The sum behind the headroom of one ingredient; its result is per gram. KeyError where there is none of it."""
    grams = charged_grams(known, row.product)
    charged: Figure = grams if isinstance(grams, Gap) else grams[material]
    kept = from_known(lambda net: row.target * net, row.net)
    room = from_known(lambda profit, target: profit - target, row.profit, kept)
    book = known.book
    name, product = book.materials[material].name, Ref("product", row.product)
    net = row_working(known, row, "net")
    target = Working(
        "What the target keeps",
        (
            Step("", row.net, "money", "price net of sales tax", working=net),
            Step("×", row.target, "percent", "target margin", Ref("product", row.product, f"target-{row.channel}")),
        ),
        kept,
        "money",
    )
    steps = (
        Step("", row.profit, "money", "left of a jar", working=row_working(known, row, "profit")),
        Step("-", kept, "money", "that the target keeps", working=target),
        Step("=", room, "money", "that a jar may still cost more"),
        Step("÷", charged, "g", f"of {name} that a jar pays for, losses in it", product),
    )
    result: Figure = charged if isinstance(charged, Gap) else headroom(row, charged)
    title = f"How much dearer {name} may get: {book.products[row.product].name}, {book.channels[row.channel].name}"
    note = "Everything else stays as it is. Below zero, the target is missed already."
    return Working(title, steps, result, "unit cost", unit="per g", note=note)


def opened(known: Reckoning, product: Id, channel: Id, material: Id) -> Working | None:
    """The sum behind the headroom of one ingredient; None where the product isn't sold there or has none of it."""
    row = next((one for one in known.rows(product) if one.channel == channel), None)
    found = {} if row is None else rooms(known, row)
    if row is None or (not isinstance(found, Gap) and material not in found):
        return None
    return working(known, row, material)


def first_to_fall(known: Reckoning, rows: tuple[Row, ...]) -> dict[Id, tuple[Decimal, Row]]:
    """For each ingredient the row whose target a rise would break first, with its room.

    Rows that miss their target already, that have no accepted price, or whose figures are missing have no say in it:
    at a suggested price the rise would move the price.
    """
    least: dict[Id, tuple[Decimal, Row]] = {}
    for row in rows:
        if not row.accepted or not row.reaches:
            continue
        found = rooms(known, row)
        for material, room in () if isinstance(found, Gap) else found.items():
            if isinstance(room, Decimal) and (material not in least or room < least[material][0]):
                least[material] = (room, row)
    return least
