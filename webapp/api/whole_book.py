"""Everything out as one document, and in again: looked at first, saved as one change."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from webapp import importing
from webapp.api.answers import Answer
from webapp.api.asking import Asked, AskedNow, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.describing import described_body
from webapp.api.interface import Interface
from webapp.api.previews import changed_materials, changed_rows
from webapp.api.schemas import Schema, named
from webapp.costing import limits as lim
from webapp.costing.changes import Put
from webapp.costing.difference import moved_rows
from webapp.costing.reckoning import Reckoning
from webapp.errors import Fault, Unprocessable
from webapp.exchange import whole
from webapp.exchange.book_cells import RowFault
from webapp.exchange.book_changes import called, differences
from webapp.exchange.book_rows import FORMAT, VERSION, Document
from webapp.exchange.book_sheets import BookSheet, Column, main_sheet, sheets
from webapp.exchange.tables import MOST_ROWS, CannotRead
from webapp.importing import Looked

router = Interface()

#: how many things that change, and rows of the line that move, an answer names
MOST = 200


def _column(column: Column) -> Schema:
    value: Schema = {"type": "boolean"} if isinstance(column.kind, lim.Flag) else {"type": "string"}
    told: Schema = {**value, "description": column.title}
    return told if column.required else {"anyOf": [told, {"type": "null"}]}


def _sheet(described: BookSheet) -> Schema:
    """A row says less at times: what is left out stays as it is."""
    columns = {column.key: _column(column) for column in described.columns}
    row: Schema = {"type": "object", "additionalProperties": False, "properties": columns}
    return {"type": "array", "maxItems": MOST_ROWS, "description": described.about, "items": row}


def document_schema() -> Schema:
    """The schema of a whole book, made from its sheets."""
    rows: Schema = {
        "type": "object",
        "additionalProperties": False,
        "properties": {one.key: _sheet(one) for one in sheets()},
    }
    return {
        "type": "object",
        "required": ["format", "version", "sheets"],
        "properties": {
            "format": {"type": "string", "enum": [FORMAT]},
            "version": {"type": "integer", "enum": [VERSION]},
            "made_on": {"anyOf": [{"type": "string", "format": "date", "description": "a day"}, {"type": "null"}]},
            "currency": {"type": "string", "maxLength": 3},
            "sheets": rows,
        },
    }


EXAMPLE: Answer = {
    "document": {
        "format": FORMAT,
        "version": VERSION,
        "sheets": {
            "suppliers": [{"name": "The mill", "currency": "EUR"}],
            "materials": [{"name": "Shea butter", "nature": "butter"}],
        },
    },
    "take_doubtful": False,
}
BODY = described_body(named("whole_book"), EXAMPLE)


def components() -> dict[str, Schema]:
    """The schema of what is sent, by its name."""
    sent: Schema = {
        "type": "object",
        "additionalProperties": False,
        "required": ["document"],
        "properties": {"document": document_schema(), "take_doubtful": {"type": "boolean"}},
    }
    return {"whole_book": sent}


@router.get("/export", tags=["whole book"], summary="Everything, as one document", operation_id="export_book")
def export(asked: AskedNow) -> Response:
    """Everything that holds, with the days from which it holds, whatever the day of `on`. Things are named."""
    document = whole.as_json(importing.exported(asked.store, asked.today))
    return JSONResponse(document, headers={"ETag": asked.whole_tag})


@router.post(
    "/import/preview",
    tags=["whole book"],
    summary="What a document would change; nothing is stored",
    operation_id="preview_import",
    openapi_extra=BODY,
)
def preview(asked: TodayNow, body: BodyNow) -> Response:
    """What is new, changed and the same, what is wrong or doubtful in which row, and what costs and prices become."""
    document, _ = taken(body.data)
    looked = importing.look(asked.store, document, asked.today)
    return JSONResponse(told(asked, looked), headers={"ETag": asked.whole_tag})


@router.post(
    "/import",
    tags=["whole book"],
    summary="Take over a document as one change",
    operation_id="import_book",
    openapi_extra=BODY,
)
def bring(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """All of it or nothing, with one undo, after a copy of the data was made. If-Match is wanted."""
    intent = terms.intent("Import", body, must_match=True)
    document, take_doubtful = taken(body.data)
    looked = importing.look(asked.store, document, asked.today)
    if wrong := refused(looked, take_doubtful=take_doubtful):
        raise Unprocessable(wrong)
    saved = importing.take(asked.store, looked, intent, asked.today)
    return JSONResponse({"version": saved.version, "change": saved.change})


def refused(looked: Looked, *, take_doubtful: bool) -> list[Fault]:
    """What keeps a document that was looked at from being taken over, each at its row."""
    return [_fault(one) for one in (*looked.faults, *(() if take_doubtful else looked.doubts))]


def taken(data: Any) -> tuple[Document, bool]:
    """The document in a body, and whether what is doubtful is taken."""
    faults = [] if isinstance(data, dict) else [Fault("", "shape", "Send an object with the document.")]
    if not faults:
        known = ("document", "take_doubtful")
        faults = [Fault("", "unknown-field", f"There is no {name[:60]} here.") for name in data if name not in known]
        if not isinstance(data.get("take_doubtful", False), bool):
            faults.append(Fault("take_doubtful", "choice", "Answer true or false."))
    if faults:
        raise Unprocessable(faults)
    try:
        return whole.from_json(data.get("document")), data.get("take_doubtful", False)
    except CannotRead as refused:
        raise Unprocessable([Fault("document", "document", refused.sentence)]) from None


def _fault(one: RowFault) -> Fault:
    key = next((sheet.key for sheet in sheets() if sheet.title == one.sheet), one.sheet)
    words = f"{one.column}: {one.sentence}" if one.column else one.sentence
    code = "doubtful" if one.doubtful else "row"
    return Fault(f"document-sheets-{key}-{max(one.row - 1, 0)}", code, words)


def told(asked: Asked, looked: Looked) -> Answer:
    """What a document would change, as it is answered."""
    changed = [one for one in looked.back.arrived if one.before is not None or not isinstance(one.change, Put)]
    old = asked.reckoning
    old.line()  # what is known can be carried over
    new = old if looked.faults else Reckoning(looked.after, old)
    moved = moved_rows(old, new)
    return {
        "counts": [
            {"sheet": main_sheet(kind).key, "new": new_ones, "changed": others}
            for kind, (new_ones, others) in looked.counts.items()
        ],
        "same": looked.back.same,
        "changed": [_changed(looked, one) for one in changed[:MOST]],
        "faults": [_row_fault(one) for one in looked.faults],
        "doubts": [_row_fault(one) for one in looked.doubts],
        "materials": changed_materials(old, new)[:MOST],
        "rows": changed_rows(moved[:MOST], new),
    }


def _changed(looked: Looked, one: Any) -> Answer:
    fields = [
        {"field": each.head, "before": each.before, "after": each.after}
        for each in differences(looked.back, one, looked.held)
    ]
    return {"sheet": main_sheet(one.version.kind).key, "name": called(looked.back, one), "fields": fields}


def _row_fault(one: RowFault) -> Answer:
    return {"sheet": one.sheet, "row": one.row, "column": one.column, "sentence": one.sentence, "read": one.read}
