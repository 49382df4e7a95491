"""Prices that are offered while a change is looked at: which rows it moves, what is suggested, what was answered.

Reads the answers of a form and says what stands in its fields again; nothing is stored here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from webapp.costing import difference
from webapp.costing.amounts import plain, snap
from webapp.costing.book import Book, Id
from webapp.costing.changes import Put
from webapp.costing.decisions import KEEP, LEAVE, TAKE, Decision, asks, decided, puts, take_suggested, with_prices
from webapp.costing.difference import CostedAgain, LostMore, MovedMaterial, MovedRow
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import MONEY
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.standing import Standing
from webapp.costing.tax_in_cost import TaxChange
from webapp.pages import addresses
from webapp.pages.drawn import Form
from webapp.pages.needs import quotes_in
from webapp.pages.opened_sums import HOW, Sums, cost_sums, row_sums
from webapp.pages.rendering import Desk
from webapp.pages.typed import flat

#: how many rows are sent: the worst, and those that were answered
SHOWN = 50
PRICES, REST = "prices", "rest_prices"
#: what the buttons of the block ask for
PREVIEW, TAKE_ALL = "preview", "prices"
ASKS = (PREVIEW, TAKE_ALL)

Faults = tuple[tuple[str, str], ...]
Pair = tuple[Id, Id]


@dataclass(frozen=True, slots=True)
class MaterialMove:
    """A material before and after; `standing` says where the new cost stands in its own history, or nothing.

    `tax` says that sales tax is in one of the costs that are compared and not in another, or nothing.
    """

    name: str
    by_piece: bool
    moved: MovedMaterial
    standing: str = ""
    tax: str = ""
    sums: tuple[Sums, ...] = ()

    @property
    def press(self) -> str:
        """What the button asks for that opens its cost."""
        return f"{HOW}-{self.moved.material}"


@dataclass(frozen=True, slots=True)
class Offer:
    """A row before and after, with the price that is offered; `at` is the name of its fields ("prices-3")."""

    at: str
    name: str
    product: Id
    channel: Id
    moved: MovedRow
    suggested: Figure
    price_new: Figure | None
    """The price that was typed over the suggested one; None where that stands."""
    margin_new: Figure
    left_new: Figure
    quoted: str = ""
    """That its cost then rests on a quote, in words."""
    live: str = ""
    """Where a price that is typed says what it leaves; nothing where the channel takes another share than now."""
    sums: tuple[Sums, ...] = ()

    @property
    def press(self) -> str:
        """What the button asks for that opens its figures."""
        return f"{HOW}-{self.product}-{self.channel}"

    @property
    def asks(self) -> bool:
        """Whether another price than the present one is offered."""
        return asks(self.moved.after, self.suggested)


@dataclass(frozen=True, slots=True)
class Considered:
    """What a change does, and what was answered about prices so far."""

    materials: tuple[MaterialMove, ...]
    offers: tuple[Offer, ...]
    rest: int
    """How many rows that move are not shown."""
    rest_asking: int
    """How many of them have another price suggested."""
    lost: LostMore
    again: CostedAgain
    texts: Mapping[str, str]
    faults: Faults
    decisions: tuple[Decision, ...]
    known: Reckoning
    notices: tuple[str, ...] = ()

    @property
    def short(self) -> tuple[Offer, ...]:
        """Rows that are below their target then, the worst first."""
        return tuple(one for one in self.offers if one.moved.after.reaches is False)

    @property
    def others(self) -> tuple[Offer, ...]:
        """Rows that move all the same."""
        return tuple(one for one in self.offers if one.moved.after.reaches is not False)

    @property
    def directions(self) -> tuple[tuple[int, str], ...]:
        """How many materials get dearer, cheaper, or are new or not known yet; what there is none of is left out."""
        moves = [one.moved.change for one in self.materials]
        known = [one for one in moves if isinstance(one, Decimal)]
        dearer = sum(one > 0 for one in known)
        counts = (dearer, "dearer"), (len(known) - dearer, "cheaper"), (len(moves) - len(known), "new or not known yet")
        return tuple((many, words) for many, words in counts if many)

    @property
    def falling(self) -> int:
        """How many of the rows shown fall below their target by this change."""
        return sum(one.moved.falls_below for one in self.offers)

    @property
    def asking(self) -> bool:
        """Whether a price can be decided here at all."""
        return any(one.asks for one in self.offers)

    @property
    def opened(self) -> bool:
        """Whether the figures of one row or material stand opened."""
        return any(one.sums for one in self.offers) or any(one.sums for one in self.materials)

    @property
    def taken(self) -> int:
        """How many prices are taken so far."""
        return sum(one.answer == TAKE for one in self.decisions)

    @property
    def held(self) -> int:
        """How many prices are kept knowingly so far."""
        return sum(one.answer == KEEP for one in self.decisions)

    @property
    def waits(self) -> bool:
        """Whether a cost is not known yet afterwards."""
        return any(isinstance(one.moved.after.unit_cost, Gap) for one in self.materials)

    def shown(self, form: Form) -> Form:
        """The form with the answers in it, and what is wrong with them."""
        own = {name: text for name, text in form.texts.items() if not name.startswith(f"{PRICES}-")}
        return replace(form, texts={**own, **self.texts}, faults=(*form.faults, *self.faults))

    def kept(self, desk: Desk, why: str = "") -> tuple[Put, ...]:
        """What stores the answers, from today on."""
        return puts(self.known, self.decisions, desk.today, why)


def only_looks(more: str) -> bool:
    """Whether a button asks to look at what changes, and not to save it."""
    return more in ASKS or more.startswith(f"{HOW}-")


def considered(
    desk: Desk, after: Reckoning, answers: Mapping[str, Any], more: str = "", seen: int | None = None
) -> Considered:
    """What moves between the book on the desk and `after`, with the answers read.

    `more` says which button asked, `seen` at which version the page was made: prices that were not shown are taken only
    while they are sure to be those that were counted there.
    """
    moved = difference.moved_rows(desk.reckoning, after)
    typed = answers.get(PRICES)
    typed = typed if isinstance(typed, list) else []
    read = decided(after.book, typed, desk.notation, desk.today)
    by_pair = dict(read.by_pair)
    shown = _shown(desk, after, moved, by_pair)
    answered = {_pair(one.after) for one in shown}
    hidden = [one for one in moved[SHOWN:] if _pair(one.after) not in answered]
    if more == TAKE_ALL:
        # Only those below their target: elsewhere the suggestion is a lower price than the present one.
        short = [one for one in shown if one.after.reaches is False and _pair(one.after) not in by_pair]
        by_pair |= _taken(after, short, desk)
    rest_asking = [one for one in hidden if one.asks_for_price and one.after.reaches is False]
    decisions = tuple(by_pair.values())
    rest = answers.get(REST) == "yes"
    if rest and seen in (None, desk.snapshot.version):
        decisions += tuple(_taken(after, rest_asking, desk).values())
    known = Reckoning(with_prices(after.book, decisions, desk.today), after) if decisions else after
    offers = [_offer(known, f"{PRICES}-{n}", one, by_pair) for n, one in enumerate(shown)]
    materials = [_material(desk, after, one) for one in difference.moved_materials(desk.reckoning, after)]
    return Considered(
        tuple(replace(one, sums=cost_sums(desk, after, one.moved)) if one.press == more else one for one in materials),
        tuple(
            replace(one, sums=row_sums(desk, after, known, one.moved)) if one.press == more else one for one in offers
        ),
        len(hidden),
        len(rest_asking),
        difference.lost_more(tuple(one for one in moved if one.after.reaches is False)),
        difference.costed_again(desk.reckoning, after),
        _texts(desk, offers, by_pair, _by_pair(typed)) | ({REST: "yes"} if rest else {}),
        (*_at_offers(offers, typed, read.faults), *_moved_on(desk, seen, rest=rest)),
        decisions,
        known,
    )


def _moved_on(desk: Desk, seen: int | None, *, rest: bool) -> Faults:
    if not rest or seen in (None, desk.snapshot.version):
        return ()
    return ((REST, "Something was saved meanwhile, so these may be other prices. Look at them once more."),)


def _pair(row: Row) -> Pair:
    return row.product, row.channel


def _shown(
    desk: Desk, after: Reckoning, moved: Sequence[MovedRow], answered: Mapping[Pair, Decision]
) -> list[MovedRow]:
    """The worst rows, and every row that was answered, also where it does not move any more."""
    shown = list(moved[:SHOWN])
    there = {_pair(one.after) for one in shown}
    rows = {_pair(one.after): one for one in moved[SHOWN:]}
    for pair in answered:
        if pair not in there:
            was = desk.reckoning.row(*pair) if _sold(desk.book, pair) else None
            shown.append(rows.get(pair) or MovedRow(was, after.row(*pair)))
    return shown


def _sold(book: Book, pair: Pair) -> bool:
    return pair[0] in book.products and pair[1] in book.channels


def _taken(after: Reckoning, rows: Iterable[MovedRow], desk: Desk) -> dict[Pair, Decision]:
    return take_suggested(after, [one.after for one in rows], desk.today)


def _offer(known: Reckoning, at: str, one: MovedRow, answers: Mapping[Pair, Decision]) -> Offer:
    row, pair = one.after, _pair(one.after)
    book, suggested = known.book, known.row(*pair).suggested
    answer = answers.get(pair)
    price = answer.amount if answer is not None and answer.amount is not None else suggested
    name = f"{book.products[row.product].name}, {book.channels[row.channel].name}"
    other = None if price == suggested else price
    then = (row.margin_at(price), row.left_at(price))
    return Offer(at, name, *pair, one, suggested, other, *then, quotes_in(known, row.product), _live(at, one))


def _live(at: str, one: MovedRow) -> str:
    """The cost goes with the question, since what it comes from is not stored; the rest is asked of the book."""
    was, now = one.before, one.after
    if was is None or isinstance(now.cost, Gap) or (was.terms, was.target) != (now.terms, now.target):
        return ""
    return addresses.leaves(at, plain(snap(now.cost)))


def _material(desk: Desk, after: Reckoning, moved: MovedMaterial) -> MaterialMove:
    material = after.book.materials[moved.material]
    found, tax = moved.standing(desk.reckoning, after.book), moved.tax(desk.reckoning, after)
    standing = standing_words(desk, found) if found else ""
    return MaterialMove(material.name, material.by_piece, moved, standing, tax_words(desk, tax))


def tax_words(desk: Desk, found: TaxChange | None) -> str:
    """That sales tax is in one cost and not in another; nothing where it is alike."""
    if found is None:
        return ""
    day = desk.formats.day(found.since)
    return f"from {day} on tax is part of the cost" if found.in_cost else f"before {day} tax was part of the cost"


def standing_words(desk: Desk, found: Standing) -> str:
    """Where a cost stands in its history, in words."""
    if found.months is None:
        return f"{found.side} ever paid, on record since {desk.formats.day(found.since)}"
    return f"{found.side} in {found.months} months"


def _by_pair(typed: Sequence[Any]) -> dict[tuple[str, str], Mapping[str, Any]]:
    rows = [row for row in typed if isinstance(row, Mapping)]
    return {(str(row.get("product", "")), str(row.get("channel", ""))): row for row in rows}


def _texts(
    desk: Desk,
    offers: Iterable[Offer],
    answers: Mapping[Pair, Decision],
    typed: Mapping[tuple[str, str], Mapping[str, Any]],
) -> dict[str, str]:
    """What stands in the fields of every offer: what was typed, else what is suggested."""
    notation = desk.formats.notation(desk.book.workshop.currency)
    found: dict[str, str] = {}
    for one in offers:
        was = typed.get((str(one.product), str(one.channel)), {})
        answer = answers.get((one.product, one.channel))
        kept = answer.answer if answer is not None else str(was.get("answer", LEAVE))
        amount = one.suggested if answer is None else answer.amount
        text = str(was.get("amount", "")) if was.get("answer", LEAVE) != LEAVE else ""
        shown = text or (MONEY.show(amount, notation) if isinstance(amount, Decimal) else "")
        found |= flat(
            {
                "product": str(one.product),
                "channel": str(one.channel),
                "answer": kept,
                "amount": shown,
                "why": was.get("why", ""),
            },
            one.at,
        )
    return found


def _at_offers(offers: Iterable[Offer], typed: Sequence[Any], faults: Iterable[Any]) -> Faults:
    """The faults at the fields of the offers as they stand now; the order of the rows may be another."""
    places = {(str(one.product), str(one.channel)): one.at for one in offers}
    found = []
    for fault in faults:
        _, number, field = fault.field.split("-", 2)
        row = typed[int(number)]
        at = places.get((str(row.get("product", "")), str(row.get("channel", ""))), "")
        found.append((f"{at}-{field}" if at else "", fault.sentence))
    return tuple(found)
