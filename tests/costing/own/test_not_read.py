"""What is said of sheets of which nothing is read."""

from __future__ import annotations

import pytest

from tests.costing.own.test_sheets import PRICES, read
from webapp.costing.own.columns import MATERIALS, NOTHING, Layout
from webapp.costing.own.not_read import NOT_READ

LIST = "Day|Jars sold\n2026-01-01|4\n2026-01-02|5"


def test_a_list_of_which_nothing_is_read_says_so_in_sight() -> None:
    reading = read(PRICES, LIST)
    assert reading.layouts[1].holds == NOTHING
    assert [one.remarks for one in reading.tables] == [(), (NOT_READ,)]
    assert reading.good


def test_it_is_not_said_of_notes_nor_of_what_she_says_holds_nothing() -> None:
    assert read(PRICES, "Melt the wax first\nThen wait 5 minutes").tables[1].remarks == ()
    chosen = read(PRICES, "Ingredient|Pack|Price\nOil|1 kg|8", layouts={1: Layout(NOTHING)})
    assert chosen.tables[1].remarks == ()
    other = read(PRICES, LIST, layouts={1: Layout(MATERIALS, 1, ("day", "name"))})
    assert NOT_READ not in other.tables[1].remarks


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("Trip|Transport\n1|180\n2|120", "B (Transport)"),
        ("Best.-Nr.|Datum|Lieferant|Versandkosten\nB-01|2025-11-04|Hof|7.90", "D (Versandkosten)"),
    ],
)
def test_freight_of_orders_on_a_sheet_of_its_own_is_said_to_be_in_no_cost(text: str, column: str) -> None:
    reading = read(PRICES, text)
    assert reading.layouts[1].holds == NOTHING
    words = f"Nothing of this sheet is read. Column {column} holds freight, which is in no cost: write it beside the "
    assert reading.tables[1].remarks == (f"{words}prices, in a column Freight, in the first row of each order.",)
