"""A maker's own sheets as changes of the book. Expected costs are worked out here in fractions from what is written."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import Put, apply_all, key_of, renumber
from webapp.costing.gaps import Gap
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.prices import ABOUT, LIST, NEW, PAID, How
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.rows import column_letters, mark_of
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import Told

DAY = date(2026, 11, 25)
F = Fraction
LB, OZ, US_GALLON = F("453.59237"), F("28.349523125"), F("3785.411784")
EMPTY = Book(day=DAY)


def table(text: str, title: str = "Materials", *, exact: bool = False) -> OwnTable:
    rows = tuple(
        tuple(cell.strip() for cell in row.split("|")) if row.strip() else () for row in text.strip().split("\n")
    )
    return OwnTable(title, rows, exact)


def read(*texts: str, book: Book = EMPTY, **choices: object) -> OwnReading:
    tables = [table(text, f"Sheet {number}") for number, text in enumerate(texts, 1)]
    return read_own(book, tables, Choices(**choices))  # type: ignore[arg-type]


def costs(reading: OwnReading) -> dict[str, Decimal | Gap | None]:
    return {one.said.name: one.cost for one in reading.materials} | {
        one.said.rows.name: one.cost for one in reading.formulas
    }


def stored(reading: OwnReading, before: Book = EMPTY) -> Book:
    """The book as a store gives it back: with numbers above zero."""
    keys = [key_of(change.record) for change in reading.changes if isinstance(change, Put)]
    ids: dict[int, int] = {ident: 1000 - ident for _, ident in keys if isinstance(ident, int)}
    after = apply_all(before, [renumber(change, ids) for change in reading.changes])
    assert isinstance(after, Book)
    return after


def near(figure: object, exact: F) -> bool:
    return isinstance(figure, Decimal) and abs(F(figure) - exact) < exact / F(10) ** 40


def sentences(reading: OwnReading) -> list[tuple[str, str]]:
    return [(one.cell, one.sentence) for one in reading.wrong]


PRICES = """
Ingredient | Pack | Price
Shea butter | 5 kg | 41.00
Beeswax | 1 lb | 9.00
Jar 100 mL | 48 pcs | 30.00
"""


def test_prices_without_supplier_are_starting_prices_to_four_decimals_of_the_large_unit() -> None:
    reading = read(PRICES)
    assert reading.good
    assert reading.prices == ABOUT
    found = costs(reading)
    assert near(found["Shea butter"], F(41, 5000))
    assert near(found["Beeswax"], F(9) / LB)
    assert near(found["Jar 100 mL"], F(30, 48))
    starting = [
        change.record.starting
        for change in reading.changes
        if isinstance(change, Put) and isinstance(change.record, b.Material)
    ]
    assert starting == [
        b.StartingPrice(Decimal("8.2"), "kg"),
        b.StartingPrice(Decimal(9), "lb"),
        b.StartingPrice(Decimal("0.625"), "pieces"),
    ]


def test_a_starting_price_that_loses_something_says_so() -> None:
    (seen,) = read("Item|Pack|Price\nLabel|1000 pcs|12.345", told=Told(sign=".")).materials
    assert seen.cost == Decimal("0.0123")
    assert "Kept as 0.0123 EUR for one piece" in seen.said.remarks[-1]


def test_list_prices_of_suppliers_are_quotes_that_count_with_the_pack_as_it_is() -> None:
    reading = read("Item|Supplier|Pack|Price\nLabels|Printer|1000 pcs|12.34\nTins|Printer|7 pcs|5")
    assert reading.prices == LIST
    assert near(costs(reading)["Labels"], F("12.34") / 1000)
    assert near(costs(reading)["Tins"], F(5, 7))
    assert reading.after is not None
    assert [one.name for one in reading.after.suppliers.values()] == ["Printer"]
    assert {one.since for one in reading.after.quotes.values()} == {DAY}
    assert {one.until for one in reading.after.quotes.values()} == {date(2027, 11, 25)}


PAID_ROWS = """
Item | Supplier | Date | Qty | Pack | Price each | VAT
Shea butter | Mill | 2026-03-01 | 2 | 1 kg | 12.00 | 20%
Beeswax | Mill | 2026-03-01 | 1 | 500 g | 9.00 | 20%
Shea butter | Mill | 2026-05-01 | 1 | 1 kg | 13.00 | 20%
"""


def test_prices_paid_become_an_order_of_each_supplier_and_day_with_their_tax() -> None:
    reading = read(PAID_ROWS)
    assert reading.prices == PAID
    assert reading.good
    assert reading.after is not None
    assert [(one.day, len(one.lines)) for one in reading.after.orders.values()] == [
        (date(2026, 3, 1), 2),
        (date(2026, 5, 1), 1),
    ]
    found = costs(reading)
    assert near(found["Shea butter"], F("15.60") / 1000)  # 13.00 and a fifth: not registered, so tax is a cost
    assert near(found["Beeswax"], F("10.80") / 500)


def test_a_second_time_nothing_is_bought_twice() -> None:
    first = read(PAID_ROWS)
    again = read(PAID_ROWS, book=stored(first))
    assert again.changes == ()
    assert all(one.said.known for one in again.materials)
    assert any("not entered again" in remark for one in again.materials for remark in one.said.remarks)
    told = read("Item|Supplier|Pack|Price\nTins|Printer|7 pcs|5")
    assert read("Item|Supplier|Pack|Price\nTins|Printer|7 pcs|5", book=stored(told)).changes == ()


def test_a_price_with_tax_in_it_is_a_cost_or_not_as_the_workshop_is_registered() -> None:
    text = "Item|Pack|Price|VAT\nShea|1 kg|12.00|20%"
    outside, inside = How(prices=ABOUT), How(prices=ABOUT, tax_included=True)
    registered = Book(day=DAY, terms=b.Terms(registered=True))
    assert costs(read(text, how=outside))["Shea"] == Decimal("0.0144")
    assert costs(read(text, how=inside))["Shea"] == Decimal("0.012")
    assert costs(read(text, how=outside, book=registered))["Shea"] == Decimal("0.012")
    assert costs(read(text, how=inside, book=registered))["Shea"] == Decimal("0.01")


def test_a_price_for_one_kg_is_multiplied_by_the_pack_and_said() -> None:
    reading = read("Item|Pack|Price per kg\nShea|500 g|8.20\nWax|2 lb|10")
    first, second = reading.materials
    assert first.said.row.price == Decimal("4.1")
    assert "8.2 EUR for 1 kg makes 4.1 EUR for 500 g." in first.said.remarks
    assert near(first.cost, F("8.20") / 1000)
    assert second.said.row.price == Decimal("9.0718")  # 2 x 0.45359237 x 10 = 9.0718474
    (alone,) = read("Item|Cost\nShea|12.40/kg").materials
    assert near(alone.cost, F("12.40") / 1000)


def test_foreign_money_asks_for_its_rate_once() -> None:
    text = "Item|Pack|Price\nShea|1 kg|$10\nWax|1 kg|$20"
    reading = read(text)
    assert reading.currencies == ("USD",)
    assert {one.choice for one in reading.wrong} == {"rates"}
    assert "what one USD is in EUR" in reading.wrong[0].sentence
    assert costs(read(text, how=How(prices=ABOUT, rates={"USD": Decimal("0.9")})))["Wax"] == Decimal("0.018")


def test_a_volume_needs_a_density_and_a_published_one_is_taken_where_it_is_wanted() -> None:
    text = "Item|Pack|Price\nCastor oil|1 gal|48.90"
    assert [one.choice for one in read(text).wrong] == ["system"]
    told = Told(system="US")
    reading = read(text, told=told)
    ((name, published),) = reading.published
    assert (name, published.source) == ("Castor oil", "BP 2025, Virgin Castor Oil")
    assert isinstance(costs(reading)["Castor oil"], Gap)
    taken = read(text, told=told, how=How(prices=ABOUT, published=True))
    # BP 2025, Virgin Castor Oil: relative density 0.958 at 20 °C; water 0.99821 (CIPM): 0.95628518, kept as 0.9563.
    assert near(costs(taken)["Castor oil"], F("48.90") / (US_GALLON * F("0.9563")))
    own = read("Item|Pack|Price|Density\nCastor oil|1 gal|48.90|0.96", told=told)
    assert near(costs(own)["Castor oil"], F("48.90") / (US_GALLON * F("0.96")))


def test_what_one_ml_weighs_can_be_said_beside_the_sheet() -> None:
    text = "Item|Pack|Price|Density\nMarsh oil|2 L|18.40|\nFen oil|500 mL|6|0.9\nCastor oil|1 L|9|\nMoor wax|1 kg|8|"
    assert (read(text).undense, [name for name, _ in read(text).published]) == (("Marsh oil",), ["Castor oil"])
    said = {mark_of("marsh OIL"): Decimal("0.92"), mark_of("Fen oil"): Decimal(2), mark_of("Castor oil"): Decimal(1)}
    reading = read(text, how=How(prices=ABOUT, published=True, densities=said))
    # 18.40 / (2000 x 0.92) = 0.01 a gram; the sheet's own 0.9 stays: 6 / (500 x 0.9); typed goes before published
    assert near(costs(reading)["Marsh oil"], F("0.01"))
    assert near(costs(reading)["Fen oil"], F(6) / 450)
    assert near(costs(reading)["Castor oil"], F("0.009"))
    assert reading.undense == ("Marsh oil",)  # it is asked for as long as nothing is saved, so that it can be changed
    assert reading.after is not None
    held = {one.name: one.density for one in reading.after.materials.values()}
    assert held["Marsh oil"] is not None
    assert held["Marsh oil"].source == "typed beside the maker's own sheet"


def test_headings_totals_blank_rows_and_heads_once_more_are_passed_over_and_said() -> None:
    reading = read(f"{PRICES}\n\nTotal||80\nPACKAGING\nIngredient|Pack|Price\nTins|100|38")
    assert [(one.row, one.what) for one in reading.skipped] == [
        (7, "a total"),
        (8, "a heading"),
        (9, "heads once more"),
    ]
    assert reading.materials[-1].said.row.kind == "packaging"
    assert costs(reading)["Tins"] == Decimal("0.38")  # 38 for 100: below a heading of packaging they are pieces


def test_what_is_wrong_is_said_at_its_cell_and_corrected_there_or_left_out() -> None:
    text = "Item|Pack|Price\nShea|5 sacks|41\nWax|1 kg|cheap\n|1 kg|3\nOil|1 kg|#DIV/0!\nShea|1 kg|12"
    reading = read(text)
    assert [cell for cell, _ in sentences(reading)] == ["B2", "C3", "A4", "C5", "A6"]
    assert "5 sacks: how much is in one" in reading.wrong[0].sentence
    assert "Shea stands in row 2 already, with another pack and price" in reading.wrong[-1].sentence
    assert not reading.good
    fixes = {"s0_r2_c1": "5 kg", "s0_r3_c2": "9", "s0_r5_c2": "7,50"}
    mended = read(text, fixes=fixes, left_out=frozenset({"s0_r4", "s0_r6"}))
    assert mended.good
    assert costs(mended) == {"Shea": Decimal("0.0082"), "Wax": Decimal("0.009"), "Oil": Decimal("0.0075")}


def test_a_number_with_two_readings_is_settled_by_the_other_numbers_or_by_a_choice() -> None:
    assert "C2" in dict(sentences(read("Item|Pack|Price\nShea|1 kg|1,500")))
    settled = read("Item|Pack|Price\nShea|1 kg|1,500\nWax|1 kg|9.50")
    assert settled.good
    assert "1,500 is read as 1500, not as 1.5." in settled.materials[0].said.remarks
    assert costs(read("Item|Pack|Price\nShea|1 kg|1,500", told=Told(sign=",")))["Shea"] == Decimal("0.0015")


def test_a_material_without_a_price_is_entered_and_its_cost_is_missing_not_zero() -> None:
    reading = read("Item|Pack|Price\nVitamin E||")
    assert reading.good
    assert isinstance(costs(reading)["Vitamin E"], Gap)


def test_what_the_book_has_is_told_apart_and_keeps_what_it_says() -> None:
    held = b.Material(7, "Shea butter", inci="Butyrospermum Parkii Butter", density=b.Density(DAY, Decimal("0.91")))
    book = Book(day=DAY, materials={7: held})
    reading = read("INCI|Pack|Price|Density\nButyrospermum Parkii Butter|1 kg|12|0.95", book=book)
    (seen,) = reading.materials
    assert (seen.said.material, seen.said.known, seen.said.name) == (7, True, "Shea butter")
    assert reading.after is not None
    assert reading.after.materials[7].density == held.density
    assert any("stays 0.91" in remark for remark in seen.said.remarks)


# --- formulas


BLOCKS = """
Firm pomade
Ingredient | % | g
Shea butter | 40 | 800
Beeswax | 60 | 1200
Total | 100 | 2000

