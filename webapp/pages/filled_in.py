"""What an answer writes into a field of its form, where nobody typed: `parts/into.html` says it, page.js does it."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping


@dataclasses.dataclass(frozen=True, slots=True)
class Fill:
    """A text for a field, to be written where the field still says `over` or nothing."""

    field: str
    text: str
    over: str = ""
    only_with: Mapping[str, str] = dataclasses.field(default_factory=dict)
    """Other fields and what they must say: a price belongs to its pack, and tax is in it at the line's own rate."""
