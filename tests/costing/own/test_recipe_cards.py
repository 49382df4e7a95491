"""A tab a product: ingredients, what each line costs, packaging below the total. Costs are worked out in fractions."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from tests.costing.own.test_sheets import EMPTY, near, sentences, table
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.totals import IN, OUT, PACKAGING
from webapp.costing.own.typed_prices import MANY

F = Fraction
PRICES = (
    "Ingredient | Price | per\nShea butter | 10 | kg\nOil | 6 | kg\n"
    "Cupua\u00e7u butter | 30 | kg\nJar 50 ml | 0.5 | pc\n"
    "Lid | 0.1 | pc"
)
CARD = (
    "{}\nmakes 20 x 50ml\n\nIngredient | g | \u20ac/g | cost\n{} | 600 | {} | \u20ac6\nOil | 400 | 0.006 | \u20ac2.4\n"
    "Total | 1000 | | \u20ac8.4\n\n"
    "Packaging\n{}\nPackaging total | | | \u20ac12\n\nTotal for the batch | | | \u20ac20.4\n"
    "per jar | | | \u20ac1.02"
)
JARS = "Jar 50 ml | 20 | 0.5 | \u20ac10\nLid | 20 | 0.1 | \u20ac2"
COST = F(600 * 10 + 400 * 6, 1_000_000)


def look(*cards: tuple[str, str], **choices: Any) -> OwnReading:
    tables = [table(PRICES, "Prices"), *(table(text, title) for title, text in cards)]
    return read_own(EMPTY, tables, Choices(**choices))


def card(name: str, first: str = "Shea butter", each: str = "0.01", below: str = JARS) -> tuple[str, str]:
    return name, CARD.format(name, first, each, below)


def test_packaging_below_the_total_of_each_card_is_no_formula_and_asks_nothing() -> None:
    """Each card was asked for its jars, and “Packaging total” and “per jar” were formulas of their own."""
    reading = look(card("Balm"), card("Mask"), card("Cream"))
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Balm", "Mask", "Cream"]
    assert all(near(one.cost, COST) for one in reading.formulas)
    assert [one.said.remarks for one in reading.formulas] == [[PACKAGING]] * 3


def test_what_is_weighed_below_the_totals_of_several_cards_is_asked_once_for_all() -> None:
    """100 g at 30 more are 11.40 for 1100 g."""
    cards = [
        card(name, below="Cupua\u00e7u butter | 100 | 0.03 | \u20ac0.6") for name in ("Balm", "Mask", "Cream", "Milk")
    ]
    reading = look(*cards)
    words = "Below the totals of Balm, Mask, Cream and 1 more stand: Cupua\u00e7u butter. Are they in these formulas?"
    said = f"{words} Choose it below, once for all."
    assert {(one.choice, one.sentence) for one in reading.wrong} == {("below", said)}
    out = look(*cards, below=OUT)
    assert out.good, sentences(out)
    assert all(near(one.cost, COST) for one in out.formulas)
    assert all("Below its total, and not in it: Cupua\u00e7u butter." in one.said.remarks for one in out.formulas)
    within = look(*cards, below=IN)
    assert within.good, sentences(within)
    assert all(near(one.cost, F(600 * 10 + 400 * 6 + 100 * 30, 1_100_000)) for one in within.formulas)


def test_packaging_is_in_no_formula_whatever_is_said_of_what_stands_below() -> None:
    reading = look(card("Balm"), card("Mask"), below=IN)
    assert reading.good, sentences(reading)
    assert all(near(one.cost, COST) for one in reading.formulas)


def test_a_formula_is_never_in_itself_so_that_the_material_is_meant() -> None:
    """600 g at 30, 300 g at 6 and 100 g at 10."""
    title, text = card("Cupuacu Butter", "Cupuacu butter", "0.03")
    reading = look(
        (title, text.replace("Oil | 400", "Oil | 300").replace("\nTotal |", "\nShea butter | 100\nTotal |", 1))
    )
    assert reading.good, sentences(reading)
    assert near(reading.formulas[0].cost, F(600 * 30 + 300 * 6 + 100 * 10, 1_000_000))
    assert "Cupuacu butter is Cupua\u00e7u butter here." in reading.formulas[0].said.remarks


def test_a_price_beside_a_line_that_is_another_than_on_the_price_sheet_is_said() -> None:
    """The price sheet counts: 0.01 for 1 g."""
    reading = look(card("Balm", each="0.0118"), card("Mask"))
    assert reading.good, sentences(reading)
    assert all(near(one.cost, COST) for one in reading.formulas)
    words = "Shea butter: 0.0118 for 1 g stands here, and 0.01 by your price sheet, which counts."
    assert [one.said.remarks for one in reading.formulas] == [[PACKAGING, words], [PACKAGING]]


def test_where_most_of_them_are_others_it_is_said_once_for_each_formula() -> None:
    reading = look(*(card(name, each="0.012") for name in ("Balm", "Mask")), *(_dear("Cream"), _dear("Milk")))
    assert [MANY in one.said.remarks for one in reading.formulas] == [True] * 4
    assert reading.good, sentences(reading)


def _dear(name: str) -> tuple[str, str]:
    title, text = card(name, each="0.012")
    return title, text.replace("| 0.006 |", "| 0.0072 |")


@pytest.mark.parametrize("words", ["Packaging total", "per jar", "Cost per pot", "each", "Sum of it all"])
def test_words_with_money_below_a_total_are_no_formula(words: str) -> None:
    text = f"Balm\nIngredient | g | cost\nShea butter | 600\nOil | 400\nTotal | 1000\n\n{words} | | \u20ac12"
    reading = look(("Balm", text))
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Balm"]


def test_a_title_with_what_it_costs_beside_it_is_one() -> None:
    text = (
        "Balm\nShea butter | 60 g\nOil | 40 g\nTotal | 100 g\n\nMask | | \u20ac4\nShea butter | 50 g\nOil | 50 g\n"
        "Total | 100 g"
    )
    reading = look(("Recipes", text))
    assert [one.said.rows.name for one in reading.formulas] == ["Balm", "Mask"]
