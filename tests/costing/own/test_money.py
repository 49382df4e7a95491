"""Prices without a currency beside others that show one."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read
from webapp.costing.own.prices import ABOUT, How
from webapp.costing.own.told import Told

F = Fraction
MIXED = "Item | Pack | Price\nShea butter | 1 kg | £8.00\nMango butter | 1 kg | 9.75\nOil | 1 kg | 10.80 GBP"
RATE = How(prices=ABOUT, rates={"GBP": Decimal("1.2")})


def test_a_bare_price_in_a_column_of_another_currency_is_asked_and_not_taken_for_home_money() -> None:
    reading = read(MIXED, how=RATE)
    ((cell, sentence, choice),) = [(one.cell, one.sentence, one.choice) for one in reading.wrong]
    assert (cell, choice) == ("C3", "currency")
    assert sentence == (
        "Sheet 1, C3: 9.75 says no currency, and others of its column are in GBP. "
        "Choose what prices without one are in."
    )
    assert "currency" in reading.asks
    assert costs(reading)["Mango butter"] is None
    assert not reading.good


@pytest.mark.parametrize(("currency", "cost"), [("EUR", F("9.75")), ("GBP", F("9.75") * F("1.2"))])
def test_it_is_in_what_was_chosen(currency: str, cost: F) -> None:
    reading = read(MIXED, how=RATE, told=Told(currency=currency))
    assert reading.good
    assert near(costs(reading)["Mango butter"], cost / 1000)
    assert near(costs(reading)["Shea butter"], F("9.6") / 1000)
    assert "currency" in reading.asks  # it is offered again, so that it can be changed


@pytest.mark.parametrize(
    "text",
    [
        "Item | Pack | Price\nShea butter | 1 kg | 8 EUR\nMango butter | 1 kg | 9.75",  # home money beside bare
        "Item | Pack | Price\nShea butter | 1 kg | £8.00\nMango butter | 1 kg | £9.75",
        "Item | Pack | Price\nShea butter | 1 kg | £8.00\nMango butter | 1 kg | ",
        "Item | Pack | Price (GBP)\nShea butter | 1 kg | £8.00\nMango butter | 1 kg | 9.75",
        "Item | Pack | Price | Currency\nShea butter | 1 kg | £8.00 | GBP\nMango butter | 1 kg | 9.75 | EUR",
        "Formula | Ingredient | %\nBalm | Shea | 100",
    ],
)
def test_nothing_is_asked_where_it_is_said_or_nothing_contradicts(text: str) -> None:
    assert [one for one in read(text, how=RATE).wrong if one.choice == "currency"] == []
