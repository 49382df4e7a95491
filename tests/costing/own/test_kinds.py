"""What is packaging by what a sheet says of it, so that a bare number of it is pieces."""

from __future__ import annotations

import pytest

from tests.costing.own.test_sheets import table
from webapp.costing.own.columns import Layout
from webapp.costing.own.kinds import first_kind, is_called_packaging, kind_of, kind_of_sheet

LAYOUT = Layout("materials", 3, ("name", "pack", "price"))


@pytest.mark.parametrize(
    ("title", "text", "kind"),
    [
        ("Packaging", "\n\nItem|Pack|Price\nPump|50|9", "packaging"),
        ("Jars & lids", "\n\nItem|Pack|Price\nPump|50|9", "packaging"),
        ("Prices", "Bottles and jars\n\nItem|Pack|Price\nPump|50|9", "packaging"),
        ("Prices", "\n\nContainer|Pack|Price\nPump|50|9", "packaging"),
        ("Ingredients", "\n\nItem|Pack|Price\nPump|50|9", ""),
        ("Raw materials", "\n\nItem|Pack|Price\nShea|50|9", ""),
        ("Ingredients & packaging", "\n\nItem|Pack|Price\nShea|50|9", ""),
        ("Packaging", "My list|of 2026\n\nItem|Pack|Price\nPump|50|9", "packaging"),
    ],
)
def test_a_sheet_says_what_all_of_it_is(title: str, text: str, kind: str) -> None:
    rows = table(text.replace("\n", "\n-|", 0), title)
    pad = 3 - next(number for number, row in enumerate(rows.rows, 1) if "Price" in row)
    layout = Layout("materials", 3 - pad, LAYOUT.roles)
    assert kind_of_sheet(rows, layout) == kind
    assert kind_of_sheet(rows, Layout("materials", 0, ("", "pack"))) == kind_of(title).replace("ingredient", "")


@pytest.mark.parametrize(
    ("name", "is_one"),
    [
        ("Amber jar", True), ("Pump top 24mm", True), ("250ml amber bottle", True), ("Lid", True),
        ("Shea butter tin", False), ("Tin of wax", False), ("Olive oil bottle", False), ("Shea", False),
        ("Tin oxide", False),
    ],
)  # fmt: skip
def test_a_name_says_that_it_is_packaging_where_it_can_be_nothing_else(name: str, is_one: bool) -> None:
    assert is_called_packaging(name) is is_one


def test_kinds_are_known_by_all_words_or_by_the_first() -> None:
    assert [kind_of(text) for text in ("Raw materials", "JARS & TINS", "Jars, oils", "oil and jar")] == [
        "", "packaging", "", "",
    ]  # fmt: skip
    assert first_kind("packaging, metal") == "packaging"
    assert first_kind("metal") == ""
