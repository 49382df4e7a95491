"""The schemas of what is answered about another size, and of the notes that are kept of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from webapp.api import size_told
from webapp.api.answered import of_record, of_shown
from webapp.api.schemas import Schema, named
from webapp.api.typed_schemas import NULL, TEXT, WHOLE, exactly, items, joined, of_fields, of_type, several
from webapp.costing.rows import Row
from webapp.costing.size_facts import CandidateAnswer, CaseAnswer, DropAnswer, Rung, Trade
from webapp.costing.size_shapes import SIZE_QUESTION

#: what a candidate enters
NEW = ("material", "product")


def components() -> dict[str, Schema]:
    """The schemas that have a name."""
    new = {f"new_{kind}": _with_new_numbers(of_record(kind)) for kind in NEW}
    return {"size_row": of_fields(Row, size_told.ROW), **new}


def _with_new_numbers(schema: Any) -> Any:
    """A schema in which whatever refers to something may refer to what is new, by a number below zero."""
    if isinstance(schema, list):
        return [_with_new_numbers(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    return WHOLE if schema.get("type") == "integer" else {name: _with_new_numbers(one) for name, one in schema.items()}


def _answer(_: str) -> Schema:
    row = named("size_row")
    rung = joined(of_fields(Rung, size_told.RUNG), row=row)
    drop = joined(_with_sums(DropAnswer, size_told.DROP), ("workings",), rows=several(row), taken=several(row))
    case = joined(_with_sums(CaseAnswer, size_told.CASE), ("workings",), row=row, cased=row)
    return exactly(
        {
            "question": of_shown(SIZE_QUESTION),
            "candidates": several(_candidate()),
            "ladders": several(exactly({"channel": WHOLE, "rungs": several(rung)})),
            "drop": {"anyOf": [drop, NULL]},
            "case": {"anyOf": [case, NULL]},
        }
    )


def _candidate() -> Schema:
    record = {"anyOf": [named(f"new_{kind}") for kind in NEW]}
    change = exactly({"kind": {"type": "string", "enum": list(NEW)}, "record": record})
    more = {
        "product": named("new_product"),
        "changes": several(change),
        "row": named("size_row"),
        "others_sold": several(of_fields(Row, size_told.OTHER)),
        "trades": several(_with_sums(Trade, size_told.TRADE)),
        "workings": exactly(dict.fromkeys((size_told.WORTH_FROM, size_told.TIED_UP), named("working"))),
    }
    return joined(of_fields(CandidateAnswer, size_told.CANDIDATE), ("workings",), **more)


def _with_sums(kind: type[Any], names: Iterable[str]) -> Schema:
    sums = exactly(dict.fromkeys(size_told.summed(kind), named("working")))
    return joined(of_fields(kind, names), ("workings",), workings=sums)


def _offered(_: str) -> Schema:
    return exactly({"version": WHOLE, "products": several(WHOLE)})


def _note(kind: str = "product") -> Schema:
    figure = {"anyOf": [TEXT, named("gap")]}
    figures = {"type": "object", "additionalProperties": figure}
    told = {"id": WHOLE, kind: WHOLE, "day": of_type(date), "sentence": TEXT, "kept": TEXT}
    return exactly({**told, "question": {"type": "object"}, "figures": figures})


def _notes(kind: str, more: str) -> dict[str, Callable[[str], Schema]]:
    """What is answered about the notes on one kind of thing."""
    return {
        f"list{more}_verdicts": lambda _: items(_note(kind)),
        f"keep{more}_verdict": lambda _: _note(kind),
        f"drop{more}_verdict": lambda _: exactly({"dropped": WHOLE}),
        f"keep{more}_verdict_again": lambda _: _note(kind),
    }


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "ask_size": _answer,
    "offer_size": _offered,
    **_notes("product", ""),
    **_notes("formula", "_formula"),
}
