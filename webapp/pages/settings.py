"""The settings: the workshop, how it reckons, who works there, and what it pays every month."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from starlette.responses import Response

from webapp.costing.book import WORKSHOP_ID, Bill, Person, Terms, Workshop
from webapp.costing.changes import Restore, Retire
from webapp.costing.gaps import Figure
from webapp.pages import addresses, drafts, forms, impact, localities
from webapp.pages.dated import from_today
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.needs import Need, next_step
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "settings"

BASES = [("latest", "the latest price"), ("averaged", "the average over some months"), ("dearest", "the dearest")]
MASS_UNITS = [("kg", "a kilogram"), ("lb", "a pound")]
COSTS = [("full", "the full cost: own pay and overhead are in it"), ("direct", "the direct cost: without overhead")]
OVERHEADS = [
    ("hours", "by the hours of making"),
    ("jars", "equally on every planned jar"),
    ("left out", "not at all; it is left out"),
]
WHOSE = [("own", "yours: own pay"), ("hired", "hired: paid wages")]


# --- all of it


@dataclass(frozen=True, slots=True)
class SettingsView:
    """What stands on the page of all settings."""

    workshop: Workshop
    locality: str
    terms: Terms
    people: tuple[PersonRow, ...]
    bills: tuple[Bill, ...]
    overhead: Figure


@dataclass(frozen=True, slots=True)
class PersonRow:
    """Somebody who works, and what an hour costs with the employer's extra."""

    person: Person
    hour: Figure


def person_rows(desk: Desk, *, retired: bool = False) -> tuple[PersonRow, ...]:
    """Who works, by name."""
    return tuple(PersonRow(one, desk.reckoning.hourly(one.id)) for one in desk.things("person", retired=retired))


@router.get(addresses.SETTINGS)
def overview(desk: DeskNow) -> Response:
    """All settings at a glance, each with its way in."""
    book = desk.book
    view = SettingsView(
        book.workshop,
        localities.name_of(book.workshop.locale),
        book.terms,
        person_rows(desk),
        desk.things("bill"),
        desk.reckoning.overhead,
    )
    return show(desk, View("settings/overview.html", "Settings", PLACE, view, more=drafts.half_entered(desk, "own")))


# --- the workshop and how it reckons: one of each


@dataclass(frozen=True, slots=True)
class ChoicesView:
    """What the choosers of a form offer."""

    options: dict[str, list[tuple[str, str]]]
    facts: tuple[Any, ...] = ()
    record: Any = None
    retire: Form | None = None
    restore: Form | None = None


def workshop_page(desk: Desk, form: Form) -> View:
    """The form of the workshop itself."""
    del desk
    options = {
        "locale": localities.locales(form.value("locale")),
        "currency": localities.currencies(),
        "mass_unit": MASS_UNITS,
        "basis": BASES,
    }
    return _page("workshop", "The workshop", form, ChoicesView(options))


def terms_page(desk: Desk, form: Form) -> View:
    """The form of how the workshop reckons."""
    facts = desk.store.facts("terms", WORKSHOP_ID)
    return _page("terms", "How we reckon", form, ChoicesView({"cost": COSTS, "overhead": OVERHEADS}, facts))


def _record_view(
    desk: Desk, kind: str, record: Any, facts: tuple[Any, ...], options: dict[str, list[tuple[str, str]]]
) -> ChoicesView:
    """What stands beside the form of a record: its dated facts, and the button that puts it away."""
    if record is None:
        return ChoicesView(options)
    retire, restore = forms.putting_away(desk, kind, record.id)
    return ChoicesView(options, facts, record, retire, restore)


def _page(folder: str, title: str, form: Form, view: object) -> View:
    where = f"settings/{folder}"
    return View(f"{where}/form.html", title, PLACE, view, form, f"{where}/_form.html")


@router.get(addresses.BASE["workshop"])
def workshop(desk: DeskNow) -> Response:
    """The workshop's form."""
    return show(desk, workshop_page(desk, forms.filled(desk, "workshop", desk.book.workshop)))


@router.post(addresses.BASE["workshop"])
def change_workshop(desk: DeskNow, typed: TypedNow) -> Response:
    """Change the workshop; which price counts can be looked at first, in all that it moves."""
    why = "After another price counts"
    return impact.save(desk, typed, "workshop", workshop_page, WORKSHOP_ID, why=why, to=_to_settings)


@router.get(addresses.BASE["terms"])
def terms(desk: DeskNow) -> Response:
    """The form of how the workshop reckons."""
    return show(desk, terms_page(desk, forms.filled(desk, "terms", desk.book.terms)))


@router.post(addresses.BASE["terms"])
def change_terms(desk: DeskNow, typed: TypedNow) -> Response:
    """Change how the workshop reckons, from a day on."""
    return impact.save(
        desk, typed, "terms", terms_page, WORKSHOP_ID, why="After another way to reckon", to=_to_settings
    )


