"""Export and import by the command: into a file and back, asked first, refused while a server holds the data."""

from __future__ import annotations

from contextlib import ExitStack
from datetime import date
from pathlib import Path

import pytest

from webapp import cli, example
from webapp.serving import hold_data
from webapp.settings import Settings
from webapp.store.opening import open_store


@pytest.fixture
def full(tmp_path: Path) -> Path:
    """The example workshop's folder."""
    folder = tmp_path / "full"
    store = open_store(Settings(data=folder, database=None))
    example.fill(store, date.today())  # noqa: DTZ011 - as the command has it
    store.close()
    return folder


@pytest.mark.parametrize("kind", ["json", "xlsx", "zip"])
def test_out_and_in(full: Path, tmp_path: Path, kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    file, new = tmp_path / f"book.{kind}", tmp_path / "new"
    assert cli.main(["export", str(file), "--data", str(full)]) == cli.OK
    assert "sheets were exported" in capsys.readouterr().out
    assert cli.main(["import", str(file), "--data", str(new)]) == cli.FOUND_WRONG  # nobody was asked
    assert "say --yes" in capsys.readouterr().err
    assert cli.main(["import", str(file), "--data", str(new), "--yes"]) == cli.OK
    assert "which can be undone" in capsys.readouterr().out
    both = [tmp_path / "one.json", tmp_path / "two.json"]
    for folder, out in zip((full, new), both, strict=True):
        assert cli.main(["export", str(out), "--data", str(folder)]) == cli.OK
    assert both[0].read_bytes() == both[1].read_bytes()
    assert list((new / "backups").glob("*before-import.db"))
    assert not list(tmp_path.glob("*.part"))


def test_what_is_wrong_is_said_and_nothing_is_stored(
    full: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "wages.csv"
    file.write_text("Belongs to,An hour\nNobody at all,12\n", encoding="utf-8")
    assert cli.main(["import", str(file), "--data", str(full), "--yes"]) == cli.FOUND_WRONG
    told = capsys.readouterr()
    assert "Wages, row 2, Belongs to: There is no person called Nobody at all" in told.out
    assert "Nothing was imported." in told.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["export", "book.pdf"], "must end with"),
        (["import", "nowhere.json"], "can't be read"),
    ],
)
def test_what_cannot_be_done_is_said(
    full: Path, tmp_path: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main([words[0], str(tmp_path / words[1]), "--data", str(full)]) == cli.CANNOT_START
    assert said in capsys.readouterr().err


def test_nothing_is_exported_where_nothing_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["export", str(tmp_path / "a.json"), "--data", str(tmp_path / "no")]) == cli.CANNOT_START
    assert "There is no data" in capsys.readouterr().err
    assert not (tmp_path / "no").exists()


def test_an_import_waits_for_no_server(full: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "book.json"
    assert cli.main(["export", str(file), "--data", str(full)]) == cli.OK
    with ExitStack() as stack:
        hold_data(Settings(data=full, database=None), stack)
        assert cli.main(["import", str(file), "--data", str(full), "--yes"]) == cli.CANNOT_START
        assert "already open" in capsys.readouterr().err
        assert cli.main(["export", str(file), "--data", str(full)]) == cli.OK  # it only reads
