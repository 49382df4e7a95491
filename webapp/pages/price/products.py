"""Products: the list, and one product from batch to jar, with its price on every channel, all opened to its working."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from webapp.costing import jar_working, price_working
from webapp.costing.book import Price, Product
from webapp.costing.changes import Restore, Retire
from webapp.costing.gaps import Figure
from webapp.costing.jars import CostSheet
from webapp.costing.line import Row
from webapp.costing.working import Working
from webapp.pages import addresses, formats, forms
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.price import makeup
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show

router = APIRouter()
PLACE = "price"
#: the lines of a cost sheet: figure, plain words, whether it is a sum of those above
SHEET = (
    ("ingredients", "Ingredients", False),
    ("packaging", "Packaging", False),
    ("materials", "Materials per jar", True),
    ("labour_own", "Own pay", False),
    ("labour_hired", "Hired work", False),
    ("direct", "Direct cost", True),
    ("overhead", "Overhead share", False),
    ("one_offs", "One-off share", False),
    ("full", "Full cost", True),
)
WORKINGS = ("suggested", "floor", "margin", "net", "fees", "contribution", "per_labour_hour")


@dataclass(frozen=True, slots=True)
class ProductRow:
    """One product in the list."""

    product: Product
    sheet: CostSheet
    formulas: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProductsView:
    """What stands on the list of products."""

    rows: tuple[ProductRow, ...]
    retired: tuple[Product, ...]


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of the cost sheet, with its working."""

    words: str
    amount: Figure
    sum: bool
    working: Working


@dataclass(frozen=True, slots=True)
class Sold:
    """The product on one channel."""

    name: str
    row: Row
    vessel: formats.Vessel
    parts: tuple[makeup.PartOfPrice, ...]
    workings: dict[str, Working]
    hrefs: dict[str, str]
    past: tuple[Price, ...]
    try_href: str


@dataclass(frozen=True, slots=True)
class ProductView:
    """What stands on a product's page."""

    product: Product
    sheet: CostSheet
    fills: tuple[tuple[str, str, str], ...]
    lines: tuple[SheetLine, ...]
    jars: tuple[Working, ...]
    sold: tuple[Sold, ...]
    retire: Form
    restore: Form
    past: tuple[Product, ...]

    @property
    def record(self) -> Product:
        """The product, as what is put away or brought back."""
        return self.product


@router.get(addresses.LIST["product"])
def products(desk: DeskNow) -> Response:
    """All products with what a jar costs."""
    rows = tuple(_row(desk, product) for product in desk.things("product"))
    view = ProductsView(rows, desk.things("product", retired=True))
    return show(desk, View("price/products/list.html", "Products", PLACE, view))


def _row(desk: Desk, product: Product) -> ProductRow:
    inside = [desk.book.formulas[fill.formula].name for fill in product.fills]
    inside += [desk.book.products[member.product].name for member in product.members]
    return ProductRow(product, desk.reckoning.sheet(product.id), tuple(dict.fromkeys(inside)))


@router.get(addresses.ONE["product"])
def product_page(desk: DeskNow, ident: Ident) -> Response:
    """One product, from batch to jar to price."""
    product = desk.thing("product", ident)
    return show(desk, View("price/products/one.html", product.name, PLACE, view_of(desk, product)))


def view_of(desk: Desk, product: Product) -> ProductView:
    """Everything that a product's page says."""
    known, sheet = desk.reckoning, desk.reckoning.sheet(product.id)
    retire, restore = (forms.press(desk, addresses.thing("product", product.id, act)) for act in ("retire", "restore"))
    past = tuple(one for one in desk.store.facts("product", product.id) if isinstance(one, Product))
    return ProductView(
        product,
        sheet,
        tuple(_fill(desk, fill.formula, str(fill.unit), fill.declared, fill.overfill) for fill in product.fills),
        tuple(
            SheetLine(words, getattr(sheet, figure), is_sum, jar_working.working(known, product.id, figure))
            for figure, words, is_sum in SHEET
        ),
        tuple(jar_working.jars_working(known, product.id, fill.place) for fill in sheet.fills),
        tuple(_sold(desk, row) for row in known.rows(product.id)),
        retire,
        restore,
        tuple(one for one in past if one.since != product.since),
    )


def _fill(desk: Desk, formula: int, unit: str, declared: Figure, overfill: Figure) -> tuple[str, str, str]:
    """What is declared, of what, and the overfill in words."""
    shown = desk.formats.shown(declared, unit)
    more = f" and {desk.formats.shown(overfill, unit)} overfill" if overfill else ""
    return desk.book.formulas[formula].name, addresses.thing("formula", formula), shown + more


def _sold(desk: Desk, row: Row) -> Sold:
    pair = (row.product, row.channel)
    past = tuple(one for one in desk.store.facts("price", pair) if isinstance(one, Price))
    return Sold(
        desk.book.channels[row.channel].name,
        row,
        formats.vessel(desk.formats, row.margin, row.target),
        makeup.parts(desk.formats, row),
        {figure: price_working.working(desk.reckoning, row, figure) for figure in WORKINGS},
        {kind: addresses.pair(kind, *pair) for kind in addresses.PAIRS},
        past,
        f"{addresses.thing('product', row.product)}/try?channel={row.channel}",
    )


@router.post(addresses.RETIRE["product"])
def retire_product(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a product away; it leaves the line."""
    return forms.act(desk, typed, Retire("product", ident, desk.today))


@router.post(addresses.RESTORE["product"])
def restore_product(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a product back."""
    return forms.act(desk, typed, Restore("product", ident))
