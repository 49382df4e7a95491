"""Rows of a maker's own sheet as formulas: a row an ingredient.

The formula's name stands in a column, as a heading above its rows, or is the title of the sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from webapp.costing.called import Names
from webapp.costing.limits import NAME_LENGTH, name_key
from webapp.costing.own import cells
from webapp.costing.own.columns import FORMULAS, Layout, OwnTable, role_of, unit_in
from webapp.costing.own.first_name import at_heads
from webapp.costing.own.heads import tells_figures
from webapp.costing.own.line_cells import read_batch_of, read_line
from webapp.costing.own.lines import BATCH, STAGE, Amounts, FormulaRows, Gap, kept_name
from webapp.costing.own.loss_rows import not_a_line
from webapp.costing.own.method import is_between, is_grand, is_part
from webapp.costing.own.more_heads import heads_here, phase_heads, titled_heads, with_lines
from webapp.costing.own.numbered import unnumber
from webapp.costing.own.parted import ask_where_parted, asks_amount, is_only_words
from webapp.costing.own.rows import (
    COMMENT,
    FIGURES,
    FOOTNOTE,
    HEADS,
    LEFT_OUT,
    TOTAL,
    OwnRow,
    Skipped,
    filled,
    is_footnote,
    is_total,
    row_mark,
    rows_of,
    skipped,
)
from webapp.costing.own.stages import amount_of, contradicts, filled_at, is_group, says_amount
from webapp.costing.own.sums import say_total
from webapp.costing.own.title_lines import say_lines
from webapp.costing.own.title_rows import titles_in
from webapp.costing.own.titles import Batch, Title, is_labelled, name_of, read_title_batch, read_titled, titled_in
from webapp.costing.own.told import Told
from webapp.costing.own.totals import IN, ends, is_aside, is_below, is_figure_of_all
from webapp.costing.own.whole import finish


@dataclass
class _Reader:
    """What is known while the rows of a sheet go by."""

    sheet: int
    table: OwnTable
    layout: Layout
    known: Names
    amounts: Amounts
    titles: Mapping[int, Title]
    found: dict[str, FormulaRows] = field(default_factory=dict)
    passed: list[Skipped] = field(default_factory=list)
    here: FormulaRows | None = None
    stage: str = ""
    ended: bool = False
    """Whether figures stood below the formula: what follows is none of its lines."""
    waiting: list[tuple[OwnRow, Batch]] = field(default_factory=list)
    """Batches that are said above the heads, where the name stands below them."""
    noted: frozenset[int] = frozenset()
    """The rows below which lines stand, once that is asked."""
    gap: Gap = field(default=Gap())
    """What stood between the last line and here."""

    def begin(self, name: str, row: int, column: int) -> FormulaRows:
        """The formula of that name, a new one where there is none yet; a name that can't be kept is wrong with it."""
        self.stage, self.ended = "", False
        kept, trouble = kept_name(name)
        self.here = self.found.setdefault(name_key(kept), FormulaRows(self.sheet, row, kept, column=column))
        self.here.total = 0
        if trouble:
            self.here.fault(trouble)
        for where, batch in self.waiting:
            read_title_batch(self.here, where, batch)
        self.waiting = []
        return self.here

    def ends_at(self, total: int, *, proves: bool = False) -> None:
        """Where the lines of the formula end, by its total; 0 where what follows is of it, as below a stage."""
        if self.here is not None:
            self.here.total = total
            self.here.proved = len(self.here.lines) if proves else self.here.proved

    def leave_out(self, title: OwnRow) -> None:
        """The formula that a title above the heads names goes with it."""
        self.found.clear()
        self.passed.append(skipped(title, LEFT_OUT))

    def knows(self, row: OwnRow) -> bool:
        """Whether a row names a material."""
        return self.known.meant(row.text("ingredient")).value.startswith("material")


def formulas_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str], *, known: Names, amounts: Amounts
) -> tuple[list[FormulaRows], list[Skipped]]:
    """The formulas of a sheet, and the rows that were passed over."""
    titles = titles_in(sheet, table, layout, told, known, left_out=left_out)
    reader = _Reader(sheet, table, layout, known, amounts, titles)
    _named_above(reader, replace(told, exact=table.exact), left_out)
    last = layout.heads
    for row in rows_of(sheet, table, layout, told, frozenset()):
        row.layout = reader.layout
        if row.number > last + 1:
            reader.gap = reader.gap._replace(blank=row.number - 1)
        last = row.number
        if row_mark(sheet, row.number) in left_out:
            _leave(reader, row)
        else:
            _take(reader, row)
    found = [one for one in reader.found.values() if one.lines or one.wrong or row_mark(sheet, one.row) not in left_out]
    notes = [one for one in found if is_only_words(table, one, found)]
    reader.passed += [Skipped(sheet, one.row, FOOTNOTE, one.name[:60]) for one in notes]
    found = [one for one in found if one not in notes]
    unnumber(found, known)
    for one in found:
        finish(one, amounts)
        ask_where_parted(one, left_out)
    return found, reader.passed


