"""Freight of a maker's own sheet: a charge of its order, shared by value. Figures from fractions on paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored, table
from webapp.costing import book as b
from webapp.costing.book import Charge
from webapp.costing.changes import Put
from webapp.costing.own.columns import MATERIALS, Layout, role_of
from webapp.costing.own.freight import speaks_of_freight
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.price_heads import tax_said
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet

F, D = Fraction, Decimal
HEADS = "Item|Supplier|Date|Pack|Price"


def charges(reading: OwnReading) -> list[tuple[Charge, ...]]:
    orders = [one.record for one in reading.changes if isinstance(one, Put) and isinstance(one.record, b.Order)]
    return [order.charges for order in orders]


def remarks(reading: OwnReading) -> list[list[str]]:
    return [one.said.remarks for one in reading.materials]


@pytest.mark.parametrize(
    "head",
    ["Versand", "Versandkosten", "Versand je Bestellung", "Versandkosten netto", "Porto", "Fracht", "Frachtkosten",
     "Lieferkosten", "Shipping", "Shipping (€)", "Shipping cost", "Shipping & handling", "Freight", "Freight per order",
     "Freight GBP", "Postage", "Postage and packing", "P&P", "Delivery", "Delivery charge", "Carriage", "Frais de port",
     "Frais de livraison", "Port", "Port HT", "Port par commande", "Gastos de envío", "Spedizione", "Cost of shipping",
     "Order shipping", "Total freight", "Ship", "Post", "Post & packing", "S&H"],
)  # fmt: skip
def test_heads_that_are_freight(head: str) -> None:
    assert role_of(head, MATERIALS) == "freight"
    assert not speaks_of_freight(head)


@pytest.mark.parametrize(
    ("head", "speaks"),
    [
        ("Total incl. shipping", True), ("Price with delivery", True), ("Preis inkl. Versand", True),
        ("Shipping per item", True), ("Total TTC port compris", True), ("Shipping €/kg", True),
        ("Delivery date", False), ("Versanddatum", False),
        ("Shipping weight", False), ("Shipping weight kg", False), ("Shipped", False), ("Report", False),
        ("Total", False),
        ("Delivered with", False), ("Delivery note no", False), ("Delivery time per order", False),
    ],
)  # fmt: skip
def test_heads_that_speak_of_freight_among_other_things(head: str, speaks: bool) -> None:
    assert role_of(head, MATERIALS) != "freight"
    assert speaks_of_freight(head) is speaks


def test_including_freight_says_nothing_of_tax() -> None:
    said = [tax_said(head) for head in ("Price incl. shipping", "Total excl. freight", "Price incl", "Price excl. VAT")]
    assert said == ["", "", "in", "out"]


def test_freight_in_one_row_of_an_order_is_shared_over_it_by_value() -> None:
    """6.00 over 30.00 and 10.00: 4.50 and 1.50, so that 5 kg cost 34.50 and 1 kg 11.50; the other order has none."""
    text = (
        f"{HEADS}|Shipping\nShea butter|Mill|2026-03-01|5 kg|30|6\nWax|Mill|2026-03-01|1 kg|10|\n"
        "Clay|Mill|2026-03-02|1 kg|4|"
    )
    reading = read(text)
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert charges(reading) == [(Charge("freight", D(6)),), ()]
    found = costs(reading)
    assert near(found["Shea butter"], F("34.50") / 5000)
    assert near(found["Wax"], F("11.50") / 1000)
    assert near(found["Clay"], F(4, 1000))
    first = "6 is the freight of this order of 2026-03-01, shared over its 2 lines by value."
    assert remarks(reading) == [[first], [], []]


def test_one_amount_in_all_rows_of_an_order_is_its_freight_once() -> None:
    text = f"{HEADS}|Porto\nShea butter|Mill|2026-03-01|5 kg|30|6\nWax|Mill|2026-03-01|1 kg|10|6.00"
    reading = read(text)
    assert charges(reading) == [(Charge("freight", D(6)),)]
    assert near(costs(reading)["Wax"], F("11.50") / 1000)
    first = "6 is, once, the freight of this order of 2026-03-01, shared over its 2 lines by value."
    assert remarks(reading)[0] == [first]


def test_other_amounts_in_each_row_of_an_order_are_its_freight_together() -> None:
    """4 and 4 and 2 are 10.00, over 30.00 and 10.00 and 10.00: 6.00 and 2.00 and 2.00."""
    text = (
        f"{HEADS}|Freight\nShea butter|Mill|2026-03-01|5 kg|30|4\nWax|Mill|2026-03-01|1 kg|10|4\n"
        "Oil|Mill|2026-03-01|1 kg|10|2"
    )
    reading = read(text)
    assert charges(reading) == [(Charge("freight", D(10)),)]
    assert near(costs(reading)["Oil"], F(12, 1000))
    first = "4 + 4 + 2 = 10 is the freight of this order of 2026-03-01, shared over its 3 lines by value."
    assert remarks(reading)[0] == [first]


def test_freight_of_an_order_of_one_line_is_all_of_that_line() -> None:
    reading = read(f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|10|2.50")
    assert near(costs(reading)["Wax"], F("12.50") / 1000)
    assert remarks(reading) == [["2.5 is the freight of this order of 2026-03-01."]]


@pytest.mark.parametrize("text", ["", "free", "Frei", "0", "-"])
def test_no_freight_is_none(text: str) -> None:
    reading = read(f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|10|{text}\nOil|Mill|2026-03-02|1 kg|8|2")
    assert charges(reading) == [(), (Charge("freight", D(2)),)]


def test_freight_in_another_currency_than_its_order_is_that_of_home_or_wrong() -> None:
    """8.00 GBP at 1.25 are 10.00, and 2.50 of home money come on top; dollars belong to neither."""
    text = f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|£8|2.50 €"
    how = How(rates={"GBP": D("1.25")})
    reading = read(text, how=how)
    assert charges(reading) == [(Charge("freight", D("2.5"), "home"),)]
    assert near(costs(reading)["Wax"], F("12.50") / 1000)
    assert remarks(reading) == [["2.5 EUR is the freight of this order of 2026-03-01."]]
    own = read(text.replace("2.50 €", "2"), how=how)
    assert charges(own) == [(Charge("freight", D(2)),)]
    wrong = read(text.replace("2.50 €", "$2"), how=how)
    assert [words for _, words in sentences(wrong)] == ["The freight is in USD and its order in GBP. Type it in GBP."]
    headed = read(text.replace("2.50 €", "2").replace("Freight", "Freight EUR"), how=how)
    assert charges(headed) == [(Charge("freight", D(2), "home"),)]


def test_freight_in_two_currencies_is_two_charges() -> None:
    text = f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|£8|2.50 €\nOil|Mill|2026-03-01|1 kg|£8|£2"
    reading = read(text, how=How(rates={"GBP": D("1.25")}))
    assert charges(reading) == [(Charge("freight", D("2.5"), "home"), Charge("freight", D(2)))]
    first = "2.5 EUR and 2 is the freight of this order of 2026-03-01, shared over its 2 lines by value."
    assert remarks(reading)[0] == [first]


def test_freight_for_one_of_something_is_wrong_at_its_cell() -> None:
    wrong = read(f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|8|2/kg")
    assert [cell for cell, _ in sentences(wrong)] == ["F2"]


def test_freight_in_a_row_without_a_price_is_that_of_its_order() -> None:
    text = f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg||2\nOil|Mill|2026-03-01|1 kg|8|\nClay|Mill|2026-03-03|1 kg||3"
    reading = read(text, prices=PAID)
    assert charges(reading) == [(Charge("freight", D(2)),)]
    assert near(costs(reading)["Oil"], F(10, 1000))
    assert remarks(reading)[2][1:] == ["Its freight is not taken: nothing of this order has a price."]


@pytest.mark.parametrize(
    ("prices", "row"), [(LIST, "Mill|2026-03-01"), (ABOUT, "Mill|2026-03-01"), (PAID, "Mill|"), (PAID, "|2026-03-01")]
)
def test_freight_of_what_is_no_order_is_said_not_to_be_taken(prices: str, row: str) -> None:
    reading = read(f"{HEADS}|Freight\nWax|{row}|1 kg|10|2.50", prices=prices)
    said = "Its freight, 2.5, is not taken: only what was paid, with supplier and day, is an order, and has freight."
    assert said in remarks(reading)[0]
    assert near(costs(reading)["Wax"], F(10, 1000))


def test_freight_of_an_order_that_the_book_has_is_not_entered_again() -> None:
    text = f"{HEADS}|Freight\nWax|Mill|2026-03-01|1 kg|10|2\nOil|Mill|2026-03-01|1 kg|8|2"
    book = stored(read(text))
    again = read(text, book=book)
    assert charges(again) == []
    assert remarks(again)[0][-1] == "Its freight is not entered again: the book has this order, or a part of it."
    more = read(f"{text}\nClay|Mill|2026-03-01|1 kg|4|2", book=book)
    assert charges(more) == [()]
    other = read(f"{text}\nClay|Mill|2026-03-01|1 kg|4|1", book=book)
    assert charges(other) == [(Charge("freight", D(1)),)]


ALONE = "Item|Supplier|Date|Pack|Shipping|Total\nWax|Mill|2026-03-01|1 kg|2|12"


def test_whether_a_total_holds_the_freight_beside_it_is_asked() -> None:
    """12.00 with the freight in it is 12 a kg, with 2.00 on top 14."""
    asked = read(ALONE)
    words = "Sheet 1: Is the freight of column E (Shipping) in column F (Total) already? Say it below."
    assert asked.faults == (("sheets-0-freight", words),)
    told = {way: read(ALONE, of_sheets={0: OfSheet(freight=way)}) for way in ("top", "in", "none")}
    assert [near(costs(told[way])["Wax"], F(each, 1000)) for way, each in (("top", 14), ("in", 12), ("none", 12))] == [
        True, True, True
    ]  # fmt: skip
    assert remarks(told["in"]) == [["Its freight, 2, is in its price already."]]
    assert remarks(told["none"]) == [["Its freight, 2, is not counted, as was chosen."]]


def test_a_total_that_is_the_packs_times_their_price_holds_no_freight() -> None:
    """2 x 5 = 10.00, and 2.00 on top: 6 for each of 1 kg."""
    text = "Item|Supplier|Date|Pack|Qty|Shipping|Unit price|Total\nWax|Mill|2026-03-01|1 kg|2|2|5|10"
    reading = read(text)
    assert reading.good, (reading.faults, sentences(reading))
    assert reading.layouts[0].place("price") == 7
    assert near(costs(reading)["Wax"], F(6, 1000))


def test_a_total_with_freight_that_is_left_out_is_asked_and_not_where_the_freight_is_known() -> None:
    text = "Item|Pack|Price|Total incl. shipping\nWax|1 kg|10|12"
    words = (
        "Sheet 1: Column D (Total incl. shipping) speaks of freight and is left out. Choose what it holds, or say "
        "below where the freight is."
    )
    assert read(text).faults == (("sheets-0-freight", words),)
    assert read(text, of_sheets={0: OfSheet(freight="none")}).good
    chosen = Layout(MATERIALS, 1, ("name", "pack", "", "price"))
    assert read(text, layouts={0: chosen}).faults == ()
    assert read("Item|Pack|Price|Shipping|Total incl. shipping\nWax|1 kg|10|2|12").faults == ()
    beside = read(
        "Item|Pack|Shipping|Total incl. shipping\nWax|1 kg|2|12",
        layouts={0: Layout(MATERIALS, 1, ("name", "pack", "freight", "price"))},
    )
    assert [field for field, _ in beside.faults] == ["sheets-0-freight"]
    assert read("Wax|1 kg|10", layouts={0: Layout(MATERIALS, 0, ("name", "pack", "price"))}).faults == ()


def test_days_and_names_below_a_head_of_delivery_are_no_freight() -> None:
    for cells, role in (("2026-03-01 2026-03-05", "day"), ("van post", "")):
        rows = "\n".join(f"{name}|1 kg|10|{cell}" for name, cell in zip(("Wax", "Oil"), cells.split(), strict=True))
        assert laid_out(table(f"Item|Pack|Price|Delivery\n{rows}")).place("freight") is None
        assert (laid_out(table(f"Item|Pack|Price|Delivery\n{rows}")).place("day") is not None) is (role == "day")
    rows = "Wax|1 kg|10|2,50 EUR\nOil|1 kg|10|free"
    assert laid_out(table(f"Item|Pack|Price|Delivery\n{rows}")).place("freight") == 3


def test_a_head_of_freight_names_no_formula() -> None:
    text = "Ingredient|Balm|Butter|Shipping\nWax|40 %|30 %|2\nOil|60 %|70 %|3"
    assert [one.said.rows.name for one in read(text).formulas] == ["Balm", "Butter"]
    assert EMPTY.orders == {}


def test_a_column_that_is_chosen_beyond_those_of_the_sheet_is_blank_and_nothing_fails() -> None:
    reading = read(
        "Item|Pack\nShea butter|1 kg", layouts={0: Layout(MATERIALS, 1, ("name", "pack", "price", "freight"))}
    )
    assert (reading.faults, remarks(reading)) == ((), [["No price here: it is not known until one is entered."]])


TRIP = "Trip|Date|Supplier|Item|Pack|Price\n1|2026-02-07|A|Shea|1 kg|100\n1|2026-02-07|B|Wax|1 kg|300"


@pytest.mark.parametrize(
    "taxi", ["1|2026-02-07||Transport||40", "1|2026-02-07|Taxi man|Transport||40", "|||Transport||40"]
)
def test_freight_of_a_trip_to_two_suppliers_is_asked_once_and_shared_by_value(taxi: str) -> None:
    """40 over 100 and 300 are 10 and 30: 110 and 330 a kg; of the one right above 340."""
    asked = read(f"{TRIP}\n{taxi}")
    (wrong,) = asked.wrong
    assert wrong.choice == "sheets-0-shared"
    words = "Is it shared by value over all orders of 2026-02-07, or is it that of B right above it? Choose it for this"
    assert words in wrong.sentence
    for told, shea, wax in (("day", F(110), F(330)), ("above", F(100), F(340)), ("none", F(100), F(300))):
        reading = read(f"{TRIP}\n{taxi}", of_sheets={0: OfSheet(shared=told)})
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Shea"], shea / 1000)
        assert near(costs(reading)["Wax"], wax / 1000)
    (said,) = read(f"{TRIP}\n{taxi}", of_sheets={0: OfSheet(shared="day")}).skipped
    assert said.what == "freight, 40 EUR, shared by value over the orders of 2026-02-07: A 10 EUR, B 30 EUR"


def test_freight_below_one_supplier_since_other_freight_or_a_gap_is_not_asked() -> None:
    for between in ("1|2026-02-07||Transport||5", "|||||"):
        text = "\n".join((*TRIP.split("\n")[:2], between, *TRIP.split("\n")[2:], "1|2026-02-07||Transport||40"))
        reading = read(text)
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Wax"], F(340, 1000))


def test_shares_of_freight_come_to_it_to_the_last_place() -> None:
    """10 over 1, 1 and 1 are 3.34, 3.33 and 3.33: a cent that is left goes to the largest remainder, else the first.

    An amount that its money does not have is refused, as in any order.
    """
    text = "Date|Supplier|Item|Pack|Price\n" + "".join(f"2026-02-07|{one}|{one} oil|1 kg|1\n" for one in "ABC")
    reading = read(f"{text}2026-02-07||Transport||10", of_sheets={0: OfSheet(shared="day")})
    assert [one.amount for (one,) in charges(reading)] == [D("3.34"), D("3.33"), D("3.33")]
    finer = read(f"{text}2026-02-07||Transport||12.3451", of_sheets={0: OfSheet(shared="day")})
    assert {said for _, said in sentences(finer)} == {
        "An amount in EUR has two decimals. Round it as the invoice does."
    }


def test_freight_of_one_of_several_numbered_orders_of_a_day_is_shared_over_them_and_said() -> None:
    """4 over 12 and 9 are 2.2857 and 1.7143."""
    text = "Date|Order no|Supplier|Item|Pack|Price\n2026-02-13|A1|Oak|Shea|1 kg|12\n2026-02-13|A2|Oak|Wax|1 kg|9"
    reading = read(f"{text}\n2026-02-13||Oak|Freight||4")
    assert [one.amount for (one,) in charges(reading)] == [D("2.29"), D("1.71")]
    (said,) = reading.skipped
    assert (
        said.what
        == "freight, 4 EUR, shared by value over the orders of 2026-02-13: Oak (A1) 2.29 EUR, Oak (A2) 1.71 EUR"
    )
    one = read(f"{text}\n2026-02-13|A1|Oak|Freight||4")
    assert charges(one) == [(Charge("freight", D(4)),), ()]


def test_freight_of_a_day_on_which_nothing_was_bought_is_asked_at_its_row() -> None:
    reading = read(f"{TRIP}\n2|2026-02-09|Taxi man|Transport||40")
    words = (
        "Freight, and nothing of an order of 2026-02-09 has a price. Correct its supplier or its day, or leave this row"
    )
    assert [said for _, said in sentences(reading)] == [f"{words} out."]
    assert read(f"{TRIP}\n2|2026-02-09|Taxi man|Transport||40", left_out=frozenset({"s0_r4"})).good


def test_where_lines_have_tax_freight_is_said_to_be_shared_before_it() -> None:
    """6 over 10 and 20 before 20 % and 0 %: 2 and 4, so 14.00 and 24.00 where tax is a cost."""
    text = "Date|Supplier|Item|Pack|Price ex VAT|VAT %\n2026-02-07|A|Shea|1 kg|10|20\n2026-02-07|A|Wax|1 kg|20|0"
    row = read(f"{text}\n2026-02-07|A|Transport||6|")
    assert "6 EUR, shared over its 2 lines by value before tax" in row.skipped[0].what
    assert near(costs(row)["Shea"], F(14, 1000))
    assert near(costs(row)["Wax"], F(24, 1000))
    trip = read(f"{text.replace('|A|Wax', '|B|Wax')}\n2026-02-07||Transport||6|", of_sheets={0: OfSheet(shared="day")})
    assert "shared by value before tax over the orders of 2026-02-07: A 2 EUR, B 4 EUR" in trip.skipped[0].what


@pytest.mark.parametrize("cell", ["frei Haus", " frei Haus", "Franko", "free delivery"])
def test_freight_that_is_free_in_words_is_none(cell: str) -> None:
    reading = read(f"{HEADS}|Versand\nShea|Mill|2026-03-01|1 kg|10|{cell}\nWax|Mill|2026-03-02|1 kg|10|2")
    assert reading.good, sentences(reading)
    assert charges(reading) == [(), (Charge("freight", D(2)),)]
