"""Typing a supplier order: its form, the sum of what is typed, and what the order would change."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from starlette.responses import Response

from webapp.costing.book import Book, Order
from webapp.costing.called import Known
from webapp.costing.changes import Put, apply
from webapp.costing.reckoning import Reckoning
from webapp.costing.units import PURCHASE_UNITS
from webapp.errors import NotFound, Unprocessable
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.buy.ahead import desk_of
from webapp.pages.buy.beginning import beginning
from webapp.pages.buy.by_volume import with_published
from webapp.pages.buy.last_time import NOTHING, About, about, abouts, currency_of, filled_in, names_of, with_kinds
from webapp.pages.buy.on_the_spot import Prepared, as_it_is, at_the_first, book_with, prepared
from webapp.pages.buy.settling import KINDS, SAME_TAX, rate_left, rate_to_type, settled, taxed_alike
from webapp.pages.buy.summing import Sum, so_far, sum_of
from webapp.pages.drawn import Form
from webapp.pages.filled_in import Fill
from webapp.pages.forms import TypedNow
from webapp.pages.impact import Considered
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show, whole_number
from webapp.pages.typed import Typed, flat, nested
from webapp.routes import Routes

router = Routes()
PLACE = "buy"
SUM = f"{addresses.LIST['order']}/sum"
LINE = f"{addresses.LIST['order']}/line"
ROW = "lines-(0|[1-9][0-9]{0,2})"
LAST_TIME = "last"
GOES_ON = (LAST_TIME, SAME_TAX, *KINDS)
"""Buttons that fill something in and show the form again."""
#: what is folded away under a line or a charge until it says something
FOLDED = ("total", "discount", "tax_rate", "arrived", "not_priced")
Faults: TypeAlias = tuple[tuple[str, str], ...]
OPTIONS: dict[str, list[tuple[str, str]]] = {
    "unit": [(unit, unit) for unit in PURCHASE_UNITS],
    "kind": [
        ("", "Choose"),
        ("ingredient", "an ingredient"),
        ("packaging", "packaging"),
        ("bought-in", "a bought-in piece"),
    ],
    "discount_in": [("money", "off the line"), ("percent", "percent")],
    "not_priced": [
        ("", "yes"),
        ("sample", "no: a sample or free"),
        ("emergency", "no: a small pack in a hurry"),
        ("replacement", "no: a replacement"),
        ("credit", "no: a credit"),
    ],
    "way": [
        ("home per unit", "our money for one of theirs"),
        ("units per home", "theirs for one of ours"),
        ("paid", "what was really paid, in our money"),
    ],
    "charge": [
        ("freight", "freight"),
        ("duty", "duty"),
        ("handling", "handling"),
        ("other", "another charge"),
        ("discount", "discount on all of it"),
        ("credit", "credit"),
    ],
    "money": [("order", "the order's"), ("home", "our own")],
    "share": [("value", "by value"), ("mass", "by mass"), ("equally", "equally")],
}


@dataclass(frozen=True, slots=True)
class OrderFormView:
    """What stands beside the form: the choosers, the sum, what it would change."""

    suppliers: list[tuple[str, str]]
    materials: tuple[Known, ...]
    abouts: dict[str, About]
    options: dict[str, list[tuple[str, str]]]
    home: str
    sum: Sum
    record: Order | None = None

    def about(self, row: str) -> About:
        """What is said under a line; in a book without materials every one is new."""
        return self.abouts.get(row, NOTHING if self.materials else About(new=True))

    def opens(self, form: Form, row: str) -> bool:
        """Whether anything but what it starts with stands in the folded fields of a line or a charge.

        One rate on all of them says nothing of this one, and its fold is called by it.
        """
        names = [name for name in FOLDED if name != "tax_rate" or not self.alike(form, row)]
        return any(form.value(f"{row}-{name}").strip(" 0.,") for name in names)

    def alike(self, form: Form, row: str) -> str:
        """The rate of tax of a line or charge, as it is typed, where all have the same; else ""."""
        kinds = {"lines": "material", "charges": "amount"}
        rows = [(f"{kind}-{n}", key) for kind, key in kinds.items() for n in range(form.typed_rows(kind))]
        begun = [row for row, key in rows if form.value(f"{row}-{key}").strip()]
        found = {tuple(form.value(f"{row}-{name}").strip() for name in ("tax_rate", "tax_included")) for row in begun}
        return found.pop()[0] if len(found) == 1 and row in begun else ""


@dataclass(frozen=True, slots=True)
class AskedLine:
    """What stands under one line."""

    row: str
    said: About
    options: dict[str, list[tuple[str, str]]]


def form_page(desk: Desk, form: Form, record: Order | None = None, sum_now: Sum | None = None) -> View:
    """The form of an order, new or to be corrected."""
    suppliers = desk.options("supplier", record.supplier if record else None)
    if not suppliers:
        form = at_the_first(form, "Type who it was bought from.")
    said = abouts(desk, form, record.id if record else 0)
    form = with_kinds(form, said)
    view = OrderFormView(
        suppliers,
        names_of(desk).offered,
        said,
        OPTIONS,
        desk.book.workshop.currency,
        sum_now or Sum(),
        record,
    )
    title = f"Correct the order of {desk.formats.day(record.day)}" if record else "Enter an order"
    return View("buy/orders/form.html", title, PLACE, view, form, "buy/orders/_form.html")


def reckoned(desk: Desk, order: Order | None, made: Prepared) -> tuple[Sum, Book | None, Faults]:
    """The sum of what is typed, the book after it, and what it is refused for."""
    if order is None:
        return so_far(desk, made), None, ()
    after = apply(book_with(desk, made.puts), Put(order))
    if not isinstance(after, Book):
        faults = tuple((fault.field, fault.sentence) for fault in after)
        return so_far(desk, made, faults), None, faults
    return sum_of(after, order), after, ()


def what_it_changes(desk: Desk, order: Order, after: Reckoning, answers: Mapping[str, Any], typed: Typed) -> Considered:
    """What moves with this order; and why a material that is on it does not count by it."""
    bought = {line.material for line in order.lines if not line.not_priced}
    said = (uncounted(desk, after, order, material) for material in bought)
    found = impact.considered(desk, after, answers, typed.more, typed.version)
    return replace(found, notices=(*sorted(words for words in said if words), *found.notices))


def uncounted(desk: Desk, after: Reckoning, order: Order, material: int) -> str:
    """Why the order changes nothing of what a material costs today; "" where it counts."""
    cost, name = after.material(material), after.book.materials[material].name
    if order.id in {used for used, _ in cost.used} or cost.day is None or order.day > desk.day:
        return ""
    if cost.rule == "quote" and cost.quote is not None:
        until = desk.formats.day(after.book.quotes[cost.quote].until)
        return f"{name}: a quote counts as its price until {until}, so this order changes no cost today."
    if cost.day > order.day:
        return f"{name}: older than the newest order of it, so it changes no cost today."
    return f"{name}: its {cost.rule} price counts, and another order gives that, so this one changes no cost today."


@router.get(addresses.NEW["order"])
def new_order(desk: DeskNow, supplier: str = "", material: str = "", like: str = "") -> Response:
    """A form for an order of today: from a supplier, of a material's last pack, or like an older one."""
    new = as_it_is(desk).shown(beginning(desk, supplier, material, like))
    begun = drafts.again(desk, save)
    return begun or show(desk, form_page(desk, new, sum_now=so_typed(desk, Typed(nested(new.texts)))))


