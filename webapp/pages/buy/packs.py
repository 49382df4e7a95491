"""Which packs to buy: what is needed and offered, below it the cheapest plan and the next best. Nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import partial
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from webapp.costing.amounts import half_up, plain, snap
from webapp.costing.called import Known
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import MONEY
from webapp.costing.pack_asking import Taken, answered
from webapp.costing.pack_facts import Bought, Plan, SupplierOrder
from webapp.costing.pack_offers import Known as Offered
from webapp.costing.pack_working import total_working, used_working
from webapp.costing.units import PURCHASE_UNITS
from webapp.costing.working import Working
from webapp.errors import Unprocessable
from webapp.pages import addresses, drafts, forms
from webapp.pages.buy.last_time import names_of
from webapp.pages.buy.pack_lines import blank, named, reading
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.offers import tax_words
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "buy"
UNITS = [(unit, unit) for unit in PURCHASE_UNITS]
#: price breaks that a line has room for
BREAKS = 3
NO_NEAR: Mapping[str, tuple[str, ...]] = {}


@dataclass(frozen=True, slots=True)
class LineShown:
    """One line of a plan."""

    pack: str
    href: str
    supplier: str
    packs: int
    price: Decimal
    cost: Decimal
    age: str
    stale: bool


@dataclass(frozen=True, slots=True)
class OrderShown:
    """What is bought from one supplier; `fields` are those of the form that enters it as an order."""

    supplier: str
    order: SupplierOrder
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class BoughtShown:
    """One material of a plan. Months are rounded to a tenth."""

    name: str
    href: str
    by_piece: bool
    bought: Bought
    lasts: Figure
    left_lasts: Figure
    working: Working
    unsold: tuple[str, ...]

    @property
    def unit(self) -> str:
        """How an amount of it is shown."""
        return "pieces" if self.by_piece else "g"


@dataclass(frozen=True, slots=True)
class PlanShown:
    """One plan; `more` is what it costs beyond the cheapest."""

    plan: Plan
    more: Decimal
    lines: tuple[LineShown, ...]
    orders: tuple[OrderShown, ...]
    bought: tuple[BoughtShown, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class PacksView:
    """What stands round the form, and the answer."""

    materials: tuple[Known, ...]
    formulas: list[tuple[str, str]]
    suppliers: list[tuple[str, str]]
    units: list[tuple[str, str]]
    breaks: int
    home: str
    start: Form
    plans: tuple[PlanShown, ...] = ()
    complete: bool = True
    gap: Gap | None = None
    left_out: tuple[Gap, ...] = ()
    near: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    ages: Mapping[str, str] = field(default_factory=dict)
    """Of each offer in the form, how old its price is; nothing of one that was typed."""

    @property
    def asked(self) -> bool:
        """Whether there is an answer to show."""
        return bool(self.plans) or self.gap is not None


def page(desk: Desk, form: Form, taken: Taken | None = None, near: Mapping[str, tuple[str, ...]] = NO_NEAR) -> View:
    """The form, and the answer where something is asked."""
    view = PacksView(
        names_of(desk).offered,
        desk.options("formula"),
        desk.options("supplier"),
        UNITS,
        BREAKS,
        desk.book.workshop.currency,
        forms.press(desk, addresses.create("order")),
        near={row: tuple((name, name) for name in names) for row, names in near.items()},
    )
    if taken is not None:
        view = _answered(desk, view, taken)
    return View("buy/packs/page.html", "Which packs to buy", PLACE, view, form, "buy/packs/_form.html")


@router.get(addresses.PACKS)
def packs(desk: DeskNow, material: Annotated[str, Query()] = "", formula: Annotated[str, Query()] = "") -> Response:
    """The form, with a material or a batch of a formula in it where one is named."""
    values: dict[str, Any] = {}
    if material.isascii() and material.isdigit() and len(material) <= 9 and int(material) in desk.book.materials:
        values["needs"] = [{"material": desk.book.materials[int(material)].name}]
    if formula in dict(desk.options("formula")):
        values["batches"] = [{"formula": formula, "batches": "1"}]
    return drafts.again(desk, _found) or show(desk, page(desk, blank(desk, **values)))


@router.post(addresses.PACKS)
def find_packs(desk: DeskNow, typed: TypedNow) -> Response:
    """The cheapest packs for what is typed. Nothing of the book is changed."""
    return _found(desk, typed)


def _found(desk: Desk, typed: Typed) -> Response:
    if typed.more or typed.less:
        return drafts.shown_again(desk, typed, page(desk, forms.with_lines(named(desk, typed), typed)))
    found = reading(desk, typed)
    view = page(desk, found.form, found.taken, found.near)
    # What the book adds is not kept with what was typed: it may be another price when somebody comes back.
    return drafts.shown_again(desk, typed, view, Unprocessable.status if found.taken is None else 200, as_sent=True)


# --- the answer


def _answered(desk: Desk, view: PacksView, taken: Taken) -> PacksView:
    answer = answered(desk.reckoning, taken)
    view = replace(view, ages={f"offers-{place}": _age(desk, one) for place, one in enumerate(taken.sources)})
    if isinstance(answer, Gap):
        return replace(view, gap=answer, left_out=taken.left_out)
    first = answer.plans[0].total
    shown = tuple(_plan(desk, taken, one, first) for one in answer.plans)
    return replace(view, plans=shown, complete=answer.complete, left_out=taken.left_out)


def _plan(desk: Desk, taken: Taken, plan: Plan, first: Decimal) -> PlanShown:
    return PlanShown(
        plan,
        plan.total - first,
        tuple(_lines(desk, taken, plan)),
        tuple(_order(desk, taken, plan, one) for one in plan.orders),
        tuple(_bought(desk, taken, one) for one in plan.bought),
        total_working(desk.book, taken.typed, plan, partial(plain, decimal_sign=desk.formats.decimal_sign)),
    )


def _lines(desk: Desk, taken: Taken, plan: Plan) -> Sequence[LineShown]:
    shown = []
    for line in plan.lines:
        offer = taken.typed[line.place]
        name, supplier = desk.book.materials[offer.material].name, desk.book.suppliers[offer.supplier].name
        size = plain(offer.size, desk.formats.decimal_sign)
        href = addresses.thing("material", offer.material)
        source, pack = taken.sources[line.place], f"{name}, {size} {offer.unit}"
        said = (_age(desk, source), source is not None and source.stale)
        shown.append(LineShown(pack, href, supplier, line.packs, line.price, line.cost, *said))
    return shown


def _age(desk: Desk, source: Offered | None) -> str:
    """The day of the book's own price, whether it is older than the workshop looks back, and its tax."""
    if source is None:
        return ""
    day = desk.formats.day(source.day)
    said = [f"quoted {day}" if source.source.kind == "quote" else f"paid {day}"]
    if source.stale:
        said.append(f"older than {plain(desk.book.workshop.stale_months)} months")
    if source.tax is not None:
        said.append(f"{tax_words(desk, source.tax)}: {'added' if source.tax.in_cost else 'left out'}")
    return ", ".join(said)


