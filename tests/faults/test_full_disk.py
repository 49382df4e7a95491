"""A disk that is really full, and one that is really read-only: small ones of our own, mounted for the test."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from http import HTTPStatus
from pathlib import Path
from urllib.parse import urlencode

import pytest

from tests.faults.left import names_in
from tests.faults.program import SECONDS, Program, run
from tests.faults.test_disk_calls import value_of
from tests.tried import tell
from webapp.pages.data.outside import READ_ONLY

Mounted = Callable[..., None]
BOUNDARY = "a-line-that-is-in-no-file"
#: a file as a browser sends it
FILE = (
    f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n\r\nName\r\n--{BOUNDARY}--\r\n'
).encode()


def _can_mount() -> bool:
    """Whether a disk in memory can be mounted here: as root, and where the system allows it."""
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("unshare") is None:
        return False
    line = ["unshare", "--mount", "sh", "-c", "mount -t tmpfs -o size=1m none /mnt"]
    return subprocess.run(line, capture_output=True, check=False, timeout=SECONDS).returncode == 0


pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(not _can_mount(), reason="NOT CHECKED: no disk can be mounted here (root on Linux is needed)"),
]


def mount(*arguments: str) -> None:
    subprocess.run(["mount", *arguments], check=True, capture_output=True, timeout=SECONDS)


@pytest.fixture
def small(tmp_path: Path) -> Iterator[Path]:
    """A disk of 8 MiB."""
    folder = tmp_path / "small"
    folder.mkdir()
    mount("-t", "tmpfs", "-o", "size=8m,mode=700", "brimful-test", str(folder))
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True, capture_output=True, timeout=SECONDS)


def fill(disk: Path) -> Path:
    """A file of others that takes all the room there is."""
    filler = disk / "filler"
    with suppress(OSError), filler.open("wb", buffering=0) as file:
        while file.write(b"x" * 4096):
            pass
    return filler


def test_a_full_disk_stores_nothing_and_loses_nothing_that_was_typed(small: Path) -> None:
    failures, full = [], HTTPStatus.INSUFFICIENT_STORAGE
    with Program(small / "data") as program:
        assert program.save("first") == HTTPStatus.CREATED
        form = program.ask("GET", "/buy/suppliers/new")[1]
        fields = {name: value_of(form, name) for name in ("token", "epoch", "version") if f'name="{name}"' in form}
        filler = fill(small)
        answered, told = program.ask("POST", "/api/suppliers", {"name": "never", "currency": "EUR"})
        if answered != full:
            failures.append(f"by JSON: {answered} {told}")
        typed = urlencode({**fields, "name": "Typed & kept", "currency": "EUR"})
        answered, page = program.post_form("/buy/suppliers", typed)
        if answered != full or "Typed &amp; kept" not in page:
            failures.append(f"by the page: {answered}")
        answered, page = program.post_form("/data/backups", urlencode(fields))
        if answered != full:
            failures.append(f"a backup: {answered}")
        if program.ask("GET", "/buy/suppliers")[0] != HTTPStatus.OK:
            failures.append("reading did not go on")
        filler.unlink()
        if program.save("third") != HTTPStatus.CREATED:
            failures.append("it did not go on")
        filler = fill(small)
        program.stop()  # no room for its checksum: that is no harm
    filler.unlink()
    if (left := names_in(small / "data")) != {"first", "third"}:
        failures.append(f"left: {left}")
    if torn := [path.name for path in (small / "data").rglob("*.part")]:
        failures.append(f"torn: {torn}")
    tell(
        "a disk that is really full", 6, failures, "by JSON, by a form, a backup, reading, once there is room, closing"
    )


def test_a_full_disk_where_it_begins_is_a_sentence(small: Path) -> None:
    fill(small)
    done = run("serve", "--port", "0", "--no-browser", "--data", str(small / "data"))
    assert done.returncode == 3, done.stderr
    assert "See that there is room" in done.stderr


def test_a_full_disk_does_not_keep_the_data_from_being_read(small: Path) -> None:
    with Program(small / "data") as program:
        assert program.save("first") == HTTPStatus.CREATED
        program.stop()
    fill(small)
    with Program(small / "data") as program:
        assert "first" in program.ask("GET", "/buy/suppliers")[1]


def test_a_read_only_disk_is_not_served_but_can_be_saved_from(small: Path, tmp_path: Path) -> None:
    failures, data = [], small / "data"
    with Program(data) as program:
        assert program.save("first") == HTTPStatus.CREATED
        program.stop()
    assert run("backup", "--data", str(data)).returncode == 0
    mount("-o", "remount,ro", str(small))
    started = run("serve", "--port", "0", "--no-browser", "--data", str(data))
    if started.returncode != 3 or "Read-only" not in started.stderr or "Traceback" in started.stderr:
        failures.append(f"serve: {started.returncode} {started.stderr[-300:]}")
    for words in (("check",), ("backups",), ("export", str(tmp_path / "book.json"))):
        done = run(*words, "--data", str(data))
        if done.returncode:
            failures.append(f"{words[0]}: {done.returncode} {done.stderr[-300:]}")
    if '"first"' not in (tmp_path / "book.json").read_text(encoding="utf-8"):
        failures.append("the export does not hold it")
    tell(
        "a disk that is really read-only", 4, failures, "serve is refused with a sentence; check, backups, export work"
    )


def refused(program: Program, fields: dict[str, str], typed: str) -> Iterator[str]:
    """What was not refused as it should be, while nothing can be written."""
    shut = HTTPStatus.SERVICE_UNAVAILABLE
    answered, told = program.ask("POST", "/api/suppliers", {"name": "never", "currency": "EUR"})
    if (answered, told["error"]["code"]) != (shut, "read-only"):
        yield f"by JSON: {answered} {told}"
    answered, page = program.post_form("/buy/suppliers", typed)
    if answered != shut or "Typed &amp; kept" not in page:
        yield f"by the page: {answered}"
    if (answered := program.post_form("/data/backups", urlencode(fields))[0]) != shut:
        yield f"a backup: {answered}"
    if (answered := program.page("/data/import", FILE, f"multipart/form-data; boundary={BOUNDARY}")[0]) != shut:
        yield f"a file: {answered}"


def unread(program: Program) -> Iterator[str]:
    """What can't be looked at, or does not say that nothing can be saved."""
    for path in ("/", "/buy/suppliers", "/data", "/data/backups", "/data/export", "/settings"):
        answered, page, _ = program.page(path)
        if answered != HTTPStatus.OK or READ_ONLY not in page:
            yield f"{path}: {answered}, {'the banner' if READ_ONLY in page else 'no banner'}"
    if program.ask("GET", "/data/export?as=json")[1]["sheets"]["suppliers"][0]["name"] != "first":
        yield "the export does not hold it"


