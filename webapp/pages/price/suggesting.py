"""Suggested prices: of one, some or all rows, each explained; tick, type over, accept from a day on by one save."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from starlette.responses import Response

from webapp.costing.book import Id
from webapp.costing.decisions import TAKE, Decided, Decision, decided, puts, take_suggested, with_prices
from webapp.costing.describing import Field, Shape
from webapp.costing.entry import read
from webapp.costing.gaps import Gap
from webapp.costing.limits import DAY, MONEY, SHORT
from webapp.costing.line import Row
from webapp.costing.line_order import MARGIN, NAME
from webapp.costing.reckoning import Reckoning
from webapp.costing.suggested import explained
from webapp.errors import Problem, Questions, Unprocessable
from webapp.pages import addresses, forms, vessels
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.needs import name_of, quotes_in
from webapp.pages.offers import PREVIEW, PRICES, TAKE_ALL
from webapp.pages.price.line_asked import Asked, AskedNow, paged
from webapp.pages.price.suggested_words import Conflict, conflict, sentence
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed, flat
from webapp.routes import Routes

router = Routes()
PLACE = "price"
MOST = 50


@dataclass(frozen=True, slots=True)
class Together:
    """What all accepted prices have in common: from which day on, and why where one has no reason of its own."""

    since: date
    why: str = ""


SHAPE = Shape(Together, (Field("since", DAY, True, "Say from which day on."), Field("why", SHORT)))
PARTS = (("", "All"), ("below", "Below their target"), ("unpriced", "No price accepted"))
#: what stood in the field of a price when it was sent: what differs was typed over
WAS = "was"
Pair = tuple[Id, Id]
Faults = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One row with its suggestion, in words. `at` is the name of its fields; `how` opens a figure."""

    at: str
    name: str
    href: str
    short: bool
    now: str
    vessel: vessels.Vessel
    floor: str
    suggested: str
    reason: str
    cure: str
    words: str
    quoted: str
    conflict: Conflict | None
    then: str
    how: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class SuggestedView:
    """What stands on the page. `settled` rows stand at their suggestion and are not shown."""

    rows: tuple[Suggestion, ...]
    settled: int
    every: int
    filters: tuple[tuple[str, str, bool], ...]
    pages: tuple[tuple[str, str, bool], ...]
    line: str
    whole: str
    part: bool
    taken: int
    short: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """The rows that are asked for: those to decide on this page, and how many there are besides."""

    rows: tuple[Row, ...]
    settled: int
    every: int
    place: int
    places: int


def sheet_of(desk: Desk, asked: Asked) -> Sheet:
    """Rows with another price suggested, with none accepted, or with something against them; the weakest first."""
    wanted = replace(asked, sort=MARGIN) if asked.sort == NAME and not asked.down else asked
    every = wanted.rows(desk)
    found = [row for row in every if _open(desk, row)]
    place, places = paged(found, asked.page, MOST)
    shown = found[(place - 1) * MOST : place * MOST]
    return Sheet(tuple(shown), len(every) - len(found), len(every), place, places)


def _open(desk: Desk, row: Row) -> bool:
    one = explained(desk.reckoning, row)
    return one.asks or one.conflict is not None or isinstance(one.suggested, Gap)


# --- drawn


def page(
    desk: Desk, asked: Asked, form: Form, *, sheet: Sheet, known: Reckoning, taken: Mapping[Pair, Decision]
) -> View:
    """The page."""
    rows = [_drawn(desk, known, row, f"{PRICES}-{n}", taken) for n, row in enumerate(sheet.rows)]
    to = addresses.SUGGESTED
    view = SuggestedView(
        tuple(rows),
        sheet.settled,
        sheet.every,
        tuple((words, asked.href(desk, to, only=key), key == asked.only) for key, words in PARTS),
        tuple(
            (str(number), asked.href(desk, to, page="" if number == 1 else str(number)), number == sheet.place)
            for number in range(1, sheet.places + 1)
            if sheet.places > 1
        ),
        asked.href(desk),
        desk.at(to),
        bool(asked.words()),
        len(taken),
        sum(row.reaches is False for row in sheet.rows),
    )
    return View("price/suggesting/page.html", "Suggested prices", PLACE, view, form, "price/suggesting/_form.html")


