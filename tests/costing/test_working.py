"""A sum is told once: levels that say only the same figure again are left out, and nothing else is."""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.costing.making import adds_up
from tests.small_books import small
from webapp.costing import jar_working
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Step, Working, told_once

TWO = Working("Work of Anna", (Step("", Decimal(6), "minutes", "of work"), Step("×", Decimal(2), "money", "a minute")),
              Decimal(12), "money")  # fmt: skip


def test_a_sum_of_one_figure_is_that_figure_s_own_sum() -> None:
    inside = Working("Own work", (Step("", Decimal(12), "money", "Anna", working=TWO),), Decimal(12), "money")
    around = Working("Work of a jar", (Step("", Decimal(12), "money", "own", working=inside),), Decimal(12), "money")
    told = told_once(around)
    assert told.title == "Work of a jar: own: Anna"
    assert (told.steps, told.result) == (TWO.steps, Decimal(12))


def test_a_sum_of_several_and_a_figure_without_a_sum_stay_as_they_are() -> None:
    bare = Working("Bills", (Step("", Decimal(5), "money", "rent"),), Decimal(5), "money")
    assert told_once(TWO) is TWO
    assert told_once(bare) is bare


@settings(max_examples=15)
@given(st.randoms(use_true_random=False))
def test_what_is_told_once_still_adds_up_to_the_same(rng: Random) -> None:
    of = Reckoning(small(rng))
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Reckoning, "material_working", lambda *_: None)  # they have tests of their own
        for number in of.book.products:
            for figure in jar_working.FIGURES:
                whole = jar_working.working(of, number, figure)
                told = told_once(whole)
                assert told.result == whole.result
                assert adds_up(told)
