"""Sums of one page: what one opens stays closed in the others and says so, and nothing is opened nowhere."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.gaps import Gap
from webapp.costing.working import Step, Working
from webapp.pages.opened_sums import opened_elsewhere, opened_in_turn

SHEA = Working("Shea butter", (Step("", Decimal(3), "money", "as bought"),), Decimal(3), "money")
JAR = Working("A jar", (Step("", Decimal(3), "money", "shea", working=SHEA),), Decimal(3), "money")
PRICE = Working("Price", (Step("", Decimal(3), "money", "cost", working=JAR),), Decimal(6), "money")
MARGIN = Working("Margin", (Step("", Decimal(6), "money", "price", working=PRICE),), Decimal(2), "money")


def test_what_another_sum_opens_is_closed_and_says_where_it_is() -> None:
    (step,) = opened_elsewhere(PRICE, [JAR], "opened below").steps
    assert (step.words, step.amount, step.working) == ("cost, opened below", Decimal(3), None)


def test_what_lies_deeper_is_closed_there_and_the_rest_still_opens() -> None:
    (step,) = opened_elsewhere(MARGIN, [JAR], "opened below").steps
    assert step.working is not None
    assert (step.words, step.working.steps[0].words) == ("price", "cost, opened below")


def test_a_sum_of_the_same_name_that_comes_to_something_else_is_another() -> None:
    dearer = Working("A jar", (), Decimal(4), "money")
    assert opened_elsewhere(PRICE, [dearer], "opened below") == PRICE


def test_each_sum_of_a_page_is_opened_once() -> None:
    margin, price, jar = opened_in_turn([MARGIN, PRICE, JAR], "opened above")
    assert margin == MARGIN
    assert [one.steps[0].working for one in (price, jar)] == [None, None]
    assert [one.steps[0].words for one in (price, jar)] == ["cost, opened above", "shea, opened above"]


def test_a_figure_that_is_missing_is_not_drawn_so_its_sum_opens_nothing() -> None:
    missing = Working("Margin", MARGIN.steps, Gap("No price is known."), "money")
    assert list(opened_in_turn([missing, PRICE], "opened above"))[1] == PRICE
