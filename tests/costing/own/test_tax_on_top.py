"""Sales tax in money of a maker's own sheet: on top of an order, of each line, or asked. Figures from fractions."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, costs, near, read, sentences, stored
from webapp.costing import book as b
from webapp.costing.book import Book, Charge
from webapp.costing.changes import Put
from webapp.costing.own.columns import MATERIALS, Layout
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet

F, D = Fraction, Decimal
HEAD = "Date|Vendor|Item|Size|Cost"
COLUMNS = (
    f"{HEAD}|Shipping|Sales tax\n2026-02-03|Mill|Shea|10 lb|60|10|6\n||Cocoa|5 lb|40||\n"
    "2026-03-03|Oil|Castor|7 lb|35|7|2.8"
)
ROWS = f"{HEAD}\n2026-02-03|Mill|Shea|10 lb|60\n||Cocoa|5 lb|40\n||Shipping||10\n||Sales tax||6"
SINCE = b.Registration(date(2020, 1, 1), True)
ASKED = "sheets-0-order_tax"


def orders(reading: OwnReading) -> list[b.Order]:
    return [one.record for one in reading.changes if isinstance(one, Put) and isinstance(one.record, b.Order)]


def said(way: str) -> dict[int, OfSheet]:
    return {0: OfSheet(order_tax=way)}


def registered() -> Book:
    return replace(EMPTY, terms=replace(EMPTY.terms, registered=True), registrations=(SINCE,))


def remarks(reading: OwnReading) -> str:
    return " ".join(text for one in reading.materials for text in one.said.remarks)


def test_plain_numbers_in_the_first_rows_of_orders_are_asked_once_and_read_as_money_meanwhile() -> None:
    reading = read(COLUMNS)
    assert [field for field, _ in reading.faults] == [ASKED]
    assert "Is that money" in reading.faults[0][1]
    assert "a rate in percent" in reading.faults[0][1]
    assert len(reading.materials) == 3


def test_tax_on_top_is_shared_over_its_order_by_value() -> None:
    """60 + 6 + 3.60 for 10 lb, 40 + 4 + 2.40 for 5 lb, 35 + 7 + 2.80 for 7 lb."""
    reading = read(COLUMNS, of_sheets=said("top"))
    assert reading.good, (sentences(reading), reading.faults)
    found = costs(reading)
    assert near(found["Shea"], F("69.6") / (10 * LB))
    assert near(found["Cocoa"], F("46.4") / (5 * LB))
    assert near(found["Castor"], F("44.8") / (7 * LB))
    assert "6 EUR is the sales tax of this order of 2026-02-03, shared over its 2 lines by value." in remarks(reading)


def test_tax_that_is_in_the_prices_or_not_counted_adds_nothing() -> None:
    for way, words in (("in", "is in the prices already"), ("none", "is not counted, as was chosen")):
        reading = read(COLUMNS, of_sheets=said(way))
        assert reading.good
        assert near(costs(reading)["Cocoa"], F(44) / (5 * LB))
        assert f"Its sales tax, 6, {words}." in remarks(reading)


def test_a_rate_in_the_first_row_of_an_order_holds_for_all_of_it() -> None:
    """6 % of 60 and of 40."""
    reading = read(COLUMNS, of_sheets=said("rate"))
    assert reading.good
    assert near(costs(reading)["Shea"], (60 + F("3.6") + 6) / (10 * LB))
    assert near(costs(reading)["Cocoa"], (40 + F("2.4") + 4) / (5 * LB))
    assert "The rate of its order, 6 %, holds for it." in remarks(reading)


def test_a_column_chosen_for_a_rate_is_asked_about_too() -> None:
    roles = ("day", "supplier", "name", "pack", "price", "freight", "tax_rate")
    chosen = {0: Layout(MATERIALS, 1, roles)}
    assert [field for field, _ in read(COLUMNS, layouts=chosen).faults] == [ASKED]
    assert orders(read(COLUMNS, layouts=chosen, of_sheets=said("top")))[0].tax_total == D(6)


@pytest.mark.parametrize("tax", ["$6.00", "6.00 USD"])
def test_a_currency_says_that_it_is_money_so_that_only_its_place_is_asked(tax: str) -> None:
    """The tax of an American sheet, in an American workshop."""
    book = replace(EMPTY, workshop=replace(EMPTY.workshop, currency="USD"))
    reading = read(COLUMNS.replace("|6\n", f"|{tax}\n").replace("|2.8", "|$2.80"), book=book)
    assert [field for field, _ in reading.faults] == [ASKED]
    assert "percent" not in reading.faults[0][1]


def test_rates_with_their_sign_or_in_each_row_stay_rates() -> None:
    for cells in (("6%", "6%", "8%"), ("20", "20", "20"), ("20", "", "20%")):
        text = f"{HEAD}|Tax\n2026-02-03|Mill|Shea|10 lb|60|{cells[0]}\n||Cocoa|5 lb|40|{cells[1]}\n"
        reading = read(f"{text}2026-03-03|Oil|Castor|7 lb|35|{cells[2]}")
        assert "tax_rate" in reading.layouts[0].roles, cells
        assert ASKED not in dict(reading.faults)


def test_a_row_of_tax_is_that_of_its_order_where_a_total_proves_that_it_comes_on_top() -> None:
    """60 + 40 + 10 + 6 = 116."""
    reading = read(f"{ROWS}\n||Order total||116\n\n2026-03-03|Oil|Castor|7 lb|35")
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], F("69.6") / (10 * LB))
    assert near(costs(reading)["Castor"], F(35) / (7 * LB))
    assert [one.tax_total for one in orders(reading)] == [D(6), None]
    words = "sales tax: 6 EUR is the sales tax of this order of 2026-02-03, shared over its 2 lines by value"
    assert (5, words) in [(one.row, one.what) for one in reading.skipped]


def test_a_row_of_tax_below_which_a_total_leaves_it_out_is_in_the_prices() -> None:
    reading = read(f"{ROWS}\n||Order total||110")
    assert reading.good
    assert near(costs(reading)["Shea"], F(66) / (10 * LB))
    assert "in the prices already" in " ".join(one.what for one in reading.skipped)


def test_a_row_of_tax_without_a_total_is_asked_once_for_its_sheet() -> None:
    asked = read(f"{ROWS}\n2026-03-03|Oil|Castor|7 lb|35\n||VAT||2.10")
    assert [field for field, _ in asked.faults] == [ASKED]
    assert asked.faults[0][1].startswith("Sheet 1: Sales tax stands in rows of its own")
    assert len(asked.materials) == 3
    assert [one.tax_total for one in orders(read(ROWS, of_sheets=said("top")))] == [D(6)]


def test_a_row_of_tax_of_no_order_is_shared_over_the_rows_above_it() -> None:
    """63.60 and 42.40."""
    text = "Item|Size|Cost\nShea|10 kg|60\nCocoa|5 kg|40\nTax||6\nTotal||106"
    reading = read(text)
    assert reading.good
    assert costs(reading) == {"Shea": D("0.00636"), "Cocoa": D("0.00848")}
    assert costs(read(text, book=registered())) == {"Shea": D("0.006"), "Cocoa": D("0.008")}


def test_tax_in_each_line_is_in_the_price_of_that_line() -> None:
    """3.60 on 60, none on 40; the totals beside them say that it comes on top."""
    text = f"{HEAD}|Sales tax|Total\n2026-02-03|Mill|Shea|10 kg|60|3.6|63.6\n2026-02-03|Mill|Wax|1 kg|20|1.8|21.8\n"
    reading = read(f"{text}2026-02-03|Mill|Cocoa|5 kg|40||40")
    assert reading.good, (sentences(reading), reading.faults)
    assert costs(reading) == {"Shea": D("0.00636"), "Wax": D("0.0218"), "Cocoa": D("0.008")}


def test_tax_of_rows_that_are_no_order_is_shared_over_those_of_one_supplier() -> None:
    """63.60 and 42.40; a total behind the shop's name is a total."""
    text = "Vendor|Item|Size|Cost|Tax\nMill|Shea|10 kg|60|6\nMill|Cocoa|5 kg|40|\nOil|Castor|7 kg|35|2.8"
    reading = read(text, of_sheets=said("top"))
    assert near(costs(reading)["Shea"], F("63.6") / 10000)
    assert near(costs(reading)["Cocoa"], F("42.4") / 5000)
    rows = "2026-03-03|Nettle|Shea|1 kg|12\n2026-03-03|Nettle|Wax|1 kg|18\n2026-03-03|Nettle|VAT||3"
    proved = read(f"{HEAD}\n{rows}\n2026-03-03|Nettle|Total||33")
    assert proved.good, (sentences(proved), proved.faults)
    assert costs(proved) == {"Shea": D("0.0132"), "Wax": D("0.0198")}


