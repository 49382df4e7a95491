"""Materials that a maker's own sheets name more than once: nothing counts twice, and of two prices none by place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from webapp.costing.limits import name_key
from webapp.costing.own.columns import OwnTable
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.plan import PAID, How
from webapp.costing.own.rows import Skipped, Wrong

Key = tuple[str, str, object]


def once_each(
    tables: Sequence[OwnTable], rows: Sequence[MaterialRow], how: How
) -> tuple[list[MaterialRow], list[Skipped], tuple[tuple[str, str], ...]]:
    """The rows of all sheets, those that say once more what an earlier sheet says, and sheets that contradict another.

    A row that contradicts an earlier one is at fault: it is left out, or its name is changed. Where most rows of a
    sheet do so, it is asked which of the two sheets counts. What was paid twice in one order is one pack more of it.
    """
    first: dict[Key, MaterialRow] = {}
    found: list[tuple[MaterialRow, MaterialRow | None]] = []
    passed: list[Skipped] = []
    twice = _written_twice(rows)
    for row in rows:
        before = first.setdefault(_key(row), row) if row.name else row
        if before is row:
            found.append((row, None))
        elif before.sheet != row.sheet and _same(before, row):
            words = f"the same as in {tables[before.sheet].title}, row {before.row}"
            passed.append(Skipped(row.sheet, row.row, words, row.name[:60]))
        elif _is_one_more(tables, row, before, how) and _order_of(row) not in twice:
            found.append((_one_more(row, before), None))
        else:
            found.append((row, before))
    asked = dict(_contradicting(tables, found))
    either = {id(one) for row, before in found if before is not None for one in (row, before)}
    kept = [
        _at_fault(tables, _without_notes(row), before) if before else _without_notes(row) if id(row) in either else row
        for row, before in found
        if before is None or (row.sheet, before.sheet) not in asked
    ]
    return kept, passed, tuple((f"sheets-{sheet}-holds", words) for (sheet, _), words in asked.items())


def _without_notes(row: MaterialRow) -> MaterialRow:
    """A row of which it is asked first whether it counts at all; its notes are said there."""
    return replace(row, notes=(), wrong=tuple(one for one in row.wrong if not one.choice.startswith("note-")))


def _key(row: MaterialRow) -> Key:
    return name_key(row.name), name_key(row.supplier), row.day


def _same(one: MaterialRow, other: MaterialRow) -> bool:
    """Whether two rows say the same price of the same pack, or the later one says none."""
    if other.price is None and other.size is None and not other.wrong:
        return True
    return (one.price, one.size, one.unit, one.packs, one.currency) == (
        other.price, other.size, other.unit, other.packs, other.currency,
    )  # fmt: skip


def _order_of(row: MaterialRow) -> tuple[object, ...]:
    return row.sheet, name_key(row.supplier), row.day


def _written_twice(rows: Sequence[MaterialRow]) -> set[tuple[object, ...]]:
    """The orders of several materials that stand in their sheet twice, line for line: one more is seldom all of it."""
    lines: dict[tuple[object, ...], Counter[str]] = {}
    for row in rows:
        lines.setdefault(_order_of(row), Counter())[name_key(row.name)] += 1
    return {order for order, names in lines.items() if len(names) > 1 and min(names.values()) > 1}


def _is_one_more(tables: Sequence[OwnTable], row: MaterialRow, before: MaterialRow, how: How) -> bool:
    """Whether a row says of its order what an earlier one says, as people write down a second bottle of it."""
    of_order = how.prices == PAID and (row.supplier or how.supplier) and (row.day or how.day)
    struck = {before.row, row.row} & tables[row.sheet].struck
    alike = (row.tax_rate, row.tax_in) == (before.tax_rate, before.tax_in) and _same(before, row)
    return bool(of_order and row.sheet == before.sheet and row.price is not None and alike and not struck)


def _one_more(row: MaterialRow, before: MaterialRow) -> MaterialRow:
    said = f"The same stands in row {before.row}: read as one more that was bought with it. Leave it out if it is not."
    return replace(row, remarks=(*row.remarks, said))


def _contradicting(
    tables: Sequence[OwnTable], found: Sequence[tuple[MaterialRow, MaterialRow | None]]
) -> list[tuple[tuple[int, int], str]]:
    """The sheets of which more than half of the rows contradict an earlier sheet, with what is asked of them."""
    pairs: dict[tuple[int, int], list[tuple[MaterialRow, MaterialRow]]] = {}
    for row, before in found:
        if before is not None and before.sheet != row.sheet:
            pairs.setdefault((row.sheet, before.sheet), []).append((row, before))
    asked = []
    for (sheet, other), those in pairs.items():
        row, before = those[0]
        if len(those) > 1 and len(those) * 2 > sum(one.sheet == sheet for one, _ in found):
            here, there = tables[sheet].title, tables[other].title
            where = f"{row.name}: row {before.row} there, row {row.row} here"
            words = (
                f"{len(those)} materials stand in {there} and in {here} with other prices or packs ({where}). Which of "
                "the two sheets counts? Say of the other that it holds nothing that is wanted, or give both a column "
                "of days: then the later price counts."
            )
            asked.append(((sheet, other), words))
    return asked


def _at_fault(tables: Sequence[OwnTable], row: MaterialRow, before: MaterialRow) -> MaterialRow:
    at = f"row {before.row}" if before.sheet == row.sheet else f"{tables[before.sheet].title}, row {before.row},"
    if before.beside:
        at = f"{at.removesuffix(',')} (\u201c{before.beside}\u201d)"
    words = (
        f"{row.name} stands in {at} already, with {'the same' if _same(before, row) else 'another'} pack and price. "
        "Leave one of them out, or call it something else."
    )
    return replace(
        row, wrong=(*row.wrong, Wrong(row.sheet, row.row, 0, row.name, words, other=(before.sheet, before.row)))
    )
