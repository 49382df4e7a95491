"""Which price counts for a material, as of the book's day (method.md section 2): one short function each, in a table.

Costs are per gram of an ingredient and per piece of everything else, in home currency. Retired suppliers and
materials change nothing: what was paid was paid.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import reduce
from operator import attrgetter
from typing import NamedTuple

from webapp.costing import order_working
from webapp.costing.amounts import ONE, ZERO, Ratio
from webapp.costing.book import Book, Id, Material, Quote
from webapp.costing.gaps import Figure, Gap, Ref, added
from webapp.costing.orders import Landed, LandedLine
from webapp.costing.purchases import months_before
from webapp.costing.quantities import conversion, per_one, reckoned_in, usable
from webapp.costing.quantities import working as quantity_working
from webapp.costing.rates import exchanged
from webapp.costing.working import Step, Working

_BY_DAY = attrgetter("day", "order", "index")

OLDER = "older than the window"
STARTING = "starting price"
#: each rule as the title of a working says it
RULES = {
    "latest": "bought last",
    "averaged": "on average",
    "dearest": "bought dearest",
    "quote": "as quoted",
    "starting price": "by its starting price",
}
LAPSED = "its quote is not valid on this day"


class MaterialCost(NamedTuple):
    """What a material costs, by which rule, and where that came from.

    `unit_cost` is per gram or piece, `exact` the same undivided; `landed` over `quantity` where both are known.
    `used` are (order, index of its line); `day` is the newest of their days, or the quote's first. `stale`: the newest
    purchase is older than the workshop looks back, or the price is a starting price without a day, and nobody has said
    since then that it is still right.
    """

    material: Id
    unit_cost: Figure
    exact: Ratio | Gap
    landed: Figure
    quantity: Figure
    rule: str
    used: tuple[tuple[Id, int], ...] = ()
    day: date | None = None
    marks: tuple[str, ...] = ()
    stale: bool = False
    quote: Id | None = None


def by_material(orders: Iterable[Landed]) -> dict[Id, tuple[LandedLine, ...]]:
    """All lines of all orders under the material they bought."""
    lines: dict[Id, list[LandedLine]] = {}
    for order in orders:
        for line in order.lines:
            lines.setdefault(line.line.material, []).append(line)
    return {material: tuple(bought) for material, bought in lines.items()}


def material_cost(book: Book, material: Material, purchases: Sequence[LandedLine]) -> MaterialCost:
    """The cost of `material` by its basis on the book's day; `purchases` are all its lines, in any order.

    A chosen quote wins while it is valid; without any price-setting line the starting price stands in, marked; without
    that the cost is a gap.
    """
    quote = book.quotes.get(material.quote) if material.quote is not None else None
    if quote is not None and quote.since <= book.day <= quote.until:
        return quoted(book, material, quote)
    lines = _price_setting(book, purchases)
    if not lines:
        return _marked(_started(book, material), LAPSED if material.quote is not None else "")
    if material.quote is not None:
        return _marked(_settled(book, material, lines, "latest"), LAPSED)
    return _settled(book, material, lines, material.basis or book.workshop.basis)


def _price_setting(book: Book, purchases: Sequence[LandedLine]) -> list[LandedLine]:
    """Oldest first; within a day by order and line, so that the order of typing changes nothing."""
    lines = [line for line in purchases if not line.line.not_priced and line.day <= book.day]
    return sorted(lines, key=_BY_DAY) if len(lines) > 1 else lines


# --- which lines, and how they become one cost ------------------------------------------------------------------------


def _newest(book: Book, material: Material, lines: Sequence[LandedLine]) -> list[LandedLine]:
    del book, material
    return [line for line in lines if line.day == lines[-1].day]


def _window(book: Book, material: Material, lines: Sequence[LandedLine]) -> list[LandedLine]:
    months = material.basis_months or book.workshop.basis_months
    after = months_before(book.day, months)
    return [line for line in lines if line.day > after]


def _together(lines: Sequence[LandedLine]) -> tuple[LandedLine, ...]:
    return tuple(lines)


def _highest(lines: Sequence[LandedLine]) -> tuple[LandedLine, ...]:
    """The one line that cost most per gram or piece; the newest of equals."""
    known = [(line.unit_cost, place) for place, line in enumerate(lines) if isinstance(line.unit_cost, Decimal)]
    return (lines[max(known)[1]],)


@dataclass(frozen=True, slots=True)
class Basis:
    """`choose` says which lines count on the day (none: the newest before it), `settle` which of them make the cost."""

    choose: Callable[[Book, Material, Sequence[LandedLine]], list[LandedLine]]
    settle: Callable[[Sequence[LandedLine]], tuple[LandedLine, ...]]


BASES: dict[str, Basis] = {
    "latest": Basis(_newest, _together),
    "averaged": Basis(_window, _together),
    "dearest": Basis(_window, _highest),
}


def _settled(book: Book, material: Material, lines: Sequence[LandedLine], rule: str) -> MaterialCost:
    chosen = BASES[rule].choose(book, material, lines)
    counted = chosen or _newest(book, material, lines)
    marks = () if chosen else (OLDER,)
    for line in counted:
        if isinstance(line.exact, Gap):
            return _missing(material, line.exact)._replace(used=((line.order, line.index),), marks=marks)
    used = BASES[rule].settle(counted)
    stale = _is_old(book, material, lines[-1].day)
    if len(used) == 1:
        one = used[0]
        at = ((one.order, one.index),)
        return MaterialCost(
            material.id, one.unit_cost, one.exact, one.landed, one.quantity, rule, at, one.day, marks, stale
        )
    # A line whose unit cost is known has both.
    home = reduce(Ratio.plus, [line.home for line in used if isinstance(line.home, Ratio)])
    quantity = sum([line.quantity for line in used if isinstance(line.quantity, Decimal)], ZERO)
    exact = home.per(quantity)
    places, day = tuple((line.order, line.index) for line in used), max(line.day for line in used)
    return MaterialCost(
        material.id, exact.value, exact, home.value, quantity, rule, places, day, marks, stale
    )  # fmt: skip


def _is_old(book: Book, material: Material, bought: date | None) -> bool:
    """Whether it is longer ago than the workshop looks back that it was bought or that its price was looked at."""
    review = book.reviews.get(material.id)
    days = [day for day in (bought, review.since if review else None) if day is not None]
    return not days or max(days) < months_before(book.day, book.workshop.stale_months)


def _divided(material: Material, home: Ratio | Gap, quantity: Figure) -> MaterialCost:
    if isinstance(home, Gap):
        return _missing(material, home)
    if isinstance(quantity, Gap):
        return _missing(material, quantity)
    exact = home.per(quantity)
    return MaterialCost(material.id, exact.value, exact, home.value, quantity, "")


def _missing(material: Material, gap: Gap) -> MaterialCost:
    return MaterialCost(material.id, gap, gap, gap, gap, "")


# --- prices without an order --------------------------------------------------------------------------------------


def quoted(book: Book, material: Material, quote: Quote) -> MaterialCost:
    """One pack at the quoted price, taken as landed."""
    cure = Ref("quote", quote.id, "exchange-amount")
    rate = exchanged(book, quote.currency, quote.exchange, quote.price, cure)
    home = rate if isinstance(rate, Gap) else rate.times(quote.price)
    quantity = usable(material, quote.size, quote.unit, Ref("quote", quote.id, "unit"))
    return _divided(material, home, quantity)._replace(rule="quote", day=quote.since, quote=quote.id)


def _started(book: Book, material: Material) -> MaterialCost:
    at = Ref("material", material.id, "starting")
    if material.starting is None:
        return _missing(material, Gap(f"{material.name} has no price yet. Enter an order, or a starting price.", at))
    quantity = usable(material, ONE, material.starting.unit, at)
    cost = _divided(material, Ratio(material.starting.amount), quantity)
    return cost._replace(rule="starting price", marks=(STARTING,), stale=_is_old(book, material, None))


def _marked(cost: MaterialCost, mark: str) -> MaterialCost:
    return cost._replace(marks=(*cost.marks, mark)) if mark else cost


# --- opened to its working -------------------------------------------------------------------------------------------


def working(book: Book, cost: MaterialCost, line_of: Callable[[Id, int], tuple[Landed, LandedLine]]) -> Working:
    """A material's unit cost opened: the lines, quote or starting price it came from; `line_of` finds a line."""
    material = book.materials[cost.material]
    title = f"{material.name}, {RULES.get(cost.rule, 'no price')}"
    note = ". ".join(mark.capitalize() for mark in cost.marks)
    if cost.quote is not None:
        steps = _quote_steps(book, material, book.quotes[cost.quote])
    elif cost.used:
        steps = _line_steps(book, material, [line_of(order, index) for order, index in cost.used])
    else:
        steps = _starting_steps(material)
    return Working(title, steps, cost.unit_cost, "unit cost", per_one(material), note)


