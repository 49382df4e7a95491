"""A month of the line: what is left, what an hour pays, and both opened to their sums."""

from __future__ import annotations

from dataclasses import replace

from tests.costing.making import DAY, TUB, D, adds_up, gap
from tests.costing.test_line import JARRED, STALL, STALLED, selling
from webapp.costing import book as b
from webapp.costing.month import month
from webapp.costing.reckoning import Reckoning

#: 100 g of butter 0.68, a jar 0.50, 6 own minutes at 15.00 an hour 1.50: 2.68; at 5.00 it leaves 2.32, forty a month
BOOK = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")], sales=[(TUB, STALL, "40")])


def test_what_an_hour_pays_and_the_margin_open_to_their_sums() -> None:
    """40 x (5.00 - 1.18) = 152.80 before own pay, less bills of 32.80 is 120.00; 40 x 6 min are 4 h: 30.00 an hour."""
    found = month(Reckoning(replace(BOOK, bills={61: b.Bill(61, "Rent", DAY, D("32.80"))})))
    assert (found.contribution, found.own_hours, found.an_hour) == (D("152.80"), D(4), D(30))
    assert (found.hour_working.result, adds_up(found.hour_working)) == (D(30), True)
    assert [step.amount for step in found.hour_working.steps] == [D("152.80"), D("32.80"), D(4)]
    margin = found.margin_working
    # 40 x 2.32 of 200.00, less nothing as overhead is left out of a jar
    assert [step.amount for step in margin.steps] == [D("92.80"), D(200)]
    assert (margin.result, adds_up(margin)) == (D("0.464"), True)


def test_where_no_own_hours_go_into_it_nothing_is_said_by_the_hour() -> None:
    unworked = replace(BOOK, products={TUB: replace(BOOK.products[TUB], work=())})
    assert "nothing can be said by the hour" in gap(month(Reckoning(unworked)).an_hour).reason
