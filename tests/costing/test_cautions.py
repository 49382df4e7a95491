"""Cautions go by the natures of what is inside, through every pre-blend (common practice of the trade, no source)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

import pytest

from tests.costing.making import DAY
from webapp.costing import cautions, limits
from webapp.costing.book import Book, Formula, FormulaLine, Material
from webapp.costing.called import NATURES
from webapp.costing.cautions import LAW, MELT, NUT, RANCID, SCENT, WATER, of_formula, of_material
from webapp.costing.shapes import SHAPES

D = Decimal
BLEND, WHOLE = 21, 22


def material(number: int, nature: str, *, nut: bool = False, months: str | None = None) -> Material:
    shelf = None if months is None else D(months)
    return Material(number, f"Part {number}", nature=nature, nut=nut, shelf_months=shelf)


def of(*inside: Material, months: str | None = None, blended: Iterable[Material] = ()) -> tuple[str, ...]:
    """The cautions of a formula of these, and of a pre-blend of `blended` in it."""
    below = Formula(BLEND, "Blend", DAY, tuple(FormulaLine(one.id) for one in blended))
    lines = tuple(FormulaLine(one.id) for one in inside)
    shelf = None if months is None else D(months)
    made = Formula(WHOLE, "Whole", DAY, (*lines, FormulaLine(formula=BLEND)), shelf_months=shelf)
    book = Book(day=DAY, materials={one.id: one for one in (*inside, *blended)}, formulas={BLEND: below, WHOLE: made})
    return of_formula(book, made)


@pytest.mark.parametrize(
    ("natures", "said"),
    [
        ((), {LAW}),
        (("butter",), {MELT, RANCID, LAW}),
        (("wax",), {MELT, LAW}),
        (("oil",), {RANCID, LAW}),
        (("oil", "antioxidant"), {LAW}),
        (("butter", "antioxidant"), {MELT, LAW}),
        (("water",), {WATER, LAW}),
        (("essential oil",), {SCENT, LAW}),
        (("fragrance",), {SCENT, LAW}),
        (("other", ""), {LAW}),
    ],
)
def test_a_formula_is_cautioned_of_what_is_in_it_itself_or_by_a_pre_blend(
    natures: tuple[str, ...], said: set[str]
) -> None:
    inside = [material(number, nature) for number, nature in enumerate(natures, 1)]
    assert set(of(*inside)) == set(of(blended=inside)) == said


def test_an_antioxidant_in_a_pre_blend_counts_for_the_fats_beside_it() -> None:
    assert RANCID not in of(material(1, "oil"), blended=[material(2, "antioxidant")])


def test_a_nut_is_told_at_the_material_and_through_every_pre_blend() -> None:
    nut = material(1, "butter", nut=True)
    assert of_material(nut)[-1] == cautions.NUT_MATERIAL
    assert cautions.NUT_MATERIAL not in of_material(replace(nut, nut=False))
    assert NUT in of(blended=[nut])
    assert NUT not in of(replace(nut, nut=False))


@pytest.mark.parametrize(
    ("months", "told"),
    [(None, True), ("24", True), ("12", True), ("6.5", False), ("6", False)],
)
def test_it_keeps_no_longer_than_its_shortest_lived_part(months: str | None, *, told: bool) -> None:
    parts = material(1, "oil", months="24"), material(2, "water")
    first = of(*parts, months=months, blended=[material(3, "oil", months="6.5")])[0]
    assert (first == "It keeps no longer than its shortest-lived part: Part 3, 6.5 months.") is told


def test_one_month_is_one_month() -> None:
    assert of(material(1, "", months="1.000000"))[0].endswith("Part 1, 1 month.")


def test_a_loop_that_is_being_typed_is_walked_once() -> None:
    """No book holds one, but a form that makes one is shown with what it holds."""
    here = Formula(WHOLE, "Whole", DAY, (FormulaLine(formula=BLEND), FormulaLine(1)))
    there = Formula(BLEND, "Blend", DAY, (FormulaLine(formula=WHOLE),))
    book = Book(day=DAY, materials={1: material(1, "water")}, formulas={WHOLE: here, BLEND: there})
    assert of_formula(book, here) == (WATER, LAW)


def test_every_nature_that_may_be_chosen_is_known_or_has_none_of_its_own() -> None:
    (nature,) = (field.kind for field in SHAPES["material"].fields if field.name == "nature")
    assert isinstance(nature, limits.Choice)
    assert set(nature.options) - set(cautions.BY_NATURE) <= {"", "other"}
    assert {*NATURES.values(), *cautions.BY_NATURE} <= set(nature.options)


def test_where_it_can_hurt_they_defer_to_law_and_qualified_people() -> None:
    """What the trade keeps saying: burns, water, skin limits, allergens, law."""
    for words, sentence in (
        ("burns", cautions.BY_NATURE["wax"]),
        ("burns", cautions.BY_NATURE["butter"]),
        ("qualified", cautions.BY_NATURE["essential oil"]),
        ("qualified", cautions.BY_NATURE["water"]),
        ("allergens", cautions.BY_NATURE["fragrance"]),
        ("local law", LAW),
        ("local law", cautions.OF_PRODUCT[0]),
        ("local law", cautions.OF_PRICE_LIST[0]),
    ):
        assert words in sentence
