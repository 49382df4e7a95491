"""Grams beside amounts, compared with them. What is expected is worked out on paper, beside each case."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import LB, PRICES, costs, near, read, sentences
from webapp.costing.own.columns import FORMULAS, OF_FORMULA, Layout
from webapp.costing.own.reading import OwnReading

F, D = Fraction, Decimal
SHEA, WAX = F(41, 5000), F(9) / LB


def listed(*rows: tuple[str, str, str], head: str = "%") -> OwnReading:
    """A list of one formula with grams beside its percent; the third material has a price of its own."""
    lines = [f"Firm | {name} | {percent} | {grams}" for name, percent, grams in rows]
    return read(f"{PRICES}\nOil | 1 kg | 8", "\n".join([f"Formula | Ingredient | {head} | g", *lines]))


def beside(*rows: tuple[str, str, str], head: str = "%") -> OwnReading:
    """The same formula beside another that is sound."""
    lines = [f"{name} | {percent} | {grams} | {100 * (name == 'Oil')} |" for name, percent, grams in rows]
    heads = f"Ingredient | Firm | | Soft |\n | {head} | g | % | g"
    layout = Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * 4))
    return read(f"{PRICES}\nOil | 1 kg | 8", "\n".join([heads, *lines]), layouts={1: layout})


WAYS = pytest.mark.parametrize("of", [listed, beside])
CORRECT = "Correct one of them, or leave the column of grams out."


@WAYS
def test_grams_that_contradict_the_other_rows_are_asked_for_at_their_cell(of: object) -> None:
    """The others have 10 g a percent: 30 % would be 300 g."""
    reading = of(("Shea butter", "50", "500"), ("Beeswax", "30", "330"), ("Oil", "20", "200"))  # type: ignore[operator]
    assert not reading.good
    assert [words for _, words in sentences(reading)] == [
        f"Firm: 30 % of Beeswax would be 300 g, as the other rows have it, and 330 g stand here. {CORRECT}"
    ]
    assert [cell[0] for cell, _ in sentences(reading)] == ["D" if of is listed else "C"]


@WAYS
def test_where_no_rows_agree_each_is_measured_by_the_sums(of: object) -> None:
    """1000 g in all: 40 % would be 400 g, and 60 % 600 g. The oil is in neither column."""
    rows = (("Shea butter", "40", "600"), ("Beeswax", "60", "400"), ("Oil", "0.0001", ""))
    reading = of(*rows[:2]) if of is listed else of(*rows[:2], ("Oil", "", ""))  # type: ignore[operator]
    said = [words.partition(", as")[0] for _, words in sentences(reading)]
    assert said == [
        "Firm: 40 % of Shea butter would be 400 g", "Firm: 60 % of Beeswax would be 600 g",
    ]  # fmt: skip


@WAYS
@pytest.mark.parametrize(
    "rows",
    [
        # 1/3 of 250 g is 83.33 g, kept to whole grams; 33.3 % stands for anything from 33.25 to 33.35
        (("Shea butter", "33.3", "83"), ("Beeswax", "33.3", "83"), ("Oil", "33.4", "84")),
        # 0.02 % of 120 g is 0.024 g: a scale that shows tenths shows none
        (("Shea butter", "40", "48"), ("Beeswax", "59.98", "72.0"), ("Oil", "0.02", "0.0")),
        # what arithmetic of a spreadsheet leaves behind in its fifteenth digit
        (("Shea butter", "33.3333333333333", "100.000000000001"), ("Beeswax", "33.3333333333333", "100"),
         ("Oil", "33.3333333333334", "99.9999999999999")),
        # batches of any size
        (("Shea butter", "40", "13.2"), ("Beeswax", "40", "13.2"), ("Oil", "20", "6.6")),
    ],
)  # fmt: skip
def test_what_may_be_rounded_does_not_contradict(of: object, rows: tuple[tuple[str, str, str], ...]) -> None:
    reading = of(*rows)  # type: ignore[operator]
    assert reading.good, sentences(reading)
    shares = [F(percent) / 100 for _, percent, _ in rows]
    exact = sum((share * cost for share, cost in zip(shares, (SHEA, WAX, F(8, 1000)), strict=True)), F(0))
    found = costs(reading)["Firm"]
    assert isinstance(found, Decimal)
    assert abs(F(found) - exact) < exact / 10**6  # shares are kept to six places


@WAYS
def test_a_tenth_of_a_gram_of_a_kilogram_is_finer_than_a_tenth_of_a_percent(of: object) -> None:
    """0.6 g of 999.6 g is 0.06 %: 0.1 % agrees, with one decimal, and the grams, to 0.01 % of it, say it better."""
    reading = of(("Shea butter", "39.9", "399"), ("Beeswax", "60.0", "600"), ("Oil", "0.1", "0.6"))  # type: ignore[operator]
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Firm"], (SHEA * 399 + WAX * 600 + F(8, 1000) * F("0.6")) / F("999.6"))


@WAYS
def test_percent_of_a_formula_are_as_fine_as_the_finest_of_them(of: object) -> None:
    """1 % beside 0.5 % is 1.0 %: 14 g of 1000 g are 1.4 %, which is another amount. Alone it may stand for 1.4 %."""
    reading = of(("Shea butter", "98.5", "985"), ("Beeswax", "0.5", "5"), ("Oil", "1", "14"))  # type: ignore[operator]
    assert [words.partition(", as")[0] for _, words in sentences(reading)] == ["Firm: 1 % of Oil would be 10 g"]
    assert of(("Shea butter", "98", "981"), ("Beeswax", "1", "5"), ("Oil", "1", "14")).good  # type: ignore[operator]


@WAYS
def test_the_rest_is_compared_as_what_is_left(of: object) -> None:
    """25 % and 15.5 % leave 59.5 %: 595 g of 1000 g."""
    rows = [("Shea butter", "25", "250"), ("Beeswax", "15.5", "155"), ("Oil", "q.s.", "595")]
    assert of(*rows).good  # type: ignore[operator]
    both = of(*rows[:2], ("Oil", "q.s.", "q.s."))  # type: ignore[operator]
    assert [(one.said.rows.batch, both.good) for one in both.formulas[:1]] == [(None, True)]
    wrong = of(*rows[:2], ("Oil", "q.s.", "695"))  # type: ignore[operator]
    assert [words.partition(", as")[0] for _, words in sentences(wrong)] == ["Firm: 59.5 % of Oil would be 595 g"]


@WAYS
def test_rounded_percent_that_miss_a_hundred_give_way_to_their_grams(of: object) -> None:
    """A third each, 33.3 %, is 99.9 %: the grams say a third exactly."""
    rows = [("Shea butter", "33.3", "100"), ("Beeswax", "33.3", "100"), ("Oil", "33.3", "100")]
    reading = of(*rows)  # type: ignore[operator]
    assert reading.good, sentences(reading)
    firm = reading.formulas[0].said.rows
    assert (firm.way, firm.batch) == ("grams", D(300))
    assert firm.remarks == ["Its percent are rounded, 0.1 away from 100: its grams count."]
    assert near(costs(reading)["Firm"], (SHEA + WAX + F(8, 1000)) / 3)
    # 33.2 and twice 33.3 are 99.8: more than three times 0.05 away, so an amount is missing
    short = of(("Shea butter", "33.2", "100"), *rows[1:])  # type: ignore[operator]
    assert not short.good


def test_fractions_of_one_are_compared_as_percent() -> None:
    """0.4 and 0.6 of 1000 g; 0.60 would be 600 g, and 700 g stand there."""
    assert listed(("Shea butter", "0.4", "400"), ("Beeswax", "0.6", "600")).good
    rows = ("Shea butter", "0.40", "400"), ("Beeswax", "0.50", "700"), ("Oil", "0.10", "100")
    assert [words.partition(", as")[0] for _, words in sentences(listed(*rows))] == [
        "Firm: 50 % of Beeswax would be 500 g"
    ]


def test_parts_are_compared_and_drops_are_not() -> None:
    """Two parts of 300 g are 200 g; a hundred drops weigh whatever they weigh."""
    parts = beside(("Shea butter", "2", "200"), ("Beeswax", "1", "100"), ("Oil", "", ""), head="parts")
    assert parts.good, sentences(parts)
    assert near(costs(parts)["Firm"], SHEA * F(2, 3) + WAX * F(1, 3))
    wrong = beside(("Shea butter", "2", "200"), ("Beeswax", "1", "100"), ("Oil", "3", "400"), head="parts")
    assert [words.partition(", as")[0] for _, words in sentences(wrong)] == ["Firm: 3 parts of Oil would be 300 g"]
    drops = beside(("Shea butter", "2", "200"), ("Beeswax", "1", "9"), ("Oil", "", ""), head="drops")
    assert drops.good, sentences(drops)


def test_a_batch_that_its_grams_do_not_come_to_is_said() -> None:
    """400 g and 600 g are 1000 g; 1 kg is that, 2 kg is not, and a gram more may be rounded."""
    text = "Ingredient | Firm | | Soft |\n | % | g | % | g\nBatch (g) | {} | | |\nShea butter | 40 | 400 | 100 |"
    text += "\nBeeswax | 60 | 600 | |"
    said = {batch: read(PRICES, text.format(batch)).formulas[0].said.rows for batch in ("1000", "1001", "2000")}
    assert {batch: one.batch for batch, one in said.items()} == {"1000": 1000, "1001": 1001, "2000": 2000}
    assert [one.remarks for one in said.values()] == [
        [], [], ["Its grams come to 1000 g; its batch is said to be 2000 g."],
    ]  # fmt: skip


def test_grams_of_some_rows_say_no_batch_and_are_compared_all_the_same() -> None:
    some = listed(("Shea butter", "40", "400"), ("Beeswax", "50", ""), ("Oil", "10", "100"))
    assert some.good
    assert some.formulas[0].said.rows.batch is None
    wrong = listed(("Shea butter", "40", "400"), ("Beeswax", "50", ""), ("Oil", "10", "200"))
    assert len(wrong.wrong) == 2  # two rows, and nothing says which of them is meant
