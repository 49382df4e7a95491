"""The published examples about selling; each names its source and how well that is known in data/selling.json."""

from __future__ import annotations

import csv
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

from webapp.costing.gaps import Figure

DATA = Path(__file__).parent / "data"
EXAMPLES: dict[str, Any] = json.loads((DATA / "selling.json").read_text("utf-8"))


def example(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The inputs and the answers of a published example, which says where it is from and how well that is known."""
    entry = EXAMPLES[name]
    assert entry["source"]
    assert entry["standing"]
    return entry["inputs"], entry["expected"]


def rows(name: str) -> list[dict[str, str]]:
    """A published table; every row says how well it is known."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    assert all(row["seen_or_memory"] in {"seen", "computed", "memory"} for row in found)
    return found


def near(figure: Figure, wanted: str, tolerance: str = "0.005") -> bool:
    """Whether a figure is the published one, within what the source's own rounding permits."""
    return isinstance(figure, Decimal) and abs(figure - Decimal(wanted)) <= Decimal(tolerance)


def fraction(percent: str) -> Decimal:
    return Decimal(percent) / 100
