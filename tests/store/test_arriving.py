"""A file between its preview and its saving."""

from __future__ import annotations

import errno
import os
import stat
import time
from pathlib import Path

import pytest

from webapp.errors import DiskFull, NotFound, TooLarge
from webapp.store import arriving
from webapp.store.arriving import MOST_SECONDS, SHEET, Arrived, forget, keep, of, waiting


def test_what_was_kept_is_given_back_whole(tmp_path: Path) -> None:
    data = bytes(range(256)) + b"\n{}\n"
    token = keep(tmp_path, "Meine Preise.xlsx", data)
    assert of(tmp_path, token) == Arrived("Meine Preise.xlsx", data)
    assert len(of(tmp_path, token).sha256) == 64


def test_it_is_for_this_account_only_and_nothing_half_is_left(tmp_path: Path) -> None:
    token = keep(tmp_path, "a.csv", b"a")
    (path,) = (tmp_path / "arriving").iterdir()
    assert path.name == token
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


@pytest.mark.parametrize("token", ["", "../brimful.db", "a" * 31, "A" * 32, "a" * 32, "a" * 32 + "\n", "g" * 32])
def test_no_other_file_is_reached(tmp_path: Path, token: str) -> None:
    (tmp_path / "brimful.db").write_bytes(b"x")
    with pytest.raises(NotFound, match="Choose it once more"):
        of(tmp_path, token)


def test_it_is_gone_after_a_day_and_when_it_is_forgotten(tmp_path: Path) -> None:
    old, new = keep(tmp_path, "old", b"1"), keep(tmp_path, "new", b"2")
    path = tmp_path / "arriving" / old
    before = path.stat().st_mtime - arriving.MOST_SECONDS - 1
    os.utime(path, (before, before))
    with pytest.raises(NotFound):
        of(tmp_path, old)
    third = keep(tmp_path, "third", b"3")
    assert path.exists()  # what goes goes by number: the clock may be wrong just now
    forget(tmp_path, new)
    forget(tmp_path, new)
    with pytest.raises(NotFound):
        of(tmp_path, new)
    assert of(tmp_path, third).data == b"3"


def test_at_most_20_are_kept_and_the_oldest_go(tmp_path: Path) -> None:
    tokens = []
    for number in range(23):
        tokens.append(keep(tmp_path, f"{number}", b"x"))
        os.utime(tmp_path / "arriving" / tokens[-1], ns=(0, 10**18 * 2 + number * 10**9))
    assert {one.name for one in (tmp_path / "arriving").iterdir()} == set(tokens[-20:])


def test_those_of_a_clock_that_was_ahead_go_before_the_others(tmp_path: Path) -> None:
    ahead = time.time() + 10 * 365 * 86_400
    for number in range(arriving.MOST):
        os.utime(tmp_path / "arriving" / keep(tmp_path, f"{number}", b"x"), (ahead, ahead))
    first = keep(tmp_path, "of a right clock", b"x")
    keep(tmp_path, "another", b"x")
    assert of(tmp_path, first).name == "of a right clock"


@pytest.mark.parametrize("spoiled", [b"", b"{}\nx", b"[]\nx", b'{"name": "a", "sha256": "0"}\nx', b"\xff\xff"])
def test_a_damaged_one_is_gone(tmp_path: Path, spoiled: bytes) -> None:
    token = keep(tmp_path, "a", b"x")
    (tmp_path / "arriving" / token).write_bytes(spoiled)
    with pytest.raises(NotFound):
        of(tmp_path, token)


def test_too_large_and_a_full_disk_are_said_and_leave_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(TooLarge):
        keep(tmp_path, "a", b"x" * (arriving.MOST_BYTES + 1))

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(DiskFull):
        keep(tmp_path, "a", b"x")
    assert list((tmp_path / "arriving").iterdir()) == []


def test_files_of_a_kind_that_wait_are_told_the_newest_first_and_of_one_name_once(tmp_path: Path) -> None:
    assert waiting(tmp_path, SHEET) == ()
    tokens = [keep(tmp_path, name, b"a", SHEET) for name in ("Mine.xlsx", "Other.csv", "Mine.xlsx", "Old.csv")]
    keep(tmp_path, "book.json", b"a")
    now = time.time()
    for age, token in zip((30, 20, 10, MOST_SECONDS + 5), tokens, strict=True):
        os.utime(tmp_path / "arriving" / token, (now - age, now - age))
    (tmp_path / "arriving" / ("f" * 32)).write_bytes(b"\xff no head")
    assert [(one.token, one.name) for one in waiting(tmp_path, SHEET)] == [
        (tokens[2], "Mine.xlsx"),
        (tokens[1], "Other.csv"),
    ]
    forget(tmp_path, tokens[2])
    assert [one.token for one in waiting(tmp_path, SHEET)] == [tokens[1], tokens[0]]
