"""Plots: where a figure lies in the drawing, by hand. The field is 280 wide from 66 on, 182 high from 194 up."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.pages.plots import Axis, Plot, Point, Series, amounts, at_day, days, plot, short
from webapp.pages.rendering import environment

D = Decimal
TEN = Axis(D(0), D(10), ((D(0), "0"), (D(10), "10")))


def drawn(*points: tuple[str, str | None], stepped: bool = False) -> Plot:
    made = tuple(Point(D(x), None if y is None else D(y), f"{y} at {x}") for x, y in points)
    found = plot("Cost", "Cost of a gram", [Series("cost", "first", made, stepped)], TEN, TEN)
    assert found is not None
    return found


def test_points_lie_where_they_belong() -> None:
    """Half of 280 is 140, from 66 on: 206; half of 182 is 91, up from 194: 103."""
    assert drawn(("0", "0"), ("5", "5"), ("10", "10")).strokes[0].path == "M66 194L206 103L346 12"


def test_a_step_holds_until_the_next_point() -> None:
    assert drawn(("0", "0"), ("5", "10"), ("10", "10"), stepped=True).strokes[0].path == "M66 194H206V12H346V12"


@pytest.mark.parametrize(
    ("stepped", "path"), [(False, "M66 194M346 12"), (True, "M66 194H206M346 12")], ids=["straight", "stepped"]
)
def test_a_missing_figure_is_a_break_and_no_zero(stepped: bool, path: str) -> None:
    found = drawn(("0", "0"), ("5", None), ("10", "10"), stepped=stepped)
    assert found.strokes[0].path == path
    assert [dot.words for dot in found.strokes[0].dots] == ["0 at 0", "10 at 10"]


def test_nothing_is_drawn_of_nothing() -> None:
    assert plot("Cost", "", [Series("cost", "first", (Point(D(1), None),))], TEN, TEN) is None


@pytest.mark.parametrize(
    ("values", "ticks"),
    [
        (("0.9", "4.2"), ["0", "1", "2", "3", "4", "5"]),
        (("0.0171", "0.0189"), ["0.0170", "0.0175", "0.0180", "0.0185", "0.0190"]),
        (("-3", "11"), ["-5", "0", "5", "10", "15"]),
        (("7", "7"), ["0", "2", "4", "6", "8"]),
        (("0", "0"), ["0.0", "0.5", "1.0"]),
    ],
)
def test_an_axis_of_amounts_has_round_steps(values: tuple[str, str], ticks: list[str]) -> None:
    axis = amounts([D(one) for one in values], str)
    assert [D(word) for _, word in axis.ticks] == [D(one) for one in ticks]


@given(st.lists(st.decimals(-(10**9), 10**9, places=6), min_size=1, max_size=5))
@settings(deadline=None, max_examples=examples.of(60))
def test_every_amount_lies_inside_its_axis_of_few_words(values: list[Decimal]) -> None:
    axis = amounts(values, str)
    assert axis.low <= min(values)
    assert max(values) <= axis.high
    assert 2 <= len(axis.ticks) <= 7


@given(st.dates(date(1990, 1, 1)), st.dates(date(1990, 1, 1)))
@settings(deadline=None, max_examples=examples.of(100))
def test_days_have_words_that_stand_beside_each_other(one: date, other: date) -> None:
    first, last = min(one, other), max(one, other)
    axis = days(first, last, date.isoformat)
    assert axis.low <= at_day(first)
    assert axis.high == at_day(last)
    assert 1 <= len(axis.ticks) <= 4
    assert all(axis.low <= at <= axis.high for at, _ in axis.ticks)


@pytest.mark.parametrize(("value", "text"), [("1", "1"), ("1.04", "1"), ("1.05", "1.1"), ("-0.04", "0")])
def test_a_length_is_a_short_text(value: str, text: str) -> None:
    assert short(D(value)) == text


def test_the_drawing_tells_what_it_is_and_every_figure_without_style() -> None:
    template = '{% import "parts/plot.html" as plots %}{{ plots.drawing(plot, "cost") }}'
    text = environment().from_string(template).render(plot=drawn(("0", "0"), ("10", "10")))
    assert '<title id="cost-title">Cost</title><desc id="cost-desc">Cost of a gram</desc>' in text
    assert "<title>10 at 10</title>" in text
    assert "style" not in text
    assert environment().from_string(template).render(plot=None).strip() == ""
