"""A name that is not in the book, and what it was said to be instead: where it was a slip, the thing that was meant.

The chooser that asks what a new thing is offers the likely names too, so that a slip is put right by one choice.
"""

from __future__ import annotations

from collections.abc import Sequence

#: the chooser's field, and what stands before a name in it
NEW_KIND, MARK = "new_kind", "="


def choices(near: Sequence[str]) -> list[tuple[str, str]]:
    """What the chooser offers beside the kinds of new things."""
    return [(f"{MARK}{name}", f"no: {name}") for name in near]


def meant_instead(kind: str) -> str:
    """The name that was chosen there; "" where a kind was, or nothing."""
    return kind.removeprefix(MARK) if kind.startswith(MARK) else ""
