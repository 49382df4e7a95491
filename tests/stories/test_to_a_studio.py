"""From one kitchen to a studio and back, at the command line: moved, served by two, gone on with, and moved home."""

from __future__ import annotations

import subprocess
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.faults.program import Program, run, supplier
from tests.test_workers import ask, served
from webapp import example
from webapp.settings import Settings

pytestmark = pytest.mark.postgres

LINE, CREATED = "/api/line", 201


def brimful(*words: str, database: str = "") -> subprocess.CompletedProcess[str]:
    return run(*words, **({"BRIMFUL_DATABASE": database} if database else {}))


def costs(program: Program) -> Any:
    return program.ask("GET", LINE)[1]["items"]


def test_from_a_kitchen_to_a_studio_and_home_again(postgres_url: str, tmp_path: Path) -> None:
    kitchen, home, beside = tmp_path / "kitchen", tmp_path / "home", tmp_path / "beside"
    today = date.today()  # noqa: DTZ011 - the command takes the machine's day
    example.prepare(Settings(data=kitchen, database=None), today, fresh=False)

    with Program(kitchen) as program:
        before = costs(program)
        assert len(before) > 20
        busy = brimful("move-to", postgres_url, "--data", str(kitchen))
        assert "already open with this data" in busy.stderr
        assert program.save("While it ran") == CREATED
        program.stop()

    moved = brimful("move-to", postgres_url, "--data", str(kitchen))
    assert (moved.returncode, moved.stderr) == (0, "")
    assert "14 products: every cost and price is the same in both" in moved.stdout
    assert "3 changes" in moved.stdout
    assert "holds data already" in brimful("move-to", postgres_url, "--data", str(kitchen)).stderr

    with served(postgres_url, beside) as studio:
        line = studio.line()
        assert ask(line, "GET", LINE)["items"] == before
        made = ask(line, "POST", "/api/suppliers", supplier("In the studio"))
        ask(line, "POST", "/api/undo/3")
        line.close()

    back = brimful("move-to", str(home), database=postgres_url)
    assert (back.returncode, back.stderr) == (0, "")
    with Program(home) as program:
        assert costs(program) == before
        assert program.ask("GET", f"/api/suppliers/{made['id']}")[0] == 200
        names = [one["name"] for one in program.ask("GET", "/api/suppliers")[1]["items"]]
        assert "In the studio" in names
        assert "While it ran" not in names
    with Program(kitchen) as program:
        assert costs(program) == before
        assert "While it ran" in str(program.ask("GET", "/api/suppliers")[1]), "the old place is as it was left"
