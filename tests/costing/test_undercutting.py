"""Own prices below what stockists ask. Common practice, no source: a shop that keeps half of its shelf price asks twice
what it pays, so that 6.00 for shops is 12.00 on their shelves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.costing.making import DAY, DUO, PLAIN_BUTTER, PLAIN_TUB, TUB, D, fill, product, room
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.checks.undercutting import moved_prices, undercut_questions, undercut_words
from webapp.costing.reckoning import Reckoning

STALL, WEB, SHOPS = 51, 52, 53
CHANNELS = {
    STALL: b.Channel(STALL, "Stall", DAY),
    WEB: b.Channel(WEB, "Web shop", DAY, kind="web shop"),
    SHOPS: b.Channel(SHOPS, "Shops", DAY, kind="wholesale", stockist_margin=D(50)),
}


def priced(*prices: tuple[int, str], book: Book | None = None, of: int = TUB) -> Book:
    """The tub at these prices, by channel, beside those that the book has."""
    held = book or replace(room(PLAIN_BUTTER, PLAIN_TUB, product(DUO, fill(21, "50"))), channels=CHANNELS)
    more = {(of, channel): b.Price(of, channel, DAY, D(amount)) for channel, amount in prices}
    return replace(held, prices={**held.prices, **more})


def asked(before: Book, after: Book) -> list[tuple[tuple[int, int] | None, str]]:
    return [(one.pair, one.sentence) for one in undercut_questions(before, after)]


SAID = "Tub, Stall: at 11.00 EUR it undercuts your stockists, who are then to ask 12.00 EUR."


def test_a_wholesale_price_is_asked_about_where_an_own_price_is_below_what_shops_then_ask() -> None:
    before = priced((STALL, "11.00"), (SHOPS, "5.50"))
    assert asked(before, priced((SHOPS, "6.00"), book=before)) == [
        ((TUB, SHOPS), f"{SAID} Keep the wholesale price all the same?")
    ]
    assert asked(before, priced((SHOPS, "5.50"), book=before)) == []
    assert asked(before, priced((SHOPS, "5.00"), book=before)) == []
    assert asked(before, before) == []


def test_it_is_asked_about_once_for_all_own_prices_that_are_below() -> None:
    before = priced((STALL, "11.00"), (WEB, "11.50"))
    assert asked(before, priced((SHOPS, "6.00"), book=before)) == [
        (
            (TUB, SHOPS),
            (
                "Tub: stockists are then to ask 12.00 EUR, and your own prices undercut them: 11.00 EUR at Stall and "
                "11.50 EUR at Web shop. Keep the wholesale price all the same?"
            ),
        )
    ]


def test_an_own_price_is_asked_about_where_shops_have_an_accepted_price_and_it_is_not_raised() -> None:
    before = priced((SHOPS, "6.00"))
    own = [((TUB, STALL), f"{SAID} Keep this price all the same?")]
    assert asked(before, priced((STALL, "11.00"), book=before)) == own
    assert asked(priced((STALL, "11.50"), book=before), priced((STALL, "11.00"), book=before)) == own
    assert asked(priced((STALL, "10.50"), book=before), priced((STALL, "11.00"), book=before)) == []
    assert asked(before, priced((STALL, "12.00"), book=before)) == []
    # what is only suggested to shops was told to nobody
    assert asked(priced(), priced((STALL, "0.10"))) == []


def test_one_price_is_asked_about_and_not_another_that_was_below_before() -> None:
    before = priced((SHOPS, "6.00"), (WEB, "10.00"))
    assert [pair for pair, _ in asked(before, priced((STALL, "11.00"), book=before))] == [(TUB, STALL)]


def test_prices_that_move_are_those_of_a_product_and_a_channel_that_are_there() -> None:
    before = priced((STALL, "11.00"), (WEB, "11.50"))
    after = priced((STALL, "11.00"), (WEB, "12.00"), (SHOPS, "6.00"), book=before)
    assert moved_prices(before, after) == ((TUB, WEB), (TUB, SHOPS))
    assert moved_prices(before, before) == ()
    # a product that comes with its prices leaves nothing cheaper than it was; a channel that is gone is asked nothing
    assert moved_prices(before, priced((STALL, "3.00"), book=before, of=99)) == ()
    gone = replace(after, channels={STALL: CHANNELS[STALL]})
    assert moved_prices(before, gone) == ()


@pytest.mark.parametrize(("kept", "word"), [(False, "are then to ask"), (True, "are to ask")])
def test_it_is_said_of_every_product_with_each_amount_away_from_the_other(*, kept: bool, word: str) -> None:
    """5.995 for shops is 11.99 on a shelf; 1/3 of a case moves neither amount over the other."""
    book = priced((STALL, "11.98"), (SHOPS, "5.995"))
    known = Reckoning(priced((STALL, "3.00"), (SHOPS, "6.00"), book=book, of=DUO))
    assert undercut_words(known, [TUB, DUO, 99], kept=kept) == (
        f"Tub, Stall: at 11.98 EUR it undercuts your stockists, who {word} 11.99 EUR.",
        f"Duo, Stall: at 3.00 EUR it undercuts your stockists, who {word} 12.00 EUR.",
    )
