"""When hours are short: a week's own hours filled by what contributes most for an hour. Nothing is stored."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from fastapi import Depends, Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.answers import Answer, picked, value
from webapp.api.asking import Asked, AskedNow, WithWorkings
from webapp.api.interface import Interface
from webapp.api.pay import LONGEST, read
from webapp.costing.gaps import Gap
from webapp.costing.limits import HOURS, QUANTITY_OR_NONE
from webapp.costing.ranking import Demand, Filled, Pair, Week, demands, fill, hours_a_week
from webapp.costing.ranking_working import contribution_working, hours_working, one_more_working
from webapp.errors import Fault, Unprocessable

router = Interface()
WEEK = ("hours", "used", "left", "contribution", "one_more", "whole_hours", "whole_contribution")
DEMAND = ("product", "channel", "jars", "contribution", "hours", "an_hour")
MADE = ("jars", "whole", "hours", "contribution")
SUMS = ("contribution", "used", "one_more")
MOST = 500
_JARS = Query(
    max_length=MOST,
    description="Jars that can be sold in a week, as product:channel:jars, once for each; what is sold else.",
)
SHAPE = "Write product:channel:jars, such as 12:3:40."


def _jars_now(asked: AskedNow, jars: Annotated[list[str] | None, _JARS] = None) -> dict[Pair, Decimal]:
    found: dict[Pair, Decimal] = {}
    pairs = {(str(row.product), str(row.channel)): (row.product, row.channel) for row in asked.reckoning.line()}
    for text in jars or ():
        product, _, rest = text[:LONGEST].partition(":")
        channel, _, amount = rest.partition(":")
        pair = pairs.get((product, channel))
        if pair is None:
            raise Unprocessable([Fault("jars", "reference", f"There is no such row of the line. {SHAPE}")])
        found[pair] = _amount(amount)
    return found


def _amount(text: str) -> Decimal:
    found = read("jars", QUANTITY_OR_NONE, text)
    if found is None:
        raise Unprocessable([Fault("jars", "required", SHAPE)])
    return found


JarsNow = Annotated[dict[Pair, Decimal], Depends(_jars_now)]


@router.get("/hours", tags=["line"], summary="A week's hours filled", operation_id="get_hours")
def get_hours(
    asked: AskedNow,
    jars: JarsNow,
    hours: Annotated[
        str, Query(max_length=LONGEST, description="Own hours in a week; else of those planned a month.")
    ] = "",
    workings: WithWorkings = False,
) -> Response:
    """What to make first in a week: what contributes most for an own hour, up to what can be sold.

    `ranked` stands in the order of the ranking with what is made of each, exactly and in whole jars; `without_hours`
    take none and are all made; `losing` contribute nothing; `lacking` are not known. `next` is what another hour would
    go to. `week` is a gap where nothing says how many hours there are.
    """
    typed = read("hours", HOURS, hours)
    there = hours_a_week(asked.reckoning) if typed is None else typed
    if isinstance(there, Gap):
        return JSONResponse({"week": value(there)})
    wanted = demands(asked.reckoning, jars)
    week = fill(there, wanted)
    told = _told(week)
    if workings:
        told["workings"] = _workings(asked, week, fill(there + 1, wanted))
    return JSONResponse({"week": told})


def _told(week: Week) -> Answer:
    return {
        **picked(week, WEEK),
        "ranked": [_made(one) for one in week.ranked],
        "without_hours": [_made(one) for one in week.without_hours],
        "losing": [picked(one, DEMAND) for one in week.losing],
        "lacking": [_lacking(one, gap) for one, gap in week.lacking],
        "next": None if week.next is None else picked(week.next, DEMAND),
    }


def _made(one: Filled) -> Answer:
    return {"demand": picked(one.demand, DEMAND), **picked(one, MADE)}


def _lacking(one: Demand, gap: Gap) -> Answer:
    told: Answer = {"product": one.product, "channel": one.channel, **value(gap)}
    return told


def _workings(asked: Asked, week: Week, more: Week) -> Answer:
    known = asked.reckoning
    sums = (contribution_working(known, week), hours_working(known, week), one_more_working(known, week, more))
    return {name: answers.working(one) for name, one in zip(SUMS, sums, strict=True)}
