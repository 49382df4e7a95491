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


VENDOR = "2025-02-01|Oxbow"
OXBOW = f"Date|Vendor|Item|Size|Price|{{}}\n{VENDOR}|Argan oil|500g|48.00|4.80\n{VENDOR}|Cocoa butter|1kg|12.00|5.00"


@pytest.mark.parametrize(
    "head",
    ["Shipping share", "Versand anteilig", "Share of delivery (€)", "Freight per item", "Delivery each",
     "Shipping per pack", "Freight per line", "Customs share", "Allocated freight", "Versand je Packung"],
)  # fmt: skip
@pytest.mark.parametrize("prices", ["paid", "list", "about"])
def test_freight_of_each_row_that_comes_on_top_is_added_to_its_price(head: str, prices: str) -> None:
    """48.00 and 4.80 are 52.80 for 500 g, so 105.60 a kg; 12.00 and 5.00 are 17.00."""
    text = OXBOW.format(head)
    assert [at for at, _ in read(text).faults] == ["sheets-0-freight"]
    reading = read(text, prices=prices, of_sheets={0: OfSheet(freight="top")})
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Argan oil"], F("105.60") / 1000)
    assert near(costs(reading)["Cocoa butter"], F(17, 1000))
    assert "48 EUR with 4.8 EUR of freight is 52.8 EUR." in reading.materials[0].said.remarks
    for told in ("in", "none"):
        other = read(text, prices=prices, of_sheets={0: OfSheet(freight=told)})
        assert other.good
        assert near(costs(other)["Argan oil"], F(96, 1000))


@pytest.mark.parametrize(
    ("head", "each", "said"),
    [("Shipping share", F(11), "10 EUR with 1 EUR of freight (2 EUR for 2 packs) is 11 EUR."),
     ("Shipping each", F(12), "10 EUR with 2 EUR of freight is 12 EUR."),
     ("Shipping per item", F(12), "10 EUR with 2 EUR of freight is 12 EUR."),
     ("Versand je Packung", F(12), "10 EUR with 2 EUR of freight is 12 EUR.")],
)  # fmt: skip
def test_freight_of_a_row_is_for_all_of_its_packs_or_for_each_as_its_head_says(head: str, each: F, said: str) -> None:
    """2 packs at 10 with 2 of freight: 11 each where that is for both, 12 where it is for each."""
    heads = f"Date|Vendor|Item|Qty|Size|Price each|{head}"
    text = f"{heads}\n{VENDOR}|Shea|2|1 kg|10|2\n{VENDOR}|Clay|1|1 kg|10|"
    reading = read(text, of_sheets={0: OfSheet(freight="top")})
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], each / 1000)
    assert near(costs(reading)["Clay"], F(10, 1000))
    assert said in reading.materials[0].said.remarks


def test_freight_for_each_of_packs_that_cost_something_together_is_that_of_all() -> None:
    """3 packs of 1 kg for 10 with 1 each: 13 for 3 kg; of one amount for all 11."""
    text = f"Date|Vendor|Item|Qty|Size|Total|{{}}\n{VENDOR}|Shea|3|1 kg|10|1"
    for head, whole in (("Shipping each", F(13)), ("Shipping share", F(11))):
        reading = read(text.format(head), of_sheets={0: OfSheet(freight="top")})
        assert reading.good, (sentences(reading), reading.faults)
        assert near(costs(reading)["Shea"], whole / 3000)


@pytest.mark.parametrize(
    ("head", "pack"),
    [("Shipping per kg", "5 kg"), ("Shipping per kg", "5000 g"), ("Shipping per lb", "5 lb")],
)
def test_freight_for_one_kg_is_that_of_the_whole_pack(head: str, pack: str) -> None:
    """2 for one, so 10 for 5: 60 for 5, 12 for one."""
    layouts = {0: Layout(MATERIALS, 1, ("name", "pack", "price", ""))}
    told = {0: OfSheet(freight="top")}
    reading = read(f"Item|Pack|Price|{head}\nShea|{pack}|50|2", layouts=layouts, of_sheets=told)
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea"], F(12) / (F("453.59237") if "lb" in pack else F(1000)))
    other = read(f"Item|Pack|Price|{head}\nJar|5 pcs|50|2\nShea||50|2", layouts=layouts, of_sheets=told)
    words = "This freight is for 1 kg, and its price for another measure. Add it to the price, and type 0 here."
    assert ("D2", words.replace("kg", head[-2:])) in sentences(other)
    said = reading.materials[0].said.remarks
    assert f"50 EUR with 10 EUR of freight (2 EUR for 1 {head[-2:]}) is 60 EUR." in said
    tub = read(f"Item|Pack|Price|{head[:-2]}gallon\nShea|{pack}|50|2", layouts=layouts, of_sheets=told)
    assert not tub.good


