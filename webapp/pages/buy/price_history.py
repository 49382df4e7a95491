"""The price history of a material as its page shows it: the plot, every purchase, and suppliers' packs side by side."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.book import Material
from webapp.costing.material_history import (
    Bought,
    CostOn,
    MaterialHistory,
    Offer,
    material_history,
)
from webapp.costing.standing import paid, standing
from webapp.costing.units import MASS
from webapp.pages import addresses
from webapp.pages.offers import standing_words, tax_words
from webapp.pages.plots import Plot, Point, Series, amounts, at_day, days, plot
from webapp.pages.rendering import Desk


@dataclass(frozen=True, slots=True)
class Purchase:
    """One line that bought it, with the page of its order."""

    supplier: str
    href: str
    bought: Bought


@dataclass(frozen=True, slots=True)
class Side:
    """One supplier's pack beside the others."""

    supplier: str
    href: str
    offer: Offer
    tax: str


@dataclass(frozen=True, slots=True)
class StepShown:
    """What it cost from a day on; `tax` says where that can't be compared with the cost before."""

    step: CostOn
    tax: str


@dataclass(frozen=True, slots=True)
class HistoryView:
    """What the page says of the price over time; `standing` and `tax` are sentences, or nothing."""

    history: MaterialHistory
    plot: Plot | None
    steps: tuple[StepShown, ...]
    purchases: tuple[Purchase, ...]
    sides: tuple[Side, ...]
    standing: str
    tax: str


def history_of(desk: Desk, material: Material) -> HistoryView:
    """The price history of a material on the day that is looked at."""
    found = material_history(desk.reckoning, material.id)
    return HistoryView(
        found,
        drawn(desk, material, found.steps),
        tuple(StepShown(one, tax_words(desk, one.tax)) for one in reversed(found.steps)),
        tuple(
            Purchase(_supplier(desk, one.supplier), desk.at(addresses.thing("order", one.line.order)), one)
            for one in found.bought
        ),
        tuple(_side(desk, one) for one in found.offers),
        _standing(desk, material),
        _capital(tax_words(desk, found.tax)),
    )


def _capital(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}." if words else ""


def _side(desk: Desk, offer: Offer) -> Side:
    return Side(_supplier(desk, offer.supplier), _source(desk, offer), offer, tax_words(desk, offer.tax))


def _supplier(desk: Desk, ident: int) -> str:
    return str(desk.book.suppliers[ident].name)


def _source(desk: Desk, offer: Offer) -> str:
    """The order that it was bought with; a quote stands on the page itself."""
    if offer.order is None:
        return f"#quote-{offer.quote}"
    return desk.at(addresses.thing("order", offer.order))


def drawn(desk: Desk, material: Material, steps: tuple[CostOn, ...]) -> Plot | None:
    """The cost over time as steps, up to the day that is looked at."""
    many = Decimal(1) if material.by_piece else MASS[desk.formats.mass_unit]
    points = [_point(desk, material, one, many) for one in steps]
    if not points:
        return None
    values = [one.y for one in points if one.y is not None]
    line = Series("What it cost", "first", (*points, Point(at_day(desk.day), points[-1].y)), stepped=True)
    per = "a piece" if material.by_piece else f"per {desk.formats.mass_unit}"
    title = f"What {material.name} cost, {per}"
    across = days(steps[0].day, desk.day, desk.formats.day)
    return plot(title, _told(desk, material, steps), [line], across, amounts(values, desk.formats.fine_money))


def _point(desk: Desk, material: Material, one: CostOn, many: Decimal) -> Point:
    cost = one.unit_cost
    if not isinstance(cost, Decimal):
        return Point(at_day(one.day), None)
    words = f"From {desk.formats.day(one.day)}: {desk.formats.unit_cost(cost, material.by_piece)}"
    quoted = one.quote is not None
    return Point(at_day(one.day), cost * many, words + (", a quote" if quoted else ""), quoted)


def _told(desk: Desk, material: Material, steps: tuple[CostOn, ...]) -> str:
    """The drawing in words: where it began, where it is now."""
    first, last = steps[0], steps[-1]

    def cost(one: CostOn) -> str:
        return desk.formats.unit_cost(one.unit_cost, material.by_piece)

    begun = f"{cost(first)} from {desk.formats.day(first.day)}"
    return (
        f"{begun}. The figures stand in the tables below."
        if first is last
        else (f"{begun}, {cost(last)} from {desk.formats.day(last.day)} on. The figures stand in the tables below.")
    )


def _standing(desk: Desk, material: Material) -> str:
    """Whether the last price paid is the highest or lowest for long, as a sentence."""
    bought = paid(desk.reckoning, material.id, desk.day)
    if not bought:
        return ""
    day, cost = bought[-1]
    found = standing([one for one in bought if one[0] < day], cost, day)
    return f"The price paid on {desk.formats.day(day)} was the {standing_words(desk, found)}." if found else ""
