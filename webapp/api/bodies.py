"""What a program sent: JSON read strictly, and what a save is sent with.

Numbers stay what they are in the text: an amount is wanted as text, so a bare number is a fault at its field and never
becomes a binary fraction. A name that comes twice in one object is refused, as are bytes that are not UTF-8.
"""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Header, Query
from starlette.requests import Request

from webapp.door.asking import visitor_of
from webapp.door.who import BY_PROGRAM
from webapp.errors import BadEncoding, BadJson, Fault, MissingPrecondition, Unprocessable
from webapp.store.writing import Intent

KEY = re.compile(r"[!-~]{8,64}", re.ASCII)
TAG = re.compile(r'"([A-Za-z0-9_-]{1,64})\.(0|[1-9][0-9]{0,17})"', re.ASCII)
LONGEST_WHOLE = 18
MOST_ANSWERS = 300


@dataclass(frozen=True, slots=True)
class Bare:
    """A number that is no reference: kept as it was written, so that whoever reads it can refuse it in words."""

    text: str


def _whole(text: str) -> int | Bare:
    return int(text) if len(text) <= LONGEST_WHOLE else Bare(text)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise BadJson("One name comes twice in the same object. Nothing was changed.")
    return found


def parsed(body: bytes) -> Any:
    """The JSON in a body. BadEncoding or BadJson where there is none."""
    try:
        text = body.decode("utf-8")
        return json.loads(text, object_pairs_hook=_once, parse_float=Bare, parse_constant=Bare, parse_int=_whole)
    except UnicodeDecodeError:
        raise BadEncoding from None
    except (ValueError, RecursionError):
        raise BadJson from None


@dataclass(frozen=True, slots=True)
class Sent:
    """A body as it was sent, without the answers to questions that stood in it; and the hash of the whole."""

    data: Any
    input_hash: str
    sure: frozenset[str] = frozenset()


async def read_json(request: Request) -> Sent:
    """The JSON body of a request."""
    body = await request.body()
    if not body:
        raise BadJson("Send a JSON object in the body. Nothing was changed.")
    data, sure = parted(parsed(body))
    return Sent(data, hash_of(request, body), sure)


async def read_nothing(request: Request) -> Sent:
    """For acts that need no body: an empty one, or an object with nothing but `sure`."""
    body = await request.body()
    data, sure = parted(parsed(body) if body else {})
    if data != {}:
        raise Unprocessable([Fault("", "unknown-field", 'This act takes no fields but "sure". Send no body, or {}.')])
    return Sent(data, hash_of(request, body), sure)


def parted(data: Any) -> tuple[Any, frozenset[str]]:
    """What was sent without `sure`, and the answers to the questions that it says yes to."""
    if not isinstance(data, dict) or "sure" not in data:
        return data, frozenset()
    codes = data["sure"]
    listed = isinstance(codes, list) and len(codes) <= MOST_ANSWERS and all(isinstance(one, str) for one in codes)
    if not listed:
        sentence = f"Write this as a list of the answers that were named with what was asked, {MOST_ANSWERS} at most."
        raise Unprocessable([Fault("sure", "shape", sentence)])
    return {name: one for name, one in data.items() if name != "sure"}, frozenset(codes)


def hash_of(request: Request, body: bytes) -> str:
    """What tells two sendings apart: the method, the address and the body."""
    return hashlib.sha256(f"{request.method} {request.url.path}\n".encode() + body).hexdigest()


BodyNow = Annotated[Sent, Depends(read_json)]
NoBody = Annotated[Sent, Depends(read_nothing)]


async def read_prices(request: Request) -> Sent:
    """For acts that move costs: no body, or an object with `sure` and the prices that are decided with it."""
    body = await request.body()
    data, sure = parted(parsed(body) if body else {})
    if not isinstance(data, dict) or data.keys() - {"prices"}:
        sentence = 'This act takes no fields but "prices" and "sure". Send no body, or {}.'
        raise Unprocessable([Fault("", "unknown-field", sentence)])
    return Sent(data, hash_of(request, body), sure)


PricesOnly = Annotated[Sent, Depends(read_prices)]


# --- what a save is sent with


@dataclass(frozen=True, slots=True)
class Terms:
    """The headers and answers that a change is made under."""

    key: str
    epoch: str | None
    version: int | None
    sure: frozenset[str]
    mark: str = BY_PROGRAM
    """What marks the change: that a program made it, and on which device."""

    def intent(self, said: str, sent: Sent, *, must_match: bool) -> Intent:
        """What the store is told. MissingPrecondition where a stored thing is changed without If-Match."""
        if must_match and self.version is None:
            raise MissingPrecondition("Send If-Match with the ETag that you read. Nothing was changed.")
        sure = self.sure | sent.sure
        return Intent(said, "", self.mark, self.key, sent.input_hash, self.epoch, self.version, sure)


def read_terms(
    request: Request,
    idempotency_key: Annotated[
        str | None, Header(description="8 to 64 characters; the same sending twice is stored once")
    ] = None,
    if_match: Annotated[str | None, Header(description="the ETag of the record as it was read")] = None,
    sure: Annotated[
        list[str] | None,
        Query(max_length=MOST_ANSWERS, description="answers to questions; the body may name them too"),
    ] = None,
) -> Terms:
    """Idempotency-Key, If-Match and the questions that are answered."""
    key = idempotency_key or ""
    if key and not KEY.fullmatch(key):
        sentence = "Send an Idempotency-Key of 8 to 64 visible ASCII characters."
        raise Unprocessable([Fault("Idempotency-Key", "text", sentence)])
    tag = TAG.fullmatch((if_match or "").strip())
    mark = BY_PROGRAM + visitor_of(request.scope).mark
    codes = frozenset(one[:64] for one in sure or ())
    return Terms(key, tag[1] if tag else None, int(tag[2]) if tag else None, codes, mark)


TermsNow = Annotated[Terms, Depends(read_terms)]
