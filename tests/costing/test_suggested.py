"""Suggestions explained, and what stands against a price. Figures are from paper."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.costing.making import TUB, D
from tests.costing.test_line import DEALER, JARRED, STALL, STALLED, TRADE, TRADED, channel, selling
from webapp.costing.amounts import snap
from webapp.costing.book import Book
from webapp.costing.decisions import TAKE, Decision, take_suggested
from webapp.costing.reckoning import Reckoning
from webapp.costing.suggested import Explained, Lowered, OutOfReach, Undercuts, explained


def of(book: Book, number: int = STALL) -> Explained:
    known = Reckoning(book)
    return explained(known, known.row(TUB, number))


def test_a_suggestion_goes_from_the_cost_over_the_target_to_the_ending() -> None:
    one = of(selling(JARRED, STALLED, prices=[(TUB, STALL, "4")]))
    # 2.68 / 0.6 = 4.466…, to the next half; 4.50 - 2.68
    assert (one.floor, one.alone, one.suggested, one.leaves) == (D("2.68"), D("4.50"), D("4.50"), D("1.82"))
    assert snap(one.exact) == snap(D("2.68") / D("0.6"))  # type: ignore[arg-type]
    assert snap(one.margin_then) == snap(D("1.82") / D("4.5"))  # type: ignore[arg-type]
    assert (one.tag, one.conflict, one.held_up, one.asks) == (None, None, False, True)


def test_a_price_at_its_suggestion_asks_for_nothing() -> None:
    assert not of(selling(JARRED, STALLED, prices=[(TUB, STALL, "4.50")])).asks
    assert of(selling(JARRED, STALLED)).asks


def test_stockists_hold_it_up_and_tax_that_is_added_is_heeded() -> None:
    taxed = channel(STALL, tax="added", tax_rate="20", endings=".00 .50")
    one = of(selling(JARRED, taxed, TRADED, prices=[(TUB, TRADE, "3")]))
    # stockists ask 3 x 1.2 / 0.5 = 7.20, which is 6.00 before tax
    assert (one.tag, one.alone, one.suggested, one.held_up) == (D(6), D("4.50"), D(6), True)
    assert one.conflict is None


def test_an_own_price_below_what_stockists_are_to_ask_has_both_ways_out() -> None:
    one = of(selling(JARRED, STALLED, TRADED, prices=[(TUB, TRADE, "3"), (TUB, STALL, "6")]))
    # they ask 3 x 1.2 / 0.5 = 7.20: raise to 7.50; or 6 x 0.5 / 1.2 = 2.50 to them, a loss of 0.18 in 2.50;
    # or a margin of their own of 1 - 3 x 1.2 / 6
    lowered = Lowered(TRADE, D(3), D("2.50"), D("-0.18") / D("2.5"), D("0.4"))
    assert one.conflict == Undercuts(D(6), D("7.20"), D("7.50"), (lowered,))


def test_every_wholesale_channel_that_is_in_the_way_gives_way() -> None:
    dealer = channel(DEALER, "wholesale", stockist_margin="20")
    prices = [(TUB, TRADE, "3"), (TUB, DEALER, "5"), (TUB, STALL, "6")]
    found = of(selling(JARRED, STALLED, TRADED, dealer, prices=prices)).conflict
    assert isinstance(found, Undercuts)
    # 5 / 0.8 = 6.25 at the dealer's, 7.20 at the others'
    assert [(one.channel, one.lower_to) for one in found.lowered] == [(TRADE, D("2.50")), (DEALER, D("4.80"))]
    cheap = of(
        selling(JARRED, STALLED, TRADED, dealer, prices=[(TUB, TRADE, "3"), (TUB, DEALER, "4"), (TUB, STALL, "6")])
    )
    assert isinstance(cheap.conflict, Undercuts)
    assert [one.channel for one in cheap.conflict.lowered] == [TRADE]


@pytest.mark.parametrize("own", ["7", "7.20"])
def test_no_margin_of_their_own_is_offered_where_even_none_would_be_too_much(own: str) -> None:
    found = of(selling(JARRED, STALLED, TRADED, prices=[(TUB, TRADE, "6"), (TUB, STALL, own)])).conflict
    assert isinstance(found, Undercuts)
    # 6 x 1.2 = 7.20 without any margin
    assert found.lowered[0].stockist_margin is None


def test_an_own_price_just_at_it_undercuts_nobody() -> None:
    assert of(selling(JARRED, STALLED, TRADED, prices=[(TUB, TRADE, "3"), (TUB, STALL, "7.20")])).conflict is None


@pytest.mark.parametrize(("share", "below"), [("60", D("0.4")), ("100", None)])
def test_a_target_that_no_price_reaches_says_what_would_be(share: str, below: object) -> None:
    book = selling(JARRED, channel(STALL, share_net=share))
    assert of(book).conflict == OutOfReach(D(share) / 100, D("0.4"), below, D("0.6"))  # type: ignore[arg-type]
    assert of(selling(JARRED, channel(STALL, share_net="59"))).conflict is None


def test_suggested_prices_are_taken_wholesale_first() -> None:
    book = selling(JARRED, STALLED, TRADED, prices=[(TUB, TRADE, "2"), (TUB, STALL, "5")])
    known = Reckoning(book)
    taken = take_suggested(known, known.line(), book.day)
    # 2.68 / 0.75 = 3.58 to the shops, who then ask 3.58 x 1.2 / 0.5 = 8.592
    assert taken == {
        (TUB, TRADE): Decision(TUB, TRADE, TAKE, D("3.58")),
        (TUB, STALL): Decision(TUB, STALL, TAKE, D(9)),
    }
    alone = take_suggested(known, [known.row(TUB, STALL)], book.day)
    # 2 x 1.2 / 0.5 = 4.80, to the next half, which it is already
    assert alone == {}
    right = replace(book, prices={})
    assert set(take_suggested(Reckoning(right), Reckoning(right).line(), book.day)) == {(TUB, TRADE), (TUB, STALL)}


def test_where_tax_is_added_the_way_out_is_a_price_before_tax() -> None:
    taxed = channel(STALL, tax="added", tax_rate="20", endings=".00 .50")
    found = of(selling(JARRED, taxed, TRADED, prices=[(TUB, TRADE, "3"), (TUB, STALL, "5")])).conflict
    assert isinstance(found, Undercuts)
    # a buyer pays 5 x 1.2 = 6.00 where shops ask 7.20, which is 6.00 before tax
    assert (found.paid, found.asked, found.raise_to) == (D(6), D("7.20"), D(6))
