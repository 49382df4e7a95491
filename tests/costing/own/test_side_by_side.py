"""Formulas side by side that stand beside prices. Expected costs are worked out here in fractions of what is said."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_across import lines
from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, table
from webapp.costing.own.columns import FORMULAS, MATERIALS, OF_FORMULA, Layout, OwnTable
from webapp.costing.own.heads import stands_beside, tells_figures
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet

F = Fraction
MATRIX = """
Batch sheet
Ingredient | €/kg | In stock (kg) | Shampoo | Conditioner | Oil serum
Water | 0.30 | 40 | 1100 | 1580 |
Glucoside | 11.50 | 4.2 | 420 | |
Almond oil | 13.60 | 3 | | 60 | 140
Castor oil | 10.40 | 1.1 | | | 60
Clay | 5.00 | 2 | | |
Total g | | | 1520 | 1640 | 200
Cost of batch | | | €5.16 | €1.29 | €2.53
Batch cost | | | 5.16 | 1.29 | 2.53
Taken home | | | €5.16 | €1.29 |
Jars 200 ml: 46 left and labels plenty
"""
SHAMPOO = (1100 * F("0.30") + 420 * F("11.50")) / 1000 / 1520
CONDITIONER = (1580 * F("0.30") + 60 * F("13.60")) / 1000 / 1640
SERUM = (140 * F("13.60") + 60 * F("10.40")) / 1000 / 200
DOWN = ("ingredient", "unit_price", "", *(OF_FORMULA,) * 3)
PACKS = """
Ingredient | Supplier | Pack | Price | Stock | Shampoo | Mask
Water | Shop | 10 kg | 3.00 | 9 | 1100 | 700
Glucoside | Mill | 1 kg | 11.50 | 4 | 420 |
Shea | Mill | 500 g | 7.10 | 2 | | 60
Clay | Mill | 1 kg | 5.00 | 2 | |
Total | | | | | 1520 | 760
Cost of batch | | | | | 5.16 | 1.06
Batch size | | | | | 1500 | 750
"""
ASKED = (
    "Sheet 1: Columns F (Shampoo) to G (Mask) hold amounts and are left out. "
    "Are they formulas side by side? Say it below."
)


def euros(text: str, **choices: object) -> OwnReading:
    """The sheet as it is read in a workshop whose money is EUR, as it is where nothing else is said."""
    assert EMPTY.workshop.currency == "EUR"
    return read(text, book=EMPTY, **choices)


def test_grams_beside_prices_for_one_kg_are_formulas_that_bring_their_prices() -> None:
    """What is in stock is no formula, "Total g" says the unit, and a cost below is no ingredient of each of them."""
    reading = euros(MATRIX)
    assert reading.layouts[0] == Layout(FORMULAS, 2, DOWN)
    assert reading.good, sentences(reading)
    found = costs(reading)
    for name, exact in (("Shampoo", SHAMPOO), ("Conditioner", CONDITIONER), ("Oil serum", SERUM)):
        assert near(found[name], exact), name
    assert near(found["Clay"], F(5, 1000))  # in none of them, and its price is kept
    assert [one.said.rows.batch for one in reading.formulas] == [Decimal(1520), Decimal(1640), Decimal(200)]
    assert [(one.row, one.what) for one in reading.skipped] == [
        (8, "a total"), (7, "in none of these formulas"), (9, "figures beside the formulas"),
        (10, "figures beside the formulas"), (11, "figures beside the formulas"), (12, "in none of these formulas"),
    ]  # fmt: skip
    assert reading.unpriced == ()


def test_a_total_that_is_no_sum_of_its_column_says_no_unit_there() -> None:
    wrong = euros(MATRIX.replace("Total g | | | 1520", "Total g | | | 1500"))
    assert [(one.cell, one.choice) for one in wrong.wrong] == [("D3", "amounts")]
    assert [line[2] for line in lines(wrong)["Conditioner"]] == ["g", "g"]
    bare = euros(MATRIX.replace("Total g", "Total"))
    assert {one.choice for one in bare.wrong} == {"amounts"}
    assert near(costs(euros(MATRIX.replace("Total g", "Total"), amounts="grams"))["Oil serum"], SERUM)
    percent = euros(MATRIX, amounts="percent")  # what a person says counts before the total
    assert not percent.good


JARS = """
Ingredient | \u20ac/kg | Shampoo | Conditioner
Water | 3 | 800 | 700
Glucoside | 11.50 | 200 |
Almond oil | 8 | | 300
Total g | | 1000 | 1000
Jars | | 9 | 8
"""
JAR_SHAMPOO = (800 * F(3) + 200 * F("11.50")) / 1000 / 1000


def test_below_the_total_stands_what_has_a_price_or_is_known_and_figures() -> None:
    """Nine jars are no 9 g of something; what has a price there, or elsewhere, is an ingredient: then it is asked."""
    reading = euros(JARS)
    assert reading.good
    assert near(costs(reading)["Shampoo"], JAR_SHAMPOO)
    assert reading.unpriced == ()
    assert [(one.row, one.what) for one in reading.skipped] == [(5, "a total"), (6, "figures beside the formulas")]
    priced = euros(JARS.replace("Jars | |", "Scent | 40 |"))
    assert near(costs(priced)["Shampoo"], (1000 * 1000 * JAR_SHAMPOO + 9 * F(40)) / 1000 / 1009)
    known = read(JARS.replace("Jars", "Scent"), "Ingredient | Pack | Price\nScent | 1 kg | 40", book=EMPTY)
    assert near(costs(known)["Shampoo"], (1000 * 1000 * JAR_SHAMPOO + 9 * F(40)) / 1000 / 1009)
    bare = "Ingredient|Firm|Soft\nShea|400|700\nWax|600|300\nTotal|1000|1000\nScent|5|5"
    unpriced = read(bare, amounts="grams", layouts={0: Layout(FORMULAS, 1, ("ingredient", OF_FORMULA, OF_FORMULA))})
    assert [one[0] for one in lines(unpriced)["Firm"]] == ["Shea", "Wax"]
    assert (5, "figures beside the formulas") in [(one.row, one.what) for one in unpriced.skipped]
    comma = "Rohstoff|Fest|Weich\nShea|647,5|1.200\nWachs|352,5|800\nSumme|1.000|2.000\nSchwund|3 %|3 %\nTiegel|9|8"
    chosen = {0: Layout(FORMULAS, 1, ("ingredient", OF_FORMULA, OF_FORMULA))}
    german = read(comma, amounts="grams", layouts=chosen)  # 352.5 of 1,000: what stands below it had a fault each
    assert german.good, sentences(german)
    assert [one[1] for one in lines(german)["Fest"]] == [Decimal("647.5"), Decimal("352.5")]


def test_totals_of_phases_end_nothing_and_a_total_needs_no_name() -> None:
    phases = (
        "Ingredient|\u20ac/kg|Firm|Soft\nShea|8|400|300\nWax|9|100|\nTotal||500|300\nOil|5|500|700\nTotal||500|700\n"
        "Scent||5|5\nTotal g||1005|1005"
    )
    reading = euros(phases)
    assert reading.good, sentences(reading)
    assert [one[:2] for one in lines(reading)["Soft"]] == [
        ("Shea", Decimal(300)), ("Oil", Decimal(700)), ("Scent", Decimal(5)),
    ]  # fmt: skip
    unnamed = euros(JARS.replace("Total g", ""), amounts="grams")
    assert unnamed.good, sentences(unnamed)
    assert near(costs(unnamed)["Shampoo"], JAR_SHAMPOO)
    partly = euros(JARS.replace("| | 1000 | 1000", "| | 1001 | 1000"), amounts="grams")
    assert lines(partly)["Conditioner"][2] == ("Jars", Decimal(8), "g")  # no sum of all of them: nothing ends there
    other = euros(JARS.replace("Total g | | 1000", " | | 1001"), amounts="grams")
    assert ("A5", "Name the ingredient, or leave this row out.") in sentences(other)
    as_said = {0: Layout(FORMULAS, 1, ("ingredient", "unit_price", OF_FORMULA, OF_FORMULA))}
    first = euros("Ingredient|\u20ac/kg|A|B\nShea|8|40|50\n|9|40|50\nWax|7|20|", layouts=as_said)
    assert ("A3", "Name the ingredient, or leave this row out.") in sentences(first)


def test_heads_and_totals_in_another_language() -> None:
    """A batch of 1,500 kg costs 1100 x 0,30 + 400 x 11,50 a thousandth of it in money."""
    text = (
        "Ingrediente|\u20ac/kg|Giacenza (kg)|Shampoo|Olio\nAcqua|0,30|4|1100|\nCoco|11,50|3|400|\nMandorle|8,25|2||60\n"
        "Totale g|||1500|60\nCosto lotto|||4,93|0,50"
    )
    reading = euros(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shampoo"], (1100 * F("0.30") + 400 * F("11.50")) / 1000 / 1500)
    assert near(costs(reading)["Olio"], F("8.25") / 1000)  # one ingredient, and its total says the same


def test_a_row_of_prices_among_formulas_is_none_of_them() -> None:
    reading = euros("Formula|Shea|Wax|Oil\n\u20ac/kg|8|9|5\nFirm|80|20|\nSoft|70||30")
    assert list(lines(reading)) == ["Firm", "Soft"]
    assert [(one.row, one.what) for one in reading.skipped] == [(2, "figures beside the formulas")]


def test_money_in_every_row_is_passed_over_in_none() -> None:
    """Columns of money that a person calls formulas are wrong at their cells, and not passed over without a word."""
    text = "Ingredient | A | B\nShea | €4 | €5\nWax | €3 | €2"
    reading = read(text, layouts={0: Layout(FORMULAS, 1, ("ingredient", OF_FORMULA, OF_FORMULA))})
    assert [cell for cell, _ in sentences(reading)] == ["B2", "C2", "B3", "C3"]


@pytest.mark.parametrize(
    ("text", "holds", "roles"),
    [
        # a total below says that they are mixed, though every row is in each
        ("Ingredient|Price per kg|Firm|Soft\nShea|8|400|700\nWax|9|600|300\nTotal||1000|1000", FORMULAS,
         ("ingredient", "unit_price", OF_FORMULA, OF_FORMULA)),
        # a cost for one kg beside columns of formulas is that of the ingredient
        ("Ingredient|Cost/kg|Firm|Soft\nShea|8|40|70\nWax|9|60|30", FORMULAS,
         ("ingredient", "unit_price", OF_FORMULA, OF_FORMULA)),
        # numbers that each row has, without a sum: of two shops, perhaps
        ("Ingredient|Price/kg|Mill|Oil house\nShea|8|12|13\nWax|9|11|12", MATERIALS, ("name", "unit_price", "", "")),
        # what stands in stock, is bought or is told of what they are
        ("Ingredient|Price/kg|In stock|Reorder|Max use\nShea|8|2||30\nWax|9||4|\nOil|5|1|2|", MATERIALS,
         ("name", "unit_price", "", "", "")),
        # a pack and its price are more than a price for one kg: they are read, and the rest is asked
        ("Ingredient|Pack|Price|Price/kg|Firm|Soft\nShea|1 kg|8|8|400|\nWax|1 kg|9|9||300\nOil|1 kg|5|5|9|9", MATERIALS,
         ("name", "pack", "price", "unit_price", "", "")),
    ],
)  # fmt: skip
def test_what_is_guessed_beside_prices(text: str, holds: str, roles: tuple[str, ...]) -> None:
    found = laid_out(table(text, "x"))
    assert (found.holds, found.roles) == (holds, roles)


def test_amounts_beside_prices_of_packs_are_asked_until_it_is_said_whether_they_are_formulas() -> None:
    """A pack of 500 g for 7.10 is 14.20 a kg; the batches are those of the row for them, not of the sum."""
    asked = read(PACKS, amounts="grams")
    assert asked.faults == (("sheets-0-formulas", ASKED),)
    assert not asked.good
    assert [one.said.name for one in asked.materials] == ["Water", "Glucoside", "Shea", "Clay", "Batch size"]
    none = read(PACKS, of_sheets={0: OfSheet(formulas="no")})
    assert (none.faults, none.good, none.formulas) == ((), True, ())
    assert "sheets-0-formulas" in none.asks  # it can be changed
    reading = read(PACKS, amounts="grams", of_sheets={0: OfSheet(formulas="yes")})
    assert reading.good, (sentences(reading), reading.faults)
    found = costs(reading)
    assert near(found["Shampoo"], (1100 * F("0.30") + 420 * F("11.50")) / 1000 / 1520)
    assert near(found["Mask"], (700 * F("0.30") + 60 * F("14.20")) / 1000 / 760)
    assert [one.said.name for one in reading.materials] == ["Water", "Glucoside", "Shea", "Clay"]
    assert [one.said.rows.batch for one in reading.formulas] == [Decimal(1500), Decimal(750)]
    percent = "Ingredient|Pack|Price|Firm %|Soft %\nShea|1 kg|8|60|70\nWax|1 kg|9|40|30"
    assert [field for field, _ in read(percent).faults] == ["sheets-0-formulas"]
    both = read(percent, of_sheets={0: OfSheet(formulas="yes")})
    assert both.good
    assert near(costs(both)["Firm"], (60 * F(8) + 40 * F(9)) / 100 / 1000)
    assert [(one.row, one.what) for one in reading.skipped] == [
        (6, "a total"), (7, "figures beside the formulas"), (5, "in none of these formulas"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "text",
    [
        "Ingredient|Pack|Price|Mill|Oil house\nShea|1 kg|9|12|13\nWax|1 kg|8|11|12",  # they may be anything
        "Ingredient|Pack|Price|Balm\nShea|1 kg|9|12\nWax|1 kg|8|\nOil|1 kg|3|4",  # only one
        "INCI|Pack|Price|Stock|On hand\nShea|1 kg|9|12|\nWax|1 kg|8||3",
    ],
)
def test_what_is_not_asked(text: str) -> None:
    assert read(text).faults == ()


def test_columns_that_a_person_said_something_of_and_sheets_without_heads_are_not_asked() -> None:
    roles = ("name", "supplier", "pack", "price", "", "density", "")
    assert read(PACKS, layouts={0: Layout(MATERIALS, 1, roles)}).faults == ()
    assert read_own(EMPTY, [table("Shea|1 kg|9\nWax|500 g|8")], Choices()).faults == ()


@pytest.mark.parametrize(
    "head",
    ["In stock", "Stock (kg)", "Reorder", "Reorder level", "Giacenza", "Lager", "Auf Lager", "Qty on hand", "Kg left",
     "Min stock", "Max use %", "March", "HLB", "Shelf life (months)", "Voorraad"],
)  # fmt: skip
def test_heads_of_what_is_no_formula(head: str) -> None:
    assert stands_beside(head)


@pytest.mark.parametrize(
    "head", ["Cost of batch", "Cost/jar", "Batch cost", "Costo lotto", "Kosten pro Charge", "Total", "Selling price"]
)
def test_names_of_figures(head: str) -> None:
    assert tells_figures(head)


@pytest.mark.parametrize("head", ["Max hold gel", "Lager shampoo", "Hand cream", "Cost saver soap", "Mayo mask"])
def test_names_of_formulas(head: str) -> None:
    assert not stands_beside(head)
    assert not tells_figures(head)


def test_amounts_below_which_only_figures_are_named_are_no_formulas_and_nothing_fails() -> None:
    """A column of names that holds a word for packs and a total: no row is an ingredient."""
    rows = (("", "", "", "1 gal", "Phase A"), ("", "Pack"), ("", "Total", "", "1 kg", "1 kg"))
    reading = read_own(EMPTY, (OwnTable("Prices", ()), OwnTable("Formulas", rows)), Choices())
    assert (reading.formulas, reading.good) == ((), False)
