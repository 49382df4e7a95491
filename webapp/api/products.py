"""The cost sheet and the prices of products, facts about a product on a channel, and the workings of figures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from fastapi import Depends, Path, Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers, examples, schemas
from webapp.api.asking import Asked, AskedNow, ChannelIdent, Ident, TodayNow, WithWorkings
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.describing import BODY, described_body
from webapp.api.interface import Interface
from webapp.api.things import entered, stored
from webapp.costing import formula_working, jar_working
from webapp.costing.book import PAIRS, Price
from webapp.costing.changes import Put, Withdraw
from webapp.costing.decisions import with_reasons
from webapp.costing.entry import read
from webapp.errors import Fault, NotFound, Unprocessable
from webapp.store.price_histories import histories

router = Interface()
FACTS = dict(PAIRS.values())
OfWhatComesOut = Annotated[bool, Query(description="of a gram that comes out, what is lost paid for")]


@router.get("/products/{ident}/sheet", tags=["products"], summary="Its cost sheet", operation_id="product_sheet")
def sheet(
    asked: AskedNow,
    ident: Ident,
    workings: WithWorkings = False,
) -> Response:
    """The cost sheet of one jar."""
    asked.thing("product", ident)
    found = answers.sheet(asked, ident)
    if workings:
        named = {name: jar_working.working(asked.reckoning, ident, name) for name in jar_working.FIGURES}
        found["workings"] = {name: answers.working(one) for name, one in named.items()}
    return JSONResponse(found)


@router.get(
    "/products/{ident}/prices", tags=["products"], summary="Suggested and present prices", operation_id="product_prices"
)
def prices(asked: AskedNow, ident: Ident, workings: WithWorkings = False) -> Response:
    """On each channel: floor, suggestion, present price, and the margin each gives."""
    asked.thing("product", ident)
    return JSONResponse({"items": [answers.row(asked, row, workings=workings) for row in answers.rows(asked, ident)]})


@router.get(
    "/products/{ident}/channels/{channel}/history",
    tags=["products"],
    summary="Price and cost over time",
    operation_id="product_channel_history",
)
def over_time(asked: AskedNow, ident: Ident, channel: ChannelIdent) -> Response:
    """What held from each day on which price, cost or fees changed, oldest first; `thinned` where days are left out."""
    asked.thing("product", ident)
    asked.thing("channel", channel)
    found = histories(asked.store, asked.snapshot, ident, channel)
    return JSONResponse({"items": answers.value(found.on[channel]), "thinned": found.thinned})


@router.get(
    "/products/{ident}/workings/{figure}", tags=["products"], summary="A figure in full", operation_id="product_working"
)
def product_working(asked: AskedNow, ident: Ident, figure: str) -> Response:
    """How one figure of the cost sheet came about."""
    asked.thing("product", ident)
    if figure not in jar_working.FIGURES:
        raise NotFound("There is no such figure.")
    return JSONResponse(answers.working(jar_working.working(asked.reckoning, ident, figure)))


@router.get("/formulas/{ident}/working", tags=["formulas"], summary="Its cost in full", operation_id="formula_working")
def working_of_formula(asked: AskedNow, ident: Ident, out: OfWhatComesOut = False) -> Response:
    """How the cost of a gram of a formula came about."""
    asked.thing("formula", ident)
    sum_of = formula_working.out_working if out else formula_working.working
    return JSONResponse(answers.working(sum_of(asked.reckoning, ident)))


# --- price, target and jars a month of one product on one channel


@dataclass(frozen=True, slots=True)
class About:
    """Which fact of which product on which channel the address names."""

    kind: str
    pair: tuple[int, int]

    def known(self, asked: Asked) -> bool:
        """Whether such a fact was ever stored for the pair. NotFound where product or channel is not there."""
        asked.thing("product", self.pair[0])
        asked.thing("channel", self.pair[1])
        return (self.kind, self.pair) in asked.snapshot.moved

    def dated(self, asked: Asked) -> tuple[Any, ...]:
        """All facts that hold from some day on, newest first."""
        return asked.store.facts(self.kind, self.pair) if self.known(asked) else ()


async def _about(
    ident: Ident, channel: ChannelIdent, fact: Annotated[str, Path(description="price, target or sales")]
) -> About:
    if fact not in FACTS:
        raise NotFound
    return About(fact, (ident, channel))


AboutNow = Annotated[About, Depends(_about)]
PATH = "/products/{ident}/channels/{channel}/{fact}"


def told(asked: Asked, about: About) -> Response:
    """The fact that holds, with all dated ones, and its ETag."""
    dated = [answers.record(one) for one in about.dated(asked)]
    held = getattr(asked.book, FACTS[about.kind]).get(about.pair)
    now = answers.record(held) if held else None
    return JSONResponse({"now": now, "dated": dated}, headers={"ETag": asked.tag(about.kind, about.pair)})


@router.get(PATH, summary="Its {fact} on a channel", operation_id="get_{fact}")
def look(asked: AskedNow, about: AboutNow) -> Response:
    """The fact that holds and all dated ones."""
    return told(asked, about)


@router.get(f"{PATH}/history", summary="The history of its {fact}", operation_id="history_{fact}")
def look_back(asked: AskedNow, about: AboutNow) -> Response:
    """Every change of it, newest first."""
    past = asked.store.history(about.kind, about.pair) if about.known(asked) else ()
    return JSONResponse({"items": [answers.history(one) for one in past]})


@router.put(PATH, summary="Set its {fact} from a day on", operation_id="set_{fact}", openapi_extra=BODY)
def put(asked: TodayNow, about: AboutNow, body: BodyNow, terms: TermsNow) -> Response:
    """Set it from a day on. If-Match is wanted for the first one too: its ETag says that there was none."""
    about.known(asked)
    record = entered(asked, about.kind, body.data, {"product": about.pair[0], "channel": about.pair[1]})
    if isinstance(record, Price):  # it keeps what was suggested and the floor when it was decided
        record = with_reasons(record, asked.reckoning.row(*about.pair))
    stored(asked, [Put(record)], terms, body, f"{about.kind} saved", must_match=True)
    return told(asked.now(), about)


@router.post(
    f"{PATH}/withdraw",
    summary="Take back the {fact} of one day",
    operation_id="withdraw_{fact}",
    openapi_extra=described_body(schemas.named("since"), examples.WITHDRAW),
)
def take_back(asked: TodayNow, about: AboutNow, body: BodyNow, terms: TermsNow) -> Response:
    """Take back what was set from one day on; what held before holds again."""
    since = since_of(asked, body.data)
    dated = about.dated(asked)
    if not terms.key and all(one.since != since for one in dated):  # with a key it may be gone by the first sending
        raise NotFound(f"There is no {about.kind} of that day to take back.")
    change = Withdraw(about.kind, about.pair, since)
    stored(asked, [change], terms, body, f"{about.kind} taken back", must_match=True)
    return told(asked.now(), about)


def since_of(asked: Asked, data: Any) -> date:
    """The day whose fact is to be taken back. Unprocessable where the body doesn't name one."""
    entry = read(schemas.SINCE, data, today=asked.today)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    found: date = entry.record["since"]
    return found
