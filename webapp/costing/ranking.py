"""When hours are short: a week's own hours filled by what contributes most for an hour, up to what is asked for.

Method.md sections 6 and 9. Contributions are before own pay, in home currency; hours are own hours, of making and of
selling; jars are a week's. Jars may be parts of one, so that the answer is exact; whole jars stand beside.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO, snap, whole_number
from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap, Ref, first_gap, surely
from webapp.costing.line import Row, named
from webapp.costing.rows import per_hour

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

MONTHS, WEEKS = Decimal(12), Decimal(52)
Pair = tuple[Id, Id]


class Demand(NamedTuple):
    """So many jars a week that could be sold of a product on a channel; contribution and hours are a jar's."""

    product: Id
    channel: Id
    jars: Decimal
    contribution: Figure
    hours: Figure

    @property
    def an_hour(self) -> Figure:
        """What an own hour in it contributes; missing where it takes none."""
        return per_hour(self.contribution, self.hours)


class Filled(NamedTuple):
    """What is made of one demand, exactly."""

    demand: Demand
    jars: Decimal

    @property
    def whole(self) -> Decimal:
        """Whole jars of it."""
        return whole_number(self.jars)

    @property
    def hours(self) -> Decimal:
        """Hours that it takes."""
        return self.jars * surely(self.demand.hours)

    @property
    def contribution(self) -> Decimal:
        """What it contributes before own pay."""
        return self.jars * surely(self.demand.contribution)


class Week(NamedTuple):
    """A week filled: what is made, in the order of the ranking, and what is not.

    `without_hours` take no own hour and are all made; `losing` contribute nothing and are left out; `lacking` are not
    known. `used` hours and `contribution` are those of what is made; `one_more` is what another hour would add to it.
    """

    hours: Decimal
    ranked: tuple[Filled, ...]
    without_hours: tuple[Filled, ...]
    losing: tuple[Demand, ...]
    lacking: tuple[tuple[Demand, Gap], ...]
    used: Decimal
    contribution: Decimal
    one_more: Decimal

    @property
    def left(self) -> Decimal:
        """Hours that nothing asks for."""
        return self.hours - self.used

    @property
    def next(self) -> Demand | None:
        """What another hour would go to; None where all that is asked for is made."""
        return next((one.demand for one in self.ranked if one.jars < one.demand.jars), None)

    @property
    def whole_hours(self) -> Decimal:
        """Hours of the whole jars."""
        return sum((one.whole * surely(one.demand.hours) for one in self.ranked), ZERO)

    @property
    def whole_contribution(self) -> Decimal:
        """What the whole jars contribute."""
        made = (*self.ranked, *self.without_hours)
        return sum((one.whole * surely(one.demand.contribution) for one in made), ZERO)


def fill(hours: Decimal, demands: Iterable[Demand]) -> Week:
    """Fill so many hours by contribution for an hour; of equal ones the earlier first."""
    listed = tuple(demands)
    lacking = tuple((one, gap) for one in listed if (gap := first_gap((one.contribution, one.hours))) is not None)
    known = [one for one in listed if first_gap((one.contribution, one.hours)) is None]
    losing = tuple(one for one in known if snap(surely(one.contribution)) <= ZERO)
    paying = [one for one in known if snap(surely(one.contribution)) > ZERO]
    free = tuple(Filled(one, one.jars) for one in paying if one.hours == 0)
    ranked = sorted((one for one in paying if one.hours != 0), key=lambda one: -snap(surely(one.an_hour)))
    made, used = _fill(hours, ranked)
    more, _ = _fill(hours + ONE, ranked)
    contribution = _sum(made)
    return Week(hours, made, free, losing, lacking, used, contribution + _sum(free), _sum(more) - contribution)


def _fill(hours: Decimal, ranked: Sequence[Demand]) -> tuple[tuple[Filled, ...], Decimal]:
    """What is made one after another, and the hours used: all of them where they run out."""
    made, left = [], hours
    for one in ranked:
        a_jar = surely(one.hours)
        wanted = one.jars * a_jar
        if wanted <= left:
            made.append(Filled(one, one.jars))
            left -= wanted
        else:
            made.append(Filled(one, left / a_jar))
            left = ZERO
    return tuple(made), hours - left


def _sum(made: Sequence[Filled]) -> Decimal:
    return sum((one.contribution for one in made), ZERO)


# --- of a line -------------------------------------------------------------------------------------------------------


def hours_a_week(known: Reckoning) -> Figure:
    """The planned hours of making a month x 12 / 52: what is taken where no hours are typed."""
    terms = known.book.terms
    if terms.making_hours is None:
        why = (
            "How many hours there are in a week is not known. Type them, or how many hours of making you plan a month."
        )
        return Gap(why, Ref("terms", terms.id, "making_hours"))
    return terms.making_hours * MONTHS / WEEKS


def a_week(jars: Decimal) -> Decimal:
    """Jars a month as jars a week: x 12 / 52."""
    return jars * MONTHS / WEEKS


def demands(known: Reckoning, typed: Mapping[Pair, Decimal]) -> tuple[Demand, ...]:
    """What is asked for a week of every row of the line: as typed, else what is sold a month x 12 / 52, if any."""
    found = ((row, wanted(row, typed)) for row in known.line())
    return tuple(_demand(known, row, jars) for row, jars in found if jars)


def wanted(row: Row, typed: Mapping[Pair, Decimal]) -> Decimal | None:
    """The jars a week of a row; None where nothing says."""
    if (row.product, row.channel) in typed:
        return typed[row.product, row.channel]
    return None if row.jars_a_month is None else a_week(row.jars_a_month)


def _demand(known: Reckoning, row: Row, jars: Decimal) -> Demand:
    contribution = named(known.book, row, row.contribution_before_own_pay)
    return Demand(row.product, row.channel, jars, contribution, named(known.book, row, row.own_hours))