def _drawn(desk: Desk, known: Reckoning, row: Row, at: str, taken: Mapping[Pair, Decision]) -> Suggestion:
    pair = (row.product, row.channel)
    then = known.row(*pair)
    one, money = explained(known, then), desk.formats.money
    gap = one.suggested if isinstance(one.suggested, Gap) else None
    settled = f"then {desk.formats.points(then.margin, then.target)}" if pair in taken else ""
    return Suggestion(
        at,
        name_of(desk, row),
        f"{addresses.thing('product', row.product)}#c-{row.channel}",
        row.reaches is False,
        money(row.price) if row.accepted else "",
        vessels.vessel(desk.formats, row.margin, row.target),
        money(one.floor),
        "" if gap else money(one.suggested),
        gap.reason if gap and one.conflict is None else "",
        addresses.href(gap.cure) if gap else "",
        sentence(desk, one),
        quotes_in(desk.reckoning, row.product),
        conflict(desk, one),
        settled,
        {figure: desk.at(addresses.how_pair(*pair, figure)) for figure in ("suggested", "floor")},
    )


def _form(desk: Desk, asked: Asked, texts: Mapping[str, str], typed: Typed | None = None) -> Form:
    action = asked.href(desk, addresses.SUGGESTED, page=asked.page)
    if typed is None:
        return Form(action, SHAPE, texts, new_token(), desk.snapshot.epoch, str(desk.snapshot.version))
    version = "" if typed.version is None else str(typed.version)
    return Form(action, SHAPE, texts, typed.token or new_token(), typed.epoch, version, sure=typed.sure)


def _texts(
    desk: Desk, rows: Sequence[Row], known: Reckoning, sent: Sequence[Any], taken: Mapping[Pair, Decision]
) -> dict[str, str]:
    """What stands in the fields of every row: what was typed over it, else what is suggested now."""
    found: dict[str, str] = {}
    for number, row in enumerate(rows):
        was = sent[number] if number < len(sent) else {}
        pair = (row.product, row.channel)
        suggested = _shown(desk, known.row(*pair).suggested)
        amount = (
            str(was.get("amount", ""))
            if typed_over(was)
            else _shown(desk, taken[pair].amount)
            if pair in taken
            else suggested
        )
        answer = TAKE if pair in taken or was.get("answer") == TAKE else ""
        told = {"product": str(pair[0]), "channel": str(pair[1]), "answer": answer, "amount": amount}
        found |= flat({**told, "why": str(was.get("why", "")), WAS: suggested}, f"{PRICES}-{number}")
    return found


def typed_over(sent: Mapping[str, Any]) -> bool:
    """Whether another price was typed than the one that stood there."""
    return str(sent.get("amount", "")).strip() != str(sent.get(WAS, "")).strip()


def _shown(desk: Desk, amount: object) -> str:
    return MONEY.show(amount, desk.formats.notation()) if isinstance(amount, Decimal) else ""


@router.get(addresses.SUGGESTED)
def suggested_prices(desk: DeskNow, asked: AskedNow) -> Response:
    """The suggested prices of the rows that are asked for."""
    sheet = sheet_of(desk, asked)
    texts = {"since": desk.today.isoformat(), **_texts(desk, sheet.rows, desk.reckoning, (), {})}
    return show(desk, page(desk, asked, _form(desk, asked, texts), sheet=sheet, known=desk.reckoning, taken={}))


# --- accepted


@dataclass(frozen=True, slots=True)
class Answered:
    """What was sent, read: rows in the order in which they were sent, so that each fault is at its own field."""

    sheet: Sheet
    sent: tuple[Mapping[str, Any], ...]
    since: date | None
    why: str
    taken: Mapping[Pair, Decision]
    known: Reckoning
    faults: Faults


@router.post(addresses.SUGGESTED)
def accept_prices(desk: DeskNow, typed: TypedNow, asked: AskedNow) -> Response:
    """Accept the prices that are ticked, all or none; or show what they lead to, with nothing kept."""
    found = answered(desk, typed, asked)

    def draw(there: Desk, form: Form) -> View:
        return page(there, asked, form, sheet=found.sheet, known=found.known, taken=found.taken)

    head = {name: str(typed.data.get(name, "")) for name in ("since", "why")}
    texts = {**head, **_texts(desk, found.sheet.rows, found.known, found.sent, found.taken)}
    form = replace(_form(desk, asked, texts, typed), faults=found.faults)
    if found.faults or typed.more or found.since is None:
        return show(desk, draw(desk, form), Unprocessable.status if found.faults else 200)
    changes = puts(found.known, found.taken.values(), found.since, found.why)
    try:
        saved = desk.store.save(changes, forms.intent(desk, typed, said(len(changes)), found.why), desk.today)
    except Questions as open_ones:
        return show(desk, draw(desk, forms.asking(form, open_ones)))
    except Problem as problem:
        return forms.not_saved(desk, typed, draw, form, problem)
    return forms.go_on(desk, asked.href(desk, addresses.SUGGESTED), saved.change)


