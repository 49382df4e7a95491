"""Many things at once, and one from another: starting prices as a list, copies, the example workshop."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.responses import JSONResponse, Response

from webapp import example
from webapp.api import acts
from webapp.api.answers import with_figures
from webapp.api.asking import Asked, Ident, TodayNow
from webapp.api.bodies import BodyNow, NoBody, TermsNow
from webapp.api.describing import ACT, COPIED
from webapp.api.interface import Interface
from webapp.api.things import NEW_ID, STEM_OF, Kind, one, stored
from webapp.costing.book import Material, StartingPrice
from webapp.costing.called import Names, known
from webapp.costing.changes import Put
from webapp.costing.checks import faults_of
from webapp.costing.limits import name_key
from webapp.costing.pasted_lines import SAID, Reading, Row, read_lines
from webapp.costing.sheets import cut
from webapp.errors import Conflict, Fault, NotFound, Unprocessable

router = Interface()
STARTING = "/materials/starting-prices"


# --- starting prices: all lines or none


def starting_puts(asked: Asked, data: Any) -> list[Put]:
    """Every line as a material with its starting price; one that has the name already gets the price."""
    held = {name_key(one.name): one for one in asked.book.materials.values()}
    seen: set[str] = set()
    puts, faults = [], []
    for place, line in enumerate(acts.taken(asked, "starting_prices", data).lines):
        key, at = name_key(line.name), f"lines-{place}"
        if key in seen:
            faults.append(Fault(f"{at}-name", "duplicate", "This name stands on an earlier line already."))
        seen.add(key)
        record = with_start(held.get(key), line, -1 - place)
        faults += [Fault(field_of(at, one.field), one.code, one.sentence) for one in faults_of(asked.book, record)]
        puts.append(Put(record))
    if faults:
        raise Unprocessable(faults)
    return puts


def with_start(known: Material | None, line: acts.StartingLine, ident: int) -> Material:
    """The material with its starting price: a new one where the name is not known."""
    starting = StartingPrice(line.amount, line.unit)
    if known is not None:
        return replace(known, starting=starting)
    kind = line.kind or ("packaging" if line.unit == "pieces" else "ingredient")
    return Material(ident, line.name, kind=kind, starting=starting)


def field_of(at: str, field: str) -> str:
    """A field of a material as the line calls it."""
    return f"{at}-{field.removeprefix('starting-')}" if field else at


@router.post(
    f"{STARTING}/preview",
    tags=["materials"],
    summary="What a list of starting prices would enter; nothing is stored",
    operation_id="preview_starting_prices",
    openapi_extra=acts.taking("starting_prices"),
)
def preview_starting_prices(asked: TodayNow, body: BodyNow) -> Response:
    """Which materials are new and which get a price. Its ETag is wanted where a list has materials that are known."""
    items = [
        {"name": put.record.name, "new": put.record.id < 0, "kind": put.record.kind}  # type: ignore[union-attr]
        for put in starting_puts(asked, body.data)
    ]
    return JSONResponse({"items": items}, headers={"ETag": asked.whole_tag})


@router.post(
    STARTING,
    tags=["materials"],
    summary="Enter starting prices as a list",
    operation_id="starting_prices",
    status_code=201,
    openapi_extra=acts.taking("starting_prices"),
)
def starting_prices(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """All lines or none. Where a material of that name is known, send If-Match with the preview's ETag."""
    puts = starting_puts(asked, body.data)
    known = any(put.record.id > 0 for put in puts)  # type: ignore[union-attr]
    saved = stored(asked, puts, terms, body, f"{len(puts)} starting prices saved", must_match=known)
    now = asked.now()
    idents = [saved.real(put.record.id) for put in puts]  # type: ignore[union-attr]
    items = [with_figures(now, "material", now.thing("material", ident)) for ident in idents]
    return JSONResponse({"items": items}, 201)


# --- lines of an order from a sheet


@router.post(
    "/orders/lines/reading",
    tags=["orders"],
    summary="Lines of an order from a pasted sheet; nothing is stored",
    operation_id="read_order_lines",
    openapi_extra=acts.taking("pasted_lines"),
)
def read_order_lines(asked: TodayNow, body: BodyNow) -> Response:
    """Each row as a line, or its faults. Tabs, semicolons or commas part cells, heads say what the columns hold.

    What the sheet leaves open (a decimal sign, a column) is a fault of the whole: send it again with what was chosen.
    """
    told = acts.taken(asked, "pasted_lines", body.data)
    names = Names(known(asked.book.materials.values()))
    chosen = tuple(one.holds for one in told.columns)
    found = read_lines(cut(told.text), names, told.sign, chosen, told.heads)
    rows = [pasted_row(row) for row in found.rows]
    return JSONResponse(
        {
            "good": found.good,
            "columns": [{"head": head, "holds": role} for head, role in zip(heads_of(found), found.roles, strict=True)],
            "sign": found.sign.sign,
            "rows": rows,
            "faults": [{"field": at, "sentence": words} for at, words in found.faults],
            "remarks": list(found.remarks),
        }
    )


def heads_of(found: Reading) -> tuple[str, ...]:
    """The head of each column; "" where the sheet has none."""
    return (*found.heads, *("" for _ in found.roles))[: len(found.roles)]


def pasted_row(row: Row) -> dict[str, Any]:
    """One row: the number of its material or null, and the amounts that were read as text or null."""
    return {
        "line": row.number,
        "material": int(row.material) if row.material else None,
        "name": row.name,
        **{role: row.texts.get(role) for role in SAID},
        "faults": [{"field": at, "sentence": words} for at, words in row.faults],
        "remarks": list(row.remarks),
    }


# --- one from another


@router.post(
    "/{stem}/{ident}/copy",
    summary="Copy one of {stem} under another name",
    status_code=201,
    operation_id="copy_{kind}",
    openapi_extra=acts.taking("copy"),
)
def copy(asked: TodayNow, kind: Kind, ident: Ident, body: BodyNow, terms: TermsNow) -> Response:
    """Another size or variant: everything as in the first but its name, from today or the day that is sent."""
    if kind not in COPIED:
        raise NotFound
    thing = asked.holding(kind, ident).thing(kind, ident)
    told = acts.taken(asked, "copy", body.data)
    record = replace(thing, id=NEW_ID, name=told.name, since=told.since, retired=None)
    saved = stored(asked, [Put(record)], terms, body, f"{kind} copied", must_match=False)
    answer = one(asked.now(), kind, saved.real(NEW_ID), 201)
    answer.headers["Location"] = f"/api/{STEM_OF[kind]}/{saved.real(NEW_ID)}"
    return answer


@router.post(
    "/example", tags=["settings"], summary="Load the example workshop", operation_id="load_example", openapi_extra=ACT
)
def load_example(asked: TodayNow, body: NoBody, terms: TermsNow) -> Response:
    """Fill an empty book with an invented workshop. Where anything was entered, nothing is done: 409."""
    terms.intent("example loaded", body, must_match=False)
    book = asked.book
    if book.suppliers or book.materials or book.orders or book.formulas or book.products:
        raise Conflict("Something was entered here already, so the example was not loaded.")
    example.fill(asked.store, asked.today)
    return JSONResponse({"version": asked.now().snapshot.version})
