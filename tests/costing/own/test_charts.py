"""Formulas side by side: their units in a row below, what misses a hundred, heads that are versions. From paper.

A kilo of shea butter costs 10, of mango butter 20, of castor oil 8.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_phases import come_to, read
from tests.costing.own.test_sheets import sentences
from webapp.costing.own.rows import mark_of
from webapp.costing.own.versions import is_version

F = Fraction
#: 60 at 10 and 40 at 20 of 100; the other way round
BUTTER, OTHER = F(14), F(16)


@pytest.mark.parametrize("title", ["Chart", "Sheet 2"])
@pytest.mark.parametrize("first", ["", "Blend chart\n"])
def test_units_in_a_row_below_the_names_are_no_heads(title: str, first: str) -> None:
    """3 and 1 parts at 10 and 20. The column with the ingredient was asked for."""
    text = "Ingredient|Loc|Curl|Pomade\n|%|g|parts\nShea butter|60|300|3\nMango butter|40|200|1"
    reading = read(f"{first}{text}", title)
    come_to(reading, {"Loc": BUTTER, "Curl": BUTTER, "Pomade": F("12.5")})
    assert [line.unit for one in reading.formulas for line in one.said.rows.lines] == [
        "percent", "percent", "g", "g", "part", "part",
    ]  # fmt: skip


def test_what_misses_a_hundred_among_others_that_do_not_may_be_said_to_be_parts() -> None:
    """58 at 10 and 40 at 20 of 98; 30 at 10, 50 at 20 and 20 at 8 of 100."""
    text = "Ingredient|Loc|Curl\nShea butter|58|30\nMango butter|40|50\nCastor oil||20\nTotal|98|100"
    asked = read(text)
    kind = f"kind-{mark_of('Loc')}"
    assert kind in asked.asks
    words = "Loc: the lines add up to 98 %, 2 short of 100. Choose what its amounts are, or correct them."
    assert sentences(asked)[0] == ("B2", words)
    parts = read(text, kinds={mark_of("Loc"): "parts"})
    come_to(parts, {"Loc": F(1380, 98), "Curl": F("14.6")})
    percent = read(text, kinds={mark_of("Loc"): "percent"})
    assert [cell for cell, _ in sentences(percent)] == ["B2", "B3"]


@pytest.mark.parametrize(
    ("heads", "names"),
    [
        ("v1 %|v2 %", ["v1", "v2"]),
        ("v1|V2", ["v1", "V2"]),
        ("old|new", ["old", "new"]),
        ("1|2", ["1", "2"]),
        ("1 %|2 %", ["1", "2"]),
        ("05/01/2026|2026-02-07", ["05/01/2026", "2026-02-07"]),
    ],
)
@pytest.mark.parametrize("total", ["", "\nTotal|100|100"])
def test_heads_that_are_only_versions_are_called_by_the_title_too(heads: str, names: list[str], total: str) -> None:
    """The title was lost, and numbers and days were no formulas."""
    rows = f"Ingredient|{heads}\nShea butter|60|40\nMango butter|40|60{total}"
    first, second = (f"Curl cream {one}" for one in names)
    come_to(read(f"Curl cream\n{rows}"), {first: BUTTER, second: OTHER})
    come_to(read(f"\nCurl cream - recipe card\n\n{rows}"), {first: BUTTER, second: OTHER})
    come_to(read(rows, "Curl cream"), {first: BUTTER, second: OTHER})
    come_to(read(f"My recipes\n{rows}", "Sheet 2"), {names[0]: BUTTER, names[1]: OTHER})


def test_only_the_versions_take_the_title_and_each_of_two_columns_does() -> None:
    rows = "Ingredient|v1||Loc|\n|%|g|%|g\nShea butter|60|300|40|200\nMango butter|40|200|60|300"
    come_to(read(f"Curl cream\n{rows}"), {"Curl cream v1": BUTTER, "Loc": OTHER})


def test_numbers_over_other_numbers_are_no_formulas() -> None:
    """Two prices of two days: 10 and 11."""
    reading = read("Ingredient|2026-01-05|2026-02-07\nShea butter|10|11\nMango butter|40|42", "Sheet 2")
    assert [one.said.rows.name for one in reading.formulas] == []


def test_a_formula_in_each_row_keeps_its_name() -> None:
    rows = "Formula|Shea butter|Mango butter\nv1|60|40\nv2|40|60"
    come_to(read(f"Curl cream\n{rows}"), {"v1": BUTTER, "v2": OTHER})


@pytest.mark.parametrize(
    ("name", "version"),
    [("v1", True), ("Version 2.1", True), ("(new)", True), ("#3", True), ("2a", True), ("Old version", True),
     ("New Moon", False), ("A", False), ("Vanilla 2", False), ("V", False)],
)  # fmt: skip
def test_what_is_only_a_version(name: str, version: bool) -> None:
    assert is_version(name) is version
