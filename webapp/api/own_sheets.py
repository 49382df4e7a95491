"""A maker's own sheets by JSON: how they are understood and what they would cost; then all of it in one change."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api import acts
from webapp.api.answers import Answer, value
from webapp.api.asking import Asked, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.interface import Interface
from webapp.api.things import stored
from webapp.costing.own.columns import OwnTable
from webapp.costing.own.counted import saved as saved_of
from webapp.costing.own.reading import OwnReading, with_likely
from webapp.costing.own.seen import FormulaSeen, MaterialSeen, ProductSeen
from webapp.costing.own.shapes import OwnSheets, choices_from
from webapp.costing.own.sheets import read_own
from webapp.errors import Fault, Unprocessable
from webapp.exchange.reading import CannotRead, cells_pasted

router = Interface()


@router.post(
    "/own-sheet/reading",
    tags=["materials"],
    summary="How a maker's own sheets are understood, and what they would cost; nothing is stored",
    operation_id="read_own_sheet",
    openapi_extra=acts.taking("own_sheet"),
)
def look(asked: TodayNow, body: BodyNow) -> Response:
    """What each column is taken for, every cell that is wrong, names that may be slips, and each cost to come."""
    return JSONResponse(_told(_read(asked, body.data)))


@router.post(
    "/own-sheet",
    tags=["materials"],
    summary="Keep a maker's own sheets",
    operation_id="keep_own_sheet",
    openapi_extra=acts.taking("own_sheet"),
)
def keep(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """All of it in one change with one undo, or nothing, with what is wrong at its row. If-Match is wanted."""
    reading = _read(asked, body.data)
    if not reading.good and (reading.wrong or reading.names or reading.faults):
        raise Unprocessable(_faults(reading))
    counted = saved_of(reading)
    said = f"Own sheet: {counted}" if counted else "Own sheet"
    saved = stored(asked, reading.changes, terms, body, said, must_match=True)
    return JSONResponse({"version": saved.version})


def _read(asked: Asked, data: Any) -> OwnReading:
    sent: OwnSheets = acts.taken(asked, "own_sheet", data)
    tables = []
    for number, one in enumerate(sent.sheets):
        try:
            tables.append(OwnTable(one.title, cells_pasted(one.text).rows))
        except CannotRead as error:
            raise Unprocessable([Fault(f"sheets-{number}-text", "sheet", error.sentence)]) from error
    choices = choices_from(sent, tuple(tables))
    reading = read_own(asked.book, tables, choices)
    said = with_likely(choices, reading.names) if sent.likely_names else choices
    return reading if said == choices else read_own(asked.book, tables, said)


def _faults(reading: OwnReading) -> list[Fault]:
    found = [Fault(at, "sheet", sentence) for at, sentence in reading.faults]
    found += [Fault(f"sheets-{one.sheet}-{one.cell}", one.choice or "cell", one.sentence) for one in reading.wrong]
    found += [
        Fault("names", "name", f"Nothing is called {one.name}. Say under names what it means.") for one in reading.names
    ]
    return found


def _told(reading: OwnReading) -> Answer:
    return {
        "good": reading.good,
        "sign": reading.sign.sign,
        "prices": reading.prices,
        "sheets": [
            {"title": table.title, "holds": layout.holds, "heads": layout.heads, "columns": list(layout.roles)}
            for table, layout in zip(reading.tables, reading.layouts, strict=True)
        ],
        "read_so": [{"sheet": n, "said": said} for n, table in enumerate(reading.tables) for said in table.remarks],
        "materials": [_material(one) for one in reading.materials],
        "formulas": [_formula(one) for one in reading.formulas],
        "products": [_product(reading, one) for one in reading.products],
        "channels": [
            {"sheet": one.sheet, "column": one.column, "head": one.head, "channel": _channel(reading, one.channel)}
            for one in reading.selling
        ],
        "new_without_price": list(reading.unpriced),
        "formulas_without_batch": list(reading.unsized),
        "without_density": list(reading.undense),
        "published_densities": [
            {"name": name, "density": value(one.middle), "source": one.source} for name, one in reading.published
        ],
        "by_price": [{"name": name, "density": value(weighs)} for name, weighs in reading.by_price],
        "assumed": [{"choice": name, "taken_for": told} for name, told in reading.assumed.items()],
        "wrong": [
            {"sheet": one.sheet, "row": one.row, "column": one.column, "cell": one.cell, "read": one.read,
             "sentence": one.sentence, "choice": one.choice}
            for one in reading.wrong
        ],
        "faults": [{"field": at, "sentence": sentence} for at, sentence in reading.faults],
        "names": [{"name": one.name, "near": list(one.near), "likely": one.best} for one in reading.names],
        "may_be": [{"name": one.name, "names": [*one.near, *one.others]} for one in reading.offered],
        "passed_over": [{"sheet": one.sheet, "row": one.row, "what": one.what} for one in reading.skipped],
    }  # fmt: skip


def _material(seen: MaterialSeen) -> Answer:
    said, row = seen.said, seen.said.row
    pack = {"size": value(row.size), "unit": row.unit, "price": value(row.price), "currency": row.currency}
    return {"row": row.row, "name": said.name, "known": said.known, "packs": value(row.packs), **pack,
            "kept_as": said.way, "unit_cost": value(seen.cost), "remarks": list(said.remarks)}  # fmt: skip


def _formula(seen: FormulaSeen) -> Answer:
    rows = seen.said.rows
    told = {"row": rows.row, "name": rows.name, "known": seen.said.known, "lines": len(rows.lines), "way": rows.way}
    return {**told, "batch_grams": value(rows.batch), "per_gram": value(seen.cost), "remarks": list(seen.said.remarks)}


def _channel(reading: OwnReading, ident: int | None) -> str:
    return "" if ident is None or reading.after is None else reading.after.channels[ident].name


def _product(reading: OwnReading, seen: ProductSeen) -> Answer:
    said, row = seen.said, seen.said.row
    told = {"row": row.row.number, "name": said.name, "known": said.known, "size": value(row.size), "unit": row.unit}
    prices = [{"channel": _channel(reading, one), "price": value(amount)} for one, amount in said.prices.items()]
    costs = {"ingredients": value(seen.ingredients), "packaging": value(seen.packaging if said.parts else None)}
    return {**told, **costs, "minutes": value(row.minutes), "prices": prices, "remarks": list(said.remarks)}
