"""The drill and the copy elsewhere: what they say when all is well, and when it is not."""

from __future__ import annotations

import errno
import os
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.store.kept import DAY, flip, shelf_in
from webapp.errors import DiskFull, Unprocessable
from webapp.store.backup import verify_backup
from webapp.store.backup_copying import USUAL_DAYS, copy_to, elsewhere, is_old, put_off, remind_after
from webapp.store.backup_drill import drill, is_due, last_drill
from webapp.store.backups import ASKED, Shelf


def test_a_drill_costs_every_product_and_is_remembered(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path / "data")
    assert drill(shelf).fault
    made = shelf.make(ASKED, DAY)
    done = drill(shelf)
    assert (done.name, done.products, done.same, done.fault) == (made.name, 2, True, "")
    assert last_drill(shelf) == done
    flip(made.path, 50_000)
    assert "damaged after" in drill(shelf).fault


def test_a_copy_elsewhere_is_whole_and_its_folder_remembered(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path / "data")
    made, stick = shelf.make(ASKED, DAY), tmp_path / "stick"
    stick.mkdir()
    verify_backup(copy_to(shelf, str(stick)))
    found = elsewhere(shelf)
    assert (found.folder, found.name) == (str(stick), made.name)
    for wrong in ("", "stick", str(tmp_path / "none"), str(shelf.file.parent), str(shelf.folder)):
        with pytest.raises(Unprocessable):
            copy_to(shelf, wrong)


def test_a_drill_is_due_once_a_month_where_there_is_something_to_try(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path / "data")
    today = shelf.clock().astimezone().date()
    assert not is_due(shelf, today)
    shelf.make(ASKED, DAY)
    assert is_due(shelf, today)
    drill(shelf)
    assert not is_due(shelf, today)
    assert is_due(shelf, today + timedelta(31))


def test_nothing_was_tried_where_nothing_is_noted(tmp_path: Path) -> None:
    assert last_drill(shelf_in(tmp_path / "data")) is None


def test_it_is_time_for_another_copy_after_the_persons_own_days(tmp_path: Path) -> None:
    """Begun on the 1st of October with 30 days: on the 31st it is thirty days ago, on the 1st of November more."""
    shelf = shelf_in(tmp_path / "data")
    begun, found = date(2026, 10, 1), elsewhere(shelf)
    assert (found.days, found.at) == (USUAL_DAYS, None)
    assert not is_old(found, None, date(2026, 12, 1))
    assert not is_old(found, begun, date(2026, 10, 31))
    assert is_old(found, begun, date(2026, 11, 1))
    remind_after(shelf, " 60 ")
    assert not is_old(elsewhere(shelf), begun, date(2026, 11, 1))
    remind_after(shelf, "1")
    put_off(shelf, date(2026, 11, 1))
    found = elsewhere(shelf)
    assert (found.days, found.put_off) == (1, date(2026, 11, 8))
    assert not is_old(found, begun, date(2026, 11, 7))
    assert is_old(found, begun, date(2026, 11, 8))


@pytest.mark.parametrize("days", ["0", "366", "", "a week", "-1", "1.5", "٣", "9" * 4000])
def test_days_that_are_none_are_refused_at_their_field(tmp_path: Path, days: str) -> None:
    shelf = shelf_in(tmp_path / "data")
    with pytest.raises(Unprocessable) as refused:
        remind_after(shelf, days)
    assert refused.value.faults[0].field == "days"
    assert elsewhere(shelf).days == USUAL_DAYS


def refusal(shelf: Shelf, folder: str) -> str:
    with pytest.raises(Unprocessable) as refused:
        copy_to(shelf, folder)
    return refused.value.faults[0].code


def test_why_a_folder_will_not_do(tmp_path: Path) -> None:
    shelf, stick = shelf_in(tmp_path / "data"), tmp_path / "stick"
    stick.mkdir()
    assert refusal(shelf, str(stick)) == "nothing"
    shelf.make(ASKED, DAY)
    assert refusal(shelf, "") == "required"
    assert refusal(shelf, "stick\n\x00") == "text"
    assert refusal(shelf, "/" + "x" * 1001) == "text"
    assert refusal(shelf, "stick") == "relative"
    assert refusal(shelf, str(tmp_path / "none")) == "missing"
    assert refusal(shelf, "~nobody-that-there-is/x") == "unreadable"
    assert refusal(shelf, str(shelf.folder)) == "same"


def test_a_copy_that_is_not_what_was_sent_is_taken_away_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf, stick = shelf_in(tmp_path / "data"), tmp_path / "stick"
    stick.mkdir()
    shelf.make(ASKED, DAY)

    def other(source: Path, target: Path) -> None:
        target.write_bytes(source.read_bytes()[:-1] + b"?")

    monkeypatch.setattr(shutil, "copyfile", other)
    assert refusal(shelf, str(stick)) == "not-same"
    assert list(stick.iterdir()) == []


@pytest.mark.parametrize("number", [errno.EACCES, errno.EROFS, errno.EIO])
def test_a_disk_that_can_not_be_written_to_says_so_and_keeps_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    shelf, stick = shelf_in(tmp_path / "data"), tmp_path / "stick"
    stick.mkdir()
    made = shelf.make(ASKED, DAY)
    whole = shutil.copyfile

    def fails(source: Path, target: Path) -> None:
        if source.suffix == made.path.suffix:
            raise OSError(number, "no")
        whole(source, target)

    monkeypatch.setattr(shutil, "copyfile", fails)
    assert refusal(shelf, str(stick)) == "shut"
    assert list(stick.iterdir()) == []


def test_a_full_disk_is_told_apart_and_an_older_copy_there_stays_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf, stick = shelf_in(tmp_path / "data"), tmp_path / "stick"
    stick.mkdir()
    shelf.make(ASKED, DAY)
    lies = copy_to(shelf, str(stick))

    def full(source: Path, target: Path) -> None:
        raise OSError(errno.ENOSPC, "no")

    monkeypatch.setattr(shutil, "copyfile", full)
    with pytest.raises(DiskFull, match="That disk is full, so nothing was copied"):
        copy_to(shelf, str(stick))
    verify_backup(lies)


def test_where_a_system_can_not_forget_what_it_wrote_the_copy_is_compared_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf, stick = shelf_in(tmp_path / "data"), tmp_path / "stick"
    stick.mkdir()
    shelf.make(ASKED, DAY)
    monkeypatch.delattr(os, "posix_fadvise", raising=False)
    verify_backup(copy_to(shelf, str(stick)))