@router.post(SUM)
def order_sum(desk: DeskNow, typed: TypedNow) -> Response:
    """The sum of what is typed so far. Nothing is stored."""
    typed, _ = impact.parted(typed)
    made = prepared(desk, typed)
    reading = forms.read(desk, made.typed, "order")
    total = reckoned(desk, reading.record, made)[0]
    currency = currency_of(desk, flat(typed.data))
    over = str(typed.data.get("currency", ""))
    fills = (Fill("currency", currency, over),) if currency != over else ()
    view = form_page(desk, reading.form, sum_now=replace(total, fills=fills))
    return show(desk, replace(view, template="buy/orders/_sum.html", fragment="buy/orders/_sum.html"))


@router.post(LINE)
def order_line(desk: DeskNow, typed: TypedNow, row: str = "", but: str = "") -> Response:
    """What is said under one line: how its material was bought last, or that it is new. Nothing is stored."""
    if not re.fullmatch(ROW, row, re.ASCII):
        raise NotFound
    form = replace(forms.blank(desk, "order"), texts=flat(typed.data))
    without = whole_number(but) if but else 0
    view = AskedLine(row, about(desk, names_of(desk), form, row, without), OPTIONS)
    form = with_kinds(form, {row: view.said})
    return show(desk, View("buy/orders/_asked.html", "", PLACE, view, form, "buy/orders/_asked.html"))


