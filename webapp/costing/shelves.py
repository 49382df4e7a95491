"""A shelf of a book while changes are placed on it one after another: copied once, its names known without a search."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from webapp.costing.limits import name_key


class Shelf(dict[Any, Any]):
    """Records by their number, as in a book, and by their names where anybody asked for one.

    Only who made it places anything on it, and only until the book that it is part of is given away.
    """

    __slots__ = ("_called",)

    def __init__(self, held: Mapping[Any, Any]) -> None:
        super().__init__(held)
        self._called: dict[str, set[Any]] | None = None

    def place(self, key: Any, record: Any) -> None:
        """Put a record in the place of what was there, or behind the others."""
        self._forget(key)
        self[key] = record
        if self._called is not None:
            self._called.setdefault(name_key(record.name), set()).add(key)

    def take_away(self, key: Any) -> None:
        """Take a record away; nothing where there is none."""
        self._forget(key)
        self.pop(key, None)

    def _forget(self, key: Any) -> None:
        if self._called is not None and key in self:
            self._called[name_key(self[key].name)].discard(key)

    def called(self, folded: str) -> Iterable[Any]:
        """The records with a folded name, in the shelf's order."""
        if self._called is None:
            called: dict[str, set[Any]] = {}
            for key, record in self.items():
                called.setdefault(name_key(record.name), set()).add(key)
            self._called = called
        keys = self._called.get(folded, set())
        return [self[key] for key in (keys if len(keys) < 2 else self) if key in keys]
