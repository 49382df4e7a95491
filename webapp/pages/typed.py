"""What a browser sent: the body of a form as nested texts, and apart from them what steers its save."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import parse_qsl

from fastapi import Depends
from starlette.requests import Request

from webapp.costing import limits
from webapp.costing.describing import Rows, Shape
from webapp.costing.entry import is_spare
from webapp.errors import BadEncoding, Fault, MediaType, Unprocessable

CONTROLS = ("token", "epoch", "version", "more", "less", "draft", "page", "turn")
SURE = "sure"
NAME = re.compile(r"[a-z_][a-z0-9_]*(-(0|[1-9][0-9]{0,2}|[a-z_][a-z0-9_]*)){0,5}", re.ASCII)
TOKEN = re.compile(r"[A-Za-z0-9_-]{8,64}", re.ASCII)

Data = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Typed:
    """A form as it was sent: nested texts, and apart from them what steers the save."""

    data: Data
    token: str = ""
    epoch: str = ""
    version: int | None = None
    sure: frozenset[str] = frozenset()
    more: str = ""
    less: str = ""
    draft: str = ""
    page: str = ""
    """The form's own mark and the page that it stands on: what is half entered is kept by them."""
    turn: str = ""
    """Which word this is of a page whose script counts them: the page's mark, and a number."""


async def read_form(request: Request) -> Typed:
    """The form in the body. 400 for bytes that are not UTF-8, 422 for a name that comes twice or is none."""
    if request.headers.get("content-type", "").startswith("multipart/"):
        raise MediaType("Send it as the page's own form does. Nothing was changed.")
    return typed_from(pairs_in(await request.body()))


TypedNow = Annotated[Typed, Depends(read_form)]


def pairs_in(body: bytes) -> list[tuple[str, str]]:
    """The names and texts of a urlencoded body, in order."""
    try:
        text = body.decode("utf-8")
        return parse_qsl(text, keep_blank_values=True, errors="strict", max_num_fields=limits.FIELDS)
    except UnicodeDecodeError:
        raise BadEncoding from None
    except ValueError:
        sentence = f"This form has more than {limits.FIELDS} fields. Send fewer lines."
        raise Unprocessable([Fault("", "too-many-fields", sentence)]) from None


def typed_from(pairs: Sequence[tuple[str, str]]) -> Typed:
    """Sorted into what was typed and what steers."""
    texts: dict[str, str] = {}
    for name, text in pairs:
        if name in texts:
            raise Unprocessable([Fault(known_name(name), "duplicate-field", "This was sent twice. Send it once.")])
        if name != SURE:
            texts[name] = text
    steering = {name: texts.pop(name, "") for name in CONTROLS}
    version, token = steering["version"], steering["token"]
    return Typed(
        nested(texts),
        token if TOKEN.fullmatch(token) else "",
        steering["epoch"][:64],
        int(version) if re.fullmatch(r"0|[1-9][0-9]{0,17}", version, re.ASCII) else None,
        frozenset(text[:64] for name, text in pairs if name == SURE),
        steering["more"],
        steering["less"],
        steering["draft"] if TOKEN.fullmatch(steering["draft"]) else "",
        steering["page"],
        steering["turn"],
    )


def known_name(name: str) -> str:
    """A field's name, if it can be one of ours: a strange one is not repeated."""
    return name if NAME.fullmatch(name) else ""


def nested(texts: Mapping[str, str]) -> Data:
    """`lines-3-amount` as the amount of the fourth of the lines. Lines that were left out are None."""
    tree: Data = {}
    for name, text in texts.items():
        if not NAME.fullmatch(name):
            raise Unprocessable([Fault("", "unknown-field", "A field was sent that is not of this form.")])
        *way, last = name.split("-")
        place: Any = tree
        for step in way:
            place = place.setdefault(step, {}) if isinstance(place, dict) else None
        if not isinstance(place, dict) or last in place:
            raise Unprocessable([Fault(name, "shape", "This was sent as one field and as several.")])
        place[last] = text
    return {name: _with_lists(value) for name, value in tree.items()}


def _with_lists(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    inside = {name: _with_lists(one) for name, one in value.items()}
    if not all(name.isdigit() for name in inside):
        return inside
    return [inside.get(str(index)) for index in range(max(map(int, inside)) + 1)]


def flat(value: Any, path: str = "") -> dict[str, str]:
    """Nested texts by the names of their fields."""
    if isinstance(value, Mapping):
        return {k: v for name, one in value.items() for k, v in flat(one, f"{path}-{name}" if path else name).items()}
    if isinstance(value, list):
        return {k: v for index, one in enumerate(value) for k, v in flat(one, f"{path}-{index}").items()}
    return {} if value is None else {path: str(value)}


def closed_up(shape: Shape, data: Data) -> Data:
    """Without empty lines, so that the lines of the form and of the record have the same numbers."""
    kept = dict(data)
    for one in shape.fields:
        rows = kept.get(one.name)
        if isinstance(one.kind, Rows) and isinstance(rows, list):
            kept[one.name] = [row for row in rows if row is not None and not is_spare(row, one.kind)]
    return kept
