"""Tables of two kinds below each other on one sheet of a maker's own, prices and formulas: each read as a sheet.

Heads once more part them where they are of the other kind, with the title right above. Rows and columns keep their
places, so that a cell is called as its spreadsheet calls it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from webapp.costing.own.columns import AMOUNTS, FORMULAS, MATERIALS, PRICES, OwnTable, roles_in, sort_of
from webapp.costing.own.heads import is_amount, unit_alone
from webapp.costing.own.layouts import laid_out_together
from webapp.costing.own.rows import is_note
from webapp.costing.own.titles import BY_WORD, titled_in


def stacked(table: OwnTable) -> tuple[OwnTable, ...]:
    """The table, or its parts from top to bottom where prices stand above formulas or below them."""
    starts: list[tuple[int, str]] = []
    for number in range(1, len(table.rows) + 1):
        kind = _kind_of_heads(table, number)
        if kind and (not starts or starts[-1][1] != kind):
            starts.append((_begins(table, number), kind))
    if len(starts) < 2 or table.hidden:
        return (table,)
    ends = [start - 1 for start, _ in starts[1:]] + [len(table.rows)]
    begins = [0, *(start - 1 for start, _ in starts[1:])]
    parts = [_rows(table, since, to) for since, to in zip(begins, ends, strict=True)]
    sound = all(one.holds == kind for one, (_, kind) in zip(laid_out_together(parts), starts, strict=True))
    return tuple(parts) if sound else (table,)


def _kind_of_heads(table: OwnTable, row: int) -> str:
    """Whether a row are heads of prices or of formulas; "" where it is neither."""
    here = table.rows[row - 1]
    if any(map(is_amount, here)):
        return ""
    first, *others = [text for text in here if text.strip()] or [""]
    if others and not unit_alone(first) and all(map(unit_alone, others)) and sort_of(first) == "text":
        return FORMULAS  # "Ingredient | %", "Balm | %"
    prices, shares = roles_in(here, MATERIALS), roles_in(here, FORMULAS)
    priced = {*PRICES} & {*prices}
    said = [one for one, other in zip(shares, prices, strict=True) if one in AMOUNTS and other not in ("pack", "packs")]
    if "ingredient" in shares and (said or ({*AMOUNTS} & {*shares} and not priced)):
        return FORMULAS
    return MATERIALS if "name" in prices and priced else ""


def _begins(table: OwnTable, heads: int) -> int:
    """The row in which the title above heads begins: words alone, or a batch."""
    first = heads
    while _is_title(table, first - 1):
        first -= 1
    alone = first == heads and not any(map(str.strip, table.rows[heads - 2])) and _is_title(table, heads - 2)
    return heads - 2 if alone else first


def _is_title(table: OwnTable, row: int) -> bool:
    texts = [(place, text) for place in range(table.width) if (text := table.cell(row, place))]
    batch = titled_in(texts).batch
    alone = len(texts) == 1 and not is_note(texts[0][1])
    return alone or (batch is not None and batch.by == BY_WORD) or _are_titles(table, row, texts)


def _are_titles(table: OwnTable, row: int, texts: Sequence[tuple[int, str]]) -> bool:
    """Whether words stand above heads that begin again beside each other: "Balm | | Whip |"."""
    heads = [head for place, _ in texts if (head := table.cell(row + 1, place))]
    return len(set(heads)) < len(heads) and not any(is_amount(text) for _, text in texts)


def _rows(table: OwnTable, since: int, to: int) -> OwnTable:
    """Some rows of a table in their places, called by words alone above a gap, else by where they begin."""
    rows = tuple(() if number < since else row for number, row in enumerate(table.rows[:to]))
    if not since:
        return replace(table, rows=rows)
    name = next(filter(None, map(str.strip, rows[since])))
    apart = since + 1 < to and not any(map(str.strip, rows[since + 1]))
    return replace(table, title=name if apart else f"{table.title}, from row {since + 1}", rows=rows)
