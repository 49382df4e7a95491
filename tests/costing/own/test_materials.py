"""Materials in a maker's own sheets: what a price is for, in what it is paid, and what is bought by the piece."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored
from webapp.costing.book import Material, Quote, StartingPrice
from webapp.costing.changes import Put
from webapp.costing.densities import suggestions
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.days import counted_day
from webapp.costing.own.faults import faults_in
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import Told

F = Fraction


def kinds(reading: OwnReading) -> dict[str, str]:
    return {
        one.record.name: one.record.kind
        for one in reading.changes
        if isinstance(one, Put) and isinstance(one.record, Material)
    }


@pytest.mark.parametrize(
    ("text", "cost"),
    [
        # a price for one kg and no pack: for one kg
        ("Material|Price per kg\nShea butter|8.20", F("8.20") / 1000),
        ("Material|Pack|Price per kg\nShea butter|5 kg|8.20", F("8.20") / 1000),
        ("Material|Pack|Price per 100 g\nShea butter|5 kg|0.82", F("8.20") / 1000),
        ("Material|Price\nShea butter|8.20/kg", F("8.20") / 1000),
        ("Material|Unit|Price\nShea butter|kg|8.20", F("8.20") / 1000),
        ("Material|Kind|Price\nJar|packaging|0.62", F("0.62")),
        ("Material|Price\nJar|0.62/each", F("0.62")),
        ("Material|Kind|Pack|Price\nJar|packaging|48|30.00", F(30) / 48),
    ],
)
def test_what_a_price_is_for(text: str, cost: Fraction) -> None:
    reading = read(text)
    assert reading.good, sentences(reading)
    (found,) = costs(reading).values()
    assert near(found, cost), found


def test_a_unit_that_is_chosen_for_all_stands_in_for_those_that_nobody_wrote() -> None:
    reading = read("Material|Pack|Price\nShea butter|5|41.00", told=Told(unit="kg"))
    assert near(costs(reading)["Shea butter"], F(41, 5000))
    asked = read("Material|Pack|Price\nShea butter|5|41.00")
    assert ([one.choice for one in asked.wrong], "5 of what?" in asked.wrong[0].sentence) == (["sheets-0-unit"], True)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Material|Price\nShea butter|8.20", "Say how much this price is for"),
        ("Material|Pack|Price per kg\nJar|48 pcs|8.20", "correct one of them"),
        ("Material|Pack|Price per kg\nShea butter|9999999 kg|9999999", "at most 9999999.9999"),
        ("Material|Price\nShea butter|8.20/gallon", "US"),
        ("Material|Price\nShea butter|8.20/blob", "blob"),
        ("Material|Pack|Price\n|5 kg|41.00", "Name the material"),
        ("Material|Pack|Price\nShea butter|999999 kg|0.01", "too small for its pack"),
    ],
)
def test_what_is_wrong_with_a_price_is_said(text: str, words: str) -> None:
    reading = read(text)
    assert not reading.good
    assert any(words in said for _, said in sentences(reading)), sentences(reading)


def test_what_is_bought_by_the_piece_is_packaging_and_a_kind_is_known_by_its_first_word() -> None:
    found = kinds(
        read("Material|Kind|Pack|Price\nVanilla pod|ingredient|10 pcs|9.00\nLid|packaging, metal|48 pcs|9.60")
    )
    assert found == {"Vanilla pod": "packaging", "Lid": "packaging"}


def test_a_heading_between_rows_says_what_kind_follows() -> None:
    text = "Material|Pack|Price\nPACKAGING\nJar|48 pcs|30.00\nRaw materials:\nShea butter|5 kg|41.00"
    assert kinds(read(text)) == {"Jar": "packaging", "Shea butter": "ingredient"}


def test_a_word_in_capitals_is_a_heading_from_four_letters_on_since_three_can_be_a_name() -> None:
    """BHT and its like are called by three letters; a heading in capitals is longer."""
    reading = read("Material|Pack|Price\nWAXES\nShea butter|5 kg|41.00\nBHT||")
    assert [(one.row, one.what) for one in reading.skipped] == [(2, "a heading")]
    four = read("Material|Pack|Price\nOILS\nShea butter|5 kg|41.00")
    assert [one.row for one in four.skipped] == [2]
    assert set(kinds(reading)) == {"Shea butter", "BHT"}


@pytest.mark.parametrize(
    "note",
    ["* organic", "** check price with the mill next time", "updated 3 May", "prices inc VAT, postage not counted",
     "Notes", "this one is from the market and cheaper", "Preise inkl. MwSt"],
)  # fmt: skip
def test_a_note_alone_in_its_row_is_no_material_and_a_name_alone_stays_one(note: str) -> None:
    """A footnote became a material without a price."""
    reading = read(f"Material|Pack|Price\nShea butter|5 kg|41.00\nPanthenol||\nRaw shea nut butter||\n{note}||")
    assert [(one.row, one.what) for one in reading.skipped] == [(5, "a note")]
    assert set(kinds(reading)) == {"Shea butter", "Panthenol", "Raw shea nut butter"}
    priced = read(f"Material|Pack|Price\n{note}|5 kg|41.00")
    assert len(priced.materials) == 1  # with a price it is a name, whatever it looks like


def test_words_beside_the_columns_are_passed_over_and_a_row_of_bare_numbers_is_not() -> None:
    text = "Material|Pack|Price|Scribbles\nShea butter|5 kg|41.00|\n|||ask the mill again\n|5|41.00|"
    reading = read(text, told=Told(unit="kg"))
    assert [(one.row, one.what) for one in reading.skipped] == [(3, "words outside the columns")]
    assert sentences(reading) == [("A4", "Name the material, or leave this row out.")]


def test_a_currency_is_said_by_a_column_a_code_or_a_sign() -> None:
    how = How(prices=ABOUT, rates={"GBP": Decimal("1.2"), "USD": Decimal("0.9")})
    text = (
        "Material|Pack|Price|Currency\nShea butter|1 kg|10.00|gbp\nBeeswax|1 kg|10.00|$\nOil|1 kg|GBP 10.00|\n"
        "Wax|1 kg|10.00 €|\nClay|1 kg|10.00|"
    )
    found = costs(read(text, how=how))
    assert [near(cost, F(exact, 1000)) for cost, exact in zip(found.values(), (12, 9, 12, 10, 10), strict=True)] == [
        True
    ] * 5


def test_a_price_paid_on_a_day_ahead_is_refused_and_one_without_a_supplier_is_a_starting_price() -> None:
    text = "Material|Supplier|Pack|Price|Date\nShea butter|Mill|1 kg|8.20|2027-01-05"
    assert [words for _, words in sentences(read(text))] == ["2027-01-05 lies ahead. Correct the day."]
    reading = read("Material|Pack|Price|Date\nShea butter|1 kg|8.20|2026-01-05", prices=PAID)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], F("8.20") / 1000)
    assert "The sheet says no supplier, so it is a starting price." in reading.materials[0].said.remarks


@pytest.mark.parametrize(("prices", "words"), [(PAID, "The sheet says no day"), (ABOUT, "")])
def test_a_price_that_names_its_supplier_is_no_list_price_for_that(prices: str, words: str) -> None:
    """A list price would be a quote of the mill's; what was paid on no day, or is about right, starts the material."""
    how = How(prices=prices)
    reading = read("Material|Supplier|Pack|Price\nShea butter|Mill|1 kg|8.20", how=how, prices=prices)
    assert reading.good, sentences(reading)
    assert not [one for one in reading.changes if isinstance(one, Put) and isinstance(one.record, Quote)]
    (made,) = (one.record for one in reading.changes if isinstance(one, Put) and isinstance(one.record, Material))
    assert made.starting == StartingPrice(Decimal("8.20"), "kg")
    assert words in " ".join(reading.materials[0].said.remarks)


