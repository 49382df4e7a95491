"""The rows of all of a maker's own sheets: materials, formulas and products, each read as was said of its sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from datetime import date
from functools import partial

from webapp.costing.called import Names
from webapp.costing.own.across import formulas_across, is_side_by_side
from webapp.costing.own.all_in import unit_of_all
from webapp.costing.own.basis import said_of_all
from webapp.costing.own.cards_above import cards_above, passed_above, say_twice
from webapp.costing.own.columns import FORMULAS, MATERIALS, PRODUCTS, Layout, OwnTable
from webapp.costing.own.formulas import formulas_in
from webapp.costing.own.lines import Amounts, FormulaRows
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.materials import materials_in
from webapp.costing.own.month_names import year_of
from webapp.costing.own.noted import notes_of
from webapp.costing.own.numbered import without_numbers
from webapp.costing.own.orders import Ordered
from webapp.costing.own.products import ProductRow, products_in
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.rows import Skipped
from webapp.costing.own.side_by_side import beside_prices, is_figure
from webapp.costing.own.titles import told_apart
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.totals import ask_of_below


def materials_of(
    reading: OwnReading, told: Told, choices: Choices, orders: Mapping[int, Ordered], today: date
) -> tuple[list[MaterialRow], list[Skipped]]:
    """What they say of materials, and the rows that were passed over."""
    rows: list[MaterialRow] = []
    skipped: list[Skipped] = []
    for number, table, layout in holding(reading, MATERIALS):
        read, notes = orders[number], notes_of(choices.notes, choices.fixes, number)
        told_here = replace(of_sheet(told, choices, number), basis=said_of_all(table, layout))
        told_here = replace(told_here, year=year_of(read.table, read.layout, today))
        found, passed = materials_in(number, read.table, read.layout, told_here, choices.left_out, notes=notes)
        passed = sorted([*read.passed, *passed], key=lambda one: one.row)
        mixed = _beside(choices, number, table, layout) is not None
        rows += [one for one in found if not (mixed and one.price is None and is_figure(one.name))]
        skipped += passed
    return rows, skipped


def formulas_of(
    reading: OwnReading, told: Told, choices: Choices, names: Names, pieces: frozenset[str]
) -> tuple[list[FormulaRows], list[Skipped]]:
    """What they say of formulas; `names` are those of all that is bought, `pieces` what is counted."""
    rows: list[FormulaRows] = []
    skipped: list[Skipped] = []
    beside = [
        (number, table, mixed)
        for number, table, layout in holding(reading, MATERIALS)
        if (mixed := _beside(choices, number, table, layout)) is not None
    ]
    amounts = Amounts(choices.amounts, choices.kinds, told.written, choices.below, pieces)
    sheets = (*holding(reading, FORMULAS), *beside)
    titles = without_numbers([table.title for _, table, _ in sheets])
    for (number, table, layout), title in zip(sheets, titles, strict=True):
        said = choices.of_sheets.get(number, OfSheet())
        here = replace(told, titles=said.titles, method=said.method)
        named, titled = replace(table, title=title), replace(amounts, titled=unit_of_all(table))
        above = cards_above(named, layout, names, partial(amounts.is_counted, names))
        if above is not None:
            named = above.rest
            where = (number, above.table, above.layout, here, choices.left_out)
            found, passed = formulas_in(*where, known=names, amounts=titled)
            rows += found
            skipped += passed
        before = found if above is not None else []
        where = (number, named, layout, here, choices.left_out)
        if is_side_by_side(layout):
            found, passed = formulas_across(*where, known=names, amounts=amounts)
        else:
            found, passed = formulas_in(*where, known=names, amounts=titled)
        say_twice(found, before)
        rows += found
        skipped += [*passed_above(number, named, layout, found, choices.left_out), *passed]
    ask_of_below(rows, choices.left_out, choices.below, partial(amounts.is_counted, names))
    told_apart(rows)
    return rows, skipped


def _beside(choices: Choices, number: int, table: OwnTable, layout: Layout) -> Layout | None:
    """The formulas side by side in a sheet of materials, where a person said that it has some."""
    said = choices.of_sheets.get(number, OfSheet()).formulas == "yes"
    return beside_prices(table, layout) if said else None


def products_of(reading: OwnReading, told: Told, choices: Choices) -> tuple[list[ProductRow], list[Skipped]]:
    """What they say of products."""
    rows: list[ProductRow] = []
    skipped: list[Skipped] = []
    for number, table, layout in holding(reading, PRODUCTS):
        here = of_sheet(told, choices, number)
        found, passed = products_in(number, table, layout, here, choices.left_out, ounces=choices.ounces)
        rows += found
        skipped += passed
    return rows, skipped


def of_sheet(told: Told, choices: Choices, number: int) -> Told:
    """What was said for all sheets, with what was said of one."""
    of = choices.of_sheets.get(number, OfSheet())
    said = {one.name: getattr(of, one.name) for one in fields(OfSheet)}
    return replace(told, **{**said, "unit": of.unit or told.unit})


def holding(reading: OwnReading, what: str) -> Iterator[tuple[int, OwnTable, Layout]]:
    """The sheets that hold materials, formulas, or products, each with its number."""
    for number, (table, layout) in enumerate(zip(reading.tables, reading.layouts, strict=True)):
        if layout.holds == what:
            yield number, table, layout
