"""Supplier orders: the list, one of them landed line by line, and the form that says what an order would change."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fastapi import APIRouter
from starlette.responses import Response

from webapp.costing import orders as landing
from webapp.costing.book import Book, Order
from webapp.costing.changes import Put, Withdraw, apply
from webapp.costing.difference import MovedMaterial, MovedRow, moved_materials, moved_rows
from webapp.costing.gaps import Figure
from webapp.costing.orders import Landed
from webapp.costing.reckoning import Reckoning
from webapp.costing.units import PURCHASE_UNITS
from webapp.costing.working import Working
from webapp.errors import Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.buy.on_the_spot import Prepared, book_with, prepared
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed

router = APIRouter()
PLACE = "buy"
SUM = f"{addresses.LIST['order']}/sum"
PREVIEW = "preview"
BESIDE = ("new_supplier",)
OPTIONS: dict[str, list[tuple[str, str]]] = {
    "unit": [(unit, unit) for unit in PURCHASE_UNITS],
    "kind": [("ingredient", "an ingredient"), ("packaging", "packaging"), ("bought-in", "a bought-in piece")],
    "discount_in": [("money", "off the line"), ("percent", "percent")],
    "not_priced": [
        ("", "yes"),
        ("sample", "no: a sample or free"),
        ("emergency", "no: a small pack in a hurry"),
        ("replacement", "no: a replacement"),
        ("credit", "no: a credit"),
    ],
    "way": [
        ("home per unit", "our money for one of theirs"),
        ("units per home", "theirs for one of ours"),
        ("paid", "what was really paid, in our money"),
    ],
    "charge": [
        ("freight", "freight"),
        ("duty", "duty"),
        ("handling", "handling"),
        ("other", "another charge"),
        ("discount", "discount on all of it"),
        ("credit", "credit"),
    ],
    "money": [("order", "the order's"), ("home", "our own")],
    "share": [("value", "by value"), ("mass", "by mass"), ("equally", "equally")],
}


# --- all of them, and one


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One order in the list."""

    order: Order
    supplier: str
    total: Figure
    home: Figure
    what: str


@dataclass(frozen=True, slots=True)
class OrdersView:
    """What stands on the list of orders."""

    rows: tuple[OrderRow, ...]


@dataclass(frozen=True, slots=True)
class LineOpened:
    """One line of an order, with its working."""

    name: str
    href: str
    by_piece: bool
    line: landing.LandedLine
    working: Working


@dataclass(frozen=True, slots=True)
class OrderView:
    """What stands on an order's page."""

    order: Order
    supplier: str
    landed: Landed
    lines: tuple[LineOpened, ...]
    withdraw: Form


@router.get(addresses.LIST["order"])
def orders(desk: DeskNow) -> Response:
    """All orders, the newest first."""
    view = OrdersView(tuple(_row(desk, order) for order in desk.things("order")))
    return show(desk, View("buy/orders/list.html", "Supplier orders", PLACE, view))


def _row(desk: Desk, order: Order) -> OrderRow:
    landed = desk.reckoning.landed(order.id)
    names = [desk.book.materials[line.material].name for line in order.lines]
    what = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    return OrderRow(order, desk.book.suppliers[order.supplier].name, landed.total, landed.home_total, what)


@router.get(addresses.NEW["order"])
def new_order(desk: DeskNow, supplier: str = "") -> Response:
    """A form for an order of today."""
    chosen = (
        desk.book.suppliers.get(int(supplier))
        if supplier.isascii() and supplier.isdigit() and len(supplier) < 9
        else None
    )
    currency = chosen.currency if chosen else desk.book.workshop.currency
    form = forms.blank(desk, "order", day=str(desk.today), supplier=str(chosen.id) if chosen else "", currency=currency)
    return show(desk, form_page(desk, form))


@router.get(addresses.ONE["order"])
def order_page(desk: DeskNow, ident: Ident) -> Response:
    """One order, landed line by line."""
    order = desk.thing("order", ident)
    landed = desk.reckoning.landed(ident)
    lines = tuple(_opened(desk, landed, line) for line in landed.lines)
    withdraw = forms.press(desk, addresses.thing("order", ident, "withdraw"))
    view = OrderView(order, desk.book.suppliers[order.supplier].name, landed, lines, withdraw)
    title = f"{view.supplier}, {desk.formats.day(order.day)}"
    return show(desk, View("buy/orders/one.html", title, PLACE, view))


def _opened(desk: Desk, landed: Landed, line: landing.LandedLine) -> LineOpened:
    material = desk.book.materials[line.line.material]
    href = addresses.thing("material", material.id)
    return LineOpened(material.name, href, material.by_piece, line, landing.working(desk.book, line, landed))


# --- typing one


@dataclass(frozen=True, slots=True)
class Sum:
    """What the typed order comes to, beside what the invoice says."""

    total: Figure | None = None
    currency: str = ""
    difference: Figure | None = None
    faults: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class MaterialMove:
    """A material before and after."""

    name: str
    by_piece: bool
    moved: MovedMaterial