def test_the_same_list_price_is_entered_once_and_another_stands_beside_it() -> None:
    text = "Material|Supplier|Pack|Price\nShea butter|Mill|1 kg|8.20\nShea butter|Yard|5 kg|39.00"
    first = read(text, how=How(prices=LIST), prices=LIST)
    assert first.good, sentences(first)
    assert any("kept beside the first one" in one for said in first.materials for one in said.said.remarks)
    again = read(text, book=stored(first), how=How(prices=LIST), prices=LIST)
    assert all("stands in the book already" in " ".join(said.said.remarks) for said in again.materials)
    assert again.changes == ()


def test_what_the_book_says_of_a_material_stays_and_is_said() -> None:
    first = read("Material|Pack|Price|Density\nJojoba|1 L|20.00|0.865")
    held = stored(first)
    again = read("Material|Pack|Price|Density|Kind\nJojoba|1 L|20.00|0.9|packaging", book=held)
    remarks = " ".join(again.materials[0].said.remarks)
    assert "Its density stays 0.865 g/mL; the sheet says 0.9." in remarks
    assert EMPTY.materials == {}


def test_what_is_wrong_has_its_cell_as_spreadsheets_call_it_and_as_a_correction_is_sent() -> None:
    (wrong,) = read("Material|Pack|Price\nShea butter|5 kg|lots").wrong
    assert (wrong.cell, wrong.mark) == ("C2", "s0_r2_c2")


