"""Whatever stands in the cells, a sheet is read without stumbling, and what is good can be applied as it was shown."""

from __future__ import annotations

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing.book import Book
from webapp.costing.changes import apply_all
from webapp.costing.own_cells import Told
from webapp.costing.own_columns import (
    FORMULA_ROLES,
    FORMULAS,
    MATERIAL_ROLES,
    MATERIALS,
    NOTHING,
    PRODUCT_ROLES,
    PRODUCTS,
    Layout,
    OwnTable,
)
from webapp.costing.own_prices import ABOUT, LIST, PAID, How
from webapp.costing.own_sheets import Choices, read_own

CELLS = (
    "", " ", "Shea butter", "shea  BUTTER", "Beeswax", "Shea buter", "Balm", "Total", "PACKAGING", "Price",
    "Ingredient", "%", "Pack", "1 kg", "2,5 kg", "500", "1,500", "0", "-1", "1e5", "100 pcs", "box of 48",
    "6 x 500 g", "1 gal", "8 fl oz", "kg", "$12.50", "12,50 €", "12.50/kg", "1.80 / 100 g", "/kg", "€", "EUR",
    "12.345678", "#DIV/0!", "q.s.", "rest", "40%", "0.4", "60", "100", "40 g", "5 drops", "2 parts", "Batch: 2 kg",
    "Makes 12", "Phase A", "Recipe: Balm", "03/04/2026", "31.03.2026", "2030-01-01", "20%", "0.92", "9" * 30,
    "a" * 200, "\u202e", "<b>", "=1+1", "\u0661", "Mill", "packaging", "'", "x x", "x", ".", "99999999999999999999",
    "0.00000001",
)  # fmt: skip
ROWS = st.lists(st.lists(st.sampled_from(CELLS), max_size=6).map(tuple), max_size=12).map(tuple)
ROLES = {
    MATERIALS: ("", *MATERIAL_ROLES),
    FORMULAS: ("", *FORMULA_ROLES),
    PRODUCTS: ("", *PRODUCT_ROLES),
    NOTHING: ("",),
}


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    holds = draw(st.sampled_from(tuple(ROLES)))
    return Layout(holds, draw(st.integers(0, 3)), tuple(draw(st.lists(st.sampled_from(ROLES[holds]), max_size=6))))


@st.composite
def chosen(draw: st.DrawFn) -> Choices:
    sign, days, system, unit = (
        draw(st.sampled_from(one)) for one in (("", ".", ","), ("", "day first"), ("", "US"), ("", "kg"))
    )
    told = Told(sign, days, system, unit)
    how = How(
        draw(st.sampled_from((PAID, LIST, ABOUT))),
        draw(st.sampled_from(("", "Mill"))),
        draw(st.none() | st.just(date(2026, 3, 1))),
    )
    marks = st.sampled_from(("s0_r1_c0", "s0_r2_c5", "s9_r1_c1", "s0_r99999_c1", "x", ""))
    fixes = draw(st.dictionaries(marks, st.sampled_from(CELLS), max_size=3))
    found = draw(st.dictionaries(st.integers(0, 1), layouts(), max_size=2))
    return Choices(
        found, told, draw(st.sampled_from(("", "grams"))), "", how, fixes, frozenset(draw(st.lists(marks, max_size=2)))
    )


@settings(max_examples=examples.of(300), deadline=None)
@given(ROWS, ROWS, chosen(), st.booleans())
def test_any_sheets_can_be_read(
    one: tuple[tuple[str, ...], ...], two: tuple[tuple[str, ...], ...], how: Choices, exact: bool
) -> None:
    book = Book(day=date(2026, 11, 25))
    clamped = {
        number: Layout(at.holds, min(at.heads, len((one, two)[number])), at.roles) for number, at in how.layouts.items()
    }
    choices = Choices(clamped, how.told, how.amounts, how.prices, how.how, how.fixes, how.left_out)
    reading = read_own(book, (OwnTable("Prices", one, exact), OwnTable("Formulas", two)), choices)
    assert all(fault.sentence for fault in reading.wrong)
    if reading.good:
        assert apply_all(book, reading.changes) == reading.after
