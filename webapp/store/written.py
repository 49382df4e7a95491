"""What pages wrote of single results of the core, kept while those are the very same objects, from book to book."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from operator import is_
from typing import Any, TypeVar

MOST = 500
Written = TypeVar("Written")


class WrittenOf:
    """The last so many. A result that a new book takes over is the same object, and what was written of it holds."""

    def __init__(self, most: int = MOST) -> None:
        self._most = most
        self._kept: dict[Hashable, Any] = {}
        self._lock = threading.Lock()

    def once(self, question: Hashable, results: tuple[object, ...], write: Callable[[], Written]) -> Written:
        """What was written of these results under this question, or `write()`: all that it reads is in the two."""
        kept = self.last(question)
        if kept is not None and all(map(is_, kept[0], results)):
            found: Written = kept[1]
            return found
        written = write()
        self.keep(question, (results, written))
        return written

    def last(self, question: Hashable) -> Any:
        """What was kept last under this question, of whatever book; None where it is nothing."""
        return self._kept.get(question)

    def keep(self, question: Hashable, answer: Any) -> None:
        """Keep it for the next who asks; what was kept longest ago makes room."""
        with self._lock:
            self._kept.pop(question, None)
            self._kept[question] = answer
            while len(self._kept) > self._most:
                del self._kept[next(iter(self._kept))]
