"""The schemas of what is answered about the product line."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from webapp.api import line, lowering, rises, waterfall
from webapp.api.answered import components
from webapp.api.schemas import Schema, named
from webapp.api.typed_schemas import FIGURE, NULL, TEXT, WHOLE, exactly, joined, of_fields, of_type, paged, several
from webapp.costing.batch_sizes import BatchSizes, Size
from webapp.costing.line import Totals
from webapp.costing.lowering import Lowering
from webapp.costing.rises import Rise
from webapp.costing.rows import Row
from webapp.costing.suggested import Explained
from webapp.costing.waterfall import Move
from webapp.costing.weakest import Weak


def _line(_: str) -> Schema:
    row = joined(components()["row"], ("workings",), product_name=TEXT)
    left_out = joined(components()["gap"], product=WHOLE, channel=WHOLE)
    known = {"anyOf": [of_type(Totals), NULL]}
    groups = exactly({"things": several(WHOLE), "rows": WHOLE, "totals": of_type(Totals), "left_out": WHOLE})
    told = {"totals": of_type(Totals), "known_totals": known, "left_out": several(left_out), "groups": several(groups)}
    return paged(row, **told)


def _of_line(kind: type[Any], names: Iterable[str]) -> Schema:
    row = of_fields(Row, line.PRESENT)
    return joined(row, **of_fields(kind, names)["properties"], product=WHOLE, product_name=TEXT, channel=WHOLE)


def _suggested(_: str) -> Schema:
    return paged(_of_line(Explained, line.EXPLAINED))


def _weakest(_: str) -> Schema:
    weak = joined(_of_line(Weak, line.WEAK), working={"anyOf": [named("working"), NULL]})
    return exactly({"weakest": several(weak), "unpriced": WHOLE, "unknown": WHOLE})


def _why(_: str) -> Schema:
    side = of_fields(Row, waterfall.SIDE)
    move = joined(of_fields(Move, waterfall.MOVED), ("working",), words=TEXT, working=named("working"))
    days = {"since": of_type(date), "day": of_type(date)}
    moved = of_fields(Move, ("profit", "margin"))["properties"]
    told = exactly(
        {**days, "then": side, "now": side, "moves": several(move), **moved, "priced_as_now": several(WHOLE)}
    )
    return {"anyOf": [told, components()["gap"]]}


def _room(_: str) -> Schema:
    rise = joined(of_fields(Rise, rises.RISE), ("working",), name=TEXT, working=named("working"))
    return exactly({"items": several(rise), "spare": FIGURE})


def _lower(_: str) -> Schema:
    one = joined(of_fields(Lowering, lowering.LOWERING), ("working",), working=named("working"))
    return exactly({"items": several(one), "cost": FIGURE})


def _batches(_: str) -> Schema:
    size = of_fields(Size, lowering.SIZE)
    told = {"present": size, "sizes": several(size), "steps": several(size), "cheapest": size}
    whole = of_fields(BatchSizes, ("most", "pot", "thinned"))
    return {"anyOf": [joined(whole, **told), components()["gap"]]}


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "get_line": _line,
    "get_suggested": _suggested,
    "get_weakest": _weakest,
    "why_margin_moved": _why,
    "product_room": _room,
    "product_lower": _lower,
    "product_batches": _batches,
}