def test_tax_that_is_reclaimed_is_no_cost_on_top_and_is_taken_out_of_prices() -> None:
    """On top: 60 + 6 of freight. In the prices: 6 of 100, so 60 - 3.60 + 6."""
    reading = read(COLUMNS, of_sheets=said("top"), book=registered())
    assert near(costs(reading)["Shea"], F(66) / (10 * LB))
    assert "reclaimed, so it is in no cost" in remarks(reading)
    inside = read(COLUMNS, of_sheets=said("in"), book=registered())
    assert near(costs(inside)["Shea"], F("62.4") / (10 * LB))
    assert Charge("discount", D(6), label="Sales tax") in orders(inside)[0].charges


def test_tax_beside_rates_of_its_lines_is_not_taken_twice() -> None:
    head = f"{HEAD}|Tax rate\n2026-02-03|Mill|Shea|10 lb|60|10%\n||Cocoa|5 lb|40|10%"
    reading = read(f"{head}\n||Sales tax||10|", of_sheets=said("top"))
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], F(66) / (10 * LB))
    assert "the rates of its lines say it already" in " ".join(one.what for one in reading.skipped)


LINES = f"{HEAD}|Sales tax|Total\n2026-03-01|Mill|Shea|1 kg|10|€0.60|10.60\n2026-03-01|Mill|Wax|1 kg|5|€0.30|5.30"


