"""Everything that holds in the tables, whatever the day, as records."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from webapp.costing.everything import Everything
from webapp.costing.limits import LAST_DAY
from webapp.store.aspects import Aspect, Identity, Kept, Stored
from webapp.store.assembling import record_of
from webapp.store.reading import Live
from webapp.store.rows import STORED


def everything_of(live: Live) -> Everything:
    """All that `live` holds. What was corrected, withdrawn or taken away is not in it."""
    versions: dict[str, dict[Identity, tuple[Any, ...]]] = {}
    parts: dict[tuple[str, str], dict[Identity, tuple[Any, ...]]] = {}
    retired: dict[int, date] = {}
    for kind, stored in STORED.items():
        identities = sorted(live.tables[stored.aspects[0].table.name])
        versions[kind] = {one: found for one in identities if (found := _versions(live, stored, one))}
        for name, aspect in stored.parts.items():
            parts[kind, name] = {one: found for one in identities if (found := _parts(live, aspect, one))}
        if stored.retired is not None:
            days = ((one, _away_since(live.rows(stored.retired, one))) for one in identities)
            retired.update((one, day) for one, day in days if day is not None)
    return Everything(versions, parts, retired)


def _versions(live: Live, stored: Stored, identity: Identity) -> tuple[Any, ...]:
    days = [LAST_DAY]
    if stored.content is not None:
        days = sorted({row.day for row in live.rows(stored.content, identity)})
    found = (record_of(live, stored, identity, day) for day in days)
    left_out: dict[str, Any] = dict.fromkeys(stored.parts)
    if stored.retired is not None:
        left_out["retired"] = None
    return tuple(replace(record, **left_out) for record in found if record is not None)


def _parts(live: Live, aspect: Aspect, identity: Identity) -> tuple[Any, ...]:
    """From the last day on which there was none; what was before a thing was taken away is left out."""
    found: list[Any] = []
    for row in sorted(live.rows(aspect, identity), key=lambda row: row.day):
        if row.value[aspect.columns[0]] is None or aspect.part is None:
            found.clear()
        else:
            found.append(aspect.part(since=row.day, **row.value))
    return tuple(found)


def _away_since(rows: list[Kept]) -> date | None:
    since: date | None = None
    for row in sorted(rows, key=lambda row: row.day):
        since = (since or row.day) if row.value["away"] else None
    return since
