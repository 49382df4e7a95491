"""One backup: made whole or not at all, and any damage to it noticed."""

from __future__ import annotations

import errno
import json
import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest

from tests import examples
from tests.store.kept import failing, flip, run, shelf_in
from webapp.store import backup as made_by
from webapp.store import migrations
from webapp.store.backup import BackupFailed, examine_file, make_backup, read_facts, verify_backup
from webapp.store.opening import FILE


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file with something in it."""
    return shelf_in(tmp_path / "data").file


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where backups go; not there yet."""
    return tmp_path / "backups"


def test_a_backup_is_whole_and_its_facts_are_beside_it(file: Path, folder: Path) -> None:
    backup = make_backup(file, folder, "asked")
    facts = verify_backup(backup)
    assert sorted(path.suffix for path in folder.iterdir()) == [".db", ".json"]
    assert (facts["why"], facts["schema"], facts["size"]) == ("asked", migrations.HEAD, backup.stat().st_size)
    assert facts["rows"]["supplier"] == 1
    if os.name != "nt":
        assert backup.stat().st_mode & 0o077 == 0
    with sqlite3.connect(backup) as copy, sqlite3.connect(file) as original:
        assert list(copy.iterdump()) == list(original.iterdump())


def test_every_flipped_bit_is_noticed(file: Path, folder: Path) -> None:
    """In the backup and in what was noted of it; nothing is left to the database's own check, which misses most."""
    backup = make_backup(file, folder, "asked")
    drawn = Random(26)
    for path in (backup, backup.with_suffix(".json")):
        whole = path.read_bytes()
        for _ in range(examples.of(300)):
            flip(path, drawn.randrange(len(whole) * 8))
            with pytest.raises(BackupFailed):
                verify_backup(backup)
            path.write_bytes(whole)
    verify_backup(backup)


def test_every_place_in_the_facts_counts(file: Path, folder: Path) -> None:
    path = make_backup(file, folder, "asked").with_suffix(".json")
    whole = path.read_bytes()
    for bit in range(0, len(whole) * 8, 7):
        flip(path, bit)
        with pytest.raises(BackupFailed):
            read_facts(path.with_suffix(".db"))
        path.write_bytes(whole)


@pytest.mark.parametrize("kept", [0, 1, 4096, -1])
def test_a_backup_cut_short_is_noticed(file: Path, folder: Path, kept: int) -> None:
    backup = make_backup(file, folder, "asked")
    backup.write_bytes(backup.read_bytes()[:kept])
    with pytest.raises(BackupFailed, match="damaged after"):
        verify_backup(backup)


def test_a_backup_that_is_gone_or_has_no_facts_is_noticed(file: Path, folder: Path) -> None:
    backup = make_backup(file, folder, "asked")
    content = backup.read_bytes()
    backup.unlink()
    with pytest.raises(BackupFailed, match="can't be read"):
        verify_backup(backup)
    backup.write_bytes(content)
    backup.with_suffix(".json").unlink()
    with pytest.raises(BackupFailed, match="noted beside"):
        verify_backup(backup)


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"sha256": 1, "rows": {}}', '{"sha256": "", "rows": []}', "\ud800"])
def test_facts_that_are_none_are_noticed(file: Path, folder: Path, text: str) -> None:
    backup = make_backup(file, folder, "asked")
    backup.with_suffix(".json").write_bytes(text.encode("utf-8", "surrogatepass"))
    with pytest.raises(BackupFailed, match="noted beside"):
        verify_backup(backup)


def test_the_first_backups_with_only_two_facts_are_still_good(file: Path, folder: Path) -> None:
    backup = make_backup(file, folder, "asked")
    facts = json.loads(backup.with_suffix(".json").read_text(encoding="utf-8"))
    two = {name: facts[name] for name in ("sha256", "rows")}
    backup.with_suffix(".json").write_text(json.dumps(two), encoding="utf-8")
    assert verify_backup(backup) == two


