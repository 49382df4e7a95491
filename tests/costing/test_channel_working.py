"""What selling on a channel costs, opened. Figures are from paper; every level comes to the one above it."""

from __future__ import annotations

from tests.costing.making import TUB, D, adds_up, known
from tests.costing.test_line import JARRED, STALL, channel, row, selling
from webapp.costing.amounts import snap
from webapp.costing.channel_working import Told, extras_sum
from webapp.costing.reckoning import Reckoning

# A fee of 1.00 and a quarter of tax on it for an order of 4 jars; a pitch of 20.00 for 50 jars.
THERE = channel(STALL, jars_per_order="4", fee="1", fee_tax="25", pitch="20", jars_a_day="50", tax="in", tax_rate="25")
BOOK = selling(JARRED, THERE, prices=[(TUB, STALL, "10")])


def test_a_jar_s_part_of_an_order_and_of_a_pitch_are_told_apart() -> None:
    """1.25 / 4 = 0.3125; 20 / 50 = 0.40; together 0.7125."""
    made = Reckoning(BOOK)
    told = extras_sum(Told(made, row(BOOK), BOOK.channels[STALL]))
    assert [(one.sign, snap(known(one.amount))) for one in told.steps] == [
        ("", D("1.25")), ("÷", D(4)), ("=", D("0.3125")), ("+", D("0.4")),
    ]  # fmt: skip
    assert snap(known(told.result)) == D("0.7125")
    assert adds_up(told)
