"""A price per 100 g or per kg, how such a price is rounded, and prices that coins can pay."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from random import Random

import pytest

from tests.published.selling import rows
from webapp.costing.amounts import half_up
from webapp.costing.book import Fill, Product
from webapp.costing.endings import Endings, next_ending, read_endings
from webapp.costing.price_lists import unit_price
from webapp.costing.rows import per_hundred


def test_a_price_per_100_g_and_per_kg() -> None:
    """C11: a 50 g jar at 9.99 with its tax is 19.98 per 100 g, 199.80 per kg. Directive 98/6/EC art. 2(b), computed."""
    per_100_g = per_hundred(Decimal("9.99"), Decimal(50))
    assert per_100_g == Decimal("19.98")
    assert isinstance(per_100_g, Decimal)
    assert per_100_g * 10 == Decimal("199.80")


@pytest.mark.parametrize(("pounds", "pence"), [("0.2345", "23.5"), ("0.2344", "23.4")])
def test_a_unit_price_under_a_pound_goes_to_a_tenth_of_a_penny(pounds: str, pence: str) -> None:
    """Price Marking Order (Northern Ireland) 2004, art. 13: hundredths of 5 or more go up. Seen at legislation.gov.uk.

    Great Britain's order has the same text: from memory.
    """
    assert half_up(Decimal(pounds), 3) * 100 == Decimal(pence)


@pytest.mark.parametrize(("pounds", "listed"), [("0.2345", "0.235"), ("0.2344", "0.234"), ("0.9994", "0.999")])
def test_a_price_list_writes_a_unit_price_under_a_pound_to_a_tenth_of_a_penny(pounds: str, listed: str) -> None:
    """Price Marking Order (Northern Ireland) 2004, art. 13, seen: 0.2345 is 23.5p, 0.2344 is 23.4p."""
    thing = Product(1, "Thing", date(2026, 1, 1), (Fill(1, Decimal(100)),))
    assert unit_price(Decimal(pounds), thing, Decimal(100), 2) == Decimal(listed)


@pytest.mark.parametrize(("per", "listed"), [(1000, "199.80"), (100, "19.98")])
def test_a_price_list_writes_a_unit_price_for_a_kilogram_or_for_100_g(per: int, listed: str) -> None:
    """Directive 98/6/EC art. 2(b): the final price, tax in it, for a kilogram or a litre, or another single unit. Seen
    in a copy. From 6 April 2026 Great Britain has a kilogram and a litre: SI 2024/1055 art. 2(2)(c), seen. Computed.
    """
    thing = Product(1, "Jar", date(2026, 1, 1), (Fill(1, Decimal(50)),))
    assert unit_price(Decimal("9.99"), thing, Decimal(per), 2) == Decimal(listed)


def steps() -> list[tuple[str, str]]:
    return [(row["currency"].split()[0], row["cash_step"]) for row in rows("cash_rounding.csv") if row["cash_step"]]


@pytest.mark.parametrize(("currency", "step"), steps())
def test_a_price_moved_to_the_cash_step_can_be_paid_in_coins(currency: str, step: str) -> None:
    """Cash totals round to the nearest step (CLDR, encyclopedia copies: each row seen); such a price needs no rounding.

    A price only ever moves up, where cash goes to the nearest: 12.32 in Swiss francs becomes 12.35 and not 12.30.
    """
    endings = read_endings("", Decimal(step), currency)
    assert isinstance(endings, Endings)
    dice = Random(1)  # a test wants the same prices again
    for _ in range(200):
        price = Decimal(dice.randrange(1, 100_000)) / 100
        moved = next_ending(price, endings)
        assert moved % Decimal(step) == 0
        assert price <= moved < price + Decimal(step)


def test_the_two_published_swiss_prices() -> None:
    """CHF 12.33 goes to 12.35 both ways; cash takes 12.32 down to 12.30, a price goes up. Travel article, seen."""
    endings = read_endings("", Decimal("0.05"), "CHF")
    assert isinstance(endings, Endings)
    assert next_ending(Decimal("12.33"), endings) == Decimal("12.35")
    assert next_ending(Decimal("12.30"), endings) == Decimal("12.30")
    assert next_ending(Decimal("12.32"), endings) == Decimal("12.35")
