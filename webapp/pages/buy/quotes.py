"""Quotes: a supplier's list price without buying. They stand on the material's page; the form is a page of its own."""

from __future__ import annotations

from dataclasses import dataclass, replace

from starlette.responses import RedirectResponse, Response

from webapp.costing.book import Quote
from webapp.costing.changes import Change, Put, Withdraw
from webapp.costing.units import PURCHASE_UNITS
from webapp.errors import NotFound
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.buy.on_the_spot import at_the_first, prepared
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "buy"
CHOOSE = f"{addresses.ONE['quote']}/choose"
#: beside the quote's own fields: whether it counts as the price of its material
COUNTS = "counts"
WAYS = [("home per unit", "our money for one of theirs"), ("units per home", "theirs for one of ours")]


@dataclass(frozen=True, slots=True)
class QuoteFormView:
    """What the choosers of the form offer."""

    materials: list[tuple[str, str]]
    suppliers: list[tuple[str, str]]
    units: list[tuple[str, str]]
    ways: list[tuple[str, str]]
    home: str
    back: str


def form_page(desk: Desk, form: Form, record: Quote | None = None) -> View:
    """The form of a quote."""
    material = form.value("material")
    known = {str(one.id) for one in desk.book.materials.values()}
    back = addresses.thing("material", int(material)) if material in known else addresses.listing("material")
    suppliers = desk.options("supplier", record.supplier if record else None)
    if not suppliers:
        form = at_the_first(form, "Type who it is from.")
    view = QuoteFormView(
        desk.options("material", record.material if record else None),
        suppliers,
        [(unit, unit) for unit in PURCHASE_UNITS],
        WAYS,
        desk.book.workshop.currency,
        back,
    )
    return View("buy/quotes/form.html", "A quote", PLACE, view, form, "buy/quotes/_form.html")


@router.get(addresses.LIST["quote"])
def quotes(desk: DeskNow) -> Response:
    """Quotes stand beside what they are for."""
    query = f"?{desk.request.url.query}" if desk.request.url.query else ""
    return RedirectResponse(addresses.listing("material") + query, 303)


@router.get(addresses.NEW["quote"])
def new_quote(desk: DeskNow, material: str = "") -> Response:
    """A form for a quote, of a material where it is named."""
    new = forms.blank(desk, "quote", material=material[:9])
    return drafts.again(desk, _save) or show(desk, form_page(desk, new))


@router.post(addresses.LIST["quote"])
def create_quote(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a quote."""
    return _save(desk, typed)


@router.get(addresses.ONE["quote"])
@router.get(addresses.EDIT["quote"])
def edit_quote(desk: DeskNow, ident: Ident) -> Response:
    """The form of one quote."""
    quote = desk.thing("quote", ident)
    form = forms.filled(desk, "quote", quote)
    chosen = {COUNTS: "yes"} if desk.book.materials[quote.material].quote == ident else {}
    page = form_page(desk, replace(form, texts={**form.texts, **chosen}), quote)
    return drafts.again(desk, _save, ident) or show(desk, page)


@router.post(addresses.ONE["quote"])
def change_quote(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Correct a quote."""
    return _save(desk, typed, ident)


def _save(desk: Desk, sent: Typed, ident: int | None = None) -> Response:
    record = desk.thing("quote", ident) if ident is not None else None
    made = prepared(desk, sent)

    def draw(desk: Desk, form: Form) -> View:
        return form_page(desk, made.shown(form), record)

    def to(_: int) -> str:
        return addresses.thing("material", int(sent.data.get("material", "")))

    def changes(quote: Quote) -> tuple[Put, ...]:
        return (*made.puts, Put(quote), *_counting(desk, quote, counts=sent.data.get(COUNTS) == "yes"))

    return impact.save(
        desk,
        sent,
        "quote",
        draw,
        ident,
        changes=changes,
        beside=(COUNTS,),
        why="After a quote",
        read_as=made.typed,
        to=to,
    )


def _counting(desk: Desk, quote: Quote, *, counts: bool) -> tuple[Put, ...]:
    """What makes the quote count as its material's price, or no longer; nothing where it is so already."""
    material = desk.book.materials.get(quote.material)
    if material is None or counts == (material.quote == quote.id):
        return ()
    return (Put(replace(material, quote=quote.id if counts else None)),)


def _ahead(desk: Desk, ident: int) -> Quote:
    """A quote of a day ahead; NotFound where there is none of that number."""
    found = [one for one in desk.store.facts("quote", ident) if isinstance(one, Quote)]
    if not found:
        raise NotFound
    return found[0]


@router.post(addresses.WITHDRAW["quote"])
def withdraw_quote(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Take a quote back."""
    quote = desk.book.quotes.get(ident) or _ahead(desk, ident)
    changes: list[Change] = [Withdraw("quote", ident)]
    if ident not in desk.book.quotes:
        # What today's book does not hold cannot leave it: a quote of a day ahead is first taken into it.
        changes.insert(0, Put(replace(quote, since=desk.today)))
    to = addresses.thing("material", quote.material)
    return forms.act(desk, typed, *changes, to=to, said="Quote taken back")


def _choosing(desk: Desk, ident: int) -> tuple[impact.Act, tuple[Put]]:
    """What taking a quote as its material's price is, or no longer taking it."""
    quote = desk.thing("quote", ident)
    material = desk.thing("material", quote.material)
    chosen = None if material.quote == ident else ident
    title = f"{material.name}: {'a quote counts as its price' if chosen else 'its orders count again'}"
    words = (
        "While it is valid it counts as the price; nothing has to be bought for that."
        if chosen
        else "What was paid counts again."
    )
    label = "Let the quote count" if chosen else "Let the orders count again"
    there = addresses.thing("material", quote.material)
    act = impact.Act(title, words, label, addresses.thing("quote", ident, "choose"), there, PLACE)
    return act, (Put(replace(material, quote=chosen)),)


@router.get(addresses.QUOTE_COUNTS)
def look_at_choosing(desk: DeskNow, ident: Ident) -> Response:
    """What letting a quote count would change. Nothing is stored."""
    return impact.act_page(desk, *_choosing(desk, ident))


@router.post(CHOOSE)
def choose_quote(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Take a quote as the price of its material while it holds; where it is that already, no longer."""
    act, changes = _choosing(desk, ident)
    return impact.act(desk, typed, act, changes, to=act.back, said=act.title, why=act.title)
