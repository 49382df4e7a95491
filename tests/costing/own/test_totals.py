"""What stands below a total that the lines of a formula come to: none of them, whatever it is called.

Expected costs are worked out here in fractions of what is written.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import LB, PRICES, costs, near, read, sentences
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.totals import is_aside

F, D = Fraction, Decimal
ALL = f"{PRICES}\nOil | 1 kg | 8.00"
SHEA, WAX, OIL = F(41, 5000), F(9) / LB, F(8, 1000)
BALM = "Balm\nIngredient | {}\nShea butter | {}\nOil | {}\nBeeswax | {}\n"
PERCENT, GRAMS = BALM.format("%", 50, 30, 20), BALM.format("g", 100, 60, 40)
EXACT = SHEA * F(5, 10) + OIL * F(3, 10) + WAX * F(2, 10)
#: what stands below totals in makers' sheets: words and numbers
TAILS = (
    "Jars per batch (8 oz) | 8\nProduct cost per jar | 2.10\nJar + lid + labels | 1.15\nSell for | $18\nCost | 2",
    "Glasbruch | 3\nAbf\u00fcllmenge | 194\nAnzahl Tiegel | 4",
    "Rentabilit\u00e9 | 95\nCasse | 0.03\nPots | 4",
    "Loss | 0.03\nYield | 4",
    "Notes\nShelf life | 12",
    "Packaging\n100 mL tub | 4\nLabel, front | 4\nTotal with packaging | | 21.68",
    "| | \nlet it cool\n",
)


def lines(reading: OwnReading) -> dict[str, list[tuple[str, str]]]:
    return {
        one.said.rows.name: [(line.ingredient, str(line.amount)) for line in one.said.rows.lines]
        for one in reading.formulas
    }


@pytest.mark.parametrize("tail", TAILS)
@pytest.mark.parametrize(
    "total",
    ["Total | {}", "TOTAL | {}", "| {}", "Batch total | {}", "Gesamtgewicht | {}", "Summe Charge | {}", "Somme | {}"],
)
@pytest.mark.parametrize(("rows", "whole"), [(PERCENT, "100"), (GRAMS, "200")])
def test_nothing_below_a_total_is_an_ingredient(tail: str, total: str, rows: str, whole: str) -> None:
    for gap in ("\n", "\n\n"):
        reading = read(ALL, f"{rows}{total.format(whole)}{gap}{tail}")
        assert reading.good, (tail, sentences(reading), reading.names)
        assert list(lines(reading)) == ["Balm"]
        assert near(costs(reading)["Balm"], EXACT)


def test_the_next_title_heads_or_stage_begins_lines_again() -> None:
    tail = "\n\nJars | 4\n\nSalve\nBeeswax | 30\nOil | 70\nTotal | 100\nJars | 9\n\nSpray\nIngredient | %\nOil | 100"
    reading = read(ALL, f"{PERCENT}Total | 100{tail}")
    assert reading.good, sentences(reading)
    assert [(name, len(one)) for name, one in lines(reading).items()] == [("Balm", 3), ("Salve", 2), ("Spray", 1)]
    assert near(costs(reading)["Salve"], WAX * F(3, 10) + OIL * F(7, 10))
    staged = "Balm\nIngredient | %\nPhase A\nShea butter | 50\nOil | 30\nTotal | 80\nPhase B\nBeeswax | 20\nTotal | 100"
    assert near(costs(read(ALL, staged))["Balm"], EXACT)
    beside = "Balm\nPhase | Ingredient | %\nA | Shea butter | 50\nA | Oil | 30\n | Total | 80\nB | Beeswax | 20"
    assert near(costs(read(ALL, beside))["Balm"], EXACT)
    column = "Formula | Ingredient | g\nBalm | Shea butter | 5\nBalm | Oil | 3\nBalm | Total | 8\nBalm | Beeswax | 2"
    assert near(costs(read(ALL, column))["Balm"], EXACT)


@pytest.mark.parametrize("total", ["Subtotal | 160", "Total oils | 160", "| 160"])
def test_a_total_of_a_part_ends_nothing(total: str) -> None:
    """160 and 40 are 200: what stands between two totals is in it, also where nothing is called so."""
    text = BALM.format("g", 100, 60, f"x\n{total}\nMoon wax | 40").replace("Beeswax | x\n", "")
    reading = read(ALL, f"{text}\nTotal | 200")
    assert lines(reading)["Balm"] == [("Shea butter", "100"), ("Oil", "60"), ("Moon wax", "40")]
    # the same figure once more is no other total, nor is what all of it costs, or a batch
    again = read(ALL, f"{GRAMS}Total | 200\nCost | 3\nBatch | 200\nTotal | 200\nGlasbruch | 3\nTotal cost | 9")
    assert again.good, sentences(again)
    assert len(lines(again)["Balm"]) == 3
    costly = read(ALL, f"{GRAMS}Total | 200\nGlasbruch | 3\nTotal cost | 9")
    assert costly.good, sentences(costly)
    assert near(costs(costly)["Balm"], EXACT)


@pytest.mark.parametrize(
    ("total", "cells"),
    [
        ("Total | 202", ["A7"]),  # whole grams might be so far away; half a percent of 200 is 1
        ("Total | 190", ["A7"]),  # not what they come to: the lines may be wrong
        ("Total | n/a", ["A7"]),
        ("Altogether | 200", ["A6", "A7"]),
    ],
)
def test_a_total_that_the_lines_do_not_come_to_ends_nothing(total: str, cells: list[str]) -> None:
    reading = read(ALL, f"{GRAMS}{total}\nGlasbruch | 3")
    assert [line for line, _ in lines(reading)["Balm"]][:3] == ["Shea butter", "Oil", "Beeswax"]
    assert len(lines(reading)["Balm"]) == 3 + len(cells)


def test_one_line_without_a_name_is_no_total_of_one() -> None:
    reading = read(ALL, "Balm\nIngredient | %\nOil | 50\n | 50")
    assert [cell for cell, _ in sentences(reading)] == ["A4"]
    named = read(ALL, "Balm\nIngredient | %\nOil | 100\nTotal | 100\nGlasbruch | 3")
    assert named.good
    assert near(costs(named)["Balm"], OIL)


def test_rounded_lines_come_to_their_total() -> None:
    """A third each: three times 33.3 are 99.9, 0.1 away, and each may be 0.05 away."""
    text = BALM.format("%", "33.3", "33.3", "33.3")
    reading = read(ALL, f"{text}Total | 100.0\nGlasbruch | 3")
    assert len(lines(reading)["Balm"]) == 3
    assert len(lines(read(ALL, f"{text}Total | 101.0\nGlasbruch | 3"))["Balm"]) == 4


def test_with_one_that_takes_the_rest_the_total_is_the_whole() -> None:
    """30 and 20 of 100, the rest 50."""
    reading = read(ALL, f"{BALM.format('%', 'q.s.', 30, 20)}Total | 100\nGlasbruch | 3")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], EXACT)
    assert len(lines(read(ALL, f"{BALM.format('%', 'q.s.', 30, 20)}Total | 50\nGlasbruch | 3"))["Balm"]) == 4


def test_a_batch_below_a_total_is_read_as_before() -> None:
    for tail in ("Batch size: 2 kg", "Batch | 2000", "Batch | 2 | kg"):
        reading = read(ALL, f"{PERCENT}Total | 100\n{tail}\nGlasbruch | 3")
        assert reading.good, sentences(reading)
        assert reading.formulas[0].said.rows.batch == D(2000)


def test_percent_and_ounces_have_totals_of_their_own() -> None:
    rows = "Balm\nIngredient | % | Oz\nShea butter | 50% | 16\nOil | 30% | 9.6\nBeeswax | 20% | 6.4\n"
    for total in ("TOTAL | 100% | 32", "TOTAL | | 32", "TOTAL | 100%"):
        reading = read(ALL, f"{rows}{total}\n\nJars (8 oz) | 4 | 1\nJar + lid | 1.2")
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Balm"], EXACT)
    unread = read(ALL, f"{rows.replace('9.6', 'a bit')}TOTAL | | 32\nJars | 4 | 1")
    assert [cell for cell, _ in sentences(unread)] == ["C4"]
    assert len(lines(unread)["Balm"]) == 4


def test_materials_below_a_total_are_asked_once_for_the_formula() -> None:
    """Beeswax and a jar have prices; left out at one of them, all of them are; without the total all are lines."""
    text = (
        "Balm\nIngredient | g\nShea butter | 100\nOil | 60\nTotal | 160\n\nGlasbruch | 3\nBeeswax | 40\nJar 100 mL | 4"
    )
    reading = read(ALL, text)
    words = "Balm: the lines above come to its total in row 5, and below it stand: Beeswax, Jar 100 mL. Leave this row "
    cure = "out where they are not in it, or row 5 where they are; where another formula begins, write its name above"
    assert sentences(reading) == [("A8", f"{words}{cure} it in your sheet.")]
    for row in (8, 9):
        left = read(ALL, text, left_out=frozenset({f"s1_r{row}"}))
        assert left.good, sentences(left)
        assert near(costs(left)["Balm"], (SHEA * 100 + OIL * 60) / 160)
        assert "Below its total, and not in it: Beeswax, Jar 100 mL." in left.formulas[0].said.rows.remarks
    within = read(ALL, text, left_out=frozenset({"s1_r5", "s1_r7", "s1_r9"}))
    assert within.good, sentences(within)
    assert near(costs(within)["Balm"], EXACT)


def test_words_over_what_is_below_a_total_name_no_formula() -> None:
    assert all(map(is_aside, ("Packaging", "Costs per jar", "Verpackung", "Notes:")))
    assert not any(map(is_aside, ("Packaged balm", "Oil")))
    # without a total above, or where nothing stood before it, they may name one
    reading = read(ALL, "Ingredient | %\nPackaging\nOil | 100")
    assert list(lines(reading)) == ["Packaging"]
