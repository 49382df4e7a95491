"""A new data file goes through all migrations once a run, and is a copy of that one from then on."""

from __future__ import annotations

import secrets
import sqlite3
from typing import Any

from sqlalchemy import Engine

from webapp.store import migrations


class MadeOnce:
    """The migrations as a new data file asks for them: to go through all of them takes longer than most tests.

    A copy is another workshop's data, so it has an epoch of its own. What a test puts in the place of the migrations
    is used, and a file that holds anything is migrated as ever.
    """

    upgrade_itself = staticmethod(migrations.upgrade)

    def __init__(self) -> None:
        self.made: sqlite3.Connection | None = None

    def __getattr__(self, name: str) -> Any:
        return getattr(migrations, name)

    def upgrade(self, engine: Engine) -> None:
        """Bring a file to the newest layout."""
        with engine.connect() as connection:
            raw: Any = connection.connection.dbapi_connection
            of_its_own = migrations.upgrade is self.upgrade_itself and _layout(raw) == ""
            if of_its_own and self.made is not None:
                self.made.backup(raw)
                raw.execute("UPDATE ledger SET epoch = ?", [secrets.token_hex(8)])
                raw.commit()
                return
        migrations.upgrade(engine)
        with engine.connect() as connection:
            raw = connection.connection.dbapi_connection
            if of_its_own and _layout(raw) == migrations.HEAD:
                self.made = sqlite3.connect(":memory:", check_same_thread=False)
                raw.backup(self.made)


def _layout(file: sqlite3.Connection) -> str:
    """The revision of a file; "" where nothing is in it."""
    if file.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,):
        return ""
    return str(file.execute("SELECT version_num FROM alembic_version").fetchone()[0])
