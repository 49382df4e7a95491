"""Rows of a maker's own sheet as formulas: a row an ingredient.

The formula's name stands in a column, as a heading above its rows, or is the title of the sheet.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from webapp.costing import own_cells as cells
from webapp.costing.amounts import ZERO, Unreadable
from webapp.costing.called import Names
from webapp.costing.limits import NAME_LENGTH, name_key
from webapp.costing.own_cells import Read, Told
from webapp.costing.own_columns import AMOUNTS, Layout, OwnTable, unit_in
from webapp.costing.own_lines import BATCH, STAGE, FormulaRows, LineRow, Weight, batch_grams, measured, weighed
from webapp.costing.own_rows import (
    COMMENT,
    HEADS,
    TOTAL,
    OwnRow,
    Skipped,
    filled,
    is_heads,
    is_total,
    rows_of,
    skipped,
)
from webapp.costing.own_whole import finish

_NAMED = re.compile(r"(?:formula|recipe|product|rezept|recette|receta|ricetta)\s*[:\-\u2013#]\s*(.+)", re.IGNORECASE)


@dataclass
class _Reader:
    """What is known while the rows of a sheet go by."""

    sheet: int
    table: OwnTable
    layout: Layout
    known: Names
    amounts: str
    found: dict[str, FormulaRows] = field(default_factory=dict)
    passed: list[Skipped] = field(default_factory=list)
    here: FormulaRows | None = None
    stage: str = ""

    def begin(self, name: str, row: int, column: int) -> FormulaRows:
        """The formula of that name, a new one where there is none yet; a name that can't be kept is wrong with it."""
        self.stage = ""
        try:
            kept, trouble = cells.words(name), ""
        except Unreadable as unreadable:
            kept, trouble = name[:NAME_LENGTH], unreadable.sentence
        self.here = self.found.setdefault(name_key(kept), FormulaRows(self.sheet, row, kept, column=column))
        if trouble:
            self.here.fault(trouble)
        return self.here


def formulas_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str], *, known: Names, amounts: str
) -> tuple[list[FormulaRows], list[Skipped]]:
    """The formulas of a sheet, and the rows that were passed over. `amounts` is what bare amounts were said to be."""
    reader = _Reader(sheet, table, layout, known, amounts)
    _named_above(reader)
    for row in rows_of(sheet, table, layout, told, left_out):
        _take(reader, row)
    for one in reader.found.values():
        finish(one)
    return list(reader.found.values()), reader.passed


def _named_above(reader: _Reader) -> None:
    """A lone cell right above the heads names the first formula, where no column does."""
    above = reader.layout.heads - 1
    cells_above = reader.table.rows[above - 1] if above > 0 else ()
    texts = [(place, text) for place in range(len(cells_above)) if (text := reader.table.cell(above, place))]
    if len(texts) == 1 and "formula" not in reader.layout.roles:
        named = _NAMED.fullmatch(texts[0][1])
        reader.begin((named[1] if named else texts[0][1]).strip(" :"), above, texts[0][0])


def _take(reader: _Reader, row: OwnRow) -> None:
    here = filled(row)
    if is_heads(row) or is_total(row):
        reader.passed.append(skipped(row, TOTAL if is_total(row) else HEADS))
        return
    if reader.here is not None and _is_batch(reader, row, here):
        return
    ingredient = row.text("ingredient")
    said = any(row.text(role) for role in AMOUNTS)
    named = row.text("formula")
    if not said and not (named and ingredient) and _is_heading(reader, row, here):
        return
    if named:
        reader.begin(named, row.number, reader.layout.place("formula") or 0)
    if not ingredient and not said:
        if not named:
            reader.passed.append(skipped(row, COMMENT))
        elif row.text("batch"):
            _batch(reader, row)
        return
    formula = reader.here or reader.begin(reader.table.title or "Formula", row.number, 0)
    _batch(reader, row)
    _line(reader, formula, row)


def _is_batch(reader: _Reader, row: OwnRow, here: Sequence[str]) -> bool:
    """A row that says the size of the batch: "Batch: 2 kg", "Batch size | 2000"."""
    found = BATCH.fullmatch(here[0])
    if found is None or reader.here is None:
        return False
    text = found[1].strip() or (here[1] if len(here) > 1 else "")
    if not cells.sort_is_amount(text):  # "Makes 12 jars"
        reader.passed.append(skipped(row, COMMENT))
        return True
    _read_batch(reader.here, row, text, "ingredient")
    return True


