"""A form with a file in it, as browsers send one (multipart/form-data, RFC 7578): its texts, and the one file.

The body was taken whole before, within the front door's limit; nothing is written anywhere here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from email.message import Message
from typing import Annotated
from urllib.parse import unquote

from fastapi import Depends
from starlette.requests import Request

from webapp.costing import limits
from webapp.errors import BadEncoding, BadRequest, Fault, Unprocessable
from webapp.pages.typed import Typed, pairs_in, typed_from

_NAME = re.compile(rb'\bname="([^"\r\n]*)"', re.IGNORECASE)
_FILE_NAME = re.compile(rb'\bfilename="((?:[^"\r\n\\]|\\.)*)"', re.IGNORECASE)
_BROKEN = "That form could not be read. Nothing was changed; send it once more."


@dataclass(frozen=True, slots=True)
class Upload:
    """What was sent: the form's texts, what the file is called, and its bytes (none where none was chosen)."""

    typed: Typed
    name: str = ""
    data: bytes = b""


async def read_upload(request: Request) -> Upload:
    """The form in the body, with or without a file. 400 for a body that is none, 422 as for any form."""
    kind = request.headers.get("content-type", "")
    body = await request.body()
    if not kind.startswith("multipart/"):
        return Upload(typed_from(pairs_in(body)))
    told = Message()
    told["content-type"] = kind
    boundary = told.get_boundary()
    if not boundary or len(boundary) > 100:
        raise BadRequest(_BROKEN)
    return _parted(body, boundary.encode())


UploadNow = Annotated[Upload, Depends(read_upload)]


def _parted(body: bytes, boundary: bytes) -> Upload:
    first, *parts = (b"\r\n" + body).split(b"\r\n--" + boundary)
    if first.strip() or not parts or not parts[-1].startswith(b"--"):
        raise BadRequest(_BROKEN)
    if len(parts) > limits.FIELDS:
        words = f"This form has more than {limits.FIELDS} fields. Send fewer."
        raise Unprocessable([Fault("", "too-many-fields", words)])
    pairs: list[tuple[str, str]] = []
    file_name, data = "", b""
    for part in parts[:-1]:
        head, blank, content = part.removeprefix(b"\r\n").partition(b"\r\n\r\n")
        named, filed = _NAME.search(head), _FILE_NAME.search(head)
        if not blank or named is None:
            raise BadRequest(_BROKEN)
        if filed is None:
            pairs.append((_text(named[1]), _text(content)))
        elif content or filed[1]:
            if data:
                raise BadRequest("One file at a time. Nothing was changed.")
            file_name, data = unquote(_text(filed[1])), content
    return Upload(typed_from(pairs), re.split(r"[/\\]", file_name)[-1][:200], data)


def _text(content: bytes) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise BadEncoding from None
