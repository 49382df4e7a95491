"""The shelf of backups: what is on it, what is let go, and what stands against making one."""

from __future__ import annotations

import errno
import json
import os
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from filelock import FileLock

from tests.store.kept import DAY, Clock, add_supplier, failing, flip, opened, run, saved, shelf_in
from webapp import errors
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.errors import Busy, DiskFull, NotFound, ReadOnly
from webapp.store import backup as made_by
from webapp.store import backup_notes as notes
from webapp.store import backups
from webapp.store.backup import BackupFailed
from webapp.store.backup_book import noted
from webapp.store.backup_telling import held_words, when_words, why_words
from webapp.store.backups import ASKED, BEFORE_PRICES, DAILY, Backup, Shelf, fault_of
from webapp.store.opening import Store
from webapp.store.writing import Intent


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """A shelf without backups."""
    return shelf_in(tmp_path / "data")


def set_to(shelf: Shelf, *moment: int) -> None:
    assert isinstance(shelf.clock, Clock)
    shelf.clock.now = datetime(*moment, tzinfo=UTC)  # type: ignore[arg-type,misc]


def test_a_backup_says_when_why_what_it_holds_and_that_it_is_whole(shelf: Shelf) -> None:
    made = shelf.make(ASKED, DAY)
    assert shelf.all() == (made,)
    assert made == shelf.find(made.name)
    assert (made.why, made.is_whole, made.fault) == (ASKED, True, "")
    assert made.when == datetime(2026, 11, 25, 10, 0, 0, 1000, UTC)
    assert made.facts["holds"]["material"] == 2
    assert made.facts["last_change"]["what"] == "first"
    assert made.costs["products"] == made.facts["holds"]["product"]
    assert held_words(made).startswith("2 products, 2 materials, 1 order, 1 formula, ")
    assert why_words(made) == "asked for"
    assert when_words(made)[:8] == "2026-11-"


def test_the_newest_stands_first_and_strange_files_are_no_backups(shelf: Shelf) -> None:
    names = [shelf.make(why, DAY).name for why in (ASKED, DAILY)]
    for strange in ("notes.db", "brimful-20261399T100000000000Z-asked.db", "Brimful-x.db"):
        (shelf.folder / strange).write_bytes(b"")
    assert [one.name for one in shelf.all()] == names[::-1]


@pytest.mark.parametrize("name", ["", "x", "../brimful", "brimful-20261125T100000000000Z-asked", "a" * 300])
def test_no_other_name_is_a_backup(shelf: Shelf, name: str) -> None:
    with pytest.raises(NotFound):
        shelf.find(name)


def test_a_name_of_no_moment_is_not_found_even_where_there_is_a_file(shelf: Shelf) -> None:
    shelf.folder.mkdir()
    (shelf.folder / "brimful-20261399T100000000000Z-asked.db").write_bytes(b"")
    with pytest.raises(NotFound):
        shelf.find("brimful-20261399T100000000000Z-asked")


def test_a_check_is_remembered_with_what_it_found(shelf: Shelf) -> None:
    made, other = shelf.make(ASKED, DAY), shelf.make(ASKED, DAY)
    assert shelf.check(made).is_whole
    flip(made.path, 99_999)
    assert "damaged after" in shelf.check(made).fault
    found = {one.name: one for one in shelf.all()}
    assert not found[made.name].is_whole
    assert found[other.name].is_whole
    assert found[made.name].checked == shelf.find(made.name).checked
    other.path.unlink()
    shelf.check(made)
    assert set(notes.read_notes(shelf.folder)["checks"]) == {made.name}


