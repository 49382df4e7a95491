"""A maker's own sheets, whole: what they hold, what is wrong at which cell, what they would cost, and the changes.

Nothing is guessed that a person can't see and correct; nothing is stored here, and nothing at all where one row is
wrong: she corrects it, or leaves it out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from functools import partial

from webapp.costing.book import Book
from webapp.costing.called import Names
from webapp.costing.own import cells
from webapp.costing.own.across import formulas_across, is_side_by_side
from webapp.costing.own.applied import applied, changes_of
from webapp.costing.own.basis import said_of_all
from webapp.costing.own.by_value import shared
from webapp.costing.own.columns import (
    FORMULAS,
    MATERIALS,
    MOST_SHEETS,
    NOTHING,
    PRODUCTS,
    SIDE_BY_SIDE,
    Layout,
    OwnTable,
)
from webapp.costing.own.counts import counted
from webapp.costing.own.density_tabs import with_densities
from webapp.costing.own.faults import PER_SHEET, asked_of_sheets, at_sheets, faults_in
from webapp.costing.own.formulas import formulas_in
from webapp.costing.own.layouts import laid_out_as, laid_out_together
from webapp.costing.own.lines import Amounts, FormulaRows
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.materials import materials_in
from webapp.costing.own.mended import changing, corrected
from webapp.costing.own.money import bare_beside_others
from webapp.costing.own.noted import notes_of
from webapp.costing.own.numbered import without_numbers
from webapp.costing.own.orders import Ordered, orders_in, with_remarks
from webapp.costing.own.ours import ours_asked, with_ours
from webapp.costing.own.parts import Parting, with_parts
from webapp.costing.own.planned import asked_names, counted_in, formula_changes, names_with, plan_formulas
from webapp.costing.own.prices import ABOUT, LIST, PAID, Numbers, plan_materials
from webapp.costing.own.products import ProductRow, plan_products, products_in
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.recipe_prices import priced_in
from webapp.costing.own.rows import AMOUNTS_OF, Skipped
from webapp.costing.own.seen import (
    bought_by_volume,
    product_seen,
    seen,
    unpriced,
    waiting_for,
    weighed_by_price,
)
from webapp.costing.own.selling import price_columns
from webapp.costing.own.side_by_side import beside_prices, is_figure
from webapp.costing.own.taxed import taxes_of
from webapp.costing.own.titles import told_apart
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.totals import ask_of_below
from webapp.costing.own.twice import once_each
from webapp.costing.own.typed_prices import say_other_prices
from webapp.costing.own.unit_prices import with_what_rows_show
from webapp.costing.own.usual import days_in, usual_in
from webapp.costing.reckoning import Reckoning
from webapp.costing.sheets import Sign, sign_of


def read_own(book: Book, tables: Sequence[OwnTable], choices: Choices) -> OwnReading:
    """The sheets as they are understood, with the changes that they come to, and before them those of the workshop."""
    ours, first = with_ours(book, choices.money, choices.registered)
    found = _read(ours, tables, choices)
    changes = (*first, *found.changes) if found.changes else ()
    return replace(found, changes=changes, workshop=ours_asked(book, found, choices))


def _read(book: Book, tables: Sequence[OwnTable], choices: Choices) -> OwnReading:
    """The sheets as they are understood with what was said of the workshop."""
    choices = replace(choices, fixes=changing(tables, choices.fixes))
    read = corrected(tuple(tables[:MOST_SHEETS]), choices.fixes)
    guessed = laid_out_together(read)
    layouts = tuple(_layout(number, table, choices, guessed[number]) for number, table in enumerate(read))
    sign = _sign(read, layouts, choices.told)
    shown = with_what_rows_show(read, layouts, choices.of_sheets, replace(choices.told, sign=sign.sign))
    choices = replace(choices, of_sheets=shown)
    beyond = tuple(one.title for one in tables[MOST_SHEETS:])
    faults, taxes = faults_in(read, layouts), taxes_of(read, layouts)
    reading = OwnReading(
        read, layouts, sign, "", faults=faults, of_sheets=choices.of_sheets, taxes=taxes, beyond=beyond
    )
    if reading.faults:
        return reading
    told_orders = {number: one.orders for number, one in choices.of_sheets.items()}
    orders = orders_in(read, layouts, told_orders, choices.left_out, choices.prices)
    found = _understood(book, reading, choices, orders)
    usual = usual_in(book.workshop, found.asks, _days_in(reading, orders))
    usual = {name: one for name, one in usual.items() if not getattr(choices.told, name)}
    if not usual:
        return found
    told = choices.told
    told = replace(told, system=usual.get("system", told.system), days=usual.get("days", told.days))
    return replace(_understood(book, reading, replace(choices, told=told), orders), assumed=usual)


def _days_in(reading: OwnReading, orders: Mapping[int, Ordered]) -> frozenset[str]:
    """What days say that stands first, with those in heads of orders."""
    sheets = enumerate(zip(reading.tables, reading.layouts, strict=True))
    read = [(orders[n].table, orders[n].layout) if n in orders else one for n, one in sheets]
    return days_in([table for table, _ in read], [layout for _, layout in read])


def _understood(book: Book, reading: OwnReading, choices: Choices, orders: Mapping[int, Ordered]) -> OwnReading:
    """The same with all that its rows say."""
    found = _days_in(reading, orders)
    days = choices.told.days or ("".join(found) if len(found) == 1 else "")
    told = replace(
        choices.told, sign=reading.sign.sign, days=days, home=book.workshop.currency, registered=book.terms.registered
    )
    every, skipped = _materials(reading, told, choices, orders)
    every, dense, weighed = with_densities(reading.tables, reading.layouts, every, choices.how.means, told.written)
    rows, again, contradicting = once_each(reading.tables, every)
    rows = sorted((*rows, *dense), key=lambda one: (one.sheet, one.row))
    prices = choices.prices or _guessed(rows)
    how = replace(choices.how, prices=prices)
    sharing = shared(rows, how, book.workshop.currency, choices.of_sheets)
    rows = sharing.rows
    plan = plan_materials(book, rows, how, Numbers())
    formulas, passed = _formulas(reading, told, choices, names_with(book, plan, ())[0], counted_in(book, plan))
    of_sheet = partial(_of_sheet, told, choices)
    if priced := list(priced_in(reading.tables, reading.layouts, formulas, rows, of_sheet, passed=passed)):
        rows += priced
        prices = choices.prices or _guessed(rows)
        plan = plan_materials(book, rows, replace(choices.how, prices=prices), Numbers())
    plan.say_alike()
    say_other_prices(reading.tables, reading.layouts, formulas, rows, told)
    mixing = plan_formulas(book, plan, formulas, choices.how.means, choices.batch)
    after, refused, changes = applied(book, [*changes_of(plan), *formula_changes(mixing)], mixing.said)
    parting = Parting(after, mixing.names, choices.how.means, plan.numbers, choices.how.person)
    reading = _with_parts(reading, parting, choices)
    sold, left = _products(reading, told, choices)
    columns = price_columns(book, _holding(reading, PRODUCTS), choices.how.channels, choices.how.channel)
    offering = plan_products(sold, parting, columns)
    after, not_sold, more = applied(after, offering.planned, ())
    wrong = [
        *(fault for one in orders.values() for fault in one.wrong),
        *(fault for row in rows for fault in row.wrong),
        *bare_beside_others(reading.tables, reading.layouts, rows, told),
        *sharing.wrong,
        *plan.wrong,
        *mixing.wrong,
        *(fault for one in formulas for fault in one.wrong),
        *refused,
        *(fault for row in sold for fault in row.wrong),
        *not_sold,
    ]
    wrong = at_sheets(reading.tables, dict.fromkeys(wrong))
    costs, by_volume = Reckoning(after), bought_by_volume(plan.said, book)
    return replace(
        reading,
        tables=with_remarks(reading.tables, orders),
        prices=prices,
        **seen(costs, plan, mixing, waiting_for(plan.said, wrong)),
        unpriced=unpriced(mixing, offering),
        unsized=tuple(one.rows.name for one in mixing.said if one.unsized),
        selling=columns,
        products=tuple(product_seen(costs, offering, one, wrong) for one in offering.said),
        faults=(
            *asked_of_sheets(reading.tables, reading.layouts, choices.of_sheets),
            *((f"sheets-{number}-orders", one.asked) for number, one in orders.items() if one.asked),
            *contradicting,
        ),
        wrong=tuple(sorted(wrong, key=lambda one: (one.sheet, one.row, one.column))),
        names=(*asked_names(mixing), *offering.parting.asked.values()),
        offered=tuple(mixing.offered.values()),
        skipped=tuple(dict.fromkeys((*skipped, *weighed, *sharing.passed, *plan.passed, *again, *passed, *left))),
        asks=frozenset(one.choice for one in wrong if one.choice)
        | _said_already(choices, reading)
        | {f"sheets-{number}-orders" for number, one in orders.items() if one.offered},
        currencies=tuple(sorted({row.currency for row in rows if row.currency} - {book.workshop.currency})),
        published=tuple((name, published) for name, published in by_volume.items() if published),
        undense=tuple(name for name, published in by_volume.items() if not published),
        by_price=weighed_by_price(plan.said, by_volume),
        changes=(*changes, *more),
        after=after,
    )


def _layout(number: int, table: OwnTable, choices: Choices, guessed: Layout) -> Layout:
    chosen = choices.layouts.get(number)
    if chosen is None:
        layout = guessed
    else:
        layout = chosen if chosen.roles or chosen.holds == NOTHING else laid_out_as(table, chosen.holds)
    told = choices.of_sheets.get(number, OfSheet())
    if layout.holds != MATERIALS or told.counts != "yes":
        return layout
    return counted(table, layout, for_all=told.priced == "all")


def _sign(tables: Sequence[OwnTable], layouts: Sequence[Layout], told: Told) -> Sign:
    """How decimals are written: as was chosen, else as the sheets show."""
    if told.sign:
        return Sign(told.sign)
    found = []
    for table, layout in zip(tables, layouts, strict=True):
        places = [place for place, role in enumerate(layout.roles) if role in _NUMBERS]
        for row in range(layout.heads + 1, len(table.rows) + 1):
            found += [
                cells.signed_cells(text, replace(told, exact=table.is_exact(row, place)))
                for place in places
                if (text := table.cell(row, place))
            ]
    return sign_of(one for one in found if one)


#: what is said of one sheet that its rows are read by
_SAID_OF_ROWS = {one.name for one in fields(OfSheet)} & {one.name for one in fields(Told)}
_NUMBERS = AMOUNTS_OF | {*SIDE_BY_SIDE, "ounces", "minutes"}


def _materials(
    reading: OwnReading, told: Told, choices: Choices, orders: Mapping[int, Ordered]
) -> tuple[list[MaterialRow], list[Skipped]]:
    rows: list[MaterialRow] = []
    skipped: list[Skipped] = []
    for number, table, layout in _holding(reading, MATERIALS):
        read, notes = orders[number], notes_of(choices.notes, choices.fixes, number)
        told_here = replace(_of_sheet(told, choices, number), basis=said_of_all(table, layout))
        found, passed = materials_in(number, read.table, read.layout, told_here, choices.left_out, notes=notes)
        passed = sorted([*read.passed, *passed], key=lambda one: one.row)
        mixed = _beside(choices, number, table, layout) is not None
        rows += [one for one in found if not (mixed and one.price is None and is_figure(one.name))]
        skipped += passed
    return rows, skipped


def _formulas(
    reading: OwnReading, told: Told, choices: Choices, names: Names, pieces: frozenset[str]
) -> tuple[list[FormulaRows], list[Skipped]]:
    rows: list[FormulaRows] = []
    skipped: list[Skipped] = []
    beside = [
        (number, table, mixed)
        for number, table, layout in _holding(reading, MATERIALS)
        if (mixed := _beside(choices, number, table, layout)) is not None
    ]
    amounts = Amounts(choices.amounts, choices.kinds, told.written, choices.below, pieces)
    sheets = (*_holding(reading, FORMULAS), *beside)
    titles = without_numbers([table.title for _, table, _ in sheets])
    for (number, table, layout), title in zip(sheets, titles, strict=True):
        here = replace(told, titles=choices.of_sheets.get(number, OfSheet()).titles)
        where = (number, replace(table, title=title), layout, here, choices.left_out)
        if is_side_by_side(layout):
            found, passed = formulas_across(*where, known=names, amounts=amounts)
        else:
            found, passed = formulas_in(*where, known=names, amounts=amounts)
        rows += found
        skipped += passed
    ask_of_below(rows, choices.left_out, choices.below, partial(amounts.is_counted, names))
    told_apart(rows)
    return rows, skipped


def _beside(choices: Choices, number: int, table: OwnTable, layout: Layout) -> Layout | None:
    """The formulas side by side in a sheet of materials, where a person said that it has some."""
    said = choices.of_sheets.get(number, OfSheet()).formulas == "yes"
    return beside_prices(table, layout) if said else None


def _with_parts(reading: OwnReading, parting: Parting, choices: Choices) -> OwnReading:
    """The same with the columns of parts that no head names, in sheets whose columns nobody chose."""
    every = enumerate(zip(reading.tables, reading.layouts, strict=True))
    layouts = tuple(
        with_parts(parting, table, layout) if number in choices.open or number not in choices.layouts else layout
        for number, (table, layout) in every
    )
    return replace(reading, layouts=layouts)


def _products(reading: OwnReading, told: Told, choices: Choices) -> tuple[list[ProductRow], list[Skipped]]:
    rows: list[ProductRow] = []
    skipped: list[Skipped] = []
    for number, table, layout in _holding(reading, PRODUCTS):
        here = _of_sheet(told, choices, number)
        found, passed = products_in(number, table, layout, here, choices.left_out, ounces=choices.ounces)
        rows += found
        skipped += passed
    return rows, skipped


def _of_sheet(told: Told, choices: Choices, number: int) -> Told:
    """What was said for all sheets, with what was said of one."""
    of = choices.of_sheets.get(number, OfSheet())
    said = {name: getattr(of, name) for name in _SAID_OF_ROWS}
    return replace(told, **{**said, "unit": of.unit or told.unit})


def _holding(reading: OwnReading, what: str) -> Iterator[tuple[int, OwnTable, Layout]]:
    """The sheets that hold materials, formulas, or products, each with its number."""
    for number, (table, layout) in enumerate(zip(reading.tables, reading.layouts, strict=True)):
        if layout.holds == what:
            yield number, table, layout


def _guessed(rows: Sequence[MaterialRow]) -> str:
    """What prices are taken for until somebody says it: by what most rows name."""
    priced = [row for row in rows if row.price is not None]
    if priced and sum(bool(row.supplier and row.day) for row in priced) * 2 > len(priced):
        return PAID
    return LIST if priced and sum(bool(row.supplier) for row in priced) * 2 > len(priced) else ABOUT


def _said_already(choices: Choices, reading: OwnReading) -> frozenset[str]:
    """The choices for all sheets that were made: they are offered again, so that they can be changed."""
    told = choices.told
    made = {"sign": told.sign, "days": told.days, "system": told.system, "unit": told.unit, "amounts": choices.amounts}
    made |= {"ounces": choices.ounces, "currency": told.currency, "below": choices.below}
    made |= {f"sheets-{n}-{name}": getattr(one, name) for n, one in choices.of_sheets.items() for name in PER_SHEET}
    made |= {f"sheets-{number}-tax": said.how for number, said in reading.taxes.items()}
    kinds = {f"kind-{mark}" for mark in choices.kinds}
    return (
        frozenset(name for name, text in made.items() if text not in ("", None))
        | kinds
        | ({"rates"} if choices.how.rates else set())
    )
