"""What was saved lately, the newest first, each with its undo or why it can't be undone; and one change in full."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from starlette.responses import Response

from webapp.costing.book import KINDS, SHELVES
from webapp.costing.dependence import dependents
from webapp.costing.gaps import Figure
from webapp.door.who import said_by
from webapp.errors import NotFound
from webapp.pages import addresses, forms
from webapp.pages.done import counted
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show, whole_number
from webapp.routes import Routes
from webapp.store.backups import moment_in
from webapp.store.history import Past
from webapp.store.lately import Lately, StoredPrice
from webapp.store.restores import Stands

router = Routes()
ON_A_PAGE = 20
NOWHERE = ("", "")


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One change: when, what and why, how many prices came with it, its undo or what stands against it."""

    href: str
    when: str
    what: str
    why: str
    prices: str
    undo: Form | None
    against: str
    later: tuple[str, str]


@dataclass(frozen=True, slots=True)
class ChangesView:
    """A page of changes, and where the older ones are."""

    rows: tuple[ChangeRow, ...]
    older: str


@dataclass(frozen=True, slots=True)
class PriceLine:
    """A price of a product on a channel, where it is decided, and what is said of it."""

    name: str
    href: str
    amount: Figure
    said: str


@dataclass(frozen=True, slots=True)
class ChangeView:
    """One change: the things it is about, the prices decided with it, those left undecided, those left behind."""

    row: ChangeRow
    about: tuple[tuple[str, str], ...]
    decided: tuple[PriceLine, ...]
    undecided: tuple[PriceLine, ...] | None
    left: tuple[PriceLine, ...]
    take_back: Form


@router.get(addresses.CHANGES)
def changes(desk: DeskNow, before: str = "") -> Response:
    """What was saved lately."""
    found = desk.store.lately(ON_A_PAGE + 1, whole_number(before) if before else None)
    rows = tuple(_with_restores(desk, found, first=not before))
    older = f"{addresses.CHANGES}?before={found[ON_A_PAGE - 1].past.version}" if len(found) > ON_A_PAGE else ""
    return show(desk, View("home/changes.html", "What was saved lately", "", ChangesView(rows, older)))


def _with_restores(desk: Desk, found: Sequence[Lately], *, first: bool) -> Iterator[ChangeRow]:
    """The changes of a page in their order, and the restores from the one before it to the first of the next."""
    waiting = [*desk.store.restored()]
    if found and not first:
        waiting = [one for one in waiting if one.behind < found[0].past.version]
    for change in found:
        while waiting and waiting[0].behind >= change.past.version:
            yield _restored(desk, waiting.pop(0))
        if change in found[:ON_A_PAGE]:
            yield _row(desk, change)
    if len(found) <= ON_A_PAGE:
        yield from (_restored(desk, one) for one in waiting)


def _restored(desk: Desk, one: Stands) -> ChangeRow:
    """A restore. It is no change of the book, so it is taken back by the backup that was made before it."""
    name, before = str(one.told.get("name", "")), str(one.told.get("before", ""))
    why = f"as in {_backup(desk, name)}"
    there = (_backup(desk, before), addresses.backup(before))
    against, later = ("Restore what was there before:", there) if before else ("", NOWHERE)
    return ChangeRow(addresses.BACKUPS, moment(desk, one.at), "Restore", why, "", None, against, later)


def _backup(desk: Desk, name: str) -> str:
    """A backup by when it was made; by its name where that says no such thing."""
    when = moment_in(name)
    return f"the backup of {moment(desk, when)}" if when else f"the backup {name}"


def _row(desk: Desk, one: Lately) -> ChangeRow:
    past = one.past
    undo = forms.press(desk, addresses.undo(past.version, "changes")) if one.can_undo else None
    against, later = _against(desk, one)
    prices = f"with {counted(len(one.prices)).lower()}" if one.prices else ""
    why = ", ".join(words for words in (past.why, said_by(past.device)) if words)
    when = moment(desk, past.when)
    return ChangeRow(addresses.change(past.version), when, past.kind, why, prices, undo, against, later)


