"""In which unit of mass the amounts of a maker's own formula are written, so that its batch is shown in it."""

from __future__ import annotations

import pytest

from tests.costing.own.test_sheets import PRICES, read
from webapp.costing.own.columns import FORMULAS, Layout
from webapp.costing.own.seen import weighed_in

LINES = "Balm | Shea butter | {} | {}\nBalm | Beeswax | {} | {}"


@pytest.mark.parametrize(
    ("heads", "cells", "unit"),
    [
        ("% | oz", ("75", "48", "25", "16"), "oz"),
        ("Amount | Note", ("48 oz", "", "16 oz", ""), "oz"),
        ("Amount | Note", ("1 lb", "", "16 oz", ""), ""),
        ("lb | Note", ("2", "", "1", ""), "lb"),
        ("Grams | Note", ("2", "", "1", ""), ""),
        ("% | Note", ("75", "", "25", ""), ""),
    ],
)
def test_the_unit_stands_in_the_cell_or_its_head_beside_percent_or_alone(
    heads: str, cells: tuple[str, ...], unit: str
) -> None:
    reading = read(PRICES, f"Formula | Ingredient | {heads}\n{LINES.format(*cells)}")
    (seen,) = reading.formulas
    assert weighed_in(reading.tables[1], reading.layouts[1], seen.said.rows) == unit


def test_without_heads_a_bare_amount_has_no_unit() -> None:
    layouts = {1: Layout(FORMULAS, 0, ("formula", "ingredient", "amount", ""))}
    reading = read(PRICES, LINES.format("75", "", "25", ""), layouts=layouts)
    (seen,) = reading.formulas
    assert weighed_in(reading.tables[1], reading.layouts[1], seen.said.rows) == ""
