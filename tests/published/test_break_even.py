"""Break-even, wanted income, the room there is: textbook figures. Standings are in data/pay.json."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.published.paying import example, sold
from tests.published.selling import near
from webapp.costing.amounts import HUNDRED
from webapp.costing.break_even import leverage, needed, safety


def test_snowboards_break_even_reach_a_target_and_have_some_room() -> None:
    """C01: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 6.1 snowboards."""
    given, answers = example("C01")
    fixed = Decimal(given["fixed"])
    found = sold((given["projected"], given["price"], given["variable"]))
    even, target = needed(found, fixed), needed(found, fixed + Decimal(given["target"]))
    assert near(even.jars, answers["be_units"])
    assert near(target.jars, answers["target_units"])
    assert near(target.net_sales, answers["target_sales"])
    room = safety(found, even)
    assert near(room.jars, answers["mos_units"])
    assert near(room.net_sales, answers["mos_sales"])
    checked = sold((given["units_check"], given["price"], given["variable"]))
    assert near(checked.left(fixed), answers["profit_at_503"])


def test_two_kayaks_in_a_constant_mix() -> None:
    """C03: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 6.2 two kayaks."""
    given, answers = example("C03")
    fixed = Decimal(given["fixed"])
    river, sea = given["cm"]
    found = sold((given["mix"][0], river, "0"), (given["mix"][1], sea, "0"))
    assert near(found.contribution, answers["wacm"])
    even = needed(found, fixed)
    assert near(even.jars, answers["be"])
    assert near(even.products[0].exact, answers["river"])
    assert near(even.products[1].exact, answers["sea"])
    assert near(needed(sold(("1", river, "0")), fixed).jars, answers["only_river"])
    assert near(needed(sold(("1", sea, "0")), fixed).jars, answers["only_sea"])


def test_contribution_as_a_share_of_net_sales() -> None:
    """C05: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 6.2, contribution margin ratios."""
    given, answers = example("C05")
    each = [
        ("1", sales, str(Decimal(sales) - Decimal(cm))) for sales, cm in zip(given["sales"], given["cm"], strict=True)
    ]
    for place, one in enumerate(each, 1):
        assert near(sold(one).ratio * HUNDRED, answers[f"r{place}"])
    assert near(sold(*each).ratio * HUNDRED, answers["overall"])


def test_jam_breaks_even() -> None:
    """C08: Alberta Agriculture, Agdex 845-11, Business Basics for Alberta Food Processors, jam."""
    given, answers = example("C08")
    found = needed(sold(("1", given["price"], given["variable"])), Decimal(given["fixed"]))
    assert near(found.jars, answers["be"])


def test_a_food_product_breaks_even() -> None:
    """C10: NDSU Extension, Pricing Your Food Product: the break-even case of the same deck; 200 units are derived."""
    given = example("C10")[0]["be_case"]
    assert near(needed(sold(("1", given["price"], given["variable"])), Decimal(given["fixed"])).jars, "200")


@pytest.mark.parametrize("place", range(1, 8))
def test_ice_cream_bars_at_every_volume(place: int) -> None:
    """C13: Stengel, Principles of Managerial Economics (Saylor, 2011), table 2.1."""
    given, answers = example("C13")
    volume = given["volumes"][place - 1]
    found = sold((volume, given["price"], given["variable"]))
    assert near(found.left(Decimal(given["fixed"])), answers[f"p{place}"])


def test_ice_cream_bars_break_even_between_the_printed_loss_and_the_printed_profit() -> None:
    """C13, the same table: a loss at 30,000, a profit at 40,000; 33,334 bars (40,000 / 1.20) are derived."""
    given, answers = example("C13")
    found = sold(("40000", given["price"], given["variable"]))
    even = needed(found, Decimal(given["fixed"]))
    assert near(even.jars, "33334")
    assert Decimal(answers["p4"]) < 0 < Decimal(answers["p5"])
    assert Decimal(given["volumes"][3]) < Decimal(33334) < Decimal(given["volumes"][4])


def test_a_toaster_breaks_even() -> None:
    """M05: Kotler, Marketing Management, toaster maker (secondary copies): 30,000 units at 20, 10 variable, 300,000."""
    assert near(needed(sold(("50000", "20", "10")), Decimal(300_000)).jars, "30000")


def test_operating_leverage_multiplies_a_change_of_sales() -> None:
    """Contribution / profit: the usual definition (from memory). C01's figures: 70,000 / 20,000 = 3.5, derived.

    Ten percent more snowboards therefore leave 35 % more.
    """
    given, _ = example("C01")
    fixed = Decimal(given["fixed"])
    now, more = (sold((units, given["price"], given["variable"])) for units in ("700", "770"))
    assert near(leverage(now, fixed), "3.5")
    before, after = now.left(fixed), more.left(fixed)
    assert isinstance(before, Decimal)
    assert isinstance(after, Decimal)
    assert (after - before) / before == Decimal("0.35")


def test_the_margin_of_safety_is_one_over_the_leverage() -> None:
    """Margin of safety as a share = 1 / operating leverage: an identity of the textbooks (from memory)."""
    given, _ = example("C01")
    fixed = Decimal(given["fixed"])
    found = sold((given["projected"], given["price"], given["variable"]))
    room = safety(found, needed(found, fixed)).share
    assert near(room * leverage(found, fixed), "1", "1e-30")