def _line_steps(book: Book, material: Material, lines: Sequence[tuple[Landed, LandedLine]]) -> tuple[Step, ...]:
    """One line alone shows its own sum; several are added up, landed and arrived, before the one division."""
    kind = reckoned_in(material)
    steps = []
    for place, (order, line) in enumerate(lines):
        at = Ref("order", line.order, f"lines-{line.index}")
        words = "with its share of freight and charges"
        below = order_working.landed_working(book, line, order)
        steps.append(Step("+" if place else "", line.landed, "money", words, at, below, day=line.day))
    if len(lines) > 1:
        steps.append(Step("=", added(line.landed for _, line in lines), "money", "together"))
    arrived = added(line.quantity for _, line in lines)
    if len(lines) == 1:
        _, line = lines[0]
        at = Ref("order", line.order, f"lines-{line.index}")
        return (*steps, Step("÷", arrived, kind, "arrived usable", at, order_working.quantity_working(book, line)))
    parts = tuple(
        Step(
            "+" if place else "",
            line.quantity,
            kind,
            "arrived usable",
            Ref("order", line.order, f"lines-{line.index}"),
            order_working.quantity_working(book, line),
            day=line.day,
        )
        for place, (_, line) in enumerate(lines)
    )
    together = Working(f"What arrived of {material.name}", parts, arrived, kind)
    return (*steps, Step("÷", arrived, kind, "arrived usable, together", None, together))


