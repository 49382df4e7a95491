"""Notes of freight beside a price: an amount of it, or that it comes on top, is asked; what is free or inside not."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.freight_notes import freight_in, says_freight
from webapp.costing.own.told import OfSheet, Told

F = Fraction
HEADS = "Date|Supplier|What|Pack|No. of packs|Total|Notes"
POINT = Told(sign=".", days="day first")


@pytest.mark.parametrize(
    "note",
    [
        "+ 4.50 postage", "+\u00a34.50 postage", "postage 4.50", "Postage: 4,50", "P&P 4.50 on top", "4.50 carriage",
        "plus 2.40 delivery", "plus delivery", "plus 4.50 p&p", "p+p 3", "postage extra", "delivery charge is extra",
        "postage on top", "postage not included", "excl. delivery", "without postage", "zzgl. 4,90 Versand",
        "Versandkosten 4,90 \u20ac", "Porto 3,50", "frais de port 5,90", "frais d'exp\u00e9dition en sus", "port 5",
        "plus $12 shipping for the order", "5 postage for the order", "delivery was 6, split", "Post 3.20",
        "shipping & handling 7.50", "incl VAT, postage 4.50", "postage 4.50 incl VAT", "delivery paid 4.50",
        "free sample, + 2.40 postage", "courier KSh 1,200", "R120 courier", "postage 1.200,50",
        "doesn't include postage",
    ],
)  # fmt: skip
def test_freight_with_an_amount_or_on_top_is_asked(note: str) -> None:
    """37.00 for 500 labels are 0.074 each; with 4.50 of postage they were 0.083, left out without a word."""
    assert says_freight(note)
    text = f"{HEADS}\n10/02/2025|Fennimore|Labels|250 pieces|2|37.00|{note}\n10/02/2025|Fennimore|Lids|50 pcs|1|9|nice"
    asked = read(text, told=POINT)
    assert [(one.cell, one.choice.partition("-")[0]) for one in asked.wrong] == [("G2", "note")], sentences(asked)
    assert read(text, told=POINT, notes={"s0_r2": "as"}).good
    mended = read(text, told=POINT, fixes={"s0_r2_c5": "41.50"})
    assert mended.good
    assert costs(mended)["Labels"] == Decimal("0.083")


@pytest.mark.parametrize(
    "note",
    [
        "free delivery", "free delivery over 40", "delivery free over 40", "incl. postage", "inc p&p 4.50",
        "postage included", "postage 4.50 included", "postage 4.50 already in the price", "no postage",
        "carriage paid", "post free", "portofrei", "kein Porto", "incl. 4,90 Versand", "delivery next week",
        "delivery 12/3", "delivery 12 March", "next day delivery 12 March", "delivery in 3 days", "delivery 3-5 days",
        "48h delivery", "Lieferung 2 Wochen", "shipping weight 12 kg", "postage 0", "delivery 2 of 3",
        "2 shipping boxes", "delivery note 4417", "heavy duty", "port wine", "24mm transport cap", "import 12",
        "delivered 3 days late", "order no. 4417/3 delivery by van",
    ],
)  # fmt: skip
def test_freight_that_is_free_or_inside_and_days_and_counts_ask_nothing(note: str) -> None:
    assert not says_freight(note)
    assert read(f"{HEADS}\n10/02/2025|Fennimore|Labels|250 pieces|2|37.00|{note}", told=POINT).good


@pytest.mark.parametrize(
    ("note", "amount"),
    [
        ("plus $12 shipping for the order", "$12"), ("+ 4.50 postage", "4.50"), ("Postage: 4,50 \u20ac", "4,50 \u20ac"),
        ("4.50 eur postage", "4.50 EUR"), ("postage extra", ""), ("plus 4.50 p&p each", ""),
        ("p&p 4.50 if under 30", ""),
        ("incl. 4.50 postage", ""), ("+ 4.50 postage ex VAT", ""), ("old price, + 4.50 postage", ""),
    ],
)  # fmt: skip
def test_a_note_that_says_nothing_else_says_the_freight_of_an_order(note: str, amount: str) -> None:
    assert freight_in(note) == amount


LINES = (
    "Date|Supplier|Item|Pack|Price|Notes|Info\n10/02/2025|Mere|Shea|1 kg|30|plus 12 shipping for the order|\n"
    "10/02/2025|Mere|Wax|1 kg|10||\n10/02/2025|Mere|Gel|1 kg|20||"
)


def test_such_a_note_counts_as_the_freight_of_its_order_where_it_is_to() -> None:
    """12 over 60 is a fifth: 36, 12 and 24 a kg; as it was only the first line could be put right."""
    asked = read(LINES, told=POINT)
    assert asked.wrong[0].sentence.endswith("does it count: 12 is the freight of its order, for all of its lines?")
    plain = read(LINES, told=POINT, notes={"s0_r2": "as"})
    assert near(costs(plain)["Shea"], F(30, 1000))
    told = read(LINES, told=POINT, notes={"s0_r2": "so"})
    assert told.good, sentences(told)
    assert [near(costs(told)[name], F(cost, 1000)) for name, cost in (("Shea", 36), ("Wax", 12), ("Gel", 24))]
    assert "12 is the freight of this order of 2025-02-10, shared over its 3 lines by value." in (
        told.materials[0].said.remarks
    )
    inside = read(LINES, told=POINT, notes={"s0_r2": "so"}, of_sheets={0: OfSheet(freight="in")})
    assert near(costs(inside)["Shea"], F(36, 1000))


def test_freight_that_stands_at_each_line_counts_once_and_beside_another_note() -> None:
    """12 once over 60 is a fifth; and 30 with a fifth of tax and 12 of freight is 48."""
    same = "plus 12 shipping for the order"
    each = LINES.replace("10||", f"10|{same}|").replace("20||", f"20|{same}|")
    told = read(each, told=POINT, notes={f"s0_r{row}": "so" for row in (2, 3, 4)})
    assert near(costs(told)["Wax"], F(12, 1000))
    taxed = f"{LINES.partition('|10||')[0].rpartition(chr(10))[0]}+ VAT"
    both = read(taxed, told=POINT, notes={"s0_r2": "so"}, of_sheets={0: OfSheet(rate=Decimal(20))})
    assert both.good, sentences(both)
    assert near(costs(both)["Shea"], F(48, 1000))


@pytest.mark.parametrize(
    "text",
    [
        "Item|Pack|Price|Notes\nShea|1 kg|30|+ 4.50 postage",
        "Date|Supplier|Item|Pack|Price|Shipping|Notes\n10/02/2025|Mere|Shea|1 kg|30|3|+ 4.50 postage",
        "Date|Supplier|Item|Pack|Price|Notes\n10/02/2025|Mere|Shea|1 kg|30|+ $4.50 postage",
    ],
)
def test_without_an_order_beside_a_column_of_freight_or_in_another_currency_the_row_is_put_right(text: str) -> None:
    asked = read(text, told=POINT)
    assert asked.wrong[-1].sentence.endswith("Else correct the row, or leave it out.")


def test_beside_a_column_of_freight_that_says_none_in_its_row_a_note_may_say_it() -> None:
    """9.60 over 40 and 2 x 5 is 19.2 %: 47.68 and 5.96 a kg; 3 beside 14 is another order's."""
    text = (
        "Date|Supplier|Item|Qty|Pack|Price each|Shipping|Notes\n13/03/2026|Mere|Shea|1|1 kg|40||plus 9.60 shipping\n"
        "13/03/2026|Mere|Wax|2|1 kg|5||\n20/03/2026|Corn|Gel|1|1 kg|14|3|"
    )
    asked = read(text, told=POINT)
    assert asked.wrong[0].sentence.endswith("does it count: 9.60 is the freight of its order, for all of its lines?")
    told = read(text, told=POINT, notes={"s0_r2": "so"})
    assert told.good, sentences(told)
    expected = {"Shea": F("47.68"), "Wax": F("5.96"), "Gel": F(17)}
    assert all(near(costs(told)[name], cost / 1000) for name, cost in expected.items()), costs(told)
