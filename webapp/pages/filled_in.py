"""What an answer writes into a field of its form, where nobody typed: `parts/into.html` says it, page.js does it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fill:
    """A text for a field, to be written where the field still says `over` or nothing."""

    field: str
    text: str
    over: str = ""
    only_with: tuple[str, str] = ("", "")
    """Another field of the line and what it must say: tax is in a price only at that line's own rate."""
