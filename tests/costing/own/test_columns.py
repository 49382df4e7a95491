"""What the sheets and columns of a maker's own workbook are taken for."""

from __future__ import annotations

import pytest

from webapp.costing.own.columns import FORMULAS, MATERIALS, NOTHING, Layout, OwnTable, role_of, sort_of
from webapp.costing.own.layouts import laid_out, laid_out_as


def table(*rows: str, title: str = "Sheet1", hidden: bool = False) -> OwnTable:
    return OwnTable(title, tuple(tuple(row.split("|")) if row else () for row in rows), hidden=hidden)


@pytest.mark.parametrize(
    ("head", "role"),
    [
        ("Ingredient", "name"),
        ("INCI name", "inci"),
        ("Pack size (g)", "pack"),
        ("Price (EUR)", "price"),
        ("Price / kg", "unit_price"),
        ("€/kg", "unit_price"),
        ("Cost per 100 g", "unit_price"),
        ("Price per ounce", "unit_price"),
        ("Lieferant", "supplier"),
        ("Gebindegröße", ""),
        ("Quantité", "packs"),
        ("Dichte (g/mL)", "density"),
        ("MwSt.", "tax_rate"),
        ("Bought on", "day"),
        ("Stock now", ""),
        ("Minimum stock", ""),
    ],
)
def test_heads_of_materials(head: str, role: str) -> None:
    assert role_of(head, MATERIALS) == role


@pytest.mark.parametrize(
    ("head", "role"),
    [
        ("Recipe", "formula"),
        ("Raw material", "ingredient"),
        ("%", "percent"),
        ("% w/w", "percent"),
        ("Anteil in %", "percent"),
        ("Weight (g)", "grams"),
        ("Amount (g)", "grams"),
        ("Amount (kg)", "amount"),
        ("Parts", "parts"),
        ("Phase", "stage"),
        ("Batch size", "batch"),
        ("Grammi per lotto", "grams"),
        ("g per batch", "grams"),
        ("Batch grams", "batch"),
        ("Cost", ""),
    ],
)
def test_heads_of_formulas(head: str, role: str) -> None:
    assert role_of(head, FORMULAS) == role


def test_heads_may_stand_below_a_title() -> None:
    found = laid_out(table("My prices 2026", "", "Ingredient|Supplier|Pack|Price|Notes", "Shea|Mill|1 kg|12.40|"))
    assert found == Layout(MATERIALS, 3, ("name", "supplier", "pack", "price", ""))


def test_a_sheet_of_formulas_is_told_by_its_amounts() -> None:
    assert laid_out(table("Formula|Ingredient|%", "Balm|Shea|40")).holds == FORMULAS
    assert laid_out(table("Ingredient|%|g", "Shea|40|400")) == Layout(FORMULAS, 1, ("ingredient", "percent", "grams"))


def test_hidden_and_empty_sheets_and_a_diary_hold_nothing() -> None:
    assert laid_out(table("Ingredient|Price", hidden=True)).holds == NOTHING
    assert laid_out(table()).holds == NOTHING
    assert laid_out(table("Market of May", "Sunny, sold well", title="Diary")).holds == NOTHING


def test_of_two_columns_with_the_same_head_the_first_counts() -> None:
    assert laid_out(table("Item|Price|Price", "Shea|1|1")).roles == ("name", "price", "")


def test_without_heads_the_cells_tell() -> None:
    assert laid_out(table("Shea butter|1 kg|€12.40", "Beeswax|500 g|€9")) == Layout(
        MATERIALS, 0, ("name", "pack", "price")
    )
    assert laid_out(table("Shea butter|40%", "Beeswax|60%")) == Layout(FORMULAS, 0, ("ingredient", "percent"))


@pytest.mark.parametrize(
    ("cell", "sort"),
    [("€12.40", "money"), ("2026-01-05", "day"), ("5.1.2026", "day"), ("40%", "percent"), ("1 kg", "amount"),
     ("40", "number"), ("Wax", "text"), ("3 blobs", "text")],
)  # fmt: skip
def test_what_a_cell_looks_like(cell: str, sort: str) -> None:
    assert sort_of(cell) == sort


def test_two_heads_speak_for_a_kind_and_a_long_sentence_is_no_head() -> None:
    """A head has less than 60 characters: what is longer are words above the sheet."""
    assert laid_out(table("Material|INCI name", "Shea butter|Butyrospermum")) == Layout(MATERIALS, 1, ("name", "inci"))
    for more, role in (("x" * 51, "price"), ("x" * 52, "")):
        head = f"Price ({more})"
        found = laid_out(table(f"Material|Pack|Supplier|{head}", "Shea butter|1 kg|Mill|9"))
        assert (len(head), found.roles[3]) == (59 if role else 60, role)


def test_without_heads_bare_numbers_are_what_the_title_says() -> None:
    said = ("Shea butter|40", "Beeswax|60")
    assert laid_out(table(*said, title="Recipe")) == Layout(FORMULAS, 0, ("ingredient", "percent"))
    assert laid_out(table(*said, title="Prices")) == Layout(MATERIALS, 0, ("name", "price"))


def test_a_person_may_say_what_a_sheet_holds() -> None:
    told = table("Shea|1|12.40", title="x")
    assert laid_out_as(told, MATERIALS).roles == ("name", "pack", "price")
    assert laid_out_as(told, NOTHING) == Layout(NOTHING)


def test_two_heads_that_are_known_are_enough_where_a_person_says_what_a_sheet_holds() -> None:
    told = table("Ingredient|Notes|%", "Shea|soft|40", "Wax|hard|60")
    assert laid_out_as(told, FORMULAS) == Layout(FORMULAS, 1, ("ingredient", "", "percent"))
    # one is not: the cells tell then, heads or none
    assert laid_out_as(table("What|Which", "Shea butter|40%", "Beeswax|60%"), FORMULAS).heads == 0


def test_a_sign_of_percent_in_a_head_says_what_stands_below() -> None:
    assert role_of("my %", FORMULAS) == "percent"


def test_a_sum_is_no_row_of_heads() -> None:
    """ "Total" is known as the head of a price: formulas without heads were taken for prices by their first sum."""
    rows = (
        "Balm",
        "Castor oil|40%",
        "Jojoba|60%",
        "Total|100%",
        "",
        "Wax",
        "Beeswax|30%",
        "Castor oil|70%",
        "Total|100%",
    )
    assert laid_out(table(*rows)) == Layout(FORMULAS, 0, ("ingredient", "percent"))
    assert laid_out(table("Total|Item", "9|Shea")).heads == 1
