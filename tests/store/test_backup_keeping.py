"""Which backups are kept: a table from paper, and what holds for all moments."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.store.backup_keeping import DAYS, LAST, MONTHS, WEEKS, to_keep

#: a Wednesday
NOW = datetime(2026, 11, 25, 18, tzinfo=UTC)

moments = st.lists(
    st.integers(0, 3 * 366 * 24 * 60).map(lambda minutes: NOW - timedelta(minutes=minutes)), max_size=150
)


def at(month: int, day: int, hour: int = 12, year: int = 2026) -> datetime:
    return datetime(year, month, day, hour, tzinfo=UTC)


def test_the_last_ten_stay_however_close_or_old_they_are() -> None:
    close = [NOW - timedelta(minutes=one) for one in range(12)]
    assert to_keep(close, NOW) == frozenset(close[:10])
    old = [at(1, day, year=2019) for day in range(1, 13)]
    assert to_keep(old, NOW) == frozenset(old[2:])


#: ten of today, so that the last ten are used up; then older ones, and whether each is kept, by hand with a calendar
TEN = [at(11, 25, hour) for hour in range(3, 13)]


@pytest.mark.parametrize(
    ("older", "kept"),
    [
        pytest.param([at(11, 24, 9), at(11, 24, 17)], [at(11, 24, 17)], id="of a day the newest"),
        pytest.param([at(11, 12)], [at(11, 12)], id="today and 13 days before it are 14"),
        # Monday 9 November to Sunday 15: of that week the 12th, above, would stand; alone the 11th does
        pytest.param([at(11, 11)], [at(11, 11)], id="the 15th day stands for its week"),
        pytest.param([at(11, 10), at(11, 11)], [at(11, 11)], id="of a week the newest"),
        # the present week begins on Monday 23 November; the 8th, counted back, on Monday 5 October
        pytest.param([at(10, 5), at(10, 30)], [at(10, 5), at(10, 30)], id="the first day of the 8th week"),
        pytest.param([at(10, 4), at(10, 30)], [at(10, 30)], id="a day before it, and not the newest of its month"),
        pytest.param([at(9, 3), at(9, 28)], [at(9, 28)], id="of a month the newest"),
        pytest.param([at(12, 1, year=2024)], [at(12, 1, year=2024)], id="the 24th month"),
        pytest.param([at(11, 30, 23, year=2024)], [], id="the 25th month"),
    ],
)
def test_older_ones_by_the_calendar(older: list[datetime], kept: list[datetime]) -> None:
    assert to_keep([*older, *TEN], NOW) == frozenset([*kept, *TEN])


def test_a_year_of_one_a_day_leaves_what_paper_says() -> None:
    """14 days back to 12 November. Weeks end on Sundays: 8 November, 1 November, 25, 18 and 11 October (the 8th
    week began on 5 October; those of 22 and 15 November stand as days). Months end on their last day, back to
    November 2025: 31 October to 30 November."""
    daily = [NOW - timedelta(days=one) for one in range(365)]
    days = [NOW - timedelta(days=one) for one in range(14)]
    weeks = [at(11, 8, 18), at(11, 1, 18), at(10, 25, 18), at(10, 18, 18), at(10, 11, 18)]
    lengths = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31)
    months = [at(month, length, 18) for month, length in enumerate(lengths, 1)]
    months += [at(11, 30, 18, 2025), at(12, 31, 18, 2025)]
    assert to_keep(daily, NOW) == frozenset([*days, *weeks, *months])


def test_one_from_a_clock_that_was_ahead_is_kept_and_pushes_nothing_out() -> None:
    ahead = [NOW + timedelta(days=one) for one in range(1, 30)]
    assert to_keep([*ahead, *TEN], NOW) == frozenset([*ahead, *TEN])


def test_none_of_none() -> None:
    assert to_keep([], NOW) == frozenset()


@given(moments)
def test_few_are_kept_and_always_the_newest(made: list[datetime]) -> None:
    kept = to_keep(made, NOW)
    assert kept <= set(made)
    assert len(kept) <= LAST + DAYS + WEEKS + MONTHS
    assert not made or max(made) in kept
    assert len(kept) >= min(len(set(made)), LAST)


@given(moments)
def test_what_is_kept_is_kept_again(made: list[datetime]) -> None:
    kept = to_keep(made, NOW)
    assert to_keep(kept, NOW) == kept


@given(moments, st.integers(0, 800), st.randoms())
def test_what_is_let_go_would_never_be_wanted_later(made: list[datetime], days: int, order: object) -> None:
    """Letting go today and again later leaves the same as letting go later only."""
    order.shuffle(made)  # type: ignore[attr-defined]
    later = NOW + timedelta(days=days)
    assert to_keep(to_keep(made, NOW), later) == to_keep(made, later)


@given(moments)
def test_every_day_week_and_month_in_reach_that_has_one_keeps_one(made: list[datetime]) -> None:
    kept = to_keep(made, NOW)
    assert {one.date() for one in made if (NOW.date() - one.date()).days < DAYS} <= {one.date() for one in kept}
    for one in made:
        months = (NOW.year - one.year) * 12 + NOW.month - one.month
        if months < MONTHS:
            assert any((other.year, other.month) == (one.year, one.month) for other in kept)
