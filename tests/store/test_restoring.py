"""Restoring: the backup takes the place of the data, or the data stays as it is."""

from __future__ import annotations

import errno
import os
import sqlite3
import threading
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy.exc import OperationalError

from tests.store.kept import DAY, add_supplier, failing, flip, opened, run, saved, shelf_in, suppliers
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.errors import DiskFull, NotFound, ReadOnly, Stale
from webapp.store import backup_book, migrations, restoring
from webapp.store import backup_notes as notes
from webapp.store.at_rest import SUFFIX
from webapp.store.backup import BackupFailed, make_backup
from webapp.store.backup_preview import preview, preview_beside
from webapp.store.backups import ASKED, BEFORE_RESTORE, Shelf
from webapp.store.restoring import restore
from webapp.store.writing import Intent


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """A shelf with one backup; a supplier came since."""
    made = shelf_in(tmp_path / "data")
    made.make(ASKED, DAY)
    add_supplier(made.file.parent, "Later")
    return made


def backup_of(shelf: Shelf) -> Path:
    return next(one.path for one in shelf.all() if one.why == ASKED)


def files(shelf: Shelf) -> set[str]:
    beside = ("-journal", SUFFIX)
    return {path.name for path in shelf.file.parent.iterdir() if not path.name.endswith(beside)}


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return [line for line in connection.iterdump() if "ledger" not in line]


def test_what_came_after_the_backup_is_gone_and_kept_in_a_backup(shelf: Shelf) -> None:
    before = dump(shelf.file)
    done = restore(shelf, backup_of(shelf), DAY)
    assert suppliers(shelf.file.parent) == {"Mill"}
    kept = shelf.find(done.before)
    assert (kept.why, done.aside) == (BEFORE_RESTORE, "")
    assert dump(kept.path) == before
    assert dump(shelf.file) == dump(backup_of(shelf))
    assert files(shelf) == {"brimful.db", "backups"}
    restore(shelf, kept.path, DAY)
    assert suppliers(shelf.file.parent) == {"Mill", "Later"}
    told = notes.read_notes(shelf.folder)["restored"]
    assert told["name"] == kept.name


def test_the_backup_itself_is_not_touched(shelf: Shelf) -> None:
    whole = backup_of(shelf).read_bytes()
    restore(shelf, backup_of(shelf), DAY)
    assert backup_of(shelf).read_bytes() == whole


def test_a_running_store_goes_on_with_the_restored_data_and_what_was_read_before_is_stale(shelf: Shelf) -> None:
    with closing(opened(shelf.file.parent)) as store:
        old = store.snapshot(DAY)
        done = store.restore(backup_of(shelf), DAY, (old.epoch, old.version))
        now = store.snapshot(DAY)
        assert now.epoch == done.epoch != old.epoch
        assert {one.name for one in now.book.suppliers.values()} == {"Mill"}
        with pytest.raises(Stale):
            store.save(Put(b.Supplier(-1, "Too late")), Intent("x", epoch=old.epoch, version=old.version), DAY)
        saved(store, Put(b.Supplier(-1, "In time")))
    assert suppliers(shelf.file.parent) == {"Mill", "In time"}


def test_data_that_moved_on_since_the_preview_is_not_restored_over(shelf: Shelf) -> None:
    with closing(opened(shelf.file.parent)) as store:
        old = store.snapshot(DAY)
        saved(store, Put(b.Supplier(-1, "Meanwhile")))
        with pytest.raises(Stale):
            store.restore(backup_of(shelf), DAY, (old.epoch, old.version))
    assert suppliers(shelf.file.parent) == {"Mill", "Later", "Meanwhile"}


def test_whoever_writes_meanwhile_waits_and_is_then_refused_or_stored_whole(shelf: Shelf) -> None:
    """A save that comes while it is restored ends in the restored data or is told that it came too late."""
    with closing(opened(shelf.file.parent)) as store:
        old, there, ended = store.snapshot(DAY), threading.Event(), []

        def write() -> None:
            there.set()
            try:
                store.save(Put(b.Supplier(-1, "Raced")), Intent("x", epoch=old.epoch, version=old.version), DAY)
                ended.append("stored before")
            except Stale:
                ended.append("stale")

        with store._writer.held():
            writer = threading.Thread(target=write)
            writer.start()
            there.wait(10)
            restore(store.shelf, backup_of(shelf), DAY, store._engine.dispose)
        writer.join(20)
        assert ended == ["stale"]
        assert {one.name for one in store.snapshot(DAY).book.suppliers.values()} == {"Mill"}


# --- what is not whole is not restored


