"""Which backups are kept: a table from paper, and what holds for all moments."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

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
    old = [at(1, 2, hour, year=2019) for hour in range(12)]
    assert to_keep(old, NOW) == frozenset(old[2:])


#: ten of today, so that the last ten are used up
TEN = [at(11, 25, hour) for hour in range(3, 13)]


def days_before(day: datetime, many: int, every: int = 1) -> list[datetime]:
    return [day - timedelta(days=every * one) for one in range(1, many + 1)]


def test_of_a_day_the_newest_stays() -> None:
    assert to_keep([at(11, 24, 9), at(11, 24, 17), *TEN], NOW) == frozenset([at(11, 24, 17), *TEN])


def test_days_that_have_one_are_counted_and_not_days_that_passed() -> None:
    """Used every other day: today and the 13 days before it that have one, back to 30 October; before those
    (calendar on paper) the newest of the weeks that began on 19, 12 and 5 October (24, 18 and 10 October: eight weeks
    from 23 November back to 5 October have one), and of the months September (30) and August (31)."""
    every_other = days_before(at(11, 25), 45, every=2)
    kept = to_keep([*every_other, *TEN], NOW)
    days = days_before(at(11, 25), 13, every=2)
    weeks = [at(10, 24), at(10, 18), at(10, 10)]
    months = [at(9, 30), at(8, 31)]
    assert kept == frozenset([*TEN, *days, *weeks, *months])


def test_months_go_with_the_25th_that_has_one() -> None:
    """The first of each of 30 months back from November 2026: the present one has TEN, so 23 more months stay."""
    firsts = [at(12 - (one + 1) % 12, 1, year=2026 - (one + 1) // 12) for one in range(30)]
    kept = to_keep([*firsts, *TEN], NOW)
    assert {one for one in firsts if one not in kept} == set(firsts[24:])


def test_after_a_clock_that_was_a_year_ahead_only_the_oldest_of_a_kind_went() -> None:
    """A year of one a day; the clock jumps a year on for one backup and back again."""
    daily = [NOW - timedelta(days=one) for one in range(365)]
    before, wrong = to_keep(daily, NOW), NOW + timedelta(days=365)
    while_wrong = to_keep([*before, wrong], wrong)
    # The wrong day took one place among the days, weeks and months; of months there are fewer than 24.
    assert before - while_wrong == {at(11, 12, 18), at(10, 11, 18)}
    back = NOW + timedelta(hours=1)
    assert to_keep([*while_wrong, back], back) == while_wrong | {back}


def test_after_a_clock_that_was_a_year_behind_nothing_went() -> None:
    daily = [NOW - timedelta(days=one) for one in range(365)]
    before, wrong = to_keep(daily, NOW), NOW - timedelta(days=400)
    while_wrong = to_keep([*before, wrong], wrong)
    assert while_wrong == before | {wrong}
    assert before <= to_keep([*while_wrong], NOW)


def test_the_last_that_were_made_stay_though_their_clock_was_years_behind() -> None:
    """Three years of one a day, then six by a clock that stood at 2000, and one by a right clock."""
    daily = [NOW - timedelta(days=one) for one in range(1095, 0, -1)]
    behind = [at(1, 1, hour, year=2000) for hour in range(6)]
    made = [*daily, *behind, NOW]
    kept = to_keep(made, NOW, {moment: number for number, moment in enumerate(made, 1)})
    assert {*behind, NOW} <= kept
    assert not set(behind[:-1]) & to_keep(made, NOW)  # by their moments alone they would be the first to go


def test_of_a_day_the_one_that_was_made_last_stays_whatever_its_clock_said() -> None:
    """One of this day was made a year ago, by a clock that was ahead: that of today stands for the day."""
    ahead, today = at(6, 1, 18), at(6, 1, 9)
    made = [ahead, *(at(1, 1 + one) for one in range(20)), today, *TEN]
    assert today in to_keep(made, NOW, {moment: number for number, moment in enumerate(made, 1)})
    assert ahead not in to_keep(made, NOW, {moment: number for number, moment in enumerate(made, 1)})


def test_an_hour_that_comes_twice_lets_nothing_go() -> None:
    """A night on which clocks are set back: two moments with the same clock face are two."""
    summer, winter = (timezone(timedelta(hours=hours)) for hours in (2, 1))
    first = datetime(2026, 10, 25, 2, 30, tzinfo=summer)
    second = datetime(2026, 10, 25, 2, 30, tzinfo=winter)
    kept = to_keep([first, second], second)
    assert len(kept) == 2


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
def test_no_less_is_kept_than_by_the_calendar(made: list[datetime]) -> None:
    """Every one of the last 14 days, 8 weeks and 24 months that has one keeps one."""
    kept = to_keep(made, NOW)
    assert {one.date() for one in made if (NOW.date() - one.date()).days < DAYS} <= {one.date() for one in kept}
    weeks = [(one.date() - timedelta(one.weekday())) for one in kept]
    monday = NOW.date() - timedelta(NOW.weekday())
    for one in made:
        week = one.date() - timedelta(one.weekday())
        assert (monday - week).days >= 7 * WEEKS or week in weeks
        if (NOW.year - one.year) * 12 + NOW.month - one.month < MONTHS:
            assert any((other.year, other.month) == (one.year, one.month) for other in kept)
