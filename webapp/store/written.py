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

    def __init__(self) -> None:
        self._kept: dict[Hashable, tuple[tuple[object, ...], Any]] = {}
        self._lock = threading.Lock()

    def once(self, question: Hashable, results: tuple[object, ...], write: Callable[[], Written]) -> Written:
        """What was written of these results under this question, or `write()`: all that it reads is in the two."""
        kept = self._kept.get(question)
        if kept is not None and all(map(is_, kept[0], results)):
            found: Written = kept[1]
            return found
        written = write()
        with self._lock:
            self._kept.pop(question, None)
            self._kept[question] = results, written
            while len(self._kept) > MOST:
                del self._kept[next(iter(self._kept))]
        return written
