"""Rows with a price and no pack that may be a cost of their order: said by one press for all rows of a name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from webapp.costing.limits import name_key
from webapp.costing.own.money_rows import FOR_HOW_MUCH, OF_ORDER
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import Wrong, place_of
from webapp.pages.data.own_shown import LineView, shortened

_PRESSED = "cost-"
#: how many rows are said to be such a cost by one press
_MOST = 40


def costs_offered(reading: OwnReading) -> dict[str, LineView]:
    """For the first cell of each name that may be a cost of its order what the press is called, and what it sends."""
    named: dict[tuple[int, str], list[Wrong]] = {}
    for one in reading.wrong:
        if one.sentence == FOR_HOW_MUCH:
            named.setdefault((one.sheet, name_key(_name(reading, one)) or one.mark), []).append(one)
    return {rows[0].mark: _offered(reading, rows[:_MOST]) for rows in named.values()}


def _offered(reading: OwnReading, rows: list[Wrong]) -> LineView:
    name = shortened(_name(reading, rows[0]) or f"row {rows[0].row}", 40)
    which = f"{name} is a cost of its order" if len(rows) == 1 else f"All {len(rows)} {name} are costs of their orders"
    return LineView(_PRESSED + ".".join(one.mark for one in rows), rows[0].row, f"{which}, shared over it")


def _name(reading: OwnReading, wrong: Wrong) -> str:
    place = reading.layouts[wrong.sheet].place("name")
    return "" if place is None else reading.tables[wrong.sheet].cell(wrong.row, place)


def pressed(data: Mapping[str, Any], more: str) -> dict[str, Any]:
    """What was sent, with the cells that were said by a press to be of a cost of their order."""
    marks = more.removeprefix(_PRESSED).split(".")[:_MOST] if more.startswith(_PRESSED) else ()
    said = {one: OF_ORDER for one in marks if place_of(one)}
    typed = data.get("fix")
    return {**data, "fix": {**(typed if isinstance(typed, Mapping) else {}), **said}} if said else dict(data)
