"""The bench runs, on the smallest workshop once, and prints every line of its table. Its times are no test."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.measuring import Verdict, alone, growth

STEPS = (
    "figures of the whole line", "on two channels with kept sheets", "the line again after one price",
    "the line again after a 20-line order",
    "what a what-if of two changes", "is a bigger jar worth it", "page of a bigger jar",
    "page of a what-if", "packs 10 x 8 x 4", "book read",
    "book brought up to date after a write",
    "live page of the line", "in a browser until usable", "start to first page", "memory, most",
    "SQL statements, first page", "SQL statements, line",
    "reference A1", "reference A2", "reference A3", "reference A4",
)  # fmt: skip


@pytest.mark.deep
def test_the_bench_prints_every_line_and_its_figures_agree() -> None:
    # A process of its own: a test in a browser leaves an event loop running in this one.
    command = [sys.executable, "-m", "tests.bench", "--size", "S", "--rounds", "1"]
    done = subprocess.run(command, cwd=Path(__file__).parent.parent, capture_output=True, text=True, check=True)
    lines = done.stdout.splitlines()
    for step in STEPS:
        assert any(line.startswith(step) for line in lines), step
    assert re.fullmatch(r"agreement: [1-9]\d* prices and jar counts against exact fractions, 0 differ", lines[2])
    assert re.fullmatch(r"\d+ ok, \d+ over, \d+ not judged", lines[-1])


@pytest.mark.parametrize(
    ("values", "said"), [([1.0, 1.0, 1.1], "ok"), ([2.0, 2.1, 2.2], "over"), ([1.0, 2.0, 3.0], "noisy")]
)
def test_a_figure_is_judged_only_where_its_quartiles_are_close(values: list[float], said: str) -> None:
    assert alone("step", values, "s", 1.5).said == said


def test_growth_is_told_from_size_to_size() -> None:
    linear, square = Verdict("", "ok", "linear", 2), Verdict("", "ok", "square", 2)
    later = [Verdict("", "ok", "linear", 20), Verdict("", "over", "square", 200), Verdict("count", "ok")]
    lines = growth([(40, [linear, square]), (400, later)])
    assert [line.split() for line in lines] == [
        ["linear", "2.000", "ms", "20.000", "ms", "exponents", "1.00"],
        ["square", "2.000", "ms", "200.000", "ms", "exponents", "2.00"],
    ]
