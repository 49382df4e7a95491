"""The figures of an answer about another size, opened to the sums behind them; the question is in the address."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from starlette.responses import Response

from webapp.costing import (
    case_working,
    first_order_working,
    price_working,
    size_cash_working,
    size_working,
    worth_working,
)
from webapp.costing.case_price import jars_in_case
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_deals import asked_of
from webapp.costing.size_facts import CaseAnswer, Rung, SizeAnswer
from webapp.costing.working import Working
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.decide.size_form import ASK, Sizing, sizing, typed_in_address
from webapp.pages.decide.size_phrases import TITLES
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, View, show, whole_number
from webapp.routes import Routes

router = Routes()
PLACE = "decide"


@dataclass(frozen=True, slots=True)
class HowView:
    """A sum, and the page that its figure stands on."""

    product: str
    href: str
    working: Working


def _asked(desk: Desk) -> tuple[Sizing, SizeAnswer]:
    """The question of the address, answered. NotFound where it can't be."""
    sized = sizing(desk, typed_in_address(desk))
    if sized.question is None:
        raise NotFound
    desk.reckoning.line()  # what is known can be carried over
    return sized, answer(desk.reckoning, sized.question)


@router.get(addresses.SIZE_HOW)
def how(desk: DeskNow, place: str, figure: str) -> Response:
    """The sum behind a figure of a candidate, of a size less or of a case."""
    sized, found = _asked(desk)
    return _opened(desk, sized, _figure(found, _number(place), figure))


@router.get(addresses.SIZE_ROW)
def how_row(desk: DeskNow, which: str, channel: ChannelIdent, figure: str) -> Response:
    """The sum behind a figure of a size on the ladder: of a candidate (c0), or of a product that is there (p12)."""
    sized, found = _asked(desk)
    return _opened(desk, sized, _of_rung(found, which, channel, figure))


def _opened(desk: Desk, sized: Sizing, made: Working | None) -> Response:
    if made is None:
        raise NotFound
    view = HowView(TITLES[sized.ask], sized.at(addresses.SIZE, more=ASK), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


def _number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) == 1):
        raise NotFound
    return int(text)


def _month(text: str) -> int:
    return _number(text) if len(text) == 1 else whole_number(text)


def _figure(found: SizeAnswer, place: int, figure: str) -> Working | None:
    """The sum of a figure by its name; None where there is none of it."""
    name, _, more = figure.partition("-")
    try:
        if name in _SUMS:
            return _SUMS[name](found, place, more)
        if found.drop is not None and name in size_working.DROP_FIGURES and found.known is not None:
            return size_working.drop_working(found.known, found.drop, name)
        return worth_working.working(found, name, place, _number(more))
    except (KeyError, IndexError):
        return None


def _of_part(found: SizeAnswer, place: int, more: str) -> Working | None:
    number, _, figure = more.partition("-")
    part = {one.place: one for one in found.candidates}[place].parts[_number(number)]
    return first_order_working.part_working(part, asked_of(found.question, place).jars, figure)


def _of_tied_up(found: SizeAnswer, place: int, more: str) -> Working | None:
    del more
    one = {one.place: one for one in found.candidates}[place]
    return None if found.known is None else first_order_working.tied_up_working(found.known, one)


def _of_case(found: SizeAnswer, place: int, more: str) -> Working | None:
    del place, more
    return _case_sum(found, case_working.case_working)


def _of_lowest(found: SizeAnswer, place: int, more: str) -> Working | None:
    del place, more
    return _case_sum(found, case_working.lowest_case_working)


def _of_case_price(found: SizeAnswer, place: int, more: str) -> Working | None:
    del place, more
    if found.case is None or found.known is None:
        return None
    return case_working.price_working(found.known, found.case, found.question)


def _of_jar_in_case(found: SizeAnswer, place: int, more: str) -> Working | None:
    del place, more
    if found.case is None or found.known is None:
        return None
    return case_working.jar_working(found.known, found.case, found.question)


def _case_sum(found: SizeAnswer, work: Callable[[Reckoning, CaseAnswer, Decimal], Working]) -> Working | None:
    if found.case is None or found.known is None:
        return None
    return work(found.known, found.case, jars_in_case(found.known.book, found.question))


def _of_cash(found: SizeAnswer, place: int, more: str) -> Working | None:
    return size_cash_working.cash_working(found, place, _month(more))


def _of_price(found: SizeAnswer, place: int, more: str) -> Working | None:
    del more
    return size_working.price_working(found, place)


_SUMS: dict[str, Callable[[SizeAnswer, int, str], Working | None]] = {
    "part": _of_part,
    "price": _of_price,
    "case": _of_case,
    "lowest": _of_lowest,
    "case_price": _of_case_price,
    "jar_price": _of_jar_in_case,
    "tied_up": _of_tied_up,
    "cash": _of_cash,
}


def _of_rung(found: SizeAnswer, which: str, channel: int, figure: str) -> Working | None:
    rung, known = _rung(found, which, channel), found.known
    if known is None:
        return None
    if rung is not None and figure in size_working.RUNG_FIGURES:
        return None if isinstance(getattr(rung, figure), Gap | None) else size_working.rung_working(known, rung, figure)
    rows = (one.row for one in found.candidates if f"c{one.place}" == which and one.row.channel == channel)
    row = rung.row if rung is not None else next(rows, None)
    if row is None and found.case is not None:
        row = {"p0": found.case.row, "c0": found.case.cased}.get(which)
    if row is None or figure not in price_working.FIGURES or getattr(row, figure, None) is None:
        return None
    return price_working.working(known, row, figure)


def _rung(found: SizeAnswer, which: str, channel: int) -> Rung | None:
    rungs = found.ladders.get(channel, ())
    named = {f"p{one.row.product}" if one.candidate is None else f"c{one.candidate}": one for one in rungs}
    return named.get(which)
