"""The interface as OpenAPI: what the routes say, opened out to every kind of thing, with schemas and examples.

One route serves all kinds of things, since every route costs time at each start; here each kind gets its own.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from fastapi.openapi.utils import get_openapi
from starlette.routing import BaseRoute

from webapp import VERSION
from webapp.api import examples, schemas
from webapp.api.asking import STEMS
from webapp.costing.book import EVENTS, PAIRS

Operation = dict[str, Any]
#: the name that a route gives its operation -> the schema of its answer, by the kind that it is opened out to
Answers = Mapping[str, Callable[[str], schemas.Schema]]
#: marks a route whose body is a record of the kind in its address
BODY: Operation = {"requestBody": {"required": True, "content": {"application/json": {}}}}
#: marks a route that needs no body
ACT: Operation = {
    "requestBody": {
        "required": False,
        "content": {"application/json": {"schema": schemas.named("act"), "example": examples.ACT}},
    }
}
#: marks a route that needs no body and takes the prices that are decided with it
PRICED: Operation = {
    "requestBody": {
        "required": False,
        "content": {
            "application/json": {"schema": schemas.named("priced"), "example": examples.shown(examples.PRICED)}
        },
    }
}
COPIED = ("formula", "product")


def body_of(kind: str) -> Operation:
    """The description of the body of a kind."""
    return described_body(schemas.named(kind), examples.documented(kind))


def described_body(schema: schemas.Schema, example: Any) -> Operation:
    """The description of a body: its schema and an example."""
    content = {"schema": schema, "example": example}
    return {"requestBody": {"required": True, "content": {"application/json": content}}}


def described(routes: Sequence[BaseRoute], named: dict[str, Any], answers: Answers) -> dict[str, Any]:
    """The whole interface. `named` are the schemas that are referred to by name, `answers` those of good answers."""
    told = get_openapi(
        title="Brimful",
        version=VERSION,
        description="Amounts are texts, never numbers. A figure that is not known is an object with its gap.",
        routes=routes,
        openapi_version="3.1.0",
    )
    paths: dict[str, Any] = {}
    for path, operations in told["paths"].items():
        if path.startswith("/api/"):
            for opened, operation in opened_out(path, operations, answers):
                paths.setdefault(opened, {}).update(operation)
    return {**told, "paths": paths, "components": {"schemas": named}}


def opened_out(path: str, operations: Operation, answers: Answers) -> Iterator[tuple[str, Operation]]:
    """A path with its operations, once for each kind that it serves."""
    if "{stem}" in path:
        for stem, kind in STEMS.items():
            if _has(kind, path):
                yield path.replace("{stem}", stem), _of_kind(operations, answers, "stem", stem, kind, stem)
    elif "{fact}" in path:
        for fact, _ in PAIRS.values():
            yield path.replace("{fact}", fact), _of_kind(operations, answers, "fact", fact, fact, "products")
    else:
        for operation in operations.values():
            _answering(operation, answers, "")
        yield path, operations


def _answering(operation: Operation, answers: Answers, kind: str) -> None:
    """Say what is answered where all goes well."""
    good = next(status for status in operation["responses"] if status.startswith("2"))
    content = {"application/json": {"schema": answers[operation["operationId"]](kind)}}
    operation["responses"][good] = {"description": "what was asked for", "content": content}


def _has(kind: str, path: str) -> bool:
    act = path.rpartition("/")[2]
    if act == "copy":
        return kind in COPIED
    if path.endswith("/withdraw/preview"):
        return kind in EVENTS
    return act not in ("retire", "restore", "withdraw") or (act == "withdraw") == (kind in EVENTS)


def _of_kind(  # noqa: PLR0917 - one argument a word
    operations: Operation, answers: Answers, name: str, word: str, kind: str, tag: str
) -> Operation:
    """The operations with `word` in place of the address's {name}."""
    found = copy.deepcopy(operations)
    for operation in found.values():
        operation["tags"] = [tag]
        _answering(operation, answers, kind)
        for text in ("summary", "operationId"):
            operation[text] = operation[text].replace(f"{{{name}}}", word).replace("{kind}", kind)
        operation["parameters"] = [one for one in operation.get("parameters", ()) if one["name"] != name]
        if "requestBody" in operation and not operation["requestBody"]["content"]["application/json"]:
            operation.update(body_of(kind))
    return found
