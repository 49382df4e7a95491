"""Things of a day ahead: today's book does not hold them yet, so that nothing can be put away or brought back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from webapp.costing.limits import FIRST_DAY
from webapp.errors import Fault, NotYet
from webapp.store.history import Past


def first_day(fact: Any) -> date:
    """From when on a fact holds: an order on its day, what is dated since its day."""
    found: date = fact.day if hasattr(fact, "day") else getattr(fact, "since", FIRST_DAY)
    return found


def not_yet(facts: Sequence[Any], history: Sequence[Past], today: date) -> NotYet | None:
    """Why a thing of a day ahead cannot be put away, by all of its facts and changes; None for all other things."""
    day = min((first_day(fact) for fact in facts), default=today)
    if day <= today or not history:
        return None
    made = history[-1].version
    words = (
        f"It exists from {day} on: before that day there is nothing to put away. "
        f"To take it back now, undo the change that made it, number {made}."
    )
    return NotYet([Fault("", "not-yet", words)], made)
