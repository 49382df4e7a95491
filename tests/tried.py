"""How often something was tried and how often it failed: printed, and kept for the table of figures."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import TypeVar

from tests.examples import IN_FULL

T = TypeVar("T")

#: the file that gets a line of JSON for each, where it is named
FIGURES = "FIGURES_FILE"
#: set by `.ci/run`, whose steps see to the tools: a test that lacks one then fails, and is not left out
REQUIRED = os.environ.get("REQUIRE_TOOLS") == "1"


def many(usual: T, full: T) -> T:
    """How many tries, or which: `full` in `.ci/run deep`, else `usual`."""
    return full if os.environ.get(IN_FULL) else usual


def tell(test: str, tried: int, failures: list[str], how: str = "") -> None:
    """Say how it went, and fail where anything failed. `how` says what a try was."""
    print(f"{test}: {tried} tried, {len(failures)} failed. {how}")
    if name := os.environ.get(FIGURES):
        told = {"test": test, "tried": tried, "failed": len(failures), "how": how}
        with Path(name).open("a", encoding="utf-8") as file:
            file.write(json.dumps(told) + "\n")
    assert tried
    assert not failures, "\n".join(failures)
