"""Whatever stands in the cells, a sheet is read without stumbling, and what is good can be applied as it was shown."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing.book import Book, Person, Wage
from webapp.costing.changes import apply_all
from webapp.costing.own.columns import (
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
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.reckoning import Reckoning

CELLS = (
    "", " ", "Shea butter", "shea  BUTTER", "Beeswax", "Shea buter", "Balm", "Total", "PACKAGING", "Price",
    "Ingredient", "%", "Pack", "1 kg", "2,5 kg", "500", "1,500", "0", "-1", "1e5", "100 pcs", "box of 48",
    "6 x 500 g", "1 gal", "8 fl oz", "kg", "$12.50", "12,50 €", "12.50/kg", "1.80 / 100 g", "/kg", "€", "EUR",
    "12.345678", "#DIV/0!", "q.s.", "rest", "40%", "0.4", "60", "100", "40 g", "5 drops", "2 parts", "Batch: 2 kg",
    "Makes 12", "Phase A", "Recipe: Balm", "03/04/2026", "31.03.2026", "2030-01-01", "20%", "0.92", "9" * 30,
    "a" * 200, "\u202e", "<b>", "=1+1", "\u0661", "Mill", "packaging", "'", "x x", "x", ".", "99999999999999999999",
    "0.00000001", "Qty", "Total paid", "Price inc VAT", "Price ex VAT", "Bought", "Price £", "£/kg", "£14", "50¢", "3",
    "30-40", "1 gal (UK)", "16 oz (US)", "1 lb (454 g)", "45334", "* a note", "Jar", "-", "GBP", "quid", "Density",
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
    told = Told(sign, days, system, unit=unit)
    how = How(
        draw(st.sampled_from((PAID, LIST, ABOUT))),
        draw(st.sampled_from(("", "Mill"))),
        draw(st.none() | st.just(date(2026, 3, 1))),
    )
    marks = st.sampled_from(("s0_r1_c0", "s0_r2_c5", "s9_r1_c1", "s0_r99999_c1", "x", ""))
    fixes = draw(st.dictionaries(marks, st.sampled_from(CELLS), max_size=3))
    found = draw(st.dictionaries(st.integers(0, 1), layouts(), max_size=2))
    of = OfSheet(
        unit=draw(st.sampled_from(("", "kg", "pieces"))), priced=draw(st.sampled_from(("", "one", "all", "none")))
    )
    left = frozenset(draw(st.lists(marks, max_size=2)))
    how = replace(how, by_price=draw(st.booleans()))
    return Choices(found, told, draw(st.sampled_from(("", "grams"))), "", how, fixes, left, of_sheets={0: of})


@settings(max_examples=examples.of(300), deadline=None)
@given(ROWS, ROWS, chosen(), st.booleans())
def test_any_sheets_can_be_read(
    one: tuple[tuple[str, ...], ...], two: tuple[tuple[str, ...], ...], how: Choices, exact: bool
) -> None:
    book = Book(day=date(2026, 11, 25))
    clamped = {
        number: Layout(at.holds, min(at.heads, len((one, two)[number])), at.roles) for number, at in how.layouts.items()
    }
    choices = replace(how, layouts=clamped)
    reading = read_own(book, (OwnTable("Prices", one, exact), OwnTable("Formulas", two)), choices)
    assert all(fault.sentence for fault in reading.wrong)
    if reading.good:
        assert apply_all(book, reading.changes) == reading.after


@settings(max_examples=examples.of(150), deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 99), st.integers(1, 99_999), st.integers(1, 9_999_999)), min_size=1, max_size=6),
    st.sampled_from(("one", "all")),
    st.booleans(),
)
def test_what_packs_cost_is_what_they_cost_for_one_or_for_all_of_them(
    packs: list[tuple[int, int, int]], way: str, by_head: bool
) -> None:
    """The cost of a gram is the price over the grams of one pack or of all, to the last digit."""
    head = {"one": "Price each", "all": "Total paid"}[way] if by_head else "Cost"
    rows = [("Item", "Shop", "Date", "Qty", "Size", head)]
    for number, (many, grams, cents) in enumerate(packs):
        rows.append((f"Oil number {number}", "Mill", "2026-03-01", str(many), f"{grams} g", f"{cents / 100:.2f}"))
    choices = Choices(told=Told("."), of_sheets={} if by_head else {0: OfSheet(priced=way)})
    reading = read_own(Book(day=date(2026, 11, 25)), (OwnTable("Prices", tuple(rows)),), choices)
    assert reading.good, reading.wrong
    for (many, grams, cents), one in zip(packs, reading.materials, strict=True):
        assert isinstance(one.cost, Decimal)
        exact = Fraction(cents, 100) / (grams * (many if way == "all" else 1))
        assert abs(Fraction(one.cost) - exact) < Fraction(1, 10**30)


# --- two columns a formula


@dataclass(frozen=True)
class Drawn:
    """Prices of a kg in cents, and of each formula the hundredths of a percent of each ingredient and its batch."""

    prices: tuple[int, ...]
    shares: tuple[tuple[int, ...], ...]
    batches: tuple[int, ...]

    def cost(self, formula: int) -> Fraction:
        """What a gram comes to."""
        parts = zip(self.shares[formula], self.prices, strict=True)
        return sum((Fraction(share, 10_000) * Fraction(price, 100_000) for share, price in parts), Fraction(0))


@st.composite
def formulas(draw: st.DrawFn) -> Drawn:
    many = draw(st.integers(2, 5))
    shares = []
    for _ in range(draw(st.integers(2, 4))):
        cuts = sorted(draw(st.lists(st.integers(0, 10_000), min_size=many - 1, max_size=many - 1)))
        shares.append(tuple(to - since for since, to in pairwise((0, *cuts, 10_000))))
    prices = draw(st.lists(st.integers(1, 9_999), min_size=many, max_size=many))
    batches = draw(st.lists(st.sampled_from((50, 100, 250, 1_000, 2_000)), min_size=len(shares), max_size=len(shares)))
    return Drawn(tuple(prices), tuple(shares), tuple(batches))


def hundredths(number: int, comma: bool) -> str:
    text = f"{number // 100}.{number % 100:02}"
    return text.replace(".", ",") if comma else text


def written(drawn: Drawn, heads: str, comma: bool, *, percent: bool = True, spoiled: int = -1) -> OwnTable:
    """The formulas in two columns each: `heads` says how they are named. `spoiled` is a formula of wrong grams."""
    names, units = ["Ingredient"], [""]
    for number in range(len(drawn.shares)):
        names += {"above": [f"Balm {number}", ""], "twice": [f"Balm {number}"] * 2}.get(
            heads, [f"Balm {number} (%)", f"Balm {number} (g)"]
        )
        units += ["%", "g"]
    rows: list[list[str]] = [names] if heads == "one row" else [names, units]
    for material in range(len(drawn.prices)):
        row = [f"Oil number {material}"]
        for number, (shares, batch) in enumerate(zip(drawn.shares, drawn.batches, strict=True)):
            grams = shares[material] * batch  # ten thousandths of a gram
            grams += batch * 2_000 if number == spoiled and material == 0 else 0
            here = [hundredths(shares[material], comma) if percent else "", f"{grams // 10_000}.{grams % 10_000:04}"]
            row += [one.replace(".", ",") if comma else one for one in here] if shares[material] else ["", ""]
        rows.append(row)
    total = ["Total"]
    for batch in drawn.batches:
        total += ["100", str(batch)]
    return OwnTable("Formulas", tuple(map(tuple, (*rows, total))))


@settings(max_examples=examples.of(150), deadline=None)
@given(formulas(), st.sampled_from(("above", "twice", "one row")), st.booleans(), st.booleans())
def test_formulas_that_are_written_in_two_columns_each_cost_what_they_did(
    drawn: Drawn, heads: str, comma: bool, percent: bool
) -> None:
    prices = (("Item", "Pack", "Price"), *((f"Oil number {n}", "1 kg", hundredths(one, comma)) for n, one in
              enumerate(drawn.prices)))  # fmt: skip
    book, told = Book(day=date(2026, 11, 25)), Told(sign="," if comma else ".")
    roles = ("ingredient", *("of_formula",) * (2 * len(drawn.shares)))
    choices = Choices({1: Layout(FORMULAS, 1, roles)}, told)
    tables = OwnTable("Prices", prices), written(drawn, heads, comma, percent=percent)
    if percent:
        assert laid_out(tables[1]) == choices.layouts[1]
    reading = read_own(book, tables, choices)
    assert reading.good, reading.wrong
    for number, one in enumerate(reading.formulas):
        assert (one.said.rows.name, one.said.rows.way) == (f"Balm {number}", "percent" if percent else "grams")
        assert isinstance(one.cost, Decimal)
        assert abs(Fraction(one.cost) - drawn.cost(number)) < Fraction(1, 10**30)
        assert not percent or one.said.rows.batch == drawn.batches[number]
    # a share of 1 % and more is written to less than a hundredth of itself: a fifth of the batch can't be rounded away
    spoiled = next((n for n, shares in enumerate(drawn.shares) if shares[0] and max(shares[1:]) >= 100), -1)
    if percent and spoiled >= 0:
        wrong = read_own(book, (tables[0], written(drawn, heads, comma, spoiled=spoiled)), choices)
        assert {fault.sentence.partition(":")[0] for fault in wrong.wrong} == {f"Balm {spoiled}"}


# --- formulas below each other, each with heads of its own; products of them


@settings(max_examples=examples.of(100), deadline=None)
@given(formulas(), st.data())
def test_formulas_below_each_other_cost_what_they_did_whatever_each_is_written_in(
    drawn: Drawn, data: st.DataObject
) -> None:
    """Percent, grams, or both in either order; grams with a rest where the title says what it makes."""
    rows: list[tuple[str, ...]] = []
    for number, (shares, batch) in enumerate(zip(drawn.shares, drawn.batches, strict=True)):
        heads = data.draw(st.sampled_from((("Ingredient", "%"), ("g", "Ingredient"), ("Ingredient", "g", "%"))))
        rest = heads == ("g", "Ingredient") and data.draw(st.booleans())
        rows += [(f"Balm {number}, makes {batch} g" if rest else f"Balm {number}",), heads]
        there = [material for material, share in enumerate(shares) if share]
        for material in there:
            grams = shares[material] * batch
            said = {"%": hundredths(shares[material], False), "g": f"{grams // 10_000}.{grams % 10_000:04}"}
            said |= {"Ingredient": f"Oil number {material}"}
            said |= {"g": "q.s."} if rest and material == there[0] and len(there) > 1 else {}
            rows.append(tuple(said[head] for head in heads))
        rows += [("Total",) if heads[0] == "Ingredient" else ("", "Total"), ()]
    prices = (("Item", "Pack", "Price"), *((f"Oil number {n}", "1 kg", hundredths(one, False)) for n, one in
              enumerate(drawn.prices)))  # fmt: skip
    tables = OwnTable("Prices", prices, exact=True), OwnTable("Formulas", tuple(rows), exact=True)
    layout = Layout(
        FORMULAS, 2, tuple({"Ingredient": "ingredient", "%": "percent", "g": "grams"}[one] for one in rows[1])
    )
    reading = read_own(Book(day=date(2026, 11, 25)), tables, Choices({1: layout}))
    assert reading.good, reading.wrong
    assert [one.said.rows.name for one in reading.formulas] == [f"Balm {number}" for number in range(len(drawn.shares))]
    for number, one in enumerate(reading.formulas):
        assert isinstance(one.cost, Decimal)
        assert abs(Fraction(one.cost) - drawn.cost(number)) < Fraction(1, 10**30)


#: a title with its batch, and whether it says that batch; "" leaves the batch to the total of the grams
TITLES = (
    ("{name}", False),
    ("{name}|Batch|{batch} g", True),
    ("{name}||Batch|{batch}|g", True),
    ("{name}|{batch}|g", True),
    ("{name}|{batch} g", True),
    ("{name}||{batch} g batch", True),
    ("{name}\nBatch {batch} g", True),
    ("{name}\nMakes||{batch}|g", True),
    ("{name}\nPhase A\nYield|{batch} g", True),
    ("{name}|Total|{batch}|g", True),
    ("Batch|{batch} g|{name}", True),
    ("{name}|makes 6 bottles", False),
    ("{name}|{batch}", True),
)


@settings(max_examples=examples.of(150), deadline=None)
@given(formulas(), st.data(), st.booleans(), st.booleans(), st.sampled_from((("g",), ("%",), ("%", "g"), ("g", "%"))))
def test_formulas_below_each_other_are_those_that_stand_there_whatever_their_titles_look_like(
    drawn: Drawn, data: st.DataObject, sheet_title: bool, total: bool, units: tuple[str, ...]
) -> None:
    """One way of titles a sheet; in percent alone a number without a unit would be an amount, so it is not drawn."""
    title, says = data.draw(st.sampled_from(TITLES[: -1 if "g" not in units[:1] else None]))
    texts: list[str] = ["RECIPES (all of them)", "weights are for one batch, as ever", ""] if sheet_title else []
    for number, (shares, batch) in enumerate(zip(drawn.shares, drawn.batches, strict=True)):
        texts += title.format(name=f"Balm {'abcd'[number]}", batch=batch).split("\n")
        texts.append("|".join(("Ingredient", *units, "Cost", "Notes")))
        for material, share in enumerate(shares):
            if share:
                grams = share * batch
                said = {"%": hundredths(share, False), "g": f"{grams // 10_000}.{grams % 10_000:04}"}
                texts.append("|".join((f"Oil number {material}", *(said[unit] for unit in units), "0.50", "")))
        said = {"%": "100", "g": str(batch)}
        texts += ["|".join(("TOTAL", *(said[unit] for unit in units)))] if total else []
        texts += ["", ""]
    rows = tuple(tuple(text.split("|")) if text else () for text in texts)
    prices = (("Item", "Pack", "Price"), *((f"Oil number {n}", "1 kg", hundredths(one, False)) for n, one in
              enumerate(drawn.prices)))  # fmt: skip
    tables = OwnTable("Prices", prices, exact=True), OwnTable("Recipes", rows, exact=True)
    book = Book(day=date(2026, 11, 25))
    reading = read_own(book, tables, Choices())
    assert reading.good, (reading.wrong, reading.names, reading.faults)
    names = [f"Balm {letter}" for letter in "abcd"[: len(drawn.shares)]]
    assert [one.said.rows.name for one in reading.formulas] == names
    for number, one in enumerate(reading.formulas):
        assert isinstance(one.cost, Decimal)
        assert abs(Fraction(one.cost) - drawn.cost(number)) < Fraction(1, 10**30)
        assert one.said.rows.batch == (drawn.batches[number] if says or "g" in units else None)
    gone = data.draw(st.integers(0, len(names) - 1))
    row = 1 + next(number for number, one in enumerate(rows) if names[gone] in one)
    left = read_own(book, tables, Choices(left_out=frozenset({f"s1_r{row}"})))
    assert [one.said.rows.name for one in left.formulas] == names[:gone] + names[gone + 1 :]
    assert left.good


@settings(max_examples=examples.of(60), deadline=None)
@given(formulas(), st.lists(st.tuples(st.integers(0, 3), st.integers(1, 9), st.integers(0, 2), st.integers(0, 90)),
                            min_size=1, max_size=4), st.booleans())  # fmt: skip
def test_a_list_of_products_costs_what_its_parts_and_minutes_do(
    drawn: Drawn, jars: list[tuple[int, int, int, int]], comma: bool
) -> None:
    """A jar bears its part of a whole batch, its pieces, and its minutes at 18 an hour."""
    sign, kilos = ("," if comma else "."), [1_000] * len(drawn.shares)
    pieces = {"Glass pot": Fraction(5, 8), "Paper label": Fraction(3, 50)}
    materials = [(f"Oil number {n}", "1 kg", hundredths(one, comma)) for n, one in enumerate(drawn.prices)]
    materials += [("Glass pot", "8 pcs", f"5{sign}00"), ("Paper label", "50 pcs", f"3{sign}00")]
    rows = [("Product", "Formula", "Size", "Jar", "Labels", "Minutes")]
    for number, (formula, size, labels, tenths) in enumerate(jars):
        rows.append((f"Jar {number}", f"Balm {formula % len(drawn.shares)}", f"{size * 10} g", "Glass pot",
                     f"{labels} x Paper label" if labels else "", f"{tenths // 10}{sign}{tenths % 10}"))  # fmt: skip
    worker = Person(7, "Mira", wage=Wage(date(2026, 1, 1), Decimal(18)))
    book = Book(day=date(2026, 11, 25), people={7: worker})
    formulas_sheet = written(Drawn(drawn.prices, drawn.shares, tuple(kilos)), "above", comma)
    tables = OwnTable("Prices", (("Item", "Pack", "Price"), *materials)), formulas_sheet, OwnTable("Sold", tuple(rows))
    roles = ("ingredient", *("of_formula",) * (2 * len(drawn.shares)))
    reading = read_own(book, tables, Choices({1: Layout(FORMULAS, 1, roles)}, Told(sign=sign)))
    assert reading.good, (reading.wrong, reading.names, reading.faults)
    assert reading.after is not None
    costs = Reckoning(reading.after)
    for (formula, size, labels, tenths), one in zip(jars, reading.products, strict=True):
        sheet = costs.sheet(one.said.product)
        ingredients = 1_000 * drawn.cost(formula % len(drawn.shares)) / (1_000 // (size * 10))
        packaging = pieces["Glass pot"] + labels * pieces["Paper label"]
        expected = (ingredients, packaging, Fraction(tenths, 10) / 60 * 18)
        for figure, exact in zip((one.ingredients, one.packaging, sheet.labour), expected, strict=True):
            assert isinstance(figure, Decimal)
            assert abs(Fraction(figure) - exact) < Fraction(1, 10**30)
