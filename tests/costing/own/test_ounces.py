"""Weights in pounds and ounces, amounts in fractions, percent beside ounces, pieces by the dozen.

Expected figures are worked out here in fractions of what is written; a pound and an ounce as `costing/units.py` names.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, OZ, costs, near, read, sentences, table
from webapp.costing.amounts import Unreadable
from webapp.costing.own.cells import Read, amount
from webapp.costing.own.columns import FORMULAS, MATERIALS, Layout, role_of, sort_of, unit_in
from webapp.costing.own.heads import is_amount, unit_alone
from webapp.costing.own.layouts import laid_out, laid_out_as
from webapp.costing.own.lines import measured, weighed
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.units import dozens_in, fraction_in

F, D = Fraction, Decimal
PRICES = "Ingredient|Pack|Price\nShea butter|1 kg|8\nOlive oil|1 kg|6\nBeeswax|1 kg|10"
SHEA, OIL, WAX = F(8, 1000), F(6, 1000), F(10, 1000)
POINT = Told(sign=".")


def about(figure: object, exact: Fraction) -> bool:
    """Whether a cost is right but for what grams lose that are kept to six decimals."""
    return isinstance(figure, Decimal) and abs(F(figure) - exact) < exact / 10**6


# --- pounds and ounces in two columns

LIST = "Shea butter|2|8|20\nOlive oil|1||5\nBeeswax||8|4\nLanolin|0|6 1/2|3\nCocoa butter|1|½|9\nTotal|4|23|41"


@pytest.mark.parametrize(
    "heads",
    [
        "Ingredient|lb|oz|Price",
        "Ingredient|Pounds|Ounces|Price",
        "Ingredient|Weight (lb)|Weight (oz)|Price",
        "Ingredient|Size lb|Size oz.|Price",
        "Ingredient|Pack lbs|Pack oz|Price",
        "Ingredient|Weight||Price\n|lb|oz|",
        "Ingredient|Pack size||Price\n|lbs.|oz.|",
    ],
)
def test_a_pack_in_pounds_and_ounces_is_one_weight(heads: str) -> None:
    """20 for 2 lb 8 oz are 8 a pound; the ounces were left out before, or nothing was read."""
    reading = read(f"{heads}\n{LIST}")
    assert reading.good, (reading.faults, sentences(reading))
    found = costs(reading)
    assert near(found["Shea butter"], F(20) / (LB * F(5, 2)))
    assert near(found["Olive oil"], F(5) / LB)
    assert near(found["Beeswax"], F(4) / (LB * F(8, 16)))
    packs = [(one.said.row.size, one.said.row.unit) for one in reading.materials]
    assert packs == [(D("2.5"), "lb"), (D(1), "lb"), (D(8), "oz"), (D("0.40625"), "lb"), (D("1.03125"), "lb")]


def test_the_same_weight_once_in_pounds_and_once_in_ounces_is_not_added_up() -> None:
    reading = read("Item|Weight (lb)|Weight (oz)|Price\nShea butter|2|32|20\nBeeswax|0.5|8|4\nOlive oil|1.3|20.8|5")
    assert reading.good
    assert reading.layouts[0].roles == ("name", "pack", "", "price")
    assert near(costs(reading)["Shea butter"], F(20) / (LB * 2))
    rounded = read("Item|Weight (lb)|Weight (oz)|Price\nShea butter|1.3|21|20")  # 1.3 lb are 20.8 oz
    assert rounded.layouts[0].roles == ("name", "pack", "", "price")


def test_nearly_a_pound_of_ounces_beside_a_pound_and_ounces_beside_none_are_no_second_weight() -> None:
    """1 lb 15.5 oz are 31.5 oz, and 0 lb 0.5 oz a half."""
    for row, ounces in (("1|15.5", F("31.5")), ("0|0.5", F("0.5"))):
        reading = read(f"Item|lb|oz|Price\nOlive oil|{row}|63")
        assert near(costs(reading)["Olive oil"], F(63) / (LB * ounces / 16))


def test_ounces_may_stand_left_of_their_pounds() -> None:
    reading = read("Item|Weight (oz)|Weight (lb)|Price\nShea butter|8|2|20")
    assert reading.layouts[0].roles == ("name", "ounces", "pack", "price")
    assert near(costs(reading)["Shea butter"], F(20) / (LB * F(5, 2)))
    twice = read("Item|oz|lb|Price\nShea butter|32|2|20")
    assert "ounces" not in twice.layouts[0].roles


def test_a_row_that_says_one_weight_in_both_is_asked_where_others_are_in_two_parts() -> None:
    reading = read("Item|lb|oz|Price\nShea butter|2|8|20\nOlive oil|1|16|5\nBeeswax|1.5|24|9\nLanolin|1 kg|8|3")
    assert [cell for cell, _ in sentences(reading)] == ["B3", "B4", "B5"]
    assert "1 lb 16 oz: one weight in two units, or a slip?" in sentences(reading)[0][1]
    assert costs(reading)["Olive oil"] is None
    mended = read("Item|lb|oz|Price\nOlive oil|1|16|5\nShea butter|2|8|20", fixes={"s0_r2_c2": "4"})
    assert near(costs(mended)["Olive oil"], F(5) / (LB * F(20, 16)))


@pytest.mark.parametrize(
    "heads",
    [
        "Item|Pack|lb|oz|Price",
        "Item|Pack|Price lb|Price oz",
        "Item|Stock lb|Stock oz|Price",
        "Item|Weight lb|Stock oz|Price",
        "Item|Pack||Price",
        "Item|Note||Price\n|lb|oz|",
    ],
)
def test_other_columns_of_pounds_or_ounces_are_no_weight_in_two_parts(heads: str) -> None:
    cells = "|".join(["Shea butter", "2", "8", "20", "3"][: len(heads.split("\n", maxsplit=1)[0].split("|"))])
    assert "ounces" not in laid_out_as(table(f"{heads}\n{cells}"), MATERIALS).roles


def test_ounces_without_pounds_are_asked_and_without_heads_none_are_found() -> None:
    asked = read(
        "Item|lb|oz|Price\nShea butter|2|8|20", layouts={0: Layout(MATERIALS, 1, ("name", "", "ounces", "price"))}
    )
    assert asked.faults[-1] == (
        "sheets-0-columns-2", "Ounces stand beside pounds. Choose the column with the pounds, or leave this one out.",
    )  # fmt: skip
    assert "ounces" not in laid_out(table("Shea butter|2|8|20\nOlive oil|1|3|9")).roles


BALM = "Shea butter|2|8\nOlive oil|1|\nBeeswax||8"


@pytest.mark.parametrize(
    "heads", ["Ingredient|lb|oz", "Ingredient|Weight (lb)|Weight (oz)", "Ingredient|Weight|\n|lb|oz", "Balm|lbs|oz"]
)
def test_a_formula_in_pounds_and_ounces_has_all_of_its_weight(heads: str) -> None:
    """40, 16 and 8 oz of 64 oz. Only the pounds were read before."""
    reading = read(PRICES, f"Balm\n{heads}\n{BALM}")
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Balm"], SHEA * F(40, 64) + OIL * F(16, 64) + WAX * F(8, 64))
    assert reading.formulas[0].said.rows.batch == D("1814.36948")  # 4 lb


def test_heads_once_more_are_in_pounds_and_ounces_too_and_a_batch_may_be() -> None:
    text = (
        "Balm\nIngredient|%|\nShea butter|100|\n\nSoft, makes 2 lb 8 oz\nIngredient|lb|oz\nOlive oil|2|\nBeeswax|q.s.|"
    )
    reading = read(PRICES, f"{text}\n\nHard\nIngredient|lb|oz\nBeeswax|1|8\nOlive oil||0 1/2")
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Soft"], OIL * F(32, 40) + WAX * F(8, 40))
    assert about(costs(reading)["Hard"], WAX * F(48, 49) + OIL * F(1, 49))
    named = read(PRICES, "Firm|%\nShea butter|100\n\nBalm|lb|oz\nShea butter|1|8\nOlive oil|0|8")
    assert near(costs(named)["Balm"], SHEA * F(24, 32) + OIL * F(8, 32))
    titled = read(PRICES, "Balm||\nShea butter|1|8\nOlive oil|0|8", layouts={
        1: Layout(FORMULAS, 0, ("ingredient", "amount", "ounces"))})  # fmt: skip
    assert near(costs(titled)["Balm"], SHEA * F(24, 32) + OIL * F(8, 32))


def test_a_title_in_pounds_and_ounces_that_is_the_sum_of_its_lines_is_told_by_both_columns() -> None:
    """3 lb are 1 lb 8 oz and 1 lb 8 oz; by the pounds alone it would be no sum."""
    soft = "Soft|3|0\nShea butter|1|8\nOlive oil|1|8\nTotal|3|0"
    reading = read(PRICES, f"Ingredient|lb|oz\n{soft}\n\nHard|5|0\nBeeswax|3|8\nOlive oil|1|8\nTotal|5|0")
    assert [one.said.rows.name for one in reading.formulas] == ["Soft", "Hard"]
    assert near(costs(reading)["Soft"], (SHEA + OIL) / 2)
    assert near(costs(reading)["Hard"], WAX * F(56, 80) + OIL * F(24, 80))


def test_a_cell_that_was_typed_has_the_sign_that_was_chosen_though_the_one_beside_it_is_a_number() -> None:
    """1.500 as a text is 1500 where decimals have a comma, and as a number one and a half."""
    sheet = table("Item|lb|oz|Price\nOil|1|1.500|20", exact=True)
    told = Choices(told=Told(sign=","))
    assert read_own(EMPTY, [sheet], told).materials[0].said.row.size == D("1.09375")
    typed = replace(sheet, typed=frozenset({(2, 2)}))
    assert [one.cell for one in read_own(EMPTY, [typed], told).wrong] == ["B2"]


# --- pounds and ounces, and fractions, in one cell


@pytest.mark.parametrize(
    ("text", "beside", "read_as"),
    [
        ("2 lb 8 oz", "", Read(D("2.5"), "lb")),
        ("2lbs, 8 oz.", "", Read(D("2.5"), "lb")),
        ("1 pound and 4 ounces", "", Read(D("1.25"), "lb")),
        ("3 x 1 lb 8 oz", "", Read(D("4.5"), "lb")),
        ("1 lb 0.001 oz", "", Read(D("16.001"), "oz")),  # 1/16 of that has more than six decimals
        ("1 lb 2½ oz", "", Read(D("1.15625"), "lb")),
        ("1 1/2 oz", "", Read(D("1.5"), "oz")),
        ("1½ oz", "", Read(D("1.5"), "oz")),
        ("1 ½ oz", "", Read(D("1.5"), "oz")),
        ("½", "kg", Read(D("0.5"), "kg")),
        ("3/4", "lb", Read(D("0.75"), "lb")),
        ("2 3\u204416 lb", "", Read(D("2.1875"), "lb")),
        ("\u2153 lb", "", Read(D("0.333333"), "lb", "\u2153 lb is kept as 0.333333.")),
        ("1/2 lb (bag)", "", Read(D("0.5"), "lb", "1/2 lb is read; (bag) beside it is not.")),
        ("4 x 1/2 lb", "", Read(D(2), "lb")),
        ("1/2 gal US", "", Read(D("0.5"), "US gallon")),
    ],
)
def test_fractions_and_ounces_are_read_exactly(text: str, beside: str, read_as: Read) -> None:
    assert amount(text, POINT, beside) == read_as


@pytest.mark.parametrize(
    "text",
    [
        "2026-1/2 oz", "3/2 oz", "2/2 oz", "1/17 oz", "0/2 oz", "1/0 oz", "1/2/2026", "1/2/26 oz", "1.5 1/2 oz",
        "1/2 1/2 oz", "1 11/2 oz", "3 1\u00bd oz", "1/2-3/4 oz", "11/2", "1 lb 16 oz", "1.5 lb 3 oz", "1 lb / 12 oz",
        "1/2.5 oz", "\u00bd1 oz", "\u2189 oz",
    ],
)  # fmt: skip
def test_what_is_no_fraction_of_a_kitchen_is_asked(text: str) -> None:
    with pytest.raises(Unreadable):
        amount(text, POINT)
    with pytest.raises(Unreadable):
        measured(text, POINT, "oz")


def test_a_fraction_alone_is_an_amount_only_where_amounts_stand() -> None:
    texts = ("1/2", "1 1/2", "½", "1/2 oz", "12½ %", "½ cup", "2 lb 8 oz", "1/2/2026")
    assert [sort_of(one) for one in texts] == [
        "text", "number", "number", "amount", "percent", "text", "amount", "day",
    ]  # fmt: skip
    assert [is_amount(one) for one in ("1/2", "½ cup", "Balm")] == [True, False, False]
    assert fraction_in("1\u204412") == (F(1, 12), 12, "")
    days = read("Item|Pack|Price|Date\nShea butter|1 kg|8|1/2")
    assert [cell for cell, _ in sentences(days)] == ["D2"]


def test_a_formula_in_fractions_is_that_of_their_sum() -> None:
    """1 1/2, 1 3/4 and 3/4 oz of 4 oz; 1 1/2, 1/2 and 2 parts of 4."""
    ounces = read(PRICES, "Balm\nIngredient|oz\nShea butter|1 1/2\nOlive oil|1¾\nBeeswax|3/4")
    assert ounces.good, sentences(ounces)
    assert near(costs(ounces)["Balm"], SHEA * F(6, 16) + OIL * F(7, 16) + WAX * F(3, 16))
    parts = read(PRICES, "Balm\nIngredient|Parts\nShea butter|1 1/2\nOlive oil|½\nBeeswax|2")
    assert near(costs(parts)["Balm"], SHEA * F(3, 8) + OIL * F(1, 8) + WAX * F(4, 8))
    thirds = read(PRICES, "Balm\nIngredient|%\nShea butter|33 1/3\nOlive oil|33 1/3%\nBeeswax|33⅓ %")
    assert thirds.good, sentences(thirds)
    side = read(PRICES, "Ingredient|Balm %|Soft %\nShea butter|62½|50\nOlive oil|37 1/2|50")
    assert near(costs(side)["Balm"], SHEA * F(5, 8) + OIL * F(3, 8))


# --- percent beside ounces

OUNCES = "Balm\nIngredient|%|oz\nShea butter|62.5|10\nOlive oil|37.5|6"


@pytest.mark.parametrize(
    "text",
    [
        OUNCES,
        OUNCES.replace("oz", "Weight (oz)"),
        "Balm\nIngredient|%|lb\nShea butter|62.5|0.625\nOlive oil|37.5|0.375",
        "Balm\nIngredient|%|Amount\nShea butter|62.5|10 oz\nOlive oil|37.5|6 oz",
        "Balm\nIngredient|%|Amount\nShea butter|62.5|10/16 lb\nOlive oil|37.5|0 lb 6 oz",
        "Balm\nIngredient|Qty|Unit|%\nShea butter|10|oz|62.5\nOlive oil|6|oz|37.5",
        "Balm\nIngredient|%|lb|oz\nShea butter|62.5|0|10\nOlive oil|37.5||6",
        "Ingredient|Balm %|Balm oz\nShea butter|62.5|10\nOlive oil|37.5|6",
    ],
)
def test_percent_beside_a_weight_count_and_the_weight_says_the_batch(text: str) -> None:
    """16 oz are a pound, 453.59237 g."""
    reading = read(PRICES, text)
    assert reading.good, (reading.faults, sentences(reading))
    (one,) = reading.formulas
    assert (one.said.rows.way, one.said.rows.batch) == ("percent", D("453.59237"))
    assert near(one.cost, SHEA * F(5, 8) + OIL * F(3, 8))


def test_ounces_that_are_not_the_percent_beside_them_are_told_in_ounces() -> None:
    """3 of 4 rows agree on 16 oz: 12.5 % of that are 2 oz."""
    text = "Balm\nIngredient|%|oz\nShea butter|50|8\nOlive oil|25|4\nBeeswax|12.5|3\nLanolin|12.5|2"
    reading = read(PRICES, text)
    words = (
        "Balm: 12.5 % of Beeswax would be 2 oz, as the other rows have it, and 3 oz stand here. Correct one of them, "
    )
    assert sentences(reading) == [("C5", f"{words}or leave the column of weights out.")]
    assert read(PRICES, text, fixes={"s1_r5_c2": "2"}).good
    side = read(PRICES, "Ingredient|Balm %|Balm oz\nShea butter|50|8\nOlive oil|25|4\nBeeswax|25|5")
    assert "25 % of Beeswax would be 4 oz" in sentences(side)[0][1]


@pytest.mark.parametrize("heads", ["Ingredient|g|oz", "Ingredient|Parts|oz"])
def test_grams_or_parts_count_before_ounces_and_are_compared_with_them(heads: str) -> None:
    """8 oz are 226.8 g, and 4 oz 113.4 g; the ounces were left out without a word."""
    text = f"Balm\n{heads}\nShea butter|226.8|8\nOlive oil|113.4|4\nBeeswax|113.4|4"
    reading = read(PRICES, text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], SHEA * F(2, 4) + OIL * F(1, 4) + WAX * F(1, 4))
    assert [cell for cell, _ in sentences(read(PRICES, text.replace("113.4|4\nB", "113.4|5\nB")))] == ["C4"]


def test_quarters_of_an_ounce_leave_room_for_an_eighth() -> None:
    """70 % of 1 lb are 11.2 oz, written as 11 1/4; 30 % are 4.8 oz, written as 4 3/4. 10 1/4 is none of it."""
    text = "Balm\nIngredient|%|oz\nShea butter|70.0|11 1/4\nOlive oil|30.0|4 3/4"
    assert read(PRICES, text).good
    assert weighed("11 1/4", POINT, "oz", 2) is not None
    assert [cell for cell, _ in sentences(read(PRICES, text.replace("11 1/4", "10 1/4")))] == ["C3", "C4"]


def test_what_stands_beside_percent_and_is_no_mass_is_not_compared() -> None:
    for text in (
        "|Amount\nShea butter|62.5|1 cup\nOlive oil|37.5|½ cup",
        "|Amount\nShea butter|62.5|9\nOlive oil|37.5|1",
        "|oz\nShea butter|62.5|q.s.\nOlive oil|37.5|",
    ):
        reading = read(PRICES, f"Balm\nIngredient|%{text}")
        assert reading.good, (reading.faults, sentences(reading))
        assert near(costs(reading)["Balm"], SHEA * F(5, 8) + OIL * F(3, 8))


def test_rounded_percent_give_way_to_complete_ounces() -> None:
    """A third each: 33.3 % three times, 2 oz each."""
    reading = read(PRICES, "Balm\nIngredient|%|oz\nShea butter|33.3|2\nOlive oil|33.3|2\nBeeswax|33.3|2")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], (SHEA + OIL + WAX) / 3)
    assert reading.formulas[0].said.rows.batch == D("170.097139")  # 6 oz
    assert {line.amount for line in reading.formulas[0].said.rows.lines} == {D("56.699046")}


@pytest.mark.parametrize(("unit", "exact"), [("oz", OZ), ("lb", LB), ("kg", F(1000))])
def test_a_head_that_calls_a_weight_by_another_unit_is_read_in_it(unit: str, exact: Fraction) -> None:
    """A column "Weight (oz)" was read in grams before: the batch was 28 times too small."""
    reading = read(PRICES, f"Balm\nIngredient|Weight ({unit})\nShea butter|2\nOlive oil|2")
    assert reading.good, sentences(reading)
    batch = reading.formulas[0].said.rows.batch
    assert batch is not None
    assert abs(F(batch) - exact * 4) < F(1, 10**5)
    assert laid_out(table(f"Ingredient|Weight ({unit})\nShea butter|2\nOlive oil|2", "Balm")).holds == FORMULAS
    assert (role_of(f"Weight ({unit})", FORMULAS), unit_alone(f"Weight ({unit})")) == ("amount", unit)
    assert (role_of("Weight (g)", FORMULAS), unit_alone("Weight (g)"), unit_alone("Weight")) == ("grams", "g", "g")


# --- by the dozen


@pytest.mark.parametrize(
    ("text", "beside", "count"),
    [
        ("2 dozen", "", 24), ("2 dozen jars", "", 24), ("1 gross lids", "", 144), ("½ dozen", "", 6),
        ("2", "dozen", 24), ("1 1/2 gross", "", 216), ("3 doz.", "", 36), ("box of 2 dozen", "", 24),
        ("4 x 1 dozen", "", 48), ("2 Dutzend", "", 24), ("1", "gross", 144), ("1 dozen (amber)", "", 12),
        ("pack of 12 pcs", "", 12), ("box of 48 jars", "", 48),
    ],
)  # fmt: skip
def test_a_dozen_are_twelve_pieces_and_a_gross_twelve_dozen(text: str, beside: str, count: int) -> None:
    read_as = amount(text, POINT, beside)
    assert (read_as.value, read_as.unit) == (D(count), "pieces")


def test_a_dozen_of_a_unit_and_a_gross_weight_are_asked() -> None:
    for text in ("2 dozen kg", "1 gross weight", "3 gross wt", "gross"):
        with pytest.raises(Unreadable):
            amount(text, POINT)
    assert amount("bag of 500 g", POINT) == Read(D(500), "g")  # was read as 500 pieces
    assert (dozens_in(""), unit_in("Pack (dozen)"), unit_in("Weight (gross)")) == (0, "dozen", "")


def test_packs_by_the_dozen_are_priced_by_the_piece() -> None:
    text = "Item|Pack|Price\nJars|2 dozen|12\nLids|1 gross lids|18\nTins|box of 2 dozen|6"
    assert [one.cost for one in read(text).materials] == [D("0.5"), D("0.125"), D("0.25")]
    units = read("Item|Qty|Unit|Price\nJars|2|dozen|12\nLids|1|gross|18")
    assert [one.cost for one in units.materials] == [D("0.5"), D("0.125")]
    headed = read("Item|Pack (dozen)|Price\nJars|2|12")
    assert [one.cost for one in headed.materials] == [D("0.5")]
    each = read("Item|Price\nJars|6/dozen\nLids|18 per gross\nTins|3 a dozen")
    assert [one.cost for one in each.materials] == [D("0.5"), D("0.125"), D("0.25")]
    assert [one.cost for one in read("Item|Price per dozen\nJars|6").materials] == [D("0.5")]
    half = read("Item|Price\nOil|4/½ kg\nWax|9/ 1 kg")
    assert [(one.said.row.size, one.said.row.price) for one in half.materials] == [(D("0.5"), D(4)), (D(1), D(9))]
    both = read("Item|Pack|Price per dozen\nJars|2 dozen|6")
    assert [(one.said.row.size, one.said.row.price) for one in both.materials] == [(D(24), D(12))]


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("Item|Pack|Price each\nJars|48 pcs|0.5", "C2"),
        ("Item|Pack|Price\nJars|48 pcs|0.5 each", "C2"),
        ("Item|Pack|Einzelpreis\nJars|48 pcs|0.5", "C2"),
        ("Item|Qty|Unit|Price each\nJars|4|dozen|0.5", "D2"),
    ],
)
def test_a_price_each_beside_several_pieces_is_asked_for_what_it_is(text: str, cell: str) -> None:
    """0.5 for each of 48 was read as 0.5 for all of them."""
    words = "Is 0.5 EUR for one piece, or for all 48? Write it behind the price: 0.5/piece or 0.5/48 pieces."
    assert sentences(read(text)) == [(cell, words)]
    column = ord(cell[0]) - ord("A")
    piece = read(text, fixes={f"s0_r2_c{column}": "0.5/piece"})
    assert [one.cost for one in piece.materials] == [D("0.5")]
    whole = read(text, fixes={f"s0_r2_c{column}": "0.5/48 pieces"})
    assert [(one.said.row.size, one.said.row.price) for one in whole.materials] == [(D(48), D("0.5"))]


def test_a_price_each_of_a_pack_by_weight_or_of_packs_is_that_of_a_pack() -> None:
    text = "Item|Qty|Pack|Price each\nJars|2|48 pcs|24\nOlive oil|3|1 kg|6"
    assert [one.cost for one in read(text).materials] == [D("0.5"), D("0.006")]
    assert read("Item|Pack|Price each\nOlive oil|5 kg|30\nJar|1 pc|2").good


@pytest.mark.parametrize("head", ["Dozen", "Qty (dozen)"])
def test_a_number_of_dozens_is_asked_for_what_its_price_is(head: str) -> None:
    """A column headed Dozen was left out before, and the price taken for one piece."""
    text = f"Item|{head}|Price\nJars|2|12"
    asked = read(text)
    assert [(one.cell, one.choice) for one in asked.wrong] == [("B2", "sheets-0-priced")]
    every = read(text, of_sheets={0: OfSheet(priced="all")})
    assert [one.cost for one in every.materials] == [D("0.5")]
    one = read(text, of_sheets={0: OfSheet(priced="one")})
    assert sentences(one) == [
        ("C2", "Is 12 EUR for one piece, or for a dozen? Write it behind the price: 12/piece or 12/dozen."),
    ]
    told = read(text, of_sheets={0: OfSheet(priced="one")}, fixes={"s0_r2_c2": "12/dozen"})
    assert [one.cost for one in told.materials] == [D(1)]
