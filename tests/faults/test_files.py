"""Files that are no data of ours any more: refused with what to do, never replaced; a bit flipped in a backup."""

from __future__ import annotations

import random
import shutil
import signal
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.faults.left import names_in
from tests.faults.program import Program, run
from tests.store.kept import DAY
from tests.tried import many, tell
from webapp import cli
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store import at_rest
from webapp.store.backups import FOLDER, Shelf, fault_of
from webapp.store.opening import FILE, check, open_store
from webapp.store.writing import Intent

pytestmark = pytest.mark.long
CANNOT_START, CREATED = 3, 201
SUPPLIERS = 200


def told(statement: str) -> Callable[[Path], None]:
    """Spoil a file by a statement."""

    def spoil(file: Path) -> None:
        with closing(sqlite3.connect(file)) as connection:
            connection.execute(statement)
            connection.commit()

    return spoil


def cut(file: Path) -> None:
    """The second half is gone."""
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def scribbled(file: Path) -> None:
    """A page in the middle is something else."""
    held = bytearray(file.read_bytes())
    middle = len(held) // 8192 * 4096
    held[middle : middle + 4096] = random.Random(1).randbytes(4096)
    file.write_bytes(held)


KINDS: dict[str, Callable[[Path], object]] = {
    "empty": lambda file: file.write_bytes(b""),
    "a text": lambda file: file.write_text("Shea butter, 12.50\n" * 500),
    "cut in half": cut,
    "its last bytes gone": lambda file: file.write_bytes(file.read_bytes()[:-100]),
    "its head overwritten": lambda file: file.write_bytes(b"\0" * 100 + file.read_bytes()[100:]),
    "a page overwritten": scribbled,
    "of another program": told("PRAGMA application_id = 7"),
    "of a newer version": told("UPDATE alembic_version SET version_num = '9999'"),
}


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """Data with something in it, and a backup of it."""
    folder = tmp_path / "data"
    store = open_store(Settings(data=folder, database=None))
    store.save([Put(b.Supplier(-1 - number, f"mill {number}")) for number in range(SUPPLIERS)], Intent("entered"), DAY)
    store.back_up("asked", DAY)
    store.close()
    return folder


def test_a_file_that_is_no_data_of_ours_is_refused_and_a_backup_brings_it_back(data: Path, tmp_path: Path) -> None:
    failures = []
    for kind, spoil in KINDS.items():
        there = tmp_path / kind.replace(" ", "-")
        shutil.copytree(data, there)
        spoil(there / FILE)
        before = (there / FILE).read_bytes()
        started = run("serve", "--port", "0", "--no-browser", "--data", str(there))
        if started.returncode != CANNOT_START or "brimful restore" not in started.stderr:
            failures.append(f"{kind}: {started.returncode} {started.stderr[-200:]}")
        if (there / FILE).read_bytes() != before:
            failures.append(f"{kind}: it was touched")
        name = next((there / FOLDER).glob("*.db")).stem
        restored = cli.main(["restore", name, "--yes", "--data", str(there)])  # as a process it is tried elsewhere
        if restored or not check(Settings(data=there))[1]:
            failures.append(f"{kind}: not brought back: {restored}")
    tell("damaged files, by kind", len(KINDS), failures, ", ".join(KINDS))


def test_a_missing_file_is_not_made_anew_where_backups_are(data: Path) -> None:
    failures = []
    (data / FILE).unlink()
    name = next((data / FOLDER).glob("*.db")).stem
    start = ("serve", "--port", "0", "--no-browser", "--data", str(data))
    words = (f"brimful restore {name} --data {data}", f"brimful serve --anew --data {data}")
    for arguments in (start, ("export", str(data / "book.json"), "--data", str(data)), ("backup", "--data", str(data))):
        done = run(*arguments)
        if done.returncode != CANNOT_START or not all(one in done.stderr for one in words):
            failures.append(f"{arguments[0]}: {done.returncode} {done.stderr[-300:]}")
    if run("check", "--data", str(data)).returncode == 0 or (data / FILE).exists():
        failures.append("it was made anew, or taken for whole")
    restored = run("restore", name, "--yes", "--data", str(data))
    if restored.returncode or len(names_in(data)) != SUPPLIERS:
        failures.append(f"not brought back: {restored.stderr[-200:]}")
    tell("the data file missing, its backups there", 5, failures, "serve, export, backup, check, restore")


