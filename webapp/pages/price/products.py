"""Products: the list, and one product from batch to jar, with its price on every channel, all opened to its working."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from starlette.responses import Response

from webapp.costing import batch_working, cautions, jar_working, price_working
from webapp.costing.amounts import half_up, rounded_down, snap
from webapp.costing.book import Member, Price, Product
from webapp.costing.changes import Restore, Retire
from webapp.costing.gaps import Figure, Gap, from_known
from webapp.costing.jars import CostSheet
from webapp.costing.line import Row
from webapp.costing.price_history import quoted_in
from webapp.costing.working import Working
from webapp.errors import NotFound
from webapp.pages import addresses, drafts, forms, vessels
from webapp.pages.decide.size_kept import FoundOut, found_out
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.needs import Need, next_step
from webapp.pages.price import makeup
from webapp.pages.price.price_history import PriceView, histories_of
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, Ident, ProductIdent, View, show
from webapp.routes import Routes

router = Routes()
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
HOW_JARS = "jars"
HOW_PARTS = "made_of"


@dataclass(frozen=True, slots=True)
class ProductRow:
    """One product in the list."""

    product: Product
    sheet: CostSheet
    formulas: tuple[str, ...]
    how: dict[str, str]


@dataclass(frozen=True, slots=True)
class ProductsView:
    """What stands on the list of products."""

    rows: tuple[ProductRow, ...]
    retired: tuple[Product, ...]


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of the cost sheet, and where its working is."""

    figure: str
    words: str
    amount: Figure
    sum: bool
    how: str


@dataclass(frozen=True, slots=True)
class InSet:
    """A product in a set: how many, and what one costs in full."""

    name: str
    href: str
    count: Decimal
    full: Figure
    how: str


@dataclass(frozen=True, slots=True)
class Sold:
    """The product on one channel."""

    name: str
    row: Row
    vessel: vessels.Vessel
    parts: tuple[makeup.PartOfPrice, ...]
    most: Figure
    how: dict[str, str]
    hrefs: dict[str, str]
    past: tuple[Price, ...]
    history: PriceView
    try_href: str
    why_href: str
    room_href: str
    lower_href: str
    size_href: str

    @property
    def most_words(self) -> str:
        """Beside the most it may cost: rounded down, that can read as less than a cost that is not above it."""
        cost, most, words = self.row.cost, self.most, "for its target at this price"
        if isinstance(cost, Gap) or isinstance(most, Gap) or not self.row.reaches:
            return words
        return (
            f"{words}; before rounding its cost is no more than that"
            if half_up(cost, self.row.terms.places) > most
            else words
        )


@dataclass(frozen=True, slots=True)
class ProductView:
    """What stands on a product's page."""

    product: Product
    sheet: CostSheet
    fills: tuple[tuple[str, str, str], ...]
    members: tuple[InSet, ...]
    lines: tuple[SheetLine, ...]
    jars: tuple[tuple[Figure, str], ...]
    sold: tuple[Sold, ...]
    retire: Form
    restore: Form
    next_step: Need | None
    past: tuple[Product, ...]
    quoted: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    found_out: FoundOut

    @property
    def record(self) -> Product:
        """The product, as what is put away or brought back."""
        return self.product

    @property
    def has_sizes(self) -> bool:
        """Whether another size of it can be thought of: it is one filling in a jar."""
        return len(self.product.fills) == 1 and not self.product.members


@router.get(addresses.LIST["product"])
def products(desk: DeskNow) -> Response:
    """All products with what a jar costs."""
    rows = tuple(_row(desk, product) for product in desk.things("product"))
    view = ProductsView(rows, desk.things("product", retired=True))
    half = drafts.half_entered(desk, "product")
    return show(desk, View("price/products/list.html", "Products", PLACE, view, more=half))


# --- figures opened: as a page, or in place where htmx asks


@dataclass(frozen=True, slots=True)
class HowView:
    """One figure opened to its working."""

    product: str
    href: str
    working: Working


def _how(desk: Desk, product: int, working: Working) -> Response:
    view = HowView(desk.book.products[product].name, addresses.thing("product", product), working)
    return show(desk, View("price/products/how.html", working.title, PLACE, view, fragment="price/products/_how.html"))


@router.get(addresses.HOW)
def how_sheet(desk: DeskNow, ident: Ident, figure: str) -> Response:
    """A figure of the cost sheet, opened."""
    desk.thing("product", ident)
    word, _, place = figure.partition("-")
    if word == HOW_JARS and place.isdigit() and int(place) < len(desk.book.products[ident].fills):
        return _how(desk, ident, batch_working.jars_working(desk.reckoning, ident, int(place)))
    if figure not in jar_working.FIGURES:
        raise NotFound
    return _how(desk, ident, jar_working.working(desk.reckoning, ident, figure))


