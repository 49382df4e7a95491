"""An open store: always in a file, and in PostgreSQL where BRIMFUL_TEST_POSTGRES gives an address."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.on_postgres import copied_postgres
from webapp.settings import Settings
from webapp.store.opening import FILE, Store, open_store

NAMED = bool(os.environ.get("BRIMFUL_TEST_POSTGRES"))
KINDS = ["sqlite", *([pytest.param("postgres", marks=pytest.mark.postgres)] if NAMED else [])]


@pytest.fixture(params=KINDS)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    """As it is when new: a copy, since making one takes longer than most tests."""
    folder = tmp_path / "data"
    folder.mkdir()
    if request.param == "sqlite":
        shutil.copy(request.getfixturevalue("new_file"), folder / FILE)
        settings = Settings(data=folder, database=None)
    else:
        settings = Settings(data=folder, database=copied_postgres(request.getfixturevalue("new_postgres")))
    opened = open_store(settings)
    yield opened
    opened.close()