def test_the_tax_of_each_line_is_in_its_price_or_reclaimed() -> None:
    """10.60 and 5.30 a kg; 10.00 and 5.00 where it is got back."""
    assert costs(read(LINES)) == {"Shea": D("0.0106"), "Wax": D("0.0053")}
    assert costs(read(LINES, book=registered())) == {"Shea": D("0.01"), "Wax": D("0.005")}


def test_the_tax_of_each_line_that_is_in_its_price_is_taken_out_of_it_where_it_is_got_back() -> None:
    """10.60 and 5.30 with 0.60 and 0.30 in them are 10.00 and 5.00; left in where it is not got back."""
    rows = (
        LINES.replace("|Total", "").replace("|10|€0.60|10.60", "|10.60|€0.60").replace("|5|€0.30|5.30", "|5.30|€0.30")
    )
    assert costs(read(rows, of_sheets=said("in"), book=registered())) == {"Shea": D("0.01"), "Wax": D("0.005")}
    assert costs(read(rows, of_sheets=said("in"))) == {"Shea": D("0.0106"), "Wax": D("0.0053")}


def test_a_total_that_a_row_lacks_proves_nothing() -> None:
    assert [one for one, _ in read(LINES.replace("5.30", "")).faults] == [ASKED]


def test_the_tax_of_an_order_that_the_book_has_in_part_is_not_entered_again() -> None:
    held = stored(read(ROWS, of_sheets=said("top")))
    more = read(f"{ROWS}\n||Castor|7 lb|35", book=held, of_sheets=said("top"))
    words = [*(one.what for one in more.skipped), *(remark for one in more.materials for remark in one.said.remarks)]
    assert any("of an order that the book has, or a part of: it is not entered again" in one for one in words), words
