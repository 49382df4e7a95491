"""Defining a product: its filling, parts, minutes; what it would cost stands beside the form while it is typed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from starlette.responses import Response

from webapp.costing.book import Book, Product
from webapp.costing.changes import Put, apply_all
from webapp.costing.describing import Rows
from webapp.costing.gaps import Figure
from webapp.costing.jars import CostSheet
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import HELD_UP
from webapp.costing.shapes import SHAPES
from webapp.errors import Unprocessable
from webapp.pages import addresses, choosing, drafts, forms, working_time
from webapp.pages.dated import as_held, from_today
from webapp.pages.drawn import Form, defaults, field_at
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed
from webapp.pages.working_time import Worker, hired
from webapp.routes import Routes

router = Routes()
PLACE = "price"
KINDS = ("material", "group")
#: what is typed where the unit stands beside its amount
AMOUNT_AND_UNIT = re.compile(r"\s*(?P<amount>\S*[0-9])\s*(?P<unit>g|ml)\s*", re.IGNORECASE)
UNITS = [("g", "g"), ("mL", "mL")]
COSTED = f"{addresses.LIST['product']}/costed"
COSTED_ONE = f"{addresses.ONE['product']}/costed"
COPY = f"{addresses.ONE['product']}/copy"


@dataclass(frozen=True, slots=True)
class Costed:
    """What the typed product would cost, and for how much it would be sold."""

    sheet: CostSheet | None = None
    prices: tuple[tuple[str, Figure, Figure | None], ...] = ()
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DefiningView:
    """What stands beside the form: the choosers and the cost."""

    form: Form
    record: Product | None
    formulas: list[tuple[str, str]]
    parts: choosing.Options
    products: list[tuple[str, str]]
    workers: tuple[Worker, ...]
    channels: list[tuple[str, str]]
    costed: Costed
    units: list[tuple[str, str]]

    def chosen(self, row: str) -> str:
        """What the chooser of a line has selected."""
        return choosing.chosen(self.form, row, KINDS)


def form_page(
    desk: Desk, form: Form, record: Product | None = None, read: Product | None = None, new: Sequence[Put] = ()
) -> View:
    """The form of a product; `read` is what was typed, where it could be read, with whoever is `new`."""
    form = working_time.begun(desk, form)
    old = record or Product(0, "", desk.today)
    in_use = {part.material for part in old.parts}
    retired = (one for one in desk.things("material", retired=True) if one.id in in_use)
    pieces = [one for one in (*desk.things("material"), *retired) if one.by_piece]
    parts = (("Parts that go together", "group", desk.things("group")), ("Single parts", "material", pieces))
    view = DefiningView(
        form,
        record,
        desk.options("formula", *(fill.formula for fill in old.fills)),
        choosing.options(desk, parts),
        [
            option
            for option in desk.options("product", *(one.product for one in old.members))
            if option[0] != str(old.id)
        ],
        working_time.workers(desk, *(work.person for work in old.work)),
        desk.options("channel"),
        costed(desk, read or record, new),
        UNITS,
    )
    title = record.name if record else "A new product"
    return View("price/products/form.html", title, PLACE, view, form, "price/products/_form.html")


def costed(desk: Desk, product: Product | None, new: Sequence[Put] = ()) -> Costed:
    """What a product would cost if it were kept like this, with whoever is `new`."""
    if product is None:
        return Costed()
    after = apply_all(desk.book, (*new, Put(product)))
    if not isinstance(after, Book):
        return Costed(faults=tuple(fault.sentence for fault in after))
    if product.id not in after.products:
        return Costed()
    known = Reckoning(after, desk.reckoning)
    prices = tuple(
        (after.channels[row.channel].name, row.suggested, row.suggested_alone if HELD_UP in row.marks else None)
        for row in known.rows(product.id)
    )
    return Costed(known.sheet(product.id), prices)


def fitted(desk: Desk, typed: Typed) -> Typed:
    """The form with every chosen part under its kind, units out of the amounts, and a name where none is typed."""
    typed = choosing.parted(typed, "parts", KINDS)
    fills = typed.data.get("fills")
    if not isinstance(fills, list):
        return typed
    fills = [_unit_apart(fill) if isinstance(fill, dict) else fill for fill in fills]
    data = {**typed.data, "fills": fills}
    if not str(data.get("name", "")).strip():
        data["name"] = next((name for name in map(partial(_called, desk), fills) if name), "")
    return replace(typed, data=data)


def _unit_apart(fill: dict[str, Any]) -> dict[str, Any]:
    """“100 g” on the label says the unit too; an overfill may name the same one."""
    apart = dict(fill)
    for name in ("declared", "overfill"):
        found = AMOUNT_AND_UNIT.fullmatch(str(apart.get(name, "")))
        unit = found and {"g": "g", "ml": "mL"}[found["unit"].lower()]
        if found and (name == "declared" or unit == apart.get("unit")):
            apart |= {name: found["amount"], "unit": unit}
    return apart


def _called(desk: Desk, fill: Any) -> str:
    """What a product of that filling is called: its formula and its size."""
    if not isinstance(fill, dict) or not fill.get("declared"):
        return ""
    formula = str(fill.get("formula", ""))
    name = dict(desk.options("formula")).get(formula, "")
    return f"{name} {fill['declared']} {fill.get('unit', '')}".strip() if name else ""


@router.post(COSTED)
def live_cost(desk: DeskNow, typed: TypedNow) -> Response:
    """The cost of what is typed so far. Nothing is stored."""
    return _live(desk, typed)


@router.post(COSTED_ONE)
def live_cost_there(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """The same beside a product that is kept already: its name is its own and not taken."""
    desk.thing("product", ident)
    return _live(desk, typed, ident)


def _live(desk: Desk, typed: Typed, ident: int | None = None) -> Response:
    staff = hired(desk, fitted(desk, typed))
    reading = forms.read(desk, staff.typed, "product", ident)
    view = form_page(desk, reading.form, read=None if staff.faults else reading.record, new=staff.puts)
    return show(desk, replace(view, template="price/products/_live.html", fragment="price/products/_live.html"))


@router.get(addresses.NEW["product"])
def new_product(desk: DeskNow) -> Response:
    """A form for a new product, sold everywhere; what there is only one of is chosen already."""
    channels = [ident for ident, _ in desk.options("channel")]
    pieces = [str(one.id) for one in desk.things("material") if one.by_piece]
    groups = [ident for ident, _ in desk.options("group")]
    starts: dict[str, Any] = {
        "fills": _only("fills", "formula", [ident for ident, _ in desk.options("formula")]),
        "parts": _only("parts", "group", groups) or _only("parts", "material", pieces),
    }
    new = forms.blank(desk, "product", channels=channels, **starts)
    return drafts.again(desk, save) or show(desk, form_page(desk, new))


def _only(rows: str, field: str, idents: list[str]) -> list[dict[str, str]]:
    """A first line with the only one of its kind, its other fields as they start; no line where there are several."""
    found = field_at(SHAPES["product"], rows)
    if len(idents) != 1 or found is None or not isinstance(found.kind, Rows):
        return []
    return [{**defaults(found.kind.shape), field: idents[0]}]


@router.post(addresses.LIST["product"])
def create_product(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new product."""
    return save(desk, typed)