def _leave(reader: _Reader, row: OwnRow) -> None:
    """A row that is left out; with the title of a formula all that stands below it goes."""
    named = row.text("formula")
    if heads_here(row) is not None or phase_heads(row):
        reader.ends_at(0)
    said = says_amount(row) and titled_heads(row) is None and row.number not in reader.titles
    if named and (said or row.text("ingredient")):  # what stands below it without a name is still of its formula
        reader.begin(named, row.number, reader.layout.place("formula") or 0)
    if named or said:
        _is_below(reader, row)
        return
    beside = FormulaRows(reader.sheet, row.number, "")
    where = reader.sheet, reader.table, reader.layout, reader.known, reader.amounts, reader.titles
    other = _Reader(*where, here=beside)
    _take(other, row)
    if other.here is not beside:
        reader.here, reader.layout = other.here, other.layout
        reader.passed.append(skipped(row, LEFT_OUT))


def _named_above(reader: _Reader, told: Told, left_out: frozenset[str]) -> None:
    """A title, or what stands at the heads, names the first formula, where no column does."""
    above = reader.layout.heads - 1
    block = sorted(number for number in reader.titles if number <= above)
    for number in block:
        row, title = OwnRow(reader.sheet, number, reader.table, reader.layout, told), reader.titles[number]
        if row_mark(reader.sheet, number) not in left_out:
            _title(reader, row, title)
        elif title.name:
            _title(reader, row, title)
            reader.leave_out(row)
    first = at_heads(reader.table, reader.layout, blocks=bool(block))
    if first.name:
        row = OwnRow(reader.sheet, first.row, reader.table, reader.layout, told)
        _titled(reader, row, first.column, first.name)
        if row_mark(reader.sheet, first.row) in left_out:
            reader.leave_out(row)
    reader.stage = first.phase[:NAME_LENGTH]


def _title(reader: _Reader, row: OwnRow, title: Title) -> FormulaRows | None:
    """What a title says: the formula that it names, and the batch; None where it names none, and none stands above."""
    formula = _titled(reader, row, title.column, title.name) if title.name else reader.here
    if formula is not None and title.name:
        say_lines(formula, title, row)
    if title.batch is not None and formula is not None:
        read_title_batch(formula, row, title.batch)
    elif title.batch is not None:
        reader.waiting.append((row, title.batch))
    elif not title.name:
        reader.passed.append(skipped(row, COMMENT))
    return formula


def _titled(reader: _Reader, row: OwnRow, place: int, text: str) -> FormulaRows:
    """The formula that a title names, with its batch where the title says it: "Spray, makes 500 g"."""
    title = name_of(text, reader.found, reader.known)
    before = reader.found.get(name_key(title))
    formula = reader.begin(title, row.number, place)
    if before is not None and before.lines:
        words = f"{formula.name} begins in row {before.row} already. Call one of them something else, or leave it out."
        formula.fault(words, "", row.number, place, text)
    read_titled(formula, row, place, text)
    return formula


def _take(reader: _Reader, row: OwnRow) -> None:
    here, title = filled(row), reader.titles.get(row.number)
    if title is not None:
        if title.name and is_between(row, reader.here, reader.gap, reader.titles):
            reader.passed.append(skipped(row, FOOTNOTE))
        else:
            _title(reader, row, title)
        return
    if _is_passed(reader, row) or _is_stage(reader, row) or _is_batch(reader, row, here) or _is_below(reader, row):
        return
    ingredient, named, said = row.text("ingredient"), row.text("formula"), says_amount(row)
    if not said and not (named and ingredient) and _is_heading(reader, row, here):
        return
    if named:
        reader.begin(named, row.number, reader.layout.place("formula") or 0)
    if not ingredient and not said:
        if reader.here is not None and named:
            read_batch_of(reader.here, row)
        else:
            reader.passed.append(skipped(row, COMMENT))
        return
    stage = reader.stage
    formula = reader.here or reader.begin(reader.table.title or "Formula", row.number, 0)
    reader.stage = reader.stage or stage  # that of the rows above the first one
    read_batch_of(formula, row)
    if (line := read_line(formula, row, reader.amounts, reader.stage)) is not None:
        formula.add(line, reader.gap)
        reader.gap = Gap()


def _is_stage(reader: _Reader, row: OwnRow) -> bool:
    """Whether a row with a formula's name or an amount names a stage: its amount is what its lines come to."""
    name, named, role, formula = row.text("ingredient"), row.text("formula"), amount_of(row), reader.here
    if not STAGE.fullmatch(name) or (role and reader.knows(row)) or not (role or named):
        return False
    if named or formula is None:
        place = reader.layout.place("formula") or 0
        formula = reader.begin(named or reader.table.title or "Formula", row.number, place)
    _stage(reader, name)
    if role:
        reader.passed.append(skipped(row, TOTAL))
    if role and (wrong := contradicts(row, role, tuple(reader.titles))):
        formula.fault(wrong, "", row.number, reader.layout.place(role) or 0, row.text(role))
    return True