def _quote_steps(book: Book, material: Material, quote: Quote) -> tuple[Step, ...]:
    at = Ref("quote", quote.id, "price")
    name = book.suppliers[quote.supplier].name
    steps = [Step("", quote.price, "money", f"{name}'s price for one pack", at, unit=quote.currency)]
    if quote.currency != book.workshop.currency:
        cure = Ref("quote", quote.id, "exchange-amount")
        rate = exchanged(book, quote.currency, quote.exchange, quote.price, cure)
        amount = rate if isinstance(rate, Gap) else rate.value
        steps.append(Step("×", amount, "rate", f"for one {quote.currency}", cure))
    size = Step("", quote.size, "number", f"{quote.unit} in a pack", Ref("quote", quote.id, "size"))
    quantity = usable(material, quote.size, quote.unit, Ref("quote", quote.id, "unit"))
    return (*steps, _divided_by(material, size, quote.unit, quantity))


def _starting_steps(material: Material) -> tuple[Step, ...]:
    if material.starting is None:
        return ()
    at = Ref("material", material.id, "starting")
    unit = material.starting.unit
    one = Step("", ONE, "number", f"{unit}", at)
    price = Step("", material.starting.amount, "money", f"about, for one {unit}", at)
    return (price, _divided_by(material, one, unit, usable(material, ONE, unit, at)))


def _divided_by(material: Material, size: Step, unit: str, quantity: Figure) -> Step:
    opened = quantity_working(material, (size,), unit, quantity) if conversion(material, unit) else None
    return Step("÷", quantity, reckoned_in(material), size.words, size.source, opened)