@router.get(addresses.HOW_PAIR)
def how_row(desk: DeskNow, product: ProductIdent, channel: ChannelIdent, figure: str) -> Response:
    """A figure of a product on a channel, opened."""
    desk.thing("product", product)
    row = next((one for one in desk.reckoning.rows(product) if one.channel == channel), None)
    if row is not None and figure == HOW_PARTS:
        return _how(desk, product, price_working.made_of(desk.reckoning, row))
    if row is None or getattr(row, figure, None) is None or figure not in price_working.FIGURES:
        raise NotFound
    return _how(desk, product, price_working.working(desk.reckoning, row, figure))


def _row(desk: Desk, product: Product) -> ProductRow:
    inside = [desk.book.formulas[fill.formula].name for fill in product.fills]
    inside += [desk.book.products[member.product].name for member in product.members]
    how = {figure: _on(desk, addresses.how(product.id, figure)) for figure in ("materials", "full")}
    how["jars"] = _on(desk, addresses.how(product.id, f"{HOW_JARS}-0"))
    return ProductRow(product, desk.reckoning.sheet(product.id), tuple(dict.fromkeys(inside)), how)


def _on(desk: Desk, href: str) -> str:
    """The address, on the day that is looked at."""
    return f"{href}?on={desk.on}" if desk.on else href


@router.get(addresses.ONE["product"])
def product_page(desk: DeskNow, ident: Ident) -> Response:
    """One product, from batch to jar to price."""
    product = desk.thing("product", ident)
    return show(desk, View("price/products/one.html", product.name, PLACE, view_of(desk, product)))


def view_of(desk: Desk, product: Product) -> ProductView:
    """Everything that a product's page says."""
    known, sheet = desk.reckoning, desk.reckoning.sheet(product.id)
    retire, restore = forms.putting_away(desk, "product", product.id)
    past = tuple(one for one in desk.store.facts("product", product.id) if isinstance(one, Product))
    return ProductView(
        product,
        sheet,
        tuple(_fill(desk, fill.formula, str(fill.unit), fill.declared, fill.overfill) for fill in product.fills),
        tuple(_in_set(desk, member) for member in product.members),
        tuple(
            SheetLine(figure, words, getattr(sheet, figure), is_sum, _on(desk, addresses.how(product.id, figure)))
            for figure, words, is_sum in SHEET
        ),
        tuple((fill.jars, _on(desk, addresses.how(product.id, f"{HOW_JARS}-{fill.place}"))) for fill in sheet.fills),
        _sold_on_all(desk, product.id, known.rows(product.id)),
        retire,
        restore,
        next_step(desk),
        tuple(one for one in past if one.since != product.since),
        tuple(
            (desk.book.materials[one].name, addresses.thing("material", one)) for one in quoted_in(known, product.id)
        ),
        cautions.OF_PRODUCT,
        found_out(desk, product.id),
    )


def _fill(desk: Desk, formula: int, unit: str, declared: Figure, overfill: Figure) -> tuple[str, str, str]:
    """What is declared, of what, and the overfill in words."""
    shown = desk.formats.shown(declared, unit)
    more = f" and {desk.formats.shown(overfill, unit)} overfill" if overfill else ""
    return desk.book.formulas[formula].name, addresses.thing("formula", formula), shown + more


def _in_set(desk: Desk, member: Member) -> InSet:
    name = desk.book.products[member.product].name
    full, how = desk.reckoning.sheet(member.product).full, _on(desk, addresses.how(member.product, "full"))
    return InSet(name, _on(desk, addresses.thing("product", member.product)), member.count, full, how)


def _sold_on_all(desk: Desk, product: int, rows: Iterable[Row]) -> tuple[Sold, ...]:
    by_pair = {(row.product, row.channel): row for row in rows}
    past = desk.store.facts_of_all("price", by_pair)
    history = histories_of(desk, product, [channel for _, channel in by_pair])
    return tuple(_sold(desk, row, past[pair], history[pair[1]]) for pair, row in by_pair.items())


def _sold(desk: Desk, row: Row, facts: tuple[object, ...], history: PriceView) -> Sold:
    pair = (row.product, row.channel)
    past = tuple(one for one in facts if isinstance(one, Price))
    return Sold(
        desk.book.channels[row.channel].name,
        row,
        vessels.vessel(desk.formats, row.margin, row.target),
        makeup.parts(desk.formats, row),
        from_known(lambda most: rounded_down(snap(most), row.terms.places), row.highest_cost),
        {figure: _on(desk, addresses.how_pair(*pair, figure)) for figure in (*price_working.FIGURES, HOW_PARTS)},
        {kind: addresses.pair(kind, *pair) for kind in addresses.PAIRS},
        past,
        history,
        f"{addresses.thing('product', row.product)}/try?channel={row.channel}",
        addresses.why(*pair),
        addresses.room(*pair),
        addresses.lower(*pair),
        addresses.another_size(*pair),
    )


@router.post(addresses.RETIRE["product"])
def retire_product(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a product away; it leaves the line."""
    return forms.act(desk, typed, Retire("product", ident, desk.today))


@router.post(addresses.RESTORE["product"])
def restore_product(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a product back."""
    return forms.act(desk, typed, Restore("product", ident))
