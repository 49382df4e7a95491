"""A price from which a commission is taken still has to bring what is wanted."""

from __future__ import annotations

from decimal import Decimal

from tests.published.selling import example, fraction, near
from webapp.costing.channels import PriceTerms
from webapp.costing.prices import fees_at, price_for


def test_a_price_that_nets_an_amount_after_a_commission() -> None:
    """M12: Texas Instruments, BA Real Estate guidebook (1996), p. 82. Standing: seen in a copy of the manual."""
    given, answers = example("M12")
    agent = PriceTerms(share_paid=fraction(given["commission_pct"]))
    price = price_for(Decimal(given["net"]), Decimal(0), agent)
    assert isinstance(price, Decimal)
    assert near(price, answers["price"])
    assert near(fees_at(price, agent), answers["commission"])
