"""What a month of the line comes to: the weighted margin, what is left, and what an hour of one's own pays.

Method.md sections 6 and 9. Rows without known sales are left out and counted (line.totals); a sold row that is missing
makes the figure missing, by its name. Money in home currency.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Figure, Gap
from webapp.costing.line import Row, Totals, named
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class Month(NamedTuple):
    """A month as the sales typed in say it. `contribution` is before own pay; `own_hours` are of making and selling."""

    totals: Totals
    contribution: Figure
    overhead: Decimal
    own_hours: Figure

    @property
    def for_hours(self) -> Figure:
        """What the month leaves for own hours: the contribution before own pay less the monthly bills."""
        return self.contribution - self.overhead

    @property
    def an_hour(self) -> Figure:
        """(contribution before own pay - overhead) / own hours."""
        if self.own_hours == 0:
            return Gap("No hours of your own go into what is sold, so nothing can be said by the hour.")
        return self.for_hours / self.own_hours

    @property
    def hour_working(self) -> Working:
        """The sum behind what an hour pays."""
        steps = (
            Step("", self.contribution, "money", "contribution of the jars sold a month, before own pay"),
            Step("-", self.overhead, "money", "monthly bills"),
            Step("÷", self.own_hours, "number", "own hours in these jars, of making and of selling"),
        )
        return Working("What an hour of your own pays", steps, self.an_hour, "money")

    @property
    def margin_working(self) -> Working:
        """The sum behind the weighted margin."""
        steps = (
            Step("", self.totals.profit, "money", "left of the jars sold a month"),
            Step("÷", self.totals.net_sales, "money", "net sales of a month"),
        )
        return Working("Margin of the whole line", steps, self.totals.weighted_margin, "percent")


def month(known: Reckoning) -> Month:
    """The month of the whole line. The bills count in full, also where they are left out of jars."""
    sold = [row for row in known.line() if row.jars_a_month]
    contribution = _sum(known, sold, lambda row: row.contribution_before_own_pay)
    return Month(known.totals, contribution, known.overhead, _sum(known, sold, lambda row: row.own_hours))


def _sum(known: Reckoning, sold: list[Row], figure: Callable[[Row], Figure]) -> Figure:
    total = ZERO
    for row in sold:
        one = named(known.book, row, figure(row))
        if isinstance(one, Gap):
            return one
        total += one * (row.jars_a_month or ZERO)
    return total if sold else Gap("Nothing is sold at a price yet. Type how many jars are sold a month.")
