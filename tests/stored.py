"""What is stored, as one hash: what was typed into a form and waits there is kept, and is nothing that is stored."""

from __future__ import annotations

import hashlib
import os
from typing import Any

from sqlalchemy import select
from sqlmodel import SQLModel

from webapp.settings import Settings
from webapp.store.engine import postgres_engine, sqlite_engine
from webapp.store.opening import FILE


def content_hash(settings: Settings) -> str:
    """A hash of every row of every table but those of what is half entered, read past the program."""
    address = settings.database
    engine: Any = (
        sqlite_engine(settings.data / FILE) if address is None else postgres_engine(address.get_secret_value())
    )
    found = hashlib.sha256()
    try:
        with engine.connect() as connection:
            for table in (one for one in SQLModel.metadata.sorted_tables if one.name not in ("draft", "heard")):
                rows = connection.execute(select(table)).all()
                found.update(repr((table.name, sorted(map(repr, rows)))).encode())
    finally:
        engine.dispose()
    return found.hexdigest()


class Watched:
    """The hash of what is stored, taken anew only where something was written: for what asks after every request."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self._counted = b""
        self._found = ""

    def hash(self) -> str:
        """The hash as it is now."""
        counted = self._changes()
        if not counted or counted != self._counted:
            self._counted, self._found = counted, content_hash(self.settings)
        return self._found

    def _changes(self) -> bytes:
        """SQLite's own count of the changes of its file, in its header (file format, 1.3.6); empty elsewhere.

        Which file it is goes with it: one that a restore put in its place may count as far as the one before.
        """
        if self.settings.database is not None:
            return b""
        with (self.settings.data / FILE).open("rb") as file:
            which = os.fstat(file.fileno())
            return f"{which.st_ino} {which.st_mtime_ns} ".encode() + file.read(28)[24:]
