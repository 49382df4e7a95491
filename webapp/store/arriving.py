"""A file that was sent and is looked at before it is saved: in the data folder under a secret name, given for a day.

It is no part of the book. At most MOST are kept; the oldest go first, and only then, so that a clock that is wrong for
a while takes no file away that waits. What was seen in one when it was looked at may
be noted beside it.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
import time
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from webapp.errors import NotFound, TooLarge, unwritten

MOST, MOST_SECONDS, MOST_BYTES = 20, 24 * 60 * 60, 8 * 1024 * 1024
FOLDER, NOTED = "arriving", ".seen"
#: a maker's own sheet; and how long the line before the bytes of a file can be
SHEET, MOST_HEAD = "sheet", 4096
_TOKEN = re.compile(r"[0-9a-f]{32}", re.ASCII)
_GONE = "That file is not kept any more: it was saved, or a day has passed. Choose it once more."


@dataclass(frozen=True, slots=True)
class Arrived:
    """A file as it was sent: what it was called, and its bytes."""

    name: str
    data: bytes

    @property
    def sha256(self) -> str:
        """The digest of the bytes, so that a form saves what it showed."""
        return hashlib.sha256(self.data).hexdigest()


@dataclass(frozen=True, slots=True)
class Waiting:
    """A file that waits: the token that it is asked for by, what it is called, when it came."""

    token: str
    name: str
    when: datetime


def keep(folder: Path, name: str, data: bytes, what: str = "") -> str:
    """Keep a file, with a word for `what` it is, and give the token that it is asked for by.

    TooLarge past MOST_BYTES, DiskFull or ReadOnly.
    """
    if len(data) > MOST_BYTES:
        raise TooLarge(f"That file is larger than {MOST_BYTES // 1024 // 1024} MiB. Nothing was changed.")
    token = secrets.token_hex(16)
    arrived = Arrived(name[:200], data)
    head = json.dumps({"name": arrived.name, "sha256": arrived.sha256, "what": what}).encode() + b"\n"
    place = folder / FOLDER
    try:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        _make_room(place)
        _write(place / token, head + data)
    except OSError as failure:
        raise unwritten(failure) from failure
    return token


def of(folder: Path, token: str) -> Arrived:
    """The file that was kept under `token`, whole. NotFound where it is gone, too old or damaged."""
    path = _path(folder, token)
    try:
        if time.time() - path.stat().st_mtime > MOST_SECONDS:
            raise NotFound(_GONE)
        head, _, data = path.read_bytes().partition(b"\n")
        told = json.loads(head)
        arrived = Arrived(str(told["name"]), data)
    except (FileNotFoundError, ValueError, KeyError, TypeError) as error:
        raise NotFound(_GONE) from error
    if arrived.sha256 != told["sha256"]:
        raise NotFound(_GONE)
    return arrived


def waiting(folder: Path, what: str) -> tuple[Waiting, ...]:
    """The files of a kind that are still given, the newest first; of one name the newest alone."""
    found, now = [], time.time()
    for path in (folder / FOLDER).iterdir() if (folder / FOLDER).is_dir() else ():
        with suppress(OSError, ValueError, KeyError, TypeError):
            when = path.stat().st_mtime
            with path.open("rb") as file:
                told = json.loads(file.readline(MOST_HEAD)) if _TOKEN.fullmatch(path.name) else {}
            if told.get("what") == what and now - when <= MOST_SECONDS:
                found.append(Waiting(path.name, str(told["name"]), datetime.fromtimestamp(when, UTC)))
    newest: dict[str, Waiting] = {}
    for one in sorted(found, key=lambda one: one.when, reverse=True):
        newest.setdefault(one.name, one)
    return tuple(newest.values())


def forget(folder: Path, token: str) -> None:
    """The file goes: it was saved, or it is not wanted. Nothing happens where it is gone already."""
    _gone(_path(folder, token))


def note(folder: Path, token: str, seen: Mapping[str, Any]) -> None:
    """Note what was seen in it, in place of what was noted before. DiskFull or ReadOnly where it can't be."""
    path = _path(folder, token).with_suffix(NOTED)
    try:
        for left in (path, path.with_suffix(".part")):
            left.unlink(missing_ok=True)
        _write(path, json.dumps(seen, default=str).encode())
    except OSError as failure:
        raise unwritten(failure) from failure


def noted(folder: Path, token: str) -> Mapping[str, Any] | None:
    """What was noted of it, amounts as texts; None where nothing was."""
    try:
        found = json.loads(_path(folder, token).with_suffix(NOTED).read_bytes())
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) else None


def _gone(path: Path) -> None:
    path.unlink(missing_ok=True)
    path.with_suffix(NOTED).unlink(missing_ok=True)


def _path(folder: Path, token: str) -> Path:
    if not _TOKEN.fullmatch(token):
        raise NotFound(_GONE)
    return folder / FOLDER / token


def _write(path: Path, content: bytes) -> None:
    part = path.with_suffix(".part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        part.replace(path)
    except OSError:
        with suppress(OSError):
            part.unlink()
        raise


def _make_room(place: Path) -> None:
    """The oldest of too many go, and before them those of a time to come: they are of a clock that was wrong."""
    found, now = [], time.time()
    for path in place.iterdir():
        with suppress(FileNotFoundError):
            when = path.stat().st_mtime
            found.append((when <= now, when, path))
    files = sorted((one for one in found if one[2].suffix != NOTED), reverse=True)
    for _, _, path in files[MOST - 1 :]:
        with suppress(OSError):
            _gone(path)
