"""What a price of a maker's own sheet is for: a pack, so much of something, or all packs that were bought."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, EMPTY, costs, near, read, sentences, stored
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import Put
from webapp.costing.own.columns import MATERIALS, Layout, OwnTable
from webapp.costing.own.money_rows import FOR_HOW_MUCH
from webapp.costing.own.prices import PAID, How, mark_of
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet, Told

F = Fraction
OZ = F("28.349523125")


def told(priced: str = "", unit: str = "") -> dict[int, OfSheet]:
    return {0: OfSheet(unit=unit, priced=priced)}


def lines(reading: OwnReading) -> list[tuple[Decimal, Decimal, str, Decimal | None]]:
    orders = [one.record for one in reading.changes if isinstance(one, Put) and isinstance(one.record, b.Order)]
    return [(line.packs, line.size, line.unit, line.price) for order in orders for line in order.lines]


def test_a_quantity_beside_a_unit_is_how_much_is_in_a_pack() -> None:
    """4.70 for 500 g is 9.40 a kg, not 4.70 a gram; 9 for 16 oz is 9 / 453.59237 g."""
    text = "Ingredient|Qty|Unit|Total cost\nShea butter|1|kg|14\nOlive oil|500|g|4.70\nWax|16|oz|9"
    reading = read(text)
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Shea butter"], F(14, 1000))
    assert near(found["Olive oil"], F("4.70") / 500)
    assert near(found["Wax"], F(9) / (16 * OZ))


@pytest.mark.parametrize("text", ["Qty|Price\nOlive oil|500 g|4.70", "Qty (g)|Price\nOlive oil|500|4.70"])
def test_a_quantity_with_its_unit_is_how_much_is_in_a_pack(text: str) -> None:
    assert near(costs(read(f"Ingredient|{text}"))["Olive oil"], F("4.70") / 500)


JARS = "Container|Qty|Cost\n4oz jar|24|26.40\n2oz tin|48|24.00"


def test_a_price_beside_a_number_of_packs_is_asked_for_once_and_never_taken() -> None:
    """26.40 for all 24 is 1.10 a jar, for one it is 26.40."""
    asked = read(JARS)
    assert not asked.good
    assert {one.choice for one in asked.wrong} == {"sheets-0-priced"}
    assert asked.wrong[0].sentence == (
        "Sheet 1, rows 2, 3: 24 and 26.40: is 26.4 EUR for one of them, or for all? Choose it for this sheet."
    )
    whole, each = (costs(read(JARS, of_sheets=told(way))) for way in ("all", "one"))
    assert (whole["4oz jar"], whole["2oz tin"]) == (Decimal("1.1"), Decimal("0.5"))
    assert (each["4oz jar"], each["2oz tin"]) == (Decimal("26.4"), Decimal(24))


SHEA = "Ingredient|Qty|Pack size|Price\nShea butter|3|5 kg|63\nOlive oil|1|500 g|4.70"


def test_a_price_beside_packs_and_their_size_is_for_one_or_for_all_of_them_as_is_said() -> None:
    """63 for three of 5 kg is 4.20 a kg, for one of them 12.60; one pack alone leaves nothing open."""
    asked = read(SHEA)
    assert [(one.cell, one.choice) for one in asked.wrong] == [("B2", "sheets-0-priced")]
    assert asked.wrong[0].sentence.startswith("Sheet 1, row 2: 3 and 63: is 63 EUR for one of them, or for all?")
    assert near(costs(read(SHEA, of_sheets=told("all")))["Shea butter"], F(63, 15_000))
    assert near(costs(read(SHEA, of_sheets=told("one")))["Shea butter"], F(63, 5000))
    assert near(costs(asked)["Olive oil"], F("4.70") / 500)


@pytest.mark.parametrize("blank", ["", "-", "n/a"])
def test_a_dash_for_a_pack_is_an_empty_cell(blank: str) -> None:
    """A price beside "n/a" was left out, and it was said that there is none."""
    reading = read(f"Item|Pack|Price\nTin|{blank}|0.5\nOlive oil|{blank}|3\nShea butter|1 kg|8")
    assert [(one.cell, one.sentence) for one in reading.wrong] == [
        ("B3", FOR_HOW_MUCH),
    ]
    assert costs(reading)["Tin"] == Decimal("0.5")


@pytest.mark.parametrize(("head", "cost"), [("Total paid", F(42, 3000)), ("Price each", F(42, 1000))])
def test_a_head_may_say_what_its_price_is_for(head: str, cost: F) -> None:
    reading = read(f"Ingredient|No. of packs|Pack size|{head}\nShea butter|3|1 kg|42")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], cost)


PAID_FOR = "Item|Supplier|Date|Qty|Pack|Total paid"


def test_what_was_paid_for_all_packs_is_kept_to_the_cent_on_the_order() -> None:
    """42 for three is 14.00 each; 10 for three is no price to four decimals, so they are one pack of 3 kg for 10."""
    text = f"{PAID_FOR}\nShea butter|Mill|2026-03-01|3|1 kg|42\nBeeswax|Mill|2026-03-01|3|1 kg|10"
    reading = read(text, prices=PAID)
    assert reading.good, sentences(reading)
    three, one = Decimal(3), Decimal(1)
    assert lines(reading) == [(three, one, "kg", Decimal(14)), (one, three, "kg", Decimal(10))]
    assert near(costs(reading)["Beeswax"], F(10, 3000))
    remarks = [one.said.remarks for one in reading.materials]
    assert remarks == [
        ["42 EUR for 3 packs makes 14 EUR for one."],
        ["3 packs for 10 EUR together: read as one of 3 kg."],
    ]
    assert isinstance(stored(reading), Book)


def test_packs_that_come_to_more_than_can_be_kept_are_wrong_at_their_number() -> None:
    reading = read(f"{PAID_FOR}\nShea butter|Mill|2026-03-01|7|9999999 kg|10")
    assert [cell for cell, _ in sentences(reading)] == ["D2"]


def test_a_unit_column_says_what_all_of_a_number_are() -> None:
    """Chosen as packs by hand: three packs of one kg for 42."""
    layout = Layout("materials", 1, ("name", "packs", "unit", "price"))
    reading = read("Item|Qty|Unit|Total\nShea butter|3|kg|42", layouts={0: layout})
    assert near(costs(reading)["Shea butter"], F(14, 1000))


def test_a_number_of_nothing_that_is_said_to_be_paid_for_together_asks_for_its_unit() -> None:
    text = "Ingredient|Qty|Total\nShea butter|500|4.70"
    asked = read(text)
    assert [(one.cell, one.choice) for one in asked.wrong] == [("B2", "sheets-0-unit")]
    assert near(costs(read(text, of_sheets=told(unit="g")))["Shea butter"], F("4.70") / 500)


def test_the_unit_of_bare_amounts_is_said_for_one_sheet_and_packaging_is_counted_in_pieces() -> None:
    """14 for 1000 g is 14.00 a kg; 22.50 for 50 jars is 0.45 each: one answer for both would be wrong for one."""
    oils, jars = "Ingredient|Pack|Price\nShea butter|1000|14\nOlive oil|500|4.70", "Item|Pack|Price\nAmber jar|50|22.5"
    asked = read(oils, jars)
    assert {one.choice for one in asked.wrong} == {"sheets-0-unit"}
    assert asked.wrong[0].sentence.startswith("Sheet 1, rows 2, 3: 1000 of what?")
    reading = read(oils, jars, of_sheets=told(unit="g"))
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], F(14, 1000))
    assert costs(reading)["Amber jar"] == Decimal("0.45")
    assert "No unit stands here, and it is packaging: counted in pieces." in reading.materials[-1].said.remarks
    assert read(oils, told=Told(unit="g")).good  # by JSON it can be said for all of them


@pytest.mark.parametrize(("registered", "cost", "words"), [
    (False, F(12, 1000), "12 EUR with tax counts, since tax is a cost here; 10 EUR is without it."),
    (True, F(10, 1000), "10 EUR without tax counts, since tax is reclaimed; 12 EUR is with it."),
])  # fmt: skip
def test_of_a_price_with_tax_and_one_without_that_counts_which_is_a_cost(registered: bool, cost: F, words: str) -> None:
    held = Book(day=DAY, terms=b.Terms(registered=registered))
    reading = read("Ingredient|Pack|Price ex VAT|Price inc VAT\nShea butter|1 kg|10|12", book=held)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], cost)
    assert words in reading.materials[0].said.remarks


@pytest.mark.parametrize("included", [False, True])
def test_a_column_that_a_person_says_is_without_tax_has_none_in_it_whatever_the_other_prices_have(
    included: bool,
) -> None:
    """12.00 a kg and 20 % of tax, which is a cost here, are 14.40; that no head says so takes nothing out of the 12."""
    layout = Layout(MATERIALS, 1, ("name", "pack", "net_price", "tax_rate"))
    text = "Ingredient|Pack|Cost|VAT\nShea butter|1 kg|12|20%"
    reading = read(
        text, book=Book(day=DAY, terms=b.Terms(registered=False)), layouts={0: layout}, how=How(tax_included=included)
    )
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], F("14.4") / 1000)


# --- a price for one kg beside a pack and its price

BESIDE = "Ingredient|Pack|Price|Price per kg\n"


def test_a_price_for_one_kg_that_contradicts_pack_and_price_is_said_with_both_figures() -> None:
    """19.25 for 5 kg is 3.85 a kg; the sheet says 4.20. 4.70 for 500 g is 9.40, which 9.4 says too."""
    reading = read(f"{BESIDE}Glycerin|5 kg|19.25|4.20\nOlive oil|500 g|4.70|9.4\nShea|3 kg|40|13.33\nWax|1 kg|14|14")
    assert near(costs(reading)["Glycerin"], F("19.25") / 5000)
    said = "19.25 EUR for 5 kg comes to 3.85 EUR for 1 kg, which counts; “Price per kg” says 4.2 EUR for 1 kg."
    assert [one.said.remarks for one in reading.materials][:1] == [[said]]
    assert not any("counts" in remark for one in reading.materials[1:] for remark in one.said.remarks)


def test_how_far_a_price_may_be_rounded_is_half_of_its_last_place_and_of_a_number_half_a_cent() -> None:
    """13.60 a kg is written as 14 by one who rounds; where numbers are exact, 14 is 14.00."""
    rows = (("Ingredient", "Pack", "Price", "Price per kg"), ("Shea", "5 kg", "68", "14"))
    for exact in (False, True):
        (one,) = read_own(EMPTY, [OwnTable("Prices", rows, exact)], Choices()).materials
        assert bool(one.said.remarks[:-1] or "14" in " ".join(one.said.remarks)) is exact


OILS = f"{BESIDE}Almond oil|1 US gallon|46|13.2086\nMarsh oil|5 L|38.50|8.37\nClay|1 kg|3|3\nJar|10 pcs|5|9"


def test_what_one_ml_weighs_follows_from_a_price_for_one_kg_where_that_is_wanted() -> None:
    """46 / 3785.411784 mL / 0.0132086 a g is 0.92 g/mL; 38.50 / 5000 / 0.00837 is 0.91995, kept as 0.92."""
    offered = read(OILS)
    assert offered.by_price == (("Almond oil", Decimal("0.92")), ("Marsh oil", Decimal("0.92")))
    assert not isinstance(costs(offered)["Marsh oil"], Decimal)
    taken = read(OILS, how=How(by_price=True))
    assert near(costs(taken)["Marsh oil"], F("38.50") / 5000 / F("0.92"))
    words = "Density 0.92 g/mL: it follows from the price for so much mass that stands in the maker's own sheet."
    assert words in taken.materials[1].said.remarks
    both = read(OILS, how=How(by_price=True, published=True))
    assert near(costs(both)["Marsh oil"], F("38.50") / 5000 / F("0.92"))
    assert not any("it follows" in one for one in both.materials[0].said.remarks)  # almond oil has a published one
    typed = read(OILS, how=How(by_price=True, densities={mark_of("Marsh oil"): Decimal("0.9")}))
    assert near(costs(typed)["Marsh oil"], F("38.50") / 5000 / F("0.9"))
    assert read(OILS, book=stored(taken), how=How(by_price=True)).by_price == ()


@pytest.mark.parametrize(
    "row",
    [
        "Oil|5 L|38.50|",
        "Oil|5 L|38.50|0",
        "Oil|5 L|0|8.37",
        "Oil|5 L|38.50|0.01",
        "Oil|5 L|38.50|USD 8.37",
        "Oil|1 gal|9|8",
    ],
)
def test_nothing_is_offered_where_nothing_follows(row: str) -> None:
    assert read(f"{BESIDE}{row}").by_price == ()


def test_a_price_for_one_of_what_is_not_known_says_nothing_beside_the_one_that_counts() -> None:
    for head in ("Unit price", "Price per gal", "Price per piece"):
        reading = read(f"Ingredient|Pack|Price|{head}\nShea|1 kg|14|9")
        assert reading.good, sentences(reading)
        assert reading.materials[0].said.remarks == []
    litres = read("Ingredient|Pack|Price|Price per L\nOil|5 L|40|9")
    assert "40 EUR for 5 L comes to 8 EUR for 1 L, which counts; “Price per L” says 9 EUR for 1 L." in (
        litres.materials[0].said.remarks
    )


def test_an_empty_pack_is_not_one_of_the_unit_that_its_head_or_a_choice_says() -> None:
    """14 for an unknown weight in grams was read as 14 a gram."""
    for text in ("Item|Weight (g)|Price\nShea||14", "Item|Pack|Price\nShea||14", "Item|Pack|Unit|Price\nShea||g|14"):
        asked = read(text, of_sheets=told(unit="g"))
        assert [(one.cell, one.sentence) for one in asked.wrong] == [("B2", FOR_HOW_MUCH)]
    jar = read("Item|Pack|Price\nAmber jar||0.45")
    assert costs(jar)["Amber jar"] == Decimal("0.45")


def test_a_price_for_one_of_nothing_is_asked_for_beside_a_pack() -> None:
    """A unit price of 4.70 beside 500 without a unit was 4.70 a gram, once grams were chosen."""
    asked = read("Item|Pack|Unit price\nShea|500|4.70", of_sheets=told(unit="g"))
    assert [(one.cell, one.choice) for one in asked.wrong] == [("C2", "sheets-0-each")]
    jars = read("Item|Kind|Pack|Unit price\nJar|packaging|50|0.45", of_sheets={0: OfSheet(each="one")})
    assert costs(jars)["Jar"] == Decimal("0.45")
    alone = read("Item|Unit price\nShea|9.40", of_sheets=told(unit="kg"))
    assert near(costs(alone)["Shea"], F("9.40") / 1000)


def test_a_cell_that_says_each_is_for_one_pack_whatever_its_head_says() -> None:
    """9.40 each for two of 500 g is 18.80 a kg."""
    for text in ("9.40 each", "9.40 ea", "9.40 ea."):
        reading = read(f"Item|Qty|Pack|Total\nShea|2|500 g|{text}", of_sheets=told("all"))
        assert near(costs(reading)["Shea"], F("9.40") / 500), sentences(reading)


def test_a_jar_among_ingredients_stays_pieces_whatever_their_unit() -> None:
    rows = (("Ingredient", "Pack", "Price"), ("Shea butter", "1000", "14"), ("Amber jar", "50", "22.5"))
    choices = Choices(of_sheets=told(unit="g"))
    reading = read_own(EMPTY, [OwnTable("Ingredients", rows)], choices)
    assert near(costs(reading)["Shea butter"], F(14, 1000))
    assert costs(reading)["Amber jar"] == Decimal("0.45")


def test_densities_that_all_come_to_the_same_are_not_offered() -> None:
    """Prices per kg that took one mL for one gram say nothing of what it weighs."""
    text = "Item|Pack|Price|Price per kg\nRose water|1 L|4|4\nOlive oil|1 L|9|{}"
    assert read(text.format("9")).by_price == ()
    assert [name for name, _ in read(text.format("9.9")).by_price] == ["Rose water", "Olive oil"]  # 0.9091
    # 28.349523125 g / 29.5735295625 mL = 0.9586: an ounce of weight for a fluid one
    ounces = "Item|Pack|Price|Price per oz\nRose water|8 oz (fluid)|4|0.50\nOlive oil|16 oz (fluid)|9|0.5625"
    assert read(ounces, told=Told(system="US")).by_price == ()
    assert [name for name, _ in read("Item|Pack|Price|Price per kg\nRose water|1 L|4|4").by_price] == ["Rose water"]


def test_what_a_rounded_pound_makes_of_a_price_is_no_word_worth() -> None:
    text = "Item|Pack|Price|Price per g\nSalt|1 lb|9.00|{}"
    assert read(text.format("0.02")).materials[0].said.remarks == []  # 9 / 453.59 = 0.019842: 0.8 %
    said = read(text.format("0.0196")).materials[0].said.remarks  # 1.2 %
    assert said == ["9 EUR for 1 lb comes to 0.0198 EUR for 1 g, which counts; “Price per g” says 0.0196 EUR for 1 g."]


def test_a_price_for_one_of_the_pack_itself_is_compared_without_a_sum() -> None:
    said = read("Item|Pack|Price|Price per kg\nWax|1 kg|46.2|7.6").materials[0].said.remarks
    assert said == ["46.2 EUR for 1 kg counts; “Price per kg” says 7.6 EUR for 1 kg."]
    layouts = {0: Layout(MATERIALS, 0, ("name", "pack", "price", "unit_price"))}
    bare = read("Wax|1 kg|46.2|7.6 / kg", layouts=layouts).materials[0].said.remarks
    assert bare == ["46.2 EUR for 1 kg counts; the price for one says 7.6 EUR for 1 kg."]