@pytest.mark.parametrize(
    ("cell", "at"),
    [("$4.80", "F2"), ("-4.80", "F2"), ("4.80/tub", "F2"), ("blob", "F2"), ("free", ""), ("", ""), ("0", "")],
)
def test_freight_of_a_row_that_can_not_be_added_is_wrong_at_its_cell(cell: str, at: str) -> None:
    text = OXBOW.format("Shipping share").replace("4.80", cell)
    reading = read(text, of_sheets={0: OfSheet(freight="top")})
    assert [place for place, _ in sentences(reading)] == [at] * bool(at)
    if cell.startswith("$"):
        assert sentences(reading)[0][1] == "This freight is in USD and its price in EUR. Type it in EUR."
    if not at:
        assert near(costs(reading)["Argan oil"], F(96, 1000))


def test_two_columns_of_freight_are_both_added_and_a_row_without_a_price_stays_without() -> None:
    """10 with 1 and 2 is 13."""
    text = "Item|Pack|Price|Shipping share|Customs share\nShea|1 kg|10|1|2\nClay|1 kg|?|1|2"
    reading = read(text, of_sheets={0: OfSheet(freight="top")})
    assert near(costs(reading)["Shea"], F(13, 1000))
    assert reading.materials[1].said.row.price is None


@pytest.mark.parametrize(
    "head", ["Total incl. shipping", "Price with delivery", "Shipping total", "Preis inkl. Versand", "Price + shipping"]
)
def test_what_is_not_freight_of_each_row_is_never_added_and_has_to_be_chosen(head: str) -> None:
    rows = f"Item|Pack|Price|{head}\nWax|1 kg|10|12\nShea|1 kg|20|23"
    layouts = {0: Layout(MATERIALS, 1, ("name", "pack", "price", ""))}
    reading = read(rows, layouts=layouts, of_sheets={0: OfSheet(freight="top")})
    words = (
        f"Sheet 1: Column D ({head}) is no freight of each row, so nothing of it comes on top. Choose what it holds, "
        "or say below that freight is in these prices or not to be counted."
    )
    assert reading.faults == (("sheets-0-freight", words),)
    beside = read(f"{rows}\nDelivery||3|", layouts=layouts, of_sheets={0: OfSheet(freight="top")})
    assert beside.good, beside.faults  # that is what comes on top: 3 over 10 and 20 are 1 and 2
    assert near(costs(beside)["Wax"], F(11, 1000))
    assert read("Item|Pack|Price\nWax|1 kg|10", of_sheets={0: OfSheet(freight="top")}).good
    coded = Layout(MATERIALS, 1, ("inci", "pack", "price", ""))
    assert len(read(rows, layouts={0: coded}, of_sheets={0: OfSheet(freight="top")}).faults) == 1


LANDED_TAXED = "Item|Last paid €/pack|VAT %|Landed €/pack\nTea tree 50g|7.40|{rate}|9.30\nVitamin E 250g|8.75|{rate}|"


@pytest.mark.parametrize("rate", ["20", "20%", "0.2"])
def test_tax_is_in_a_landed_price_that_is_nowhere_less_than_the_other_with_it(rate: str) -> None:
    """7.40 and a fifth are 8.88, so 9.30 holds it: 0.186 a g. Without a landed price 8.75 and a fifth: 10.50."""
    reading = read(LANDED_TAXED.format(rate=rate))
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Tea tree"], F("9.30") / 50)
    assert near(costs(reading)["Vitamin E"], F("10.50") / 250)
    (said,) = reading.tables[0].remarks
    assert said == (
        "“Landed €/pack” is the price: freight and tax are in it. “Last paid €/pack” counts where it says none."
    )


def test_a_landed_price_below_the_other_with_its_tax_or_of_rows_without_any_is_without_it() -> None:
    """8.50 is less than 8.88: 10.20 with its tax."""
    below = read(LANDED_TAXED.format(rate="20").replace("9.30", "8.50").replace("|8.75|20|", "|8.75|20|9"))
    assert near(costs(below)["Tea tree"], F("10.20") / 50), sentences(below)
    none = read(LANDED_TAXED.format(rate="").replace("|8.75||", "|8.75||9.50").replace("Vitamin", "20%|"))
    assert "freight and tax" not in " ".join(none.tables[0].remarks)
    said = read(
        LANDED_TAXED.format(rate="20").replace("Landed €/pack", "Landed €/pack ex VAT").replace("|20|\n", "|20|9\n")
    )
    assert "freight and tax" not in " ".join(said.tables[0].remarks)


@pytest.mark.parametrize("heads", ["Last paid €/kg|Last paid €/pack", "Paid €/kg|Paid per pack (€)"])
def test_what_was_paid_last_for_a_kg_and_for_a_pack_are_two_prices(heads: str) -> None:
    reading = read(f"Item|{heads}\nBeeswax 1kg|18.50|\nLavender oil 100g||13.50")
    assert near(costs(reading)["Beeswax"], F("18.50") / 1000), sentences(reading)
    assert near(costs(reading)["Lavender oil"], F("13.50") / 100)
