"""The product line: one row for each product and channel, and what they add up to a month."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Any

from fastapi import Depends, Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.asking import Asked, AskedNow, WithWorkings
from webapp.api.interface import Interface
from webapp.api.things import Paged
from webapp.costing.line import known_totals, left_out, totals
from webapp.costing.line_groups import GROUPS, Group, grouped
from webapp.costing.line_order import NAME, ONLY, SORTS, Wanted
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.suggested import Explained, explained
from webapp.costing.weakest import Weak, weakest
from webapp.costing.weakest_working import working as weakest_working
from webapp.errors import Fault, Unprocessable

router = Interface()
#: all workings of one row may be half a megabyte
MOST_WITH_WORKINGS = 10
LONGEST_NAME = 80
#: what is told of a suggestion, beside which row it is
EXPLAINED = ("floor", "exact", "alone", "tag", "held_up", "suggested", "leaves", "margin_then", "asks", "conflict")
#: what is told of one of the weakest, beside which row it is and the sum behind its cause
PRESENT = ("accepted", "price", "margin", "target", "lost_a_month")
WEAK = ("distance", "since", "short_then", "cause")


async def part_now(
    asked: AskedNow,
    *,
    sort: Annotated[str, Query(description=f"One of: {', '.join(SORTS)}. What is not known comes last.")] = NAME,
    down: Annotated[bool, Query(description="The largest first.")] = False,
    only: Annotated[str, Query(description=f"One of: {', '.join(ONLY)}. Nothing: all of it.")] = "",
    channel: Annotated[str, Query(description="The number of a channel. Nothing: all of them.")] = "",
    formula: Annotated[str, Query(description="The number of a formula that is in it, anywhere.")] = "",
    product: Annotated[str, Query(description="The number of a product. Nothing: all of them.")] = "",
    find: Annotated[str, Query(max_length=LONGEST_NAME, description="Words that the product's name has in it.")] = "",
) -> Wanted:
    """What the address asks for. Unprocessable where it asks for what there is not."""
    faults = []
    if sort not in SORTS:
        faults.append(Fault("sort", "choice", f"Sort by one of: {', '.join(SORTS)}."))
    if only not in ("", *ONLY):
        faults.append(Fault("only", "choice", f"Ask for one of: {', '.join(ONLY)}. Leave it out for all of it."))
    book = asked.book
    named = {
        "channel": (channel, book.channels),
        "formula": (formula, book.formulas),
        "product": (product, book.products),
    }
    found = {word: _number(word, text, held, faults) for word, (text, held) in named.items()}
    if faults:
        raise Unprocessable(faults)
    products = frozenset() if found["product"] is None else frozenset({found["product"]})
    return Wanted(sort, down, only, found["channel"], found["formula"], find, products)


def _number(word: str, text: str, held: Mapping[int, Any], faults: list[Fault]) -> int | None:
    known = {str(ident): ident for ident in held}
    if text and text not in known:
        faults.append(Fault(word, "reference", f"There is no such {word}. Send the number of one, or leave it out."))
    return known.get(text)


PartNow = Annotated[Wanted, Depends(part_now)]


@router.get("/line", tags=["line"], summary="The product line", operation_id="get_line")
def line(
    asked: AskedNow,
    part: PartNow,
    window: Paged,
    workings: WithWorkings = False,
    group: Annotated[str, Query(description=f"One of: {', '.join(GROUPS)}. Nothing: not in groups.")] = "",
) -> Response:
    """The rows that are asked for, with the totals of all of those.

    A row that sells and can't be worked out makes `totals` missing, by its name. `left_out` names all such rows with
    their reason, and `known_totals` are the totals of the others. In groups the rows come group by group, and `groups`
    names each with the totals of all its rows that are known, on this page or not.
    """
    if group not in ("", *GROUPS):
        raise Unprocessable([Fault("group", "choice", f"Group by one of: {', '.join(GROUPS)}.")])
    if workings and window.size > MOST_WITH_WORKINGS:
        sentence = f"With workings ask for at most {MOST_WITH_WORKINGS} rows on a page, or for a figure's own address."
        raise Unprocessable([Fault("page_size", "too-many", sentence)])
    every = asked.reckoning.line()
    rows = part.of(asked.reckoning)
    groups = grouped(asked.reckoning, rows, group) if group else ()
    rows = [row for one in groups for row in one.rows] if groups else rows
    names = asked.book.products
    items = [
        {"product_name": names[row.product].name, **answers.row(asked, row, workings=workings)}
        for row in window.part(rows)
    ]
    lacking = [{"product": row.product, "channel": row.channel, **answers.value(gap)} for row, gap in left_out(rows)]
    summed = asked.reckoning.totals if len(rows) == len(every) else totals(asked.book, rows)
    known = known_totals(asked.book, rows)
    told = {"totals": answers.value(summed), "known_totals": answers.value(known), "left_out": lacking}
    return JSONResponse({**window.told(items, len(rows)), **told, "groups": [_group(one) for one in groups]})


def _group(one: Group) -> dict[str, Any]:
    totals_of = answers.value(one.totals)
    return {"things": list(one.things), "rows": len(one.rows), "totals": totals_of, "left_out": one.left_out}


def named(asked: Asked, row: Row) -> dict[str, Any]:
    """Which row it is, and its present price."""
    name = asked.book.products[row.product].name
    return {"product": row.product, "product_name": name, "channel": row.channel, **answers.picked(row, PRESENT)}


@router.get("/line/weakest", tags=["line"], summary="The weakest three, and why", operation_id="get_weakest")
def weakest_three(asked: AskedNow, part: PartNow) -> Response:
    """The three products furthest below their target, or nearest above it, each at its worst row, with the cause.

    A cause is "moved since" the price was accepted, "target raised" since, a "larger share" of the price net of tax
    than in the others, a "higher target", or the "largest part" where there is no other. `own` and `other` are the
    shares of the price. Rows without an accepted price and rows not known are counted only.
    """

    def past(day: date) -> Reckoning:
        return asked.store.snapshot(day).reckoning

    found = weakest(asked.reckoning, part.of(asked.reckoning), past)
    told = {"weakest": [_weak(asked, one) for one in found.weak], "unpriced": found.unpriced, "unknown": found.unknown}
    return JSONResponse(told)


def _weak(asked: Asked, one: Weak) -> dict[str, Any]:
    how = weakest_working(asked.reckoning, one)
    working = None if how is None else answers.working(how)
    return {**named(asked, one.row), **answers.picked(one, WEAK), "working": working}


@router.get("/line/suggested", tags=["line"], summary="Suggested prices, explained", operation_id="get_suggested")
def suggested(asked: AskedNow, part: PartNow, window: Paged) -> Response:
    """How each suggestion comes about: floor, price for the target alone, what stockists are to ask, what it leaves.

    `conflict` is what stands against it with its ways out. A price is accepted at its own address.
    """
    rows = part.of(asked.reckoning)
    items = [_explained(asked, explained(asked.reckoning, row)) for row in window.part(rows)]
    return JSONResponse(window.told(items, len(rows)))


def _explained(asked: Asked, one: Explained) -> dict[str, Any]:
    return {**named(asked, one.row), **answers.picked(one, EXPLAINED)}