@router.get(addresses.EDIT["product"])
def edit_product(desk: DeskNow, ident: Ident) -> Response:
    """The form of one product."""
    product = desk.thing("product", ident)
    form = forms.filled(desk, "product", from_today(desk, shown_channels(desk, product)))
    return drafts.again(desk, save, ident) or show(desk, form_page(desk, form, product))


def shown_channels(desk: Desk, product: Product) -> Product:
    """A product that is sold everywhere, with every channel named, so that the boxes are ticked."""
    return product if product.channels else replace(product, channels=tuple(one.id for one in desk.things("channel")))


@router.post(addresses.ONE["product"])
def change_product(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a product from its day on."""
    return save(desk, typed, ident)


def save(desk: Desk, typed: Typed, ident: int | None = None) -> Response:
    """Keep what was typed, or show it again with what is wrong."""
    record = desk.thing("product", ident) if ident is not None else None
    staff = hired(desk, fitted(desk, typed))
    asked = typed.more or typed.less
    known = replace(staff, faults=()) if asked else staff

    def draw(desk: Desk, form: Form) -> View:
        read = forms.read(desk, staff.typed, "product", ident).record if not staff.faults else None
        return form_page(desk, known.shown(form), record, read, staff.puts)

    if staff.faults and not asked:
        again = draw(desk, forms.read(desk, staff.typed, "product", ident).form)
        return drafts.shown_again(desk, typed, again, Unprocessable.status)

    def changes(product: Product) -> tuple[Put, ...]:
        return (*staff.puts, Put(as_held(desk, "product", ident, _where(desk, product, record))))

    return forms.save(desk, staff.typed, "product", draw, ident, changes=changes, sent=typed)


def _where(desk: Desk, product: Product, held: Product | None) -> Product:
    """Ticked on every channel means everywhere, also on channels still to come; the order of the boxes says nothing."""
    ticked = set(product.channels)
    if held is not None and ticked == set(shown_channels(desk, held).channels):
        return replace(product, channels=held.channels)
    every = {one.id for one in desk.things("channel")}
    return replace(product, channels=()) if every <= ticked else product


@router.get(COPY)
def copy_product(desk: DeskNow, ident: Ident) -> Response:
    """The form of another size or scent: everything as in the first but its name."""
    product = desk.thing("product", ident)
    copy = replace(product, name=f"{product.name}, another size", since=desk.today, retired=None)
    form = forms.filled(desk, "product", shown_channels(desk, copy), action=addresses.create("product"))
    read = replace(copy, id=forms.NEW_ID)
    return drafts.again(desk, save) or show(desk, form_page(desk, form, read=read))