def test_a_disk_that_becomes_read_only_under_a_server(small: Path) -> None:
    """As where a system turns a disk read-only after a fault: from then on no file of it can be opened to be written.

    What is open to be written keeps a whole disk from it, so its place is taken by a view of it that is read-only.
    """
    data = small / "data"
    with Program(data) as program:
        assert program.save("first") == HTTPStatus.CREATED
        assert READ_ONLY not in program.page("/")[1]
        form = program.page("/buy/suppliers/new")[1]
        fields = {name: value_of(form, name) for name in ("token", "epoch", "version") if f'name="{name}"' in form}
        typed = urlencode({**fields, "name": "Typed & kept", "currency": "EUR"})
        mount("--bind", str(small), str(small))
        try:
            mount("-o", "remount,bind,ro", str(small))
            failures = [*refused(program, fields, typed), *unread(program)]
        finally:
            subprocess.run(["umount", str(small)], check=True, capture_output=True, timeout=SECONDS)
        if program.save("third") != HTTPStatus.CREATED:
            failures.append("it did not go on")
        if (answered := program.post_form("/buy/suppliers", typed)[0]) != HTTPStatus.SEE_OTHER:
            failures.append(f"what was typed could not be saved afterwards: {answered}")
        if READ_ONLY in program.page("/")[1]:
            failures.append("the banner stays")
        program.stop()
    if (left := names_in(data)) != {"first", "third", "Typed & kept"}:
        failures.append(f"left: {left}")
    how = "by JSON, by a form, a backup, a file, pages with their banner, the export, once it takes something again"
    tell("a disk that becomes read-only under a server", 14, failures, how)
