"""The lying jar that shows a margin: how full it is, and in words."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import snap
from webapp.pages.formats import Formats, Shown


@dataclass(frozen=True, slots=True)
class Vessel:
    """How full the lying jar is: `fill` in hundredths of the target, `over` in points above it."""

    state: str
    fill: int
    over: int
    words: str


def vessel(formats: Formats, margin: Shown, target: Shown) -> Vessel:
    """The vessel of a margin and its target (fractions). Never drawn full when short."""
    words = formats.points(margin, target)
    if not isinstance(margin, Decimal) or not isinstance(target, Decimal):
        return Vessel("unknown", 0, 0, words)
    have, want = snap(margin), snap(target)
    if have < 0:
        return Vessel("loss", 0, 0, words)
    if have < want:
        return Vessel("short", min(99, int(have * 100 / want)), 0, words)
    over = min(100, int((have - want) * 100))
    return Vessel("above" if have > want else "at", 100, over, words)
