"""The wrong tries of this process, and its clock."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from webapp.door.guessing import Tries
from webapp.errors import TooMany


class Slowing:
    """Counts tries; many threads may try at once."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self.clock = clock
        self._tries = Tries()
        self._lock = threading.Lock()

    def begin(self, peer: str) -> None:
        """Count a try as wrong until it is right. TooMany where this peer has to wait first: then it is not counted."""
        with self._lock:
            now = int(self.clock())
            if wait := self._tries.wait(peer, now):
                raise TooMany(wait)
            self._tries = self._tries.begun(peer, now)

    def right(self, peer: str) -> None:
        """It was right."""
        with self._lock:
            self._tries = self._tries.right(peer)