def said(many: int) -> str:
    """What the history calls it."""
    return "One suggested price decided" if many == 1 else f"{many} suggested prices decided"


def answered(desk: Desk, typed: Typed, asked: Asked) -> Answered:
    """The answers, and the book as if the prices taken held already."""
    pairs, sent, gone = _sold(desk, typed)
    rows = [desk.reckoning.row(*pair) for pair in pairs]
    head = read(SHAPE, {name: typed.data.get(name, "") for name in ("since", "why")}, desk.notation, today=desk.today)
    prices = decided(desk.book, [_without_was(one) for one in sent], desk.notation, desk.today)
    faults = [(one.field, one.sentence) for one in (*head.faults, *prices.faults)]
    since = head.record.since if head.record else None
    if since is not None and since < desk.today:
        faults.append(("since", "A price can be accepted from today on or from a later day, not from an earlier one."))
    if gone:
        faults.append(("", "Something that stood here is not sold any more. Look at the rest once more."))
    taken = _taken(desk, typed, rows, sent, prices)
    if not taken and not faults and typed.more != PREVIEW:
        faults.append(("", "No price is ticked yet. Tick those that you accept."))
    if typed.more != TAKE_ALL:
        faults += _not_ticked(rows, sent, taken)
    known = desk.reckoning
    if taken:
        known = Reckoning(with_prices(desk.book, taken.values(), desk.today), desk.reckoning)
    before = sheet_of(desk, asked)
    sheet = Sheet(tuple(rows), before.settled, before.every, before.place, before.places)
    return Answered(sheet, sent, since, head.record.why if head.record else "", taken, known, tuple(faults))


def _not_ticked(rows: Sequence[Row], sent: Sequence[Mapping[str, Any]], taken: Mapping[Pair, Decision]) -> Faults:
    """The faults at what was typed for a price that is not ticked: it must not be left out unseen."""
    words = "This price is not ticked. Tick it to accept it, or put back what stood here."
    pairs = [(row.product, row.channel) for row in rows]
    return tuple(
        (f"{PRICES}-{number}-{name}", words)
        for number, (pair, one) in enumerate(zip(pairs, sent, strict=True))
        if pair not in taken and one.get("answer") != TAKE
        for name, is_typed in (("amount", typed_over(one)), ("why", str(one.get("why", "")).strip()))
        if is_typed
    )


def _sold(desk: Desk, typed: Typed) -> tuple[list[Pair], tuple[Mapping[str, Any], ...], bool]:
    """The pairs that were sent and are sold, each with what was typed; and whether one of them is not any more."""
    desk.reckoning.line()  # what is known can be carried over
    rows = typed.data.get(PRICES)
    named = [one for one in (rows if isinstance(rows, list) else []) if isinstance(one, Mapping)]
    living = {(str(row.product), str(row.channel)): (row.product, row.channel) for row in desk.reckoning.line()}
    found = {(str(one.get("product", "")), str(one.get("channel", ""))): one for one in named}
    there = [(living[key], one) for key, one in found.items() if key in living]
    return [pair for pair, _ in there], tuple(one for _, one in there), len(there) < len(named)


def _without_was(sent: Mapping[str, Any]) -> dict[str, Any]:
    return {name: text for name, text in sent.items() if name != WAS}


def _taken(
    desk: Desk, typed: Typed, rows: Sequence[Row], sent: Sequence[Mapping[str, Any]], prices: Decided
) -> Mapping[Pair, Decision]:
    """The prices that are ticked. Where it is asked, all below target too; what nobody typed over follows the rest."""
    taken = dict(prices.by_pair)
    if typed.more not in (PREVIEW, TAKE_ALL):
        return taken
    both = list(zip(rows, sent, strict=True))
    ticked = {(row.product, row.channel) for row, one in both if (row.product, row.channel) in taken}
    moved = [row for row, one in both if (row.product, row.channel) in ticked and not typed_over(one)]
    if typed.more == TAKE_ALL:
        moved += [row for row in rows if row.reaches is False and (row.product, row.channel) not in ticked]
    own = [one for pair, one in taken.items() if pair not in {(row.product, row.channel) for row in moved}]
    known = Reckoning(with_prices(desk.book, own, desk.today), desk.reckoning) if own else desk.reckoning
    fresh = take_suggested(known, moved, desk.today)
    whys = {pair: one.why for pair, one in taken.items()}
    return taken | {pair: replace(one, why=whys.get(pair, "")) for pair, one in fresh.items()}
