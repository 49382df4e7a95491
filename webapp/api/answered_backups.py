"""The schemas of what is answered about backups."""

from __future__ import annotations

from collections.abc import Callable

from webapp.api.answered import ANSWERS as ANSWERED
from webapp.api.schemas import Schema
from webapp.api.typed_schemas import TEXT, WHOLE, exactly, of_type, several

_YES = of_type(bool)
_MAYBE: Schema = {"anyOf": [TEXT, {"type": "null"}]}
_HOLDS: Schema = {"type": "object", "additionalProperties": WHOLE}


def _backup(_: str = "") -> Schema:
    texts = dict.fromkeys(("name", "made", "why", "fault"), TEXT)
    return exactly({**texts, "bytes": WHOLE, "holds": _HOLDS, "whole": _YES, "checked": _MAYBE})


def _drill(_: str = "") -> Schema:
    return exactly({"at": TEXT, "products": WHOLE, "fault": TEXT})


def _at_rest(_: str = "") -> Schema:
    return exactly({"state": TEXT, "closed": _MAYBE, "noticed": _MAYBE, "before": _MAYBE})


def _list(_: str) -> Schema:
    elsewhere = exactly({"folder": TEXT, "at": _MAYBE, "days": WHOLE})
    drill: Schema = {"anyOf": [_drill(), {"type": "null"}]}
    return exactly({"items": several(_backup()), "drill": drill, "elsewhere": elsewhere, "data": _at_rest()})


def _preview(_: str) -> Schema:
    counts = dict.fromkeys(("now", "there", "only_now", "only_there", "changed"), WHOLE)
    rows = ANSWERED["preview_withdraw_{kind}"]("")["properties"]["rows"]
    return exactly({"other": _YES, "kinds": several(exactly({"kind": TEXT, **counts})), "rows": rows})


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "list_backups": _list,
    "accept_outside_change": _at_rest,
    "make_backup": _backup,
    "drill_backup": _drill,
    "copy_backup": lambda _: exactly({"file": TEXT}),
    "read_backup": _backup,
    "preview_restore": _preview,
    "restore_backup": lambda _: exactly({"epoch": TEXT, "before": TEXT}),
}
