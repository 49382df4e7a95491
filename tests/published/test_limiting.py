"""When hours are short: what an hour brings, and not what a piece brings, ranks the line."""

from __future__ import annotations

from decimal import Decimal

from tests.published.selling import example, near
from webapp.costing.prices import NO_TERMS, fees_at, net_of
from webapp.costing.ranking import Demand, fill
from webapp.costing.rows import per_hour


def test_the_bigger_contribution_can_be_the_worse_use_of_an_hour() -> None:
    """L01: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 6.5 labour hours. Standing: see the data file."""
    given, answers = example("L01")
    river, sea = given["river"], given["sea"]
    by_river = per_hour(Decimal(river["cm"]), Decimal(river["use"]))
    by_sea = per_hour(Decimal(sea["cm"]), Decimal(sea["use"]))
    assert near(by_river, answers["river_ph"])
    assert near(by_sea, answers["sea_ph"])
    limit = Decimal(given["limit"])
    assert isinstance(by_river, Decimal)
    assert isinstance(by_sea, Decimal)
    assert near(by_sea * limit, answers["all_sea"])
    assert near(by_river * limit, answers["all_river"])
    assert Decimal(river["cm"]) > Decimal(sea["cm"])


def test_gloves_are_ranked_by_the_scarce_hour() -> None:
    """L03: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 7.8 gloves: the ranking is printed."""
    given, answers = example("L03")
    found = {}
    for name, one in given.items():
        net = net_of(Decimal(one["price"]))
        fees = fees_at(net, NO_TERMS)
        assert isinstance(fees, Decimal)
        found[name] = per_hour(net - fees - Decimal(one["variable"]), Decimal(one["use"]))
    assert found == {
        "child": Decimal(40),
        "teen": Decimal(30),
        "adult": Decimal(26),
    }  # derived from the printed figures
    best = sorted(found, key=lambda name: Decimal(str(found[name])), reverse=True)[:2]
    assert ",".join(best) == answers["best_two"]


def test_a_week_of_kayaks_is_all_sea_kayaks() -> None:
    """L01: 320 labour hours, any number of either could be sold: 320 sea kayaks, 48,000."""
    given, answers = example("L01")
    limit = Decimal(given["limit"])
    kinds = ("river", "sea")
    asked = [
        Demand(number, 1, limit, Decimal(given[name]["cm"]), Decimal(given[name]["use"]))
        for number, name in enumerate(kinds)
    ]
    week = fill(limit, asked)
    assert [(kinds[one.demand.product], one.jars) for one in week.ranked] == [("sea", limit), ("river", Decimal(0))]
    assert near(week.contribution, answers["all_sea"])
    assert near(fill(limit, asked[:1]).contribution, answers["all_river"])


def test_gloves_fill_their_hours_in_the_printed_order() -> None:
    """L03: the two best use up 65 hours before the third has one; 100 pairs of each are an example of ours."""
    given, answers = example("L03")
    names = list(given)
    asked = [
        Demand(number, 1, Decimal(100), Decimal(one["price"]) - Decimal(one["variable"]), Decimal(one["use"]))
        for number, one in enumerate(given.values())
    ]
    week = fill(Decimal(65), asked)
    assert ",".join(names[one.demand.product] for one in week.ranked if one.jars) == answers["best_two"]
    assert week.left == 0
