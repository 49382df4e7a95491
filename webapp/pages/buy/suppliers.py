"""Suppliers: the list, one of them with their orders, and the form."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from webapp.costing.book import Order, Supplier
from webapp.costing.changes import Restore, Retire
from webapp.pages import addresses, forms, localities
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "buy"


@dataclass(frozen=True, slots=True)
class SuppliersView:
    """What stands on the list of suppliers."""

    rows: tuple[tuple[Supplier, int], ...]
    retired: tuple[Supplier, ...]


@dataclass(frozen=True, slots=True)
class SupplierView:
    """What stands beside the form of a supplier."""

    currencies: list[tuple[str, str]]
    record: Supplier | None = None
    orders: tuple[Order, ...] = ()
    retire: Form | None = None
    restore: Form | None = None


def _orders(desk: Desk, supplier: int) -> tuple[Order, ...]:
    return tuple(order for order in desk.things("order") if order.supplier == supplier)


@router.get(addresses.LIST["supplier"])
def suppliers(desk: DeskNow) -> Response:
    """Everybody who is bought from."""
    rows = tuple((one, len(_orders(desk, one.id))) for one in desk.things("supplier"))
    view = SuppliersView(rows, desk.things("supplier", retired=True))
    return show(desk, View("buy/suppliers/list.html", "Suppliers", PLACE, view))


def form_page(desk: Desk, form: Form, record: Supplier | None = None) -> View:
    """The form of a supplier, with their orders."""
    view = SupplierView(localities.currencies())
    if record is not None:
        retire, restore = forms.putting_away(desk, "supplier", record.id)
        view = SupplierView(view.currencies, record, _orders(desk, record.id), retire, restore)
    title = record.name if record else "A new supplier"
    return View("buy/suppliers/form.html", title, PLACE, view, form, "buy/suppliers/_form.html")


@router.get(addresses.NEW["supplier"])
def new_supplier(desk: DeskNow) -> Response:
    """A form for another supplier."""
    return show(desk, form_page(desk, forms.blank(desk, "supplier")))


@router.post(addresses.LIST["supplier"])
def create_supplier(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new supplier."""
    return forms.save(desk, typed, "supplier", form_page)


@router.get(addresses.ONE["supplier"])
@router.get(addresses.EDIT["supplier"])
def edit_supplier(desk: DeskNow, ident: Ident) -> Response:
    """One supplier, their form and their orders."""
    supplier = desk.thing("supplier", ident)
    return show(desk, form_page(desk, forms.filled(desk, "supplier", supplier), supplier))


@router.post(addresses.ONE["supplier"])
def change_supplier(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a supplier."""

    def draw(desk: Desk, form: Form) -> View:
        return form_page(desk, form, desk.thing("supplier", ident))

    return forms.save(desk, typed, "supplier", draw, ident)


@router.post(addresses.RETIRE["supplier"])
def retire_supplier(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a supplier away; their orders stay."""
    return forms.act(desk, typed, Retire("supplier", ident, desk.today), to=addresses.listing("supplier"))


@router.post(addresses.RESTORE["supplier"])
def restore_supplier(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a supplier back."""
    return forms.act(desk, typed, Restore("supplier", ident))
