"""The published examples about break-even and price changes; each names its source and standing in data/pay.json."""

from __future__ import annotations

import json
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from webapp.costing.break_even import Mix, Selling, mix

EXAMPLES: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "pay.json").read_text("utf-8"))


def example(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The inputs and the answers of a published example, which says where it is from and how well that is known."""
    entry = EXAMPLES[name]
    assert entry["source"]
    assert entry["standing"]
    return entry["inputs"], entry["expected"]


def sold(*each: Sequence[str]) -> Mix:
    """What is sold, as (units, price, variable cost a unit); every one a product of its own on one channel."""
    return mix(
        Selling(number, 1, Decimal(units), Decimal(price), Decimal(price) - Decimal(variable))
        for number, (units, price, variable) in enumerate(each, 1)
    )
