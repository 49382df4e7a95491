"""How many things a maker's own sheets hold, save and leave, in words."""

from __future__ import annotations

from tests.costing.own.test_products import LIST as SOLD_LIST
from tests.costing.own.test_products import SELLING, SUM
from tests.costing.own.test_sheets import PRICES, read, stored
from webapp.costing.own.counted import counted, kept_as_they_are, saved, understood
from webapp.costing.own.prices import LIST, How

BALM = "Formula | Ingredient | %\nBalm | Shea butter | 60\nBalm | Beeswax | 40"


def test_a_material_that_stands_twice_is_one_and_what_is_new_without_a_price_is_saved_too() -> None:
    paid = "Item|Supplier|Date|Pack|Paid\nWax|Mill|2026-03-01|1 kg|8\nWax|Mill|2026-04-01|1 kg|9"
    reading = read(paid, "Formula | Ingredient | %\nBalm | Wax | 60\nBalm | Tallow | 40")
    assert understood(reading) == "1 material and 1 formula"
    assert saved(reading) == "2 materials and 1 formula"


def test_what_stands_in_the_book_as_it_is_is_counted_apart() -> None:
    book = stored(read(PRICES, BALM))
    again = read(PRICES, f"{BALM}\nSalve | Shea butter | 100", book=book)
    assert (saved(again), kept_as_they_are(again)) == ("1 formula", "3 materials and 1 formula")
    same = read(PRICES, BALM, book=book)
    assert (saved(same), kept_as_they_are(same)) == ("", "3 materials and 1 formula")


def test_a_price_alone_counts_for_its_material_or_product() -> None:
    text = "Item|Supplier|Pack|Price\nWax|Mill|1 kg|8"
    book = stored(read(text))
    dearer = read(text.replace("|8", "|9"), book=book, how=How(prices=LIST))
    assert saved(dearer) == "1 material"
    bought = read("Item|Supplier|Date|Pack|Paid\nWax|Mill|2026-03-01|1 kg|8", book=book)
    assert saved(bought) == "1 material"


def test_a_price_of_a_product_that_the_book_has_is_saved_of_it() -> None:
    first = read(PRICES, SUM, SOLD_LIST, book=SELLING)
    assert saved(first) == "3 materials, 1 formula and 3 products"
    dearer = read(PRICES, SUM, SOLD_LIST.replace("14.00", "15.00"), book=stored(first, SELLING))
    assert (saved(dearer), kept_as_they_are(dearer)) == ("1 product", "3 materials, 1 formula and 2 products")


def test_words_of_counts() -> None:
    assert counted((0, 0, 0)) == ""
    assert counted((0, 0, 0), always=True) == "0 materials and 0 formulas"
    assert counted((2, 1, 3)) == "2 materials, 1 formula and 3 products"
