"""Which rows of a maker's own sheet are titles of formulas that stand below each other.

Heads that stand there once more are a boundary: what stands right above them is the title of what stands below. Where
they don't, a title shows in that its amount is said to be a batch, or is what the rows below it come to.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import ZERO, Unreadable
from webapp.costing.called import Names
from webapp.costing.own import cells
from webapp.costing.own.columns import AMOUNTS, Layout, OwnTable, sort_of
from webapp.costing.own.heads import is_amount, is_mass, tells_figures, unit_alone
from webapp.costing.own.lines import STAGE, measured
from webapp.costing.own.looking import Looking, naming_of
from webapp.costing.own.method import is_step_above_heads
from webapp.costing.own.more_heads import heads_here, phase_heads
from webapp.costing.own.rows import OwnRow, is_footnote, is_total
from webapp.costing.own.stages import is_group, says_amount
from webapp.costing.own.title_lines import Line, named_by, says_jar
from webapp.costing.own.titles import (
    BY_AMOUNT,
    BY_SUM,
    BY_UNIT,
    BY_WORD,
    Batch,
    Title,
    is_name,
    parted_title,
    speaks_of_batch,
    titled_in,
    without_tail,
)
from webapp.costing.own.told import Told

#: what a row above heads may be
_BLANK, _STAGE, _TOTAL, _WORDS, _NOTE, _NAME, _BEHIND_BATCH = "", "stage", "total", "batch", "note", "name", "behind"


def titles_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, known: Names, *, left_out: Collection[str] = ()
) -> dict[int, Title]:
    """The rows that are titles of formulas, or say a batch above heads; none where a column names the formulas."""
    if "formula" in layout.roles:
        return {}
    looking = Looking(sheet, table, replace(told, exact=table.exact), known)
    looking.naming = naming_of(looking, left_out)
    for number in range(1, len(table.rows) + 1):
        texts = looking.texts(number)
        looking.rows += len(texts) > 1
        for place, text in texts:
            unit = is_mass(unit_alone(text))
            looking.usual[(place, BY_UNIT if unit else BY_AMOUNT)] += unit or sort_of(text) == "amount"
    layouts = _layouts(looking, layout)
    again = [number for number in layouts if number != layout.heads]
    above = layout.heads
    for number in again:
        _above(looking, number, above, (layouts[number], layouts[above]))
        above = number
    if layout.heads:
        _above_the_first(looking, layout, again)
    _without_heads(looking, layouts, layout)
    _lines_without_heads(looking, layouts, layout)
    return looking.found


def _layouts(looking: Looking, layout: Layout) -> dict[int, Layout]:
    """The rows of heads, the first (0 where there are none) and those below it, with what stands below each."""
    found = {layout.heads: layout}
    for number in range(layout.heads + 1, len(looking.table.rows) + 1):
        row = looking.row(number, layout)
        heads = (phase_heads(row) or heads_here(row)) if looking.texts(number) else None
        if heads is not None:
            found[number] = layout = heads
    return found


def _above_the_first(looking: Looking, layout: Layout, again: Sequence[int]) -> None:
    """The title above the first heads: one that says a batch, or one where the later ones have one too."""
    later, named = dict(looking.found), bool(looking.named)
    _above(looking, layout.heads, 0, (layout,), first=True, alone=not again)
    new = [title for number, title in looking.found.items() if number not in later]
    parts = [parted_title(title.name) for title in new]
    said = any(title.batch and title.batch.by for title in new) or any(one.size or one.batch for one in parts)
    if not said and not (looking.several or looking.staged or (again and named)):
        looking.found = later
        looking.named.discard(layout.heads)


def _above(
    looking: Looking, heads: int, since: int, layouts: Sequence[Layout], *, first: bool = False, alone: bool = False
) -> None:
    """The title block above heads: rows that say a batch, and the nearest one above them that is a name.

    `layouts` are what the columns hold below the heads, and above them. What stands above the first may be the
    title of the sheet, and notes on all of it; `alone`: no others follow.
    """
    beside: dict[int, Title] = {}
    named: tuple[int, Title] | None = None
    together, looking.staged, looking.several = True, False, False
    for number in range(heads - 1, since, -1):
        row = looking.row(number, layouts[-1])
        title = titled_in(looking.texts(number))
        sort = _sort(row, title, looking.texts(number))
        together = together and sort != _BLANK
        lines = _block(looking, row, title, since) if sort in (_NAME, _NOTE) else []
        if lines and all(is_step_above_heads(one.text) for one in lines):
            beside[number] = Title("", 0)  # what to do between the lines of one formula, or below its name
            continue
        looking.staged = together and (looking.staged or sort == _STAGE)
        if sort == _NAME:
            found = _of_sum(looking, row, title, heads) or _is_title(looking, row, title, layouts if together else ())
            named = (number, found) if found and (together or named is None) else named
            if found and named == (number, found):
                lines = _block(looking, row, found, since)
                beside_it = any(speaks_of_batch(text) for _, text in looking.texts(number))
                looking.several = len(lines) > 1 or (together and (number < heads - 1 or beside_it))
                beside |= named_by(lines, looking.naming) if lines and looking.naming else {}
                named = next(((at, one) for at, one in beside.items() if one.name), named)
            break
        if sort == _TOTAL or (sort == _WORDS and not together and not title.batch):
            break
        if ((sort == _NOTE and not first) or (sort == _BEHIND_BATCH and not alone)) and together and not named:
            named = number, title  # where no other name stands above it
        if sort in (_WORDS, _NOTE, _BEHIND_BATCH):
            beside[number] = Title("", 0, title.batch)
    if named is not None:
        looking.found |= {**beside, named[0]: named[1]}
        looking.named.add(heads)
    elif first:
        looking.found |= {number: one for number, one in beside.items() if one.batch}


def _block(looking: Looking, row: OwnRow, title: Title, since: int) -> list[Line]:
    """The lines of words that stand together with a title, from top to bottom, where they begin below a gap.

    Where all of them say a jar, the lines above the gap are of it too.
    """
    lines, number = [Line(row.number, title)], row.number
    while number > since + 1:
        number -= 1
        above = looking.row(number, row.layout)
        found = _line(looking, above)
        if found is not None:
            lines.insert(0, found)
        elif looking.texts(number):
            return lines if is_total(above) else lines[-1:]
        elif not all(says_jar(one.text) for one in lines) or lines[0].number != number + 1:
            break
    return lines


def _line(looking: Looking, row: OwnRow) -> Line | None:
    """A row that is a line of words, with what it says; None for any other."""
    texts = looking.texts(row.number)
    title = titled_in(texts)
    figures = [said for said in AMOUNTS if is_amount(row.text(said))]
    plain = not figures and not tells_figures(title.name) and not is_group(title.name)
    if not plain or _sort(row, title, texts) not in (_NAME, _NOTE):
        return None
    return Line(row.number, title if looking.tells(title.batch) else replace(title, batch=None))


def _sort(row: OwnRow, title: Title, texts: Sequence[tuple[int, str]]) -> str:
    """What a row above heads may be: the name of what stands below, the batch of it, a note, a stage, a total."""
    if not texts or STAGE.fullmatch(texts[0][1]):
        return _STAGE if texts else _BLANK
    if is_total(row):
        return _TOTAL
    if not title.name:
        return _WORDS
    if is_footnote(row) and without_tail(texts[0][1]) == texts[0][1]:
        return _NOTE
    if is_name(texts[0][1]):
        return _NAME
    return _BEHIND_BATCH if title.batch else _WORDS


def _is_title(looking: Looking, row: OwnRow, title: Title, layouts: Sequence[Layout]) -> Title | None:
    """Whether a row above heads is the title of what stands below them, with its batch; None where it is a line.

    With nothing but a number where amounts stand it is one right above the heads (by `layouts`) and below a gap only.
    """
    if tells_figures(title.name):
        return None
    if looking.tells(title.batch):
        return title
    figures = [(one, said) for one in layouts or (row.layout,) for said in _figures_in(looking.row(row.number, one))]
    if not figures:
        return replace(title, batch=None)
    parted = not looking.texts(row.number - 1) or is_total(looking.row(row.number - 1, row.layout))
    if not layouts or not parted or looking.known.meant(title.name).value.startswith("material"):
        return None
    return replace(title, batch=_of_column(looking.row(row.number, figures[0][0]), figures[0][1]))


def _of_sum(looking: Looking, row: OwnRow, title: Title, heads: int) -> Title | None:
    """A title whose amount is what the lines below the heads come to."""
    said = next(iter(_figures_in(row)), "")
    if not said or looking.known.meant(title.name).value.startswith("material"):
        return None
    own, below, total = _figures(looking, row, said, (), heads)
    batch = _of_column(row, said)
    if batch is None or own is None or not below or own not in (total, sum((one or ZERO for one in below), ZERO)):
        return None
    return replace(title, batch=title.batch if looking.tells(title.batch) else replace(batch, by=BY_SUM))


def _figures_in(row: OwnRow) -> list[str]:
    """What is said to stand in the columns of amounts in which a row has one."""
    return [one for one in AMOUNTS if is_amount(row.text(one))]


def _of_column(row: OwnRow, said: str) -> Batch | None:
    """The batch that stands where amounts do; percent are none."""
    place = row.layout.place(said) or 0
    return Batch(place, row.text(said), "") if said in ("grams", "amount") else None


# --- where no heads stand above it


def _without_heads(looking: Looking, layouts: dict[int, Layout], layout: Layout) -> None:
    """Rows that begin a part of a sheet, and whose amount says a batch or is what the rows below come to."""
    maybe: dict[int, Title] = {}
    sure, starts = 0, 0
    here, parted, titled = layout, True, layout.heads in looking.named
    for number in range(layout.heads + 1, len(looking.table.rows) + 1):
        texts = looking.texts(number)
        if not texts or number in layouts or is_total(looking.row(number, here)):
            here = layouts.get(number, here)
            titled = number in looking.named or (titled and not texts)
            parted = True
            continue
        row = looking.row(number, here)
        if parted and not titled and number not in looking.found and row.text("ingredient"):
            said = next((one for one in AMOUNTS if row.text(one)), "")
            title = titled_in(texts)
            verdict = _by_sum(looking, row, said, layouts) if title.name else None
            starts += bool(said and title.name and is_amount(row.text(said)))
            if title.batch is not None and title.batch.by == BY_WORD and title.name:
                looking.found[number] = title
            elif verdict:
                sure += 1
                looking.found[number] = replace(title, batch=_of_column(row, said))
            elif verdict is None and title.name and _comes_to(looking, row, said, layouts):
                maybe[number] = replace(title, batch=_of_column(row, said))
        parted = titled = False
    unknown = [n for n, one in maybe.items() if not looking.known.meant(one.name).value.startswith("material")]
    if len(unknown) + sure == starts > 1:
        looking.found |= {number: maybe[number] for number in unknown}


def _lines_without_heads(looking: Looking, layouts: dict[int, Layout], layout: Layout) -> None:
    """Several lines of words below a gap, with an amount right below them: one of them is a title."""
    here, lines, parted, titled = layout, list[Line](), True, layout.heads in looking.named
    for number in range(layout.heads + 1, len(looking.table.rows) + 1):
        row = looking.row(number, here)
        if not looking.texts(number) or number in layouts or is_total(row):
            here, lines, parted = layouts.get(number, here), [], True
            titled = number in looking.named or (titled and not looking.texts(number))
            continue
        found = None if number in looking.found or titled else _line(looking, row)
        if found is not None and parted and not says_amount(row) and not _is_material(looking, found.text):
            lines.append(found)
            continue
        if len(lines) > 1 and says_amount(row) and looking.naming:
            looking.found |= named_by(lines, looking.naming)
        lines, parted, titled = [], False, False


def _is_material(looking: Looking, name: str) -> bool:
    return looking.known.meant(name).value.startswith("material")


def _by_sum(looking: Looking, row: OwnRow, said: str, layouts: Iterable[int]) -> bool | None:
    """Whether a total below says that a row is none of the lines above it, or is one; None where none says it."""
    own, below, total = _figures(looking, row, said, layouts)
    if own is None or total is None or not below:
        return None
    if own == total and None in below:
        return True
    lines = sum((one or ZERO for one in below), ZERO)
    return True if own == lines == total else False if own + lines == total else None


def _comes_to(looking: Looking, row: OwnRow, said: str, layouts: Iterable[int]) -> bool:
    """Whether an amount is what the rows below it come to, down to the next blank row."""
    own, below, _ = _figures(looking, row, said, layouts)
    return own is not None and len(below) > 1 and own == sum((one or ZERO for one in below), ZERO)


def _figures(
    looking: Looking, row: OwnRow, said: str, layouts: Iterable[int], since: int = 0
) -> tuple[Decimal | None, list[Decimal | None], Decimal | None]:
    """The amount of a row, those of the rows below it (or `since`) to a blank one, heads or a total, and that total."""
    below: list[Decimal | None] = []
    total: Decimal | None = None
    if not said:
        return None, below, total
    for number in range((since or row.number) + 1, len(looking.table.rows) + 1):
        one = looking.row(number, row.layout)
        if not looking.texts(number) or number in layouts:
            break
        if is_total(one):
            total = _figure(one, said)
            break
        if one.text(said):
            below.append(_figure(one, said))
    return _figure(row, said), below, total


def _figure(row: OwnRow, said: str) -> Decimal | None:
    """The number of a cell as it would be of a line; None where it is none."""
    try:
        return measured(row.text(said), row.told_of(said), "g").value
    except (cells.Doubt, Unreadable):
        return None
