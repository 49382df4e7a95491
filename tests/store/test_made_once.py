"""A copy of the new file that was made first is what the migrations make, but for whose data it is."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.made_once import MadeOnce
from tests.store.kept import failing
from webapp.store import migrations
from webapp.store.engine import APPLICATION_ID, sqlite_engine


def made(by: Any, path: Path) -> tuple[str, list[str], int]:
    """The epoch of a file that is made new, all else that is in it as statements, and whose program it is of."""
    engine = sqlite_engine(path)
    by.upgrade(engine)
    engine.dispose()
    with closing(sqlite3.connect(path)) as file:
        epoch = file.execute("SELECT epoch FROM ledger").fetchone()[0]
        told = [line.replace(epoch, "EPOCH") for line in file.iterdump()]
        return epoch, told, file.execute("PRAGMA application_id").fetchone()[0]


def test_a_copy_is_what_the_migrations_make_with_an_epoch_of_its_own(tmp_path: Path) -> None:
    once = MadeOnce()
    first, second = made(once, tmp_path / "first"), made(once, tmp_path / "second")
    afresh = made(migrations, tmp_path / "afresh")
    assert once.made is not None
    assert len({first[0], second[0], afresh[0]}) == 3
    assert first[1:] == second[1:] == afresh[1:]
    assert second[2] == APPLICATION_ID
    assert len(second[1]) > 100


def test_what_a_test_puts_in_the_place_of_the_migrations_is_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    once = MadeOnce()
    made(once, tmp_path / "first")
    monkeypatch.setattr(migrations, "upgrade", failing(OSError("put in their place")))
    with pytest.raises(OSError, match="put in their place"):
        made(once, tmp_path / "second")
