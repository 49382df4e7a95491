"""Rows of a price sheet that are money and no material: freight of its order, discounts, tax, totals; by paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_freight import HEADS, charges, remarks
from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored
from webapp.costing.book import Charge
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.written import Written

F, D = Fraction, Decimal
TWO = f"{HEADS}\nShea butter|Mill|2026-03-01|5 kg|30\nWax|Mill|2026-03-01|1 kg|10"


def passed(reading: OwnReading) -> list[tuple[int, str]]:
    return [(one.row, one.what) for one in reading.skipped]


def names(reading: OwnReading) -> list[str]:
    return [one.said.name for one in reading.materials]


@pytest.mark.parametrize(
    "name",
    ["Shipping", "Versand", "Versandkosten", "Frais de port", "Carriage", "P&P", "Delivery", "Postage", "Porto",
     "Freight", "Shipping (DHL)", "Standard delivery", "Zzgl. Versand", "Shipping & handling", "Express shipping"],
)  # fmt: skip
@pytest.mark.parametrize("pack", ["", "1", "1 pcs", "1 Stk."])
def test_a_row_that_is_freight_is_that_of_the_order_above_shared_by_value(name: str, pack: str) -> None:
    """6.00 over 30.00 and 10.00: 4.50 and 1.50, so that 5 kg cost 34.50 and 1 kg 11.50; the order below has none."""
    reading = read(f"{TWO}\n{name}|||{pack}|6.00\nClay|Mill|2026-03-02|1 kg|4")
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert names(reading) == ["Shea butter", "Wax", "Clay"]
    assert charges(reading) == [(Charge("freight", D(6)),), ()]
    found = costs(reading)
    assert near(found["Shea butter"], F("34.50") / 5000)
    assert near(found["Wax"], F("11.50") / 1000)
    assert near(found["Clay"], F(4, 1000))
    said = "the freight of the order of Mill of 2026-03-01, 6 EUR, shared over its 2 lines by value"
    assert passed(reading) == [(4, said)]


def test_a_row_of_freight_is_of_its_own_supplier_and_day_wherever_it_stands() -> None:
    """2.00 on 4.00 for 1 kg of the second order: 6 a kg. A day alone is one of the supplier above."""
    heads, rows = TWO.split("\n")[:1], TWO.split("\n")[1:]
    clay, named, dated = "Clay|Mill|2026-03-02|1 kg|4", "Versand|mill|2026-03-02||2,00 €", "Versand||2026-03-02||2,00 €"
    for lines, own in (([*heads, named, *rows, clay], "mill"), ([*heads, *rows, dated, clay], "Mill")):
        reading = read("\n".join(lines))
        assert charges(reading) == [(), (Charge("freight", D(2)),)]
        assert near(costs(reading)["Clay"], F(6, 1000))
        assert [what for _, what in passed(reading)] == [f"the freight of the order of {own} of 2026-03-02, 2 EUR"]


@pytest.mark.parametrize("row", ["Shipping|Press|||2", "Shipping|Mill|2026-04-01||2", "Shipping|Press|2026-03-01||2"])
def test_a_row_of_freight_of_an_order_that_is_not_there_is_asked_in_sight_and_makes_no_supplier(row: str) -> None:
    reading = read(f"{TWO}\n{row}")
    assert charges(reading) == [()]
    assert reading.after is not None
    assert [one.name for one in reading.after.suppliers.values()] == ["Mill"]
    ((at, said),) = sentences(reading)
    assert at == "A4"
    assert ("Nothing is bought of Press that day." in said) == ("Press" in row)


def test_freight_of_a_supplier_without_a_day_is_that_of_its_nearest_order_above() -> None:
    text = f"{TWO.replace('|2026-03-01', '|')}\nLabel|Press||10 pcs|5\nShipping|Mill|||2"
    reading = read(text, prices=PAID, how=How(day=date(2026, 3, 4)))
    assert charges(reading) == [(Charge("freight", D(2)),), ()]
    for day in ("2026-03-01", "2026-03-02"):
        named = read(f"{TWO}\nLabel|Press|{day}|10 pcs|5\nShipping|Mill|||2")
        assert charges(named) == [(Charge("freight", D(2)),), ()]
        assert passed(named) == [
            (5, "the freight of the order of Mill of 2026-03-01, 2 EUR, shared over its 2 lines by value")
        ]


@pytest.mark.parametrize(("prices", "row"), [(LIST, "Mill|2026-03-01"), (ABOUT, "|"), (PAID, "Mill|"), (PAID, "|")])
def test_a_row_of_freight_in_a_list_that_is_no_order_is_asked_about(prices: str, row: str) -> None:
    """3.50 on 10.00 makes 13.50."""
    text = f"{HEADS}\nWax|{row}|1 kg|10\nP&P|{row}||3.50"
    (asked,) = read(text, prices=prices).wrong
    assert asked.choice == "sheets-0-freight"
    assert "Does it come on top of the price above, shared by value, is it in it already, or not" in asked.sentence
    for told, cost in (("top", F("13.50")), ("in", F(10)), ("none", F(10))):
        reading = read(text, prices=prices, of_sheets={0: OfSheet(freight=told)})
        assert reading.good, sentences(reading)
        assert names(reading) == ["Wax"]
        assert near(costs(reading)["Wax"], cost / 1000)
        assert passed(reading)[0][0] == 3


def test_a_row_of_freight_is_added_only_where_the_column_is_empty_in_its_order() -> None:
    """The column's 6.00 stays alone; the other order gets the row's 2.00, which may stand in the column too."""
    text = (
        f"{HEADS}|Freight\nShea butter|Mill|2026-03-01|5 kg|30|6\nShipping||||5|\n"
        "Clay|Mill|2026-03-02|1 kg|4|\nShipping|||||2"
    )
    reading = read(text)
    assert charges(reading) == [(Charge("freight", D(6)),), (Charge("freight", D(2)),)]
    assert [what for _, what in passed(reading)] == [
        "freight, not taken: the column of freight says that of the order of Mill of 2026-03-01",
        "the freight of the order of Mill of 2026-03-02, 2 EUR",
    ]


def test_two_rows_of_freight_of_an_order_come_together_and_once_where_a_later_sheet_says_the_same() -> None:
    """2 + 2 = 4.00 on 10.00: 14 a kg."""
    one = f"{HEADS}\nWax|Mill|2026-03-01|1 kg|10\nShipping||||2\nShipping||||2"
    assert charges(read(one)) == [(Charge("freight", D(4)),)]
    assert near(costs(read(one))["Wax"], F(14, 1000))
    more = read(one, f"{HEADS}\nOil|Mill|2026-03-01|1 kg|10\nShipping||||2\nDelivery||||3")
    assert charges(more) == [(Charge("freight", D(7)),)]
    assert "freight, not taken twice: an earlier sheet says the same of the order of Mill of 2026-03-01" in [
        what for _, what in passed(more)
    ]


def test_a_row_of_freight_of_an_order_that_the_book_has_is_not_entered_again() -> None:
    text = f"{TWO}\nShipping||||6"
    book = stored(read(text))
    for again in (text, f"{text}\nClay|Mill|2026-03-01|1 kg|4"):
        reading = read(again, book=book)
        assert [one for order in charges(reading) for one in order] == []
        said = "freight, not entered again: the book has a part of the order of Mill of 2026-03-01"
        assert passed(reading) == [(4, said)]


def test_a_row_of_freight_is_in_the_money_of_its_order_unless_it_says_home_money() -> None:
    """8.00 GBP at 1.25 are 10.00; with 2.00 GBP 12.50, with 2.50 of home money 12.50 too."""
    text, how = f"{HEADS}\nWax|Mill|2026-03-01|1 kg|£8", How(rates={"GBP": D("1.25")})
    for amount, charge in (("2", Charge("freight", D(2))), ("2.50 €", Charge("freight", D("2.5"), "home"))):
        reading = read(f"{text}\nShipping||||{amount}", how=how)
        assert charges(reading) == [(charge,)]
        assert near(costs(reading)["Wax"], F("12.50") / 1000)
    wrong = read(f"{text}\nShipping||||$2", how=how)
    assert [words for _, words in sentences(wrong)] == ["The freight is in USD and its order in GBP. Type it in GBP."]
    column = f"{HEADS}|Currency\nWax|Mill|2026-03-01|1 kg|8|GBP\nShipping||||2.50|EUR"
    assert charges(read(column, how=how)) == [(Charge("freight", D("2.5"), "home"),)]


def test_of_two_orders_of_a_day_in_two_currencies_freight_is_of_its_own_or_of_that_above_or_asked() -> None:
    text, how = f"{HEADS}\nOil|Mill|2026-03-01|1 kg|9 €\nWax|Mill|2026-03-01|1 kg|£8", How(rates={"GBP": D("1.25")})
    home = read(f"{text}\nShipping||||2 €", how=how)
    assert charges(home) == [(Charge("freight", D(2)),), ()]
    above = read(f"{text}\nShipping||||2", how=how)
    assert charges(above) == [(), (Charge("freight", D(2)),)]
    asked = read(f"{text}\nShipping|Mill|2026-03-01||2", how=how)
    words = (
        "Its order is one in EUR or in GBP. Write the currency beside its amount in your sheet, or leave this row out."
    )
    assert [one for _, one in sentences(asked)] == [words]


@pytest.mark.parametrize("cell", ["", "free", "0"])
def test_a_row_of_freight_without_an_amount_is_passed_over(cell: str) -> None:
    reading = read(f"{TWO}\nFree shipping|Mill|||{cell}")
    assert reading.good, sentences(reading)
    assert (names(reading), charges(reading)) == (["Shea butter", "Wax"], [()])
    assert passed(reading) == [(4, "freight without an amount in a column of prices")]


def test_freight_below_a_total_that_is_left_out_beside_the_price_of_one_is_taken() -> None:
    """2 x 30 and 10 are 70.00; 14.00 over 60.00 and 10.00 are 12.00 and 2.00: 7.20 a kg and 12.00."""
    text = (
        "Item|Supplier|Date|Qty|Pack|Price each|Total|Note\nShea|Mill|2026-03-01|2|5 kg|30|60|\n"
        "Wax|Mill|2026-03-01|1|1 kg|10|10|\nShipping||||||14.00|7"
    )
    reading = read(text)
    assert reading.layouts[0].place("price") == 5
    assert charges(reading) == [(Charge("freight", D(14)),)]
    assert near(costs(reading)["Shea"], F("7.20") / 1000)
    assert near(costs(reading)["Wax"], F(12, 1000))
    none = read(text.replace("14.00", ""))
    assert passed(none) == [(4, "freight without an amount in a column of prices")]
    bare = read("Shea|5 kg|30\nShipping||14|x")
    assert [one.choice for one in bare.wrong] == ["sheets-0-freight"]


@pytest.mark.parametrize(("cell", "at"), [("2/kg", "E4"), ("blob", "E4"), ("-2", "E4")])
def test_a_row_of_freight_that_can_not_be_read_is_wrong_at_its_cell(cell: str, at: str) -> None:
    reading = read(f"{TWO}\nShipping||||{cell}")
    assert [place for place, _ in sentences(reading)] == [at]
    assert read(f"{TWO}\nShipping||||{cell}", left_out=frozenset({"s0_r4"})).good


def test_freight_that_was_said_to_be_in_the_prices_or_not_to_count_is_not_added() -> None:
    for told, said in (("in", "is in the prices already, as was chosen"), ("none", "is not counted, as was chosen")):
        reading = read(f"{TWO}\nShipping||||6", of_sheets={0: OfSheet(freight=told)})
        assert charges(reading) == [()]
        assert passed(reading) == [(4, f"freight, which {said}")]


@pytest.mark.parametrize(("registered", "amount"), [(False, "7.14"), (True, "6")])
def test_of_freight_with_tax_and_without_that_counts_which_is_a_cost(*, registered: bool, amount: str) -> None:
    """6.00 and 19 % are 7.14: so much is the cost where the tax is not reclaimed."""
    text = "Item|Supplier|Date|Pack|Price ex VAT|Price inc VAT\nWax|Mill|2026-03-01|1 kg|10|11.90\nVersand||||6|7.14"
    book = replace(EMPTY, terms=replace(EMPTY.terms, registered=registered))
    assert charges(read(text, book=book)) == [(Charge("freight", D(amount)),)]


@pytest.mark.parametrize(
    ("name", "what"),
    [("Rabatt", "a discount"), ("Discount -5.00", "a discount"), ("Discount 5%", "a discount"),
     ("Skonto", "a discount"), ("Less discount", "a discount"), ("Mengenrabatt", "a discount"),
     ("Remise", "a discount"), ("VAT 20%", "sales tax"),
     ("MwSt. 19 %", "sales tax"), ("Summe", "a total"), ("Gesamtbetrag", "a total"), ("Invoice total", "a total"),
     ("Rechnungsbetrag", "a total"), ("Subtotal", "a total"), ("Amount due", "a total")],
)  # fmt: skip
@pytest.mark.parametrize("price", ["-5,00", "5.00"])
def test_a_row_that_is_a_discount_tax_or_a_total_is_no_material(name: str, what: str, price: str) -> None:
    told, off = Told(sign="." if "." in price else ","), {0: OfSheet(discount="none", order_tax="none")}
    reading = read(f"{TWO}\n{name}||||{price}", told=told, of_sheets=off)
    assert reading.good, sentences(reading)
    assert names(reading) == ["Shea butter", "Wax"]
    assert charges(reading) == [()]
    (said,) = passed(reading)
    assert said[0] == 4
    assert said[1].split(",")[0].removesuffix(" below zero") == what


@pytest.mark.parametrize(
    "name",
    ["Shipping boxes", "Delivery labels", "Versandkartons", "Postage stamps", "Discount cards", "Rabattkarten",
     "Transport box", "Freight pallet", "P&P bags", "Summer oil", "Taxus extract", "Port wine"],
)  # fmt: skip
def test_a_name_that_only_holds_such_a_word_is_a_material(name: str) -> None:
    reading = read(f"{TWO}\n{name}|Mill|2026-03-01|10 pcs|4")
    assert names(reading) == ["Shea butter", "Wax", name]
    assert near(costs(reading)[name], F(4, 10))


@pytest.mark.parametrize("name", ["Shipping", "Rabatt", "VAT"])
@pytest.mark.parametrize("pack", ["100 pcs", "2 kg", "2"])
def test_money_by_its_name_with_a_pack_beside_it_is_asked(name: str, pack: str) -> None:
    reading = read(f"{TWO}\n{name}|Mill|2026-03-01|{pack}|4")
    words = (
        f"{name} is no material, and {pack} stands beside it as its pack. Leave this row out, or say more in its name, "
        "where it is something that is bought."
    )
    assert sentences(reading) == [("A4", words)]
    named = read(f"{TWO}\n{name}|Mill|2026-03-01|100 pcs|4", fixes={"s0_r4_c0": f"{name} cards"})
    assert names(named)[-1] == f"{name} cards"


def test_what_is_said_of_freight_is_written_as_the_workshop_writes_it() -> None:
    def number(value: Decimal) -> str:
        return str(value).replace(".", ",")

    def money(value: Decimal, currency: str) -> str:
        return f"{value:.2f} {currency}".replace(".", ",")

    written = Written(number, money, lambda day: f"{day:%d.%m.%Y}")

    def told(text: str, prices: str = "", freight: str = "") -> OwnReading:
        sheet = {0: OfSheet(freight=freight)}
        return read(
            text, how=How(written=written), told=Told(sign=".", written=written), prices=prices, of_sheets=sheet
        )

    row = told(f"{TWO}\nShipping||||6.50")
    said = "the freight of the order of Mill of 01.03.2026, 6,50 EUR, shared over its 2 lines by value"
    assert passed(row) == [(4, said)]
    text = f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|10|2.50\nOil|Mill|2026-03-01|1 kg|10|1.25"
    first = "2,5 + 1,25 = 3,75 is the freight of this order of 01.03.2026, shared over its 2 lines by value."
    assert remarks(told(text))[0] == [first]
    listed = told(text, prices=LIST)
    assert any("Its freight, 2,5, is not taken" in one for one in remarks(listed)[0])
    chosen = told(text, freight="none")
    assert remarks(chosen)[0][0] == "Its freight, 2,5, is not counted, as was chosen."


@pytest.mark.parametrize(
    "name",
    ["Petrol to co-op", "Petrol", "Fuel", "Diesel", "Taxi", "Uber", "Matatu", "Boda boda", "Bakkie hire",
     "Collection fee", "Packing fee", "Bank charges", "Clearing & customs", "Transport to Nairobi",
     "Porto & Verpackung", "Versandkostenpauschale", "Paket", "Mindermengenzuschlag", "Delivery fee"],
)  # fmt: skip
def test_what_is_paid_to_bring_an_order_is_its_freight(name: str) -> None:
    """6.00 over 30.00 and 10.00: 34.50 for 5 kg and 11.50 for 1 kg."""
    for pack in ("", "1 trip"):
        reading = read(f"{TWO}\n{name}|Mill|2026-03-01|{pack}|6.00")
        assert charges(reading) == [(Charge("freight", D(6)),)], sentences(reading)
        assert near(costs(reading)["Shea butter"], F("34.50") / 5000)


@pytest.mark.parametrize("name", ["Petrol ether", "Fuel bottle", "Taxi labels", "Paketband", "Bank stickers"])
def test_a_name_that_only_begins_like_an_errand_is_a_material(name: str) -> None:
    assert names(read(f"{TWO}\n{name}|Mill|2026-03-01|10 pcs|4"))[-1] == name


@pytest.mark.parametrize("said", ["cost of this order", "Cost of this order", "freight"])
def test_what_has_a_price_and_no_pack_may_be_said_to_be_a_cost_of_its_order(said: str) -> None:
    """4.00 over 30.00 and 10.00: 33.00 for 5 kg and 11.00 for 1 kg."""
    text = f"{TWO}\nPorter at the gate|Mill|2026-03-01||4"
    words = "Say how much this price is for, such as 1 kg. Where it is no material, such as a fare, say "
    assert sentences(read(text)) == [("D4", f"{words}“cost of this order”.")]
    reading = read(text, fixes={"s0_r4_c3": said})
    assert reading.good, sentences(reading)
    assert charges(reading) == [(Charge("freight", D(4)),)]
    assert near(costs(reading)["Shea butter"], F(33, 5000))
    assert near(costs(reading)["Wax"], F(11, 1000))


@pytest.mark.parametrize("name", ["Receipt total", "Total", "Basket total"])
def test_a_row_that_is_named_a_total_is_no_material_wherever_its_name_stands(name: str) -> None:
    reading = read(f"{TWO}\n{name}|Mill|2026-03-01||40\nClay|Mill|2026-03-02|1 kg|4")
    assert reading.good, sentences(reading)
    assert names(reading) == ["Shea butter", "Wax", "Clay"]
    assert (4, "a total") in passed(reading)


def test_handling_is_freight_and_points_are_a_discount() -> None:
    """6 over 30 and 10: 4.50 and 1.50."""
    reading = read(f"{TWO}\nHandling|Mill|2026-03-01||6")
    assert reading.good, sentences(reading)
    assert names(reading) == ["Shea butter", "Wax"]
    assert near(costs(reading)["Shea butter"], F("34.5") / 5000)
    reading = read(f"{TWO}\nPoints used|Mill|2026-03-01||6")
    assert [one.choice for one in reading.wrong] == ["sheets-0-discount"]
    reading = read(f"{TWO}\nPoints used|Mill|2026-03-01||6", of_sheets={0: OfSheet(discount="off")})
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], F("25.5") / 5000)


SEVERAL = (
    "Date|Supplier|What|Pack|Paid\n2025-03-03|Mere|Shea butter|1kg|10.00\n2025-03-03|Mere|Cocoa butter|1kg|10.00\n"
    "2025-03-20|Hollow & Sons|Beeswax|1kg|10.00"
)


@pytest.mark.parametrize(
    "name",
    ["Delivery Mere", "Mere postage", "Postage - Mere", "Delivery (Mere)", "Postage: Mere", "Delivery from Mere",
     "Versand von Mere", "MERE shipping & handling", "Petrol to Mere", "Courier/Mere"],
)  # fmt: skip
def test_freight_with_a_supplier_in_its_name_is_of_the_nearest_order_of_that_one(name: str) -> None:
    """4.00 over 10.00 and 10.00: 12.00 a kg each; the order right above it has none."""
    for own in ("", "mere"):
        reading = read(f"{SEVERAL}\n|{own}|{name}||4.00")
        assert reading.good, sentences(reading)
        assert charges(reading) == [(Charge("freight", D(4)),), ()]
        assert near(costs(reading)["Shea butter"], F(12, 1000))
        assert near(costs(reading)["Beeswax"], F(10, 1000))


@pytest.mark.parametrize("name", ["Delivery Hollow & Sons", "Hollow delivery", "Postage Hollow &"])
def test_a_supplier_may_be_named_by_its_first_words(name: str) -> None:
    more = f"{SEVERAL}\n2025-03-21|Mere|Clay|1kg|10.00\n||{name}||4.00"
    assert charges(read(more)) == [(), (Charge("freight", D(4)),), ()]
    two = f"{SEVERAL}\n2025-03-21|Hollow Mill|Clay|1kg|10.00\n||Hollow delivery||4.00"
    assert [at for at, _ in sentences(read(two))] == ["D6"]


def test_a_name_of_freight_and_a_supplier_beside_another_supplier_or_a_pack_is_asked_or_a_material() -> None:
    reading = read(f"{SEVERAL}\n2025-03-20|Hollow & Sons|Delivery Mere||4.00")
    words = "Delivery Mere names Mere, and Hollow & Sons stands beside it. Correct one of them, or leave this row out."
    assert sentences(reading) == [("C5", words)]
    packed = read(f"{SEVERAL}\n2025-03-20|Mere|Delivery Mere|20 pcs|4.00")
    assert names(packed)[-1] == "Delivery Mere"
    listed = read("Item|Pack|Price\nWax|1 kg|10\nDelivery Mere||4")
    assert [at for at, _ in sentences(listed)] == ["B3"]


def test_a_discount_with_a_supplier_in_its_name_is_of_that_one() -> None:
    """2.00 of 20.00: 9.00 a kg each."""
    reading = read(f"{SEVERAL}\n||Refund Mere||-2.00", of_sheets={0: OfSheet(discount="off")})
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], F(9, 1000))
    assert near(costs(reading)["Beeswax"], F(10, 1000))
