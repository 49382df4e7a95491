"""A maker's own sheets, whole: what they hold, what is wrong at which cell, what they would cost, and the changes.

Nothing is guessed that a person can't see and correct; nothing is stored here, and nothing at all where one row is
wrong: she corrects it, or leaves it out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from webapp.costing.book import Book
from webapp.costing.own import cells
from webapp.costing.own.applied import applied, changes_of
from webapp.costing.own.by_value import shared
from webapp.costing.own.columns import (
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
from webapp.costing.own.free import without_samples
from webapp.costing.own.freight_above import in_order, with_orders_below
from webapp.costing.own.gathered import formulas_of, holding, materials_of, of_sheet, products_of
from webapp.costing.own.landed import said_of_landed
from webapp.costing.own.layouts import laid_out_as, laid_out_together
from webapp.costing.own.lines import FormulaRows
from webapp.costing.own.made_batches import with_made_batches
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.mended import changing, corrected
from webapp.costing.own.minutes import ROLES as MINUTES
from webapp.costing.own.minutes import with_makes
from webapp.costing.own.money import bare_beside_others
from webapp.costing.own.money_tax import with_answer
from webapp.costing.own.not_read import with_what_is_not_read
from webapp.costing.own.orders import Ordered, orders_in, with_remarks, with_years
from webapp.costing.own.ours import ours_asked, with_ours
from webapp.costing.own.parts import Parting, with_parts
from webapp.costing.own.plan import Plan
from webapp.costing.own.planned import asked_names, counted_in, formula_changes, names_with, plan_formulas
from webapp.costing.own.price_cells import counts_lost
from webapp.costing.own.prices import ABOUT, LIST, PAID, plan_materials
from webapp.costing.own.products import plan_products
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.recipe_prices import priced_in
from webapp.costing.own.rows import AMOUNTS_OF, Skipped, Wrong
from webapp.costing.own.seen import (
    bought_by_volume,
    product_seen,
    seen,
    unpriced,
    waiting_for,
    weighed_by_price,
)
from webapp.costing.own.selling import price_columns
from webapp.costing.own.set_columns import with_formulas
from webapp.costing.own.sold_columns import with_named_said, with_prices
from webapp.costing.own.tax_on_top import WithTax, with_order_tax
from webapp.costing.own.taxed import taxes_of
from webapp.costing.own.told import OfSheet, Told
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
    lost = counts_lost(tables[:MOST_SHEETS], found.layouts, changing(tables, choices.fixes), choices.left_out)
    found = replace(found, wrong=(*found.wrong, *lost))
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
    said = with_what_is_not_read(read, guessed, layouts)
    reading = OwnReading(
        said, layouts, sign, "", faults=faults, of_sheets=choices.of_sheets, taxes=taxes, beyond=beyond
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
    told = _told(book, reading, choices, orders)
    bought = _bought(book, reading, told, choices, orders)
    with_made_batches(book, bought.formulas, products_of(reading, told, choices)[0], told.written)
    mixing = plan_formulas(book, bought.plan, bought.formulas, choices.how.means, choices.batch)
    after, refused, changes = applied(book, [*changes_of(bought.plan), *formula_changes(mixing)], mixing.said)
    parting = Parting(after, mixing.names, choices.how.means, bought.plan.numbers, choices.how.person)
    reading = _with_parts(reading, parting, choices)
    sold, left = products_of(reading, told, choices)
    columns = price_columns(book, holding(reading, PRODUCTS), choices.how.channels, choices.how.channel)
    offering = plan_products(sold, parting, columns)
    after, not_sold, more = applied(after, offering.planned, ())
    of_rows = [fault for one in bought.formulas for fault in one.wrong] + [fault for one in sold for fault in one.wrong]
    wrong = at_sheets(reading.tables, dict.fromkeys((*bought.wrong, *mixing.wrong, *of_rows, *refused, *not_sold)))
    costs = Reckoning(after)
    return replace(
        reading,
        tables=with_years(_with_remarks(reading, orders), reading.layouts, orders, book.day),
        **seen(costs, bought.plan, mixing, waiting_for(bought.plan.said, wrong)),
        products=tuple(product_seen(costs, offering, one, wrong) for one in offering.said),
        unpriced=unpriced(mixing, offering),
        selling=columns,
        **_said_of_bought(book, bought),
        **_asked(reading, choices, orders, wrong, bought.formulas),
        faults=(*_faults(reading, choices, orders), *bought.contradicting),
        names=(*asked_names(mixing), *offering.parting.asked.values()),
        offered=tuple(mixing.offered.values()),
        unsized=tuple(one.rows.name for one in mixing.said if one.unsized),
        skipped=tuple(dict.fromkeys((*bought.skipped, *left))),
        changes=(*changes, *more),
        after=after,
    )


def _with_remarks(reading: OwnReading, orders: Mapping[int, Ordered]) -> tuple[OwnTable, ...]:
    """The sheets with what is said of their orders, and of freight that is in their prices."""
    tables = with_remarks(reading.tables, orders)
    said = [said_of_landed(*one) for one in zip(reading.tables, reading.layouts, strict=True)]
    every = zip(tables, said, strict=True)
    return tuple(replace(table, remarks=(*table.remarks, one)) if one else table for table, one in every)


def _told(book: Book, reading: OwnReading, choices: Choices, orders: Mapping[int, Ordered]) -> Told:
    """What holds for all rows: as was said, else as the sheets show and the workshop has it."""
    found = _days_in(reading, orders)
    days = choices.told.days or ("".join(found) if len(found) == 1 else "")
    home, registered = book.workshop.currency, book.terms.registered
    return replace(choices.told, sign=reading.sign.sign, days=days, home=home, registered=registered)


@dataclass(frozen=True, slots=True)
class _Bought:
    """What the sheets say of materials and, beside them, of formulas: what it comes to, what is passed over, wrong."""

    rows: Sequence[MaterialRow]
    prices: str
    plan: Plan
    formulas: Sequence[FormulaRows]
    skipped: tuple[Skipped, ...]
    wrong: tuple[Wrong, ...]
    contradicting: tuple[tuple[str, str], ...]


def _bought(book: Book, reading: OwnReading, told: Told, choices: Choices, orders: Mapping[int, Ordered]) -> _Bought:
    every, skipped = materials_of(reading, told, choices, orders, book.day)
    every, free = without_samples(with_orders_below(reading.tables, reading.layouts, every))
    every, dense, weighed = with_densities(reading.tables, reading.layouts, every, choices.how.means, told.written)
    supposed = replace(choices.how, prices=choices.prices or _guessed(every))
    once, again, contradicting = once_each(reading.tables, every, supposed)
    rows = sorted((*once, *dense), key=in_order)
    taxed = with_order_tax(
        reading.tables,
        reading.layouts,
        rows,
        choices.of_sheets,
        WithTax([], book, told.written, replace(choices.how, prices=choices.prices or _guessed(rows))),
    )
    rows = taxed.rows
    how = replace(choices.how, prices=choices.prices or _guessed(rows))
    sharing = shared(rows, how, book.workshop.currency, choices.of_sheets, registered=book.terms.registered)
    rows = list(sharing.rows)
    plan = plan_materials(book, rows, how, choices.of_sheets)
    formulas, passed = formulas_of(reading, told, choices, names_with(book, plan, ())[0], counted_in(book, plan))
    here = partial(of_sheet, told, choices)
    if priced := list(priced_in(reading.tables, reading.layouts, formulas, rows, here, passed=passed)):
        rows += priced
        how = replace(how, prices=choices.prices or _guessed(rows))
        plan = plan_materials(book, rows, how, choices.of_sheets)
    plan.say_alike()
    say_other_prices(reading.tables, reading.layouts, formulas, rows, told)
    wrong = (
        *(fault for one in orders.values() for fault in one.wrong),
        *(fault for row in rows for fault in row.wrong),
        *bare_beside_others(reading.tables, reading.layouts, rows, told),
        *sharing.wrong,
        *plan.wrong,
    )
    left = (*skipped, *free, *weighed, *taxed.passed, *sharing.passed, *plan.passed, *again, *passed)
    return _Bought(rows, how.prices, plan, formulas, left, wrong, (*contradicting, *taxed.asked))


def _said_of_bought(book: Book, bought: _Bought) -> dict[str, Any]:
    """What is to be known beside prices: what they are, in which currencies, and what is bought by volume."""
    by_volume = bought_by_volume(bought.plan.said, book)
    return {
        "prices": bought.prices,
        "currencies": tuple(sorted({row.currency for row in bought.rows if row.currency} - {book.workshop.currency})),
        "published": tuple((name, published) for name, published in by_volume.items() if published),
        "undense": tuple(name for name, published in by_volume.items() if not published),
        "by_price": weighed_by_price(bought.plan.said, by_volume),
    }


def _asked(
    reading: OwnReading,
    choices: Choices,
    orders: Mapping[int, Ordered],
    wrong: Sequence[Wrong],
    formulas: Sequence[FormulaRows],
) -> dict[str, Any]:
    """What is wrong, cell by cell, and the choices that are offered."""
    offered = {f"sheets-{number}-orders" for number, one in orders.items() if one.offered}
    offered |= {f"sheets-{one.sheet}-method" for one in formulas if one.parted}
    return {
        "wrong": tuple(sorted(wrong, key=lambda one: (one.sheet, one.row, one.column))),
        "asks": frozenset(one.choice for one in wrong if one.choice) | _said_already(choices, reading) | offered,
    }


def _faults(reading: OwnReading, choices: Choices, orders: Mapping[int, Ordered]) -> Iterator[tuple[str, str]]:
    """What is asked of whole sheets."""
    yield from asked_of_sheets(reading.tables, reading.layouts, choices.of_sheets)
    yield from ((f"sheets-{number}-orders", one.asked) for number, one in orders.items() if one.asked)


def _layout(number: int, table: OwnTable, choices: Choices, guessed: Layout) -> Layout:
    chosen = choices.layouts.get(number)
    if chosen is None:
        layout = guessed
    else:
        layout = chosen if chosen.roles or chosen.holds == NOTHING else laid_out_as(table, chosen.holds)
    told = choices.of_sheets.get(number, OfSheet())
    layout = with_answer(table, layout, told.order_tax)
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


_NUMBERS = AMOUNTS_OF | {*SIDE_BY_SIDE, "ounces", *MINUTES}


def _with_parts(reading: OwnReading, parting: Parting, choices: Choices) -> OwnReading:
    """The same with columns of parts, prices and further formulas that no head names, in sheets of products.

    Where a person chose the columns, it is only said which of them are named as a channel is.
    """
    tables, layouts = [*reading.tables], [*reading.layouts]
    for number, table, layout in holding(reading, PRODUCTS):
        if number in choices.open or number not in choices.layouts:
            tables[number], priced = with_prices(parting.book, table, layout)
            layouts[number] = with_formulas(parting.names, table, with_parts(parting, table, with_makes(table, priced)))
        else:
            tables[number] = with_named_said(parting.book, table, layout)
    return replace(reading, tables=tuple(tables), layouts=tuple(layouts))


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
