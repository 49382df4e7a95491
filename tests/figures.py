"""The table of figures: what was tried against faults, bad input and damage, and how much of it failed.

    python -m tests.figures [--full] [--from FILE]

It runs those tests (`--full`: as often as `.ci/run deep`) and prints the table in Markdown; `--from` makes it of the
lines that an earlier run left in the file that FIGURES_FILE named.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.examples import AN_OPERATION, IN_FULL
from tests.tried import FIGURES

ROOT = Path(__file__).resolve().parents[1]
RUN = (
    "tests/faults",
    "tests/test_bad_inputs.py",
    "tests/api/test_bad_amounts.py",
    "tests/api/test_hostile_bodies.py",
    "tests/api/test_schema.py",
    "tests/costing/test_numbers_drawn.py",
    "tests/exchange/test_books_drawn.py",
    "tests/pages/test_bad_numbers.py",
    "tests/pages/test_forms_drawn.py",
    "tests/pages/test_hostile_text.py",
    "tests/test_door_matrix.py",
)
BOUNDED, FULL = "not deep and not browser and not postgres", "not browser and not postgres"


def main() -> int:
    """Run the tests, print the table; 1 where anything failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.figures", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--full", action="store_true", help="as often as .ci/run deep")
    parser.add_argument("--tests", action="store_true", help="only say which tests they are")
    parser.add_argument("--from", dest="lines", type=Path, help="lines that an earlier run left")
    asked = parser.parse_args()
    if asked.tests:
        print("\n".join(RUN))
        return 0
    code = 0
    lines = asked.lines
    if lines is None:
        lines = Path(tempfile.mkdtemp()) / "figures.jsonl"
        more = {IN_FULL: "1", AN_OPERATION: "60"} if asked.full else {}
        command = [sys.executable, "-m", "pytest", "-q", "-m", FULL if asked.full else BOUNDED, *RUN]
        code = subprocess.run(
            command, cwd=ROOT, env={**os.environ, FIGURES: str(lines), **more}, check=False
        ).returncode
    print(table(lines))
    return code


def table(lines: Path) -> str:
    """The lines of a run as a table; the same test told more than once is added up."""
    found: dict[str, list[int]] = {}
    how: dict[str, str] = {}
    for line in lines.read_text(encoding="utf-8").splitlines():
        told = json.loads(line)
        added = found.setdefault(told["test"], [0, 0])
        added[0] += told["tried"]
        added[1] += told["failed"]
        how[told["test"]] = told.get("how", "")
    rows = [f"| {test} | {tried} | {failed} | {how[test]} |" for test, (tried, failed) in sorted(found.items())]
    return "\n".join(["| test | tried | failed | |", "| --- | --- | --- | --- |", *rows])


if __name__ == "__main__":
    raise SystemExit(main())
