"""The wrong tries of all processes together, and the clock that they are measured by. They lie in the store."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Mapping
from datetime import UTC, datetime

from webapp.door.guessing import FORGOTTEN, IN_ALL, MOST_PEERS, Count, Tries, key_of
from webapp.errors import TooMany
from webapp.store.devices import Devices, Tried

log = logging.getLogger("brimful.door")


class Slowing:
    """Counts tries in the store of `devices`; many threads and processes may try at once.

    Whoever has to wait is told so from what is read: only a try that is looked at takes the writer's turn, and there
    are few of those, so that a guesser holds nobody's save up.
    """

    def __init__(self, clock: Callable[[], float] | None = None) -> None:
        self.clock = clock
        self._began = time.time() - time.monotonic()
        self._waiting: set[str] = set()

    def begin(self, devices: Devices, peer: str) -> None:
        """Count a try as wrong until it is right. TooMany where this peer has to wait first: then it is not counted."""
        now, keys = self._now(devices), (key_of(peer), IN_ALL)
        try:
            _refuse(_tries(devices.tried(keys)), peer, now)
        except TooMany as refusal:
            self._tell(peer, refusal)
            raise
        self._waiting.discard(key_of(peer))

        def counted(tried: Tried) -> Tried:
            _refuse(_tries(tried), peer, now)  # another may have come first
            return _tried(_tries(tried).begun(peer, now))

        devices.count(keys, counted, _moment(now - FORGOTTEN), MOST_PEERS)

    def _now(self, devices: Devices) -> int:
        """The second by which tries are measured: no clock that is set while they are made forgets them.

        Of one process that is what passed since it began; of several the database's clock, which they share.
        """
        if self.clock is not None:
            return int(self.clock())
        return int(devices.now().timestamp() if devices.is_shared else self._began + time.monotonic())

    def _tell(self, peer: str, refusal: TooMany) -> None:
        """In the log once for each time that a peer has to wait, or whoever tries without end would fill a disk."""
        if key_of(peer) not in self._waiting:
            if len(self._waiting) >= MOST_PEERS:
                self._waiting.clear()
            self._waiting.add(key_of(peer))
            log.warning("Tries at %s are not looked at: %s", peer, refusal.sentence)

    def right(self, devices: Devices, peer: str) -> None:
        """It was right."""
        now, keys = self._now(devices), (key_of(peer), IN_ALL)
        devices.count(keys, lambda tried: _tried(_tries(tried).right(peer)), _moment(now - FORGOTTEN), MOST_PEERS)


def _refuse(tries: Tries, peer: str, now: int) -> None:
    if wait := tries.wait(peer, now):
        raise TooMany(wait)


def _moment(second: int) -> datetime:
    return datetime.fromtimestamp(second, UTC)


def _tries(tried: Tried) -> Tries:
    counts = {peer: Count(wrong, int(last.timestamp())) for peer, (wrong, last) in tried.items()}
    return Tries({peer: one for peer, one in counts.items() if peer != IN_ALL}, counts.get(IN_ALL, Count()))


def _tried(tries: Tries) -> Tried:
    counts: Mapping[str, Count] = {**tries.peers, IN_ALL: tries.in_all}
    return {peer: (one.wrong, _moment(one.last)) for peer, one in counts.items()}
