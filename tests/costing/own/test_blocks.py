"""Formulas below each other in one sheet: heads once more, batches, what is left out, amounts that do not add up.

Expected costs are worked out here in fractions of what is written.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, PRICES, costs, near, read, sentences, stored, table
from webapp.costing.own.columns import FORMULAS, Layout
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.rows import mark_of

F, D = Fraction, Decimal
ALL = f"{PRICES}\nOil | 1 kg | 8.00\nWater | 10 kg | 3.00"
SHEA, WAX, OIL, WATER = F(41, 5000), F(9) / LB, F(8, 1000), F(3, 10000)
BALM = "Balm\nIngredient | %\nShea butter | 60\nOil | 40\n"
FIRM = SHEA * F(60, 100) + OIL * F(40, 100)


def test_heads_once_more_say_the_unit_of_what_stands_below_them() -> None:
    """45 g and 5 g are 90 % and 10 %."""
    reading = read(ALL, f"{BALM}\nSpray\nIngredient | g\nWater | 45\nOil | 5\n\nLast\nIngredient | %\nOil | 100")
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Balm"], FIRM)
    assert near(found["Spray"], WATER * F(9, 10) + OIL * F(1, 10))
    assert near(found["Last"], OIL)
    assert [(one.said.rows.way, one.said.rows.batch) for one in reading.formulas] == [
        ("percent", None), ("grams", D(50)), ("percent", None),
    ]  # fmt: skip
    assert [one.what for one in reading.skipped] == ["heads once more", "heads once more"]


@pytest.mark.parametrize(
    ("heads", "rows"),
    [
        ("% | Ingredient", "30 | Beeswax\n70 | Oil"),
        ("Ingredient | g | %", "Beeswax | 60 | 30\nOil | 140 | 70"),
        ("Ingredient | Amount | cost", "Beeswax | 60 g | 12\nOil | 0.14 kg | 5"),
        ("Phase | Ingredient | kg", "A | Beeswax | 3\nB | Oil | 7"),
    ],
)
def test_heads_once_more_say_which_column_holds_what(heads: str, rows: str) -> None:
    reading = read(ALL, f"{BALM}\nWax\n{heads}\n{rows}")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Wax"], WAX * F(3, 10) + OIL * F(7, 10))
    assert near(costs(reading)["Balm"], FIRM)


def test_what_a_person_said_of_a_column_counts_below_the_same_head_and_is_not_lost_below_others() -> None:
    """She says that the column called % holds grams: 3 g and 1 g. Below a head that says ounces it is ounces."""
    text = "Ingredient | % | x\nA\nOil | 3 |\nWater | 1 |\nIngredient | % | x\nB\nOil | 1 |"
    text += "\nIngredient | oz | x\nC\nOil | 2 |"
    layout = Layout(FORMULAS, 1, ("ingredient", "grams", ""))
    reading = read(ALL, text, layouts={1: layout})
    assert [(one.said.rows.name, one.said.rows.way, one.said.rows.batch) for one in reading.formulas] == [
        ("A", "grams", D(4)), ("B", "grams", D(1)), ("C", "grams", D("56.699046")),
    ]  # fmt: skip
    assert near(costs(reading)["A"], OIL * F(3, 4) + WATER * F(1, 4))
    # heads that would make two columns the same are passed over, and those before count
    twice = read(ALL, "Ingredient | % | x\nOil | 100 |\n% | % | Ingredient\nWater | 0.00001 |", layouts={
        1: Layout(FORMULAS, 1, ("ingredient", "percent", ""))})  # fmt: skip
    assert [line.ingredient for line in twice.formulas[0].said.rows.lines] == ["Oil", "Water"]


SPRAY = "\nSpray, makes 500 g\nIngredient | g\nWater | q.s.\nOil | 25\nBeeswax | 5"


def test_the_rest_of_grams_is_what_the_others_leave_of_the_batch() -> None:
    """500 g less 30 g: 470 g of water."""
    exact = (WATER * 470 + OIL * 25 + WAX * 5) / 500
    for text in (
        SPRAY,
        SPRAY.replace("Spray, makes 500 g", "Spray (batch: 500 g)"),
        SPRAY.replace(", makes 500 g", "").replace("q.s.", "q.s. to 500"),
        SPRAY.replace(", makes 500 g", "").replace("q.s.", "to 0.5 kg"),
    ):
        reading = read(ALL, BALM + text)
        assert reading.good, (text, sentences(reading))
        spray = reading.formulas[1].said.rows
        assert (spray.name, spray.way, spray.batch) == ("Spray", "grams", D(500))
        assert spray.remarks == ["Water takes the rest of 500 g: 470 g."]
        assert near(costs(reading)["Spray"], exact)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (SPRAY.replace(", makes 500 g", ""), "the others weigh 30 g, and the rest of what is not said."),
        (SPRAY.replace("500 g", "20 g"), "the others weigh 30 g, and the rest of 20 g is nothing."),
    ],
)
def test_a_rest_of_nothing_is_asked_at_its_own_cell(text: str, words: str) -> None:
    reading = read(ALL, BALM + text)
    assert sentences(reading) == [("B8", f"Spray: {words} Type the grams of Water.")]
    mended = read(ALL, BALM + text, fixes={"s1_r8_c1": "470"})
    assert mended.good, sentences(mended)


@pytest.mark.parametrize(
    ("row", "cell"),
    [
        ("Batch | 99999999 kg", "B6"),
        ("Batch size: 99999999 kg", "A6"),
        ("Spray, makes 99999999 kg", "A6"),
        ("Spray | | 99999999 kg", "C6"),
    ],
)
def test_a_batch_that_cannot_be_kept_is_wrong_at_the_cell_that_says_it(row: str, cell: str) -> None:
    reading = read(ALL, f"{BALM}\n{row}\nOil | 100")
    said = [
        at for at, words in sentences(reading) if words.startswith("The size of the batch: ") or "is a mass" in words
    ]
    assert said == [cell]


def test_a_second_rest_is_wrong_at_its_amount() -> None:
    reading = read(ALL, "Two\nIngredient | %\nWater | q.s.\nOil | qs\nBeeswax | 1")
    assert sentences(reading) == [("B4", "Only one line can take the rest.")]


def test_amounts_that_are_written_in_different_ways_are_wrong_where_they_differ() -> None:
    text = f"{BALM}\nMix\nIngredient | Amount\nOil | 5 g\nWater | 20 %\nBeeswax | 2 g"
    reading = read(ALL, text)
    assert sentences(reading) == [
        ("B9", "Mix: most amounts are in grams, and this is not. Write all of them in one way."),
    ]  # fmt: skip


# --- left out


def test_a_title_that_is_left_out_takes_its_formula_with_it() -> None:
    text = f"{BALM}\nSpray\nIngredient | g\nBatch | 2 kg\nWater | q.s.\nOil | 25\n\nLast\nOil | 100 %"
    reading = read(ALL, text, left_out=frozenset({"s1_r6"}))
    assert reading.good, sentences(reading)
    assert [(one.said.rows.name, len(one.said.rows.lines)) for one in reading.formulas] == [("Balm", 2), ("Last", 1)]
    assert near(costs(reading)["Balm"], FIRM)
    assert ("left out, with what stands below it", "Spray") in [(one.what, one.words) for one in reading.skipped]


def test_the_title_above_the_heads_may_be_left_out_too_and_is_none_where_a_column_has_the_names() -> None:
    text = f"{BALM}\nLast\nOil | 100"
    reading = read(ALL, text, left_out=frozenset({"s1_r1"}))
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Last"]
    named = read(ALL, "Summer\nFormula | Ingredient | %\nLast | Oil | 100")
    assert [one.said.rows.name for one in named.formulas] == ["Last"]


def test_a_row_that_is_left_out_takes_nothing_else_with_it() -> None:
    text = f"{BALM}Beeswax | 5\nPhase B\nBatch | 2 kg\nTotal | 105\nIngredient | %"
    out = frozenset({"s1_r5", "s1_r6", "s1_r7", "s1_r8", "s1_r9"})
    reading = read(ALL, text, left_out=out)
    assert reading.good, sentences(reading)
    (balm,) = reading.formulas
    assert (balm.said.rows.batch, [line.stage for line in balm.said.rows.lines]) == (None, ["", ""])
    assert near(balm.cost, FIRM)


def test_the_first_row_of_a_formula_by_column_leaves_the_others_with_their_name() -> None:
    text = (
        "Formula | Ingredient | %\nBalm | Shea butter | 60\n | Oil | 40\nWax | Beeswax | 70\n | Oil | 30\n | Water | 70"
    )
    reading = read(ALL, text, left_out=frozenset({"s1_r4"}))
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Balm", "Wax"]
    assert near(costs(reading)["Wax"], OIL * F(3, 10) + WATER * F(7, 10))
    none = read(ALL, text, left_out=frozenset({"s1_r4", "s1_r5", "s1_r6"}))
    assert none.good
    assert [one.said.rows.name for one in none.formulas] == ["Balm"]


# --- around the lines


def test_figures_below_a_formula_are_none_of_its_lines() -> None:
    text = f"{BALM}Cost per 100 g | 1.20\nJars | 3\nSelling price | 9\n\nNext\nOil | 30\nPrice | 3\nOil | 70"
    reading = read(ALL, text.replace("\nOil | 70", "\nWater | 70"))
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], FIRM)
    # a material that is known is a line wherever it stands
    assert near(costs(reading)["Next"], OIL * F(3, 10) + WATER * F(7, 10))
    assert [one.row for one in reading.skipped if one.what == "figures beside the formulas"] == [5, 6, 7, 11]


def test_a_stage_above_the_first_formula_does_not_name_it() -> None:
    rows = "Phase A\nIngredient | %\nWater | 60\nPhase B\nShea butter | 30\nOil | 10"
    for text in (rows, rows.replace("Phase A\nIngredient | %", "Ingredient | %\nPhase A")):
        reading = read(ALL, text)
        assert reading.good, sentences(reading)
        (lotion,) = reading.formulas
        assert lotion.said.rows.name == "Sheet 2"
        assert [line.stage for line in lotion.said.rows.lines] == ["Phase A", "Phase B", "Phase B"]


def test_columns_of_batches_hold_grams_and_a_batch_that_changes_is_asked() -> None:
    text = "Balm\nIngredient | Percent | Batch 1 (500g) | Batch 2 (1kg)"
    text += "\nShea butter | 60 | 300 | 600\nOil | 40 | 200 | 400"
    assert laid_out(table(text)).roles == ("ingredient", "percent", "grams", "")
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    assert reading.formulas[0].said.rows.batch == D(500)
    other = read(ALL, "Formula | Ingredient | % | Batch\nBalm | Shea butter | 60 | 300\nBalm | Oil | 40 | 200")
    assert [(cell, words.partition(".")[0]) for cell, words in sentences(other)] == [
        ("D3", "Balm: its batch stands here as 200 g, and above as 300 g"),
    ]  # fmt: skip
    same = read(ALL, "Formula | Ingredient | % | Batch\nBalm | Shea butter | 60 | 1 kg\nBalm | Oil | 40 | 1000")
    assert same.good


# --- amounts that do not add up

SERUM = "Serum\nIngredient | %\nShea butter | 80\nBeeswax | 50\nOil | 40\nWater | q.s.\n"


def test_far_from_100_it_is_asked_what_the_amounts_are_and_each_cell_can_be_corrected() -> None:
    text = SERUM.replace("Water | q.s.", "Water | 30")
    reading = read(ALL, text)
    assert [(one.cell, one.choice == f"kind-{mark_of('Serum')}") for one in reading.wrong] == [
        ("B3", True), ("B3", False), ("B4", False), ("B5", False), ("B6", False),
    ]  # fmt: skip
    assert reading.wrong[0].sentence == (
        "Serum: the lines add up to 200 %, 100 more than 100. Choose what its amounts are, or correct them."
    )
    assert not any("would be" in words for _, words in sentences(reading))
    grams = read(ALL, text, kinds={mark_of("serum"): "grams"})
    assert grams.good
    assert f"kind-{mark_of('Serum')}" in grams.asks
    assert near(costs(grams)["Serum"], (SHEA * 80 + WAX * 50 + OIL * 40 + WATER * 30) / 200)
    parts = read(ALL, text, kinds={mark_of("Serum"): "parts"})
    assert near(costs(parts)["Serum"], (SHEA * 80 + WAX * 50 + OIL * 40 + WATER * 30) / 200)
    percent = read(ALL, text, kinds={mark_of("Serum"): "percent"})
    assert [one.choice for one in percent.wrong] == [""] * 4
    halved = {f"s1_r{row}_c1": amount for row, amount in ((3, "40"), (4, "25"), (5, "20"), (6, "15"))}
    mended = read(ALL, text, fixes=halved)
    assert mended.good, sentences(mended)
    full = read(ALL, SERUM)
    assert [(one.cell, bool(one.choice)) for one in full.wrong] == [
        ("B3", True), ("B3", False), ("B4", False), ("B5", False),
    ]  # fmt: skip
    assert "the lines add up to 170 %, so nothing is left for Water." in full.wrong[0].sentence
    rest = read(ALL, SERUM.replace("Serum", "Serum, makes 200 g", 1), kinds={mark_of("Serum"): "grams"})
    assert rest.good, sentences(rest)
    assert near(costs(rest)["Serum"], (SHEA * 80 + WAX * 50 + OIL * 40 + WATER * 30) / 200)


@pytest.mark.parametrize(
    ("amounts", "read_as"),
    [
        (("33.3", "33.3", "33.3"), (D("33.333334"), D("33.333333"), D("33.333333"))),  # 99.9: three times 0.05 away
        (("33.4", "33.4", "33.3"), (D("33.366634"), D("33.366633"), D("33.266733"))),  # 100.1; 33.4 / 1.001
        (("66.5", "33", "1"), None),  # 100.5: three times 0.05 is 0.15
        (("33", "33", "33"), None),  # 99: one away, though three halves might be
        (("34", "33.5", "33"), None),
    ],
)
def test_percent_that_miss_a_hundred_by_their_rounding_are_read_in_proportion(
    amounts: tuple[str, ...], read_as: tuple[Decimal, ...] | None
) -> None:
    rows = "\n".join(f"{name} | {one}" for name, one in zip(("Shea butter", "Oil", "Water"), amounts, strict=True))
    reading = read(ALL, f"Balm\nIngredient | %\n{rows}")
    assert reading.good == (read_as is not None)
    if read_as is not None:
        balm = reading.formulas[0].said.rows
        assert tuple(line.amount for line in balm.lines) == read_as
        total = sum(map(D, amounts))
        assert balm.remarks == [
            f"Its percent are rounded and come to {total}: read in proportion, so that they make 100."
        ]


# --- a batch for all that say none


def test_one_batch_for_all_formulas_that_say_none() -> None:
    sold = "Product | Formula | Size\nTin | Balm | 50 g\nPot | Spray | 25 g"
    text = f"{BALM}\nSpray\nIngredient | g\nWater | 45\nOil | 5"
    without = read(ALL, text, sold)
    assert without.unsized == ("Balm",)
    reading = read(ALL, text, sold, batch=D(1000))
    assert reading.good, sentences(reading)
    assert reading.unsized == ("Balm",)
    assert reading.after is not None
    assert {one.name: one.batch_grams for one in reading.after.formulas.values()} == {"Balm": 1000, "Spray": 50}
    assert near(reading.products[0].ingredients, FIRM * 50)  # 20 tins of a batch
    held = stored(reading)
    assert read(text, book=held, batch=D(500)).says_nothing_new  # what the book says stays
    assert read(text, book=held).unsized == ()
    bare = replace(held, formulas={key: replace(one, batch_grams=None) for key, one in held.formulas.items()})
    assert read(text, book=bare).unsized == ("Balm",)
    assert EMPTY.formulas == {}


# --- the name of a formula as the head over its ingredients


def test_the_name_of_a_formula_may_be_the_head_over_its_ingredients() -> None:
    text = "Balm | %\nShea butter | 60\nOil | 40\n\nSpray, makes 1 kg | g\nWater | q.s.\nOil | 100\nPrice | 3"
    assert laid_out(table(text, "x")).roles == ("ingredient", "percent")
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Balm"], FIRM)
    assert near(found["Spray"], WATER * F(9, 10) + OIL * F(1, 10))
    left = read(ALL, text, left_out=frozenset({"s1_r1"}))
    assert [one.said.rows.name for one in left.formulas] == ["Spray"]
    other = read(ALL, text, left_out=frozenset({"s1_r5"}))
    assert [(one.said.rows.name, len(one.said.rows.lines)) for one in other.formulas] == [("Balm", 2)]
    assert laid_out(table("%\n60\n40", "Recipes")).roles == ("percent",)
    assert laid_out(table("Balm | 7 | %\n1 | 2 | 60\n3 | 4 | 40", "Recipes")).roles == ("", "", "percent")


def test_a_title_may_stand_where_amounts_do_left_of_the_ingredients() -> None:
    text = "% | Ingredient\nBalm |\n60 | Shea butter\n40 | Oil\n\nWax |\n100 | Beeswax"
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], FIRM)
    assert near(costs(reading)["Wax"], WAX)
    lone = read(ALL, text.replace("100 | Beeswax", "100 |"))
    assert [cell for cell, _ in sentences(lone)] == ["B7"]


def test_a_sum_is_no_row_of_heads() -> None:
    """Formulas below each other without any heads: what is a sum of the first one named a column of prices before."""
    text = "Balm | \nShea butter | 60%\nOil | 40%\nTotal | 100%\n\nWax | \nBeeswax | 100%\nTotal | 100%"
    assert laid_out(table(text, "Pasted cells")) == Layout(FORMULAS, 0, ("ingredient", "percent"))
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], FIRM)
    assert near(costs(reading)["Wax"], WAX)
    assert laid_out(table("Item | Total | Pack\nOil | 8 | 1 kg", "x")).roles == ("name", "price", "pack")
