"""What was done to a thing: the day and the words of each change, the newest first."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from webapp.pages.rendering import Desk
from webapp.store.history import Past

Lines = tuple[tuple[date, str], ...]


def past_of(desk: Desk, kind: str, ident: int) -> Lines:
    """Every change of a thing; one that was taken back says so."""
    return told(desk.store.history(kind, ident))


def told(past: Iterable[Past]) -> Lines:
    """Changes as lines; one that was undone says so."""
    return tuple((one.when.date(), one.kind + (" (undone)" if one.undone_by else "")) for one in past)