def test_a_sheet_of_more_than_two_thousand_rows_is_to_be_parted() -> None:
    reading = read("Material|Pack|Price\n" + "Shea butter|5 kg|41.00\n" * 2001)
    ((field, sentence),) = reading.faults
    assert field == "sheets-0-holds"
    assert sentence.startswith("This sheet has 2,002 rows, and 2,000 can be taken at once. Save a part of it in a file")
    full = OwnTable("Prices", (("Material", "Price"), *[("Shea butter", "8.20/kg")] * 1999))
    assert faults_in([full], [Layout("materials", 1, ("name", "price"))]) == ()


def test_a_list_of_products_without_name_and_formula_asks_for_the_column() -> None:
    listed = OwnTable("Products", (("Size", "Price"), ("100 g", "12.00")))
    wanted = ("sheets-0-columns-0", "Choose the column with the product's name, or its formula.")
    assert wanted in faults_in([listed], [Layout("products", 1, ("size", "price"))])


def test_a_density_of_its_own_is_not_looked_up_and_what_is_not_published_has_none() -> None:
    reading = read("Material|Pack|Price\nMoonpetal extract|1 L|20.00", how=How(published=True))
    assert not [one for one in reading.materials[0].said.remarks if one.startswith("Density")]


def test_what_was_bought_before_keeps_what_was_paid() -> None:
    paid = read("Material|Supplier|Pack|Price|Date\nShea butter|Mill|1 kg|8.20|2026-01-05", prices=PAID)
    again = read("Material|Pack|Price\nShea butter|1 kg|9.00", book=stored(paid))
    assert "It was bought before: what was paid counts, so its price stays." in again.materials[0].said.remarks
    assert again.changes == ()


def test_a_price_too_large_for_one_of_its_unit_is_refused() -> None:
    assert not read("Material|Pack|Price\nShea butter|0.001 g|9999999").good


def test_what_the_book_counts_in_pieces_stays_so_and_is_said() -> None:
    held = stored(read("Material|Kind|Pack|Price\nVanilla|packaging|10 pcs|9.00"))
    again = read("Material|Kind|Pack|Price\nVanilla|ingredient|1 kg|200.00", book=held)
    assert "It is packaging here." in again.materials[0].said.remarks


@pytest.mark.parametrize(
    ("head", "cell", "currency"),
    [
        ("Price £", "14", "GBP"),
        ("Price (GBP)", "14", "GBP"),
        ("£ per kg", "14", "GBP"),
        ("USD/kg", "14", "USD"),
        ("Price $", "14", "USD"),
        ("Price £", "€14", "EUR"),
        ("Price", "£14", "GBP"),
        ("Price", "14", "EUR"),
        ("Price", "₪14", "ILS"),
    ],
)
def test_a_cell_or_its_head_says_the_currency_and_the_cell_wins(head: str, cell: str, currency: str) -> None:
    """Pounds were kept as euros where only the head or the format of the cells said so."""
    reading = read(f"Item|Pack|{head}\nShea|1 kg|{cell}")
    assert reading.materials[0].said.row.currency == currency
    assert reading.currencies == (() if currency == "EUR" else (currency,))
    assert [one.choice for one in reading.wrong] == ([] if currency == "EUR" else ["rates"])


def test_a_sign_that_is_no_currency_of_its_own_is_refused() -> None:
    """50 ¢ is half of a unit of something, not fifty."""
    assert [cell for cell, _ in sentences(read("Item|Pack|Price\nLid|1 pcs|50¢"))] == ["C2"]
    assert [cell for cell, _ in sentences(read("Item|Pack|Price|Currency\nLid|1 pcs|5|quid"))] == ["D2"]


def test_a_number_that_came_as_text_may_have_two_readings_where_numbers_are_exact() -> None:
    """1.250 as text is 1250 to a German; as a number of a workbook it is 1.25."""
    rows = (("Item", "Pack", "Price"), ("Shea", "1 kg", "1.250"))
    typed = OwnTable("Prices", rows, True, typed=frozenset({(2, 2)}))
    assert [one.choice for one in read_own(EMPTY, [typed], Choices()).wrong] == ["sign"]
    assert costs(read_own(EMPTY, [OwnTable("Prices", rows, True)], Choices()))["Shea"] == Decimal("0.00125")
    same = read_own(EMPTY, [OwnTable("Prices", rows, True)], Choices(fixes={"s0_r2_c2": " 1.250"}))
    assert costs(same)["Shea"] == Decimal("0.00125")  # what comes back from its field unchanged was not typed
    mended = read_own(EMPTY, [OwnTable("Prices", rows, True)], Choices(fixes={"s0_r2_c2": "1.260"}))
    assert [one.choice for one in mended.wrong] == ["sign"]  # what is typed on the page is typed


def test_heads_once_more_count_for_the_rows_below_them() -> None:
    """22.50 for 50 jars is 0.45 each; by the first heads 22.5 was a pack, and "50 pcs" its price."""
    text = "Item|Pack|Price\nShea butter|1 kg|14\nPACKAGING\nItem|Price|Pack of\nJar|22.5|50"
    reading = read(text)
    assert reading.good, sentences(reading)
    assert costs(reading)["Jar"] == Decimal("0.45")
    again = read("Item|Pack|Price\nShea butter|1 kg|14\nItem|Pack|Price\nWax|500 g|8.50")
    assert near(costs(again)["Wax"], F("8.50") / 500)


