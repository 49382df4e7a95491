"""Columns of selling prices that channels, other places, or nothing but money head: taken, asked, or left out and said.

A gram of Butter is (600 x 10 + 400 x 20) / 1000 / 1000 = 0.014, so 100 g are 1.40.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_products import records
from tests.costing.own.test_sheets import DAY, EMPTY, near, read, sentences
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.own.columns import PRODUCTS, Layout
from webapp.costing.own.prices import How
from webapp.costing.own.reading import OwnReading

F, D = Fraction, Decimal
BOUGHT = """
Item | Pack | Price
Shea | 1 kg | 10
Mango | 1 kg | 20
Castor | 1 kg | 8
Sunflower | 1 kg | 4
Jar 100 | 100 pcs | 70
Lid 100 | 100 pcs | 20
Front label | 100 pcs | 9
"""
MIXED = """
Formula | Ingredient | Grams
Butter | Shea | 600
Butter | Mango | 400
Oil | Castor | 500
Oil | Sunflower | 500
"""
ANNA = b.Person(61, "Anna")
PLACES = {
    51: b.Channel(51, "Market", DAY, "stall"),
    52: b.Channel(52, "Shops", DAY, "wholesale"),
    53: b.Channel(53, "Online", DAY, "web shop"),
}
SOLD = replace(EMPTY, channels=PLACES, people={61: ANNA})


def sold(text: str, book: Book = SOLD, **choices: object) -> OwnReading:
    return read(BOUGHT, MIXED, text, book=book, **choices)


def prices(heads: str, row: str, book: Book = SOLD) -> tuple[dict[int, Decimal], list[tuple[str, str]]]:
    """The prices of a pot, by channel, and the cells at which a channel is asked."""
    reading = sold(f"Product|Formula|Fill g|Jar|{heads}\nPot|Butter|100|Jar 100|{row}", book)
    (pot,) = reading.products
    assert all("Choose the channel that these prices are for" in said for _, said in sentences(reading))
    return dict(pot.said.prices), [(one.cell, one.choice) for one in reading.wrong]


@pytest.mark.parametrize(
    ("heads", "row", "found"),
    [
        ("Market|Shops|Online", "12|6|13", {51: D(12), 52: D(6), 53: D(13)}),
        ("Market price|Trade price|Webshop price", "12|6|13", {51: D(12), 52: D(6), 53: D(13)}),
        ("Price Market (EUR)|Shop|Online \u20ac", "12|6|13", {51: D(12), 52: D(6), 53: D(13)}),
        ("Market stall|To shops|Website", "12|6|13", {51: D(12), 52: D(6), 53: D(13)}),
        ("Stall \u20ac|Shops incl. VAT|Price online", "12|6|13", {51: D(12), 52: D(6), 53: D(13)}),
        ("Price|pH|Stock|Colour (g)|Cost", "|5.5|40|2.5|6.50", {}),
    ],
)
def test_a_head_that_is_a_channels_name_says_whose_prices_stand_below(
    heads: str, row: str, found: dict[int, Decimal]
) -> None:
    assert prices(heads, row) == (found, [])


def test_places_that_are_no_channel_are_asked_each() -> None:
    found, asked = prices("Fair \u20ac|Salon \u20ac|Mum's cafe \u20ac", "12|6|13")
    assert (found, asked) == ({}, [("E2", "sold-s2_c4"), ("F2", "sold-s2_c5"), ("G2", "sold-s2_c6")])
    found, asked = prices("Stall \u20ac|Salons \u20ac|My shop \u20ac", "12|6|13")
    assert (found, asked) == ({51: D(12)}, [("F2", "sold-s2_c5"), ("G2", "sold-s2_c6")])
    more = {54: b.Channel(54, "Salon", DAY, "wholesale"), 55: b.Channel(55, "My shop", DAY, "web shop")}
    named = replace(SOLD, channels={**PLACES, **more})
    assert prices("Stall \u20ac|Salons \u20ac|My shop \u20ac", "12|6|13", named) == (
        {51: D(12), 54: D(6), 55: D(13)},
        [],
    )
    only = replace(SOLD, channels={51: PLACES[51]})
    assert prices("Salon \u20ac", "6", only) == ({}, [("E2", "sold-s2_c4")])
    for head in ("\u20ac", "Our price", "Price per jar", "Price each (\u20ac)"):  # no place: that of the only channel
        assert prices(head, "6", only) == ({51: D(6)}, [])
    assert prices("Market|Mum's cafe", "12.00|9.50", only) == ({51: D(12)}, [("F2", "sold-s2_c5")])


def test_a_shops_price_is_none_to_shops() -> None:
    """What shops take of their customers; but Shops is a channel, and a plural of it, too."""
    assert prices("Shop price", "12", replace(SOLD, channels={52: PLACES[52]})) == ({}, [("E2", "sold-s2_c4")])


def test_a_place_that_is_asked_is_chosen_or_left_out() -> None:
    text = "Product|Formula|Fill g|Jar|Market|Salon \u20ac\nPot|Butter|100|Jar 100|12|6"
    chosen = sold(text, how=How(channels={"s2_c5": "Shops"}))
    assert chosen.good, sentences(chosen)
    assert chosen.products[0].said.prices == {51: D(12), 52: D(6)}
    assert {one.amount for one in records(chosen, b.Price) if isinstance(one, b.Price)} == {D(12), D(6)}
    left = sold(text, layouts={2: Layout(PRODUCTS, 1, ("name", "formula", "size", "part", "price", ""))})
    assert left.good
    assert left.products[0].said.prices == {51: D(12)}
    assert near(left.products[0].ingredients, F("1.40"))


@pytest.mark.parametrize(
    ("head", "cell"),
    [
        ("Cost", "2.10"),
        ("Profit \u20ac", "4"),
        ("Price/100 g", "9"),
        ("Price excl. VAT", "10"),
        ("Lid \u20ac", "0.20"),  # not a part that is called so
    ],
)
def test_money_that_is_no_selling_price_is_left_out_and_said(head: str, cell: str) -> None:
    text = f"Product|Formula|Fill g|Jar|Market|{head}\nPot|Butter|100|Jar 100|12|{cell}\nTop|Butter|50|Jar 100|9|-"
    reading = sold(text)
    assert reading.good, sentences(reading)
    said = f"Column F ({head}) is left out: by the head it is no selling price."
    assert reading.tables[2].remarks == (said,)
    two = sold(text.replace(f"{head}\n", f"{head}|Fees\n").replace(f"{cell}\n", f"{cell}|1.5\n"))
    assert two.tables[2].remarks == (f"Columns F ({head}), G (Fees) are left out: by the head it is no selling price.",)


def test_a_cost_far_from_the_prices_is_said_too() -> None:
    reading = sold("Product|Formula|Fill g|Market|No|Profit\nPot|Butter|100|12|7|9.90")
    assert reading.tables[2].remarks == ("Column F (Profit) is left out: by the head it is no selling price.",)


def test_whole_numbers_beside_prices_are_said_to_be_left_out() -> None:
    """A number may be a price; of a stock nobody asks."""
    reading = sold("Product|Formula|Fill g|Market|Mum's cafe|Stock\nPot|Butter|100|12|10|40")
    assert reading.good
    said = "Column E (Mum's cafe) is left out. If prices stand there, choose that."
    assert reading.tables[2].remarks == (said,)
    assert sold("Product|Formula|Fill g|Market|Stock\nPot|Butter|100|12|40").tables[2].remarks == ()


def test_a_column_that_was_left_out_before_its_channel_was_there_is_said() -> None:
    text = "Product|Formula|Fill g|Market|Salon\nPot|Butter|100|12|6"
    roles = Layout(PRODUCTS, 1, ("name", "formula", "size", "price"))
    assert sold(text, layouts={2: roles}).tables[2].remarks == ()
    more = replace(SOLD, channels={**PLACES, 54: b.Channel(54, "Salons", DAY, "wholesale")})
    assert sold(text, more, layouts={2: roles}).tables[2].remarks == (
        "Column E (Salon) is left out, though a channel is called so.",
    )
    assert sold(text, more).products[0].said.prices == {51: D(12), 54: D(6)}
