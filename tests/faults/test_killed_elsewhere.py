"""Killed at calls to the disk while it migrates, backs up, restores or imports: the data is as before or as after."""

from __future__ import annotations

import random
import shutil
import sqlite3
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from alembic import command as alembic

from tests.faults.disk import needs_tracer
from tests.faults.left import Torn, names_in
from tests.faults.program import ROOT, SECONDS, command, run
from tests.tried import many, tell
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store import engine, migrations
from webapp.store.backups import FOLDER, fault_of
from webapp.store.opening import FILE, open_store
from webapp.store.writing import Intent

pytestmark = [pytest.mark.long, needs_tracer]
#: what changes a file, its length or its name
CALLS = (
    "pwrite64",
    "write",
    "fsync",
    "fdatasync",
    "ftruncate",
    "rename",
    "link",
    "unlink",
    "copy_file_range",
    "sendfile",
)
OPENED = (
    "import sys; from webapp.settings import Settings; from webapp.store.opening import open_store\n"
    "open_store(Settings(data=sys.argv[1])).close()"
)
TODAY = date(2026, 11, 25)


def traced(log: Path, rule: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """A command under the tracer; with a `rule` it is killed at a call."""
    inject = ["-e", f"inject={rule}"] if rule else []
    line = ["strace", "-f", "-o", str(log), "-e", f"trace={','.join(CALLS)}", *inject, *arguments]
    return subprocess.run(line, cwd=ROOT, capture_output=True, text=True, timeout=SECONDS, check=False)


def moments(log: Path, most: int) -> list[tuple[str, int]]:
    """Some of the calls of a run, by name and number within the name."""
    counts = Counter(
        name for line in log.read_text(errors="replace").splitlines() for name in CALLS if f" {name}(" in f" {line}"
    )
    found = [(name, number) for name, many_ in counts.items() for number in range(1, many_ + 1)]
    return sorted(random.Random(20261128).sample(found, min(most, len(found))))


def fill(data: Path, *names: str) -> None:
    """Suppliers of these names in a data folder."""
    store = open_store(Settings(data=data, database=None))
    for name in names:
        store.save([Put(b.Supplier(-1, name))], Intent("entered"), TODAY)
    store.close()


def tried(
    tmp_path: Path, what: str, arguments: list[str], prepare: Callable[[Path], None], allowed: list[set[str]]
) -> None:
    """Kill a command at some of its calls, on data that is prepared anew each time; then look, and do it again."""
    made = tmp_path / "made"
    made.mkdir()
    prepare(made)
    data, log, failures, killed = tmp_path / "data", tmp_path / "log", [], 0
    shutil.copytree(made, data)
    done = traced(log, "", *arguments)
    assert done.returncode == 0, done.stderr
    assert names_in(data) in allowed
    calls = moments(log, many(2, 50))
    for call, number in calls:
        shutil.rmtree(data)
        shutil.copytree(made, data)
        cut = traced(log, f"{call}:signal=KILL:when={number}", *arguments)
        killed += cut.returncode != 0
        failures += [f"{call} {number}: {one}" for one in what_is_wrong(data, allowed)]
        again = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, timeout=SECONDS, check=False)
        if again.returncode or names_in(data) not in allowed:
            failures.append(f"{call} {number}: afterwards {again.stderr[-200:]}")
    assert killed, "nothing was cut off"
    tell(f"kill -9 in {what}", len(calls), failures, f"{killed} were cut off")


def what_is_wrong(data: Path, allowed: list[set[str]]) -> list[str]:
    """What is torn, what is called a backup and is none."""
    found = [f"{path.name}: {fault}" for path in (data / FOLDER).glob("*.db") if (fault := fault_of(path))]
    try:
        there = names_in(data)
    except Torn as torn:
        return [*found, f"torn: {torn}"]
    return found if there in allowed else [*found, f"holds {sorted(there)}"]


def test_killed_while_it_backs_up(tmp_path: Path) -> None:
    arguments = command("backup", "--data", str(tmp_path / "data"))
    tried(tmp_path, "a backup", arguments, lambda data: fill(data, "one", "two"), [{"one", "two"}])


def test_killed_while_it_restores(tmp_path: Path) -> None:
    def prepare(data: Path) -> None:
        fill(data, "one")
        assert run("backup", "--data", str(data)).returncode == 0
        backup = next((data / FOLDER).glob("*.db"))
        for path in (backup, backup.with_suffix(".json")):
            shutil.copy(path, tmp_path / f"kept{path.suffix}")
        fill(data, "two")

    arguments = command("restore", str(tmp_path / "kept.db"), "--yes", "--data", str(tmp_path / "data"))
    tried(tmp_path, "a restore", arguments, prepare, [{"one"}, {"one", "two"}])


def test_killed_while_it_imports(tmp_path: Path) -> None:
    other = tmp_path / "other"
    fill(other, "one", "two", "three")
    assert run("export", str(tmp_path / "book.json"), "--data", str(other)).returncode == 0
    arguments = command("import", str(tmp_path / "book.json"), "--yes", "--data", str(tmp_path / "data"))
    whole = {"one", "two", "three"}
    tried(tmp_path, "an import", arguments, lambda data: fill(data, "one"), [{"one"}, whole])


def test_killed_while_it_migrates(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def prepare(data: Path) -> None:
        """A file of the first version, with a supplier."""
        upgrade = alembic.upgrade
        with monkeypatch.context() as first:
            first.setattr(alembic, "upgrade", lambda config, _: upgrade(config, "0001"))
            made = engine.sqlite_engine(data / FILE)
            migrations.upgrade(made)
            made.dispose()
        with closing(sqlite3.connect(data / FILE)) as file:
            file.execute("INSERT INTO change VALUES (1, '2026-01-01T00:00:00Z', 'x', '', '', NULL, '', NULL, '{}')")
            file.execute("UPDATE ledger SET version = 1")
            file.execute("INSERT INTO thing VALUES (2, 'supplier')")
            told = "INSERT INTO supplier (made_in, thing, name, name_key, note, currency, url)"
            file.execute(f"{told} VALUES (1, 2, 'one', 'one', '', 'EUR', '')")
            file.commit()

    arguments = [sys.executable, "-c", OPENED, str(tmp_path / "data")]
    tried(tmp_path, "a migration", arguments, prepare, [{"one"}])
