"""What many tests begin with is done once by the pages, and copied for the others: the data is the same to the byte."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import date

from starlette.testclient import TestClient

from webapp.store.opening import FILE

#: the data as it was left, by what was done, on which day
_DONE: dict[tuple[str, date], sqlite3.Connection] = {}


def remembered(client: TestClient, what: str, work: Callable[[TestClient], None]) -> None:
    """Do `work` by the client's pages; on untouched data in a file take what it left the first time instead."""
    state = client.app.state  # type: ignore[attr-defined]
    settings, day = state.settings, state.today()
    if settings.database is not None or state.store.snapshot(day).version != 0:
        work(client)
        return
    with closing(sqlite3.connect(settings.data / FILE)) as file:
        if (what, day) in _DONE:
            _DONE[what, day].backup(file)
            return
        work(client)
        kept = sqlite3.connect(":memory:", check_same_thread=False)
        file.backup(kept)
        _DONE[what, day] = kept
