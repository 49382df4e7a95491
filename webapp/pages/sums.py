"""The working of a figure as its page writes it: each step's texts made once, so that a template only sets them.

A page may hold hundreds of steps; a macro for each of their parts took most of its time.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from webapp.costing.working import told_once
from webapp.pages import addresses
from webapp.pages.formats import Formats, current
from webapp.pages.symbols import NBSP

MINUS = "−"


@dataclass(frozen=True, slots=True)
class StepSet:
    """One line of a sum: sign, the amount before its unit, the unit after it, one more unit, and what it is.

    `gap` stands for an amount that is not known, `opens` is the sum behind it.
    """

    sign: str
    number: str
    small: str
    unit: str
    words: str
    link: str
    gap: object
    opens: SumSet | None


@dataclass(frozen=True, slots=True)
class SumSet:
    """A whole sum: its title, its lines, and the last of them, what they come to."""

    title: str
    steps: tuple[StepSet, ...]
    result: StepSet
    note: str


def set_out(one: Any, *, inside: bool = False) -> SumSet:
    """The core's Working, or a view with the same names whose amounts are text already; `inside`: a step opens it.

    A step is fine, so that what is written adds up; what a sum opens is written as where it was opened.
    """
    formats, one = current.get(), told_once(one)
    result = _step(formats, "=", one, one.result, "", fine=inside)
    return SumSet(
        _said(formats, one.title, one),
        tuple(
            _step(
                formats, MINUS if step.sign == "-" else step.sign, step, step.amount, _said(formats, step.words, step)
            )
            for step in one.steps
        ),
        result,
        getattr(one, "note", ""),
    )


def _step(formats: Formats, sign: str, it: Any, amount: Any, words: str, *, fine: bool = True) -> StepSet:
    opened = getattr(it, "working", None)
    opens = set_out(opened, inside=True) if opened is not None else None
    if not isinstance(amount, str | Decimal):
        return StepSet(sign, "", "", "", words, _link(it), amount, opens)
    text, unit = _amount(formats, it, amount, fine=fine)
    number, small = cut(text)
    return StepSet(sign, number, small, unit, words, _link(it), None, opens)


def _amount(formats: Formats, it: Any, amount: Decimal | str, *, fine: bool) -> tuple[str, str]:
    """The figure as text, and a unit that its kind does not say."""
    if isinstance(amount, str):
        return amount, ""
    if fine:
        return formats.in_sum(amount, it.kind, it.unit), ""
    if it.kind == "money" and len(it.unit) == 3 and it.unit.isupper():
        return formats.money(amount, it.unit), ""
    return formats.shown(amount, it.kind), it.unit


def cut(text: str) -> tuple[str, str]:
    """A figure before its unit, and the unit after the last no-break space, which is set smaller."""
    number, space, small = text.rpartition(NBSP)
    return (number, small) if space and not small[:1].isdigit() else (text, "")


def _said(formats: Formats, words: str, it: Any) -> str:
    """Words, and the day of the purchase as it is written here."""
    day = getattr(it, "day", None)
    return f"{words}, bought on {formats.day(day)}" if day else words


def _link(it: Any) -> str:
    """Where it came from: an address of its own, or that of what it refers to."""
    if hasattr(it, "href"):
        return it.href or ""
    source = getattr(it, "source", None)
    return addresses.looked_at(source) if source else ""
