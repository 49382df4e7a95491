"""Do the tests notice a core that is wrong? `python -m tests.mutants --count 60 --seed 1` makes so many small mistakes.

Each is one change in one module of `webapp/costing`, written into a copy of the tree and never here. First the tests
are run as they are, noting which of them come to which line and how long each takes. A mistake is then shown to the
tests that come to its statement, of the module's own file first, and only then to all the others; the first test that
fails has noticed it. So has one that takes more than ten times as long as it does without a mistake. To a constant of a
module no test comes, it is there before: those of the module's own file are asked, and those of `LISTS`.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from queue import Queue

from coverage import CoverageData

from tests.mistakes import ROOT, Mutant, drawn, source_of

COPIED = ("webapp", "tests", "templates", "static", "seed_data")
ASKED = ("tests/costing", "tests/published")
WANTED = 90  # percent
SHORT = "not deep and not long and not browser"
#: where constants are held against what was laid down for them
LISTS = ("test_laid_down.py", "test_limits.py", "test_units.py", "test_currency.py", "test_densities.py")
#: a process of pytest for one mistake; no test comes near it, each has its own limit
AT_MOST = 1800
RAN_ON = 97
#: what stands for tests/conftest.py in a copy: the core's tests need nothing of a server or a browser
CONFTEST = """import json, os, signal, sys, time
from pathlib import Path
import pytest
from hypothesis import HealthCheck, Phase, settings
from tests import examples

settings.register_profile(
    "core", deadline=None, max_examples=examples.of(100), suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.generate], database=None,
)
settings.load_profile("core")
NOTED = Path(__file__).with_name("seconds.json")
NOTING = os.environ.get("MUTANTS_NOTING")
KNOWN = {} if NOTING or not NOTED.exists() else json.loads(NOTED.read_text())
TOOK = {}


def ran_on(*_):
    os.write(1, f"\\nFAILED {RUNNING[0]} ran on and on\\n".encode())
    os._exit(97)


RUNNING = [""]
if not NOTING and hasattr(signal, "SIGALRM"):
    signal.signal(signal.SIGALRM, ran_on)


def pytest_configure(config):
    # What pytest writes is held back file by file: what is said at the very end must reach the terminal.
    config.option.capture = "sys"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item):
    RUNNING[0] = item.nodeid
    function = item.nodeid.partition("[")[0]
    if NOTING:
        import coverage
        coverage.Coverage.current().switch_context(function)
    elif hasattr(signal, "SIGALRM"):
        signal.alarm(int(10 * KNOWN.get(item.nodeid, 0)) + 10)
    began = time.perf_counter()
    try:
        return (yield)
    finally:
        TOOK[item.nodeid] = time.perf_counter() - began
        if not NOTING and hasattr(signal, "SIGALRM"):
            signal.alarm(0)


def pytest_sessionfinish():
    if NOTING:
        Path(NOTING).write_text(json.dumps(TOOK))