def test_begun_anew_on_purpose_its_backups_stay(data: Path) -> None:
    (data / FILE).unlink()
    (data / f"{FILE}-journal").write_bytes(b"of the one that is gone")
    with Program(data, more=("--anew",)) as program:
        assert program.save("a new one") == CREATED
        program.stop()
    assert names_in(data) == {"a new one"}
    assert len(list((data / FOLDER).glob("*-asked.db"))) == 1


def test_a_flipped_bit_in_data_that_was_closed_is_noticed(data: Path) -> None:
    with Program(data) as program:
        assert program.save("before it was closed") == CREATED
        assert not at_rest.sum_of(data / FILE).exists()  # while it may be written there is none
        assert program.stop() == 0
    file, chance, failures = data / FILE, random.Random(20261128), []
    held, settings = file.read_bytes(), Settings(data=data, database=None)
    assert at_rest.look(Shelf(file)).state == at_rest.SAME
    tries, refused = 100, 0
    for number in range(tries):
        at, bit = chance.randrange(len(held)), chance.randrange(8)
        flipped = bytearray(held)
        flipped[at] ^= 1 << bit
        file.write_bytes(flipped)
        lines, whole = check(settings)
        refused += not any("It was changed by something other" in line for line in lines)
        if whole:
            failures.append(f"{number}: bit {bit} of byte {at}")
    file.write_bytes(held)
    assert check(settings)[1]
    how = f"{refused} of them leave a file that does not open at all; after a kill there is no checksum"
    tell("bits flipped in data that was closed", tries, failures, how)


def test_data_that_was_changed_from_outside_is_told_on_every_page_until_it_is_answered(data: Path) -> None:
    told("UPDATE supplier SET name = 'milk 7' WHERE name = 'mill 7'")(data / FILE)
    with Program(data) as program:
        assert program.said("It was changed by something other than Brimful")
        for path in ("/", "/buy/suppliers", "/data"):
            assert "changed by something other than Brimful" in program.ask("GET", path)[1]
        assert program.save("all the same") == CREATED
        program.kill()
    with Program(data) as program:  # the checksum is gone by now, what was noticed is not
        assert "changed by something other than Brimful" in program.ask("GET", "/buy/suppliers")[1]
        program.stop()
    assert run("check", "--data", str(data)).returncode == 1
    assert run("check", "--accept", "--data", str(data)).returncode == 0
    with Program(data) as program:
        assert "changed by something other" not in program.ask("GET", "/buy/suppliers")[1]
        assert program.save("once more") == CREATED
        program.kill()
    with Program(data) as program:
        assert program.said("Whether it was changed from outside can't be told")
        assert "There was no checksum to compare with" in program.ask("GET", "/data")[1]


def test_a_flipped_bit_in_a_backup_is_noticed(data: Path) -> None:
    backup = next((data / FOLDER).glob("*.db"))
    held, chance, failures = backup.read_bytes(), random.Random(20261128), []
    tries = many(30, 100)
    for number in range(tries):
        at, bit = chance.randrange(len(held)), chance.randrange(8)
        flipped = bytearray(held)
        flipped[at] ^= 1 << bit
        backup.write_bytes(flipped)
        if not fault_of(backup):
            failures.append(f"{number}: bit {bit} of byte {at}")
    backup.write_bytes(held)
    assert fault_of(backup) == ""
    tell("bits flipped in a backup", tries, failures)


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="there is no such signal here")
def test_a_terminal_that_is_closed_closes_the_data(data: Path) -> None:
    with Program(data) as program:
        assert program.save("before it was closed") == CREATED
        program.process.send_signal(signal.SIGHUP)
        assert program.process.wait(60) == 0
    assert at_rest.look(Shelf(data / FILE)).state == at_rest.SAME
