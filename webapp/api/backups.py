"""Backups by JSON: listed, made, checked, tried, copied elsewhere, compared with the data and put in its place."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.responses import JSONResponse, Response

from webapp.api.answers import Answer
from webapp.api.asking import AskedNow, TodayNow
from webapp.api.bodies import BodyNow, NoBody, TermsNow
from webapp.api.describing import ACT, described_body
from webapp.api.interface import Interface
from webapp.api.previews import changed_rows
from webapp.api.schemas import Schema, named
from webapp.costing.two_books import KindCompared
from webapp.errors import Fault, MissingPrecondition, Unprocessable
from webapp.store import backup_copying as copying
from webapp.store.at_rest import AtRest
from webapp.store.backup_drill import drill, last_drill
from webapp.store.backup_preview import Preview, preview_beside
from webapp.store.backups import ASKED, Backup
from webapp.store.restoring import verify

router = Interface()
AT = "/backups"
TAGS: list[Any] = ["backups"]
MOST = 200
FOLDER = described_body(named("folder"), {"folder": "/media/stick/brimful"})


def components() -> dict[str, Schema]:
    """The schema of what is sent, by its name."""
    folder: Schema = {"type": "string", "minLength": 1, "maxLength": copying.LONGEST}
    properties: Schema = {"folder": folder}
    sent = {"type": "object", "additionalProperties": False, "required": ["folder"], "properties": properties}
    return {"folder": sent}


async def _name(request: Request) -> str:
    return str(request.path_params["name"])


BackupName = Annotated[str, Depends(_name)]
PATTERN = "[a-z]{1,20}-[0-9]{8}T[0-9]{12}Z-[a-z0-9-]{1,40}"
#: described by hand: a pattern that is checked would answer 422 where there is just no such backup
NAMED: dict[str, Any] = {
    "parameters": [
        {"name": "name", "in": "path", "required": True, "schema": {"type": "string", "pattern": f"^{PATTERN}$"}}
    ]
}


def told(one: Backup) -> Answer:
    """A backup: when, why, what it holds, whether its last check found it whole."""
    return {
        "name": one.name,
        "made": one.when.isoformat(),
        "why": one.why,
        "bytes": one.size,
        "holds": {kind: int(many) for kind, many in one.facts.get("holds", {}).items()},
        "whole": one.is_whole,
        "checked": one.checked.isoformat() if one.checked else None,
        "fault": one.fault,
    }


@router.get(AT, tags=TAGS, summary="The backups", operation_id="list_backups")
def listed(asked: AskedNow) -> Response:
    """The newest first, the last drill, copies elsewhere, and whether the data is as Brimful had left it.

    `data.state` is `same`, `changed` (by something other than Brimful, and nobody said that it was meant), `unknown`
    (there was no checksum to compare with) or `new`.
    """
    shelf = asked.store.shelf
    known, tried = copying.elsewhere(shelf), last_drill(shelf)
    elsewhere = {"folder": known.folder, "at": known.at.isoformat() if known.at else None, "days": known.days}
    drilled = {"at": tried.at.isoformat(), "products": tried.products, "fault": tried.fault} if tried else None
    data = at_rest(asked.store.at_rest)
    items = [told(one) for one in shelf.all()]
    return JSONResponse({"items": items, "drill": drilled, "elsewhere": elsewhere, "data": data})


def at_rest(found: AtRest) -> Answer:
    """Whether the data is as it was left; `before` is the newest backup of when it was found changed."""
    moments = {name: one.isoformat() if one else None for name, one in found.moments}
    return {"state": found.state, **moments, "before": found.before or None}


@router.post(
    f"{AT}/meant",
    tags=TAGS,
    summary="What was changed from outside was meant",
    operation_id="accept_outside_change",
    openapi_extra=ACT,
)
def meant(asked: TodayNow, body: NoBody) -> Response:
    """It is not told any more. Where nothing was changed from outside nothing happens."""
    del body
    asked.store.accept_change()
    return JSONResponse(at_rest(asked.store.at_rest))


@router.post(AT, tags=TAGS, summary="Make a backup now", operation_id="make_backup", openapi_extra=ACT, status_code=201)
def make(asked: TodayNow, body: NoBody) -> Response:
    """It is checked before it is told of, and those that are not kept any more go."""
    del body
    return JSONResponse(told(asked.store.shelf.make(ASKED, asked.today)), 201)


@router.post(f"{AT}/drill", tags=TAGS, summary="Try the newest", operation_id="drill_backup", openapi_extra=ACT)
def try_newest(asked: TodayNow, body: NoBody) -> Response:
    """It is restored into a temporary place and every product costed there; `fault` says what failed."""
    del body
    done = drill(asked.store.shelf)
    return JSONResponse({"at": done.at.isoformat(), "products": done.products, "fault": done.fault})


@router.post(
    f"{AT}/copy",
    tags=TAGS,
    summary="Copy the newest elsewhere",
    operation_id="copy_backup",
    openapi_extra=FOLDER,
    status_code=201,
)
def copy(asked: TodayNow, body: BodyNow) -> Response:
    """The newest whole one, read back and compared, in a folder that is remembered."""
    data = body.data if isinstance(body.data, dict) else {}
    unknown = [Fault(name, "unknown-field", "There is no such field here.") for name in data.keys() - {"folder"}]
    folder = data.get("folder")
    if unknown or not isinstance(folder, str):
        raise Unprocessable(unknown or [Fault("folder", "type", "Say which folder, as a text.")])
    return JSONResponse({"file": str(copying.copy_to(asked.store.shelf, folder))}, 201)


@router.get(f"{AT}/{{name}}", tags=TAGS, summary="One backup", operation_id="read_backup", openapi_extra=NAMED)
def one(asked: AskedNow, name: BackupName) -> Response:
    """It is checked bit by bit, now."""
    shelf = asked.store.shelf
    return JSONResponse(told(shelf.check(shelf.find(name))))


@router.get(
    f"{AT}/{{name}}/differences",
    tags=TAGS,
    summary="What a restore would change; nothing is stored",
    operation_id="preview_restore",
    openapi_extra=NAMED,
)
def preview(asked: TodayNow, name: BackupName) -> Response:
    """How many things of each kind differ, and the rows of the line that move. `other`: it is of other data."""
    found = asked.store.shelf.find(name)
    verify(found.path)
    beside = preview_beside(asked.reckoning, asked.store.begun, found.path)
    return JSONResponse(_compared(beside), headers={"ETag": asked.whole_tag})


def _compared(beside: Preview) -> Answer:
    compared = beside.compared
    if compared is None:
        return {"other": True, "kinds": [], "rows": []}
    kinds = [_kind(kind) for kind in compared.kinds if kind.differs]
    return {"other": False, "kinds": kinds, "rows": changed_rows(compared.rows[:MOST], beside.then)}


def _kind(kind: KindCompared) -> Answer:
    counts = {"only_now": kind.only_now, "only_there": kind.only_then, "changed": kind.changed}
    return {"kind": kind.kind, "now": kind.now, "there": kind.then} | {name: len(some) for name, some in counts.items()}


@router.post(
    f"{AT}/{{name}}/restore",
    tags=TAGS,
    summary="Put a backup in the place of the data",
    operation_id="restore_backup",
    openapi_extra={**ACT, **NAMED},
)
def restore(asked: TodayNow, name: BackupName, body: NoBody, terms: TermsNow) -> Response:
    """The present data is backed up first. If-Match is wanted: the ETag of the preview."""
    del body
    if terms.epoch is None or terms.version is None:
        raise MissingPrecondition("Send If-Match with the ETag that you read. Nothing was changed.")
    found = asked.store.shelf.find(name)
    done = asked.store.restore(found.path, asked.today, (terms.epoch, terms.version))
    return JSONResponse({"epoch": done.epoch, "before": done.before})
