"""Adding a product, dropping one, one that takes from another, and pay-back: standings are in data/another_size.json.

What the sources count by the year or by the order is a deal's month here: the sums know no length of time.
"""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.published.selling import near
from webapp.costing.amounts import HUNDRED, ONE, ZERO
from webapp.costing.channels import PriceTerms
from webapp.costing.deal_facts import Deal
from webapp.costing.gaps import Gap
from webapp.costing.size_cash import cash
from webapp.costing.worth import (
    break_even_share,
    fair_price,
    flips,
    gain,
    is_worth,
    months,
    own_at,
    price_at,
    worth_from,
)

EXAMPLES: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "another_size.json").read_text("utf-8"))
#: the sources know no fees and no sales tax
PLAIN = PriceTerms()


def example(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The inputs and the answers of a published example, which says where it is from and how well that is known."""
    entry = EXAMPLES[name]
    assert entry["source"]
    assert entry["standing"]
    return entry["inputs"], entry["expected"]


def alone(
    own: Decimal, units: Decimal = ONE, monthly: Decimal = ZERO, one_off: Decimal = ZERO, within: Decimal = ONE
) -> Deal:
    """Something new that takes nothing from anything else."""
    return Deal(own, ZERO, ONE, units, ZERO, monthly, one_off, within)


def left(given: dict[str, Any]) -> Decimal:
    """What one contributes at its price."""
    own = own_at(Decimal(given["price"]), Decimal(given["variable"]), PLAIN)
    assert isinstance(own, Decimal)
    return own


# --- an order more ---


def test_an_order_of_shirts_gains_what_its_artwork_leaves() -> None:
    """D01: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 7.6 T-shirts."""
    given, answers = example("D01")
    deal = alone(left(given), Decimal(given["units"]), one_off=Decimal(given["one_off"]))
    assert near(gain(deal) - deal.one_off, answers["gain"])
    assert is_worth(deal)
    turn = {one.what: one for one in flips(deal)}["jars"]
    assert near(turn.at, answers["even_units"])
    assert turn.up
    # 13.00 and 600 / 200: the price at which this order just pays for its artwork
    assert worth_from(deal, Decimal(given["variable"]), PLAIN) == Decimal("16.00")


@pytest.mark.parametrize(("share", "answer"), [(ZERO, "gain"), (ONE, "at_capacity")])
def test_flyers_gain_or_lose_by_what_they_push_out(share: Decimal, answer: str) -> None:
    """D02: the same, review problem 7.6: with room for them, and where each takes the place of a regular copy."""
    given, answers = example("D02")
    regular = Decimal(given["regular_price"]) - Decimal(given["variable"])
    units, once = Decimal(given["units"]), Decimal(given["one_off"])
    deal = Deal(left(given), -regular, ONE, units, share, ZERO, once, ONE)
    assert near(gain(deal) - once, answers[answer])
    assert is_worth(deal) is (answer == "gain")
    # 0.05 + 0.03 for the copy pushed out, then 250 / 20,000 for the part: derived
    assert price_at(regular, Decimal(given["variable"]), PLAIN) == Decimal("0.08")
    assert near(fair_price(deal._replace(monthly=once), Decimal(given["variable"]), PLAIN), "0.10", "0")


# --- one less ---


def test_dropping_barbecues_costs_ten_thousand_though_they_show_a_loss() -> None:
    """D03: the same, 7.3: what is allocated does not go away; with the space let, dropping pays."""
    given, answers = example("D03")
    lost = Decimal(given["sales"]) - Decimal(given["variable"])
    saved = Decimal(given["direct_fixed"])
    deal = alone(-lost, monthly=-saved)
    assert near(gain(deal), answers["drop"])
    assert not is_worth(deal)
    let = deal._replace(monthly=-saved - Decimal(given["lease"]))
    assert near(gain(let), answers["drop_with_lease"])
    assert is_worth(let)
    # what has to be saved for dropping to be right is what contributes
    turn = {one.what: one for one in flips(deal)}["monthly"]
    assert (turn.at, turn.up) == (-lost, False)


def test_dropping_a_customer_costs_what_is_left_after_its_own_fixed_costs() -> None:
    """D04: the same, 7.4, landscape maintenance."""
    given, answers = example("D04")
    deal = alone(-Decimal(given["contribution"]), monthly=-Decimal(given["direct_fixed"]))
    assert near(gain(deal), answers["drop"])


def test_dropping_product_b_costs_more_than_it_seems_to_lose() -> None:
    """D05: add or drop, three product lines: shown as a loss of 3,000, dropping it costs 59,000."""
    given, answers = example("D05")
    contributes = Decimal(given["sales"]) - Decimal(given["variable"])
    deal = alone(-contributes, monthly=-Decimal(given["direct_fixed"]))
    assert near(gain(deal), answers["drop"])
    shown = contributes - Decimal(given["direct_fixed"]) - Decimal(given["allocated"])
    assert near(shown, answers["shown"])


def test_dropping_what_loses_pays_until_another_sells_less_for_it() -> None:
    """D06: 1,800 that lose 0.50 each; without them another sells 200 fewer, which contribute 10.75 each."""
    given, answers = example("D06")
    units = Decimal(given["units"])
    deal = Deal(-left(given), -Decimal(given["other_contribution"]), ONE, units, ZERO)
    assert near(gain(deal), answers["drop"])
    fewer = Decimal(given["other_units"]) / units
    assert near(gain(deal._replace(share=fewer)), answers["drop_with_loss"])
    # 900 / 10.75 = 83.7 of the other, which is 4.65 % of 1,800: derived
    assert near(break_even_share(deal), "0.0465", "0.00005")


def test_a_dearer_price_instead() -> None:
    """D06, the same problem: 1,500 at 8.00 contribute 1,650 more than 1,800 at 7.00."""
    given, answers = example("D06")
    now = gain(alone(left(given), Decimal(given["units"])))
    then = gain(alone(left({**given, "price": given["new_price"]}), Decimal(given["new_units"])))
    assert near(then - now, answers["dearer"])


def test_what_the_other_sells_more_for_it_comes_back() -> None:
    """D07: 41,850 go and 27,397 are saved; the other contributes 43 % of 26,700 more, for 4,400 of fixed cost."""
    given, answers = example("D07")
    back = Decimal(given["other_revenue"]) * Decimal(given["other_ratio"])
    saved = Decimal(given["avoidable"]) - Decimal(given["added_fixed"])
    deal = Deal(-Decimal(given["contribution"]), back, ONE, ONE, ONE, -saved)
    assert near(gain(deal), answers["drop"], "0.5")
    # 18,853 would have to come back, and 11,481 is all that can: derived
    assert isinstance(break_even_share(deal), Gap)
    assert near(break_even_share(deal._replace(each=back * 2)), "0.82105", "0.00001")  # 18,853 / 22,962


# --- one that takes from another ---


def test_a_new_mouthwash_that_takes_a_fifth_of_its_sales_from_the_old() -> None:
    """N01: the break-even rate is the new contribution / the old one (from memory: usual in marketing textbooks)."""
    given, answers = example("N01")
    old = left({**given, "price": given["old_price"]})
    new = left({**given, "price": given["new_price"]})
    sold, share = Decimal(given["new_units"]), Decimal(given["taken"]) / HUNDRED
    deal = Deal(new, -old, ONE, sold, share)
    assert near(old * Decimal(given["old_units"]), answers["before"])
    assert near(old * Decimal(given["old_units"]) + gain(deal), answers["after"])
    assert near(gain(deal), answers["gain"])
    share_even = break_even_share(deal)
    assert isinstance(share_even, Decimal)
    assert near(share_even * HUNDRED, answers["even_percent"])
    # at its old price less nothing it would lose nothing though all came from the old one
    assert fair_price(deal, Decimal(given["variable"]), PLAIN) == Decimal(given["old_price"])


# --- pay-back ---


def test_a_copier_is_paid_back_in_five_periods() -> None:
    """K01: Heisinger & Hoyle, 8.5, table 8.1: also what is lacking after each."""
    given, answers = example("K01")
    deal = alone(Decimal(given["inflow"]), one_off=Decimal(given["outlay"]))
    assert near(months(deal), answers["periods"])
    found = cash(deal, ())
    assert [one.so_far for one in found.months[:6]] == [Decimal(one) for one in answers["balances"]]
    assert found.paid_back == int(answers["periods"])


def test_a_machine_is_paid_back_in_three_years_and_two_months() -> None:
    """K02: Heisinger & Hoyle, review problem 8.5; the rest of a period counts evenly."""
    given, answers = example("K02")
    deal = alone(Decimal(given["savings"]), monthly=Decimal(given["maintenance"]), one_off=Decimal(given["outlay"]))
    found = months(deal)
    assert isinstance(found, Decimal)
    assert int(found) == int(answers["years"])
    assert round(found % 1 * 12) == int(answers["months"])
    path = cash(deal, ())
    assert [one.so_far for one in path.months[:4]] == [Decimal(one) for one in answers["balances"]]
    assert path.paid_back == int(answers["years"]) + 1


def test_where_two_periods_are_allowed_two_are_enough_and_a_cent_more_is_not() -> None:
    """K03: Heisinger & Hoyle, 8.5, weaknesses: two inflows of 25,000 pay 50,000 back in two."""
    given, answers = example("K03")
    deal = alone(Decimal(given["inflow"]), one_off=Decimal(given["outlay"]), within=Decimal(given["within"]))
    assert near(months(deal), answers["periods"])
    assert is_worth(deal)
    assert not is_worth(deal._replace(one_off=deal.one_off + Decimal("0.01")))
