"""What is shown of a maker's own sheets: the columns with their first rows, what is wrong, what it would cost."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

from webapp.costing.amounts import half_up
from webapp.costing.batches import FillSheet
from webapp.costing.gaps import Gap
from webapp.costing.own import counted
from webapp.costing.own.columns import (
    MOST_COLUMNS,
    NOTHING,
    OF_FORMULA,
    OF_INGREDIENT,
    ROLES,
    Layout,
    OwnTable,
)
from webapp.costing.own.heads import columns_of, paired
from webapp.costing.own.prices import ABOUT
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import LEFT_OUT, column_letters
from webapp.costing.own.seen import FormulaSeen, MaterialSeen, ProductSeen, weighed_in
from webapp.costing.own.usual import said_of
from webapp.costing.units import MASS, PIECES
from webapp.pages.data import own_asked, own_named, own_noted, own_ours
from webapp.pages.data.own_alike import said_once
from webapp.pages.data.own_leaving import (
    rows_of_each,
)
from webapp.pages.data.own_shown import (
    CARRIED,
    FIRST_ROWS,
    MOST_HEADS,
    MOST_SHOWN,
    MOST_WRONG,
    WAYS,
    ColumnView,
    FormulaView,
    LineView,
    MaterialView,
    OwnView,
    ProductView,
    Read,
    SheetView,
    legible,
    shortened,
)
from webapp.pages.data.own_wrong import (
    cell_of,
    each_of,
    faults_of,
    fields_of,
    mended_cells,
    open_cells,
    role_at,
    wrong_cells,
)
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk, View

PLACE, TITLE = "settings", "From a sheet of your own"


def page(desk: Desk, form: Form, read: Read) -> View:
    """The page with what was read; what is wrong stands at its field, and what was put right before can be again."""
    reading, ours = read.reading, own_ours.ours_of(desk, read.reading, read.choices)
    desk = own_ours.with_its_money(desk, read.choices)
    asked = _asked(desk, read)
    densities, names = own_asked.densities(desk, reading, form), own_named.asked(reading)
    cells = (*each_of(asked["cells"]), *asked["open"], *asked["mended"], *each_of(asked["noted"]))
    at_cells = set(fields_of(cells))
    rows = rows_of_each(reading, at_cells)[:MOST_SHOWN]
    formulas = tuple(_formula(desk, reading, one, *its) for one, its in zip(reading.formulas, rows, strict=False))
    shown = at_cells | {line.leave for one in formulas for line in one.rows} | {field for field, *_ in densities}
    shown |= {one.note for one in (*asked["noted"], *asked["answered"])}
    shown |= {one.field for one in (*names, *own_named.maybe_the_same(reading), *asked["meant"])}
    shown |= own_ours.fields_of(ours)
    view = OwnView(
        name=read.name,
        as_before=read.as_before,
        densities=densities,
        ours=ours,
        **asked,
        carried=tuple((key, text) for key, text in form.texts.items() if key.startswith(CARRIED) and key not in shown),
        **_read(desk, reading, formulas),
        **_choices(desk, reading),
        **_said(desk, reading, formulas),
    )
    mended = asked["mended"]
    cell_texts = {one.fix: one.read for one in cells if one.fix and one not in mended}
    faults = (*form.faults, *faults_of(reading, names, asked["cells"]))
    form = replace(form, texts={**cell_texts, **form.texts}, faults=faults)
    return View("data/own_sheet.html", TITLE, PLACE, view, form, "data/_own_sheet.html")


def _asked(desk: Desk, read: Read) -> dict[str, Any]:
    """The cells, notes and names that have to be answered, and those that were; each field stands once."""
    reading = read.reading
    cells, names, same = wrong_cells(desk, reading), own_named.asked(reading), own_named.maybe_the_same(reading)
    open_too, likely = open_cells(desk, reading), own_named.likely_in(names)
    elsewhere = frozenset(fields_of((*each_of(cells), *open_too)))
    noted, answered = own_noted.notes(reading, partial(cell_of, desk, reading.tables, reading.layouts), elsewhere)
    wrong = {one.mark for one in reading.wrong if not one.choice}
    return {
        "cells": cells,
        "more_wrong": max(0, len(wrong) - len(each_of(cells))),
        "noted": noted,
        "answered": answered,
        "open": open_too,
        "mended": mended_cells(desk, read, (*cells, *open_too, *each_of(noted))),
        "meant": own_named.answered(read, (*names, *same)),
        "names": tuple(one for one in names if one not in likely),
        "likely": likely,
        "same": same[:MOST_WRONG],
        "more_same": max(0, len(same) - MOST_WRONG),
    }


def _read(desk: Desk, reading: OwnReading, formulas: tuple[FormulaView, ...]) -> dict[str, Any]:
    """The sheets column by column, and what of them becomes materials, formulas and products."""
    every = (reading.materials, reading.formulas, reading.products)
    sheets = enumerate(zip(reading.tables, reading.layouts, strict=True))
    return {
        "sheets": tuple(_sheet(desk, number, *one) for number, one in sheets),
        "materials": tuple(_material(desk, one) for one in reading.materials[:MOST_SHOWN]),
        "formulas": formulas,
        "products": tuple(_product(desk, one) for one in reading.products[:MOST_SHOWN]),
        "more": tuple(max(0, len(one) - MOST_SHOWN) for one in every),
        "unpriced": reading.unpriced,
        "unsized": len(reading.unsized),
        "beyond": reading.beyond,
        "good": reading.good,
        "nothing_new": reading.says_nothing_new,
    }


def _choices(desk: Desk, reading: OwnReading) -> dict[str, Any]:
    """What is chosen once for all of it."""
    prices = [one.said.row for one in reading.materials]
    return {
        "choices": own_asked.choices(desk, reading),
        "rates": tuple((f"rates-{code.lower()}", code) for code in reading.currencies),
        "home": desk.book.workshop.currency,
        "has_prices": any(one.price is not None for one in prices),
        "loses_suppliers": reading.prices == ABOUT and any(one.supplier for one in prices),
        "has_tax": any("tax_rate" in layout.roles for layout in reading.layouts),
        "tax_rates": own_asked.tax_rates(reading),
        "voluminous": tuple(name for name, _ in reading.published),
        "by_price": tuple(f"{name} {desk.formats.number(weighs)}" for name, weighs in reading.by_price),
        "channels": own_asked.channels(desk, reading),
        "no_channel": own_asked.has_prices(reading) and not own_asked.still_open(desk.book.channels),
        "people": own_asked.people(desk, reading),
    }


def _said(desk: Desk, reading: OwnReading, formulas: tuple[FormulaView, ...]) -> dict[str, Any]:
    """What is said of it in words."""
    where = [(one, f"{reading.tables[one.sheet].title}, row {one.row}") for one in reading.skipped]
    waits = reading.wrong or reading.faults or reading.names
    usual = (said_of(desk.book.workshop, reading.assumed), own_asked.said_of_sheets(reading))
    return {
        "understood": counted.understood(reading),
        "held": "" if waits else counted.kept_as_they_are(reading),
        "skipped": tuple((at, one.what, one.words) for one, at in where),
        "gone": tuple(f"{one.words} ({at})" for one, at in where if one.what == LEFT_OUT),
        "of_formulas": said_once([(one.name, one.remarks) for one in formulas], f"All {len(formulas)} formulas"),
        "of_sheets": said_once(
            [(one.title, one.remarks) for one in reading.tables], f"All {len(reading.tables)} sheets"
        ),
        "act": f"Save {said}" if (said := counted.saved(reading)) else "Save",
        "sign": _sign(reading),
        "assumed": " ".join(filter(None, usual)),
    }


def _sign(reading: OwnReading) -> str:
    if not reading.sign.because:
        return ""
    return f"Read with a decimal {'comma' if reading.sign.sign == ',' else 'point'}, because of {reading.sign.because}."


def _sheet(desk: Desk, number: int, table: OwnTable, layout: Layout) -> SheetView:
    at = f"sheets-{number}"
    width = min(table.width, MOST_COLUMNS)
    columns = tuple(_column(desk, at, table, layout, place) for place in range(width) if _says_anything(table, place))
    roles = (("", "left out"), *ROLES[layout.holds].items())
    left = tuple(
        one.head or f"column {one.letter}" for one in columns if not role_at(layout, int(one.field.rpartition("-")[2]))
    )
    return SheetView(
        at, table.title, table.hidden, table.remarks, layout.holds, layout.heads,
        columns if layout.holds != NOTHING else (), roles, max(0, table.width - MOST_COLUMNS), left,
        _side_by_side(table, layout), not any(table.rows),
    )  # fmt: skip


def _side_by_side(table: OwnTable, layout: Layout) -> str:
    named = columns_of(table, layout)
    for role, words in ((OF_FORMULA, "a column a formula"), (OF_INGREDIENT, "a row a formula, a column an ingredient")):
        places = layout.places(role)
        heads = list(dict.fromkeys(named[place].name if place in named else column_letters(place) for place in places))
        if heads:
            twice = ", each with its grams beside it" if paired(named, [one for one in places if one in named]) else ""
            more = f" and {len(heads) - MOST_HEADS} more" if len(heads) > MOST_HEADS else ""
            return f"Read as formulas side by side, {words}{twice}: {', '.join(heads[:MOST_HEADS])}{more}."
    return ""


def _says_anything(table: OwnTable, place: int) -> bool:
    return any(place < len(row) and row[place].strip() for row in table.rows[:MOST_SHOWN])


def _column(desk: Desk, at: str, table: OwnTable, layout: Layout, place: int) -> ColumnView:
    below = (table.cell(row, place) for row in range(layout.heads + 1, len(table.rows) + 1))
    first = [text for text in below if text][:FIRST_ROWS]
    head = table.cell(layout.heads, place) if layout.heads else ""
    return ColumnView(
        f"{at}-columns-{place}",
        column_letters(place),
        shortened(head, 60),
        tuple(shortened(legible(desk.formats, one), 40) for one in first),
    )


# --- what it would be


def _material(desk: Desk, seen: MaterialSeen) -> MaterialView:
    row, formats = seen.said.row, desk.formats
    unit = "piece" if row.unit == PIECES and row.size == 1 else row.unit
    pack = "" if row.size is None else f"{formats.number(row.size)} {unit}"
    pack = f"{formats.number(row.packs)} × {pack}" if pack and row.packs != 1 else pack
    price = "" if row.price is None else formats.money(row.price, row.currency or desk.book.workshop.currency)
    by_piece = row.kind != "ingredient"
    remarks = tuple(legible(desk.formats, one) for one in dict.fromkeys(seen.said.remarks))
    way = WAYS[seen.said.way] if seen.cost is not None else "–"
    way = f"{way}: no {seen.said.missing}" if seen.said.missing and seen.cost is not None else way
    return MaterialView(seen.said.name, seen.said.known, pack, price, way, by_piece, seen.cost, remarks)


def _formula(
    desk: Desk, reading: OwnReading, seen: FormulaSeen, called: str, lines: tuple[LineView, ...]
) -> FormulaView:
    rows = seen.said.rows
    batch, unit = "", weighed_in(reading.tables[rows.sheet], reading.layouts[rows.sheet], rows)
    if seen.said.batch is not None:
        grams = desk.formats.number(seen.said.batch, "g")
        written = desk.formats.number(half_up(seen.said.batch / MASS[unit], 4), unit) if unit else ""
        batch = f"{written} ({grams})" if written else grams
    remarks = tuple(legible(desk.formats, one) for one in dict.fromkeys(seen.said.remarks))
    return FormulaView(rows.name, seen.said.known, len(rows.lines), called, lines, rows.way, batch, seen.cost, remarks)


def _product(desk: Desk, seen: ProductSeen) -> ProductView:
    said, book = seen.said, desk.book
    sizes = (f"{desk.formats.number(one.size)} {one.unit}" for one in said.row.fillings if one.size is not None)
    money = partial(desk.formats.money, currency=book.workshop.currency)
    price = ", ".join(f"{money(amount)} ({book.channels[channel].name})" for channel, amount in said.prices.items())
    minutes = "" if said.row.minutes is None else f"{desk.formats.number(said.row.minutes)} min"
    remarks = (*dict.fromkeys(said.remarks), *(_left_over(desk, seen.fill) if seen.fill else ()))
    parts = seen.packaging if said.parts else None
    return ProductView(
        said.name, said.known, " + ".join(sizes), seen.ingredients, bool(said.parts), parts, minutes, price, remarks
    )


def _left_over(desk: Desk, fill: FillSheet) -> tuple[str, ...]:
    """That its jars bear what is left of a batch: the content alone costs less."""
    batch, jars, left = (
        desk.formats.number(one) for one in (fill.batch_grams, fill.filled, fill.left_grams) if not isinstance(one, Gap)
    )
    return (f"A batch of {batch} g fills {jars} of these, which bear the {left} g that are left over.",)