def test_what_can_not_be_noted_was_checked_all_the_same(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    made = shelf.make(ASKED, DAY)
    monkeypatch.setattr(notes, "_write", failing(OSError(errno.ENOSPC, "full")))
    assert shelf.check(made).is_whole


def test_damaged_facts_are_said_on_the_list(shelf: Shelf) -> None:
    made = shelf.make(ASKED, DAY)
    made.path.with_suffix(".json").write_text("{", encoding="utf-8")
    (found,) = shelf.all()
    assert (found.is_whole, found.costs, held_words(found)) == (False, {}, "what the data held then")
    assert "noted beside" in found.fault


def test_the_newest_whole_one_is_looked_for_past_damaged_ones(shelf: Shelf) -> None:
    assert shelf.newest_whole() is None
    made = [shelf.make(ASKED, DAY) for _ in range(3)]
    for one in made[1:]:
        flip(one.path, 5000)
    assert shelf.newest_whole() == made[0]


def test_old_ones_go_and_their_facts_with_them(shelf: Shelf) -> None:
    made = [shelf.make(ASKED, DAY) for _ in range(12)]
    left = [one.name for one in shelf.all()]
    assert left == [one.name for one in made[2:]][::-1]
    assert len(list(shelf.folder.glob("*.json"))) == 10


def test_the_one_that_is_spared_stays(shelf: Shelf) -> None:
    first = shelf.make(ASKED, DAY)
    for _ in range(9):
        shelf.make(ASKED, DAY)
    shelf.make(ASKED, DAY, spare=first.name)
    assert len(shelf.all()) == 11


def test_the_newest_whole_one_never_goes(shelf: Shelf) -> None:
    set_to(shelf, 2020, 1, 1)
    first = shelf.make(ASKED, DAY)
    set_to(shelf, 2026, 11, 25)
    later = [shelf.make(ASKED, DAY) for _ in range(9)]
    for one in later:
        flip(one.path, 5000)
    other = shelf.folder / f"{later[0].name[:-6]}-daily.db"
    other.write_bytes(b"")
    for _ in range(2):
        assert first.name not in shelf.tidy()
    assert first in shelf.all()


def test_torn_ones_are_swept_once_nobody_can_be_at_work_on_them(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf.clock = lambda: datetime.now(UTC)
    shelf.folder.mkdir()
    old, new = shelf.folder / "a.part", shelf.folder / "b.part-journal"
    for one in (old, new):
        one.write_bytes(b"half")
    os.utime(old, (time.time() - 7200,) * 2)
    shelf.tidy()
    assert (old.exists(), new.exists()) == (False, True)
    os.utime(new, (time.time() - 7200,) * 2)
    monkeypatch.setattr(Path, "unlink", failing(OSError(errno.EACCES, "shut")))
    assert shelf.tidy() == ()


def test_what_can_not_be_let_go_does_no_harm(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Shelf, "tidy", failing(OSError(errno.EACCES, "shut")))
    assert shelf.make(ASKED, DAY).is_whole


# --- what stands against it


def of_sqlite(code: int) -> sqlite3.Error:
    failure = sqlite3.OperationalError("no")
    failure.sqlite_errorcode = code
    return failure


@pytest.mark.parametrize(
    ("failure", "kind", "words"),
    [
        (OSError(errno.ENOSPC, "full"), DiskFull, "disk is full"),
        (OSError(errno.EROFS, "ro"), ReadOnly, "can't be written to"),
        (of_sqlite(sqlite3.SQLITE_FULL), DiskFull, "disk is full"),
        (of_sqlite(sqlite3.SQLITE_BUSY), Busy, "busy"),
        (of_sqlite(sqlite3.SQLITE_READONLY), ReadOnly, "can't be written to"),
        (of_sqlite(sqlite3.SQLITE_IOERR | 3 << 8), ReadOnly, "can't be written to"),
        (of_sqlite(sqlite3.SQLITE_CORRUPT), BackupFailed, "can't be read whole"),
    ],
)
def test_what_a_disk_says_is_a_sentence(
    shelf: Shelf, failure: Exception, kind: type[errors.Problem], words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(made_by, "_copy", failing(failure))
    with pytest.raises(kind, match=words):
        shelf.make(ASKED, DAY)
    assert [path.name for path in shelf.folder.iterdir()] == [backups.LOCK]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="a small disk can only be made by root")
def test_a_full_disk_is_507_and_nothing_is_left(shelf: Shelf) -> None:
    shelf.folder.mkdir()
    if os.system(f"mount -t tmpfs -o size=64k tmpfs {shelf.folder} 2>/dev/null"):  # noqa: S605
        pytest.skip("a small disk can't be made here")
    try:
        with pytest.raises(DiskFull) as told:
            shelf.make(ASKED, DAY)
        assert told.value.status == 507
        assert [path.name for path in shelf.folder.iterdir()] == [backups.LOCK]
    finally:
        os.system(f"umount {shelf.folder}")  # noqa: S605


def test_a_folder_that_is_none_is_503(shelf: Shelf) -> None:
    shelf.folder.write_text("in its place", encoding="utf-8")
    with pytest.raises(ReadOnly) as told:
        shelf.make(ASKED, DAY)
    assert told.value.status == 503


def test_costs_that_fail_keep_no_backup_from_being_made(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(backups, "noted", failing(ZeroDivisionError()))
    made = shelf.make(ASKED, DAY)
    assert (made.is_whole, made.costs) == (True, {})


def test_of_another_layout_no_costs_are_noted(shelf: Shelf) -> None:
    run(shelf.file, "UPDATE alembic_version SET version_num = '0007'")
    assert shelf.make("before-0008", DAY).costs == {}
    assert why_words(shelf.all()[0]) == "before the data's layout was changed"


def test_of_data_that_was_never_changed_there_is_no_last_change(tmp_path: Path, new_file: Path) -> None:
    (tmp_path / "brimful.db").write_bytes(new_file.read_bytes())
    assert Shelf(tmp_path / "brimful.db").make(ASKED, DAY).facts["last_change"] == {}


# --- before many prices


def prices(store: Store, count: int) -> None:
    """Save so many prices at once."""
    book = store.snapshot(DAY).book
    first, channel = min(book.products.values(), key=lambda one: len(one.members)), min(book.channels)
    saved(store, *(Put(replace(first, id=-n, name=f"Jar {n}")) for n in range(1, count + 1)))
    made = [Put(b.Price(one, channel, DAY, Decimal(9), "tried")) for one in store.snapshot(DAY).book.products]
    made = made[-count:]
    now = store.snapshot(DAY)
    intent = Intent("prices", epoch=now.epoch, version=now.version)
    try:
        store.save(made, intent, DAY)
    except errors.Questions as asked:
        store.save(made, replace(intent, sure=frozenset(one.answer for one in asked.questions)), DAY)


@pytest.mark.parametrize(("count", "made"), [(20, 0), (21, 1)])
def test_more_than_20_prices_at_once_are_backed_up_before(tmp_path: Path, count: int, made: int) -> None:
    shelf = shelf_in(tmp_path)
    with closing(opened(tmp_path)) as store:
        prices(store, count)
        found = store.shelf.all()
    assert [one.why for one in found] == [BEFORE_PRICES] * made
    for one in found:
        assert one.facts["holds"]["product"] > count
        assert one.facts["holds"]["price"] < count
    assert shelf.all() == found


def test_where_that_backup_can_not_be_made_no_price_is_stored(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path)
    shelf.folder.write_text("in its place", encoding="utf-8")
    with closing(opened(tmp_path)) as store:
        with pytest.raises(ReadOnly):
            prices(store, 21)
        assert len(store.snapshot(DAY).book.prices) < 20


# --- the store's own


def test_a_store_makes_backups(tmp_path: Path) -> None:
    shelf_in(tmp_path)
    with closing(opened(tmp_path)) as store:
        made = store.back_up(ASKED, DAY)
        assert made == store.shelf.all()[0]


def test_a_backup_is_made_while_others_write(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path)
    with closing(opened(tmp_path)) as store:
        saved(store, Put(b.Supplier(-1, "Second")))
        first = shelf.make(ASKED, DAY)
        saved(store, Put(b.Supplier(-1, "Third")))
        second = shelf.make(ASKED, DAY)
    assert [one.facts["holds"]["supplier"] for one in (first, second)] == [2, 3]
    add_supplier(tmp_path, "Fourth")


# --- what is noted beside them


@pytest.mark.parametrize("text", ["", "[]", "{", '{"checks": 3, "drill": []}'])
def test_notes_that_can_not_be_read_are_none(shelf: Shelf, text: str) -> None:
    made = shelf.make(ASKED, DAY)
    (shelf.folder / notes.FILE).write_text(text, encoding="utf-8")
    assert shelf.all() == (made,)
    shelf.check(made)
    assert json.loads((shelf.folder / notes.FILE).read_text(encoding="utf-8"))["checks"]


def test_a_note_stays_until_another_takes_its_place(tmp_path: Path) -> None:
    notes.note(tmp_path, one="a", two="b")
    notes.note(tmp_path, one=None, two="c")
    assert notes.read_notes(tmp_path) == {"two": "c"}
    assert {path.name for path in tmp_path.iterdir()} == {notes.FILE, notes.LOCK}


NOTED = """
import sys
from pathlib import Path
from webapp.store import backup_notes as notes
for number in range(20):
    notes.note(Path(sys.argv[1]), **{f"{sys.argv[2]}{number}": "noted"})
"""


def test_what_two_processes_note_at_once_is_all_there(tmp_path: Path) -> None:
    both = [subprocess.Popen([sys.executable, "-c", NOTED, str(tmp_path), one]) for one in ("a", "b")]
    assert [one.wait(60) for one in both] == [0, 0]
    assert len(notes.read_notes(tmp_path)) == 40


@pytest.mark.parametrize(("text", "moment"), [("", None), ("2026-11-25T10:00:00", None), (3, None), (None, None)])
def test_a_moment_without_its_zone_is_none(text: object, moment: None) -> None:
    assert notes.moment(text) is moment
    assert notes.day("2026-11-25") == DAY
    assert notes.day(text) in (None, DAY)


def test_what_is_noted_at_is_a_moment() -> None:
    at = datetime(2026, 11, 25, 10, tzinfo=UTC) + timedelta(seconds=1)
    assert notes.moment(at.isoformat()) == at


# --- a clock that was wrong


def test_one_from_a_clock_that_was_ahead_is_not_the_newest(shelf: Shelf) -> None:
    right = shelf.clock()
    shelf.clock = lambda: right + timedelta(days=365)
    ahead = shelf.make(ASKED, DAY)
    shelf.clock = Clock()
    made = shelf.make(ASKED, DAY)
    assert [one.name for one in shelf.all()] == [made.name, ahead.name]
    newest = shelf.newest_whole()
    assert newest is not None
    assert newest.name == made.name


def test_what_was_made_last_is_the_newest_though_its_clock_was_behind(shelf: Shelf) -> None:
    right = shelf.clock()
    before = shelf.make(ASKED, DAY)
    shelf.clock = lambda: right - timedelta(days=365)
    behind = shelf.make(ASKED, DAY)
    shelf.clock = Clock()
    assert [one.name for one in shelf.all()] == [behind.name, before.name]
    assert [one.number for one in shelf.all()] == [2, 1]


def test_two_of_one_moment_are_two(shelf: Shelf) -> None:
    """A clock that was set back says a moment twice."""
    moment = shelf.clock()
    shelf.clock = lambda: moment
    made = [shelf.make(ASKED, DAY).name for _ in range(3)]
    assert [one.name for one in shelf.all()] == made[::-1]
    assert len(set(made)) == 3


@pytest.mark.parametrize("days", [365, -365])
def test_a_clock_that_jumps_for_a_day_costs_no_day_week_or_month_but_the_oldest(shelf: Shelf, days: int) -> None:
    """A backup a day for forty days, the clock wrong for the next one, then right again for three more."""
    start, names = datetime(2026, 8, 3, 9, tzinfo=UTC), []
    for number in range(44):
        moment = start + timedelta(days=number + (days if number == 40 else 0))
        shelf.clock = lambda moment=moment: moment  # type: ignore[misc]
        names.append(shelf.make(DAILY, DAY).name)
    left = {one.name for one in shelf.all()}
    assert set(names[-12:]) <= left  # of the fourteen days one is the wrong one, and one it pushed out
    weeks = {one.when.date().isocalendar()[:2] for one in shelf.all() if one.name != names[40]}
    assert len(weeks) >= 6


def test_what_one_process_makes_another_neither_sweeps_nor_numbers_the_same(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another whose clock is a day ahead makes one in the midst of it: what lies there is no left-over."""
    other = Shelf(shelf.file, lambda: datetime.now(UTC) + timedelta(days=1))
    made, began = list[Backup](), list[threading.Thread]()

    def meanwhile(copy: Path, day: date) -> dict[str, object]:
        if not began:
            began.append(threading.Thread(target=lambda: made.append(other.make(DAILY, DAY))))
            began[0].start()
            began[0].join(1)  # it waits for this one to end; where it did not it would be done by then
        return noted(copy, day)

    monkeypatch.setattr("webapp.store.backups.noted", meanwhile)
    mine = shelf.make(ASKED, DAY)
    began[0].join(60)
    assert fault_of(mine.path) == ""
    assert [one.number for one in (mine, *made)] == [1, 2]


def test_what_is_being_noted_is_swept_by_nobody(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    """A backup is made, by a clock a day ahead, while something is noted beside it; what was broken off goes later."""
    broken_off = shelf.folder / f"{notes.FILE}.0123.part"
    shelf.make(ASKED, DAY)
    broken_off.touch()
    ahead, sync = Shelf(shelf.file, lambda: datetime.now(UTC) + timedelta(days=1)), made_by.sync

    def meanwhile(path: Path) -> None:
        ahead.tidy()
        sync(path)

    monkeypatch.setattr("webapp.store.backup_notes.sync", meanwhile)
    notes.note(shelf.folder, one="noted")
    assert notes.read_notes(shelf.folder) == {"one": "noted"}
    assert not broken_off.exists()


def test_a_backup_that_another_process_keeps_waiting_is_not_made(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf.folder.mkdir()
    monkeypatch.setattr(backups, "MAKING_SECONDS", 0)
    with FileLock(shelf.folder / backups.LOCK), pytest.raises(Busy, match="another is being made"):
        shelf.make(ASKED, DAY)
    assert shelf.all() == ()