def test_a_damaged_backup_is_refused_and_nothing_is_changed(shelf: Shelf) -> None:
    flip(backup_of(shelf), 50_000)
    before = shelf.file.read_bytes()
    with pytest.raises(BackupFailed, match="damaged after"):
        restore(shelf, backup_of(shelf), DAY)
    assert shelf.file.read_bytes() == before
    assert len(shelf.all()) == 1


def test_a_missing_one_is_not_found(shelf: Shelf) -> None:
    with pytest.raises(NotFound):
        restore(shelf, shelf.folder / "none.db", DAY)


def test_a_file_without_facts_is_looked_through(shelf: Shelf, tmp_path: Path) -> None:
    lone = tmp_path / "lone.db"
    lone.write_bytes(backup_of(shelf).read_bytes())
    restore(shelf, lone, DAY)
    assert suppliers(shelf.file.parent) == {"Mill"}
    lone.write_bytes(b"hello" * 1000)
    with pytest.raises(BackupFailed):
        restore(shelf, lone, DAY)


def test_one_of_a_newer_program_is_refused(shelf: Shelf, tmp_path: Path) -> None:
    newer = tmp_path / "newer.db"
    newer.write_bytes(backup_of(shelf).read_bytes())
    run(newer, "UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(BackupFailed, match="newer Brimful"):
        restore(shelf, newer, DAY)
    with pytest.raises(BackupFailed, match="newer Brimful"):
        preview(shelf.file, newer, DAY)
    assert suppliers(shelf.file.parent) == {"Mill", "Later"}


def of_an_older_layout(folder: Path) -> Path:
    """A file of the layout before the present one, with a supplier in it."""
    from alembic import command

    from webapp.store import engine

    upgrade, path = command.upgrade, folder / "older.db"
    with pytest.MonkeyPatch.context() as first:
        first.setattr(command, "upgrade", lambda config, _: upgrade(config, migrations.KNOWN[-2]))
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
    )
    return path


def test_one_of_an_older_layout_is_brought_up_to_date(shelf: Shelf, tmp_path: Path) -> None:
    older = of_an_older_layout(tmp_path)
    content = older.read_bytes()
    backup = make_backup(older, tmp_path / "kept", "asked")
    told = preview(shelf.file, backup, DAY)
    assert [one.name for one in told.then.book.bills.values()] == ["Rent"]
    assert told.compared is None  # data of another beginning
    restore(shelf, backup, DAY)
    with closing(opened(shelf.file.parent)) as store:
        assert [one.a_month for one in store.snapshot(DAY).book.bills.values()] == [5]
    assert older.read_bytes() == content


