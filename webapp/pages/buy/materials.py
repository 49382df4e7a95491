"""Materials: what each costs now and since when, one of them with all its purchases, and the form."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date

from starlette.responses import Response

from webapp.costing import cautions
from webapp.costing.basis import MaterialCost
from webapp.costing.book import Density, Material, Quote, Review
from webapp.costing.changes import Restore, Retire
from webapp.costing.densities import Suggestion, suggested_for, suggestions, warning
from webapp.costing.units import PURCHASE_UNITS
from webapp.costing.working import Working
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.buy.by_volume import as_typed
from webapp.pages.buy.past import Lines, past_of
from webapp.pages.buy.price_history import HistoryView, history_of
from webapp.pages.buy.since import Change, change_of, first_bought
from webapp.pages.buy.uses import users_of, uses_of
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.needs import Need, next_step
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "buy"
KINDS = [
    ("ingredient", "an ingredient, weighed"),
    ("packaging", "packaging, counted"),
    ("bought-in", "a bought-in piece"),
]
SECTIONS = (("ingredient", "Ingredients"), ("packaging", "Packaging"), ("bought-in", "Bought-in pieces"))
NATURES = [
    ("", "not said"),
    ("butter", "a butter"),
    ("oil", "an oil"),
    ("wax", "a wax"),
    ("essential oil", "an essential oil"),
    ("fragrance", "a fragrance"),
    ("antioxidant", "an antioxidant"),
    ("water", "water, or holds water"),
    ("other", "something else"),
]
BASES = [
    ("", "as the workshop"),
    ("latest", "the latest price"),
    ("averaged", "the average over some months"),
    ("dearest", "the dearest"),
]


# --- all of them


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One material in the list."""

    material: Material
    cost: MaterialCost
    users: int
    change: Change | None


@dataclass(frozen=True, slots=True)
class MaterialsView:
    """What stands on the list of materials."""

    sections: tuple[tuple[str, tuple[MaterialRow, ...]], ...]
    kinds: tuple[tuple[str, str, bool], ...]
    retired: tuple[Material, ...]
    any: bool
    day: date


@router.get(addresses.LIST["material"])
def materials(desk: DeskNow, kind: str = "") -> Response:
    """All materials with what they cost now, or those of one kind."""
    used = Counter(uses_of(desk.book))
    rows = [_row(desk, one, used[one.id]) for one in desk.things("material")]
    wanted = kind if kind in dict(SECTIONS) else ""
    sections = tuple(
        (words, tuple(row for row in rows if row.material.kind == key))
        for key, words in SECTIONS
        if wanted in ("", key)
    )
    kinds = tuple((key, words, key == wanted) for key, words in (("", "All"), *SECTIONS))
    filled = tuple(section for section in sections if section[1])
    view = MaterialsView(filled, kinds, desk.things("material", retired=True), bool(rows), desk.day)
    half = drafts.half_entered(desk, "material", "quote", "packs", "check")
    return show(desk, View("buy/materials/list.html", "Materials", PLACE, view, more=half))


def _row(desk: Desk, material: Material, users: int) -> MaterialRow:
    cost = desk.reckoning.material(material.id)
    return MaterialRow(material, cost, users, change_of(desk, material, cost))


# --- one of them


@dataclass(frozen=True, slots=True)
class QuoteRow:
    """A supplier's list price, and whether it holds today."""

    quote: Quote
    supplier: str
    valid: bool
    chosen: bool
    withdraw: Form
    choose: str


@dataclass(frozen=True, slots=True)
class MaterialView:
    """What stands on a material's page."""

    record: Material
    cost: MaterialCost
    working: Working
    history: HistoryView
    quotes: tuple[QuoteRow, ...]
    users: tuple[tuple[str, str], ...]
    suggestions: tuple[Suggestion, ...]
    warning: str | None
    densities: tuple[Density, ...]
    cautions: tuple[str, ...]
    change: Change | None
    past: Lines
    review: Review | None
    review_back: Form
    retire: Form
    restore: Form
    next_step: Need | None


@router.get(addresses.NEW["material"])
def new_material(desk: DeskNow) -> Response:
    """A form for another material."""
    return drafts.again(desk, create_material) or show(desk, form_page(desk, forms.blank(desk, "material")))


@router.get(addresses.ONE["material"])
def material_page(desk: DeskNow, ident: Ident) -> Response:
    """One material: what it costs, where that comes from, where it is used."""
    material = desk.thing("material", ident)
    return show(desk, View("buy/materials/one.html", material.name, PLACE, view_of(desk, material)))


