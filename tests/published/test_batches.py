"""Batches: what is set up once is shared by all jars of a batch, and a part-jar is no jar."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.making import BUTTER, PLAIN_BUTTER, TUB, changed, fill, product, reckoned
from tests.published.making import example, near, sheet, unit_book


@pytest.mark.parametrize(("batch", "unit"), [("200", "23.50"), ("20", "32.50")])
def test_setting_up_is_shared_by_the_jars_of_the_batch(batch: str, unit: str) -> None:
    """B01: a production process-design lesson (APICS-style course text), batch of 200 with set-up; 20 is derived there.

    The set-up cost is so many hours at the wage. Standing: see the data file.
    """
    given, answers = example("B01")
    wage = given["wage"]
    set_up = str(Decimal(given["setup"]) / Decimal(wage))
    one = sheet(unit_book(units=batch, unit_cost=given["material"], hours=set_up, wage=wage, per_jar=given["run_min"]))
    assert near(one.full, unit)
    without = sheet(unit_book(units=batch, unit_cost=given["material"], wage=wage, per_jar=given["run_min"]))
    assert near(without.full, answers["variable"])
    if batch == given["batch"]:
        assert unit == answers["unit"]
        assert near(one.full * one.fills[0].jars, answers["total"])


def test_a_batch_less_its_loss_fills_whole_jars() -> None:
    """C7: arithmetic on a common case; common practice, no source. Standing: computed."""
    given, answers = example("C7")
    batch = changed(PLAIN_BUTTER, batch_grams=given["batch_grams"], loss=given["loss_pct"])
    one = reckoned(batch, product(TUB, fill(BUTTER, given["jar_grams"]))).sheet(TUB).fills[0]
    assert near(one.yield_grams, answers["yield_grams"])
    assert near(one.jars, answers["full_jars"])
    assert near(one.left_grams, answers["left_grams"])
