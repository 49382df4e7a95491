"""Freight that is each line's own, as a total shows in every row. Figures from fractions on paper."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.columns import MATERIALS, Layout
from webapp.costing.own.told import OfSheet

F = Fraction
WHO = "|Mill|2026-03-01"


@pytest.mark.parametrize(
    "heads", ["Price|Transport|Total cost", "Cost|Delivery|Landed cost", "Price ex VAT|Transport|Total"]
)
@pytest.mark.parametrize("who", [WHO, "||"])
def test_a_total_that_is_price_and_freight_in_every_row_is_the_price(heads: str, who: str) -> None:
    """10 and 0.50 are 10.50 a kg, 30 and 4.50 are 34.50."""
    text = f"Item|Supplier|Date|Pack|{heads}\nShea{who}|1 kg|10|0.5|10.5\nWax{who}|1 kg|30|4.5|34.5"
    reading = read(text)
    assert reading.good, (sentences(reading), reading.faults)
    found = costs(reading)
    assert near(found["Shea"], F("10.50") / 1000)
    assert near(found["Wax"], F("34.50") / 1000)
    price, freight, total = heads.split("|")
    said = f"“{total}” is the price: it is “{price}” and “{freight}” in every row, so that freight is each row’s own."
    assert said in reading.tables[0].remarks


@pytest.mark.parametrize("rows", ["10|0.5|10.5\nWax{who}|1 kg|30|4.5|30", "10|5|15\nWax{who}|1 kg|30||30"])
def test_where_a_total_is_not_so_in_every_row_freight_is_that_of_the_order(rows: str) -> None:
    """5 over 10 and 30: 11.25 and 33.75."""
    text = f"Item|Supplier|Date|Pack|Price|Transport|Total cost\nShea{WHO}|1 kg|{rows.format(who=WHO)}"
    found = costs(read(text, of_sheets={0: OfSheet(freight="top")}))
    assert near(found["Shea"], F("11.25") / 1000)
    assert near(found["Wax"], F("33.75") / 1000)


def test_packs_of_a_price_each_and_their_freight_may_be_the_total() -> None:
    """2 at 10 and 1 are 21 for 2 kg: 10.50 a kg; 1 at 30 and 4.50 are 34.50."""
    heads = "Item|Supplier|Date|Qty|Pack|Price each|Transport|Total cost"
    text = f"{heads}\nShea{WHO}|2|1 kg|10|1|21\nWax{WHO}|1|1 kg|30|4.5|34.5"
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], F("10.50") / 1000)
    assert near(costs(reading)["Wax"], F("34.50") / 1000)


@pytest.mark.parametrize("head", ["Transport", "Versand anteilig", "Shipping"])
def test_freight_in_percent_is_asked_once_for_its_sheet(head: str) -> None:
    """10 and 5 % are 10.50 a kg; 30 and 15 % are 34.50."""
    text = f"Item|Supplier|Date|Pack|Price|{head}\nShea{WHO}|1 kg|10|5%\nWax{WHO}|1 kg|30|15%"
    words = f"Sheet 1: Column F ({head}) says percent. Do they come on top of each price? Say it below."
    assert read(text).faults == (("sheets-0-freight", words),)
    for told, shea, wax in (("top", F("10.50"), F("34.50")), ("in", F(10), F(30)), ("none", F(10), F(30))):
        reading = read(text, of_sheets={0: OfSheet(freight=told)})
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Shea"], shea / 1000)
        assert near(costs(reading)["Wax"], wax / 1000)


def test_freight_that_is_said_to_be_a_share_is_asked() -> None:
    text = f"Item|Supplier|Date|Pack|Price|Versand anteilig\nShea{WHO}|1 kg|10|0.5\nWax{WHO}|1 kg|30|4.5"
    assert [at for at, _ in read(text).faults] == ["sheets-0-freight"]


@pytest.mark.parametrize(
    ("price", "landed"),
    [("€/pack", "Landed €/pack"), ("Price", "Landed cost"), ("Price", "Landed"), ("Cost", "Delivered price"),
     ("Price per pack", "Price delivered"), ("Preis", "Einstandspreis"), ("Preis", "Einstandskosten"),
     ("Prix", "Prix de revient rendu"), ("Prix", "Prix rendu"), ("Price", "Landed cost per pack")],
)  # fmt: skip
@pytest.mark.parametrize("rest", ["|", "|Notes"])
def test_a_landed_price_beside_a_price_is_the_price(price: str, landed: str, rest: str) -> None:
    """40.00 for 5 kg are 8.00 a kg, 13.50 for 1 kg; freight is in them."""
    text = f"Item|{price}|{landed}{rest}\nShea butter 5kg|34.00|40.00\nWax 1kg|12.00|13.50"
    reading = read(text)
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea butter"], F(8, 1000))
    assert near(costs(reading)["Wax"], F("13.50") / 1000)
    said = f"“{landed}” is the price: freight is in it. “{price}” is without it, and left out."
    assert said in reading.tables[0].remarks


@pytest.mark.parametrize(("price", "shea"), [("Price €/kg", "6.80"), ("Price", "34.00")])
def test_a_landed_price_for_one_kg_is_one(price: str, shea: str) -> None:
    """8.00 a kg, whatever stands beside it."""
    reading = read(f"Item|Pack|{price}|Landed €/kg\nShea|5 kg|{shea}|8.00\nWax|1 kg|12.00|13.50")
    assert near(costs(reading)["Shea"], F(8, 1000)), (sentences(reading), reading.faults)
    assert near(costs(reading)["Wax"], F("13.50") / 1000)


def test_freight_beside_a_landed_price_is_in_it_whatever_it_comes_to() -> None:
    """Duty is in 42.00, too: 8.40 a kg."""
    text = f"Item|Supplier|Date|Pack|Price|Freight|Landed cost\nShea{WHO}|5 kg|34|5|42\nWax{WHO}|1 kg|12|1|13.50"
    reading = read(text)
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], F("8.40") / 1000)
    assert near(costs(reading)["Wax"], F("13.50") / 1000)
    assert "“Landed cost” is the price: freight is in it. “Price” is without it, and left out." in (
        reading.tables[0].remarks
    )


def test_a_landed_price_without_tax_is_one() -> None:
    text = "Item|Pack|Price ex VAT|VAT|Landed cost\nShea|5 kg|34.00|20%|40.00\nWax|1 kg|12|20%|13.50"
    assert read(text).layouts[0].roles == ("name", "pack", "", "tax_rate", "net_price")


@pytest.mark.parametrize(
    ("heads", "wax"), [("Price|Landed cost", ""), ("Price inc VAT|Landed cost", "13.50"), ("Price|Landed cost", "11")]
)
def test_a_landed_price_that_a_row_lacks_or_that_is_lower_or_of_unknown_tax_is_asked(heads: str, wax: str) -> None:
    text = f"Item|Pack|{heads}\nShea|5 kg|34.00|40.00\nWax|1 kg|12.00|{wax}"
    assert [at for at, _ in read(text).faults] == ["sheets-0-columns-3"]
    chosen = {0: Layout(MATERIALS, 1, ("name", "pack", "", "price"))}
    assert near(costs(read(text, layouts=chosen))["Shea"], F(8, 1000))


@pytest.mark.parametrize(("head", "role"), [("Delivered", ""), ("Delivered €", "price"), ("Rendu", "")])
def test_delivered_alone_is_a_price_where_it_names_money(head: str, role: str) -> None:
    text = f"Item|Pack|Price|{head}\nShea|5 kg|34.00|40\nWax|1 kg|12.00|13"
    assert [*read(text).layouts[0].roles, ""][3] == role


def test_a_landed_total_of_several_packs_is_for_all_of_them() -> None:
    """2 of 5 kg for 80.00 are 8.00 a kg; 13.50 for 1 kg."""
    text = "Item|Qty|Pack|Price each|Landed total\nShea|2|5 kg|34.00|80.00\nWax|1|1 kg|12.00|13.50"
    reading = read(text)
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], F(8, 1000))


def test_a_day_on_which_it_landed_is_no_price() -> None:
    text = "Item|Pack|Price|{}\nShea|5 kg|34.00|2026-03-01\nWax|1 kg|12.00|2026-03-02"
    for head in ("Landed", "Delivered", "Landed on", "Date landed"):
        assert read(text.format(head)).layouts[0].roles[2] == "price", head


def test_a_landed_price_alone_is_the_price_and_its_total_need_not_be_there() -> None:
    """40.00 for 5 kg are 8.00 a kg."""
    for text in (
        "Item|Pack|Landed cost\nShea|5 kg|40\nWax|1 kg|9",
        "Item|Pack|Price|Landed\nShea|5 kg|34|40\nWax|1 kg|9|11\nTotal||43|",
    ):
        reading = read(text)
        assert reading.good, (sentences(reading), reading.faults)
        assert near(costs(reading)["Shea"], F(8, 1000))


def test_a_row_of_freight_beside_landed_prices_is_asked() -> None:
    text = "Item|Pack|Price|Landed\nShea|5 kg|34|40\nWax|1 kg|9|11\nDelivery||8|"
    assert [at for at, _ in read(text).faults] == ["sheets-0-columns-3"]
