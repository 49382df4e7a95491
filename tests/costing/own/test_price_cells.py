"""Prices and packs as people write them: in pence, two for a sum, in centilitres, about so much, in names."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, costs, near, read, sentences
from webapp.costing import book as b
from webapp.costing.book import Book

F = Fraction
POUNDS = Book(day=DAY, workshop=b.Workshop(currency="GBP"))
STONE = 14 * F("453.59237")


def cost(pack: str, price: str) -> object:
    reading = read(f"Item|Pack|Price|Density\nOil|{pack}|{price}|1", book=POUNDS)
    assert reading.good, sentences(reading)
    return costs(reading)["Oil"]


@pytest.mark.parametrize(
    ("pack", "price", "exact"),
    [
        ("1 kg", "95p", F("0.95") / 1000),
        ("1 kg", "95 pence", F("0.95") / 1000),
        ("500 g", "95p/100g", F("0.95") / 100),
        ("1 kg", "£0.95p", F("0.95") / 1000),
        ("1 kg", "85 ct", F("0.85") / 1000),
        ("1 kg", "95p + VAT at 20%", F("1.14") / 1000),
        ("1 kg", "2 for £16", F(8) / 1000),
        ("500 g", "2 for 16", F(16) / 1000),
        ("75cl", "3", F(3) / 750),
        ("7,5 cl", "3", F(3) / 75),
        ("2 dl", "3", F(3) / 200),
        ("1 stone", "20", F(20) / STONE),
        ("2 stone", "20", F(10) / STONE),
        ("approx 250g", "5", F(5) / 250),
        ("~250g", "5", F(5) / 250),
        ("ca. 250 g", "5", F(5) / 250),
        ("about 0.5 kg", "5", F(5) / 500),
    ],
)
def test_prices_and_packs(pack: str, price: str, exact: F) -> None:
    found = cost(pack, price)
    assert isinstance(found, Decimal)
    assert abs(F(found) - exact) < exact / 1000  # a starting price has four decimals


def test_pence_are_of_pounds_and_a_price_that_may_be_either_is_wrong() -> None:
    abroad = read("Item|Pack|Price\nOil|1 kg|95p")
    assert [one.choice for one in abroad.wrong] == ["rates"]
    assert [cell for cell, _ in sentences(read("Item|Pack|Price\nOil|1 kg|1.50p", book=POUNDS))] == ["C2"]
    beside = read("Item|Pack|Price\nOil|1 kg|95p\nWax|1 kg|£3", book=POUNDS)
    assert beside.good


def test_pieces_are_counted_by_no() -> None:
    assert costs(read("Item|Pack|Price\nAmber jar|100no|30\nLid|50 nos|5")) == {
        "Amber jar": Decimal("0.3"),
        "Lid": Decimal("0.1"),
    }


def test_several_for_one_sum_beside_another_number_of_packs_is_wrong_and_a_price_per_kg_is_none() -> None:
    four = read("Item|Pack|Qty|Price\nOil|1 kg|4|2 for 16")
    assert ("D2", "2 for 16, and 4 were bought: type what one of them costs.") in sentences(four)
    assert not read("Item|Price per kg\nOil|2 for 16").good


def test_that_a_pack_is_only_about_so_much_is_said() -> None:
    (seen,) = read("Item|Pack|Price\nOil|approx 250g|5").materials
    assert seen.said.remarks == ["approx 250g is read as 250g."]


def test_a_volume_with_its_weight_says_its_density() -> None:
    """455 g in 500 mL are 0.91 g/mL: 5 for 455 g."""
    for pack in ("500ml (455g)", "500 mL / 455 g", "0.5 L (0.455 kg)"):
        reading = read(f"Item|Pack|Price\nOil|{pack}|5")
        assert near(costs(reading)["Oil"], F(5) / 455), pack
        assert any("one mL weighs 0.91 g" in one for one in reading.materials[0].said.remarks)
    said = read("Item|Pack|Price|Density\nOil|500ml (455g)|5|0.92")
    assert near(costs(said)["Oil"], F(5) / 460)
    fluid = read("Item|Pack|Price|Density\nOil|118 ml (4 oz)|5|0.92")
    assert fluid.materials[0].said.row.density == Decimal("0.92")


def test_a_pack_in_the_name_is_its_pack_where_no_column_holds_one() -> None:
    reading = read("Item|Price\nShea butter 1kg|10\nWax (500 g)|4\nCocoa - 2 x 1 kg|30\nAmber bottle 100ml|0.5")
    assert reading.good, sentences(reading)
    assert costs(reading) == {
        "Shea butter": Decimal("0.01"),
        "Wax": Decimal("0.008"),
        "Cocoa": Decimal("0.015"),
        "Amber bottle 100ml": Decimal("0.5"),  # what a bottle holds is no pack
    }
    assert [one.said.row.named for one in reading.materials] == ["1kg", "500 g", "2 x 1 kg", ""]


@pytest.mark.parametrize("text", ["Item|Pack|Price\nShea butter 1kg|5 kg|10", "Item|Price per kg\nShea butter 1kg|2"])
def test_a_name_keeps_its_amount_where_something_else_says_what_the_price_is_for(text: str) -> None:
    assert costs(read(text)) == {"Shea butter 1kg": Decimal("0.002")}


@pytest.mark.parametrize(
    ("pack", "price", "exact"),
    [
        ("1 kg", "12,-", F(12) / 1000),
        ("1 kg", "12.–", F(12) / 1000),
        ("1 kg", "12,50 £*", F("12.50") / 1000),
        ("1 kg", "à 12,50", F("12.50") / 1000),
        ("1 kg", "2,500/-", F(2500) / 1000),
        ("1 kg", "1,200/=", F(1200) / 1000),
        ("5kg-Eimer", "10", F(10) / 5000),
        ("25-kg-Sack", "10", F(10) / 25000),
        ("500g-Glas", "10", F(10) / 500),
        ("3 Dosen à 250 g", "15", F(15) / 750),
        ("Karton (12 Flaschen à 250 ml)", "30", F(30) / 3000),
        ("1 Pfund", "5", F(5) / 500),
        ("1/2 Pfund", "5", F(5) / 250),
        ("2 Pfund", "5", F(5) / 1000),
    ],
)
def test_prices_and_packs_as_shops_write_them(pack: str, price: str, exact: Fraction) -> None:
    assert near(cost(pack, price), exact)


@pytest.mark.parametrize(("pack", "count"), [("50er VE", 50), ("VE: 50", 50), ("per dozen", 12)])
def test_packs_of_pieces_as_shops_write_them(pack: str, count: int) -> None:
    assert near(cost(pack, "12"), F(12) / count)


def test_a_mark_behind_a_price_is_said() -> None:
    (said,) = read("Item|Pack|Price\nOil|1 kg|12.50*", book=POUNDS).materials[0].said.remarks
    assert said == "12.50* is read as 12.5 GBP: what its mark says is not looked at."


def test_a_shilling_is_the_workshops_own() -> None:
    kenya = Book(day=DAY, workshop=b.Workshop(currency="KES"))
    reading = read("Item|Pack|Price\nOil|1 kg|Sh 900\nWax|1 kg|1,200/=", book=kenya)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Oil"], F(900, 1000))
    assert near(costs(reading)["Wax"], F(1200, 1000))
    assert sentences(read("Item|Pack|Price\nOil|1 kg|Sh 900", book=POUNDS))[0][1].startswith("Sh is no currency")


def test_packs_at_a_price_each_are_bought_at_that_price() -> None:
    """2 @ 11.50 are two packs at 11.50 each, whatever the head says; 3 x 6.00 three."""
    for head in ("Price", "Total"):
        rows = "2026-03-03|N|Shea|1 kg|2 @ €11.50\n2026-03-03|N|Clay|500 g|3 x €6.00\n2026-03-03|N|Wax|1 kg|€9"
        reading = read(f"Date|Shop|Item|Size|{head}\n{rows}")
        assert reading.good, sentences(reading)
        assert [(one.said.row.packs, one.said.row.price) for one in reading.materials] == [
            (Decimal(2), Decimal("11.5")), (Decimal(3), Decimal(6)), (Decimal(1), Decimal(9))
        ]  # fmt: skip


def test_packs_at_a_price_each_are_wrong_where_a_column_says_another_number() -> None:
    head = "Date|Shop|Item|Size|Qty|Price each\n2026-03-03|N|Shea|1 kg"
    assert read(f"{head}|2|2 @ €11.50").good
    assert sentences(read(f"{head}|1|2 @ €11.50")) == [("F2", "2 @ €11.50, and 1 was bought: correct one of them.")]
    assert sentences(read(f"{head}|3|2 @ €11.50"))[0][0] == "F2"


def test_a_price_of_several_that_is_corrected_says_again_for_how_many_it_is() -> None:
    """Three for 12.00 are 4.00 each; 12.00 alone was taken for one pack."""
    text = "Date|Shop|Item|Size|Price\n2026-03-03|N|Coconut|500 g|3 @ €6.00\n2026-03-03|N|Wax|1 kg|9"
    said = read(text, fixes={"s0_r2_c4": "12.00"})
    assert [where for where, _ in sentences(said)] == ["E2"]
    assert "Type it as “3 @ …” with the price of one, or “3 for …” with that of all." in sentences(said)[0][1]
    for typed in ("3 @ 4.00", "3 for 12.00"):
        told = read(text, fixes={"s0_r2_c4": typed})
        assert told.good, sentences(told)
        assert near(costs(told)["Coconut"], F(4, 500))
    assert read(text, fixes={"s0_r2_c4": "1 @ 6.00"}).good
    assert read(text, fixes={"s0_r2_c4": "12.00"}, left_out=frozenset({"s0_r2"})).good
    assert read(text.replace("500 g", "2 x 250 g"), fixes={"s0_r2_c3": "500 g"}).good  # a pack, and no price
