"""Formulas side by side in a maker's own sheet: a column each with ingredients down, or a row each with them across.

Only guessed here, from what the heads leave over and from sums of 100; `own.across` reads what a person then sees.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import takewhile

from webapp.costing.amounts import ONE, ZERO, Unreadable
from webapp.costing.own import cells
from webapp.costing.own.columns import (
    ABOVE,
    BLANK,
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
from webapp.costing.own.heads import (
    Column,
    holds_amounts,
    named_columns,
    paired,
    stands_beside,
    tells_figures,
    unit_alone,
    units_below,
)
from webapp.costing.own.lines import BATCH, NEAR_ONE, measured
from webapp.costing.own.rows import says_total
from webapp.costing.own.told import Told
from webapp.costing.written_units import unit_of

#: how sure a guess is: by its looks alone, by percent, by sums of 100
BY_LOOKS, BY_PERCENT, BY_SUMS = 0, 1, 2
_NEAR_HUNDRED = (Decimal("99.5"), Decimal("100.5"))


@dataclass(frozen=True, slots=True)
class Guess:
    """A layout with formulas side by side, and how sure it is."""

    layout: Layout
    sure: int
    mixed: bool = False
    """Whether its columns look mixed from what the rows name: each leaves some out, or a row says their sums."""


def side_by_side(table: OwnTable, heads: int = 0) -> Guess | None:
    """What is guessed where formulas or ingredients stand side by side; None where nothing looks like it.

    `heads` is the row in which a person says that the heads stand.
    """
    like = _Cells(table)
    rows = (heads,) if heads else range(table.begins + 1, min(len(table.rows), table.begins + ABOVE) + 1)
    best: tuple[int, bool] = (0, False)
    row, columns = 0, dict[int, Column]()
    for one in rows:
        found = dict(like.columns(one))
        rank = (len(found), bool(found) and like.says_names(one, min(found)))
        if rank > best:
            best, row, columns = rank, one, found
    names = like.names(row, tuple(columns)) if like.several(row, columns) else None
    return None if names is None else _guess(like, row, names, columns)


@dataclass(frozen=True, slots=True)
class _Cells:
    """The cells of a sheet as they look."""

    table: OwnTable

    def columns(self, row: int) -> Iterable[tuple[int, Column]]:
        """The columns whose head in that row says nothing that is known, with amounts below, and grams beside them."""
        named = named_columns(self.table, row)
        sure = dict(self._amounts(row, named))
        names = {name for name, _ in sure.values()}
        for place, column in named.items():
            if place in sure or (column.unit and column.name in names and self._holds_anything(row, place)):
                yield place, column

    def _holds_anything(self, row: int, place: int) -> bool:
        below = range(max(row, units_below(self.table, row)) + 1, len(self.table.rows) + 1)
        return any(self.table.cell(one, place) not in BLANK for one in below)

    def _amounts(self, row: int, named: Mapping[int, Column]) -> Iterable[tuple[int, Column]]:
        for place, column in named.items():
            name, unit = column
            if len(name) > 120 or tells_figures(name) or stands_beside(name) or not self._may_name(row, place, column):
                continue
            said = role_of(name, FORMULAS) or (role_of(self.table.cell(row, place), FORMULAS) if not unit else "")
            ends_in_unit = not unit and " " in name and bool(unit_of(name.rpartition(" ")[2]))
            if not said and not ends_in_unit and holds_amounts(self.table, row, place):
                yield place, column

    def _may_name(self, row: int, place: int, column: Column) -> bool:
        """Whether a head may name a formula: by words.

        A number or a day right of a head of names does where it has a unit, or its column comes to a hundred.
        """
        sort = sort_of(column.name)
        if sort not in ("number", "day") or not self.says_names(row, place):
            return sort == "text"
        below = range(row + 1, len(self.table.rows) + 1)
        lines = takewhile(lambda one: not any(says_total(words_of(text)) for text in self.table.rows[one - 1]), below)
        return bool(column.unit) or _comes_out([self.table.cell(one, place) for one in lines])

    def several(self, row: int, columns: Mapping[int, Column]) -> bool:
        """Whether there is more than one name, or one over two columns that a list does not have."""
        listed = all(unit_alone(self.table.cell(row, place)) for place in columns)
        return len({name for name, _ in columns.values()}) > 1 or bool(paired(columns, tuple(columns)) and not listed)

    def says_names(self, row: int, first: int) -> bool:
        """Whether a head left of the amounts says that names stand below it."""
        return any(
            role_of(self.table.cell(row, place), FORMULAS) in ("ingredient", "formula") for place in range(first)
        )

    def names(self, row: int, places: Sequence[int]) -> int | None:
        """The column with the names of what stands in the rows: left of the amounts, by its head or its words."""
        left = range(min(places))
        said = [place for place in left if role_of(self.table.cell(row, place), FORMULAS) in ("ingredient", "formula")]
        wordy = [place for place in left if self._holds_words(row, place)]
        return next(iter((*said, *wordy)), None)

    def _holds_words(self, row: int, place: int) -> bool:
        below = (self.table.cell(one, place) for one in range(row + 1, min(len(self.table.rows), row + LOOKED_AT) + 1))
        filled = [text for text in below if text]
        head = self.table.cell(row, place)
        known = role_of(head, FORMULAS) and not unit_alone(head)  # "Grams" over the names is of all amounts
        return not known and len(filled) > 1 and sum(sort_of(text) == "text" for text in filled) * 2 > len(filled)


def _guess(like: _Cells, heads: int, names: int, columns: Mapping[int, Column]) -> Guess:
    table = like.table
    beside = paired(columns, tuple(columns))
    places = tuple(place for place in columns if place not in beside.values())
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
    percent = _in_percent(table, heads, {place: columns[place] for place in places})
    percent = percent or bool(unit_alone(table.cell(heads, names)))
    sure = BY_SUMS if by_columns or by_rows else BY_PERCENT if percent else BY_LOOKS
    kept = ("batch",) if in_rows else ("stage", "unit_price")
    roles = [_beside_them(table.cell(heads, place)) for place in range(min(table.width, MOST_COLUMNS))]
    roles = [one if one in kept and one not in roles[:place] else "" for place, one in enumerate(roles)]
    roles[names] = "formula" if in_rows else "ingredient"
    for place in (*_first_of_each(columns, places, beside), *(() if in_rows else beside.values())):
        roles[place] = OF_INGREDIENT if in_rows else OF_FORMULA
    return Guess(Layout(FORMULAS, heads, tuple(roles)), sure, not in_rows and _are_mixed(table, rows, names, places))


def _beside_them(head: str) -> str:
    """What a column beside the amounts holds: a price for one kg too, also where its head calls that a cost."""
    return "unit_price" if role_of(head, MATERIALS) == "unit_price" else role_of(head, FORMULAS)


def _are_mixed(table: OwnTable, rows: Sequence[int], names: int, places: Sequence[int]) -> bool:
    """Whether most columns leave out some of the rows that others have, or a total below most of them is their sum."""
    if not rows:
        return False
    filled = [one for row in rows if any(one := [table.cell(row, place) not in BLANK for place in places])]
    gaps = sum(1 < sum(column) < len(filled) for column in zip(*filled, strict=True))
    total = next(
        (row for row in range(rows[0], len(table.rows) + 1) if says_total(words_of(table.cell(row, names)))), 0
    )
    totals = sum(_is_sum(table, rows, total, place) for place in places) if total else 0
    return gaps * 2 > len(places) or totals * 2 > len(places)


def _is_sum(table: OwnTable, rows: Iterable[int], total: int, place: int) -> bool:
    """Whether a cell is the sum of those above it."""
    values = [value for row in rows if row < total and (value := rough(table.cell(row, place))) is not None]
    return bool(values) and rough(table.cell(total, place)) == sum(values, ZERO)


def beside_prices(table: OwnTable, layout: Layout) -> Layout | None:
    """Formulas side by side in columns that a sheet of materials leaves out; None where there are not two of them.

    They look mixed from its materials, or come to a hundred: numbers that all rows have may be anything.
    """
    place = next((one for role in ("name", "inci") if (one := layout.place(role)) is not None), None)
    found = side_by_side(table, layout.heads) if layout.heads and place is not None else None
    if found is None or not (found.mixed or found.sure == BY_SUMS):
        return None
    taken = {one for one, role in enumerate(layout.roles) if role}
    roles = ["" if one in taken or role != OF_FORMULA else role for one, role in enumerate(found.layout.roles)]
    if place is None or roles.count(OF_FORMULA) < 2:
        return None
    roles[place] = "ingredient"
    return Layout(FORMULAS, layout.heads, tuple(roles))


def is_figure(name: str) -> bool:
    """Whether the name of a row says a figure of the formulas beside the prices: a cost, a total, a batch."""
    return tells_figures(name) or bool(BATCH.fullmatch(name))


def _first_of_each(columns: Mapping[int, Column], places: Sequence[int], beside: Mapping[int, int]) -> Iterable[int]:
    """The columns without more weights of a formula that has two columns: those are left out, and seen to be."""
    named = {columns[place].name for place in beside}
    return (place for place in places if place in beside or columns[place].name not in named)


def _in_percent(table: OwnTable, heads: int, columns: Mapping[int, Column]) -> bool:
    """Whether most heads, or most cells, say percent. Grams alone say nothing: stock is written so too."""
    said = sum(unit == "%" for _, unit in columns.values())
    below = range(heads + 1, min(len(table.rows), heads + LOOKED_AT) + 1)
    filled = [text for row in below for place in columns if (text := table.cell(row, place)) not in BLANK]
    return said * 2 > len(columns) or sum(sort_of(one) == "percent" for one in filled) * 2 > len(filled)


def _comes_out(texts: Sequence[str]) -> bool:
    """Whether amounts come to a hundred or to one, or one of them takes the rest."""
    filled = [text for text in texts if text not in BLANK]
    values = [value for text in filled if (value := rough(text)) is not None]
    total = sum(values, ZERO)
    if any(map(cells.is_rest, filled)):
        return ZERO < total < 100 and len(filled) > 1
    near = _NEAR_HUNDRED[0] <= total <= _NEAR_HUNDRED[1] or NEAR_ONE[0] <= total <= NEAR_ONE[1]
    return len(values) > 1 and near


def rough(text: str, sign: str = "") -> Decimal | None:
    """The number of a cell whose decimals are written with `sign` (else a point), for a guess or a sum."""
    if cells.is_rest(text):
        return None
    try:
        return measured(text, Told(sign=sign or ".", system="US"), "").value * ONE
    except (Unreadable, cells.Doubt):
        return None
