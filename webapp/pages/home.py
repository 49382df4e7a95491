"""The first page: what needs the maker now; in an empty installation two doors. And undoing, from anywhere."""

from __future__ import annotations

from dataclasses import dataclass, replace

from starlette.responses import RedirectResponse, Response

from webapp import example
from webapp.costing.book import WORKSHOP_ID, Order
from webapp.costing.gaps import Figure
from webapp.pages import addresses, drafts, forms, localities
from webapp.pages.data import reminding
from webapp.pages.drawn import Form
from webapp.pages.filled_in import Fill
from webapp.pages.forms import TypedNow
from webapp.pages.needs import MOST, Kept, Need, kept, last_order, needs
from webapp.pages.rendering import Desk, DeskNow, View, show, whole_number
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
POUND_COUNTRIES = ("US", "LR", "MM")
#: the country whose money stands in the form; not the workshop's
MONEY_FOR = "money_for"
BESIDE = ("next", MONEY_FOR)
FIRST_DOORS = ("supplier", "material", "order", "formula", "product")


@dataclass(frozen=True, slots=True)
class HomeView:
    """What needs the maker, what is left unsaid, what was bought last, and which prices are kept knowingly."""

    needs: tuple[Need, ...]
    more: int
    counts: tuple[tuple[str, int, str], ...]
    order: Order | None
    supplier: str
    landed: Figure | None
    kept: tuple[Kept, ...]
    begins: bool
    """Whether no product stands in the line yet, so that more may come from a spreadsheet."""


@dataclass(frozen=True, slots=True)
class DoorsView:
    """What an empty installation offers."""

    locales: list[tuple[str, str]]
    currencies: list[tuple[str, str]]
    mass_units: tuple[tuple[str, str], ...]
    example: Form


def is_empty(desk: Desk) -> bool:
    """Whether nothing has been entered yet."""
    book = desk.book
    return not (book.suppliers or book.materials or book.orders or book.formulas or book.products)


@router.get(addresses.HOME)
def home(desk: DeskNow) -> Response:
    """What needs the maker now, or the two doors."""
    return show(desk, doors_page(desk, doors_form(desk)) if is_empty(desk) else needs_page(desk))


def needs_page(desk: Desk) -> View:
    """Sentences that need the maker."""
    found = needs(desk)
    order = last_order(desk)
    supplier = desk.book.suppliers[order.supplier].name if order else ""
    landed = desk.reckoning.landed(order.id).home_total if order else None
    counts = tuple(
        (words, len(desk.things(kind)), addresses.listing(kind))
        for kind, words in (("material", "material"), ("formula", "formula"), ("product", "product"))
    )
    more, begins = max(0, len(found) - MOST), not desk.reckoning.line()
    view = HomeView(found[:MOST], more, counts, order, supplier, landed, kept(desk), begins)
    said = reminding.notices(desk)
    return View("home/needs.html", "What needs you now", "", view, notices=said, more=drafts.half_entered(desk))


def doors_form(desk: Desk) -> Form:
    """The first choice of notation and money: what was stored, or what the browser's language suggests."""
    if ("workshop", WORKSHOP_ID) in desk.snapshot.moved:
        return forms.filled(desk, "workshop", desk.book.workshop, action=addresses.START)
    locale, currency, unit = _suggested(desk, desk.request.headers.get("Accept-Language", ""))
    form = forms.blank(desk, "workshop", addresses.START, name="My workshop", locale=locale, mass_unit=unit)
    return replace(form, texts={**form.texts, "currency": currency, MONEY_FOR: locale})


def _suggested(desk: Desk, spoken: str) -> tuple[str, str, str]:
    """Locale, money and the unit that is costed for, as usual where these languages are spoken."""
    locale, currency = localities.suggested(spoken, desk.today)
    return locale, currency, "lb" if locale[-2:] in POUND_COUNTRIES else "kg"