def _is_passed(reader: _Reader, row: OwnRow) -> bool:
    """Whether a row is heads, which count for what stands below them, or a total, or figures below a formula."""
    ingredient, heads = row.text("ingredient"), heads_here(row)
    known, is_sum = reader.knows(row), ends(row, reader.here, reader.titles)
    named = ingredient and (heads is None or not role_of(ingredient, FORMULAS))
    if named and (titled := titled_heads(row)):
        if is_part(row, reader.here, reader.titles):
            _stage(reader, ingredient)
            reader.gap = reader.gap._replace(heads=row.number)
        else:
            _titled(reader, row, row.layout.place("ingredient") or 0, ingredient)
        reader.layout = titled
    elif heads is not None:
        reader.layout = heads
        reader.ends_at(0)
        reader.passed.append(skipped(row, HEADS))
        reader.gap = reader.gap._replace(heads=row.number)
    elif not is_sum and (what := not_a_line(row, reader.found, reader.here, reader.amounts, reader.known)):
        reader.passed.append(skipped(row, what))
    elif is_sum or is_total(row):
        say_total(None if reader.ended else reader.here, row, reader.amounts.unit)
        if is_sum:
            reader.ends_at(row.number, proves=not is_grand(row))
        reader.passed.append(skipped(row, TOTAL))
        reader.gap = reader.gap._replace(total=row.number)
    elif (tells_figures(ingredient) or (reader.ended and says_amount(row))) and not known:
        reader.ended = not row.text("formula")
        reader.passed.append(skipped(row, FIGURES))
    else:
        return False
    return True


def _is_below(reader: _Reader, row: OwnRow) -> bool:
    """Whether a row stands below the total of a formula, so that it is none of its lines; a material is noted."""
    known = reader.knows(row)
    if known and reader.amounts.below == IN and not reader.amounts.is_counted(reader.known, row.text("ingredient")):
        return False
    below = is_below(row, reader.here, known)
    reader.passed += [skipped(row, FIGURES)] if below else []
    return below


def _is_batch(reader: _Reader, row: OwnRow, here: Sequence[str]) -> bool:
    """A row that says the size of the batch: "Batch: 2 kg", "Batch size | 2000"."""
    if BATCH.fullmatch(here[0]) is None or reader.here is None:
        return False
    batch = titled_in(filled_at(row)).batch
    if batch is None:  # "Makes 12 jars"
        reader.passed.append(skipped(row, COMMENT))
    else:
        read_title_batch(reader.here, row, batch)
    return True


def _stage(reader: _Reader, text: str) -> None:
    """The stage of what stands below, also below a total: that was one of a part."""
    reader.stage = text[:NAME_LENGTH]
    reader.ends_at(0)


def _is_heading(reader: _Reader, row: OwnRow, here: Sequence[str]) -> bool:
    """A row with words and no amount above the rows of a formula, or of one of its stages."""
    text = here[0]
    if STAGE.fullmatch(text):
        _stage(reader, text)
        return True
    between = not reader.knows(row) and is_between(row, reader.here, reader.gap, reader.titles)
    if between or _is_note(reader, row):
        reader.passed.append(skipped(row, FOOTNOTE if between else COMMENT))
        return True
    if ("formula" in reader.layout.roles and not is_labelled(text)) or reader.knows(row):
        return False
    if is_group(text):
        _stage(reader, text)
        return True
    if asks_amount(reader.here, row, reader.gap):
        return True
    above = [one for one in reader.found.values() if one is reader.here and not one.lines]
    place = next(place for place in range(reader.table.width) if reader.table.cell(row.number, place))
    formula = _titled(reader, row, place, text)
    for before in above:
        if before is not formula and before.row < reader.layout.heads:
            words = f"Is this a phase of {before.name}, or a formula? Type “Phase {text}” for a phase, or leave row"
            formula.fault(f"{words} {before.row} out.", "", row.number, place, text)
    more = [(at, text) for at, text in filled_at(row)[1:] if cells.sort_is_amount(text)]
    if row.text("batch"):
        read_batch_of(formula, row)
    elif more:
        formula.read_batch(more[0][1], row.told, unit_in(row.head("batch")), (row.number, more[0][0]))
    return True


def _is_note(reader: _Reader, row: OwnRow) -> bool:
    """Whether words below a gap are no title: no amounts stand below them, before the next title or heads.

    Nor are those below a total that speak of packaging, costs or the like.
    """
    aside = reader.here is not None and reader.here.total and is_aside(filled(row)[0])
    if aside or is_figure_of_all(row, reader.here):
        return True
    above = OwnRow(row.sheet, row.number - 1, row.table, row.layout, row.told)
    if not is_footnote(row) or (filled(above) and not is_total(above)):
        return False
    reader.noted = reader.noted or with_lines(row, reader.titles)
    return row.number not in reader.noted
