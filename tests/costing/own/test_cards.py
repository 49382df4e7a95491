"""Recipes whose lines say what they cost, told from lists of prices. Expected costs are worked out in fractions."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import read, sentences, table
from webapp.costing.gaps import Gap
from webapp.costing.own.columns import FORMULAS, MATERIALS
from webapp.costing.own.layouts import laid_out_together

F = Fraction
OZ = F("28.349523125")
LIST = "Ingredient|Pack|Price\nShea butter|16 oz|8\nOlive oil|16 oz|6\nBeeswax|16 oz|10"
LINES = "Shea butter|6|3.00\nOlive oil|2|0.75"
CARD = f"Ingredient|Amount (oz)|Cost\n{LINES}"
#: 6 oz at 8 and 2 oz at 6 for 16 oz, in 8 oz
COST = (F(8, 16) * 6 + F(6, 16) * 2) / 8 / OZ


@pytest.mark.parametrize(
    "text",
    [
        f"{CARD}\nTotal|8|3.75",
        f"{CARD}\nTOTAL|8.0|",
        f"Soft balm recipe\n{CARD}",
        f"Soft balm\nBatch weight|8|oz\n{CARD}",
        f"Soft balm - recipe card\nBatch weight|8|oz\n{CARD}\nTotal|8|3.75",
        f"Soft balm recipe\nIngredient|Oz|Cost\n{LINES}",
        "Soft balm\nBatch|8|oz\nIngredient|Oz|$/oz|Cost\nShea butter|6|0.50|3\nOlive oil|2|0.375|0.75",
    ],
)
def test_amounts_with_what_each_line_costs_are_a_formula(text: str) -> None:
    """They were prices before: 3.00 for a pack of 6 oz, beside another on the list."""
    for sheets in ((LIST, text), (text, LIST)):
        reading = read(*sheets)
        assert reading.good, (reading.faults, sentences(reading))
        assert len(reading.materials) == 3
        (one,) = reading.formulas
        assert isinstance(one.cost, Decimal)
        assert abs(F(one.cost) - COST) < COST / 10**9  # amounts are kept to a millionth of a gram


def test_a_card_alone_is_a_formula_by_its_title_and_its_batch() -> None:
    reading = read(f"Soft balm recipe\nBatch weight|8|oz\n{CARD}")
    assert [layout.holds for layout in reading.layouts] == [FORMULAS]
    (one,) = reading.formulas
    assert one.said.rows.name.startswith("Soft balm")
    assert isinstance(one.cost, Gap)  # its ingredients have no prices yet


@pytest.mark.parametrize(
    "text",
    [
        CARD,  # nothing but other prices for other packs
        f"{CARD}\nTotal|9|3.75",  # no total of what stands above it
        "Ingredient|Supplier|Amount (oz)|Cost\nShea butter|Mill|6|3\nOlive oil|Mill|2|1\nTotal||8|4",
        "Ingredient|Amount (oz)|Cost\nKokum|6|3\nIllipe|2|1\nTotal|8|4",  # of which none is priced elsewhere
        "Ingredient|Amount (oz)|Cost\nShea butter|6|3\nIllipe|1|1\nKokum|1|1\nTotal|8|5",
        "Soft balm recipe\nIngredient|Cost\nShea butter|3\nOlive oil|1",  # without amounts
        "Ingredient|Amount (oz)|Cost\nTotal|8|4\nShea butter|6|3\nOlive oil|2|1",
    ],
)
def test_other_prices_stay_prices(text: str) -> None:
    layouts = laid_out_together([table(LIST, "Prices"), table(text, "Mine")])
    assert [one.holds for one in layouts] == [MATERIALS, MATERIALS]
