"""A maker's own list of products: filling, price on a channel. Costs are worked out here in fractions."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, EMPTY, LB, PRICES, near, read, sentences, stored, table
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.gaps import Gap
from webapp.costing.own.columns import FORMULAS, MATERIALS, PRODUCTS, Layout
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.prices import NEW, How
from webapp.costing.own.products import ONLY_FILLED
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import mark_of
from webapp.costing.own.told import Told

F, D = Fraction, Decimal
STALL = b.Channel(51, "Saturday stall", DAY)
SELLING = replace(EMPTY, channels={51: STALL})
SUM = "Formula|Ingredient|%|Batch\nFirm pomade|Shea butter|40|1 kg\nFirm pomade|Beeswax|60|"
LIST = """
Product | Formula | Net weight | Retail price
Firm pomade tin | Firm pomade | 50 g | 14.00
 | Firm pomade | 4 oz | 22.50
Firm pomade | | 10 g |
"""


def records(reading: OwnReading, kind: type) -> list[object]:
    return [record for one in reading.changes if isinstance(record := getattr(one, "record", None), kind)]


def test_a_list_of_products_becomes_fillings_and_prices_on_the_only_channel() -> None:
    reading = read(PRICES, SUM, LIST, book=SELLING)
    assert reading.good, sentences(reading)
    assert reading.layouts[2].roles == ("name", "formula", "size", "price")
    assert [(one.head, one.channel) for one in reading.selling] == [("Retail price", 51)]
    gram = F(41, 5000) * F(40, 100) + F(9) / LB * F(60, 100)
    tin, jar, tester = reading.products
    assert near(tin.ingredients, gram * 50)  # a batch of 1 kg is 20 jars, nothing left
    assert jar.said.row.size == D("113.398093")  # 4 x 28.349523125 = 113.3980925, half-up to six places
    assert jar.said.name == "Firm pomade, 113.398093 g"
    assert [one.said.prices for one in reading.products] == [{51: D(14)}, {51: D("22.5")}, {}]
    assert tester.said.remarks == [ONLY_FILLED, "No price here: it has none until one is entered."]
    assert reading.after is not None
    products = {one.name: one for one in reading.after.products.values()}
    formula = next(one.id for one in reading.after.formulas.values())
    assert products["Firm pomade tin"].fills == (b.Fill(formula, D(50), "g"),)
    assert {(one.channel, one.since, one.amount) for one in reading.after.prices.values()} == {
        (51, DAY, D(14)), (51, DAY, D("22.5")),
    }  # fmt: skip


def test_without_a_channel_no_price_is_kept_and_with_several_one_is_chosen() -> None:
    nowhere = read(PRICES, SUM, LIST)
    assert nowhere.good
    assert records(nowhere, b.Price) == []
    assert any("there is no channel yet" in one for one in nowhere.products[0].said.remarks)
    both = replace(SELLING, channels={51: STALL, 52: b.Channel(52, "Shops", DAY, "wholesale")})
    bare = LIST.replace("Retail price", "Price")
    asked = read(PRICES, SUM, bare, book=both)
    assert {(one.cell, one.choice) for one in asked.wrong} == {("D2", "sold-s2_c3"), ("D3", "sold-s2_c3")}
    assert "sold-s2_c3" in asked.asks
    chosen = read(PRICES, SUM, bare, book=both, how=How(channels={"s2_c3": "shops"}))
    assert chosen.good
    assert {one.channel for one in records(chosen, b.Price)} == {52}  # type: ignore[attr-defined]
    chosen = read(PRICES, SUM, LIST, book=both, how=How(channel="shops"))
    assert chosen.good
    assert {one.channel for one in records(chosen, b.Price)} == {52}  # type: ignore[attr-defined]
    away = replace(both, channels={**both.channels, 51: replace(STALL, retired=DAY)})
    assert [one.channel for one in read(PRICES, SUM, bare, book=away).selling] == [52]
    assert [one.channel for one in read(PRICES, SUM, LIST, book=away).selling] == [None]  # no shop is retail
    unknown = read(PRICES, SUM, LIST, book=SELLING, how=How(channel="Fair"))
    assert {one.choice for one in unknown.wrong} == {"sold-s2_c3"}


def test_a_second_time_only_what_is_new_is_changed() -> None:
    held = replace(stored(read(PRICES, SUM, LIST)), channels={51: STALL})
    first = read(LIST, book=held)
    assert records(first, b.Product) == []
    assert [one.amount for one in records(first, b.Price)] == [D(14), D("22.5")]  # type: ignore[attr-defined]
    assert first.after is not None
    again = read(LIST, book=first.after)
    assert again.says_nothing_new
    assert "This is its price there already." in again.products[0].said.remarks
    assert "The book has it already: what is in it stays." in again.products[0].said.remarks


@pytest.mark.parametrize(
    ("row", "cell", "words"),
    [
        ("Tin|Shea butter|50 g|14", "B2", "No formula is called Shea butter. Name the one that is in it"),
        ("||50 g|14", "A2", "Name the product"),
        ("Tin|Firm pomade||14", "C2", "Say how much is in it"),
        ("Tin|Firm pomade|2 pcs|14", "C2", "a jar holds grams or millilitres"),
        ("Tin|Firm pomade|0 g|14", "C2", "0 g"),
        ("Tin|Firm pomade|50 g|14 USD", "D2", "This price is in USD, and prices are set in EUR"),
        ("Tin|Firm pomade|50 g|cheap", "D2", "cheap is no number"),
        ("Tin|Firm pomade|50 g|14.005", "A2", "An amount in EUR has two decimals"),
        ("Tin|Firm pomade|50 g|14\nTIN|Firm pomade|60 g|15", "A3", "TIN stands here twice"),
        ("x" * 121 + "|Firm pomade|50 g|14", "A2", "120"),
    ],
)
def test_what_is_wrong_is_said_at_its_cell(row: str, cell: str, words: str) -> None:
    reading = read(PRICES, SUM, f"Product|Formula|Size|Price\n{row}", book=SELLING)
    assert [(at, words in said) for at, said in sentences(reading)] == [(cell, True)], sentences(reading)
    assert not reading.good
    assert reading.products == () or reading.products[-1].ingredients is None


def test_a_content_without_its_unit_is_asked_for_once_and_a_head_or_a_column_may_say_it() -> None:
    text = "Product|Formula|Size|Price\nTin|Firm pomade|50|14"
    assert [one.choice for one in read(PRICES, SUM, text, book=SELLING).wrong] == ["sheets-2-unit"]
    assert read(PRICES, SUM, text, book=SELLING, told=Told(unit="g")).good
    assert read(PRICES, SUM, text.replace("Size", "Size (g)"), book=SELLING).good
    beside = read(PRICES, SUM, "Product|Formula|Size|Unit|Price\nTin|Firm pomade|50|mL|14", book=SELLING)
    assert beside.good
    (tin,) = beside.products
    assert (tin.said.row.size, tin.said.row.unit) == (D(50), "mL")
    assert isinstance(tin.ingredients, Gap)  # no density: how much mass a mL is is not known, and not zero


def test_ounces_of_contents_are_asked_for_once_unless_they_say_that_they_weigh() -> None:
    """4 oz weigh 4 x 28.349523125 g; 4 US fl oz are 4 x 29.5735295625 mL, imperial ones 4 x 28.4130625 mL."""
    text = "Product|Formula|Size|Price\nTin|Firm pomade|4 oz|14\nPot|Firm pomade|8oz|20"
    asked = read(PRICES, SUM, text, book=SELLING)
    assert [(one.cell, one.choice) for one in asked.wrong] == [("C2", "ounces"), ("C3", "ounces")]
    found = {}
    for ounces in ("weight", "US", "imp"):
        reading = read(PRICES, SUM, text, book=SELLING, ounces=ounces)
        assert reading.good, sentences(reading)
        assert "ounces" in reading.asks
        found[ounces] = (reading.products[0].said.row.size, reading.products[0].said.row.unit)
    assert found == {"weight": (D("113.398093"), "g"), "US": (D("118.294118"), "mL"), "imp": (D("113.65225"), "mL")}
    plain = read(
        PRICES, SUM, text.replace("4 oz", "4 fl oz").replace("8oz", "8 oz wt."), book=SELLING, told=Told(system="US")
    )
    assert plain.good, sentences(plain)
    assert [one.said.row.unit for one in plain.products] == ["mL", "g"]


def test_what_a_jar_costs_without_a_batch_is_not_known_with_its_reason() -> None:
    reading = read(PRICES, SUM.replace("1 kg", ""), LIST, book=SELLING)
    assert reading.good
    assert isinstance(reading.products[0].ingredients, Gap)
    assert "batch" in reading.products[0].ingredients.reason


def test_a_formula_that_is_wrong_keeps_its_products_waiting_without_another_fault() -> None:
    reading = read(PRICES, SUM.replace("60", "50"), LIST, book=SELLING)
    assert [(one.sheet, one.cell, one.choice[:5]) for one in reading.wrong] == [
        (1, "C2", "kind-"), (1, "C2", ""), (1, "C3", ""),
    ]  # fmt: skip
    assert [one.ingredients for one in reading.products] == [None, None, None]
    assert records(reading, b.Product) == []


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("Product|Formula|Size|Price\nTin|Balm|50 g|14", PRODUCTS),
        ("Recipe|Net weight|RRP\nBalm|50 g|14", PRODUCTS),
        ("Name|Content|Retail price (EUR)|Wholesale price\nTin|50 g|14|7", PRODUCTS),
        ("Product|Size|Price\nShea|5 kg|41", MATERIALS),
        ("Recipe|Ingredient|Percent|Price\nBalm|Shea|40|1", FORMULAS),
        ("Product|Ingredient|%\nBalm|Shea|100", FORMULAS),
        ("Product|Formula|Fill g|Ingredients \u20ac|Price|Margin %\nTin|Balm|50|1.40|12|80", PRODUCTS),
        ("Ingredient|Supplier|Pack|Retail price\nShea|Mill|1 kg|14", MATERIALS),
    ],
)
def test_what_is_guessed(text: str, holds: str) -> None:
    assert laid_out(table(text, "x")).holds == holds


def test_rows_that_say_nothing_of_a_product_are_passed_over() -> None:
    text = f"{LIST}Total| | |36.50\nProduct|Formula|Size|Retail price\nall prices with tax"
    reading = read(PRICES, SUM, text, book=SELLING)
    assert reading.good, sentences(reading)
    assert [one.what for one in reading.skipped] == ["a total", "heads once more", "words outside the columns"]
    assert isinstance(reading.after, Book)


def test_without_a_column_for_it_it_is_asked_which_formula_is_in_a_product() -> None:
    text = "Product|Size|Price\nCurl tin|50 g|14\nFirm pomade|100 g|20\nGift|50 g|9"
    sold = {2: Layout(PRODUCTS, 1, ("name", "size", "price"))}
    reading = read(PRICES, SUM, text, book=SELLING, layouts=sold)
    assert [(one.name, one.near, one.of) for one in reading.names] == [
        ("Curl tin", ("Firm pomade",), "formula"),
        ("Gift", ("Firm pomade",), "formula"),
    ]
    assert not reading.good
    assert sentences(reading) == []
    means = {mark_of("Curl tin"): "Firm pomade", mark_of("Gift"): NEW}
    chosen = read(PRICES, SUM, text, book=SELLING, layouts=sold, how=How(means=means))
    assert chosen.good, chosen.names
    made = [one.name for one in records(chosen, b.Product) if isinstance(one, b.Product)]
    assert made == ["Curl tin", "Firm pomade"]
    # 50 g of 40 % shea butter at 41 / 5000 a gram and 60 % beeswax at 9 / lb: a batch of 1 kg fills 20
    assert near(chosen.products[0].ingredients, 50 * (F("0.4") * F(41, 5000) + F("0.6") * F(9) / LB))
    assert chosen.products[2].said.remarks[0] == "Left out: no formula is in it."


def test_no_formula_at_all_is_wrong_at_the_product() -> None:
    reading = read(
        "Product|Size|Price\nCurl tin|50 g|14",
        book=SELLING,
        layouts={0: Layout(PRODUCTS, 1, ("name", "size", "price"))},
    )
    assert reading.names == ()
    assert [cell for cell, _ in sentences(reading)] == ["A2"]


def test_jars_that_bear_what_is_left_of_a_batch_say_so() -> None:
    """1000 g fill 2 jars of 340 g and leave 320 g, 32 %; 20 of 50 g leave nothing, 20 of 49 g leave 20 g, 2 %."""
    text = (
        "Product|Formula|Size\nPot|Firm pomade|340 g\nTin|Firm pomade|50 g\nJar|Firm pomade|49 g\nTub|Firm pomade|95 g"
    )
    pot, tin, jar, tub = read(PRICES, SUM, text, book=SELLING).products
    assert tub.fill is not None  # 10 of 95 g leave 50 g
    assert pot.fill is not None
    assert [pot.fill.filled, pot.fill.left_grams, pot.fill.batch_grams] == [D(2), D(320), D(1000)]
    assert tin.fill is jar.fill is None
    # all of the batch is borne by two
    assert near(pot.ingredients, 500 * (F("0.4") * F(41, 5000) + F("0.6") * F(9) / LB))


@pytest.mark.parametrize(
    ("row", "name", "of", "best"),
    [
        ("Tin|Firm pomad|50 g|14", "Firm pomad", "filling", "Firm pomade"),
        ("Tin|Salve|50 g|14", "Salve", "filling", ""),
        ("Tin||50 g|14", "Tin", "formula", ""),
        ("Firm pomade in a tin||50 g|14", "Firm pomade in a tin", "formula", "Firm pomade"),
    ],
)
def test_a_formula_that_nothing_is_called_is_asked_with_all_there_are_to_choose(
    row: str, name: str, of: str, best: str
) -> None:
    text = f"Product|Formula|Size|Price\n{row}"
    reading = read(PRICES, SUM, text, book=SELLING)
    (asked,) = reading.names
    assert (asked.name, asked.of, asked.best, sentences(reading)) == (name, of, best, [])
    assert asked.near[0] == "Firm pomade"
    told = read(PRICES, SUM, text, book=SELLING, how=How(means={asked.mark: "Firm pomade"}))
    assert told.good, sentences(told)
    assert len(records(told, b.Product)) == 1
    without = read(PRICES, SUM, text, book=SELLING, how=How(means={asked.mark: NEW}))
    assert without.good
    assert records(without, b.Product) == []


def test_of_two_formulas_in_a_name_the_one_with_all_its_words_is_likelier() -> None:
    formulas = "Formula|Ingredient|%\nShea|Shea butter|100\nWhipped Shea|Shea butter|100\nBalm|Shea butter|100"
    sold = "Product|Size|Price\nWhipped Shea, large|250 g|9\nShea balm|250 g|9"
    layout = Layout(PRODUCTS, 1, ("name", "size", "price"))
    reading = read(PRICES, formulas, sold, book=SELLING, layouts={2: layout})
    assert [(one.name, one.best) for one in reading.names] == [
        ("Whipped Shea, large", "Whipped Shea"),
        ("Shea balm", ""),
    ]


@pytest.mark.parametrize(
    ("heads", "row"),
    [
        ("Item|Recipe|Size|Container|Lid|Sticker|Price", "Tin|Firm pomade|50 g|Tin 60 ml|Lid 58|Round|15.90"),
        ("Product|Receptuur|Inhoud|Verpakking|Deksel|Etiket|Prijs incl. btw", "Tin|Firm pomade|50 g|T|L|E|15.90"),
        ("Item|Recipe|Size|Price", "Tin|Firm pomade|50 g|15.90"),
        ("Produkt|Rezept|Abf\u00fcllmenge|Beh\u00e4lter|Deckel|Etikett|VK Markt", "Tin|Firm pomade|50 g|T|D|E|15.90"),
        ("Product|Recipe|Fill in g|Container|Market price R", "Tin|Firm pomade|50|T|15.90"),
    ],
)
def test_a_recipe_beside_names_and_a_content_says_that_it_is_sold(heads: str, row: str) -> None:
    """They were read as ingredients at their selling price. 50 g of 40 % at 41 per 5 kg and 60 % at 9 per lb."""
    reading = read(PRICES, SUM, f"{heads}\n{row}", book=SELLING)
    assert reading.layouts[2].holds == PRODUCTS
    (tin,) = reading.products
    assert near(tin.ingredients, 50 * (F(41, 5000) * F(40, 100) + F(9) / LB * F(60, 100)))
    assert [one.amount for one in records(reading, b.Price)] == [D("15.9")]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("Item|Recipe|Pack|Price\nShea butter|Balm|1 kg|10", MATERIALS),
        ("Ingredient|Recipe|Size|Price\nShea butter|Balm|1 kg|10", MATERIALS),
        ("Recipe|Item|Amount|Unit\nBalm|Shea butter|50|g\nBalm|Wax|50|g", FORMULAS),
    ],
)
def test_a_recipe_beside_what_goes_into_it_does_not(text: str, holds: str) -> None:
    assert laid_out(table(text, "Sheet")).holds == holds


@pytest.mark.parametrize("head", ["Price excl. btw", "Preis netto"])
def test_a_selling_price_without_tax_is_left_out(head: str) -> None:
    assert laid_out(table(f"Product|Recipe|Fill|{head}\nTin|Balm|50 g|9")).roles == ("name", "formula", "size", "")


def test_where_no_column_is_the_content_it_is_asked_once_at_the_one_with_amounts() -> None:
    rows = "\n".join(f"Tin {one}|Firm pomade|x|50 g|T|{one}" for one in range(1, 5))
    text = f"Product|Recipe|Mark|In it|Container|Price\n{rows}"
    reading = read(PRICES, SUM, text, book=SELLING)
    assert reading.layouts[2].roles == ("name", "formula", "", "", "part", "price")
    words = "Sheet 3: No column is taken for the content of a jar. Choose the one that says how much is in it, or say "
    words += "that this sheet holds nothing that is wanted."
    assert {(one.choice, one.sentence) for one in reading.wrong} == {("sheets-2-columns-3", words)}
    roles = ("name", "formula", "", "size", "part", "price")
    assert read(PRICES, SUM, text, book=SELLING, layouts={2: Layout(PRODUCTS, 1, roles)}).good