def _against(desk: Desk, one: Lately) -> tuple[str, tuple[str, str]]:
    """Why a change can't be taken back, and the other change that this is about: its words and address."""
    past = one.past
    if past.undone_by is not None:
        return "It was taken back:", (f"change {past.undone_by}", addresses.change(past.undone_by))
    if past.undoes is not None:
        return "It took back an earlier one:", (f"change {past.undoes}", addresses.change(past.undoes))
    if one.held_up_by is not None:
        return "Undo first what changed it again or uses it:", _named(desk, one.held_up_by)
    return "", ("", "")


def _named(desk: Desk, past: Past) -> tuple[str, str]:
    return f"{past.kind}, {moment(desk, past.when)}", addresses.change(past.version)


def moment(desk: Desk, when: datetime) -> str:
    """Day and time by the clock of this computer."""
    there = when.astimezone()
    return f"{desk.formats.day(there.date())}, {there:%H:%M}"


# --- one change


@router.get(addresses.CHANGE)
def change(desk: DeskNow, version: str) -> Response:
    """One change: what was decided with it and what was not, and its undo."""
    return show(desk, View("home/change.html", "What was saved", "", _change(desk, whole_number(version))))


def _change(desk: Desk, version: int) -> ChangeView:
    found = desk.store.lately(1, version + 1)
    if not found or found[0].past.version != version:
        raise NotFound("There is no such change.")
    (one,) = found
    saved = desk.store.saved_in(version)
    left = saved[2] if saved else ()
    about = tuple(thing for key in one.about for thing in _thing(desk, *key))
    back = forms.press(desk, addresses.PRICES_BACK.format(version=version))
    decided, behind = (tuple(_stored(desk, price) for price in some) for some in (one.prices, left))
    return ChangeView(_row(desk, one), about, decided, _undecided(desk, one), behind, back)


def _thing(desk: Desk, kind: str, ident: int) -> Iterator[tuple[str, str]]:
    """What a thing is called and its page; nothing where it is not there on this day."""
    shelf = getattr(desk.book, SHELVES[KINDS[kind]][1])
    if not isinstance(shelf, Mapping) or ident in shelf:
        name = getattr(shelf[ident], "name", "") if isinstance(shelf, Mapping) else ""
        yield f"{forms.WORDS[kind]}{f': {name}' if name else ''}", addresses.thing(kind, ident)


def _stored(desk: Desk, one: StoredPrice) -> PriceLine:
    price = one.price
    said = ", ".join(words for words in (price.why, "" if one.holds else "not any more") if words)
    return PriceLine(*_channel(desk, price.product, price.channel), price.amount, said)


def _channel(desk: Desk, product: int, channel: int) -> tuple[str, str]:
    book = desk.book
    shelves: tuple[tuple[Mapping[int, Any], int], ...] = ((book.products, product), (book.channels, channel))
    names = [shelf[one].name if one in shelf else "one that is gone" for shelf, one in shelves]
    return ", ".join(names), f"{addresses.thing('product', product)}#c-{channel}"


def _undecided(desk: Desk, one: Lately) -> tuple[PriceLine, ...] | None:
    """Prices below their target that hang on what an order brought and were not decided with it; None without one."""
    orders = [desk.book.orders[ident] for kind, ident in one.about if kind == "order" and ident in desk.book.orders]
    if not orders:
        return None
    bought = {line.material for order in orders for line in order.lines}
    products = {product for hangs in dependents(desk.reckoning, bought).values() for product in hangs.products}
    decided = {(price.price.product, price.price.channel) for price in one.prices}
    rows = (row for product in sorted(products) for row in desk.reckoning.rows(product))
    short = [row for row in rows if row.reaches is False and (row.product, row.channel) not in decided]
    return tuple(PriceLine(*_channel(desk, row.product, row.channel), row.price, "below its target") for row in short)


@router.post(addresses.PRICES_BACK)
def take_back_prices(desk: DeskNow, typed: TypedNow, version: str) -> Response:
    """Take back, together, the prices that were decided with an order which this change took back."""
    number = whole_number(version)
    saved = desk.store.saved_in(number)
    if saved is None or not saved[2]:
        return forms.redirect(desk, addresses.CHANGES)
    said = f"{counted(len(saved[2]))} taken back"
    return forms.act(desk, typed, *(one.taken_back for one in saved[2]), to=addresses.change(number), said=said)