def _to_settings(ident: int) -> str:
    del ident
    return addresses.SETTINGS


# --- who works


@dataclass(frozen=True, slots=True)
class ListView:
    """Things of one kind, and those that were put away."""

    rows: tuple[Any, ...]
    retired: tuple[Any, ...]
    total: Figure | None = None
    next_step: Need | None = None


def person_page(desk: Desk, form: Form, person: Person | None = None) -> View:
    """The form of somebody who works; with what she has earned so far."""
    facts = desk.store.facts("person", person.id) if person else ()
    wages = tuple(fact for fact in facts if isinstance(fact, Person) and fact.wage)
    view = _record_view(desk, "person", person, wages, {"whose": WHOSE})
    return _page("people", person.name if person else "Somebody who works", form, view)


@router.get(addresses.LIST["person"])
def people(desk: DeskNow) -> Response:
    """Everybody who works."""
    view = ListView(person_rows(desk), person_rows(desk, retired=True), next_step=next_step(desk))
    return show(desk, View("settings/people/list.html", "Who works", PLACE, view))


@router.get(addresses.NEW["person"])
def new_person(desk: DeskNow) -> Response:
    """A form for somebody else."""
    return show(desk, person_page(desk, forms.blank(desk, "person", wage={"since": str(desk.today)})))


@router.post(addresses.LIST["person"])
def create_person(desk: DeskNow, typed: TypedNow) -> Response:
    """Enter somebody."""
    return forms.save(desk, typed, "person", person_page, to=_to_people)


@router.get(addresses.ONE["person"])
@router.get(addresses.EDIT["person"])
def edit_person(desk: DeskNow, ident: Ident) -> Response:
    """The form of one of them."""
    person = desk.thing("person", ident)
    return show(desk, person_page(desk, forms.filled(desk, "person", from_today(desk, person)), person))


@router.post(addresses.ONE["person"])
def change_person(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change one of them; a wage from its day on."""

    def draw(desk: Desk, form: Form) -> View:
        return person_page(desk, form, desk.thing("person", ident))

    return impact.save(desk, typed, "person", draw, ident, why="After another wage", to=_to_people)


@router.post(addresses.RETIRE["person"])
def retire_person(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put somebody away who works here no more."""
    return forms.act(desk, typed, Retire("person", ident, desk.today), to=addresses.listing("person"))


@router.post(addresses.RESTORE["person"])
def restore_person(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring somebody back."""
    return forms.act(desk, typed, Restore("person", ident))


def _to_people(ident: int) -> str:
    del ident
    return addresses.listing("person")


# --- monthly bills


def bill_page(desk: Desk, form: Form, bill: Bill | None = None) -> View:
    """The form of a monthly bill, with what it came to before."""
    facts = desk.store.facts("bill", bill.id) if bill else ()
    view = _record_view(desk, "bill", bill, facts, {})
    return _page("bills", bill.name if bill else "A monthly bill", form, view)


@router.get(addresses.LIST["bill"])
def bills(desk: DeskNow) -> Response:
    """All monthly bills and what they come to."""
    view = ListView(desk.things("bill"), desk.things("bill", retired=True), desk.reckoning.overhead)
    return show(desk, View("settings/bills/list.html", "Monthly bills", PLACE, view))


@router.get(addresses.NEW["bill"])
def new_bill(desk: DeskNow) -> Response:
    """A form for another bill."""
    return show(desk, bill_page(desk, forms.blank(desk, "bill")))


@router.post(addresses.LIST["bill"])
def create_bill(desk: DeskNow, typed: TypedNow) -> Response:
    """Enter a bill."""
    return forms.save(desk, typed, "bill", bill_page, to=_to_bills)


@router.get(addresses.ONE["bill"])
@router.get(addresses.EDIT["bill"])
def edit_bill(desk: DeskNow, ident: Ident) -> Response:
    """The form of one bill."""
    bill = desk.thing("bill", ident)
    return show(desk, bill_page(desk, forms.filled(desk, "bill", from_today(desk, bill)), bill))


@router.post(addresses.ONE["bill"])
def change_bill(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a bill from its day on."""

    def draw(desk: Desk, form: Form) -> View:
        return bill_page(desk, form, desk.thing("bill", ident))

    return impact.save(desk, typed, "bill", draw, ident, why="After another monthly bill", to=_to_bills)


@router.post(addresses.RETIRE["bill"])
def retire_bill(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put away a bill that comes no more."""
    return forms.act(desk, typed, Retire("bill", ident, desk.today), to=addresses.listing("bill"))


@router.post(addresses.RESTORE["bill"])
def restore_bill(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a bill back."""
    return forms.act(desk, typed, Restore("bill", ident))


def _to_bills(ident: int) -> str:
    del ident
    return addresses.listing("bill")