def view_of(desk: Desk, material: Material) -> MaterialView:
    """Everything that a material's page says."""
    known, cost = desk.reckoning, desk.reckoning.material(material.id)
    retire, restore = forms.putting_away(desk, "material", material.id)
    facts = (fact for fact in desk.store.facts("material", material.id) if isinstance(fact, Material))
    return MaterialView(
        material,
        cost,
        known.material_working(material.id),
        history_of(desk, material),
        tuple(_quote(desk, material, one) for one in desk.things("quote") if one.material == material.id),
        users_of(desk.book, material.id),
        suggested_for(material),
        warning(material),
        tuple(fact.density for fact in facts if fact.density is not None),
        cautions.of_material(material),
        change_of(desk, material, cost),
        past_of(desk, "material", material.id),
        desk.book.reviews.get(material.id),
        forms.press(desk, addresses.thing("material", material.id, "review/withdraw")),
        retire,
        restore,
        next_step(desk),
    )


def _quote(desk: Desk, material: Material, quote: Quote) -> QuoteRow:
    return QuoteRow(
        quote,
        desk.book.suppliers[quote.supplier].name,
        quote.since <= desk.day <= quote.until,
        material.quote == quote.id,
        forms.press(desk, addresses.thing("quote", quote.id, "withdraw")),
        addresses.QUOTE_COUNTS.format(ident=quote.id),
    )


# --- typing one


@dataclass(frozen=True, slots=True)
class MaterialFormView:
    """What the choosers of the form offer."""

    kinds: list[tuple[str, str]]
    natures: list[tuple[str, str]]
    bases: list[tuple[str, str]]
    units: list[tuple[str, str]]
    quotes: list[tuple[str, str]]
    suggestions: tuple[Suggestion, ...]
    record: Material | None = None


def form_page(desk: Desk, form: Form, record: Material | None = None) -> View:
    """The form of a material."""
    quotes = [
        (str(one.id), f"{desk.book.suppliers[one.supplier].name}, until {desk.formats.day(one.until)}")
        for one in desk.things("quote")
        if record is not None and one.material == record.id
    ]
    found = suggestions(form.value("name"), form.value("inci")) if form.value("name") else ()
    view = MaterialFormView(KINDS, NATURES, BASES, [(unit, unit) for unit in PURCHASE_UNITS], quotes, found, record)
    title = record.name if record else "A new material"
    return View("buy/materials/form.html", title, PLACE, view, form, "buy/materials/_form.html")


def with_published(desk: Desk, typed: Typed) -> Typed:
    """The form with a published density in it, where its button was pressed."""
    word, _, place = typed.more.partition("-")
    found = suggestions(str(typed.data.get("name", "")), str(typed.data.get("inci", "")))
    if word != "density" or place not in map(str, range(len(found))):
        return typed
    own, taken = typed.data.get("density"), as_typed(desk, found[int(place)])
    return replace(typed, data={**typed.data, "density": {**(own if isinstance(own, dict) else {}), **taken}})


@router.post(addresses.LIST["material"])
def create_material(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new material."""
    return forms.save(desk, with_published(desk, typed), "material", form_page)


@router.get(addresses.EDIT["material"])
def edit_material(desk: DeskNow, ident: Ident) -> Response:
    """The form of one material."""
    material = desk.thing("material", ident)
    form = _dated_back(desk, material, forms.filled(desk, "material", material))
    return drafts.again(desk, change_material, ident) or show(desk, form_page(desk, form, material))


def _dated_back(desk: Desk, material: Material, form: Form) -> Form:
    """A first density holds from the first purchase: from today on, every day before would be without one."""
    first = first_bought(desk, material.id)
    if material.density is not None or first is None:
        return form
    return replace(form, texts={**form.texts, "density-since": first.isoformat()})


@router.post(addresses.ONE["material"])
def change_material(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a material; a density from its day on."""

    def draw(desk: Desk, form: Form) -> View:
        return form_page(desk, form, desk.thing("material", ident))

    why = "After another price counts"
    return impact.save(desk, with_published(desk, typed), "material", draw, ident, why=why)


@router.post(addresses.RETIRE["material"])
def retire_material(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a material away; what is made with it stays as it is."""
    return forms.act(desk, typed, Retire("material", ident, desk.today))


@router.post(addresses.RESTORE["material"])
def restore_material(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a material back."""
    return forms.act(desk, typed, Restore("material", ident))
