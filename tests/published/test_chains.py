"""From the maker's cost to the shop's price, and back down the chain."""

from __future__ import annotations

from decimal import Decimal

from tests.published.selling import example, fraction, near
from webapp.costing.channels import PriceTerms
from webapp.costing.prices import highest_cost, price_for, recommended_retail


def test_a_toaster_from_cost_to_the_dealers_price() -> None:
    """M05: Kotler, Marketing Management, toaster maker (secondary copies; the 20 % is from memory)."""
    given, answers = example("M05")
    cost = Decimal(given["variable"]) + Decimal(given["fixed"]) / Decimal(given["units"])
    assert near(cost, answers["unit_cost"])
    price = price_for(cost, fraction(given["markup_on_price_pct"]), PriceTerms())
    assert isinstance(price, Decimal)
    assert near(price, answers["markup_price"])
    assert near(price - cost, answers["unit_profit"])
    assert near(recommended_retail(price, fraction(given["dealer_margin_pct"])), answers["dealer_price"])


def test_a_chain_of_margins_down_from_the_shelf() -> None:
    """M08: Kotler & Armstrong, Principles of Marketing, markup chain (secondary copy)."""
    given, answers = example("M08")
    shop = highest_cost(Decimal(given["retail"]), fraction(given["retail_margin_pct"]), PriceTerms())
    assert isinstance(shop, Decimal)
    assert near(shop, answers["retailer_cost"])
    maker = highest_cost(shop, fraction(given["wholesale_margin_pct"]), PriceTerms())
    assert isinstance(maker, Decimal)
    assert near(maker, answers["maker_price"])
    up = recommended_retail(
        recommended_retail(maker, fraction(given["wholesale_margin_pct"])), fraction(given["retail_margin_pct"])
    )
    assert near(up, given["retail"])


def test_a_shop_keeps_half() -> None:
    """Half of the shelf price is a customary stockist's margin: common practice, no source."""
    assert recommended_retail(Decimal(10), Decimal("0.5")) == 20
