"""The product line: one row for each product and channel, and what they add up to a month."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.asking import AskedNow, WithWorkings
from webapp.api.interface import Interface
from webapp.api.things import Paged
from webapp.costing.line import Row, known_totals, left_out, totals
from webapp.costing.line_order import NAME, PARTS, SORTS, part_of, sorted_by
from webapp.errors import Fault, Unprocessable

router = Interface()
#: all workings of one row may be half a megabyte
MOST_WITH_WORKINGS = 10


@dataclass(frozen=True, slots=True)
class Part:
    """Which rows of the line are asked for, and in which order."""

    sort: str
    down: bool
    only: str
    channel: int | None

    def of(self, rows: Sequence[Row]) -> list[Row]:
        """Those rows, in that order."""
        return sorted_by(part_of(rows, self.only, self.channel), self.sort, down=self.down)


def part_now(
    asked: AskedNow,
    *,
    sort: Annotated[str, Query(description=f"One of: {', '.join(SORTS)}. What is not known comes last.")] = NAME,
    down: Annotated[bool, Query(description="The largest first.")] = False,
    only: Annotated[str, Query(description=f"One of: {', '.join(PARTS)}. Nothing: all of it.")] = "",
    channel: Annotated[str, Query(description="The number of a channel. Nothing: all of them.")] = "",
) -> Part:
    """What the address asks for. Unprocessable where it asks for what there is not."""
    faults = []
    if sort not in SORTS:
        faults.append(Fault("sort", "choice", f"Sort by one of: {', '.join(SORTS)}."))
    if only not in ("", *PARTS):
        faults.append(Fault("only", "choice", f"Ask for one of: {', '.join(PARTS)}. Leave it out for all of it."))
    known = {str(ident): ident for ident in asked.book.channels}
    if channel and channel not in known:
        faults.append(
            Fault("channel", "reference", "There is no such channel. Send the number of one, or leave it out.")
        )
    if faults:
        raise Unprocessable(faults)
    return Part(sort, down, only, known.get(channel))


PartNow = Annotated[Part, Depends(part_now)]


@router.get("/line", tags=["line"], summary="The product line", operation_id="get_line")
def line(asked: AskedNow, part: PartNow, window: Paged, workings: WithWorkings = False) -> Response:
    """The rows that are asked for, with the totals of all of those.

    A row that sells and can't be worked out makes `totals` missing, by its name. `left_out` names all such rows with
    their reason, and `known_totals` are the totals of the others.
    """
    if workings and window.size > MOST_WITH_WORKINGS:
        sentence = f"With workings ask for at most {MOST_WITH_WORKINGS} rows on a page, or for a figure's own address."
        raise Unprocessable([Fault("page_size", "too-many", sentence)])
    every = asked.reckoning.line()
    rows = part.of(every)
    names = asked.book.products
    items = [
        {"product_name": names[row.product].name, **answers.row(asked, row, workings=workings)}
        for row in window.part(rows)
    ]
    lacking = [{"product": row.product, "channel": row.channel, **answers.value(gap)} for row, gap in left_out(rows)]
    summed = asked.reckoning.totals if len(rows) == len(every) else totals(asked.book, rows)
    known = known_totals(asked.book, rows)
    told = {"totals": answers.value(summed), "known_totals": answers.value(known), "left_out": lacking}
    return JSONResponse({**window.told(items, len(rows)), **told})
