"""Figures in what is said of formulas, as the workshop writes them; each sum by hand beside its case."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import read
from webapp.costing.own.columns import FORMULAS
from webapp.costing.own.layouts import laid_out_as
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import Told
from webapp.costing.own.written import Written

#: a decimal comma, and a mark that no figure has by itself
COMMA = Written(number=lambda value: f"<{value.normalize():f}>".replace(".", ","))


def german(text: str, **more: object) -> OwnReading:
    return read(text, told=Told(written=COMMA), **more)  # type: ignore[arg-type]


def said(reading: OwnReading) -> str:
    return " | ".join(
        [*(one.sentence for one in reading.wrong), *(r for f in reading.formulas for r in f.said.remarks)]
    )


LIST = "Formula|Ingredient|%\nBalm|Shea|"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        # 40.25 + 59.5 = 99.75
        (f"{LIST}40,25\nBalm|Wax|59,5", "the lines add up to <99,75> %, <0,25> short of 100."),
        (f"{LIST}40,25\nBalm|Wax|59,5", "one of the amounts that add up to <99,75> %."),
        # 33.3335 + 33.333 + 33.333 = 99.9995; the rest of 100 is 0.0005: 33.334
        (f"{LIST}33,3335\nBalm|Wax|33,333\nBalm|Oil|33,333", "Shea is read as <33,334> %, so that the lines add up"),
        # three times 33.3 = 99.9
        (f"{LIST}33,3\nBalm|Wax|33,3\nBalm|Oil|33,3", "rounded and come to <99,9>: read in proportion"),
        # 1.5 + 2.25 = 3.75
        ("Formula|Ingredient|Amount\nBalm|Shea|1,5\nBalm|Wax|2,25", "The amounts of Balm come to <3,75>."),
        # 120.5 - 20.25 = 100.25
        ("Balm\nBatch: 120,5 g\nIngredient|g\nShea|20,25\nWax|q.s.", "Wax takes the rest of <120,5> g: <100,25> g."),
        ("Balm\nIngredient|g\nShea|20,25\nWax|q.s.", "the others weigh <20,25> g, and the rest of what is not said"),
        ("Balm\nBatch: 10,5 g\nIngredient|g\nShea|20,25\nWax|q.s.", "and the rest of <10,5> g is nothing"),
        # 10.5 g a percent: 25 would be 262.5
        (
            "Formula|Ingredient|%|g\nBalm|Shea|50,00|525\nBalm|Wax|25,00|270,5\nBalm|Oil|25,00|262,5",
            "<25> % of Wax would be <262,5> g, as the other rows have it, and <270,5> g stand here.",
        ),
        # 50.25 + 50.25 = 100.5
        (
            "Balm\nBatch: 200,5 g\nIngredient|%|g\nShea|50|50,25\nWax|50|50,25",
            "Its grams come to <100,5> g; its batch is said to be <200,5> g.",
        ),
        # 33.3 + 33.3 + 33.3 are 0.1 away
        (
            "Formula|Ingredient|%|g\nBalm|Shea|33,3|100,5\nBalm|Wax|33,3|100,5\nBalm|Oil|33,3|100,5",
            "Its percent are rounded, <0,1> away from 100: its grams count.",
        ),
        (
            "Formula|Ingredient|%|Batch\nBalm|Shea|50|300,5 g\nBalm|Wax|50|200,5 g",
            "Balm: its batch stands here as <200,5> g, and above as <300,5> g.",
        ),
        # 20.25 + 20.25 = 40.5
        (
            "Balm\nIngredient|%\nOil phase|41,5\nShea|20,25\nOil|20,25\nWax phase|59,5\nWax|59,5",
            "Oil phase: 41,5 stands here, and the lines below it come to <40,5>.",
        ),
    ],
)
def test_figures_of_a_formula_are_written_as_the_workshop_writes_them(text: str, words: str) -> None:
    assert words in said(german(text))


def test_a_sum_beside_a_stage_of_formulas_side_by_side_is_written_so_too() -> None:
    """30.25 + 20 = 50.25."""
    text = "Ingredient|Balm (g)|Soft (g)\nOil phase|80|55,5\nShea|60|30,25\nOil|20|20\nWax phase|20|50\nWax|20|50"
    reading = german(text, layouts={0: laid_out_as(read(text).tables[0], FORMULAS)})
    assert "Oil phase: 55,5 stands here, and the rows below it come to <50,25>." in said(reading)


def test_a_density_from_a_weight_in_a_gallon_is_written_so_too() -> None:
    """7.6 lb are 7.6 x 453.59237 g in 3785.411784 mL: 0.9107 g/mL to four places."""
    reading = german("Item|Pack|Price|Density (lb/US gal)\nOil|1 L|5|7,6")
    remarks = [one for material in reading.materials for one in material.said.remarks]
    assert "<7,6> lb in a US gallon is <0,9107> g/mL." in remarks[0], remarks


@pytest.mark.parametrize("fixed", [(), ("C2",)])
def test_cells_that_are_sent_back_as_they_stand_change_nothing(fixed: tuple[str, ...]) -> None:
    """With commas 12.125 would be 12125: what stands in the field is the cell's own text."""
    text = f"{LIST}40,125\nBalm|Wax|12,125\nBalm|Oil|47,5"
    wrong = read(text).wrong
    assert [(one.cell, one.read) for one in wrong] == [("C2", "40,125"), ("C3", "12,125"), ("C4", "47,5")]
    again = read(text, fixes={one.mark: "40,375" if one.cell in fixed else one.read for one in wrong})
    assert again.sign.sign == ","
    amounts = [line.amount for line in again.formulas[0].said.rows.lines]
    assert amounts == [Decimal("40.375") if fixed else Decimal("40.125"), Decimal("12.125"), Decimal("47.5")]
    assert bool(again.wrong) is not bool(fixed)
