"""An open store: always in a file, and in PostgreSQL where BRIMFUL_TEST_POSTGRES gives an address."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import SecretStr
from sqlalchemy import create_engine, text

from webapp.settings import Settings
from webapp.store.opening import Store, open_store

NAMED = bool(os.environ.get("BRIMFUL_TEST_POSTGRES"))
KINDS = ["sqlite", *([pytest.param("postgres", marks=pytest.mark.postgres)] if NAMED else [])]


def emptied_postgres() -> Settings:
    address = os.environ["BRIMFUL_TEST_POSTGRES"]  # read only now: each process has been given its own meanwhile
    engine = create_engine(address.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return Settings(database=SecretStr(address))


@pytest.fixture(params=KINDS)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    settings = Settings(data=tmp_path / "data") if request.param == "sqlite" else emptied_postgres()
    opened = open_store(settings)
    yield opened
    opened.close()