@pytest.mark.parametrize("failure", [OperationalError("x", None, Exception()), sqlite3.DatabaseError("x")])
def test_one_that_can_not_be_migrated_is_refused(
    shelf: Shelf, tmp_path: Path, failure: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    older = of_an_older_layout(tmp_path)
    monkeypatch.setattr(migrations, "upgrade", failing(failure))
    with pytest.raises(BackupFailed, match="can't be read"):
        restore(shelf, older, DAY)
    assert suppliers(shelf.file.parent) == {"Mill", "Later"}
    assert files(shelf) == {"brimful.db", "backups"}


# --- data that can't be read


@pytest.mark.parametrize("content", [b"", b"hello" * 1000, b"SQLite format 3\x00" + b"\xff" * 9000])
def test_unreadable_data_is_moved_aside_as_it_is(shelf: Shelf, content: bytes) -> None:
    shelf.file.write_bytes(content)
    done = restore(shelf, backup_of(shelf), DAY)
    assert suppliers(shelf.file.parent) == {"Mill"}
    assert done.before == ""
    assert done.aside.startswith("brimful.db.damaged-2026")
    assert (shelf.file.parent / done.aside).read_bytes() == content


def test_a_journal_that_a_broken_write_left_goes_with_the_damaged_data(shelf: Shelf) -> None:
    shelf.file.write_bytes(b"hello" * 1000)
    journal = shelf.file.with_name("brimful.db-journal")
    journal.write_bytes(b"half")
    done = restore(shelf, backup_of(shelf), DAY)
    assert not journal.exists() or journal.read_bytes() == b""
    assert done.aside
    assert suppliers(shelf.file.parent) == {"Mill"}
    aside = shelf.file.with_name("aside")
    journal.write_bytes(b"half")
    restoring._journal_aside(shelf.file, aside)
    assert (journal.exists(), aside.with_name("aside-journal").read_bytes()) == (False, b"half")


def test_where_there_is_no_data_the_backup_becomes_it(shelf: Shelf) -> None:
    shelf.file.unlink()
    done = restore(shelf, backup_of(shelf), DAY)
    assert (done.before, done.aside) == ("", "")
    assert suppliers(shelf.file.parent) == {"Mill"}


def test_where_there_was_none_and_it_does_not_open_there_is_none(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    backup = backup_of(shelf)
    shelf.file.unlink()
    monkeypatch.setattr(restoring, "_opens", lambda *_: False)
    with pytest.raises(BackupFailed, match="put back"):
        restore(shelf, backup, DAY)


def test_foreign_and_newer_data_are_kept_too(shelf: Shelf) -> None:
    run(shelf.file, "UPDATE alembic_version SET version_num = '9999'")
    done = restore(shelf, backup_of(shelf), DAY)
    assert shelf.find(done.before).facts["schema"] == "9999"
    run(shelf.file, "PRAGMA application_id = 7")
    assert restore(shelf, backup_of(shelf), DAY).aside


# --- what stands in the way


def test_where_the_present_can_not_be_backed_up_nothing_is_done(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Shelf, "make", failing(DiskFull()))
    with pytest.raises(DiskFull):
        restore(shelf, backup_of(shelf), DAY)
    assert suppliers(shelf.file.parent) == {"Mill", "Later"}
    assert files(shelf) == {"brimful.db", "backups"}


@pytest.mark.parametrize("broken", ["sync", "_second_name", "sync_folder"])
def test_a_disk_that_fails_leaves_the_data(shelf: Shelf, broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(restoring, broken, failing(OSError(errno.EROFS, "ro")))
    with pytest.raises(ReadOnly):
        restore(shelf, backup_of(shelf), DAY)
    assert suppliers(shelf.file.parent) in ({"Mill", "Later"}, {"Mill"})
    assert files(shelf) == {"brimful.db", "backups"} | ({"brimful.db.before"} if broken == "sync_folder" else set())


def test_data_that_does_not_open_afterwards_is_put_back(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    before = shelf.file.read_bytes()
    reopened: list[int] = []
    monkeypatch.setattr(restoring, "_opens", lambda *_: False)
    with pytest.raises(BackupFailed, match="put back"):
        restore(shelf, backup_of(shelf), DAY, lambda: reopened.append(1))
    assert shelf.file.read_bytes() == before
    assert files(shelf) == {"brimful.db", "backups"}
    assert reopened == [1, 1, 1]


def test_a_disk_without_second_names_takes_a_copy(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", failing(OSError(errno.EPERM, "no links")))
    shelf.file.write_bytes(b"hello")
    done = restore(shelf, backup_of(shelf), DAY)
    assert (shelf.file.parent / done.aside).read_bytes() == b"hello"
    assert suppliers(shelf.file.parent) == {"Mill"}


def test_it_opens_only_with_its_own_epoch_and_whole(shelf: Shelf) -> None:
    with closing(sqlite3.connect(shelf.file)) as connection:
        (epoch,) = connection.execute("SELECT epoch FROM ledger").fetchone()
    assert restoring._opens(shelf.file, epoch)
    assert not restoring._opens(shelf.file, "other")
    shelf.file.write_bytes(b"hello" * 1000)
    assert not restoring._opens(shelf.file, epoch)


def test_an_epoch_that_can_not_be_written_is_said(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    failure = OperationalError("x", None, Exception())
    failure.orig.sqlite_errorcode = sqlite3.SQLITE_CORRUPT  # type: ignore[union-attr]
    monkeypatch.setattr(restoring, "update", failing(failure))
    with pytest.raises(BackupFailed, match="can't be read"):
        restore(shelf, backup_of(shelf), DAY)


def test_what_can_not_be_noted_is_restored_all_the_same(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(notes, "_write", failing(OSError(errno.ENOSPC, "full")))
    restore(shelf, backup_of(shelf), DAY)
    assert suppliers(shelf.file.parent) == {"Mill"}


# --- looking first


def test_the_preview_says_what_differs(shelf: Shelf) -> None:
    told = preview(shelf.file, backup_of(shelf), DAY)
    assert told.compared is not None
    differing = {one.kind: one for one in told.compared.kinds if one.differs}
    assert set(differing) == {"supplier"}
    assert [one.name for one in differing["supplier"].only_now] == ["Later"]
    with closing(opened(shelf.file.parent)) as store:
        now = store.snapshot(DAY)
        there = backup_book.inside(backup_of(shelf), DAY)
        assert preview_beside(now.reckoning, there.begun, backup_of(shelf)).compared == told.compared


def test_a_preview_of_data_that_can_not_be_read_is_refused(shelf: Shelf) -> None:
    shelf.file.write_bytes(b"hello" * 1000)
    with pytest.raises(BackupFailed):
        preview(shelf.file, backup_of(shelf), date(2026, 1, 1))
