"""Columns of tax below a head of its rate, or in plain numbers: money or a rate. Figures from fractions on paper."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.columns import MATERIALS, Layout
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet, Told

F = Fraction
ASKED = "sheets-0-order_tax"
RATED = (
    "Date|Supplier|Item|Pack|Price|{head}\n23/03/2025|Mere|Argan oil|500g|40.00|9.00\n"
    "23/03/2025|Mere|Beeswax|1kg|5.00|\n25/03/2025|Corn|Cocoa butter|1kg|14.00|2.80"
)
PLAIN = (
    "Date|Vendor|Item|Size|Price|Shipping|{head}\n02/13/2025|Oxbow|Argan oil|500g|48.00|6.00|4.95\n"
    "02/13/2025|Oxbow|Cocoa butter|1kg|12.00||\n02/15/2025|Barn|Beeswax|1kg|10.00|4.00|\n"
    "02/15/2025|Barn|Mango butter|1kg|26.70||3.03"
)


def said(way: str) -> dict[int, OfSheet]:
    return {0: OfSheet(order_tax=way)}


def asked(reading: OwnReading) -> str:
    return dict(reading.faults).get(ASKED, "")


@pytest.mark.parametrize("head", ["VAT 20%", "VAT (20 %)", "VAT @ 20%", "20% VAT", "MwSt. 19 %", "Tax 8.875%"])
def test_numbers_below_a_head_of_a_rate_that_are_not_that_rate_are_money(head: str) -> None:
    """9.00 over 40 and 5 are 8 and 1: 48 for 500 g are 96 a kg, 6 and 16.80."""
    text = RATED.format(head=head)
    words = "holds sales tax in money: does it come on top of the prices, or is it in them already?"
    assert words in asked(read(text))
    assert asked(read(text, of_sheets=said("rate"))), "it is no rate, whatever is said"
    reading = read(text, of_sheets=said("top"))
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Argan oil"], F(96, 1000))
    assert near(costs(reading)["Beeswax"], F(6, 1000))
    assert near(costs(reading)["Cocoa butter"], F("16.80") / 1000)


def test_such_a_column_that_is_chosen_for_a_rate_is_a_fault() -> None:
    roles = ("day", "supplier", "name", "pack", "price", "tax_rate")
    reading = read(RATED.format(head="VAT 20%"), layouts={0: Layout(MATERIALS, 1, roles)})
    assert "holds amounts of money, no rate of tax" in dict(reading.faults)["sheets-0-columns-5"]


@pytest.mark.parametrize("cells", [("20", "20"), ("0.2", "0.2"), ("20%", "5%"), ("20", "5"), ("0", ""), ("20.0", "")])
def test_the_rate_of_the_head_below_it_stays_a_rate(cells: tuple[str, str]) -> None:
    text = f"Item|Pack|Price|VAT 20%\nShea|1 kg|10|{cells[0]}\nWax|1 kg|5|{cells[1]}"
    reading = read(text)
    assert "tax_rate" in reading.layouts[0].roles
    assert reading.good, (sentences(reading), reading.faults)


@pytest.mark.parametrize("head", ["Tax", "Sales tax", "VAT"])
def test_different_numbers_with_cents_below_a_head_of_tax_are_asked_once_whether_they_are_money(head: str) -> None:
    """6 and 4.95 over 48 and 12: 48 + 4.80 + 3.96 for 500 g, 12 + 1.20 + 0.99.

    4 and 3.03 over 10 and 26.70, to the cent: 10 + 1.09 + 0.83, 26.70 + 2.91 + 2.20.
    """
    text = PLAIN.format(head=head)
    words = asked(read(text))
    assert "Is that money" in words
    assert "a rate in percent" in words
    reading = read(text, of_sheets=said("top"))
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Argan oil"], F("113.52") / 1000)
    assert near(costs(reading)["Cocoa butter"], F("14.19") / 1000)
    assert near(costs(reading)["Beeswax"], F("11.92") / 1000)
    assert near(costs(reading)["Mango butter"], F("31.81") / 1000)


def test_they_are_rates_where_that_is_said() -> None:
    """4.95 % of 48 are 2.38 to the cent, of 12 in the row below 0.59; 6 of freight over 60 are 4.80 and 1.20."""
    reading = read(PLAIN.format(head="Tax"), of_sheets=said("rate"))
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Argan oil"], 2 * F("55.18") / 1000)
    assert near(costs(reading)["Cocoa butter"], F("13.79") / 1000)


@pytest.mark.parametrize(
    "cells",
    ["8.875 8.875 8.875", "8.875  8.875", "19 7 19", "5.5 20 2.1", "0.0825 0.0725 0.0825", "4.95% 3.03% 4.95%",
     "8.1 2.6 8.1 2.6 8.1"],
)  # fmt: skip
def test_one_rate_in_all_rows_and_rates_as_they_are_written_stay_rates(cells: str) -> None:
    """Two rates in many rows are rates, since no two orders have the same tax."""
    names = ("Shea", "Wax", "Oil", "Clay", "Gum")
    rows = [f"{name}|1 kg|10|{cell}" for name, cell in zip(names, cells.split(" "), strict=False)]
    reading = read("\n".join(("Item|Pack|Price|VAT", *rows)), told=Told(sign="."))
    assert "tax_rate" in reading.layouts[0].roles
    assert reading.good, (sentences(reading), reading.faults)


def test_tax_that_stands_in_each_row_of_its_order_says_no_rate() -> None:
    """4.20 over 12 and 9, 1.03 on 11."""
    rows = "2025-03-01|Mill|Shea|1 kg|12|4.21\n2025-03-01|Mill|Wax|1 kg|9|4.21\n2025-03-04|Mill|Oil|1 kg|11|1.03"
    text = f"Date|Supplier|Item|Pack|Price|Tax\n{rows}\n2025-03-04|Mill|Clay|1 kg|9|1.03"
    assert "Is that money" in asked(read(text))


def test_the_tax_of_a_total_is_none_of_an_order() -> None:
    rows = "2025-03-01|Mill|Shea|1 kg|12|8.25\n2025-03-01|Mill|Wax|1 kg|9|8.25\n|Total|||21|1.73"
    text = f"Date|Supplier|Item|Pack|Price|Tax\n{rows}".replace("|Total||", "||Total|")
    assert "tax_rate" in read(text).layouts[0].roles


def test_a_head_that_says_rate_holds_rates() -> None:
    assert "tax_rate" in read(PLAIN.format(head="Tax rate")).layouts[0].roles


@pytest.mark.parametrize(
    "head",
    ["Tax amount", "Sales tax paid", "VAT amount (€)", "VAT paid €", "MwSt-Betrag", "Steuerbetrag", "Montant TVA"],
)
def test_a_column_of_tax_that_was_paid_is_that_of_its_order(head: str) -> None:
    """4.50 over 40 and 5 are 4 and 0.50: 44 for 500 g are 88 a kg, and 5.50; 14 and 1.40 are 15.40."""
    text = RATED.format(head=head).replace("9.00", "4.50").replace("2.80", "1.40")
    assert "holds sales tax in money" in asked(read(text))
    reading = read(text, of_sheets=said("top"))
    assert near(costs(reading)["Argan oil"], F(88, 1000))
    assert near(costs(reading)["Beeswax"], F("5.50") / 1000)
    assert near(costs(reading)["Cocoa butter"], F("15.40") / 1000)


@pytest.mark.parametrize(
    ("heads", "rows", "shea"),
    [
        ("Subtotal|Tax amount|Total", ("10.50|1.05|11.55", "5.20|0.52|5.72"), F("11.55")),
        ("Net|Tax amount|Gross", ("10|1|11", "5|0.50|5.50"), F(11)),
        ("Price|Tax amount|Total", ("10|1|11", "5|0.50|5.50"), F(11)),
        ("Price|Tax %|Tax amount", ("10|0%|1", "5|0%|0.50"), F(10)),
        ("Price|Tax amount|Notes", ("10||good", "5||fine"), F(10)),
    ],
)
def test_tax_that_was_paid_is_not_asked_where_the_columns_beside_it_tell(
    heads: str, rows: tuple[str, str], shea: Fraction
) -> None:
    reading = read(f"Item|Pack|{heads}\nShea|1 kg|{rows[0]}\nWax|1 kg|{rows[1]}")
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], shea / 1000)
