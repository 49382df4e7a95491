"""A price change against sales: the new contribution is the denominator. Discounts in series."""

from __future__ import annotations

from decimal import Decimal

from tests.published.paying import example, sold
from tests.published.selling import fraction, near
from webapp.costing.break_even import MAY_LOSE, NEEDS, survives
from webapp.costing.channels import PriceTerms
from webapp.costing.prices import highest_cost


def test_an_ice_pop_cut_and_raised() -> None:
    """X01: Georgia State University, marketing note Mk 4010. The 25 % of the rise is derived from its set-up."""
    given, answers = example("X01")
    contribution = Decimal(given["price"]) - Decimal(given["variable"])
    cut, rise = Decimal(given["cut"]), Decimal(given["rise"])
    assert contribution + cut == Decimal(answers["new_cm_cut"])
    assert contribution + rise == Decimal(answers["new_cm_rise"])
    assert survives(contribution, cut) == (NEEDS, fraction(answers["cut_pct"]))
    assert survives(contribution, rise) == (MAY_LOSE, Decimal("0.25"))


def test_the_old_margin_in_the_denominator_would_say_another_figure() -> None:
    """X01: the note warns of it: 0.50 / 1.50 would be 33 %, and a month after the cut would be worse than before."""
    given, _ = example("X01")
    contribution = Decimal(given["price"]) - Decimal(given["variable"])
    found = survives(contribution, Decimal(given["cut"])).share
    assert found is not None
    jars = 300 * (1 + found)
    before = sold(("300", given["price"], given["variable"])).contribution
    assert sold((str(jars), "2.00", given["variable"])).contribution == before
    assert sold(("400", "2.00", given["variable"])).contribution != before


def test_discounts_in_series_are_taken_one_after_the_other() -> None:
    """100 less 20, 10 and 5 % is 68.40, one discount of 31.6 % and not of 35 %. From memory."""
    given, answers = example("discounts")
    price = Decimal(given["list"])
    for less in given["less_pct"]:
        found = highest_cost(price, fraction(less), PriceTerms())
        assert isinstance(found, Decimal)
        price = found
    assert near(price, answers["net"])
    assert near(Decimal(given["list"]) - price, answers["single_pct"])
