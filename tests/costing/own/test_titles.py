"""Titles of formulas below each other in one sheet: where they stand, what batch they say, what is asked.

Expected costs are worked out here in fractions of what is written.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import LB, PRICES, costs, near, read, sentences
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.titles import titled_in

F, D = Fraction, Decimal
ALL = f"{PRICES}\nOil | 1 kg | 8.00\nWater | 10 kg | 3.00"
SHEA, WAX, OIL = F(41, 5000), F(9) / LB, F(8, 1000)
#: three formulas as they are drawn up: the name, and ingredients in grams
BALM, BAR, POMADE = F(170 * SHEA + 75 * WAX) / 245, F(300 * SHEA + 100 * OIL) / 400, F(50 * WAX + 150 * OIL) / 200
LINES = (
    ("Ends Rescue", 245, (("Shea butter", 170), ("Beeswax", 75))),
    ("Travel Bar", 400, (("Shea butter", 300), ("Oil", 100))),
    ("Night Pomade", 200, (("Beeswax", 50), ("Oil", 150))),
)


def stacked(
    title: str, heads: str = "Ingredient | Grams | Note", total: str = "\nTotal | {}", gap: str = "\n\n"
) -> str:
    """The three formulas below each other, each with a title: its name and its batch stand for {} {}."""
    return gap.join(
        "\n".join((*filter(None, (title.format(name, batch), heads)), *(f"{one} | {grams}" for one, grams in lines)))
        + total.format(batch)
        for name, batch, lines in LINES
    )


def three(reading: OwnReading, batches: tuple[int | None, ...] = (245, 400, 200)) -> None:
    """All three are read as they are written."""
    assert reading.good, (sentences(reading), reading.names)
    assert [(one.said.rows.name, one.said.rows.batch) for one in reading.formulas] == [
        (name, None if batch is None else D(batch)) for (name, _, _), batch in zip(LINES, batches, strict=True)
    ]
    found = costs(reading)
    assert near(found["Ends Rescue"], BALM)
    assert near(found["Travel Bar"], BAR)
    assert near(found["Night Pomade"], POMADE)


@pytest.mark.parametrize(
    "title",
    [
        "{}",
        "Recipe | {} | {} g",
        "Recipe no. 3: | {}",
        "{} | Batch | {} g",
        "{} | | Batch | {} | g",
        "{} | {} | g",
        "{} | {} g",
        "{} | {}",
        "{} | | Batch: {} g",
        "{} | | {} g batch",
        "{} | Makes: | {}",
        "{} | Total | {} | g",
        "{} | Ansatz | {} g",
        "{} | lotto | {} g",
        "{} | batchgrootte | {} g",
        "{}\nBatch {} g",
        "{}\nBatch | | {} | g",
        "{}\n{} g",
        "{}\n\nBatch size | {} | g\n",
        "{}\nPhase A\nYield | {} g",
        "{} | Phase A\nMakes {} g",
        "{}\nmakes 8 bottles",
        "{} | {} | | my favourite",
        "{} | {}\n",
        "Batch | {1} g | {0}",
        "{1} g | {0}",
        "| {} | {} g",
        "{}\nBatch | {} g | stirred by hand",
        "{}\nSource: my grandmother's book",
    ],
)
def test_what_stands_above_heads_is_the_title_of_what_stands_below(title: str) -> None:
    """Also above the first ones, below the title of the sheet and its notes."""
    three(read(ALL, stacked(title)))
    three(read(ALL, "RECIPES (all of them)\nweights are for one batch. check the total line\n\n" + stacked(title)))
    three(read(ALL, stacked(title, total="\nTotal | {}\nmakes 8 bottles | | each | 1.92", gap="\n\n\n")))


def test_a_name_of_many_words_is_one_and_no_note() -> None:
    text = stacked("{}").replace("Travel Bar", "Oat and Honey Bar for Long Journeys")
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Oat and Honey Bar for Long Journeys"], BAR)


def test_a_batch_in_another_unit_or_far_from_its_lines() -> None:
    """0.4 kg is 400 g; 300 g said of lines of 400 g stay what is said."""
    for said, batch in (("0.4 | kg", "400"), ("0.4 kg", "400"), ("300 | g", "300")):
        reading = read(ALL, stacked("{} | Batch | {} | g").replace("400 | g", said, 1))
        assert reading.good, sentences(reading)
        assert reading.formulas[1].said.rows.batch == D(batch)
        row = read(ALL, stacked("{}\nBatch | {} | g").replace("400 | g", said, 1))
        assert row.formulas[1].said.rows.batch == D(batch)
    # below the heads as well, where a batch of 0.4 kg was one of 0.4 g
    below = read(ALL, "Ingredient | Grams\nBalm\nBatch | 0.4 | kg\nShea butter | 300\nOil | 100")
    assert below.formulas[0].said.rows.batch == D(400)


def test_the_batch_above_the_heads_is_that_of_the_formula_that_is_named_below_them() -> None:
    reading = read(ALL, "Batch 2000 g\nIngredient | Grams\nBalm\nShea butter | 300\nOil | 100")
    assert [(one.said.rows.name, one.said.rows.batch) for one in reading.formulas] == [("Balm", D(2000))]
    alone = read(ALL, "Batch 2000 g\nIngredient | %\nShea butter | 75\nOil | 25")
    assert [(one.said.rows.name, one.said.rows.batch) for one in alone.formulas] == [("Sheet 2", D(2000))]
    left = read(ALL, "Batch 2000 g\nIngredient | %\nShea butter | 75\nOil | 25", left_out=frozenset({"s1_r1"}))
    assert [(one.said.rows.name, one.said.rows.batch) for one in left.formulas] == [("Sheet 2", None)]


def test_one_formula_has_its_title_above_its_batch() -> None:
    reading = read(ALL, "Travel Bar\nMakes | 400 | g\n\nIngredient | %\nShea butter | 75\nOil | 25")
    assert [(one.said.rows.name, one.said.rows.batch) for one in reading.formulas] == [("Travel Bar", D(400))]
    by_sum = read(ALL, "Travel Bar | 400\nIngredient | Grams\nShea butter | 300\nOil | 100")
    assert [(one.said.rows.name, one.said.rows.batch) for one in by_sum.formulas] == [("Travel Bar", D(400))]
    other = read(ALL, "Made in | 2026\nIngredient | Grams\nShea butter | 300\nOil | 100")
    assert [(one.said.rows.name, one.said.rows.batch) for one in other.formulas] == [("Sheet 2", D(400))]
    # what stands further up alone is the title of the sheet
    sheet = read(ALL, "My recipes\n\nIngredient | %\nShea butter | 75\nOil | 25")
    assert [one.said.rows.name for one in sheet.formulas] == ["Sheet 2"]


@pytest.mark.parametrize("title", ["{}", "{} | Batch | {} g", "{} | {} | g", "{} | {}", "{}\nBatch | {} | g"])
@pytest.mark.parametrize(("name", "others"), [(0, (1, 2)), (1, (0, 2)), (2, (0, 1))])
def test_a_title_that_is_left_out_takes_its_whole_formula_with_it(
    title: str, name: int, others: tuple[int, int]
) -> None:
    text = stacked(title)
    row = 1 + [line.partition(" |")[0] for line in text.split("\n")].index(LINES[name][0])
    reading = read(ALL, text, left_out=frozenset({f"s1_r{row}"}))
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == [LINES[one][0] for one in others]
    exact = (BALM, BAR, POMADE)
    assert all(near(one.cost, exact[other]) for one, other in zip(reading.formulas, others, strict=True))
    assert "left out, with what stands below it" in {one.what for one in reading.skipped}


def test_a_row_that_says_a_batch_is_left_out_alone() -> None:
    text = stacked("{}\nBatch | {} | kg")
    three(read(ALL, text, left_out=frozenset({"s1_r2", "s1_r9", "s1_r16"})))


# --- without heads above each


@pytest.mark.parametrize("title", ["{} | Batch | {} g", "{} | Makes | {}", "{} | {}", "{} | {} | g"])
@pytest.mark.parametrize("gap", ["\n\n", "\n"])
def test_without_heads_a_title_says_a_batch_or_the_sum_of_what_stands_below(title: str, gap: str) -> None:
    three(read(ALL, "Ingredient | Grams | Note\n" + stacked(title, heads="", gap=gap)))


def test_without_a_total_it_is_the_sum_where_it_is_so_in_each_part() -> None:
    three(read(ALL, "Ingredient | Grams\n" + stacked("{} | {}", heads="", total="")))
    # one alone may be an ingredient: 400 g of it, 300 g of shea and 100 g of oil
    one = read(ALL, "Ingredient | Grams\nSoap flakes | 400\nShea butter | 300\nOil | 100")
    assert [line.ingredient for line in one.formulas[0].said.rows.lines] == ["Soap flakes", "Shea butter", "Oil"]
    # what is known as a material stays one: 400 g of water in each part, which is asked
    known = stacked("{} | {}", heads="", total="")
    for name, _, _ in LINES:
        known = known.replace(name, "Water")
    water = read(ALL, f"Ingredient | Grams\n{known}")
    assert not water.good
    assert len(water.formulas) == 1


@pytest.mark.parametrize("gap", ["", "\n"])
def test_below_heads_with_a_name_above_them_a_line_is_no_title_whatever_it_weighs(gap: str) -> None:
    """In each formula the first ingredient, which is no known material, weighs what the others do together."""
    three_of = (("Bar", "Flakes", 400, 300, 100), ("Balm", "Lanolin", 70, 50, 20), ("Pomade", "Rosin", 30, 20, 10))
    text = "\n\n".join(
        f"{name}\nIngredient | Grams{gap}\n{first} | {grams}\nShea butter | {shea}\nOil | {oil}"
        for name, first, grams, shea, oil in three_of
    )
    assert [
        (one.said.rows.name, [(line.ingredient, line.amount) for line in one.said.rows.lines])
        for one in read(ALL, text).formulas
    ] == [
        (name, [(first, D(grams)), ("Shea butter", D(shea)), ("Oil", D(oil))])
        for name, first, grams, shea, oil in three_of
    ]


def test_a_total_says_that_an_amount_is_an_ingredient_or_none() -> None:
    """800 g in all: 400 g of flakes, 300 of shea and 100 of oil; 100 % in all, with a rest."""
    text = "Ingredient | Grams\nSoap flakes | 400\nShea butter | 300\nOil | 100\nTotal | 800"
    (one,) = read(ALL, text).formulas
    assert len(one.said.rows.lines) == 3
    rest = read(ALL, "Ingredient | Grams\nBar | 400\nShea butter | q.s.\nOil | 100\nTotal | 400")
    assert rest.good, sentences(rest)
    assert near(costs(rest)["Bar"], BAR)
    other = read(ALL, "Ingredient | Grams\nSoap flakes | 400\nShea butter | 300\nOil | 100\nTotal | 790")
    assert len(other.formulas[0].said.rows.lines) == 3


def test_a_unit_behind_every_amount_tells_no_title() -> None:
    text = "Ingredient | Grams |\nShea butter | 300 | g\nOil | 100 | g\n\nBeeswax | 50 | g\nWater | 20 | g"
    (one,) = read(ALL, text).formulas
    assert [line.ingredient for line in one.said.rows.lines] == ["Shea butter", "Oil", "Beeswax", "Water"]


def test_a_line_right_above_heads_stays_a_line() -> None:
    """What goes on from the line above it, is known as a material, or stands away from the heads is no title."""
    for text in (
        "Ingredient | Grams\nShea butter | 300\nSoap | 5\nIngredient | Grams\nOil | 100",
        "Ingredient | Grams\nShea butter | 300\n\nWater | 5\nIngredient | Grams\nOil | 100",
        "Ingredient | Grams\nShea butter | 300\n\nSoap | 5\n\nIngredient | Grams\nOil | 100",
        "Ingredient | Grams\nShea butter | 300\nWater | 5\nIngredient | Grams\nOil | 5",
        "Ingredient | Grams\nShea butter | 300\nSoap | 5\nCost | 3\nIngredient | Grams\nOil | 100",
    ):
        (one,) = read(ALL, text).formulas
        assert [line.amount for line in one.said.rows.lines][:2] == [D(300), D(5)]
        assert len(one.said.rows.lines) == 3


def test_a_column_of_names_needs_no_titles() -> None:
    heads = "Formula | Ingredient | Grams"
    text = f"{heads}\nBar | Shea butter | 300\nBar | Oil | 100\n\n{heads}\nBalm | Oil | 5"
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Bar", "Balm"]


# --- what nothing says


NAMELESS = stacked("")


def test_heads_below_a_total_without_a_name_are_asked_and_a_name_can_be_typed() -> None:
    reading = read(ALL, NAMELESS)
    ask = "Does a formula begin here? Type its name, or leave this row out where it is all one formula."
    assert not reading.good
    assert sentences(reading) == [
        ("A5", f"Sheet 2: Shea butter stands above and below this row. {ask}"),
        ("A10", f"Sheet 2: Beeswax stands above and below this row. {ask}"),
    ]
    named = read(ALL, NAMELESS, fixes={"s1_r5_c0": "Travel Bar", "s1_r10_c0": "Night Pomade"})
    assert named.good, sentences(named)
    assert near(costs(named)["Travel Bar"], BAR)
    assert near(costs(named)["Night Pomade"], POMADE)
    whole = read(ALL, NAMELESS, left_out=frozenset({"s1_r5", "s1_r10"}))
    assert whole.good, sentences(whole)
    assert [(one.said.rows.batch, len(one.said.rows.lines)) for one in whole.formulas] == [(D(845), 6)]


def test_heads_below_a_total_are_asked_though_no_ingredient_stands_twice() -> None:
    text = "Ingredient | Grams\nShea butter | 300\nTotal | 300\nIngredient | Grams\nOil | 100"
    ask = (
        "Does a formula begin here? Write its name in a row of its own in your sheet, or leave this row out where it is"
    )
    assert sentences(read(ALL, text)) == [("A4", f"Sheet 2: heads stand here once more. {ask} all one formula.")]
    assert read(ALL, text, left_out=frozenset({"s1_r4"})).good


def test_a_stage_between_the_title_and_its_heads_and_between_heads_parts_no_formula() -> None:
    text = "Balm\nPhase A\nIngredient | Grams\nShea butter | 60\nOil | 20\nSubtotal | 80\n\n"
    text += "Phase B\nIngredient | Grams\nShea butter | 20\nTotal | 100"
    reading = read(ALL, text)
    assert reading.good, sentences(reading)
    (balm,) = reading.formulas
    assert balm.said.rows.name == "Balm"
    assert [line.stage for line in balm.said.rows.lines] == ["Phase A", "Phase A", "Phase B"]
    assert near(balm.cost, (SHEA * 80 + OIL * 20) / 100)


def test_two_titles_of_one_name_are_no_one_formula() -> None:
    text = stacked("{} | {} g").replace("Night Pomade", "Ends Rescue")
    words = "Ends Rescue begins in row 1 already. Call one of them something else, or leave it out."
    assert sentences(read(ALL, text)) == [("A13", words)]
    reading = read(ALL, text, left_out=frozenset({"s1_r13"}))
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Ends Rescue"], BALM)
    other = read(ALL, text, fixes={"s1_r13_c0": "Night Pomade"})
    three(other)


def test_the_same_ingredient_in_two_stages_or_in_percent_of_one_hundred_is_one_formula() -> None:
    stages = "Ingredient | Grams\nPhase A\nWater | 300\n\nPhase B\nWater | 20\nOil | 10"
    percent = "Ingredient | %\nWater | 60\n\nWater | 20\nOil | 20\nTotal | 100"
    for text in (stages, percent):
        reading = read(ALL, text)
        assert reading.good, sentences(reading)
        assert len(reading.formulas) == 1
    twice = read(ALL, percent.replace("Water | 20", "Water | 80").replace("Oil | 20\nTotal", "Oil | 60\nTotal"))
    assert not twice.good  # 200 % is asked
    bare = read(ALL, "Ingredient | Grams\nWater | 60\nTotal | 60\nWater | 20\nOil | 20")
    assert [at for at, _ in sentences(bare)] == ["A4"]


@pytest.mark.parametrize(
    ("row", "name", "batch"),
    [
        ("Balm", "Balm", None),
        ("Balm | 2 kg", "Balm", "2 kg"),
        ("Batch", "", None),
        ("makes 8 bottles", "", None),
        ("Phase A | 500 g", "", "500 g"),
        ("12.50 € | Balm", "Balm", None),
        ("2026-03-01 | Balm", "Balm", None),
        ("Balm | 500 mL", "Balm", None),
        ("Balm | 12 | jars", "Balm", None),
        ("Balm | 12 | mL", "Balm", None),
        ("Recipe | Balm", "Balm", None),
        ("Recipe 2 | 500 g", "Recipe 2", "500 g"),
    ],
)
def test_what_a_row_says_as_a_title(row: str, name: str, batch: str | None) -> None:
    said = titled_in([(at, one.strip()) for at, one in enumerate(row.split("|"))])
    assert (said.name, said.batch.text if said.batch else None) == (name, batch)


# --- the name beside heads, counts of jars, notes


def test_a_name_over_the_ingredients_begins_a_formula_whatever_heads_stand_beside_it() -> None:
    """In each, percent and grams stand beside each other, with what it costs: 170 of 245, 300 of 400, 50 of 200 g."""
    text = stacked("", heads="{} | Grams | Cost | Notes")
    for name, _, _ in LINES:
        text = text.replace("{} |", f"{name} |", 1)
    three(read(ALL, text))
    two = "Bar | % | Grams | Cost\nShea butter | 75 | 300\nOil | 25 | 100\nTotal | 100 | 400\n\n"
    two += "Balm | % | Grams | Cost\nShea butter | 50 | 100\nOil | 50 | 100\nTotal | 100 | 200"
    reading = read(ALL, two)
    assert reading.good, sentences(reading)
    assert [(one.said.rows.name, one.said.rows.batch) for one in reading.formulas] == [
        ("Bar", D(400)), ("Balm", D(200)),
    ]  # fmt: skip
    assert near(costs(reading)["Bar"], BAR)
    assert near(costs(reading)["Balm"], (SHEA + OIL) / 2)


@pytest.mark.parametrize(
    "title", ["{} | makes 6", "{} | makes 6 bottles", "{} | yield | 6", "{}, makes 6", "{}\nmakes 6"]
)
def test_few_without_a_unit_are_jars_and_no_grams(title: str) -> None:
    three(read(ALL, stacked(title)))


def test_a_note_below_everything_is_no_formula() -> None:
    note = "\n\n1. Weigh everything. 2. Warm, stir, cool. 3. Bottle and label."
    three(read(ALL, stacked("{}") + note))
    three(read(ALL, stacked("{}", gap=f"{note}\n\n") + note))
    # a name of as many words above lines is one, and one without any is asked for its lines
    lines = "\nA bar for very long journeys\nShea butter | 75\nOil | 25\nTotal | 100"
    reading = read(ALL, f"Ingredient | %{lines}\n{lines.replace('A bar', 'Wax')}\nNothing stands below it here")
    assert [one.said.rows.name for one in reading.formulas] == [
        "A bar for very long journeys", "Wax for very long journeys",
    ]  # fmt: skip
    asked = read(ALL, "Ingredient | %\nBalm\nOil | 100\nA bar for very long journeys")
    assert [at for at, _ in sentences(asked)] == ["A4"]