@router.post(addresses.LIST["order"])
def create_order(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new order, with the materials and the supplier made on the spot."""
    return save(desk, typed)


@router.get(addresses.EDIT["order"])
def edit_order(desk: DeskNow, ident: Ident) -> Response:
    """The form that corrects an order."""
    desk = desk_of(desk, ident)
    order = desk.thing("order", ident)
    made = as_it_is(desk)
    total, _, _ = reckoned(desk, order, made)
    form = made.shown(forms.filled(desk, "order", order))
    return drafts.again(desk, save, ident) or show(desk, form_page(desk, form, order, total))


@router.post(addresses.ONE["order"])
def change_order(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Correct an order; the history keeps how it was."""
    return save(desk, typed, ident)


def so_typed(desk: Desk, typed: Typed, ident: int | None = None) -> Sum:
    """The sum of what is typed so far."""
    made = prepared(desk, typed)
    return reckoned(desk, forms.read(desk, made.typed, "order", ident).record, made)[0]


def started(desk: Desk, typed: Typed, ident: int | None = None) -> View:
    """The form with all that is typed so far and no faults, to go on from there. Nothing is stored."""
    record = desk.thing("order", ident) if ident is not None else None
    made = prepared(desk, typed)
    reading = forms.read(desk, made.typed, "order", ident)
    form = replace(made, faults=()).shown(replace(reading.form, faults=()))
    return form_page(desk, form, record, reckoned(desk, reading.record, made)[0])


def _gone_on(desk: Desk, typed: Typed, ident: int | None) -> Typed:
    """What is typed, with what the pressed button fills in."""
    if typed.more == LAST_TIME:
        named = replace(forms.blank(desk, "order"), texts=flat(typed.data))
        return filled_in(desk, named, typed, ident or 0)
    if typed.more == SAME_TAX:
        return typed if rate_to_type(desk, typed) else taxed_alike(typed)
    if typed.more in KINDS:
        return settled(desk, typed, so_typed(desk, typed, ident).difference)
    return typed


@dataclass(frozen=True, slots=True)
class _Sent:
    """An order as it was sent, what is read of it and what it comes to; `held` is what is corrected."""

    desk: Desk
    typed: Typed
    answers: dict[str, Any]
    made: Prepared
    reading: forms.Reading
    held: Order | None
    total: Sum
    refused: Faults
    found: Considered | None

    @property
    def looks(self) -> bool:
        """Whether it is only asked what the order would change."""
        return impact.only_looks(self.typed.more)

    @property
    def goes_on(self) -> bool:
        """Whether more or fewer lines are wanted, or something filled in, so that nothing counts as wrong yet."""
        return bool(self.typed.more or self.typed.less) and not self.looks

    def changes(self, order: Order) -> tuple[Put, ...]:
        """All that is stored with it."""
        return (*self.made.puts, Put(order), *_prices(self.desk, order, self.found))

    def draw(self, desk: Desk, form: Form) -> View:
        """The form once more, with what it would change."""
        made = replace(self.made, faults=()) if self.goes_on else self.made
        return impact.drawn(form_page(desk, made.shown(form), self.held, self.total), self.found, self.answers)

    def again(self, form: Form, status: int = Unprocessable.status) -> Response:
        """The form shown again, unsaved."""
        return drafts.shown_again(self.desk, self.typed, self.draw(self.desk, form), status)


def _read(desk: Desk, sent: Typed, ident: int | None) -> _Sent:
    desk = desk_of(desk, ident) if ident is not None else desk
    held = desk.thing("order", ident) if ident is not None else None
    typed, answers = impact.parted(sent)
    typed = _gone_on(desk, with_published(desk, typed, ident or 0), ident)
    made = prepared(desk, typed)
    reading = forms.read(desk, made.typed, "order", ident)
    total, after, refused = reckoned(desk, reading.record, made)
    found = None
    if after is not None and not made.faults and (impact.only_looks(typed.more) or answers):
        found = what_it_changes(desk, reading.record, impact.then(desk, after), answers, typed)
    return _Sent(desk, typed, answers, made, reading, held, total, refused, found)


def save(desk: Desk, sent: Typed, ident: int | None = None) -> Response:
    """Keep the order and the prices decided with it, or show it again: with faults, what it changes, more lines."""
    one = _read(desk, sent, ident)
    form = one.reading.form
    if one.typed.more in GOES_ON:
        lacks = rate_to_type(one.desk, one.typed) if one.typed.more == SAME_TAX else ()
        return one.again(replace(form, faults=lacks), Unprocessable.status if lacks else 200)
    if not one.goes_on and (left := rate_left(one.typed)):
        return one.again(replace(form, faults=(*form.faults, *left)))
    if one.looks:
        return _looked_at(one)
    if not one.goes_on and (not one.made.readable or (one.found is not None and one.found.faults)):
        return one.again(form)
    return forms.save(
        one.desk, one.made.typed, "order", one.draw, ident, changes=one.changes, sent=sent, also=impact.also(one.found)
    )


def _looked_at(one: _Sent) -> Response:
    """The form with what the order would change, or why that can't be said."""
    form = one.reading.form
    if one.found is not None:
        return one.again(impact.doubting(one.desk, form, one.changes(one.reading.record)), 200)
    refused = one.reading.record is not None and not one.made.faults
    return one.again(replace(form, faults=one.refused) if refused else form)


def _prices(desk: Desk, order: Order, found: Considered | None) -> tuple[Put, ...]:
    return found.kept(desk, f"After the order of {desk.formats.day(order.day)}") if found else ()