@dataclass(frozen=True, slots=True)
class RowMove:
    """A row of the line before and after."""

    name: str
    moved: MovedRow


@dataclass(frozen=True, slots=True)
class Preview:
    """What the order would change."""

    materials: tuple[MaterialMove, ...]
    rows: tuple[RowMove, ...]
    older: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderFormView:
    """What stands beside the form: the choosers, the sum, what it would change."""

    suppliers: list[tuple[str, str]]
    materials: list[tuple[str, str]]
    options: dict[str, list[tuple[str, str]]]
    home: str
    sum: Sum
    record: Order | None = None
    preview: Preview | None = None


def form_page(
    desk: Desk, form: Form, record: Order | None = None, sum_now: Sum | None = None, preview: Preview | None = None
) -> View:
    """The form of an order, new or to be corrected."""
    lines = record.lines if record else ()
    view = OrderFormView(
        desk.options("supplier", record.supplier if record else None),
        desk.options("material", *(line.material for line in lines)),
        OPTIONS,
        desk.book.workshop.currency,
        sum_now or Sum(),
        record,
        preview,
    )
    title = f"Correct the order of {desk.formats.day(record.day)}" if record else "Enter an order"
    return View("buy/orders/form.html", title, PLACE, view, form, "buy/orders/_form.html")


def reckoned(desk: Desk, order: Order | None, made: Prepared) -> tuple[Sum, Reckoning | None]:
    """The sum of what is typed, and the book after it."""
    if order is None:
        return Sum(), None
    after = apply(book_with(desk, made.puts), Put(order))
    if not isinstance(after, Book):
        return Sum(faults=tuple((fault.field, fault.sentence) for fault in after)), None
    landed = landing.landed(after, order)
    return Sum(landed.total, order.currency, landed.difference), Reckoning(after, desk.reckoning)


def previewed(desk: Desk, order: Order, after: Reckoning) -> Preview:
    """What moves with this order."""
    book = after.book
    newest = {line.material for line in order.lines}
    older = [
        book.materials[ident].name
        for ident in newest
        if (day := after.material(ident).day) is not None and day > order.day and order.id not in _used(after, ident)
    ]
    materials = moved_materials(desk.reckoning, after)
    rows = moved_rows(desk.reckoning, after)
    return Preview(
        tuple(MaterialMove(book.materials[m.material].name, book.materials[m.material].by_piece, m) for m in materials),
        tuple(
            RowMove(f"{book.products[r.after.product].name}, {book.channels[r.after.channel].name}", r) for r in rows
        ),
        tuple(sorted(older)),
    )


def _used(known: Reckoning, material: int) -> set[int]:
    return {order for order, _ in known.material(material).used}


@router.post(SUM)
def order_sum(desk: DeskNow, typed: TypedNow) -> Response:
    """The sum of what is typed so far. Nothing is stored."""
    made = prepared(desk, typed)
    reading = forms.read(desk, made.typed, "order")
    total, _ = reckoned(desk, reading.record, made)
    view = form_page(desk, reading.form, sum_now=total)
    return show(desk, replace(view, template="buy/orders/_sum.html", fragment="buy/orders/_sum.html"))


@router.post(addresses.LIST["order"])
def create_order(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new order, with the materials and the supplier made on the spot."""
    return save(desk, typed)


@router.get(addresses.EDIT["order"])
def edit_order(desk: DeskNow, ident: Ident) -> Response:
    """The form that corrects an order."""
    order = desk.thing("order", ident)
    total, _ = reckoned(desk, order, Prepared(Typed({})))
    return show(desk, form_page(desk, forms.filled(desk, "order", order), order, total))


@router.post(addresses.ONE["order"])
def change_order(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Correct an order; the history keeps how it was."""
    return save(desk, typed, ident)


def save(desk: Desk, typed: Typed, ident: int | None = None) -> Response:
    """Keep the order, or show it again: with its faults, with what it would change, with more lines."""
    record = desk.thing("order", ident) if ident is not None else None
    made = prepared(desk, typed)
    reading = forms.read(desk, made.typed, "order", ident)
    total, after = reckoned(desk, reading.record, made)

    def draw(desk: Desk, form: Form) -> View:
        return form_page(desk, made.shown(form), record, total)

    if typed.more == PREVIEW:
        preview = previewed(desk, reading.record, after) if after is not None and not made.faults else None
        form = made.shown(reading.form)
        status = 200 if preview else Unprocessable.status
        if not preview and reading.record is not None and not made.faults:
            form = replace(form, faults=total.faults)
        return show(desk, form_page(desk, form, record, total, preview), status)
    if made.faults and not typed.more and not typed.less:
        return show(desk, draw(desk, reading.form), Unprocessable.status)
    return forms.save(desk, made.typed, "order", draw, ident, changes=lambda order: (*made.puts, Put(order)))


@router.post(addresses.WITHDRAW["order"])
def withdraw_order(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Take an order back; every figure is again as it was before."""
    return forms.act(desk, typed, Withdraw("order", ident))