def _order(desk: Desk, taken: Taken, plan: Plan, order: SupplierOrder) -> OrderShown:
    return OrderShown(desk.book.suppliers[order.supplier].name, order, tuple(_fields(desk, taken, plan, order)))


def _fields(desk: Desk, taken: Taken, plan: Plan, order: SupplierOrder) -> list[tuple[str, str]]:
    """The order's form filled in: in our own money, whatever the supplier's is."""
    sign, home = desk.formats.decimal_sign, desk.book.workshop.currency
    fields = [("supplier", str(order.supplier)), ("day", desk.today.isoformat()), ("currency", home)]
    lines = [one for one in plan.lines if taken.typed[one.place].supplier == order.supplier]
    for place, line in enumerate(lines):
        offer = taken.typed[line.place]
        texts = {
            "material": desk.book.materials[offer.material].name,
            "packs": str(line.packs),
            "size": plain(offer.size, sign),
            "unit": offer.unit,
            "price": MONEY.show(line.price, desk.notation),
        }
        fields += [(f"lines-{place}-{name}", text) for name, text in texts.items()]
    if order.freight:
        fields += [("charges-0-kind", "freight"), ("charges-0-amount", MONEY.show(order.freight, desk.notation))]
    return fields


def _bought(desk: Desk, taken: Taken, bought: Bought) -> BoughtShown:
    material = desk.book.materials[bought.need.material]
    unsold = tuple(desk.book.products[one].name for one in taken.unsold.get(material.id, ()))
    href = addresses.thing("material", material.id)
    working = used_working(desk.book, bought)
    lasts, left = _tenths(bought.lasts), _tenths(bought.left_lasts)
    return BoughtShown(material.name, href, material.by_piece, bought, lasts, left, working, unsold)


def _tenths(months: Figure) -> Figure:
    return months if isinstance(months, Gap) else half_up(snap(months), 1)
