"""What a maker's own sheet says is left of a batch, or lost: paid for by what is left. Figures from paper.

Sunflower oil is 4 a kg, calendula flowers 30, shea 10, mango 20, water 0.50: 1,000 g of oil and 150 g of flowers are
8.50 in 1,150 g; 600 g of shea and 400 g of mango are 14.00 in 1,000 g.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored
from webapp.costing.book import Book
from webapp.costing.gaps import Gap
from webapp.costing.own.columns import FORMULAS, OF_FORMULA, Layout
from webapp.costing.own.lost import LEFT, LOSS, MAKES, kind_of
from webapp.costing.own.reading import OwnReading

F = Fraction
D = Decimal
PRICES = (
    "Item|Pack|Price\nSunflower oil|1 kg|4\nCalendula flowers|1 kg|30\nShea|1 kg|10\nMango|1 kg|20\nWater|1 kg|0.50"
)
OIL = "Calendula oil\nIngredient|g\nSunflower oil|1000\nCalendula flowers|150\n"
BALM = "Balm\nIngredient|g\nShea|600\nMango|400\n"
SHARES = "Balm\nIngredient|%\nShea|60\nMango|40\n"
INFUSED, MIXED = F("8.50"), F(14)
PAID = "What it costs is shown for what is left."
LOST = f"250 g of 1150 g are lost: its yield is 900 g. {PAID}"


def sheet(text: str, book: Book = EMPTY, **choices: object) -> OwnReading:
    return read(PRICES, text, book=book, **choices)


def remarks(reading: OwnReading, name: str) -> list[str]:
    return next(one.said.remarks for one in reading.formulas if one.said.rows.name == name)


def said(text: str, exact: F, name: str, *remark: str) -> OwnReading:
    """A sheet that is read without a question, what its formula costs a gram, and what is said of it."""
    reading = sheet(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)[name], exact), (costs(reading), remarks(reading, name))
    assert remarks(reading, name) == list(remark)
    return reading


@pytest.mark.parametrize(
    "below",
    [
        "Total|1150\nYield after straining|900",
        "Total|1150\n\nYield after straining (g)|900",
        "Yield after straining|900",
        "Yield after straining: 900 g",
        "Yield|900",
        "Yield|0.9 kg",
        "Makes|900 g",
        "Makes: 900 g",
        "Total yield|900",
        "Ausbeute|900",
        "Rendement|900 g",
        "Left|900",
        "After straining|900 g",
        "Nach dem Abseihen|900",
        "Total|1150\nLoss|250 g",
        "Loss|250",
        "Verlust|250 g",
        "Perte|250 g",
        "Merma|250 g",
        "Stays in the leaves|-250\nTotal|900",
        "Stays in the leaves|-250",
        "Stems taken out|-250\nTotal|900",
        "Yield|900\nLoss|250 g",
        "Yield|900\nYield after straining|900 g",
        "Loss|250 g\nTotal|900",
        "Loss (5 %)|250",
        "Evaporation|50\nSpillage|200\nTotal loss|250",
        "Loss in pot|50\nLoss in pot|200",
        "Loss g|250\nLoss %|21.74",
        "Yield %|78.3\nYield g|900",
        "Batch yield|900",
        "Yield (after straining)|900",
        "Yield per batch|900",
        "Yield approx. 900 g",
        "Yield|ca. 900 g",
        "Yield|900 g (78 %)",
        "Yield after straining||900 g",
        "Yield after straining (g)||900",
        "Yield after straining||900|g",
    ],
)
def test_what_is_lost_is_paid_for_by_what_is_left(below: str) -> None:
    """8.50 / 900 g."""
    reading = said(f"{OIL}{below}", INFUSED / 900, "Calendula oil", LOST)
    assert reading.formulas[0].said.batch == 1150


@pytest.mark.parametrize(
    "above",
    [
        "Calendula oil\nYield after straining|900\nIngredient|g\n",
        "Calendula oil|Yield after straining|900 g\nIngredient|g\n",
        "Calendula oil\nMakes|900 g\nIngredient|g\n",
        "Calendula oil, makes 900 g\nIngredient|g\n",
    ],
)
def test_it_may_stand_above_the_lines(above: str) -> None:
    said(f"{above}Sunflower oil|1000\nCalendula flowers|150", INFUSED / 900, "Calendula oil", LOST)


def test_what_is_taken_off_may_stand_between_the_lines() -> None:
    rows = "Calendula flowers|150\nStems taken out|-250\nSunflower oil|1000\nTotal|900"
    said(f"Calendula oil\nIngredient|g\n{rows}", INFUSED / 900, "Calendula oil", LOST)


def test_a_share_that_is_lost_needs_no_batch() -> None:
    """0.5 x 0.74 + 10 x 0.26 are 2.97 a kg, by 0.96."""
    words = f"4 % of each batch is lost. {PAID}"
    milk = "Milk\nIngredient|%\nWater|q.s.\nShea|26\nTotal|100\n"
    said(f"{milk}Evaporation|4 %", F("2.97") / 960, "Milk", words)
    said(f"{milk}Evaporation|4", F("2.97") / 960, "Milk", words)
    said(f"{milk}Evaporaci\u00f3n: 4 %", F("2.97") / 960, "Milk", words)
    said(f"{SHARES}Yield|96", MIXED / 960, "Balm", words)
    said(f"{SHARES}Yield|96 %\nLoss|4 %", MIXED / 960, "Balm", words)
    said(f"{BALM}Rendement|96 %\nPerte|40 g", MIXED / 960, "Balm", words)
    both = f"4 % and 10 g of each batch are lost. {PAID}"
    said(f"{BALM}Evaporation|4 %\nStays in the pot|10 g", MIXED / 950, "Balm", both)


def test_what_is_lost_of_a_batch_that_is_said() -> None:
    sized, words = (
        SHARES.replace("Balm\n", "Balm\nBatch size|1000 g\n"),
        "100 g of 1000 g are lost: its yield is 900 g. ",
    )
    said(f"{sized}Yield|900", MIXED / 900, "Balm", f"{words}{PAID}")
    grams = "Balm\nBatch size|2000 g\nIngredient|%|g\nShea|60|600\nMango|40|400\nYield after cooking|90|900"
    words = "Its grams come to 1000 g; its batch is said to be 2000 g."
    said(grams, MIXED / 900, "Balm", f"10 % of each batch is lost. {PAID}", words)
    unsized = sheet(f"{SHARES}Loss|50 g")
    assert isinstance(costs(unsized)["Balm"], Gap)
    assert remarks(unsized, "Balm") == [f"50 g of each batch are lost. {PAID}"]


@pytest.mark.parametrize(
    ("text", "batch"),
    [
        (f"{SHARES}Yield|900", 900),
        (f"{SHARES}Ausbeute|900", 900),
        (f"{BALM}Yield|1200", 1200),
        (f"{BALM}Makes|1004", 1004),
        (f"{BALM}Batch|900", 900),
        (f"{BALM}Makes 18 jars", 1000),
        (f"{BALM}Total|1000\nRendement|18", 1000),
        (f"{BALM}Total|1000\nRendement|18 pots", 1000),
        (f"{BALM}Yield after straining|1000", 1000),
        (f"{BALM}Loss|0 g", 1000),
        (f"{BALM}Total|1000\nWaste", 1000),
        (f"{BALM}Total|1000\nWaste|none", 1000),
    ],
)
def test_what_is_no_less_than_its_lines_is_the_batch_as_ever(text: str, batch: int) -> None:
    reading = said(text, MIXED / 1000, "Balm")
    assert reading.formulas[0].said.batch == batch


def test_what_says_more_than_the_lines_or_less_than_half_of_them_is_said() -> None:
    more = "Row 5, “Yield after straining”: 1200 g are more than the 1000 g that go in. It is not taken."
    said(f"{BALM}Yield after straining|1200", MIXED / 1000, "Balm", more)
    words = (
        "Its lines weigh 1000 g, and it is said to make 100 g, less than half of it: that is taken for another size "
    )
    said(f"{BALM}Makes|100 g", MIXED / 1000, "Balm", f"{words}of its batch, and nothing for lost.")


@pytest.mark.parametrize(
    ("below", "cell", "words"),
    [
        ("Loss 5", "A5", "are 5 grams or percent?"),
        ("Loss|5", "B5", "Balm, “Loss”: are 5 grams or percent? Type it with its unit, such as 5 %."),
        ("Yield after straining|90", "B5", "are 90 grams or percent?"),
        ("Yield after straining|900 ml", "B5", "900 ml is no weight. Type grams or percent, such as 50 g or 5 %."),
        ("Loss|100 %", "B5", "100 % is not below 100 %."),
        ("Yield|900\nLoss|50 g", "B6", "by what is left 100 g are lost, and by this 50 g. Correct one of them,"),
        ("Total loss|90\nLoss|50 g", "B5", "row 6 says another amount of that."),
        ("Yield|900\nLeft|950", "B6", "Balm, “Left”: row 5 says another amount of that. Correct one of"),
        ("Stems taken out|-110", "B5", "-110: This must be above 0"),
        ("Stems taken out|-110\nTotal|1000", "B5", "-110: This must be above 0"),
        ("Stems taken out|-110\n\nTotal|890", "B5", "-110: This must be above 0"),
    ],
)  # fmt: skip
def test_what_may_be_read_in_two_ways_is_asked(below: str, cell: str, words: str) -> None:
    asked = sheet(f"{BALM}{below}")
    assert [at for at, _ in sentences(asked)] == [cell], sentences(asked)
    assert words in sentences(asked)[0][1]


def test_what_is_left_in_ounces_is_said_in_grams_to_four_decimals() -> None:
    """36 oz are 1020.58283325 g, 30 oz 850.48569375 g; 32 oz at 4 and 4 oz at 30 a kg are 248 by 30."""
    text = "Infusion\nIngredient|oz\nSunflower oil|32\nCalendula flowers|4\nYield after straining|30"
    reading = sheet(text)
    words = "170.0971 g of 1020.5828 g are lost: its yield is 850.4857 g."
    assert remarks(reading, "Infusion") == [f"{words} {PAID}"]
    cost = costs(reading)["Infusion"]
    assert isinstance(cost, D)
    assert abs(F(cost) - F(248, 30) / 1000) < F("0.00000001")


def test_pounds_and_ounces_are_one_weight() -> None:
    """3 lb at 10 and 1 lb at 20 a kg are 50 / 4 a kg, of which 3 lb 8 oz are left."""
    text = "Balm\nIngredient|lb|oz\nShea|3|0\nMango|1|0\nTotal|4|0\nYield after straining|3|8"
    reading = sheet(text)
    assert near(costs(reading)["Balm"], F(50) / F("3.5") / 1000), (costs(reading), sentences(reading))


def test_it_is_asked_of_percent_too_and_not_where_something_else_is_wrong() -> None:
    share = sheet(f"{SHARES}Loss|0.05")
    assert sentences(share)[0][1].startswith("Balm, “Loss”: is 0.05 a percentage or a share?")
    of = sheet(f"{SHARES}Left|900 g")
    assert "900 g of how much? Type what is left in percent, such as 90 %" in sentences(of)[0][1]
    typed = sheet(f"{SHARES}Left|900 g", fixes={"s1_r5_c1": "90 %"})
    assert near(costs(typed)["Balm"], MIXED / 900), sentences(typed)
    wrong = sheet(f"{BALM}Gum|some\nYield|900")
    assert [at for at, _ in sentences(wrong)] == ["B5"]
    less = sheet(f"{SHARES}Yield|90 %\nLoss|50 g")
    assert near(costs(less)["Balm"], MIXED / 900), sentences(less)


def test_below_a_total_it_is_said_not_to_be_taken() -> None:
    for text, words in (
        ("Loss|5", "are 5 grams or percent? Type it with its unit, such as 5 %."),
        ("Rendement|95", "are 95 grams or percent? Type it with its unit, such as 95 %."),
        ("Left|900 mL", "900 mL is no weight. Type grams or percent, such as 50 g or 5 %."),
    ):
        name = text.split("|")[0]
        said(f"{BALM}Total|1000\n{text}", MIXED / 1000, "Balm", f"Row 6, “{name}”: {words} It is not taken.")


def test_others_that_take_of_it_pay_for_what_is_lost() -> None:
    """500 g at 8.50 / 900 g and 500 g of shea at 10 a kg; kept, it is made ahead, and the balm is not."""
    text = f"{OIL}Total|1150\nYield after straining|900\n\nBalm\nIngredient|g\nCalendula oil|500\nShea|500"
    reading = said(text, (INFUSED * 500 / 900 + 5) / 1000, "Balm")
    book = stored(reading)
    kept = {one.name: one for one in book.formulas.values()}
    assert (kept["Calendula oil"].loss_grams, kept["Calendula oil"].made_ahead) == (D(250), True)
    assert (kept["Balm"].loss_grams, kept["Balm"].made_ahead) == (D(0), False)
    assert sheet(text, book).says_nothing_new
    alone = sheet(f"{OIL}Yield|950", book)
    after = alone.after
    assert after is not None
    assert {one.loss_grams: one.made_ahead for one in after.formulas.values() if one.loss_grams} == {D(200): True}
    column = "Formula|Ingredient|g\nOil|Sunflower oil|1000\nOil|Calendula flowers|150\nOil|Yield after straining|900"
    said(f"{column}\nBalm|Oil|500\nBalm|Shea|500", (INFUSED * 500 / 900 + 5) / 1000, "Balm")
    unused = stored(sheet(f"{OIL}Yield|900"))
    assert [one.made_ahead for one in unused.formulas.values()] == [False]


def test_a_row_of_a_loss_of_no_formula_yet_is_a_row_as_ever() -> None:
    reading = sheet("Formula|Ingredient|g\nOil|Loss|50\nOil|Sunflower oil|1000")
    assert [line.ingredient for line in reading.formulas[0].said.rows.lines] == ["Loss", "Sunflower oil"]
    known = read(f"{PRICES}\nHair loss|1 kg|9", f"{BALM}Hair loss|100")
    assert near(costs(known)["Balm"], (MIXED + F("0.9")) / 1100), sentences(known)


def test_side_by_side_each_column_says_its_own() -> None:
    """600 g and 400 g are 14.00, 500 g and 500 g are 15.00."""
    layout = {1: Layout(FORMULAS, 1, ("ingredient", OF_FORMULA, OF_FORMULA))}
    rows = "Ingredient|Balm (g)|Whip (g)\nShea|600|500\nMango|400|500\n"
    for below in (
        "Yield|900|980",
        "Total|1000|1000\nYield after cooking|900|980\npH|5|6",
        "Loss (g)|100|20",
        "Yield (kg)|0.9|0.98\nTemp|75|70",
        "Yield|90 %|98 %",
    ):
        reading = sheet(f"{rows}{below}", layouts=layout)
        assert reading.good, (below, sentences(reading))
        assert near(costs(reading)["Balm"], MIXED / 900), (below, costs(reading))
        assert near(costs(reading)["Whip"], F(15) / 980)
    asked = sheet(f"{rows}Loss|some|20", layouts=layout)
    assert [at for at, _ in sentences(asked)] == ["B4"]


def test_the_loss_of_volumes_follows_from_their_densities() -> None:
    """600 mL at 0.9 g/mL are 540 g, with 400 g of mango 940 g, of which 900 g are left: 540 x 0.01 + 400 x 0.02."""
    text = "Balm\nIngredient|Amount\nOlive oil|600 ml\nMango|400 g\n{}"
    prices = f"{PRICES}\nOlive oil|1 kg|10|0.9".replace("Price\n", "Price|Density\n")
    reading = read(prices, text.format("Yield|900 g"))
    assert near(costs(reading)["Balm"], F("13.4") / 900), sentences(reading)
    assert remarks(reading, "Balm") == [f"40 g of 940 g are lost: its yield is 900 g. {PAID}"]
    more = read(prices, text.format("Yield|940 g"))
    assert near(costs(more)["Balm"], F("13.4") / 940)
    assert (remarks(more, "Balm"), more.formulas[0].said.batch) == ([], D(940))
    dense = read(f"{PRICES}\nOlive oil|1 kg|10", text.format("Yield|900 g"))
    assert remarks(dense, "Balm") == ["What is lost of it is known once the densities of all that is in it are."]


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("Yield (g)", MAKES),
        ("Makes", MAKES),
        ("Final yield", LEFT),
        ("Weight after straining", LEFT),
        ("After cooling", LEFT),
        ("Apr\u00e8s filtration", LEFT),
        ("Despu\u00e9s de colar", LEFT),
        ("Stays in the leaves", LOSS),
        ("Left in the pot", LOSS),
        ("Water loss", LOSS),
        ("Verdunstungsverlust", LOSS),
        ("Evaporation loss", LOSS),
        ("Hair loss serum", ""),
        ("Evaporation allowance", ""),
        ("Batch", ""),
        ("Left to cool", ""),
        ("Evaporated milk", ""),
    ],
)
def test_words_for_it(words: str, kind: str) -> None:
    assert kind_of(words) == kind


@pytest.mark.parametrize(
    "rows",
    [
        "pH|4.5\nTemp|75\nStir (min)|10",
        "pH (final)|4.5\nTemperature (\u00b0C)|75\nTime|20",
        "Final pH|5\nMinutes|10\nSpeed (rpm)|900",
        "Shelf life (months)|6\nDate|2026\nTemperatur|75",
        "Total|1000\npH|5",
    ],
)
def test_names_of_how_it_is_made_are_no_ingredients(rows: str) -> None:
    reading = said(f"{BALM}{rows}", MIXED / 1000, "Balm")
    passed = [one.words for one in reading.skipped if one.what == "said of the making, no ingredient"]
    assert len(passed) == rows.count("\n") + 1 - ("Total" in rows)
    between = said(f"{BALM.replace('Mango', 'pH|4.5' + chr(10) + 'Mango')}", MIXED / 1000, "Balm")
    assert between.good


def test_ingredients_that_are_called_so_stay_ingredients() -> None:
    reading = read(f"{PRICES}\npH adjuster|1 kg|9\nTime|1 kg|9", f"{BALM}pH adjuster|100\nTime|100")
    assert near(costs(reading)["Balm"], (MIXED + F("1.8")) / 1200), sentences(reading)
    dates = sheet(f"{BALM}Date seed oil|100")
    assert [line.ingredient for line in dates.formulas[0].said.rows.lines][2:] == ["Date seed oil"]


def test_one_line_that_takes_the_rest_with_its_grams_is_all_of_it() -> None:
    reading = sheet("Milk\nIngredient|%|g\nWater|q.s.|460")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Milk"], F("0.0005"))
    assert reading.formulas[0].said.batch == 460


@pytest.mark.parametrize("cell", ["-110", "-110 g", "\u2212110", "\u2212110 g"])
@pytest.mark.parametrize("head", ["Amount", "g"])
@pytest.mark.parametrize("total", ["", "\nTotal|450 g"])
def test_less_than_nothing_with_its_unit_is_lost_however_its_minus_is_written(cell: str, head: str, total: str) -> None:
    """500 g at 4 and 60 g at 30 a kg are 3.80 for 450 g."""
    rows = f"Ingredient|{head}\nSunflower oil|500 g\nCalendula flowers|60 g\nStays in the herbs|{cell}{total}"
    told = sheet(f"Rosemary oil\n{rows}")
    assert told.good, (sentences(told), told.faults)
    assert near(costs(told)["Rosemary oil"], F("3.80") / 450)
