"""A figure that cannot be worked out: the reason, and the field that would cure it.

A gap travels beside figures: whatever depends on it is missing with the same reason. It is never zero.
It does so by itself through + - x and /, so that a sum over figures reads as it is and asks nothing on its way; what
is compared, rounded or counted with must be known, there a gap is a TypeError.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias, TypeVar

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Ref:
    """Where a figure came from, or where a gap is cured: a thing of the book and a field of it.

    `kind` is a record kind of `book.KINDS`; `field` is a path as forms write it ("lines-3-price"), or "".
    """

    kind: str
    id: int
    field: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """Why a figure is missing, as a sentence that says what to do, with the place that cures it."""

    reason: str
    cure: Ref | None = None

    def __bool__(self) -> bool:
        """True, so that `gap or figure` reads as it should; a gap is not an empty thing."""
        return True

    def _travels(self, _: Decimal | Gap) -> Gap:
        """Of two gaps the first one."""
        return self

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __truediv__ = __rtruediv__ = _travels


Figure: TypeAlias = Decimal | Gap


def first_gap(figures: Iterable[Figure]) -> Gap | None:
    """The first gap among figures, in the order they are asked about; None if all are known."""
    for figure in figures:
        if isinstance(figure, Gap):
            return figure
    return None


def added(figures: Iterable[Figure]) -> Figure:
    """The sum of figures, or the first gap among them."""
    total: Decimal | None = None
    for figure in figures:
        if isinstance(figure, Gap):
            return figure
        total = figure if total is None else total + figure
    return Decimal(0) if total is None else total


def plus(one: Figure, other: Figure) -> Figure:
    """Two figures added, or the first gap of the two."""
    if isinstance(one, Gap):
        return one
    return other if isinstance(other, Gap) else one + other


def from_known(work: Callable[..., Decimal], *figures: Figure) -> Figure:
    """`work` of the figures when all are known, else the first gap among them."""
    for figure in figures:
        if isinstance(figure, Gap):
            return figure
    return work(*figures)


def surely(found: Found | Gap | None) -> Found:
    """What is known here because of what was asked before; KeyError where it is not there after all."""
    if found is None or isinstance(found, Gap):
        raise KeyError("" if found is None else found.reason)
    return found
