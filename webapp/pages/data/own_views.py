"""What is shown of a maker's own sheets: the columns with their first rows, what is wrong, what it would cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

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
from webapp.costing.own.rows import LEFT_OUT, Wrong, cell_mark, column_letters, place_of, row_mark
from webapp.costing.own.seen import FormulaSeen, MaterialSeen, ProductSeen, weighed_in
from webapp.costing.own.usual import said_of
from webapp.costing.units import MASS, PIECES
from webapp.pages.data import own_asked, own_named
from webapp.pages.data.own_choices import MOST_TYPED
from webapp.pages.data.own_leaving import (
    alike,
    all_called,
    is_of_batch,
    is_title,
    leaving_all,
    name_at,
    rows_called,
    rows_of_each,
)
from webapp.pages.data.own_shown import (
    CARRIED,
    FIRST_ROWS,
    MOST_HEADS,
    MOST_SHOWN,
    MOST_WRONG,
    WAYS,
    CellView,
    ColumnView,
    FormulaView,
    LineView,
    MaterialView,
    NameView,
    OwnView,
    ProductView,
    Read,
    SheetView,
    legible,
    shortened,
)
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk, View

#: what no cell alone would cure
_OF_ALL = ("rates", "-freight", "-discount")
PLACE, TITLE = "settings", "From a sheet of your own"


def page(desk: Desk, form: Form, read: Read) -> View:
    """The page with what was read; what is wrong stands at its field, and what was put right before can be again."""
    reading = read.reading
    cells, names, same = _cells(desk, reading), own_named.asked(reading), own_named.maybe_the_same(reading)
    open_too = _open(desk, reading)
    mended, meant = _mended(desk, read, (*cells, *open_too)), own_named.answered(read, (*names, *same))
    densities = own_asked.densities(desk, reading, form)
    every = (*cells, *open_too, *mended, *(more for one in cells for more in one.like))
    at_faults = {field for one in every for field in (one.fix, one.leave)}
    rows = rows_of_each(reading, at_faults)[:MOST_SHOWN]
    formulas = tuple(_formula(desk, reading, one, *its) for one, its in zip(reading.formulas, rows, strict=False))
    shown = at_faults | {line.leave for one in formulas for line in one.rows}
    likely = own_named.likely_in(names)
    shown |= {one.field for one in (*names, *same, *meant)} | {field for field, *_ in densities}
    sheets = enumerate(zip(reading.tables, reading.layouts, strict=True))
    view = OwnView(
        read.name,
        tuple(_sheet(desk, number, *one) for number, one in sheets),
        own_asked.choices(desk, reading),
        tuple((f"rates-{code.lower()}", code) for code in reading.currencies),
        desk.book.workshop.currency,
        any(one.said.row.price is not None for one in reading.materials),
        reading.prices == ABOUT and any(one.said.row.supplier for one in reading.materials),
        any("tax_rate" in layout.roles for layout in reading.layouts),
        own_asked.tax_rates(reading),
        tuple(name for name, _ in reading.published),
        tuple(f"{name} {desk.formats.number(weighs)}" for name, weighs in reading.by_price),
        densities,
        cells,
        open_too,
        mended,
        meant,
        max(0, len({one.mark for one in reading.wrong if not one.choice}) - sum(1 + len(one.like) for one in cells)),
        tuple((key, text) for key, text in form.texts.items() if key.startswith(CARRIED) and key not in shown),
        tuple(one for one in names if one not in likely),
        same[:MOST_WRONG],
        max(0, len(same) - MOST_WRONG),
        tuple(_material(desk, one) for one in reading.materials[:MOST_SHOWN]),
        formulas,
        tuple(_product(desk, one) for one in reading.products[:MOST_SHOWN]),
        own_asked.channels(desk, reading),
        own_asked.has_prices(reading) and not own_asked.still_open(desk.book.channels),
        own_asked.people(desk, reading),
        len(reading.unsized),
        counted.understood(reading),
        "" if reading.wrong or reading.faults or reading.names else counted.kept_as_they_are(reading),
        tuple(max(0, len(one) - MOST_SHOWN) for one in (reading.materials, reading.formulas, reading.products)),
        reading.unpriced,
        tuple((f"{reading.tables[one.sheet].title}, row {one.row}", one.what, one.words) for one in reading.skipped),
        tuple(
            f"{one.words} ({reading.tables[one.sheet].title}, row {one.row})"
            for one in reading.skipped
            if one.what == LEFT_OUT
        ),
        reading.beyond,
        reading.good,
        reading.says_nothing_new,
        f"Save {said}" if (said := counted.saved(reading)) else "Save",
        _sign(reading),
        " ".join(filter(None, (said_of(desk.book.workshop, reading.assumed), own_asked.said_of_taxes(reading)))),
        likely,
    )  # fmt: skip
    cell_texts = {one.fix: one.read for one in every if one.fix and one not in mended}
    form = replace(form, texts={**cell_texts, **form.texts}, faults=(*form.faults, *_faults(reading, names, cells)))
    return View("data/own_sheet.html", TITLE, PLACE, view, form, "data/_own_sheet.html")


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
        one.head or f"column {one.letter}" for one in columns if not _role(layout, int(one.field.rpartition("-")[2]))
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


def _role(layout: Layout, place: int) -> str:
    return layout.roles[place] if place < len(layout.roles) else ""


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


# --- what is wrong


def _cells(desk: Desk, reading: OwnReading) -> tuple[CellView, ...]:
    """The cells that are wrong and no choice cures, each once; what says the same of rows of one name together."""
    wrong = {one.mark: one for one in reading.wrong if not one.choice}
    found, offered = [], set[str]()
    for group in alike(reading, wrong.values())[:MOST_WRONG]:
        here = [_cell(desk, reading.tables, reading.layouts, one) for one in group]
        here[0] = leaving_all(reading, group, here[0])
        for at, one in enumerate(here):  # one box for a row, though several of its cells are wrong
            here[at] = one if one.leave not in offered else replace(one, leave="")
            offered.add(one.leave)
        found.append(replace(here[0], like=tuple(here[1:])))
    return tuple(found)


def _open(desk: Desk, reading: OwnReading) -> tuple[CellView, ...]:
    """The cells that a choice would cure, each once, to be typed as they are meant where the choice doesn't fit."""
    asked = {one.mark: one for one in reading.wrong if one.choice and not one.choice.endswith(_OF_ALL)}
    for one in reading.wrong:
        if not one.choice:
            asked.pop(one.mark, None)
    cells = (_cell(desk, reading.tables, reading.layouts, one) for one in asked.values())
    return tuple(replace(one, leave="") for one in cells)[:MOST_WRONG]


