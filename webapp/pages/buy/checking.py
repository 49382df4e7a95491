"""Old prices, checked one by one on one screen: still right as of today, a new price, or left; kept by one save.

Materials whose price is older than the workshop's limit, with what depends on each. What new prices move can be looked
at first, with the prices of products to decide beside it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from starlette.responses import Response

from webapp.costing import renewing
from webapp.costing.basis import MaterialCost
from webapp.costing.book import Book, Id, Material, Review
from webapp.costing.changes import Put, Withdraw
from webapp.costing.dependence import Dependence, dependents
from webapp.costing.describing import Field, Rows, Shape
from webapp.costing.gaps import Figure
from webapp.costing.renewing import ANSWER, NEW, STILL, Answered, Pack, pack_of, with_everything
from webapp.errors import Problem, Questions, Unprocessable
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed, flat
from webapp.routes import Routes
from webapp.store.writing import UNCHANGED

router = Routes()
PLACE = "buy"
BACK = addresses.ONE["material"] + "/review/withdraw"
CHECKS = "checks"
#: what a half-entered form of this is called where it is kept
DRAFT = "check"
SHAPE = Shape(dict, (Field(CHECKS, Rows(ANSWER, ("answer", "price"))),))
#: how many are asked at once
MOST = 60
NUMBER = re.compile(r"[1-9][0-9]{0,8}", re.ASCII)


@dataclass(frozen=True, slots=True)
class OldPrice:
    """A price to be looked at: how it came about, and what depends on it. `at` is the name of its fields."""

    at: str
    material: Material
    cost: MaterialCost
    pack: Pack
    supplier: str
    everything: Figure
    looked: Review | None
    depends: Dependence
    formulas: tuple[str, ...]
    products: tuple[str, ...]
    most: str

    @property
    def newest(self) -> date | None:
        """When it was bought last; None for a starting price."""
        return self.pack.line.day if self.pack.line else None


@dataclass(frozen=True, slots=True)
class CheckView:
    """What stands on the page."""

    prices: tuple[OldPrice, ...]
    rest: int
    months: Decimal
    until: date
    day: date
    any: bool


class Asked(NamedTuple):
    """The materials whose prices are asked for, each with what depends on it; `rest` are old ones beyond those."""

    shown: tuple[tuple[Material, Dependence], ...]
    rest: int


def old_materials(desk: Desk) -> list[Material]:
    """Every material whose price is older than the workshop's limit, or that has only a starting price."""
    return [one for one in desk.things("material") if desk.reckoning.material(one.id).stale]


def asked_for(desk: Desk, kept: Collection[Id] = ()) -> Asked:
    """Those to be checked, what most hangs on first, then the oldest; `kept` were answered and stay, however new."""
    asked = {one.id: one for one in old_materials(desk)}
    asked |= {one: desk.book.materials[one] for one in kept if one in desk.book.materials}
    found = dependents(desk.reckoning, asked)

    def first(one: Material) -> tuple[Decimal, date, str]:
        share = found[one.id].share
        bought = desk.reckoning.material(one.id).day or date.min
        return -share if isinstance(share, Decimal) else Decimal(0), bought, one.name.casefold()

    every = sorted(asked.values(), key=first)
    shown = [one for place, one in enumerate(every) if place < MOST or one.id in kept]
    return Asked(tuple((one, found[one.id]) for one in shown), len(every) - len(shown))


# --- drawn


def page(desk: Desk, form: Form, asked: Asked) -> View:
    """The page."""
    prices = (_old(desk, number, *one) for number, one in enumerate(asked.shown))
    view = CheckView(
        tuple(one for one in prices if one is not None),
        asked.rest,
        desk.book.workshop.stale_months,
        renewing.valid_until(desk.book),
        desk.day,
        bool(desk.book.materials),
    )
    return View("buy/checking/page.html", "Check these prices", PLACE, view, form, "buy/checking/_form.html")


def _old(desk: Desk, number: int, material: Material, depends: Dependence) -> OldPrice | None:
    book, pack = desk.book, pack_of(desk.reckoning, material.id)
    if pack is None:
        return None
    return OldPrice(
        f"{CHECKS}-{number}",
        material,
        desk.reckoning.material(material.id),
        pack,
        book.suppliers[book.orders[pack.line.order].supplier].name if pack.line else "",
        with_everything(desk.reckoning, material.id, pack),
        book.reviews.get(material.id),
        depends,
        tuple(book.formulas[one].name for one in depends.formulas),
        tuple(book.products[one].name for one in depends.products),
        book.products[depends.most].name if depends.most is not None else "",
    )


def _form(desk: Desk, asked: Asked, typed: Typed | None = None) -> Form:
    """A blank form, or the one that was sent, its answers at the rows that are drawn now."""
    texts = _texts(asked, rows_of(typed) if typed else [])
    if typed is None:
        snapshot = desk.snapshot
        blank = Form(addresses.CHECK, SHAPE, texts, new_token(), snapshot.epoch, str(snapshot.version))
        return drafts.marked(desk, DRAFT, blank)
    version = "" if typed.version is None else str(typed.version)
    form = Form(addresses.CHECK, SHAPE, texts, typed.token or new_token(), typed.epoch, version, sure=typed.sure)
    return replace(form, draft=typed.draft, page=typed.page)


