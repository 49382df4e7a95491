"""The sums behind a plan of packs: its total, and what a used gram or piece of a material costs in it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from webapp.costing.amounts import plain
from webapp.costing.book import Book
from webapp.costing.gaps import Gap, Ref, surely
from webapp.costing.pack_asking import TypedOffer
from webapp.costing.pack_facts import Bought, Line, Plan, SupplierOrder
from webapp.costing.quantities import per_one, reckoned_in
from webapp.costing.working import Step, Working


def total_working(
    book: Book, offers: Sequence[TypedOffer], plan: Plan, written: Callable[[Decimal], str] = plain
) -> Working:
    """What all packs cost, and the freight of every order; `written` writes the size of a pack."""
    steps = [_line_step(book, offers, one, place == 0, written) for place, one in enumerate(plan.lines)]
    return Working("The plan", (*steps, *(_freight_step(book, one) for one in plan.orders)), plan.total, "money")


def _line_step(
    book: Book, offers: Sequence[TypedOffer], line: Line, first: bool, written: Callable[[Decimal], str]
) -> Step:
    each = offers[line.place]
    name, supplier = book.materials[each.material].name, book.suppliers[each.supplier].name
    words = f"{written(each.size)} {each.unit} {name}, from {supplier}"
    below = Working(
        words,
        (Step("", Decimal(line.packs), "number", "packs"), Step("×", line.price, "money", "for each")),
        line.cost,
        "money",
    )
    source = Ref("material", each.material)
    return Step("" if first else "+", line.cost, "money", f"{line.packs} × {words}", source, below)


def _freight_step(book: Book, order: SupplierOrder) -> Step:
    name = book.suppliers[order.supplier].name
    words = f"freight of {name}" if not order.spared else f"freight of {name}: free for so much"
    return Step("+", order.freight, "money", words, Ref("supplier", order.supplier))


def used_working(book: Book, bought: Bought) -> Working:
    """What a used gram or piece costs: goods and freight over what is used before it spoils."""
    material = book.materials[bought.need.material]
    steps = (
        Step("", bought.goods, "money", "for its packs"),
        Step("+", bought.freight, "money", "share of freight, by value"),
        Step("=", bought.cost, "money", "together"),
        _used_step(book, bought),
    )
    return Working(f"What is used of {material.name}", steps, bought.per_used, "unit cost", per_one(material))


def _used_step(book: Book, bought: Bought) -> Step:
    """What is used in time: all of it, what batches take at once, or what the months take that it keeps."""
    need, material = bought.need, book.materials[bought.need.material]
    kind = reckoned_in(material)
    if bought.used == bought.amount:
        return Step("÷", bought.used, kind, "used: all that is bought")
    if bought.used == need.at_once:
        return Step("÷", bought.used, kind, "used by the planned batches; the rest spoils")
    if isinstance(bought.used, Gap):
        return Step("÷", bought.used, kind, "used before it spoils")
    keeps = Ref("material", need.material, "shelf_months")
    steps = (
        Step("", need.a_month, kind, "used in a month", Ref("material", need.material)),
        Step("×", surely(need.months), "number", "months that it keeps", keeps),
    )
    below = Working(f"What is used of {material.name} before it spoils", steps, bought.used, kind)
    return Step("÷", bought.used, kind, "used before it spoils", None, below)
