"""Wrong tries slowed: each costs whoever guesses time, for each peer and for all together. No clock: `now` is passed.

The first few are free, so that a slip costs nothing. Then the wait doubles, up to a limit, and is forgotten after a
quiet hour. A try counts as wrong from its beginning until it is known to be right, so that many at once are no more
than many after one another. Nothing here is ever asked about the person at the machine.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from ipaddress import IPv6Address

from webapp.door.who import address_in

#: wrong tries without a wait, by one peer and by all together
FREE, FREE_IN_ALL = 5, 30
#: the longest wait in seconds, for one peer and for all: never long for all, or a guesser shuts the others out
LONGEST, LONGEST_IN_ALL = 900, 60
#: after how many quiet seconds all is forgotten, and how many peers are remembered (those who came last)
FORGOTTEN, MOST_PEERS = 3_600, 1_000
_DOUBLINGS = 20
#: what all peers together are remembered by
IN_ALL = ""


@dataclass(frozen=True, slots=True)
class Count:
    """How many wrong tries there were, and the moment (in seconds) of the last."""

    wrong: int = 0
    last: int = 0

    def wait(self, now: int, free: int, longest: int) -> int:
        """Seconds until the next try is looked at."""
        over = self.wrong - free
        if over < 0 or not self._stands(now):
            return 0
        pause = min(1 << min(over + 1, _DOUBLINGS), longest)
        return max(0, self.last + pause - now)

    def more(self, now: int) -> Count:
        """With one more at `now`."""
        return Count((self.wrong if self._stands(now) else 0) + 1, now)

    def _stands(self, now: int) -> bool:
        """Whether it still counts. One of a time to come was written by a clock that was wrong: nobody waits for it."""
        return -LONGEST <= now - self.last < FORGOTTEN


@dataclass(frozen=True, slots=True)
class Tries:
    """The wrong tries of all peers."""

    peers: Mapping[str, Count] = field(default_factory=dict)
    in_all: Count = Count()

    def wait(self, peer: str, now: int) -> int:
        """Seconds until a try of this peer is looked at; 0 where it may try now."""
        own = self.peers.get(key_of(peer), Count())
        return max(own.wait(now, FREE, LONGEST), self.in_all.wait(now, FREE_IN_ALL, LONGEST_IN_ALL))

    def begun(self, peer: str, now: int) -> Tries:
        """With a try that counts as wrong until it is right."""
        key = key_of(peer)
        others = {one: count for one, count in self.peers.items() if one != key}
        kept = dict(list(others.items())[-(MOST_PEERS - 1) :])
        return Tries({**kept, key: self.peers.get(key, Count()).more(now)}, self.in_all.more(now))

    def right(self, peer: str) -> Tries:
        """After a right try: the peer's own are forgotten, and this one is taken out of those in all."""
        key = key_of(peer)
        kept = {one: count for one, count in self.peers.items() if one != key}
        return Tries(kept, replace(self.in_all, wrong=max(0, self.in_all.wrong - 1)))


def key_of(peer: str) -> str:
    """What a peer is remembered by. Of IPv6 the first half: whoever has one address there has all with that half."""
    address = address_in(peer)
    if isinstance(address, IPv6Address):
        return str(IPv6Address(int(address) >> 64 << 64))
    return str(address or peer or "?")