@router.post(addresses.START_MONEY)
def money_there(desk: DeskNow, typed: TypedNow) -> Response:
    """The money and the unit of another country, where nobody chose them yet. Nothing is stored."""
    said = doors_form(desk)
    locale, currency, unit = _suggested(desk, _spoken(typed, "locale"))
    fills = [
        Fill("currency", currency, said.value("currency")),
        Fill("mass_unit", unit, said.value("mass_unit")),
        Fill(MONEY_FOR, locale, said.value(MONEY_FOR)),
    ]
    return show(desk, View("home/_money.html", "Welcome", "", fills, said))


def _spoken(typed: Typed, field: str) -> str:
    """A locale that was sent, as the language of a browser is written."""
    text = typed.data.get(field, "")
    return text.replace("_", "-") if isinstance(text, str) else ""


def _follows(desk: Desk, typed: Typed) -> View | None:
    """The first page once more, where another country was chosen and the money of the one before still stands there.

    So it is without a script, and where it was sent before the money had followed. Money that was chosen stays.
    """
    before, money, unit = _suggested(desk, _spoken(typed, MONEY_FOR))
    locale, usual, other_unit = _suggested(desk, _spoken(typed, "locale"))
    if not typed.data.get(MONEY_FOR) or typed.data.get("currency") != money or usual == money or locale == before:
        return None
    form = forms.read(desk, typed, "workshop", WORKSHOP_ID, beside=BESIDE, action=addresses.START).form
    found = {"currency": usual, MONEY_FOR: locale}
    found |= {"mass_unit": other_unit} if form.value("mass_unit") == unit else {}
    said = f"Your money is now {usual}, as is usual there, and nothing is saved yet. Choose another, or go on."
    return replace(doors_page(desk, replace(form, texts={**form.texts, **found})), notices=(said,))


def doors_page(desk: Desk, form: Form) -> View:
    """The two doors."""
    view = DoorsView(
        localities.locales(form.value("locale")),
        localities.currencies(),
        (("kg", "a kilogram"), ("lb", "a pound")),
        forms.press(desk, addresses.EXAMPLE),
    )
    half = drafts.half_entered(desk)
    return View("home/doors.html", "Welcome", "", view, form, "home/_doors.html", more=half)


@router.post(addresses.START)
def start(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep how numbers and money are written, and go on to the first order."""
    if (once_more := _follows(desk, typed)) is not None:
        return drafts.shown_again(desk, typed, once_more)
    return forms.save(
        desk,
        typed,
        "workshop",
        doors_page,
        WORKSHOP_ID,
        to=lambda _: addresses.OWN if typed.data.get("next") == "own" else addresses.new("order"),
        beside=BESIDE,
        action=addresses.START,
        quiet=True,
    )


@router.post(addresses.EXAMPLE)
def load_example(desk: DeskNow, typed: TypedNow) -> Response:
    """Load the invented workshop into an empty installation; into any other one never."""
    forms.intent(desk, typed, "Example workshop loaded")
    if is_empty(desk):
        example.fill(desk.store, desk.today)
    return forms.redirect(desk, addresses.HOME)


@router.post(addresses.UNDO)
def undo(desk: DeskNow, typed: TypedNow, version: str, kind: str = "") -> Response:
    """Take back what one change did."""
    made = forms.intent(desk, replace(typed, version=desk.snapshot.version, epoch=desk.snapshot.epoch), "Undone")
    saved = desk.store.undo(whole_number(version), made, desk.today)
    there = addresses.listing(kind) if kind in addresses.BASE else addresses.ROOMS.get(kind, addresses.HOME)
    return forms.go_on(desk, there, saved.change)


@router.get(addresses.BUY)
def buy(desk: DeskNow) -> Response:
    """Buying begins with the orders."""
    return RedirectResponse(kept_day(desk, addresses.listing("order")), 303)


@router.get(addresses.MAKE)
def make(desk: DeskNow) -> Response:
    """Making begins with the formulas."""
    return RedirectResponse(kept_day(desk, addresses.listing("formula")), 303)


def kept_day(desk: Desk, href: str) -> str:
    """The same day on another page."""
    return f"{href}?on={desk.on}" if desk.on else href
