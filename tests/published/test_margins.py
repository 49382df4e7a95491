"""Margin on the price and markup on the cost, which a court once had to tell apart."""

from __future__ import annotations

from decimal import Decimal

from tests.published.selling import example, fraction, near
from webapp.costing.channels import PriceTerms
from webapp.costing.prices import highest_cost, margin, markup, price_for


def test_a_margin_is_not_a_markup() -> None:
    """M01: US Tax Court, Smith v. Commissioner (T.C. Memo. 1998). Standing: see the data file."""
    given, answers = example("M01")
    price, cost = Decimal(given["price"]), Decimal(given["cost"])
    assert near(markup(price, cost), str(fraction(answers["markup_pct"])))
    # The court rounded to whole per cents: 15.25 is its 15, 17.6 its 18, 66.7 its 67.
    assert near(margin(price, cost), str(fraction(answers["margin_pct"])))
    for target, wanted in (("margin_a_pct", "markup_for_a"), ("margin_b_pct", "markup_for_b")):
        solved = price_for(cost, fraction(given[target]), PriceTerms())
        assert isinstance(solved, Decimal)
        assert near(markup(solved, cost), str(fraction(answers[wanted])))


def test_a_margin_of_a_fifth_is_a_markup_of_a_quarter() -> None:
    """M03: OpenTuition, ACCA tutor answers, margin v mark-up. Standing: see the data file."""
    given, answers = example("M03")
    price = Decimal(given["price"])
    cost = highest_cost(price, fraction(given["margin_pct"]), PriceTerms())
    assert isinstance(cost, Decimal)
    assert near(cost, answers["cost"])
    assert near(price - cost, answers["profit"])
    assert near(markup(price, cost), str(fraction(answers["markup_pct"])), "0.00005")
