"""How many jars a batch makes, where its size is looked for. Expected costs are worked out in fractions."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import near, read, sentences
from webapp.costing.own.made import UNKNOWN, WEIGHED, says_count, times

F, D = Fraction, Decimal
PRICES = "Item | Pack | Price\nShea butter | 1 kg | 10\nBeeswax | 1 kg | 17"
LIST = (
    "Formula | Ingredient | {} | {}\nBalm | Shea butter | 60 | {}\nBalm | Beeswax | 40 | {}\n"
    "Mask | Shea butter | 30 | {}\nMask | Beeswax | 70 | {}"
)
#: at 10 and 17 for 1000 g
BALM, MASK = F(60 * 10 + 40 * 17, 100_000), F(30 * 10 + 70 * 17, 100_000)


@pytest.mark.parametrize("head", ["Makes", "Yield", "Batch"])
@pytest.mark.parametrize(
    "said", ["24 jars", "20 pots", "12", "12 x 60 g tins", "20 x 100ml", "about 20 small jars", "2 L"]
)
def test_weighed_lines_are_the_batch_whatever_it_makes(head: str, said: str) -> None:
    """Each row asked for grams before, and leaving all rows of an ingredient out was the cure."""
    reading = read(PRICES, LIST.format("g", head, *[said] * 4))
    assert reading.good, sentences(reading)
    assert [one.said.rows.batch for one in reading.formulas] == [D(100), D(100)]
    assert [near(one.cost, cost) for one, cost in zip(reading.formulas, (BALM, MASK), strict=True)] == [True, True]
    assert [one.said.remarks for one in reading.formulas] == [[WEIGHED], [WEIGHED]]
    assert not reading.unsized


@pytest.mark.parametrize("said", ["24 jars", "12", "20 x 100ml", "24 pcs"])
def test_of_percent_the_batch_is_not_said_by_jars_and_is_asked_once(said: str) -> None:
    reading = read(PRICES, LIST.format("%", "Makes", *[said] * 4))
    assert reading.good, sentences(reading)
    assert [one.said.rows.batch for one in reading.formulas] == [None, None]
    assert [one.said.remarks for one in reading.formulas] == [[UNKNOWN], [UNKNOWN]]
    assert reading.unsized == ("Balm", "Mask")
    assert near(reading.formulas[0].cost, BALM)


def test_of_percent_jars_of_a_weight_are_the_batch() -> None:
    """12 of 60 g are 720 g, and 6 of 0.1 kg are 600 g."""
    reading = read(PRICES, LIST.format("%", "Makes", "12 x 60 g tins", "", "6 x 0.1 kg", ""))
    assert [one.said.rows.batch for one in reading.formulas] == [D(720), D(600)]


@pytest.mark.parametrize("said", ["makes 20 x 100g", "Makes: 20 x 100 g tins", "yields 20 x 0.1 kg"])
def test_jars_of_a_weight_in_a_title_are_the_batch_too(said: str) -> None:
    """20 of 100 g are 2 kg."""
    reading = read(PRICES, f"Balm\n{said}\nIngredient | %\nShea butter | 60\nBeeswax | 40\nTotal | 100")
    assert [(one.said.rows.name, one.said.rows.batch) for one in reading.formulas] == [("Balm", D(2000))]


def test_a_volume_is_no_batch_of_percent() -> None:
    reading = read(PRICES, LIST.format("%", "Batch", "2 L", "", "500 g", ""))
    assert sentences(reading) == [("D2", "The size of a batch is a mass, not 2 L. Type grams or kg.")]
    assert reading.formulas[1].said.rows.batch == D(500)


@pytest.mark.parametrize(
    "beside", ["Makes: 24 jars", "Batch: 12", "Batch | 12", "Yield | 20 pots", "Batch | 120 | jars"]
)
@pytest.mark.parametrize("below", [False, True])
def test_beside_a_title_or_below_it_jars_are_no_grams(beside: str, below: bool) -> None:
    """A batch of 12 was one of 12 g before, beside lines of 100 g."""
    title = f"Balm\n{beside}" if below else f"Balm | {beside}"
    card = f"{title}\nIngredient | g\nShea butter | 60\nBeeswax | 40\nTotal | 100"
    reading = read(PRICES, card)
    assert reading.good, sentences(reading)
    (one,) = reading.formulas
    assert (one.said.rows.name, one.said.rows.batch) == ("Balm", D(100))
    assert near(one.cost, BALM)


@pytest.mark.parametrize("text", ["24 jars", "about 20 pots", "12 x 60 ml tins", "24 pcs", "30 bars of soap", "49"])
def test_what_says_how_many(text: str) -> None:
    assert says_count(text, "") or times(text)


@pytest.mark.parametrize(("text", "beside"), [("12", "kg"), ("50", ""), ("500 g", ""), ("2 kg", ""), ("1 batch", "")])
def test_what_says_a_weight_or_nothing_known(text: str, beside: str) -> None:
    assert not says_count(text, beside)
    assert not times(text)


@pytest.mark.parametrize("said", ["12 4oz jars", "12 4-oz jars", "6 8 oz", "12 250 ml bottles", "6 4 fl oz pots"])
def test_a_number_before_a_size_is_how_many_it_makes(said: str) -> None:
    """12 of 4 oz were a batch of 124 oz; lines of 100 g are one, percent say none."""
    assert says_count(said, "")
    reading = read(PRICES, LIST.format("%", "Makes", *[said] * 4))
    assert reading.good, sentences(reading)
    assert [one.said.rows.batch for one in reading.formulas] == [None, None]
    assert reading.unsized == ("Balm", "Mask")
    weighed = read(PRICES, LIST.format("g", "Makes", *[said] * 4))
    assert weighed.good, sentences(weighed)
    assert [one.said.rows.batch for one in weighed.formulas] == [D(100), D(100)]


@pytest.mark.parametrize("said", ["1 200 g", "1 1/2 kg", "2 lb 8 oz", "48 oz", "12 250 g"])
def test_a_weight_is_no_number_of_jars(said: str) -> None:
    assert not says_count(said, "")
