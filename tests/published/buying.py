"""The published examples and tables about buying, each row with its source and standing."""

from __future__ import annotations

import csv
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

DATA = Path(__file__).parent / "data"
EXAMPLES: dict[str, Any] = json.loads((DATA / "buying.json").read_text(encoding="utf-8"))


def example(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The inputs and the answers of a published example, which says where it is from and how well that is known."""
    entry = EXAMPLES[name]
    assert entry["source"]
    assert entry["standing"]
    return entry["inputs"], entry["expected"]


def near(figure: object, printed: str, within: str = "0.005") -> bool:
    """Whether a figure is what the source printed, within the rounding of the source."""
    assert isinstance(figure, Decimal), figure
    return abs(figure - Decimal(printed)) <= Decimal(within)


def table(name: str) -> list[dict[str, str]]:
    """The rows of a table; every row says where it is from and whether that was seen, computed or remembered."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows
    assert all(row["source"] and row["seen_or_memory"] in ("seen", "computed", "memory") for row in rows)
    return rows
