"""What was decided about selling prices: a new one taken, or the old one kept with a reason."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.making import DAY, DUO, PLAIN_BUTTER, PLAIN_TUB, TUB, D, room
from webapp.costing import book as b
from webapp.costing.amounts import JSON_NOTATION
from webapp.costing.book import Terms
from webapp.costing.decisions import (
    KEEP,
    LEAVE,
    TAKE,
    Decided,
    Decision,
    asks,
    decided,
    puts,
    take_suggested,
    with_prices,
)  # fmt: skip
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning

STALL, SHOPS = 51, 53
#: 100 g of butter at 6.80 a kg and nothing else: 0.68; at a target of 50 % of the price, 1.36 is suggested
KNOWN = Reckoning(
    replace(
        room(PLAIN_BUTTER, PLAIN_TUB, b.Product(DUO, "Duo", DAY, (b.Fill(99, D(50)),)),
             terms=Terms(overhead="left out", target=D(50))),
        channels={
            STALL: b.Channel(STALL, "Stall", DAY),
            SHOPS: b.Channel(SHOPS, "Shops", DAY, kind="wholesale", stockist_margin=D(50)),
        },
        prices={(TUB, STALL): b.Price(TUB, STALL, DAY, D("1.00"))},
    )
)  # fmt: skip


def read(*rows: Any) -> Decided:
    return decided(KNOWN.book, rows, JSON_NOTATION, DAY)


def typed(answer: str, **more: Any) -> dict[str, Any]:
    return {"product": TUB, "channel": STALL, "answer": answer, **more}


def test_a_row_that_is_left_as_it_is_is_not_read() -> None:
    assert read(typed(LEAVE, amount="?"), {"product": 99}, "no row") == Decided({}, ())


def test_a_price_is_taken_and_another_kept_with_why() -> None:
    found = read(typed(TAKE, amount="1.50"), typed(LEAVE))
    assert found == Decided({(TUB, STALL): Decision(TUB, STALL, TAKE, D("1.50"))}, ())
    kept = read(typed(KEEP, why="known at the market"))
    assert kept.by_pair[TUB, STALL].why == "known at the market"


@pytest.mark.parametrize(
    ("row", "faults"),
    [
        (typed(TAKE), [("prices-1-amount", "required")]),
        (typed(TAKE, amount="1.505"), [("prices-1-amount", "number-decimals")]),
        (typed(TAKE, amount="-1"), [("prices-1-amount", "number-range")]),
        (typed(KEEP), [("prices-1-why", "required")]),
        (typed(KEEP, channel=SHOPS, why="so"), [("prices-1-answer", "choice")]),
        (typed(TAKE, product=99, amount="1.50"), [("prices-1-product", "reference")]),
        (typed(TAKE, channel=99, amount="1.50"), [("prices-1-product", "reference")]),
        (typed("perhaps"), [("prices-1-answer", "choice")]),
        ({"channel": STALL, "answer": TAKE}, [("prices-1-product", "required")]),
    ],
)
def test_what_is_wrong_is_said_in_its_row(row: dict[str, Any], faults: list[tuple[str, str]]) -> None:
    found = read(typed(LEAVE), row)
    assert [(one.field, one.code) for one in found.faults] == faults
    assert found.by_pair == {}


def test_the_same_price_is_decided_once() -> None:
    found = read(typed(TAKE, amount="1.50"), typed(KEEP, why="so"))
    assert [(one.field, one.code) for one in found.faults] == [("prices-1-product", "repeated")]
    assert found.by_pair[TUB, STALL].answer == TAKE


def test_a_price_keeps_why_and_what_was_suggested_and_the_floor_then() -> None:
    """What is suggested for shops, 1.36, is 2.72 on their shelves: no less is suggested at the own stall."""
    (taken,) = puts(KNOWN, [Decision(TUB, STALL, TAKE, D("1.50"))], DAY, "After a delivery")
    assert taken.record == b.Price(TUB, STALL, DAY, D("1.50"), "After a delivery", D("0.68"), D("2.72"))
    (kept,) = puts(KNOWN, [Decision(TUB, STALL, KEEP, None, "known at the market")], DAY, "After a delivery")
    assert kept.record == b.Price(TUB, STALL, DAY, D("1.00"), "known at the market", D("0.68"), D("2.72"))


def test_what_is_not_known_is_not_kept_with_a_price() -> None:
    unpriced = Reckoning(replace(KNOWN.book, materials={**KNOWN.book.materials, 1: b.Material(1, "Shea")}))
    (taken,) = puts(unpriced, [Decision(TUB, STALL, TAKE, D("1.50"))], DAY)
    assert (taken.record.floor, taken.record.suggested) == (None, None)  # type: ignore[union-attr]


def test_prices_that_are_taken_hold_in_the_book_that_is_looked_at() -> None:
    after = with_prices(KNOWN.book, [Decision(TUB, STALL, TAKE, D("1.50"))], DAY)
    assert after.prices[TUB, STALL].amount == D("1.50")
    assert with_prices(KNOWN.book, [Decision(TUB, STALL, KEEP, None, "so"), Decision(TUB, SHOPS)], DAY) is KNOWN.book


def test_what_is_suggested_is_taken_for_shops_first_as_it_raises_what_the_own_stall_asks() -> None:
    """1.36 for shops is 2.72 on a shelf that keeps half of it; the stall is then to ask no less than 2.72."""
    taken = take_suggested(KNOWN, KNOWN.rows(TUB), DAY)
    assert {pair: one.amount for pair, one in taken.items()} == {(TUB, SHOPS): D("1.36"), (TUB, STALL): D("2.72")}
    assert all(one.answer == TAKE for one in taken.values())


def test_a_price_that_is_what_is_suggested_asks_for_nothing() -> None:
    row = KNOWN.row(TUB, STALL)
    assert asks(row, D("1.36"))
    assert not asks(row, D("1.00"))
    assert not asks(row, Gap("It has no price."))
    assert asks(KNOWN.row(TUB, SHOPS), D("1.36"))
    alone = Reckoning(replace(KNOWN.book, channels={STALL: KNOWN.book.channels[STALL]}))
    there = with_prices(alone.book, take_suggested(alone, alone.rows(TUB), DAY).values(), DAY)
    assert there.prices[TUB, STALL].amount == D("1.36")
    assert take_suggested(Reckoning(there), Reckoning(there).rows(TUB), DAY) == {}
