"""Formulas side by side in a maker's own sheet: a column each with ingredients down, or a row each with them across.

Only guessed here, from what the heads leave over and from sums of 100; `own_across` reads what a person then sees.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing import own_cells as cells
from webapp.costing.amounts import ONE, ZERO, Unreadable
from webapp.costing.own_cells import Told
from webapp.costing.own_columns import (
    ABOVE,
    FORMULAS,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    OF_FORMULA,
    OF_INGREDIENT,
    Layout,
    OwnTable,
    role_of,
    sort_of,
    words_of,
)
from webapp.costing.own_lines import BATCH, NEAR_ONE, measured
from webapp.costing.own_rows import says_total
from webapp.costing.written_units import unit_of

#: how sure a guess is: by its looks alone, by percent, by sums of 100
BY_LOOKS, BY_PERCENT, BY_SUMS = 0, 1, 2
BLANK = ("", "-", "\u2013", "\u2014", "n/a", "N/A")
_NEAR_HUNDRED = (Decimal("99.5"), Decimal("100.5"))
_NAMED = re.compile(r"(.*\S)\s*(?:[(\[]\s*(?:in )?([^()\[\]]+?)\s*[)\]]|(%))")
_PERCENT = ("%", "percent", "pct", "% w/w", "w/w", "% by weight")
_FIGURES = frozenset(
    ("price", "unit_price", "supplier", "code", "packs", "pack", "unit", "currency", "tax_rate", "day", "density")
)


@dataclass(frozen=True, slots=True)
class Guess:
    """A layout with formulas side by side, and how sure it is."""

    layout: Layout
    sure: int


def named_in(head: str) -> tuple[str, str]:
    """The name in a head, and the unit that it says for its cells, in brackets or as a sign; "" where it says none."""
    found = _NAMED.fullmatch(head.strip())
    said = (found[3] or found[2]).casefold() if found else ""
    if found and said in _PERCENT:
        return found[1], "%"
    if found and (said in ("part", "parts", "drops") or unit_of(said)):
        return found[1], said
    return head.strip(), ""


def tells_figures(head: str) -> bool:
    """Whether a head is about something else than amounts of formulas: a price, a supplier, a day, a sum."""
    return role_of(head, MATERIALS) in _FIGURES or says_total(words_of(head))


def side_by_side(table: OwnTable, heads: int = 0) -> Guess | None:
    """What is guessed where formulas or ingredients stand side by side; None where nothing looks like it.

    `heads` is the row in which a person says that the heads stand.
    """
    like = _Cells(table)
    rows = (heads,) if heads else range(1, min(len(table.rows), ABOVE) + 1)
    best: tuple[int, tuple[int, ...]] = (0, ())
    for row in rows:
        places = tuple(like.places(row))
        if len(places) > len(best[1]):
            best = row, places
    row, places = best
    names = like.names(row, places) if len(places) > 1 else None
    return None if names is None else _guess(like, row, names, places)


@dataclass(frozen=True, slots=True)
class _Cells:
    """The cells of a sheet as they look."""

    table: OwnTable

    def places(self, row: int) -> Iterable[int]:
        """The columns whose head in that row says nothing that is known, with amounts below."""
        for place in range(min(self.table.width, MOST_COLUMNS)):
            head = self.table.cell(row, place)
            name, unit = named_in(head)
            if not head or len(head) > 120 or sort_of(head) != "text" or tells_figures(name):
                continue
            said = role_of(name, FORMULAS) or (role_of(head, FORMULAS) if not unit else "")
            ends_in_unit = not unit and " " in name and bool(unit_of(name.rpartition(" ")[2]))
            if not said and not ends_in_unit and self._holds_amounts(row, place):
                yield place

    def _holds_amounts(self, row: int, place: int) -> bool:
        below = (self.table.cell(one, place) for one in range(row + 1, min(len(self.table.rows), row + LOOKED_AT) + 1))
        filled = [text for text in below if text not in BLANK]
        return bool(filled) and sum(map(_is_amount, filled)) * 4 >= len(filled) * 3

    def names(self, row: int, places: Sequence[int]) -> int | None:
        """The column with the names of what stands in the rows: left of the amounts, by its head or its words."""
        left = range(places[0])
        said = [place for place in left if role_of(self.table.cell(row, place), FORMULAS) in ("ingredient", "formula")]
        wordy = [place for place in left if self._holds_words(row, place)]
        return next(iter((*said, *wordy)), None)

    def _holds_words(self, row: int, place: int) -> bool:
        below = (self.table.cell(one, place) for one in range(row + 1, min(len(self.table.rows), row + LOOKED_AT) + 1))
        filled = [text for text in below if text]
        known = role_of(self.table.cell(row, place), FORMULAS)
        return not known and len(filled) > 1 and sum(sort_of(text) == "text" for text in filled) * 2 > len(filled)


def _is_amount(text: str) -> bool:
    return cells.is_rest(text) or sort_of(text) in ("number", "percent", "amount")


def _guess(like: _Cells, heads: int, names: int, places: Sequence[int]) -> Guess:
    table = like.table
    rows = [
        row
        for row in range(heads + 1, len(table.rows) + 1)
        if (name := table.cell(row, names)) and not tells_figures(name) and not BATCH.fullmatch(name)
    ][: LOOKED_AT * 4]
    down = sum(_comes_out([table.cell(row, place) for row in rows]) for place in places)
    across = sum(_comes_out([table.cell(row, place) for place in places]) for row in rows)
    by_columns, by_rows = down > 1 and down * 2 >= len(places), across > 1 and across * 2 >= len(rows)
    corner = role_of(table.cell(heads, names), FORMULAS)
    in_rows = by_rows if by_columns != by_rows else corner == "formula"
    sure = BY_SUMS if by_columns or by_rows else BY_PERCENT if _in_percent(table, heads, places) else BY_LOOKS
    kept = ("batch",) if in_rows else ("stage",)
    roles = [role_of(table.cell(heads, place), FORMULAS) for place in range(min(table.width, MOST_COLUMNS))]
    roles = [one if one in kept and one not in roles[:place] else "" for place, one in enumerate(roles)]
    roles[names] = "formula" if in_rows else "ingredient"
    for place in places:
        roles[place] = OF_INGREDIENT if in_rows else OF_FORMULA
    return Guess(Layout(FORMULAS, heads, tuple(roles)), sure)


def _in_percent(table: OwnTable, heads: int, places: Sequence[int]) -> bool:
    """Whether most heads, or most cells, say percent. Grams alone say nothing: stock is written so too."""
    said = sum(named_in(table.cell(heads, place))[1] == "%" for place in places)
    below = range(heads + 1, min(len(table.rows), heads + LOOKED_AT) + 1)
    filled = [text for row in below for place in places if (text := table.cell(row, place)) not in BLANK]
    return said * 2 > len(places) or sum(sort_of(one) == "percent" for one in filled) * 2 > len(filled)


def _comes_out(texts: Sequence[str]) -> bool:
    """Whether amounts come to a hundred or to one, or one of them takes the rest."""
    filled = [text for text in texts if text not in BLANK]
    values = [value for text in filled if (value := _rough(text)) is not None]
    total = sum(values, ZERO)
    if any(map(cells.is_rest, filled)):
        return ZERO < total < 100 and len(filled) > 1
    near = _NEAR_HUNDRED[0] <= total <= _NEAR_HUNDRED[1] or NEAR_ONE[0] <= total <= NEAR_ONE[1]
    return len(values) > 1 and near


def _rough(text: str) -> Decimal | None:
    """The number of a cell, for a guess only."""
    if cells.is_rest(text):
        return None
    try:
        return measured(text, Told(sign=".", system="US"), "").value * ONE
    except (Unreadable, cells.Doubt):
        return None
