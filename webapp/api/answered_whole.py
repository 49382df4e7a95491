"""The schemas of what is answered about a whole book."""

from __future__ import annotations

from collections.abc import Callable

from webapp.api.answered import ANSWERS as ANSWERED
from webapp.api.schemas import Schema
from webapp.api.typed_schemas import TEXT, WHOLE, exactly, of_type, several
from webapp.api.whole_book import document_schema


def _document(_: str) -> Schema:
    return document_schema()


def _preview(_: str) -> Schema:
    moved = ANSWERED["preview_withdraw_{kind}"]("")["properties"]
    fault = exactly({"sheet": TEXT, "row": WHOLE, "column": TEXT, "sentence": TEXT, "read": TEXT})
    field = exactly({"field": TEXT, "before": TEXT, "after": TEXT})
    return exactly(
        {
            "counts": several(exactly({"sheet": TEXT, "new": WHOLE, "changed": WHOLE})),
            "same": WHOLE,
            "changed": several(exactly({"sheet": TEXT, "name": TEXT, "fields": several(field)})),
            "faults": several(fault),
            "doubts": several(fault),
            "materials": moved["materials"],
            "rows": moved["rows"],
        }
    )


def _kept(_: str) -> Schema:
    return exactly({"version": WHOLE, "change": WHOLE})


def _begun(_: str) -> Schema:
    return exactly({"work": TEXT, "stop": TEXT})


def _progress(_: str) -> Schema:
    told = {"title": TEXT, "state": TEXT, "has_ended": of_type(bool), "step": TEXT, "done": WHOLE, "of": WHOLE}
    return exactly({**told, "sentence": TEXT, "result": of_type(str | None)})


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "export_book": _document,
    "preview_import": _preview,
    "import_book": _kept,
    "begin_preview_import": _begun,
    "begin_import": _begun,
    "read_work": _progress,
    "stop_work": _progress,
    "read_preview_import": _preview,
    "read_import": _kept,
}
