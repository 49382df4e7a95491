"""Names that were said to be new, and things that have come in under them since. Costs are worked out in fractions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from tests.costing.own.test_parts import BOTH, HEADS, PIECES
from tests.costing.own.test_products import SUM
from tests.costing.own.test_recipe_prices import OIL, SHEA, STACKED
from tests.costing.own.test_sheets import DAY, EMPTY, PRICES, costs, near, read, sentences, stored
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.costing.own.prices import NEW, How
from webapp.costing.own.rows import mark_of

F = Fraction


def new(*names: str) -> How:
    return How(means={mark_of(name): NEW for name in names})


def test_a_name_said_to_be_new_is_none_beside_the_one_that_the_sheet_itself_has_by_now() -> None:
    """It was said while the column of prices was left out; with that column the sheet brings it itself."""
    reading = read(STACKED, how=new("Shea butter"))
    assert reading.good, sentences(reading)
    made = [one.record.name for one in reading.changes if isinstance(one, Put) and isinstance(one.record, b.Material)]
    assert made == ["Shea butter", "Olive oil", "Beeswax"]
    assert near(costs(reading)["Balm"], SHEA * F(60, 100) + OIL * F(40, 100))


def test_what_was_new_is_found_when_its_sheet_comes_again() -> None:
    """What was said of a name is remembered with its heads, and the book has it by then."""
    text = "Formula|Ingredient|%\nBalm|Shea buter|40\nBalm|Beeswax|60"
    book = stored(read(PRICES, text, how=new("Shea buter")))
    assert read(PRICES, text, book=book, how=new("Shea buter")).says_nothing_new
    prices = "Ingredient | Pack | Price\nshea BUTER | 1 kg | 9.00"
    assert near(costs(read(prices, book=book, how=new("Shea buter")))["Shea buter"], F(9, 1000))


def test_what_cannot_be_new_is_refused_at_the_cell_that_names_it_first() -> None:
    both = replace(
        EMPTY,
        materials={1: b.Material(1, "Salve", "ingredient"), 2: b.Material(2, "Oil", "ingredient")},
        formulas={3: b.Formula(3, "Salve", DAY, (b.FormulaLine(material=2, rest=True),))},
    )
    refused = read("Formula|%|Ingredient\nBalm|40|Oil\nBalm|60|Salve", book=both, how=new("Salve"))
    assert refused.wrong[0].cell == "C3"
    assert "already one called Salve" in refused.wrong[0].sentence
    assert all(one.row for one in refused.wrong)
    piece = read(PIECES, SUM, f"{HEADS}Shea butter | 3", book=BOTH, how=new("Shea butter"))
    assert "already one called Shea butter" in dict(sentences(piece))["D2"]
    assert {(one.sheet, one.row) for one in piece.wrong} == {(2, 2)}