@pytest.mark.parametrize("wrong", [{"rows": {}}, {"schema": "0000"}])
def test_facts_of_another_file_are_noticed(file: Path, folder: Path, wrong: dict[str, object]) -> None:
    backup = make_backup(file, folder, "asked")
    made_by.write_facts(backup.with_suffix(".json"), {**read_facts(backup), **wrong})
    with pytest.raises(BackupFailed, match="does not hold"):
        verify_backup(backup)


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        ("PRAGMA application_id = 7", "not a file of Brimful"),
        ("UPDATE supplier SET made_in = 999", "refers to something that is not there"),
    ],
)
def test_what_is_not_whole_gives_no_backup(file: Path, folder: Path, damage: str, words: str) -> None:
    run(file, damage)
    with pytest.raises(BackupFailed, match=words):
        make_backup(file, folder, "asked")
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "statement",
    ["CREATE VIEW told AS SELECT 1", "CREATE TRIGGER told AFTER INSERT ON thing BEGIN DELETE FROM thing; END"],
)
def test_a_file_that_would_act_by_itself_is_refused(file: Path, statement: str) -> None:
    run(file, statement)
    with pytest.raises(BackupFailed, match="a trigger or a view, which Brimful never writes"):
        examine_file(file)


def test_a_damaged_page_gives_no_backup(file: Path, folder: Path) -> None:
    whole = file.read_bytes()
    file.write_bytes(whole[:4096] + b"\xff" * 8192 + whole[12288:])
    with pytest.raises((BackupFailed, sqlite3.DatabaseError)):
        make_backup(file, folder, "asked")
    assert list(folder.iterdir()) == []


def test_a_missing_file_is_not_made(tmp_path: Path, folder: Path) -> None:
    with pytest.raises(sqlite3.OperationalError):
        make_backup(tmp_path / FILE, folder, "asked")
    assert not (tmp_path / FILE).exists()


def test_a_file_without_a_layout_is_said(file: Path, folder: Path) -> None:
    run(file, "DELETE FROM alembic_version")
    assert read_facts(make_backup(file, folder, "asked"))["schema"] == ""


def test_a_copy_that_is_not_the_same_is_not_kept(file: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    counted = iter([{"a": 1}, {"a": 2}])
    monkeypatch.setattr(made_by, "row_counts", lambda _: next(counted))
    with pytest.raises(BackupFailed, match="does not hold what"):
        make_backup(file, folder, "asked")
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("broken", ["sync", "checksum", "write_facts", "sync_folder"])
def test_a_disk_that_fails_leaves_nothing_or_a_whole_one(
    file: Path, folder: Path, broken: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(made_by, broken, failing(OSError(errno.ENOSPC, "full")))
    with pytest.raises(OSError, match="full"):
        make_backup(file, folder, "asked")
    left = {path.suffix for path in folder.iterdir()}
    assert left == ({".db", ".json"} if broken == "sync_folder" else set())


def test_a_rename_that_fails_leaves_no_facts_without_a_backup(
    file: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rename = Path.replace

    def replace(path: Path, target: Path) -> Path:
        if Path(target).suffix == ".db":
            raise OSError(errno.EIO, "broken")
        return rename(path, target)

    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(OSError, match="broken"):
        make_backup(file, folder, "asked")
    assert list(folder.iterdir()) == []


def test_what_can_not_be_taken_away_is_passed_over(file: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "unlink", failing(OSError(errno.EACCES, "shut")))
    verify_backup(make_backup(file, folder, "asked"))


def test_two_of_the_same_moment_are_not_one(file: Path, folder: Path) -> None:
    first, second = (make_backup(file, folder, "asked") for _ in range(2))
    assert first != second


def test_a_failure_at_the_very_moment_of_another_backup_leaves_that_one_whole(
    file: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another process takes the name after it was looked for, and then the disk is full."""
    now = datetime(2026, 11, 25, 10, tzinfo=UTC)
    other = make_backup(file, folder / "other", "asked", now=now)
    taken = folder / other.name

    def full(_: Path) -> None:
        for suffix in (other.suffix, made_by.FACTS_SUFFIX):
            taken.with_suffix(suffix).write_bytes(other.with_suffix(suffix).read_bytes())
        raise OSError(errno.ENOSPC, "no")

    monkeypatch.setattr(made_by, "sync", full)
    with pytest.raises(OSError, match="no"):
        make_backup(file, folder, "asked", now=now)
    verify_backup(taken)


def test_data_that_is_damaged_inside_is_not_copied(file: Path, folder: Path) -> None:
    """A row with an empty name in a column that is said to be never empty: what the database itself calls damaged."""
    with closing(sqlite3.connect(file)) as data, data:
        data.execute("CREATE TABLE odd (name TEXT)")
        data.execute("INSERT INTO odd VALUES (NULL)")
        data.execute("PRAGMA writable_schema = ON")
        data.execute("UPDATE sqlite_master SET sql = 'CREATE TABLE odd (name TEXT NOT NULL)' WHERE name = 'odd'")
    with pytest.raises(BackupFailed, match="The data itself is damaged"):
        make_backup(file, folder, "asked")
    assert list(folder.iterdir()) == []