@pytest.mark.parametrize("head", ["Date d'achat", "Kaufdatum", "Fecha de compra"])
def test_a_day_below_a_head_of_a_language_with_the_day_first_is_not_asked_for(head: str) -> None:
    text = f"Item|Supplier|Pack|Price|{head}\nShea|Mill|1 kg|14|05/02/2024"
    reading = read(text)
    assert reading.good, sentences(reading)
    assert reading.materials[0].said.row.day == date(2024, 2, 5)
    assert "05/02/2024 is read with the day first." in reading.materials[0].said.remarks
    assert [one.choice for one in read(text.replace(head, "Date")).wrong] == ["days"]
    assert read(text, told=Told(days="month first")).materials[0].said.row.day == date(2024, 5, 2)


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("Mandelöl", "Almond oil"), ("Huile d'amande douce", "Almond oil"), ("Olivenöl", "Olive oil"),
        ("Kokosöl", "Coconut oil"), ("Kokosöl, fraktioniert", "Medium-chain triglycerides"),
        ("Beurre de karité", "Shea butter"), ("Eau déminéralisée", "Water"), ("Wasser, destilliert", "Water"),
        ("Rosenwasser", ""), ("Eau de rose", ""), ("Mandelmehl", ""),
    ],
)  # fmt: skip
def test_published_densities_are_found_by_what_the_trade_calls_things_elsewhere(name: str, found: str) -> None:
    assert {one.name.partition(",")[0] for one in suggestions(name)} == ({found} if found else set())


def test_a_day_that_a_spreadsheet_keeps_as_a_number_is_read_as_it_counts_and_said() -> None:
    """45334 days after 1899-12-30 is 2024-02-12; as text it is no day, nor is a number far from here."""
    rows = (("Item", "Pack", "Price", "Date"), ("Shea", "1 kg", "14", "45334"))
    reading = read_own(EMPTY, [OwnTable("Prices", rows, True)], Choices())
    (one,) = reading.materials
    assert one.said.row.day == date(2024, 2, 12)
    assert "45334 is read as 2024-02-12, as spreadsheets count days." in one.said.remarks
    assert [cell for cell, _ in sentences(read_own(EMPTY, [OwnTable("Prices", rows)], Choices()))] == ["D2"]
    assert [counted_day(text) for text in ("36525", "36526", "73415", "73416", "4533", "453345")] == [
        None, date(2000, 1, 1), date(2100, 12, 31), None, None, None,
    ]  # fmt: skip


def test_a_price_for_one_kg_that_failed_in_the_spreadsheet_is_not_needed_beside_pack_and_price() -> None:
    reading = read("Item|Pack|Price|Price per kg\nShea|1 kg|14|#DIV/0!\nWax|1 kg||#DIV/0!")
    assert [cell for cell, _ in sentences(reading)] == ["D3"]


def test_tables_below_each_other_with_heads_and_titles_of_their_own() -> None:
    """Four suppliers, a table each: the first heads that are whole begin, the others count for what is below them."""
    reading = read(
        """Marsh farm (order by phone)
Product|Size|Price inc VAT
Rapeseed oil|5 kg|22.80

Fen ingredients
Code|Item|Qty|Unit|Cost
F1|Citric acid|500|g|3.60
F2|Glycerine|1|kg|7.75

Oils of the Weald
Oil|ml|Price
Castor oil|250|8.40
Neem oil|100|14.90

Packaging (Lane)
What|How many|Net|VAT|Total paid
Amber bottle|40|26|5.20|31.20"""
    )
    assert reading.good, sentences(reading)
    assert list(costs(reading)) == [
        "Rapeseed oil", "Citric acid", "Glycerine", "Castor oil", "Neem oil", "Amber bottle",
    ]  # fmt: skip
    found = costs(reading)
    assert near(found["Rapeseed oil"], F("22.80") / 5000)
    assert near(found["Citric acid"], F("3.60") / 500)
    assert near(found["Amber bottle"], F("31.20") / 40)
    castor = reading.materials[3].said.row
    assert (castor.size, castor.unit, castor.price) == (Decimal(250), "mL", Decimal("8.40"))
    heads = [one.row for one in reading.skipped]
    assert heads == [5, 6, 10, 11, 15, 16]


def test_words_above_no_number_are_no_heads() -> None:
    reading = read("Item|Pack|Price\nShea|1 kg|14\nWax|soon|Price\nOil|1 kg|9")
    assert [one.said.name for one in reading.materials] != []
    assert "Oil" in costs(reading)