def rows_of(typed: Typed) -> Sequence[Any]:
    """The answers as they were sent."""
    rows = typed.data.get(CHECKS)
    return rows if isinstance(rows, list) else []


def _said(sent: Sequence[Any]) -> dict[str, Mapping[str, Any]]:
    """What was typed, by the material that it is about."""
    return {str(row.get("material", "")): row for row in sent if isinstance(row, Mapping)}


def touched(sent: Sequence[Any]) -> set[Id]:
    """The materials that were answered."""
    return {
        int(ident)
        for ident, row in _said(sent).items()
        if NUMBER.fullmatch(ident) and (row.get("answer") or row.get("price"))
    }


def _texts(asked: Asked, sent: Sequence[Any]) -> dict[str, str]:
    said = _said(sent)
    found: dict[str, str] = {}
    for number, (material, _) in enumerate(asked.shown):
        row = said.get(str(material.id), {})
        typed = {name: row.get(name, "") for name in ("answer", "price", "reason")}
        found |= flat({"material": str(material.id), **typed}, f"{CHECKS}-{number}")
    return found


def _at_rows(form: Form, sent: Sequence[Any], read: Answered) -> tuple[tuple[str, str], ...]:
    """The faults at the rows as they are drawn now: their order may be another than when they were sent."""
    places = {text: name.removesuffix("-material") for name, text in form.texts.items() if name.endswith("-material")}
    found = []
    for fault in read.faults:
        _, number, field = fault.field.split("-", 2)
        at = places.get(str(sent[int(number)].get("material", "")), "")
        found.append((f"{at}-{field}" if at else "", fault.sentence))
    return tuple(found)


# --- asked and kept


@router.get(addresses.CHECK)
def check_prices(desk: DeskNow) -> Response:
    """All prices that are older than the limit, to be answered one by one."""
    asked = asked_for(desk)
    return drafts.again(desk, _kept) or show(desk, page(desk, _form(desk, asked), asked))


@router.post(addresses.CHECK)
def keep_checked(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep the answers, all or none; or show what the new prices change, with nothing kept."""
    return _kept(desk, typed)


def _kept(desk: Desk, typed: Typed) -> Response:
    own, decided = impact.parted(typed)
    sent = rows_of(own)
    read = renewing.answered(desk.reckoning, sent, desk.notation, CHECKS)
    changes = renewing.puts(desk.reckoning, read.answers)
    kept = touched(sent)
    asked = asked_for(desk, kept)
    form = _form(desk, asked, own)
    if own.more not in drafts.ONLY_KEPT:
        form = replace(form, faults=_at_rows(form, sent, read) or _nothing_answered(read))
    found = None if form.faults or read.faults else _looked_at(desk, changes, own, decided)

    def draw(there: Desk, form: Form) -> View:
        now = asked if there.snapshot is desk.snapshot else asked_for(there, kept)
        return impact.drawn(page(there, form, now), found, decided)

    wrong = bool(form.faults or (found and found.faults))
    if found is not None and own.more:
        form = impact.doubting(desk, form, (*changes, *found.kept(desk)))
    if wrong or own.more or own.less:
        return drafts.shown_again(desk, typed, draw(desk, form), Unprocessable.status if wrong else 200)
    try:
        prices = found.kept(desk, "After prices were checked") if found else ()
        intent = forms.intent(desk, typed, said(read) + impact.also(found))
        saved = desk.store.save((*changes, *prices), intent, desk.today)
    except Questions as open_ones:
        return drafts.shown_again(desk, typed, draw(desk, forms.asking(form, open_ones)))
    except Problem as problem:
        return forms.not_saved(desk, typed, draw, form, problem)
    if saved.change == UNCHANGED:
        drafts.forget(desk, typed)
    return forms.go_on(desk, addresses.CHECK, saved.change)


def _nothing_answered(read: Answered) -> tuple[tuple[str, str], ...]:
    sentence = "No price is answered yet. Say of one that it is still right, or type a new one."
    return () if read.answers else (("", sentence),)


def _looked_at(desk: Desk, changes: Sequence[Put], own: Typed, decided: Mapping[str, Any]) -> impact.Considered | None:
    if not (impact.only_looks(own.more) or decided):
        return None
    after = impact.after_changes(desk, changes)
    if not isinstance(after, Book):
        return None
    return impact.considered(desk, impact.then(desk, after), decided, own.more, own.version)


def said(read: Answered) -> str:
    """What the history calls it: how many were still right, how many are new."""
    counts = ((STILL, "still right"), (NEW, "new"))
    many = [(sum(one.answer == answer for one in read.answers), words) for answer, words in counts]
    return "Prices checked: " + ", ".join(f"{count} {words}" for count, words in many if count)


@router.post(BACK)
def take_back(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Take back the newest word that a material's price is still right."""
    desk.thing("material", ident)
    review = desk.book.reviews.get(ident)
    if review is None:
        return forms.redirect(desk, addresses.thing("material", ident))
    return forms.act(desk, typed, Withdraw("review", ident, review.since))
