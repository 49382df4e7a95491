"""Two states of one workshop side by side: what only one of them has, what differs, and how far costs and prices move.

Things are matched by their identity, so both have to be states of the same data: a backup of it and the present. A
number that was given anew after a restore is told by its name.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from webapp.costing.book import ABOUT, PAIRS, SHELVES, Book, Workshop
from webapp.costing.difference import MovedRow, moved_rows
from webapp.costing.limits import name_key
from webapp.costing.reckoning import Reckoning

_SINGLE = ("workshop", "terms")


@dataclass(frozen=True, slots=True)
class Changed:
    """A thing that both have and that is not the same: both records, and the names of the fields that differ."""

    now: Any
    then: Any
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KindCompared:
    """The things of one kind: those that are only here now, only there, and in both but not the same."""

    kind: str
    only_now: tuple[Any, ...]
    only_then: tuple[Any, ...]
    changed: tuple[Changed, ...]
    now: int
    then: int

    @property
    def differs(self) -> bool:
        """Whether anything of the kind is another one."""
        return bool(self.only_now or self.only_then or self.changed)


@dataclass(frozen=True, slots=True)
class Compared:
    """The present and another state: by kind, and the rows of the line that move, the worst first."""

    kinds: tuple[KindCompared, ...]
    rows: tuple[MovedRow, ...]

    @property
    def differs(self) -> bool:
        """Whether the two say anything else."""
        return bool(self.rows) or any(one.differs for one in self.kinds)


def compare(now: Reckoning, then: Reckoning) -> Compared:
    """What would be otherwise if `then` took the place of `now`. Both are of one day and of the same data.

    Rows as `difference.moved_rows` orders them: those that fall below their target there, then the rest.
    """
    shelves = dict((*SHELVES.values(), *PAIRS.values(), *ABOUT.values()))
    kinds = (_of_kind(kind, _things(now.book, shelf), _things(then.book, shelf)) for kind, shelf in shelves.items())
    return Compared(tuple(kinds), moved_rows(now, then))


def _things(book: Book, shelf: str) -> Mapping[Any, Any]:
    """The things of a shelf by identity; the two single ones as a shelf with one thing."""
    found = getattr(book, shelf)
    return {1: found} if shelf in _SINGLE else found


def _of_kind(kind: str, now: Mapping[Any, Any], then: Mapping[Any, Any]) -> KindCompared:
    both = [key for key, one in now.items() if key in then and _are_one(one, then[key])]
    pairs = ((now[key], then[key]) for key in both)
    held = frozenset(both)
    return KindCompared(
        kind,
        tuple(one for key, one in now.items() if key not in held),
        tuple(one for key, one in then.items() if key not in held),
        tuple(Changed(here, there, _differing(here, there)) for here, there in pairs if here != there),
        len(now),
        len(then),
    )


def _are_one(here: Any, there: Any) -> bool:
    """Whether two records of one number are of one thing: they have one name, or all but the name is the same.

    After a restore a number is given anew, to what has nothing to do with what had it before.
    """
    names = [getattr(one, "name", None) for one in (here, there)]
    if here is there or isinstance(here, Workshop) or names[0] == names[1]:
        return True
    return name_key(str(names[0])) == name_key(str(names[1])) or _differing(here, there) == ("name",)


def _differing(here: Any, there: Any) -> tuple[str, ...]:
    return tuple(one.name for one in fields(here) if getattr(here, one.name) != getattr(there, one.name))
