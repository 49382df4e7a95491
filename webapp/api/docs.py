"""The interface described: as OpenAPI, and as a page of our own that needs no script and no other machine."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import import_module
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse, JSONResponse, Response

from webapp import VERSION, resource_dir
from webapp.api.describing import described
from webapp.api.interface import Interface

router = Interface(include_in_schema=False)
METHODS = ("get", "post", "put")
#: the modules that describe what is sent (`components`) and what is answered (`ANSWERS`); they are imported only where
#: somebody reads the description
DESCRIBING = (
    *("whole_book", "backups", "devices", "schemas", "acts"),
    *("answered", "answered_backups", "answered_devices", "answered_line", "answered_materials"),
    *("answered_own", "answered_pay", "answered_sizes", "answered_whole"),
)


@dataclass(frozen=True, slots=True)
class Told:
    """One operation as the page shows it. `fields` are name, what may stand there, and whether it is needed."""

    anchor: str
    method: str
    path: str
    summary: str
    words: str
    parameters: tuple[tuple[str, str, str], ...]
    fields: tuple[tuple[str, str, bool], ...]
    example: str


@cache
def description() -> dict[str, Any]:
    """The OpenAPI description, made once: the routes are the same for every application."""
    parts = [import_module(f"webapp.api.{name}") for name in DESCRIBING]
    routes = [route for part in import_module("webapp.api").PARTS for route in part.router.routes]
    named = {name: schema for part in parts for name, schema in getattr(part, "components", dict)().items()}
    told = {name: schema for part in parts for name, schema in getattr(part, "ANSWERS", {}).items()}
    return described(routes, named, told)


@router.get("/openapi.json")
def openapi() -> Response:
    """The description for programs."""
    return JSONResponse(description())


@router.get("/docs")
def page() -> Response:
    """The description for people."""
    groups: dict[str, list[Told]] = {}
    whole = description()
    for path, operations in whole["paths"].items():
        for method in METHODS:
            if method in operations:
                groups.setdefault(operations[method]["tags"][0], []).append(
                    told(method, path, operations[method], whole["components"]["schemas"])
                )
    return HTMLResponse(_template().render(groups=groups, style=_style, version=VERSION))


def told(method: str, path: str, operation: dict[str, Any], named: dict[str, Any]) -> Told:
    """One operation for the page."""
    content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    schema = content.get("schema", {})
    schema = named[schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema
    parameters = tuple((one["name"], one["in"], one.get("description", "")) for one in operation.get("parameters", ()))
    example = json.dumps(content["example"], indent=2, ensure_ascii=False) if "example" in content else ""
    return Told(
        operation["operationId"],
        method.upper(),
        path,
        operation.get("summary", ""),
        operation.get("description", ""),
        parameters,
        tuple(fields_of(schema)),
        example,
    )


def fields_of(schema: dict[str, Any], before: str = "") -> list[tuple[str, str, bool]]:
    """Every field of a body, those of its lines and parts below it."""
    found: list[tuple[str, str, bool]] = []
    for name, one in schema.get("properties", {}).items():
        plain = _without_null(one)
        found.append((f"{before}{name}", words_of(plain), name in schema.get("required", ())))
        inner = plain.get("items", plain)
        if "properties" in inner:
            found += fields_of(inner, f"{before}{name}{'[]' if 'items' in plain else ''}.")
    return found


def _without_null(schema: dict[str, Any]) -> dict[str, Any]:
    kept: dict[str, Any] = next((one for one in schema.get("anyOf", ()) if one.get("type") != "null"), schema)
    return kept


def words_of(schema: dict[str, Any]) -> str:
    """What may stand in a field, in words."""
    if "enum" in schema:
        options = [json.dumps(one) for one in schema["enum"]]
        return schema.get("description") or "one of " + ", ".join(options)
    words = {"array": "a list", "object": "an object", "string": "text", "boolean": "true or false"}
    kind = words.get(schema.get("type", ""), "a whole number")
    longest = f" of at most {schema['maxLength']} characters" if kind == "text" and "description" not in schema else ""
    return ": ".join(filter(None, (kind + longest, schema.get("description", ""))))


@lru_cache(maxsize=1)
def _template() -> Any:
    loader = FileSystemLoader(resource_dir("templates"))
    made = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return made.get_template("api/docs.html")


@lru_cache(maxsize=8)
def _style(name: str) -> str:
    """The address of a style sheet, with a mark of its content."""
    content = (resource_dir("static") / "css" / name).read_bytes()
    return f"/static/css/{name}?v={hashlib.sha256(content).hexdigest()[:12]}"
