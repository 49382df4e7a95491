"""When hours are short: what an hour brings, and not what a piece brings, ranks the line."""

from __future__ import annotations

from decimal import Decimal

from tests.published.selling import example, near
from webapp.costing.prices import NO_TERMS, fees_at, net_of
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
