"""Formulas without heads above the first heads of a maker's own sheet: read as a sheet of their own.

What holds a name and an amount there and is in none of them is said to be passed over.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own.columns import FORMULAS, MOST_COLUMNS, Layout, OwnTable, sort_of_most, words_of
from webapp.costing.own.heads import is_amount, tells_figures
from webapp.costing.own.lines import UNITS_SAID, FormulaRows
from webapp.costing.own.rows import Skipped, row_mark, says_total
from webapp.costing.own.titles import is_name

ABOVE_HEADS = "above the heads, in no formula"
#: how many lines make a formula
_LINES = 2
#: an amount in what is no unit of purchases: 3 parts, 10 drops
_IN_WORDS = re.compile(r"[0-9][0-9.,/]*\s*([^\W\d]+)\.?")


class CardsAbove(NamedTuple):
    """The rows above the title of the first heads, what their columns hold, and the sheet without them."""

    table: OwnTable
    layout: Layout
    rest: OwnTable


def cards_above(table: OwnTable, layout: Layout, known: Names, is_counted: Callable[[str], bool]) -> CardsAbove | None:
    """What stands above the first heads where rows together are amounts, and of what is `known` as a material.

    It goes down to the last of those: the title of the heads is below a gap, right above them, or alone in its row.
    """
    pairs = _pairs(table, layout)
    sure = [row for row, (name, _) in pairs.items() if _is_material(known, name) and not is_counted(name)]
    blocks = _blocks(row for row in pairs if row in sure or row + 1 < layout.heads)
    lines = {row: pairs[row] for block in blocks if not block.isdisjoint(sure) for row in block}
    if not lines:
        return None
    last = max(lines)
    return CardsAbove(
        replace(table, rows=table.rows[:last]),
        Layout(FORMULAS, 0, roles_of(table, [*lines], [at for _, at in lines.values()])),
        replace(table, rows=(*([()] * last), *table.rows[last:])),
    )


def say_twice(found: Iterable[FormulaRows], above: Iterable[FormulaRows]) -> None:
    """What is called as a formula above the heads is wrong."""
    before = {name_key(one.name): one for one in above}
    for one in found:
        if (other := before.get(name_key(one.name))) is not None:
            words = f"{one.name} begins in row {other.row} already. Call one of them something else, or leave it out."
            one.fault(words)


def passed_above(
    sheet: int, table: OwnTable, layout: Layout, found: Sequence[FormulaRows], left_out: Collection[str]
) -> Iterator[Skipped]:
    """The rows above the heads that hold a name and an amount and are no title of what was found."""
    titles = {one.row for one in found}
    for row in _pairs(table, layout):
        if row not in titles and row_mark(sheet, row) not in left_out:
            texts = (table.cell(row, place) for place in range(table.width))
            yield Skipped(sheet, row, ABOVE_HEADS, ", ".join(filter(None, texts))[:60])


def _pairs(table: OwnTable, layout: Layout) -> dict[int, tuple[str, int]]:
    """The rows above the heads that begin with a name and have an amount beside it, with that name and its column."""
    found = {}
    for row in range(1, layout.heads):
        texts = [(place, text) for place in range(table.width) if (text := table.cell(row, place))]
        if len(texts) > 1 and _is_ingredient(texts[0][1]) and any(says_how_much(text) for _, text in texts[1:]):
            found[row] = (texts[0][1], texts[0][0])
    return found


def _is_material(known: Names, name: str) -> bool:
    return known.meant(name).value.startswith("material")


def _blocks(rows: Iterable[int]) -> list[set[int]]:
    """The rows that stand together, where they are several."""
    blocks: list[set[int]] = []
    for row in rows:
        if not blocks or row - 1 not in blocks[-1]:
            blocks.append(set())
        blocks[-1].add(row)
    return [block for block in blocks if len(block) >= _LINES]


def _is_ingredient(text: str) -> bool:
    return is_name(text) and not tells_figures(text) and not says_total(words_of(text))


def says_how_much(text: str) -> bool:
    """Whether a cell says an amount, also in parts or drops."""
    said = _IN_WORDS.fullmatch(text)
    return is_amount(text) or bool(said and said[1].casefold() in UNITS_SAID)


def roles_of(table: OwnTable, rows: Sequence[int], places: Sequence[int]) -> tuple[str, ...]:
    """What the columns of such rows hold: the names, the amounts right of them, and percent."""
    names = max(places, key=places.count)
    roles = [""] * min(table.width, MOST_COLUMNS)
    roles[names] = "ingredient"
    for place in range(names + 1, len(roles)):
        cells = [text for row in rows if (text := table.cell(row, place))]
        says = [text for text in cells if says_how_much(text)]
        role = "percent" if sort_of_most(says) == "percent" else "amount"
        if len(says) * 2 > len(cells) and role not in roles:
            roles[place] = role
    return tuple(roles)
