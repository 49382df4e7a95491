"""Whipped products: air makes the same grams take more room."""

from __future__ import annotations

from decimal import Decimal

from tests.costing.making import BUTTER, PLAIN_BUTTER, TUB, changed, fill, product, reckoned
from tests.published.making import example, near
from webapp.costing.amounts import half_up
from webapp.costing.weighing import finished_density


def test_a_whipped_jar_takes_fewer_grams() -> None:
    """C9: overrun is V2 / V1 - 1, the usual definition; common practice, no source. Standing: computed."""
    given, answers = example("C9")
    whipped = changed(PLAIN_BUTTER, density=given["density"], air=given["overrun_pct"])
    density = finished_density(whipped)
    assert isinstance(density, Decimal)
    assert half_up(density, 5) == Decimal(answers["density"])
    one = reckoned(whipped, product(TUB, fill(BUTTER, given["jar_ml"], "mL"))).sheet(TUB).fills[0]
    assert near(one.jar_grams, answers["fill_grams"])
