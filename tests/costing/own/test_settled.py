"""Columns of prices that their cells settle, where the heads alone leave it open."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences, table
from webapp.costing.own.columns import MATERIALS
from webapp.costing.own.layouts import laid_out, laid_out_as
from webapp.costing.own.told import OfSheet

F = Fraction


@pytest.mark.parametrize(
    "head",
    ["Bought", "Bought on", "Date purchased", "Purchased", "When", "Last updated", "Einkauf", "Einkaufsdatum",
     "Acheté le", "Fecha", "Data", "Got it"],
)  # fmt: skip
def test_a_column_of_days_is_the_day_by_its_head_or_by_its_cells(head: str) -> None:
    text = f"Ingredient|Pack|Price|{head}\nShea butter|1 kg|14|2026-03-01\nOlive oil|1 kg|9.40|13/03/2026"
    assert laid_out(table(text)).roles == ("name", "pack", "price", "day")


@pytest.mark.parametrize(
    ("heads", "cells", "roles"),
    [
        ("Best before", ["2027-01-01", "2027-01-01"], ("name", "pack", "price")),
        ("Noted|Seen", ["2026-03-01|2026-03-02", "2026-03-01|2026-03-02"], ("name", "pack", "price")),
        ("Noted", ["2026-03-01", "soft"], ("name", "pack", "price")),
        ("Date|Noted", ["2026-03-01|2026-03-02", "2026-03-01|2026-03-02"], ("name", "pack", "price", "day")),
        ("Noted", ["", ""], ("name", "pack", "price")),
    ],
)
def test_days_of_something_else_and_two_columns_of_days_are_not_guessed(
    heads: str, cells: list[str], roles: tuple[str, ...]
) -> None:
    text = f"Ingredient|Pack|Price|{heads}\nShea butter|1 kg|14|{cells[0]}\nOlive oil|1 kg|9.40|{cells[1]}"
    assert tuple(role for role in laid_out(table(text)).roles if role) == roles


def test_a_sheet_of_a_pack_that_was_bought_on_a_day_is_paid() -> None:
    """The head "Bought" was taken for how much is in a pack before."""
    text = "Ingredient name|Shop|Qty|Cost (inc VAT)|Bought\nShea butter|Mill|1 kg|14|2026-03-01"
    reading = read(text)
    assert reading.layouts[0].roles == ("name", "supplier", "pack", "price", "day")
    assert (reading.prices, reading.good) == ("paid", True)


def test_a_second_column_that_is_headed_as_a_price_and_says_another_is_asked() -> None:
    """Prices of 2023 stood before those of 2024 and were taken without a word."""
    text = "Ingredient|Pack|Price 2023|Price 2024\nShea butter|1 kg|14|15.40"
    asked = read(text)
    assert [field for field, _ in asked.faults] == ["sheets-0-columns-3"]
    same = read(text.replace("15.40", "14"))
    assert same.good
    summed = laid_out(table("Ingredient|Qty|Pack|Price|Total\nShea butter|3|1 kg|14|42"))
    assert summed.roles == ("name", "packs", "pack", "price", "")


def test_words_in_a_column_without_a_head_are_names_where_no_other_is() -> None:
    assert laid_out(table("|Pack|Price\nShea butter|1 kg|14")).roles == ("name", "pack", "price")
    assert laid_out(table("||Pack|Price\nShea butter|soft|1 kg|14")).roles == ("", "", "pack", "price")
    assert laid_out(table("Notes|Pack|Price\nShea butter|1 kg|14")).roles == ("", "pack", "price")


@pytest.mark.parametrize(
    ("heads", "cells", "roles"),
    [
        ("Ingredient|Bought in|Price", "Shea|500 g|4.70", ("name", "pack", "price")),
        ("Ingredient|Grams|Price", "Shea|500|4.70", ("name", "pack", "price")),
        ("Ingredient|Qty|Unit|Price", "Shea|3|1 kg|42", ("name", "packs", "pack", "price")),
        ("Ingredient|In stock|Price", "Shea|500 g|4.70", ("name", "", "price")),
        ("Ingredient|Grams|mL|Price", "Shea|500|600|4.70", ("name", "", "", "price")),
        ("Ingredient|Sort|Price", "Shea|soft|4.70", ("name", "", "price")),
        ("Ingredient|Pack|Sack|Price", "Shea|1 kg|500 g|4.70", ("name", "pack", "", "price")),
        ("Ingredient|Qty purchased|Price each", "Shea|3|4.70", ("name", "packs", "price")),
    ],
)
def test_amounts_below_a_head_that_is_not_known_are_the_pack_where_there_is_no_other(
    heads: str, cells: str, roles: tuple[str, ...]
) -> None:
    assert laid_out_as(table(f"{heads}\n{cells}"), MATERIALS).roles == roles


def test_units_that_are_a_number_are_how_many_and_a_unit_in_a_head_is_that_of_the_pack() -> None:
    """26.40 beside 24 units was dropped; 9 for "Weight kg" 1 is 9.00 a kg."""
    asked = read("Item|Units|Price\nJar|24|26.40")
    assert [one.choice for one in asked.wrong] == ["sheets-0-priced"]
    for way, cost in (("all", Decimal("1.1")), ("one", Decimal("26.4"))):
        for heads in ("Item|Units|Price", "Item|Qty (pcs)|Price"):
            assert costs(read(f"{heads}\nVanilla|24|26.40", of_sheets={0: OfSheet(priced=way)}))["Vanilla"] == cost
    for head in ("Weight kg", "Size kg", "Qty kg"):
        assert laid_out(table(f"Name|{head}|Price\nWax|1|9")).roles == ("name", "pack", "price")
    assert laid_out(table("Name|Shelf kg|Price\nWax|1|9")).roles == ("name", "", "price")
    per = read("Name|Price|per\nShea|14|kg\nJar|12|24 pcs")
    assert per.good
    assert [(str(one.said.row.size), one.said.row.unit) for one in per.materials] == [("1", "kg"), ("24", "pieces")]
    bare = read("Name|Price|per\nShea|14|kg\nWax|12|24")
    assert [one.cell for one in bare.wrong] == ["C3"]


def test_an_amount_that_is_how_many_times_the_price_of_one_is_what_all_cost() -> None:
    """7.00 a kg for 2 kg is 14.00: "Amount" was taken for 14 kg, at 98.00."""
    reading = read("Name|Qty|Unit|Unit price|Amount\nShea|2|kg|7|14\nWax|3|kg|9,50|28,50")
    assert reading.layouts[0].roles == ("name", "pack", "unit", "unit_price", "price")
    assert [one.said.row.price for one in reading.materials] == [Decimal(14), Decimal("28.5")]
    other = laid_out(table("Name|Qty|Unit|Unit price|Amount\nShea|2|kg|7|500"))
    assert other.roles == ("name", "packs", "unit", "unit_price", "pack")
    assert laid_out(table("Name|Qty|Unit|Unit price|Amount\nShea|two|kg|7|500")).roles == other.roles


def test_what_is_left_of_a_price_is_not_one_without_tax() -> None:
    """10.00 less a tenth is 9.00: it was taken for 10.00 with tax and 9.00 without."""
    for heads in ("Item|Pack|Price|Discount|Net price", "Item|Pack|Price|Noted|Net price"):
        assert read(f"{heads}\nOil|500 g|10|10%|9").faults[0][0] == "sheets-0-columns-4"
    taxed = read("Item|Pack|Price|VAT|Net price\nOil|500 g|12|20%|10")
    assert taxed.good
    assert read("Item|Pack|Price|Price ex VAT\nOil|500 g|12|10").good
    assert read("Item|Pack|Price incl. VAT|Net price\nOil|500 g|12|10").good


def test_a_price_in_pence_is_none_that_is_known() -> None:
    """1.4 p a gram is 14.00 a kg, not 1,400.00."""
    for head in ("p per g", "Price (pence)", "cents/g", "Cost in p"):
        assert [field for field, _ in read(f"Item|Pack|{head}\nShea|1 kg|1.4").faults] == ["sheets-0-priced"]


def test_the_tax_itself_between_two_prices_is_no_rate() -> None:
    text = "What|How many|Net|VAT|Total paid\nPump|40|£26|{}|£31.20"
    assert laid_out(table(text.format("£5.20"))).roles == ("name", "packs", "net_price", "", "price")
    assert laid_out(table(text.replace("£", "").format("5.20"))).roles == ("name", "packs", "net_price", "", "price")
    assert laid_out(table(text.replace("£", "").format("20"))).roles[3] == "tax_rate"
    assert laid_out(table(text.format("20%"))).roles == ("name", "packs", "net_price", "tax_rate", "price")


@pytest.mark.parametrize("head", ["Last count", "Counted", "Stock date", "Counted on", "Inventur"])
def test_the_day_of_a_count_of_stock_is_no_day_of_a_price(head: str) -> None:
    reading = read(f"Item|Supplier|Pack|Price|{head}\nShea|Mill|1 kg|10|2026-03-01\nWax|Mill|1 kg|9|2026-03-02")
    assert reading.layouts[0].place("day") is None
    assert [one.said.row.day for one in reading.materials] == [None, None]


ORDER = (
    "Date|Supplier|What|Pack|No.|Total\n23/03/2025|Mere|Argan oil|500g|2|48.00\n23/03/2025|Mere|Cocoa butter|1kg|1|12"
)


@pytest.mark.parametrize("who", ["23/03/2025|Mere", "|"])
def test_rows_of_money_do_not_count_against_a_column_of_packs(who: str) -> None:
    """3.00 and 12.60 over 48 and 12: 48 + 2.40 + 10.08 for two of 500 g; 12 + 0.60 + 2.52."""
    text = f"{ORDER}\n{who}|Delivery|||3.00\n{who}|VAT|||12.60\n{who}|Grand total|||75.60"
    assert "sheets-0-counts" in dict(read(text).faults)
    reading = read(text, of_sheets={0: OfSheet(counts="yes", order_tax="top")})
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Argan oil"], F("60.48") / 1000)
    assert near(costs(reading)["Cocoa butter"], F("15.12") / 1000)
