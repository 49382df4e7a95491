"""What went wrong, as one of our own situations: what the framework refuses, what nobody foresaw; and all as JSON."""

from __future__ import annotations

from typing import Any

from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from webapp.errors import (
    AtField,
    BadJson,
    BadRequest,
    Fault,
    MethodNotAllowed,
    NotFound,
    Problem,
    Refused,
    Stale,
    Unprocessable,
)


class Unforeseen(Problem):
    """500: a fault in the program. Nothing of it is shown; the reference leads to its place in the log."""

    status = 500
    code = "unforeseen"
    default = "Something went wrong inside the program. Your data is untouched."


def as_problem(error: Exception) -> Problem:
    """What happened, as one of our own situations."""
    if isinstance(error, Problem):
        return error
    if isinstance(error, RequestValidationError):
        return from_validation(error)
    if isinstance(error, HTTPException):
        return from_status(error)
    return Unforeseen()


def from_status(error: HTTPException) -> Problem:
    """What the framework refuses by itself. Its own words are for programmers, so they are not shown."""
    if error.status_code == MethodNotAllowed.status:
        return MethodNotAllowed(headers=dict(error.headers or {}))
    kinds: dict[int, type[Problem]] = {404: NotFound, 403: Refused, 400: BadRequest}
    return kinds.get(error.status_code, BadRequest)()


def from_validation(error: RequestValidationError) -> Problem:
    """What did not fit a declared type. A wrong number in an address means that there is no such page."""
    found = error.errors()
    if any(one["loc"][:1] == ("path",) for one in found):
        return NotFound()
    if any(one["type"] == "json_invalid" for one in found):
        return BadJson()
    return Unprocessable([fault_of(one) for one in found])


def fault_of(found: dict[str, Any]) -> Fault:
    """One fault at one field, in words of our own: the library's may repeat what was sent."""
    field = ".".join(str(part) for part in found["loc"][1:])
    kind = str(found["type"])
    if kind == "missing":
        return Fault(field, "required", "This is needed.")
    if kind == "extra_forbidden":
        return Fault(field, "unknown-field", "There is no such field here.")
    if kind.startswith("string_too_long"):
        return Fault(field, "text-too-long", "This is too long.")
    if kind == "value_error" and isinstance(found.get("ctx", {}).get("error"), ValueError):
        return Fault(field, "value", str(found["ctx"]["error"]))
    return Fault(field, "type", SENTENCES.get(kind, "This is not of the kind that is wanted here."))


SENTENCES = {
    "string_type": "This has to be text, in quotation marks.",
    "list_type": "This has to be a list.",
    "bool_type": "This has to be true or false.",
    "int_type": "This has to be a whole number.",
    "model_attributes_type": "This has to be an object with named fields.",
    "model_type": "This has to be an object with named fields.",
    "dict_type": "This has to be an object with named fields.",
}


def as_json(problem: Problem, reference: str = "") -> dict[str, object]:
    """The one error shape of the JSON interface.

    Code, sentence and at least one fault always; versions and a reference where there are any.
    """
    faults = problem.faults or (Fault(problem.field, problem.code, problem.sentence),)
    body: dict[str, object] = {
        "code": problem.code,
        "sentence": problem.sentence,
        "faults": [_as_json(fault) for fault in faults],
    }
    if isinstance(problem, Stale):
        body["versions"] = {"read_at": problem.read_at, "now": problem.now}
    if reference:
        body["reference"] = reference
    return {"error": body}


def _as_json(fault: AtField) -> dict[str, str]:
    told = {"field": fault.field, "code": fault.code, "sentence": fault.sentence}
    answer = getattr(fault, "answer", "")
    return {**told, "answer": answer} if answer else told
