"""How often something was tried and how often it failed: printed, and kept where BRIMFUL_FIGURES names a file."""

from __future__ import annotations

import json
import os
from pathlib import Path


def record(test: str, tried: int, failed: int) -> None:
    """One line of JSON for one walk."""
    line = json.dumps({"test": test, "tried": tried, "failed": failed})
    print(line)
    if named := os.environ.get("BRIMFUL_FIGURES"):
        with Path(named).open("a", encoding="utf-8") as file:
            file.write(f"{line}\n")
