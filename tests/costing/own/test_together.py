"""What a sheet holds by what others hold, and numbers beside names that may be formulas or prices.

Expected costs are worked out here in fractions of what is written.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, table
from webapp.costing.own.columns import FORMULAS, MATERIALS, Layout
from webapp.costing.own.layouts import laid_out, laid_out_as, laid_out_together
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet

F = Fraction
LIST = "Ingredient|Pack|Price\nShea butter|1 kg|8\nOlive oil|1 kg|6\nBeeswax|1 kg|10"
BALM = "Ingredient|Amount\nShea butter|60\nOlive oil|40"
COST = F(8, 1000) * F(60, 100) + F(6, 1000) * F(40, 100)


@pytest.mark.parametrize(
    "text",
    [
        BALM,
        f"{BALM}\nTotal|100",
        BALM.replace("60", "30 g").replace("40", "20 g"),
        BALM.replace("Amount", "Quantity").replace("60", "q.s."),
        f"Balm\n{BALM}",
    ],
)
def test_amounts_of_what_another_sheet_prices_are_a_formula(text: str) -> None:
    """They were materials without a price before, of which it was asked which of two sheets counts."""
    for sheets in ((LIST, text), (text, LIST)):
        reading = read(*sheets)
        assert reading.good, (reading.faults, sentences(reading))
        (one,) = reading.formulas
        assert near(one.cost, COST)


def test_such_amounts_that_may_be_grams_are_asked() -> None:
    text = BALM.replace("60", "300").replace("40", "200")
    assert [(one.cell, one.choice) for one in read(LIST, text).wrong] == [("B2", "amounts")]
    reading = read(LIST, text, amounts="grams")
    assert reading.good
    assert near(costs(reading)["Sheet 2"], COST)


@pytest.mark.parametrize(
    ("title", "text"),
    [
        ("Sheet 2", "Ingredient|Amount\nShea butter|60\nCocoa butter|20\nLanolin|20"),  # most are not priced
        ("Sheet 2", "Ingredient|Amount\nShea butter|60\nCocoa butter|40"),  # only one is
        ("In stock", BALM),
        ("Inventory", BALM),
        ("Purchases", BALM),
        ("Sheet 2", f"To buy\n{BALM}"),
        ("Sheet 2", "Ingredient|Amount\nShea butter|100"),
        ("Sheet 2", "Ingredient|Supplier\nShea butter|Mill\nOlive oil|Mill"),
        ("Sheet 2", "Material|Pack size|Supplier|Code\nShea butter|2 kg|Mill|A1\nOlive oil|2 kg|Mill|A2"),
        ("Sheet 2", "To buy\nShea butter|60 g\nOlive oil|40 g"),
        ("Stock", "Shea butter|60 g\nOlive oil|40 g"),
    ],
)
def test_other_names_and_amounts_stay_what_they_were_taken_for(title: str, text: str) -> None:
    tables = [table(LIST, "Prices"), table(text, title)]
    assert laid_out_together(tables) == tuple(map(laid_out, tables))


def test_what_was_chosen_counts_before_what_other_sheets_say() -> None:
    layout = Layout(MATERIALS, 1, ("name", "pack"))
    assert read(LIST, BALM, layouts={1: layout}).layouts[1] == layout


MATRIX = "Material|Balm|Soft|Bar\nShea butter|30|20|50\nOlive oil|20|40|10\nBeeswax|11|5|20"


def test_numbers_beside_names_that_may_be_formulas_are_asked_before_anything_is_read() -> None:
    """30 of 61, 20 of 61 and 11 of 61 grams. The columns were taken for a pack and a price before."""
    for sheets in ((MATRIX,), (LIST, MATRIX)):
        last = len(sheets) - 1
        asked = read(*sheets)
        words = (
            f"Sheet {last + 1}: Columns B (Balm) to D (Bar) hold numbers. Are they formulas side by side? Then choose "
        )
        words += "that it holds formulas. Else choose below which column holds a price, or "
        words += "that it holds products."
        assert asked.faults == ((f"sheets-{last}-holds", words),)
        assert asked.layouts[last] == Layout(MATERIALS, 1, ("name", "", "", ""))
        assert not asked.good
    formulas = read(LIST, MATRIX, layouts={1: laid_out_as(table(MATRIX), FORMULAS)}, amounts="grams")
    assert formulas.good, (formulas.faults, sentences(formulas))
    balm = F(8, 1000) * F(30, 61) + F(6, 1000) * F(20, 61) + F(10, 1000) * F(11, 61)
    assert near(costs(formulas)["Balm"], balm)
    chosen, told = Layout(MATERIALS, 1, ("name", "pack", "price", "")), OfSheet(unit="g", counts="no")
    prices = read(MATRIX, layouts={0: chosen}, of_sheets={0: told})
    assert prices.good
    assert near(costs(prices)["Olive oil"], F(40, 20))
    nothing = read(LIST, MATRIX, of_sheets={1: OfSheet(priced="none")})
    assert nothing.faults == ()
    assert nothing.formulas == ()


def test_ingredients_side_by_side_are_asked_in_the_same_way() -> None:
    text = "Recipe|Shea butter|Olive oil\nBalm|30|20\nSoft|10|11"
    (fault,) = read(text).faults
    assert fault[0] == "sheets-0-holds"
    assert "Columns B (Shea butter) to C (Olive oil) hold numbers." in fault[1]


def test_a_sheet_of_which_more_is_known_is_asked_for_its_price_alone() -> None:
    supplied = read("Material|Supplier|Balm|Soft\nShea butter|Mill|3|2\nOlive oil|Mill|2|4")
    assert [field for field, _ in supplied.faults] == ["sheets-0-priced"]
    names = read("Material|Note\nShea butter|soft\nOlive oil|thin", layouts={0: Layout(MATERIALS, 1, ("name", ""))})
    assert [field for field, _ in names.faults] == ["sheets-0-priced"]
    headless = read("Shea butter|soft", layouts={0: Layout(MATERIALS, 0, ("name", ""))})
    assert [field for field, _ in headless.faults] == ["sheets-0-priced"]
    titled = replace(table(MATRIX), title="My recipes")
    assert read_own(EMPTY, [titled], Choices()).faults == ()


# --- weights of a batch beside percent, and a unit over the names

WEIGHED = "Ingredient|Pack|Price\nShea butter|5 kg|41.00\nBeeswax|1 kg|18\nOil|1 kg|8"


@pytest.mark.parametrize("head", ["500 g", "500g", "500g batch", "Batch 500 g", "500 g batch"])
def test_grams_of_one_batch_beside_percent_are_no_prices_and_say_the_batch(head: str) -> None:
    """60 % of 8.20 a kg and 40 % of 18 are 12.12."""
    text = f"Formula|Ingredient|%|{head}\nBalm|Shea butter|60|300\nBalm|Beeswax|40|200\nWhip|Oil|100|500"
    reading = read(WEIGHED, text)
    assert reading.good, sentences(reading)
    assert reading.layouts[1].roles == ("formula", "ingredient", "percent", "grams")
    assert near(costs(reading)["Balm"], F("12.12") / 1000)
    assert [one.said.rows.batch for one in reading.formulas] == [500, 500]


@pytest.mark.parametrize("above", ["", "Balm||||\n"])
def test_of_weights_of_several_batches_none_is_taken_and_percent_say_the_formula(above: str) -> None:
    text = f"{above}Ingredient|%|100 g|500 g|1 kg\nShea butter|60|60|300|600\nBeeswax|40|40|200|400"
    reading = read(WEIGHED, text)
    assert reading.good, sentences(reading)
    assert reading.layouts[1].roles == ("ingredient", "percent", "", "", "")
    (balm,) = reading.formulas
    assert near(balm.cost, F("12.12") / 1000)
    assert balm.said.rows.batch is None


@pytest.mark.parametrize(("corner", "grams"), [("Grams", 1), ("g", 1), ("Weight (g)", 1), ("kg", 1000)])
def test_a_unit_over_the_names_of_a_matrix_is_that_of_all_its_amounts(corner: str, grams: int) -> None:
    """300 and 200 of shea butter at 8.20 and wax at 18 a kg are 12.12 a kg; 400 and 100 with oil at 8 are 8.16."""
    reading = read(WEIGHED, f"{corner}|Balm|Whip\nShea butter|300|400\nBeeswax|200|\nOil||100")
    assert reading.good, (sentences(reading), reading.faults)
    assert reading.layouts[1].roles == ("ingredient", "of_formula", "of_formula")
    assert near(costs(reading)["Balm"], F("12.12") / 1000)
    assert near(costs(reading)["Whip"], F("8.16") / 1000)
    assert [one.said.rows.batch for one in reading.formulas] == [500 * grams, 500 * grams]
