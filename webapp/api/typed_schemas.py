"""Schemas of the core's own types: an amount is a text, a gap an object, a result an object of its fields."""

from __future__ import annotations

import types
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import is_dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Union, get_args, get_origin, get_type_hints

from webapp.api import answers
from webapp.api.schemas import Schema, named
from webapp.costing.deal_facts import Verdicts
from webapp.costing.gaps import Figure, Gap
from webapp.costing.jars import CostSheet
from webapp.costing.labour import PersonTime
from webapp.costing.rows import Row
from webapp.costing.working import Working

NULL: Schema = {"type": "null"}
WHOLE: Schema = {"type": "integer"}
TEXT: Schema = {"type": "string"}
#: types that are written as one thing
_PLAIN: dict[Any, Schema] = {
    Any: {},
    type(None): NULL,
    bool: {"type": "boolean"},
    int: WHOLE,
    str: TEXT,
    date: {"type": "string", "format": "date"},
    datetime: {"type": "string", "format": "date-time"},
    Decimal: named("amount"),
    Gap: named("gap"),
    Row: named("row"),
    CostSheet: named("sheet"),
    Working: named("working"),
    Verdicts: {"type": "string", "enum": list(get_args(Verdicts))},
}
#: names in the core's types that stand there in quotes
_QUOTED = {"PersonTime": PersonTime}


def of_type(hint: Any) -> Schema:
    """The schema of what `answers.value` makes of a type."""
    if hint in _PLAIN:
        return _PLAIN[hint]
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return {"anyOf": [of_type(one) for one in inner]}
    if origin is tuple and inner[-1:] != (Ellipsis,):
        return _so_many([of_type(one) for one in inner])
    if origin in (tuple, list, Sequence):
        return several(of_type(inner[0]))
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": of_type(inner[1])}
    return of_fields(hint, fields_of(hint))


def _so_many(schemas: Sequence[Schema]) -> Schema:
    """A list of a fixed length. Readers of descriptions disagree on how to say which stands where, so it isn't said."""
    kinds = [one for place, one in enumerate(schemas) if one not in schemas[:place]]
    each = kinds[0] if len(kinds) == 1 else {"anyOf": kinds}
    return {"type": "array", "items": each, "minItems": len(schemas), "maxItems": len(schemas)}


def fields_of(kind: type[Any]) -> Iterable[str]:
    """The names under which a result of the core is told."""
    if hasattr(kind, "_fields"):
        return answers.told_fields(kind)
    if not is_dataclass(kind):
        raise TypeError(kind)
    return tuple(kind.__dataclass_fields__)


def of_fields(kind: type[Any], names: Iterable[str]) -> Schema:
    """The schema of what `answers.picked` makes of some fields and properties of a result."""
    return exactly({name: of_type(_hint(kind, name)) for name in names})


def _hint(kind: type[Any], name: str) -> Any:
    found = getattr(kind, name, None)
    if isinstance(found, property):
        return get_type_hints(found.fget, localns=_QUOTED)["return"]
    return get_type_hints(kind, localns=_QUOTED)[name]


def exactly(properties: Mapping[str, Schema], optional: Iterable[str] = ()) -> Schema:
    """An object with these names and no others."""
    needed = [name for name in properties if name not in set(optional)]
    return {"type": "object", "required": needed, "properties": dict(properties), "additionalProperties": False}


def several(schema: Schema) -> Schema:
    """A list of them."""
    return {"type": "array", "items": schema}


def items(schema: Schema) -> Schema:
    """All of them under one name."""
    return exactly({"items": several(schema)})


def paged(schema: Schema, **more: Schema) -> Schema:
    """One page of a list."""
    return exactly({"items": several(schema), "page": WHOLE, "page_size": WHOLE, "total": WHOLE, **more})


def joined(schema: Schema, optional: Iterable[str] = (), **more: Schema) -> Schema:
    """An object with more names than another."""
    return exactly({**schema["properties"], **more}, optional)


FIGURE = of_type(Figure)
