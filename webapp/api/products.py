"""The cost sheet and the prices of products, facts about a product on a channel, and the workings of figures."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers, examples, schemas
from webapp.api.asking import Asked, AskedNow, ChannelIdent, Ident, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.things import again, body_of, entered, stored
from webapp.costing import formula_working, jar_working
from webapp.costing.book import PAIRS
from webapp.costing.changes import Put, Withdraw
from webapp.costing.entry import read
from webapp.costing.limits import DAY
from webapp.costing.shapes import Field, Shape
from webapp.errors import Fault, NotFound, Unprocessable

router = APIRouter()
FACTS = dict(PAIRS.values())
WithWorkings = Annotated[bool, Query(description="with the working of each figure")]
SINCE = Shape(dict, (Field("since", DAY),))


@router.get("/products/{ident}/sheet", tags=["products"], summary="Its cost sheet", operation_id="product_sheet")
def sheet(
    asked: AskedNow,
    ident: Ident,
    workings: Annotated[bool, Query(description="with the working of each figure")] = True,
) -> Response:
    """The cost sheet of one jar, each figure with its working."""
    asked.thing("product", ident)
    found = answers.sheet(asked, ident)
    if workings:
        named = {name: jar_working.working(asked.reckoning, ident, name) for name in jar_working.FIGURES}
        found["workings"] = {name: answers.working(one) for name, one in named.items()}
    return JSONResponse(found)


@router.get(
    "/products/{ident}/prices", tags=["products"], summary="Suggested and present prices", operation_id="product_prices"
)
def prices(asked: AskedNow, ident: Ident) -> Response:
    """On each channel: floor, suggestion, present price, the margin each gives, and their workings."""
    asked.thing("product", ident)
    rows = [{**answers.row(row), "workings": answers.row_workings(asked, row)} for row in answers.rows(asked, ident)]
    return JSONResponse({"items": rows})


@router.get(
    "/materials/{ident}/working", tags=["materials"], summary="Its cost in full", operation_id="material_working"
)
def material_working(asked: AskedNow, ident: Ident) -> Response:
    """How the cost of a material came about, down to the lines of orders."""
    asked.thing("material", ident)
    return JSONResponse(answers.working(asked.reckoning.material_working(ident)))


@router.get("/formulas/{ident}/working", tags=["formulas"], summary="Its cost in full", operation_id="formula_working")
def working_of_formula(asked: AskedNow, ident: Ident) -> Response:
    """How the cost of a gram of a formula came about."""
    asked.thing("formula", ident)
    return JSONResponse(answers.working(formula_working.working(asked.reckoning, ident)))


# --- price, target and jars a month of one product on one channel


def both(asked: Asked, product: int, channel: int) -> tuple[int, int]:
    """The pair, both of which must be there."""
    asked.thing("product", product)
    asked.thing("channel", channel)
    return product, channel


def fact(asked: Asked, kind: str, pair: tuple[int, int]) -> Response:
    """The fact that holds, with all dated ones, and its ETag."""
    held = getattr(asked.book, FACTS[kind]).get(pair)
    told = {"now": answers.record(held) if held else None}
    dated = [answers.record(one) for one in asked.store.facts(kind, pair)] if pair in _known(asked, kind) else []
    return JSONResponse({**told, "dated": dated}, headers={"ETag": asked.tag(kind, pair)})


def _known(asked: Asked, kind: str) -> set[Any]:
    return {key for one, key in asked.snapshot.moved if one == kind}


def add_fact(kind: str) -> None:
    """The routes of one kind of fact about a product on a channel."""
    path = f"/products/{{ident}}/channels/{{channel}}/{kind}"

    @router.get(path, tags=["products"], summary=f"The {kind} on a channel", operation_id=f"get_{kind}")
    def look(asked: AskedNow, ident: Ident, channel: ChannelIdent) -> Response:
        return fact(asked, kind, both(asked, ident, channel))

    @router.get(f"{path}/history", tags=["products"], summary=f"The {kind}'s history", operation_id=f"history_{kind}")
    def look_back(asked: AskedNow, ident: Ident, channel: ChannelIdent) -> Response:
        past = asked.store.history(kind, both(asked, ident, channel))
        return JSONResponse({"items": [answers.history(one) for one in past]})

    @router.put(
        path,
        tags=["products"],
        summary=f"Set the {kind} from a day on",
        operation_id=f"set_{kind}",
        openapi_extra=body_of(kind),
    )
    def put(asked: TodayNow, ident: Ident, channel: ChannelIdent, body: BodyNow, terms: TermsNow) -> Response:
        pair = both(asked, ident, channel)
        record = entered(asked, kind, body.data, {"product": ident, "channel": channel})
        stored(asked, [Put(record)], terms, body, f"{kind} saved", must_match=pair in _known(asked, kind))
        return fact(again(asked), kind, pair)

    @router.post(
        f"{path}/withdraw",
        tags=["products"],
        summary=f"Take back the {kind} of one day",
        operation_id=f"withdraw_{kind}",
        openapi_extra=_since_body(),
    )
    def withdraw(asked: TodayNow, ident: Ident, channel: ChannelIdent, body: BodyNow, terms: TermsNow) -> Response:
        pair = both(asked, ident, channel)
        since = _since(asked, body.data)
        if getattr(asked.book, FACTS[kind]).get(pair) is None:
            raise NotFound(f"There is no {kind} to take back.")
        stored(asked, [Withdraw(kind, pair, since)], terms, body, f"{kind} taken back", must_match=True)
        return fact(again(asked), kind, pair)


def _since_body() -> dict[str, Any]:
    content = {"schema": schemas.of_shape(SINCE), "example": examples.WITHDRAW}
    return {"requestBody": {"required": True, "content": {"application/json": content}}}


def _since(asked: Asked, data: Any) -> Any:
    entry = read(SINCE, data, today=asked.today)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    return entry.record["since"]


for _kind in FACTS:
    add_fact(_kind)
