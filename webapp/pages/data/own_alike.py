"""Remarks that hold for several sheets or formulas of a maker's own: said once, with what they are called."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.pages.data.own_shown import shortened

#: from how many on a remark is said once, and how many are named with it
_SEVERAL, _NAMED = 3, 12
Said = tuple[str, Sequence[str]]
"""What something is called, and the remarks on it."""


def said_once(every: Sequence[Said], of_all: str) -> dict[str, str]:
    """The remarks that hold for several, each with those that it holds for; all of them are called `of_all`."""
    found: dict[str, list[str]] = {}
    for name, remarks in every:
        for remark in dict.fromkeys(remarks):
            found.setdefault(remark, []).append(shortened(name, 40))
    return {
        remark: of_all if len(names) == len(every) else _several(names)
        for remark, names in found.items()
        if len(names) >= _SEVERAL
    }


def _several(names: Sequence[str]) -> str:
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return f"{', '.join(names[:_NAMED])}{more}"