def _mended(desk: Desk, read: Read, cells: Sequence[CellView]) -> tuple[CellView, ...]:
    """What was put right at other cells: what was typed there, with what the sheet says; and rows that are left out."""
    shown = {field for one in cells for field in (one.fix, one.leave)}
    found: dict[str, CellView] = {}
    gone = {(one.sheet, one.row) for one in read.reading.skipped if one.what == LEFT_OUT}
    called = rows_called(read.tables, dict(enumerate(read.reading.layouts)), read.choices.left_out)
    shown |= {f"leave-{row}" for rows in called.values() for row in rows}
    for mark, rows in called.items():
        (sheet, row, _), words = place_of(rows[0]) or (0, 0, 0), f"{len(rows)} rows"
        name = name_at(read.reading, sheet, row)
        found[mark] = CellView("", f"leave-{mark}", name, row, "", words, all_called(name, len(rows)))
    places = [(mark, place) for mark in (*read.choices.fixes, *read.choices.left_out) if (place := place_of(mark))]
    for mark, (sheet, row, column) in sorted(places, key=lambda one: one[1]):
        if sheet >= len(read.tables) or not 0 < row <= len(read.tables[sheet].rows):
            continue
        there = read.tables[sheet].cell(row, column)
        one = _cell(desk, read.tables, read.reading.layouts, Wrong(sheet, row, column, there, ""))
        if mark in read.choices.left_out and one.leave not in shown:
            leaving = one.leaving if (sheet, row) in gone else ""
            found[mark] = replace(one, fix="", label=f"{read.tables[sheet].title}, row {row}", leaving=leaving)
        elif read.choices.fixes.get(mark, there).strip() not in ("", there) and one.fix not in shown:
            found[mark] = replace(one, leave="")
    return tuple(found.values())[:MOST_TYPED]


def _cell(desk: Desk, tables: Sequence[OwnTable], layouts: Sequence[Layout], wrong: Wrong) -> CellView:
    table, layout = tables[wrong.sheet], layouts[wrong.sheet]
    role = ROLES[layout.holds].get(_role(layout, wrong.column), "") if wrong.row > layout.heads else "its name"
    there = (text for place in range(table.width) if (text := table.cell(wrong.row, place)))
    words = ", ".join(legible(desk.formats, text) for text in there)
    can_go = wrong.row > layout.heads and not is_of_batch(layout, wrong)
    return CellView(
        f"fix-{cell_mark(wrong.sheet, wrong.row, wrong.column)}",
        f"leave-{row_mark(wrong.sheet, wrong.row)}" if can_go else "",
        f"{table.title}, {wrong.cell}{f': {role}' if role else ''}",
        wrong.row,
        table.cell(wrong.row, wrong.column),
        words[:160],
        f"Leave row {wrong.row} out, with what stands below it" if is_title(table, layout, wrong) else "",
    )


def _faults(reading: OwnReading, names: Sequence[NameView], cells: Sequence[CellView]) -> tuple[tuple[str, str], ...]:
    """Everything that is wrong, each at the one field that cures it; what says the same once."""
    asked_at = {one.fix for one in cells}
    found: dict[str, str] = dict(reading.faults)
    for one in reading.wrong:
        if one.choice == "rates":
            found |= {f"rates-{code.lower()}": one.sentence for code in reading.currencies if code in one.sentence}
        elif one.choice:
            found.setdefault(one.choice, one.sentence)
        elif f"fix-{one.mark}" in asked_at:
            found.setdefault(f"fix-{one.mark}", one.sentence)
    return (*found.items(), *own_named.unanswered(reading, names))


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
    size = "" if said.row.size is None else f"{desk.formats.number(said.row.size)} {said.row.unit}"
    money = partial(desk.formats.money, currency=book.workshop.currency)
    price = ", ".join(f"{money(amount)} ({book.channels[channel].name})" for channel, amount in said.prices.items())
    minutes = "" if said.row.minutes is None else f"{desk.formats.number(said.row.minutes)} min"
    remarks = (*dict.fromkeys(said.remarks), *(_left_over(desk, seen.fill) if seen.fill else ()))
    parts = seen.packaging if said.parts else None
    return ProductView(said.name, said.known, size, seen.ingredients, bool(said.parts), parts, minutes, price, remarks)


def _left_over(desk: Desk, fill: FillSheet) -> tuple[str, ...]:
    """That its jars bear what is left of a batch: the content alone costs less."""
    batch, jars, left = (
        desk.formats.number(one) for one in (fill.batch_grams, fill.filled, fill.left_grams) if not isinstance(one, Gap)
    )
    return (f"A batch of {batch} g fills {jars} of these, which bear the {left} g that are left over.",)
