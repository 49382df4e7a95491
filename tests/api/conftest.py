"""A filled installation, made by sending every documented example in order."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import send_examples
from tests.asked import Client
from webapp.app import make_app
from webapp.settings import Settings
from webapp.store.opening import FILE


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, int]]:
    """A data file with every example in it, sent once for all tests on SQLite; and the number of each."""
    folder = tmp_path_factory.mktemp("examples")
    app = make_app(Settings(data=folder), today=lambda: date(2026, 11, 25))
    with Client(app, base_url="http://127.0.0.1") as client:
        return folder / FILE, send_examples(client)


@pytest.fixture
def settings(settings: Settings, request: pytest.FixtureRequest) -> Settings:
    """A fresh data folder; where a test wants the examples, with them in it."""
    if settings.database is None and "ids" in request.fixturenames:
        settings.data.mkdir(parents=True, exist_ok=True)
        shutil.copy(request.getfixturevalue("prepared")[0], settings.data / FILE)
    return settings


@pytest.fixture
def ids(client: TestClient, settings: Settings, request: pytest.FixtureRequest) -> dict[str, int]:
    """The number of every example, by its name."""
    if settings.database is not None:
        return send_examples(client)
    found: dict[str, int] = request.getfixturevalue("prepared")[1]
    return found


@pytest.fixture
def content(client: TestClient, settings: Settings) -> Callable[[], str]:
    """A hash of all that is stored: the database says what it holds, so it serves on both."""

    def taken() -> str:
        stems = ("materials", "orders", "formulas", "products", "channels", "suppliers", "people", "bills")
        addresses = ["changes?page_size=200", *(f"{stem}?page_size=200&retired=true" for stem in stems)]
        found: list[Any] = [client.get(f"/api/{address}").text for address in addresses]
        file: Path = settings.data / FILE
        found.append(file.read_bytes() if settings.database is None else b"")
        return hashlib.sha256(repr(found).encode()).hexdigest()

    return taken
