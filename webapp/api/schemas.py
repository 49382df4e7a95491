"""The shapes of the records as JSON Schema, so that what is documented is what is read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from webapp.api.asking import STEMS
from webapp.api.bodies import MOST_ANSWERS
from webapp.costing import limits as lim
from webapp.costing.amounts import MINOR_UNITS, plain
from webapp.costing.decisions import DECISION
from webapp.costing.describing import Field, Many, Part, Rows, Shape
from webapp.costing.locales import LOCALES
from webapp.costing.shapes import SHAPES

Schema = dict[str, Any]

ERROR: Schema = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["code", "sentence", "faults"],
            "properties": {
                "code": {"type": "string"},
                "sentence": {"type": "string"},
                "faults": {
                    "type": "array",
                    "items": {
                        "type": "object",
                        "required": ["field", "code", "sentence"],
                        "properties": {name: {"type": "string"} for name in ("field", "code", "sentence", "answer")},
                    },
                },
                "versions": {"type": "object"},
                "reference": {"type": "string"},
            },
        }
    },
}


ERROR_NAME = "error"
#: answers to questions: any body of a change may hold them
SURE: Schema = {
    "type": "array",
    "maxItems": MOST_ANSWERS,
    "items": {"type": "string", "maxLength": 64},
    "description": "the `answer` of every question that is answered with yes: it holds for that one as it was asked",
}
#: what an act takes that needs no fields
ACT: Schema = {"type": "object", "additionalProperties": False, "properties": {"sure": SURE}}
#: prices decided with a change: the body of what is entered, changed or taken back may hold them
PRICES = Shape(dict, (Field("prices", Rows(DECISION, ("product", "channel", "amount", "why"), 0, 200)),))
#: what an act takes that moves costs
PRICED_NAME = "priced"
#: the day whose price, target or jars a month is taken back
SINCE = Shape(dict, (Field("since", lim.DAY),))


def named(name: str) -> Schema:
    """Where a schema that is used in several places stands."""
    return {"$ref": f"#/components/schemas/{name}"}


def components() -> dict[str, Schema]:
    """The schemas that have a name: every kind of body, and the one shape of errors."""
    shapes = {"since": SINCE, **SHAPES}
    found = {name: of_body(shape) for name, shape in shapes.items()}
    for kind in STEMS.values():
        found[kind]["properties"] |= of_shape(PRICES)["properties"]
    return {ERROR_NAME: ERROR, "act": ACT, PRICED_NAME: of_body(PRICES), **found}


def of_body(shape: Shape) -> Schema:
    """The schema of a whole body: the record's fields, and the answers to questions."""
    found = of_shape(shape)
    found["properties"]["sure"] = SURE
    return found


def of_shape(shape: Shape) -> Schema:
    """The schema of a record: its fields and no others."""
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [one.name for one in shape.fields if one.required and one.name != "since"],
        "properties": {one.name: of_field(one) for one in shape.fields},
    }


def of_field(one: Field) -> Schema:
    """The schema of one field; one that may be left out may be null."""
    kind = one.kind
    if isinstance(kind, Rows):
        return {
            "type": "array",
            "minItems": kind.least,
            "maxItems": kind.most,
            "items": of_shape(kind.shape),
        }
    if isinstance(kind, Many):
        return {"type": "array", "maxItems": kind.most, "items": of_value(kind.kind)}
    if isinstance(kind, Part):
        return {"anyOf": [of_shape(kind.shape), {"type": "null"}]}
    found = of_value(kind)
    return found if one.required else {"anyOf": [found, {"type": "null"}]}


def of_value(kind: lim.Kind) -> Schema:
    """The schema of a bare value. An amount is always text."""
    return next(schema(kind) for known, schema in _VALUES.items() if isinstance(kind, known))


def _link(kind: lim.Link) -> Schema:
    return {"type": "string", "maxLength": kind.length, "pattern": "^(https?://.+)?$"}


def _locale(kind: lim.Locale) -> Schema:
    del kind
    return {"type": "string", "enum": sorted(LOCALES), "description": "language and country as CLDR names them"}


def _text(kind: lim.Text) -> Schema:
    return {"type": "string", "maxLength": kind.length}


def _choice(kind: lim.Choice) -> Schema:
    return {"type": "string", "enum": list(kind.options)}


def _currency(kind: lim.Currency) -> Schema:
    del kind
    return {"type": "string", "enum": sorted(MINOR_UNITS), "description": "ISO 4217"}


def _day(kind: lim.Day) -> Schema:
    del kind
    return {"type": "string", "format": "date", "description": f"{lim.FIRST_DAY} to {lim.LAST_DAY}"}


def _flag(kind: lim.Flag) -> Schema:
    del kind
    return {"type": "boolean"}


def _reference(kind: lim.Reference) -> Schema:
    return {"type": "integer", "minimum": 1, "maximum": 999_999_999, "description": f"id of a {kind.kind}"}


def _called(kind: lim.CalledReference) -> Schema:
    text = {
        "type": "string",
        "maxLength": lim.NAME.length,
        "description": f"any name of a {kind.kind}, as on the pages",
    }
    return {"anyOf": [_reference(kind), text]}


def _number(kind: lim.Number) -> Schema:
    low = f"above {plain(kind.low)}" if kind.above else f"{plain(kind.low)} or more"
    high = f"below {plain(kind.high)}" if kind.below else f"at most {plain(kind.high)}"
    sign = "-?" if kind.low < 0 else ""
    decimals = rf"(\.[0-9]{{1,{kind.places}}})?" if kind.places else ""
    return {
        "type": "string",
        "pattern": f"^{sign}[0-9]+{decimals}$",
        "maxLength": 24,
        "description": f"{low}, {high}; at most {kind.places} decimals, as text with a point",
    }


#: the more special kind stands first
_VALUES: dict[type[Any], Callable[[Any], Schema]] = {
    lim.Number: _number,
    lim.Link: _link,
    lim.Locale: _locale,
    lim.Text: _text,
    lim.Choice: _choice,
    lim.Currency: _currency,
    lim.Day: _day,
    lim.Flag: _flag,
    lim.CalledReference: _called,
    lim.Reference: _reference,
}
