"""Batches: the list, the weighing sheet of the next one, and one that was made beside what was planned."""

from __future__ import annotations

from dataclasses import dataclass, replace

from starlette.responses import Response

from webapp.costing import made_batch_working as opening
from webapp.costing.book import MadeBatch
from webapp.costing.changes import Withdraw
from webapp.costing.gaps import Figure
from webapp.costing.made_batches import BatchMade, JarMade, Learnt, batch_made, learnt, unit_cost
from webapp.costing.working import Working
from webapp.errors import NotFound, Unprocessable
from webapp.pages import addresses, drafts, forms
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.make.batch_form import HowMuch, as_ticked, asked_for, form_page, sheet_form, ticked_again
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "make"
#: how much of what an address holds is shown again in a field of at most 24 characters
MOST_SHOWN = 40


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One batch in the list."""

    record: MadeBatch
    formula: str
    made: BatchMade
    jars: str


@dataclass(frozen=True, slots=True)
class BatchesView:
    """What stands on the list."""

    rows: tuple[BatchRow, ...]
    formulas: bool


@dataclass(frozen=True, slots=True)
class AskView:
    """How much is to be made: what the choosers offer, and what was typed."""

    formulas: tuple[tuple[str, str], ...]
    products: tuple[tuple[str, str], ...]
    asked: HowMuch


@dataclass(frozen=True, slots=True)
class WeighedRow:
    """A line of a batch: what was planned, what was weighed, what that cost."""

    name: str
    href: str
    planned: Figure
    grams: Figure
    cost: Figure


@dataclass(frozen=True, slots=True)
class JarView:
    """A product that was filled, its figures opened by name."""

    name: str
    href: str
    made: JarMade
    opened: dict[str, Working]


@dataclass(frozen=True, slots=True)
class BatchView:
    """What stands on the page of a batch."""

    made: BatchMade
    formula: str
    lines: tuple[WeighedRow, ...]
    jars: tuple[JarView, ...]
    opened: dict[str, Working]
    learnt: Learnt | None
    withdraw: Form


@router.get(addresses.LIST["batch"])
def batches(desk: DeskNow) -> Response:
    """Every batch that was made, the newest first."""
    view = BatchesView(tuple(_row(desk, one) for one in desk.things("batch")), bool(desk.things("formula")))
    half = drafts.half_entered(desk, "batch")
    return show(desk, View("make/batches/list.html", "Batches", PLACE, view, more=half))


def _row(desk: Desk, record: MadeBatch) -> BatchRow:
    book = desk.book
    jars = ", ".join(f"{desk.formats.count(one.jars)} × {book.products[one.product].name}" for one in record.filled)
    return BatchRow(record, book.formulas[record.formula].name, batch_made(desk.reckoning, record), jars)


@router.get(addresses.NEW["batch"])
def new_batch(desk: DeskNow, formula: str = "", grams: str = "", product: str = "", jars: str = "") -> Response:
    """How much is to be made; where that is said, the weighing sheet of it."""
    asked, told = asked_for(desk, HowMuch(formula, grams, product, jars))
    if asked is None:
        return show(desk, _question(desk, told), Unprocessable.status if told.faults else 200)
    again = drafts.again(desk, save)
    return again or show(desk, form_page(desk, sheet_form(desk, asked), None, asked.product))


def _question(desk: Desk, told: HowMuch) -> View:
    formulas = tuple(desk.options("formula"))
    products = tuple((str(one.id), one.name) for one in desk.things("product") if len(one.fills) == 1)
    shown = replace(told, grams=told.grams[:MOST_SHOWN], jars=told.jars[:MOST_SHOWN])
    return View("make/batches/ask.html", "Make a batch", PLACE, AskView(formulas, products, shown))


@router.post(addresses.LIST["batch"])
def create_batch(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep what was weighed."""
    return save(desk, typed)


@router.get(addresses.EDIT["batch"])
def edit_batch(desk: DeskNow, ident: Ident) -> Response:
    """The form of a batch that was made."""
    record = desk.thing("batch", ident)
    form = forms.filled(desk, "batch", record)
    return drafts.again(desk, save, ident) or show(desk, form_page(desk, form, record))


@router.post(addresses.ONE["batch"])
def change_batch(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Correct what was written down of a batch."""
    return save(desk, typed, ident)


def save(desk: Desk, sent: Typed, ident: int | None = None) -> Response:
    """Keep a batch; a form without a formula of the book is none of ours."""
    record = desk.thing("batch", ident) if ident is not None else None
    if not any(str(one) == sent.data.get("formula") for one in desk.book.formulas):
        raise NotFound

    def draw(desk: Desk, form: Form) -> View:
        return form_page(desk, ticked_again(form, sent), record)

    return forms.save(desk, as_ticked(sent), "batch", draw, ident, sent=sent)


@router.get(addresses.ONE["batch"])
def batch_page(desk: DeskNow, ident: Ident) -> Response:
    """One batch: what it took beside what was planned."""
    record = desk.thing("batch", ident)
    title = f"{desk.book.formulas[record.formula].name}, {desk.formats.day(record.day)}"
    return show(desk, View("make/batches/one.html", title, PLACE, _view(desk, record)))


def _view(desk: Desk, record: MadeBatch) -> BatchView:
    known, made = desk.reckoning, batch_made(desk.reckoning, record)
    opened = {name: opening.working(known, record.id, name) for name in opening.FIGURES}
    return BatchView(
        made,
        desk.book.formulas[record.formula].name,
        tuple(_weighed(desk, record, place) for place in range(len(record.lines))),
        tuple(_jar(desk, record, place, one) for place, one in enumerate(made.jars)),
        opened,
        learnt(known, record.formula),
        forms.press(desk, addresses.thing("batch", record.id, "withdraw")),
    )


def _weighed(desk: Desk, record: MadeBatch, place: int) -> WeighedRow:
    line, book = record.lines[place], desk.book
    kind, ident = ("material", line.material) if line.material is not None else ("formula", line.formula or 0)
    name = (book.materials if kind == "material" else book.formulas)[ident].name
    cost = unit_cost(desk.reckoning, line) * line.grams
    return WeighedRow(name, addresses.thing(kind, ident), line.planned, line.grams, cost)


def _jar(desk: Desk, record: MadeBatch, place: int, made: JarMade) -> JarView:
    opened = {name: opening.working(desk.reckoning, record.id, f"jars-{place}-{name}") for name in opening.JAR_FIGURES}
    product = desk.book.products[made.product]
    return JarView(product.name, addresses.thing("product", product.id), made, opened)


@router.post(addresses.WITHDRAW["batch"])
def withdraw_batch(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Take a batch back that should not be there."""
    desk.thing("batch", ident)
    return forms.act(desk, typed, Withdraw("batch", ident), said="Batch taken back")