def _is_heading(reader: _Reader, row: OwnRow, here: Sequence[str]) -> bool:
    """A row with words and no amount above the rows of a formula, or of one of its stages."""
    text = here[0]
    if STAGE.fullmatch(text) and reader.here is not None:
        reader.stage = text[:NAME_LENGTH]
        return True
    mapped = row.text("ingredient")
    if "formula" in reader.layout.roles and not _NAMED.fullmatch(text):
        return False
    if mapped and reader.known.meant(mapped).value.startswith("material"):
        return False
    named = _NAMED.fullmatch(text)
    place = next(place for place in range(reader.table.width) if reader.table.cell(row.number, place))
    formula = reader.begin((named[1] if named else text).strip(" :"), row.number, place)
    more = [cell for cell in here[1:] if cells.sort_is_amount(cell)]
    if row.text("batch"):
        _batch(reader, row)
    elif more:
        _read_batch(formula, row, more[0], "ingredient")
    return True


def _batch(reader: _Reader, row: OwnRow) -> None:
    text = row.text("batch")
    if text and reader.here is not None:
        _read_batch(reader.here, row, text, "batch")


def _read_batch(formula: FormulaRows, row: OwnRow, text: str, role: str) -> None:
    """The size of a batch in grams; a bare number is grams, as the head may say otherwise."""
    try:
        formula.batch = formula.batch or batch_grams(text, row.told, unit_in(row.head("batch")))
    except (cells.Doubt, Unreadable) as trouble:
        row.fault(role, trouble.sentence, getattr(trouble, "choice", ""), "ingredient")
        formula.wrong += row.wrong


# --- lines


def _line(reader: _Reader, formula: FormulaRows, row: OwnRow) -> None:
    """One ingredient with its amount; percent counts before grams, where a row has both, and is compared with them."""
    ingredient = row.words("ingredient")
    if not ingredient and not row.text("ingredient"):
        row.fault("ingredient", "Name the ingredient, or leave this row out.")
    role = next((one for one in AMOUNTS if row.text(one)), "")
    if not role:
        row.fault("percent", "Say how much of it, or q.s. where it takes the rest.", "", "grams", "parts", "amount")
    read = _amount(reader, row, role) if role else None
    beside = _weight(row) if role == "percent" else None
    at, column = (reader.layout.place(one) or 0 for one in ("ingredient", role or "ingredient"))
    stage = row.words("stage") or reader.stage
    formula.wrong += row.wrong
    formula.remarks += row.remarks
    if read is not None and ingredient:
        value, unit = (None, "percent") if read.unit == "rest" else (read.value, read.unit)
        where, sign = (row.number, column, ingredient, at), row.text(role).endswith("%")
        line = LineRow(*where, value, unit, stage[:NAME_LENGTH], sign, beside, slack=read.slack)
        formula.lines.append(line)


def _weight(row: OwnRow) -> Weight | None:
    """The grams beside the percent of a row; one that is to take the rest may say so in both."""
    if cells.is_rest(row.text("grams")):
        return None
    column = row.layout.place("grams") or 0
    return row.read("grams", lambda text, told: weighed(text, told, "g", column))


def _amount(reader: _Reader, row: OwnRow, role: str) -> Read | None:
    """The amount of a line with its unit: percent, g, mL, drops, part; "" where nobody says; "rest" for q.s."""
    if cells.is_rest(row.text(role)):
        return Read(ZERO, "rest")
    by_role = {"percent": "%", "grams": "g", "parts": "parts"}.get(role, "")
    said = row.text("unit") if role == "amount" else ""
    beside = said or by_role or unit_in(row.head(role)) or ("%" if "%" in row.head(role) else "") or _chosen(reader)
    read = row.read(role, lambda text, told: measured(text, told, beside))
    if read is not None and (more := cells.doubtful(row.text(role).removesuffix("%").strip(), row.told)):
        row.remarks.append(more)
    return read


def _chosen(reader: _Reader) -> str:
    return {"percent": "%", "grams": "g", "parts": "parts"}.get(reader.amounts, "")
