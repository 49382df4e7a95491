"""A sum is told once: levels that say only the same figure again are left out, and nothing else is."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import adds_up
from tests.small_books import small
from webapp.costing import jar_working
from webapp.costing.gaps import Gap
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


def test_what_is_added_stands_together_before_it_is_divided() -> None:
    steps = (
        Step("", Decimal("4.12"), "money", "cost"),
        Step("+", Decimal("0.30"), "money", "selling"),
        Step("÷", Decimal("0.5"), "percent", "left"),
        Step("+", Decimal(1), "money", "bag"),
    )
    told = told_once(Working("Price", steps, Decimal("9.84"), "money"))
    assert [(step.sign, step.amount) for step in told.steps] == [
        ("", Decimal("4.12")),
        ("+", Decimal("0.30")),
        ("=", Decimal("4.42")),
        ("÷", Decimal("0.5")),
        ("+", Decimal(1)),
    ]
    unknown = replace(steps[1], amount=Gap("Nobody knows."))
    together = told_once(Working("Price", (steps[0], unknown, *steps[2:]), unknown.amount, "money")).steps[2]
    assert (together.sign, together.amount) == ("=", unknown.amount)


@settings(max_examples=examples.of(15))
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