Soft balm
Beeswax | 20
Shea butter | q.s.
"""


def test_formulas_in_blocks_below_their_names() -> None:
    reading = read(PRICES, BLOCKS)
    assert reading.good
    shea, wax = F(41, 5000), F(9) / LB
    found = costs(reading)
    assert near(found["Firm pomade"], shea * F(4, 10) + wax * F(6, 10))
    assert near(found["Soft balm"], shea * F(8, 10) + wax * F(2, 10))
    firm, soft = (one.said.rows for one in reading.formulas)
    assert (firm.batch, soft.batch) == (Decimal(2000), None)


LONG = """
Formula | Phase | Ingredient | Amount | Batch
Balm | A | Shea butter | 300 g | 1 kg
 | A | Beeswax | 1.5 lb |
 | B | Balm base | 20 g |
Balm base | | Shea butter | 1 oz | 100 g
"""


def test_formulas_with_their_name_in_a_column_that_is_filled_in_once_and_a_blend_inside() -> None:
    reading = read(PRICES, LONG)
    assert reading.good
    balm, base = (one.said.rows for one in reading.formulas)
    assert (balm.way, balm.batch, [line.stage for line in balm.lines]) == ("grams", Decimal(1000), ["A", "A", "B"])
    shea, wax = F(41, 5000), F(9) / LB
    pound_and_half = F("680.388555")  # 1.5 x 453.59237, six places
    total = 300 + pound_and_half + 20
    assert near(costs(reading)["Balm"], (320 * shea + pound_and_half * wax) / total)
    assert base.lines[0].amount == Decimal("28.349523")  # an ounce, half-up to six places


def test_one_formula_a_sheet_is_called_as_the_sheet() -> None:
    tables = [table(PRICES), table("Ingredient|Parts\nShea butter|3\nBeeswax|1", "Simple salve")]
    reading = read_own(EMPTY, tables, Choices())
    assert near(costs(reading)["Simple salve"], F(41, 5000) * F(3, 4) + F(9) / LB / 4)


def test_fractions_of_one_are_percent_and_noise_is_made_up_for() -> None:
    reading = read(PRICES, "Formula|Ingredient|%\nBalm|Shea butter|0.4\nBalm|Beeswax|0.6")
    assert "read as percent" in reading.formulas[0].said.remarks[0]
    thirds = read(PRICES, "Formula|Ingredient|%\nBalm|Shea butter|33.33333333333333\nBalm|Beeswax|66.66666666666667")
    assert thirds.good
    assert [line.amount for line in thirds.formulas[0].said.rows.lines] == [Decimal("33.333333"), Decimal("66.666667")]


def test_lines_that_do_not_come_to_100_are_asked_each() -> None:
    reading = read(PRICES, "Formula|Ingredient|%\nBalm|Shea butter|40\nBalm|Beeswax|59.5")
    assert sentences(reading) == [
        ("C2", "Balm: the lines add up to 99.5 %, 0.5 short of 100. Correct what is wrong in it."),
        ("C3", "Balm: one of the amounts that add up to 99.5 %."),
    ]


def test_bare_amounts_that_are_not_percent_are_asked_for_once() -> None:
    text = "Formula|Ingredient|Amount\nBalm|Shea butter|300\nBalm|Beeswax|100"
    assert [one.choice for one in read(PRICES, text).wrong] == ["amounts"]
    assert near(costs(read(PRICES, text, amounts="grams"))["Balm"], F(41, 5000) * F(3, 4) + F(9) / LB / 4)


def test_a_slip_is_asked_and_never_taken() -> None:
    text = "Formula|Ingredient|%\nBalm|Shea buter|40\nBalm|Beeswax|60"
    reading = read(PRICES, text)
    (asked,) = reading.names
    assert (asked.name, asked.near, reading.good) == ("Shea buter", ("Shea butter",), False)
    meant = read(PRICES, text, how=How(means={asked.mark: "Shea butter"}))
    assert meant.good
    assert isinstance(costs(meant)["Balm"], Decimal)
    new = read(PRICES, text, how=How(means={asked.mark: NEW}))
    assert new.good
    assert new.unpriced == ("Shea buter",)
    assert isinstance(costs(new)["Balm"], Gap)


def test_a_name_has_one_mark_however_it_is_written() -> None:
    assert mark_of("Shea  Butter") == mark_of("shea butter") != mark_of("shea buter")


@pytest.mark.parametrize(
    ("text", "cell", "words"),
    [
        ("Formula|Ingredient|%\nBalm|Shea butter|\nBalm|Beeswax|100", "C2", "Say how much of it"),
        ("Formula|Ingredient|%\nBalm||40\nBalm|Beeswax|60", "B2", "Name the ingredient"),
        ("Formula|Ingredient|%\nBalm|Shea butter|much\nBalm|Beeswax|60", "C2", "no amount"),
        ("Formula|Ingredient|%\nBalm|Jar 100 mL|40\nBalm|Beeswax|60", "B2", "counted in pieces"),
        ("Formula|Ingredient|%\nA|B|100\nB|A|100", "B2", "contain itself"),
        ("Lonely\nIngredient|%\nSecond\nBeeswax|100", "A1", "No ingredient stands below Lonely"),
    ],
)
def test_what_is_wrong_with_a_formula_is_said_at_its_cell(text: str, cell: str, words: str) -> None:
    reading = read(PRICES, text)
    assert not reading.good
    assert any(at == cell and words in said for at, said in sentences(reading)), sentences(reading)


def test_a_formula_that_the_book_has_changes_from_today() -> None:
    first = read(PRICES, BLOCKS)
    again = read(PRICES, BLOCKS, book=stored(first))
    assert again.changes == ()
    changed = read(
        PRICES,
        BLOCKS.replace("40 | 800", "30 | 600").replace("60 | 1200", "70 | 1400"),
        book=stored(first),
    )
    assert len(changed.changes) == 1
    assert changed.formulas[0].said.known


# --- the whole


def test_nothing_is_read_where_the_columns_are_not_known() -> None:
    assert read("Sunny|Rain\nyes|no").faults[0][0] == "sheets-0-holds"
    reading = read(PRICES, layouts={0: Layout("materials", 1, ("", "pack", "price"))})
    assert reading.faults == (("sheets-0-columns-0", "Choose the column with the material's name."),)
    for roles, words in (
        (("", "percent"), "Choose the column with the ingredient."),
        (("ingredient", ""), "Choose the column that says how much of each ingredient."),
    ):
        told = read("Ingredient|%\nShea butter|100", layouts={0: Layout("formulas", 1, roles)})
        assert told.faults == (("sheets-0-columns-0", words),)


@pytest.mark.parametrize("mark", ["a1", "s9_r2_c0", "s0_r9_c0", "s0_r0_c0"])
def test_a_correction_of_a_cell_that_is_not_there_changes_nothing(mark: str) -> None:
    assert read(PRICES, fixes={mark: "Wax"}) == read(PRICES) == read(PRICES, fixes={"s0_r2_c0": " "})


def test_without_heads_no_row_says_them_once_more() -> None:
    reading = read("Shea butter|1 kg|€12.40\nBeeswax|500 g|€9")
    assert [one.said.name for one in reading.materials] == ["Shea butter", "Beeswax"]
    twice = read(PRICES, layouts={0: Layout("materials", 1, ("name", "price", "price"))})
    assert twice.faults[0][0] == "sheets-0-columns-2"


def test_the_changes_are_what_was_shown() -> None:
    reading = read(PRICES, BLOCKS)
    assert apply_all(EMPTY, reading.changes) == reading.after


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        (f"Item|Pack|Price\n{'a' * 121}|1 kg|1", "A2"),
        ("Item|Pack|Price\nShea\u202e|1 kg|1", "A2"),
        ("Item|Supplier|Pack|Price\nShea|Mi\x07ll|1 kg|1", "B2"),
        ("Item|Pack|Price\nShea|10000001 kg|1", "B2"),
        ("Item|Pack|Price\nShea|1 kg|10000000", "C2"),
        ("Item|Pack|Price\nShea|1 kg|-1", "C2"),
        ("Item|Pack|Price per kg\nShea|10000000 kg|1000", "C2"),
        ("Item|Pack|Price\nShea|10000000 pcs|0.01", "A2"),
        ("Item|Pack|Price|Date\nShea|1 kg|1|2250-01-01", "D2"),
        ("Recipe|Ingredient|g\nBalm|Shea|10000001", "C2"),
        (f"Recipe|Ingredient|%\n{'b' * 121}|Shea|100", "A2"),
    ],
)
def test_what_no_field_would_take_is_refused_at_its_cell(text: str, cell: str) -> None:
    reading = read(text)
    assert cell in dict(sentences(reading)), sentences(reading)
    assert not reading.good


def test_days_that_tell_how_they_are_written_settle_the_others() -> None:
    text = "Item|Supplier|Pack|Price|Date\nShea|Mill|1 kg|1|3/15/2026\nWax|Mill|1 kg|1|4/2/2026"
    reading = read(text)
    assert [one.said.row.day for one in reading.materials] == [date(2026, 3, 15), date(2026, 4, 2)]
    both = read(text.replace("3/15/2026", "15/3/2026") + "\nOil|Mill|1 kg|1|3/15/2026")
    assert [one.choice for one in both.wrong] == ["days"]


def test_two_columns_that_are_chosen_to_hold_the_same_are_refused_at_the_later_one() -> None:
    """Of four columns the second and the third are both said to hold the pack: the third, counted from 0, is 2."""
    twice = Layout("materials", 1, ("name", "pack", "pack", "price"))
    reading = read("Material|Pack|Note|Price\nShea butter|5 kg|x|41.00", layouts={0: twice})
    assert [field for field, _ in reading.faults] == ["sheets-0-columns-2"]


@pytest.mark.parametrize(("column", "letters"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")])
def test_columns_are_called_as_spreadsheets_call_them(column: int, letters: str) -> None:
    assert column_letters(column) == letters


def test_a_price_for_a_gram_keeps_all_of_its_decimals() -> None:
    """0.00034 a gram are 0.34 a kg, and not 0.3; what follows of it for one mL is as exact."""
    reading = read("Item|Price per g\nSalt|0.00034\nMilk|0.01023778\nCream|12.3456789")
    assert reading.good
    found = costs(reading)
    assert near(found["Salt"], F("0.00034"))
    assert near(found["Milk"], F("0.0102378"))  # a thousand of them cost 10.23778, kept as 10.2378
    assert near(found["Cream"], F("12.3457"))  # one of them is exact enough
    said = {one.said.name: one.said.remarks for one in reading.materials}
    assert said["Salt"] == []
    assert said["Milk"] == ["10.23778 EUR is kept as 10.2378 EUR."]
    assert said["Cream"] == ["12.3456789 EUR is kept as 12.3457 EUR."]
    pack = read("Item|Pack|Price per g\nSalt|25 kg|0.00034")
    assert near(costs(pack)["Salt"], F("0.00034"))  # 8.50 for 25 kg
    beside = read("Item|Pack|Price|Price per g\nMilk|1 L|0.34082|0.00034082")
    assert beside.by_price == (("Milk", Decimal("0.9999")),)  # 0.3408 (as it is kept) / 1000 mL / 0.00034082


def test_the_decimals_of_a_price_for_one_ounce() -> None:
    """12.3457 for 1000 oz; a starting price of ounces is for one lb: 0.1975312, kept as 0.1975. By one oz: 0.0123."""
    reading = read("Item|Price per oz\nSalt|0.01234567")
    assert near(costs(reading)["Salt"], F("0.1975") / LB)
