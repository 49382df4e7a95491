"""Densities on a tab of their own: which sheet is one, and what it says for the rows that have a price.

Such a row is no material beside that of its price, and it is nothing that stands there once more: what one mL weighs
is put beside the price, and said there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from webapp.costing.called import Known, Names, written_alike
from webapp.costing.own.columns import ABOVE, MATERIALS, MOST_COLUMNS, Layout, OwnTable, known_role, sort_of
from webapp.costing.own.densities import is_density
from webapp.costing.own.materials import MaterialRow
from webapp.costing.own.rows import Skipped, Wrong, mark_of
from webapp.costing.own.written import Written

_NUMBERS = frozenset(("number", "amount", "percent", "money"))


def density_tab(table: OwnTable) -> Layout | None:
    """A sheet of names and one column of numbers, whose head, title or first words say a density; else None."""
    with_numbers = [place for place in range(min(table.width, MOST_COLUMNS)) if _numbers(table, place)]
    if len(with_numbers) != 1:
        return None
    values = with_numbers[0]
    rows = _numbers(table, values)
    named = [row for row in range(1, min(rows[0], table.begins + ABOVE + 1)) if _names_density(table, row)]
    if not named and not is_density(table.title):
        return None
    heads = rows[0] - 1 if rows[0] > 1 else 0
    names = next((place for place in range(values) if all(table.cell(row, place) for row in rows)), None)
    if names is None or any(sort_of(table.cell(row, names)) != "text" for row in rows):
        return None
    roles = [known_role(table.cell(heads, place), MATERIALS) if heads else "" for place in range(values + 1)]
    roles = [role if role == "inci" else "" for role in roles]
    roles[names], roles[values] = "name", "density"
    return Layout(MATERIALS, heads, tuple(roles))


def _numbers(table: OwnTable, place: int) -> list[int]:
    """The rows in which a column has a number, alone or with a unit behind it."""
    return [row for row in range(1, len(table.rows) + 1) if sort_of(table.cell(row, place)) in _NUMBERS]


def _names_density(table: OwnTable, row: int) -> bool:
    return any(is_density(table.cell(row, place)) for place in range(table.width))


def with_densities(
    tables: Sequence[OwnTable],
    layouts: Sequence[Layout],
    rows: Sequence[MaterialRow],
    means: Mapping[str, str],
    written: Written,
) -> tuple[list[MaterialRow], list[MaterialRow], list[Skipped]]:
    """The rows with the densities that others say of them, those others that are of nothing here, and those taken.

    What is of nothing here has the names that it may be; of two densities for one thing the second is wrong.
    """
    dense = [row for row in rows if _says_density_alone(layouts[row.sheet], row)]
    if not dense:
        return list(rows), [], []
    others = [row for row in rows if row not in dense]
    names = Names(
        tuple(Known(key, name) for key, name in {written_alike(one.name): one.name for one in others}.items())
    )
    found: dict[str, MaterialRow] = {}
    alone: list[MaterialRow] = []
    passed: list[Skipped] = []
    for row in dense:
        meant = names.meant_alike(means.get(mark_of(row.name), "") or row.name)
        key = meant.value or written_alike(row.name)
        first = found.setdefault(key, row)
        if row.wrong or first.density != row.density:
            alone.append(row if row.wrong else _contradicts(tables, row, first))
        elif meant.value:
            passed.append(Skipped(row.sheet, row.row, f"a density, taken for {names.name_of(key)}", row.name[:60]))
        elif first is row:
            alone.append(replace(row, near=meant.near))
        else:
            passed.append(Skipped(row.sheet, row.row, f"the same density as in row {first.row}", row.name[:60]))
    said: set[str] = set()
    kept = []
    for row in others:
        key = written_alike(row.name)
        kept.append(_weighed(tables, row, found.get(key), written, say=key not in said))
        said.add(key)
    return kept, alone, passed


def _says_density_alone(layout: Layout, row: MaterialRow) -> bool:
    """Whether a row says what one mL weighs, or should, and neither a pack nor a price."""
    place = layout.place("density")
    wrong = any(one.column == place for one in row.wrong)
    return place is not None and bool(row.name) and row.price is row.size is None and (row.density is not None or wrong)


def _weighed(
    tables: Sequence[OwnTable], row: MaterialRow, dense: MaterialRow | None, written: Written, *, say: bool
) -> MaterialRow:
    """A row with the density that stands elsewhere; one of its own counts before that, and a difference is said."""
    if dense is None or dense.density is None or dense.wrong or row.density == dense.density:
        return row
    where, value = f"{tables[dense.sheet].title}, row {dense.row}", written.number(dense.density)
    if row.density is not None:
        words = f"{where} says a density of {value} g/mL; the one in this row counts."
        return replace(row, remarks=(*row.remarks, words))
    more = (f"Density {value} g/mL: {where}.",) if say else ()
    return replace(row, density=dense.density, inci=row.inci or dense.inci, remarks=(*row.remarks, *more))


def _contradicts(tables: Sequence[OwnTable], row: MaterialRow, first: MaterialRow) -> MaterialRow:
    where = f"row {first.row}" if first.sheet == row.sheet else f"{tables[first.sheet].title}, row {first.row},"
    words = f"{row.name} stands in {where} already, with another density. Leave one of them out."
    return replace(row, wrong=(*row.wrong, Wrong(row.sheet, row.row, 0, row.name, words)))
