"""Opening, refusing and checking data files."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from tests.store.records import every_kind
from webapp import errors
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store import migrations
from webapp.store.backup import make_backup
from webapp.store.migrations.wanted import metadata
from webapp.store.opening import FILE, check, open_store
from webapp.store.tables import HELD
from webapp.store.writing import Intent


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file with something in it, closed."""
    opened = open_store(Settings(data=tmp_path))
    opened.save(every_kind()[:5], Intent("first"), date(2026, 11, 25))
    opened.close()
    return tmp_path / FILE


def refused(file: Path, words: str) -> None:
    before = file.read_bytes()
    with pytest.raises(errors.CannotStart, match=words):
        open_store(Settings(data=file.parent))
    assert file.read_bytes() == before
    lines, whole = check(Settings(data=file.parent))
    assert not whole
    assert words in lines[0]


def run(file: Path, *statements: str) -> None:
    with closing(sqlite3.connect(file)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def test_an_empty_file_is_refused(file: Path) -> None:
    file.write_bytes(b"")
    refused(file, "is empty")


def test_a_file_that_is_no_database_is_refused(file: Path) -> None:
    file.write_bytes(b"hello" * 1000)
    refused(file, "is damaged")


def test_a_damaged_file_is_refused(file: Path) -> None:
    whole = file.read_bytes()
    file.write_bytes(whole[:4096] + b"\xff" * 8192 + whole[12288:])
    refused(file, "is damaged")


def test_a_file_cut_short_is_refused(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-8192])
    refused(file, "is damaged")


@pytest.mark.parametrize("content", [b"", b"hello" * 1000])
def test_only_whole_backups_are_named_with_the_command_that_restores_one(file: Path, content: bytes) -> None:
    folder = file.parent / "backups"
    whole = make_backup(file, folder, "asked")
    damaged = make_backup(file, folder, "asked")
    damaged.write_bytes(damaged.read_bytes()[:-1])
    file.write_bytes(content)
    refused(file, f"type: brimful restore {whole.stem} --data {file.parent}")
    whole.unlink()
    refused(file, "There is no whole backup of it here")


def test_a_foreign_file_is_refused(file: Path) -> None:
    run(file, "PRAGMA application_id = 7")
    refused(file, "another program")


def test_foreign_and_newer_files_are_refused_with_the_backup_to_go_back_to(file: Path) -> None:
    whole = make_backup(file, file.parent / "backups", "asked")
    run(file, "UPDATE alembic_version SET version_num = '9999'")
    refused(file, f"brimful restore {whole.stem}")
    run(file, "PRAGMA application_id = 7")
    refused(file, f"brimful restore {whole.stem}")


def test_a_newer_file_is_refused(file: Path) -> None:
    run(file, "UPDATE alembic_version SET version_num = '9999'")
    refused(file, "newer Brimful")


def test_a_second_start_changes_nothing(file: Path) -> None:
    before = file.read_bytes()
    open_store(Settings(data=file.parent)).close()
    assert file.read_bytes() == before
    assert check(Settings(data=file.parent))[1]


def test_a_start_that_was_broken_off_leaves_nothing_half(tmp_path: Path) -> None:
    (tmp_path / "brimful.new").write_bytes(b"half")
    open_store(Settings(data=tmp_path)).close()
    assert [path.name for path in tmp_path.iterdir()] == [FILE]


def test_the_migrations_make_what_the_tables_say(tmp_path: Path) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext
    from sqlalchemy import create_engine

    open_store(Settings(data=tmp_path)).close()
    made, wanted = create_engine(f"sqlite:///{tmp_path / FILE}"), create_engine("sqlite://")
    with made.connect() as connection, wanted.connect() as other:
        assert compare_metadata(MigrationContext.configure(connection), metadata()) == []
        metadata().create_all(other)
        query = "SELECT name, sql FROM sqlite_master WHERE type = 'table'"
        checks = []
        for one in (connection, other):
            found = {row[0]: row[1] for row in one.exec_driver_sql(query)}
            checks.append({name: found[name].count("CHECK (typeof") for name in HELD})
        assert checks[0] == checks[1]
        assert sum(checks[0].values()) > 60
    made.dispose()
    wanted.dispose()
    assert tuple(f"{number:04}" for number in range(1, len(migrations.KNOWN) + 1)) == migrations.KNOWN


def test_the_file_is_kept_as_power_cuts_want_it(tmp_path: Path) -> None:
    store = open_store(Settings(data=tmp_path))
    with store._engine.connect() as connection:
        got = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in ("journal_mode", "synchronous")]
        assert got == ["truncate", 2]
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    store.close()


@pytest.mark.parametrize(
    ("pragma", "situation"), [("query_only = ON", errors.ReadOnly), ("max_page_count = 1", errors.DiskFull)]
)
def test_what_cannot_be_written_is_a_situation_and_nothing_is_stored(
    tmp_path: Path, pragma: str, situation: type[errors.Problem]
) -> None:
    from sqlalchemy import event

    store, day = open_store(Settings(data=tmp_path)), date(2026, 11, 25)
    event.listen(store._engine, "connect", lambda raw, _: raw.execute(f"PRAGMA {pragma}").close())
    store._engine.dispose()
    with pytest.raises(situation):
        store.save([Put(b.Supplier(-n, f"S{n}", note="x" * 4000)) for n in range(1, 9)], Intent("new"), day)
    assert store.snapshot(day).book == b.Book(day)
    store.close()


def test_a_writer_that_waits_too_long_is_told_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from webapp.store import engine

    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.05)
    store = open_store(Settings(data=tmp_path))
    with store._writer._lock, pytest.raises(errors.Busy):
        store.save(Put(b.Supplier(-1, "A")), Intent("new"), date(2026, 11, 25))
    store.close()


def test_a_file_of_the_first_version_is_copied_and_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from alembic import command

    from webapp.store import engine

    upgrade, path = command.upgrade, tmp_path / FILE
    with monkeypatch.context() as first:
        first.setattr(command, "upgrade", lambda config, _: upgrade(config, "0001"))
        made = engine.sqlite_engine(path)
        migrations.upgrade(made)
        made.dispose()
    run(
        path,
        "INSERT INTO change VALUES (1, '2026-01-01T00:00:00Z', 'x', '', '', NULL, '', NULL, '{}')",
        "UPDATE ledger SET version = 1",
        "INSERT INTO thing VALUES (2, 'bill')",
        "INSERT INTO bill (made_in, thing, name, name_key, note) VALUES (1, 2, 'Rent', 'rent', '')",
        "INSERT INTO bill_amount (made_in, thing, from_day, a_month) VALUES (1, 2, '2026-01-01', 5000000)",
        "INSERT INTO retired (made_in, thing, from_day) VALUES (1, 2, '2026-02-01')",
    )
    with closing(open_store(Settings(data=tmp_path))) as store:
        bill = store.snapshot(date(2026, 3, 1)).book.bills[2]
    assert bill.a_month == 5
    assert bill.retired == date(2026, 2, 1)
    assert [one.suffix for one in (tmp_path / "backups").glob(f"*before-{migrations.HEAD}*")].count(".db") == 1
