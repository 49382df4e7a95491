"""The published list of bad inputs (`published_inputs/`), each with the text that its value stands for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "published_inputs"


def inputs_of(group: str, field: str, where: str) -> list[dict[str, Any]]:
    """The inputs of a group for one of its neutral fields, as they are sent from `where`."""
    told = json.loads((FOLDER / f"{group}.json").read_text(encoding="utf-8"))["inputs"]
    return [{**one, "text": text_of(one["value"])} for one in told if one["field"] == field and one["where"] == where]


def text_of(value: Any) -> Any:
    """The value itself, or what it says how to make."""
    if isinstance(value, dict) and "make" in value:
        return value["make"]["ch"] * value["make"]["times"]
    return value