"""


# --- the tests as they are


@dataclass
class Known:
    """Which tests (without their parameters) come to which line of which module, and the seconds of each."""

    seconds: dict[str, float] = field(default_factory=dict)
    at: dict[tuple[str, int], set[str]] = field(default_factory=dict)

    def kept_in(self, file: Path) -> None:
        """Write it, so that another run need not find it out again."""
        at = [[path, line, sorted(tests)] for (path, line), tests in self.at.items()]
        file.write_text(json.dumps({"seconds": self.seconds, "at": at}), encoding="utf-8")

    @classmethod
    def again(cls, file: Path) -> Known:
        """What was written."""
        told = json.loads(file.read_text(encoding="utf-8"))
        return cls(told["seconds"], {(path, line): set(tests) for path, line, tests in told["at"]})

    def coming_to(self, mutant: Mutant) -> set[str]:
        """The tests that come to its statement."""
        inside = mutant.path.relative_to(ROOT).as_posix()
        return set().union(*(self.at.get((inside, line), set()) for line in mutant.lines))

    def functions(self) -> dict[str, float]:
        """Seconds by test, all its parameters together, in the order in which they stand in their files."""
        told: dict[str, float] = {}
        for name, took in self.seconds.items():
            function = name.partition("[")[0]
            told[function] = told.get(function, 0.0) + took
        return told


def noted(copies: list[Path]) -> Known:
    """Run all tests as they are, a share of the files in each copy. What fails so would count for nothing."""
    files = sorted((file for part in ASKED for file in (ROOT / part).rglob("test_*.py")), key=lambda one: one.name)
    shares = [files[place :: len(copies)] for place in range(len(copies))]
    with ThreadPoolExecutor(len(copies)) as pool:
        shared = list(pool.map(noted_in, copies, shares))
    known = Known()
    for one in shared:
        known.seconds |= one.seconds
        for line, tests in one.at.items():
            known.at.setdefault(line, set()).update(tests)
    return known


def noted_in(copy: Path, files: list[Path]) -> Known:
    """The same of some files in one copy."""
    seconds, kept = copy / "seconds", copy / "coverage"
    extra = {"COVERAGE_FILE": str(kept), "COVERAGE_CORE": "ctrace", "MUTANTS_NOTING": str(seconds)}
    under = ["-m", "coverage", "run", "--source=webapp/costing", "--rcfile=/dev/null"]
    ran = asked(copy, [str(file.relative_to(ROOT)) for file in files], under=under, extra=extra, seconds=AT_MOST)
    if ran.returncode:
        raise SystemExit(f"Nothing can be found out: without any mistake there is\n{ran.stdout[-2000:]}{ran.stderr}")
    known, data = Known(json.loads(seconds.read_text(encoding="utf-8"))), CoverageData(str(kept))
    data.read()
    for measured in data.measured_files():
        inside = Path(measured).relative_to(copy.resolve()).as_posix()
        for line, contexts in data.contexts_by_lineno(measured).items():
            known.at[inside, line] = {one for one in contexts if one}
    return known


# --- whether a mistake is noticed


def in_turn(mutant: Mutant, known: Known) -> tuple[list[str], list[str], list[str]]:
    """The tests that come to the statement, first those of one file, and then all the others.

    That is the module's own file or the quickest: to read all files takes longer than most mistakes live.
    """
    own, coming, functions = own_file(mutant), known.coming_to(mutant), known.functions()
    if not coming:
        files = {name: name.partition("::")[0] for name in functions}
        coming = {name for name, file in files.items() if file == own or file.rpartition("/")[2] in LISTS}
    first = by_file({name: took for name, took in functions.items() if name in coming}, own)
    alone = [name for name in first if name.partition("::")[0] == first[0].partition("::")[0]]
    return alone, first[len(alone) :], [name for name in functions if name not in coming]


def own_file(mutant: Mutant) -> str:
    """The tests of a module itself, in a tree that mirrors that of the code."""
    inside = mutant.path.relative_to(ROOT / "webapp")
    return (Path("tests") / inside.with_name(f"test_{inside.stem}.py")).as_posix()


def by_file(tests: Mapping[str, float], own: str) -> list[str]:
    """Files together, since they share what they set up: the module's own first, then those that are done soonest.

    Of each file the quick tests first.
    """
    files: dict[str, float] = {}
    for name, took in tests.items():
        file = name.partition("::")[0]
        files[file] = files.get(file, 0.0) + took
    turns = sorted(files, key=lambda file: (file != own, files[file]))
    quick = sorted(tests, key=tests.__getitem__)
    return [name for file in turns for name in quick if name.startswith(f"{file}::")]


def asked(
    copy: Path, tests: Iterable[str], *, under: Iterable[str] = (), extra: Mapping[str, str], seconds: int
) -> subprocess.CompletedProcess[str]:
    """pytest in a copy, stopping at the first that fails."""
    options = ["-m", SHORT, "-n0", "-x", "-q", "-p", "no:cacheprovider", "--hypothesis-seed=0", "--tb=no"]
    left = {name: value for name, value in os.environ.items() if name != "EXAMPLES_IN_FULL"}
    own = {**left, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", **extra}
    # Thousands of names are more than some systems take on a line.
    listed = copy / "asked"
    listed.write_text("\n".join(tests), encoding="utf-8")
    command = [sys.executable, *under, "-m", "pytest", *options, f"@{listed}"]
    return subprocess.run(
        command, cwd=copy, env=own, capture_output=True, text=True, timeout=seconds, check=False, errors="replace"
    )


def failing(copy: Path, tests: list[str]) -> str | None:
    """What noticed: the first test that failed, or that ran on; none if all pass."""
    if not tests:
        return None
    try:
        ran = asked(copy, tests, extra={}, seconds=AT_MOST)
    except subprocess.TimeoutExpired:
        return "it runs on and on"
    if ran.returncode in (0, 5):  # 5: none of these tests is for a run like this
        return None
    said = [line for line in ran.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return said[0].partition(" - ")[0] if said else f"pytest ended with {ran.returncode}"


def noticed(copy: Path, mutant: Mutant, known: Known, *, nearest: bool = False) -> str | None:
    """What notices a mutant in this copy, which is put right again afterwards."""
    inside = copy / mutant.path.relative_to(ROOT)
    right = inside.read_text(encoding="utf-8")  # not that of the tree, which somebody may be working on
    inside.write_text(source_of(mutant, right), encoding="utf-8")
    # What Python kept of the right module must not be taken for the wrong one.
    for kept in (inside.parent / "__pycache__").glob(f"{inside.stem}.*.pyc"):
        kept.unlink()
    try:
        alone, first, rest = in_turn(mutant, known)
        return failing(copy, alone) or failing(copy, first) or (None if nearest else failing(copy, rest))
    finally:
        inside.write_text(right, encoding="utf-8")


def copy_of_the_tree(folder: Path) -> Path:
    """The program and its tests once more."""
    folder.mkdir()
    for name in COPIED:
        shutil.copytree(ROOT / name, folder / name)
    shutil.copy2(ROOT / "pyproject.toml", folder)
    (folder / "tests" / "conftest.py").write_text(CONFTEST, encoding="utf-8")
    return folder


def tried(mutants: list[Mutant], at_once: int, notes: Path | None, *, nearest: bool = False) -> list[Mutant]:
    """Try each, saying how it went; those that nothing noticed."""
    survivors: list[Mutant] = []
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        every = [copy_of_the_tree(Path(folder) / str(number)) for number in range(at_once)]
        known = Known.again(notes) if notes and notes.exists() else noted(every)
        if notes:
            known.kept_in(notes)
        for copy in every:
            (copy / "tests" / "seconds.json").write_text(json.dumps(known.seconds), encoding="utf-8")
        print(f"{len(known.seconds)} tests pass without a mistake, in {sum(known.seconds.values()):.0f} s", flush=True)
        copies: Queue[Path] = Queue()
        for each in every:
            copies.put(each)

        def one(mutant: Mutant) -> None:
            copy, began = copies.get(), time.monotonic()
            try:
                by = noticed(copy, mutant, known, nearest=nearest)
            finally:
                copies.put(copy)
            if by is None:
                survivors.append(mutant)
            said = f", {by}" if by else "" if known.coming_to(mutant) else ", and no test comes to it"
            took = f"{time.monotonic() - began:.0f} s"
            print(f"{'SURVIVED' if by is None else 'killed  '} {mutant}  ({took}{said})", flush=True)

        with ThreadPoolExecutor(at_once) as pool:
            list(pool.map(one, mutants))
    return survivors


def main() -> int:
    """Try so many and give the score."""
    wanted = argparse.ArgumentParser(description=__doc__)
    wanted.add_argument("--count", type=int, default=60)
    wanted.add_argument("--seed", type=int, default=1)
    wanted.add_argument("--start", type=int, default=0, help="leave out so many of those drawn: done in another part")
    wanted.add_argument("--at-once", type=int, default=2)
    wanted.add_argument("--only", default="", help="of those drawn, the ones whose place holds this text")
    wanted.add_argument("--nearest", action="store_true", help="ask only tests that come to the statement: quicker")
    wanted.add_argument("--notes", type=Path, help="a file for what was found out about the tests: once for many runs")
    told = wanted.parse_args()
    mutants = [mutant for mutant in drawn(told.count, told.seed)[told.start :] if told.only in str(mutant)]
    survivors = tried(mutants, told.at_once, told.notes, nearest=told.nearest)
    killed = len(mutants) - len(survivors)
    print(f"\nseed {told.seed}: {len(mutants)} tried, {killed} killed, {len(survivors)} survived")
    for mutant in survivors:
        print(f"  {mutant}")
    return 0 if killed * 100 >= WANTED * len(mutants) else 1


if __name__ == "__main__":
    sys.exit(main())
