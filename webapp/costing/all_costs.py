"""Every product costed at once: how many, how many have a gap, and a checksum of all that came out.

Two books with the same checksum say the same of every cost and every price, to 12 places.
"""

from __future__ import annotations

import hashlib
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import half_up
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning

_PLACES = 12


class AllCosts(NamedTuple):
    """What costing every product came to: how many there are, how many can't be costed whole, and the checksum."""

    products: int
    with_gaps: int
    checksum: str


def all_costs(reckoning: Reckoning) -> AllCosts:
    """Cost every product of the book, sets and put-away ones too, and its rows on every channel.

    The checksum (SHA-256) is over full cost, cost on a channel, net price, suggestion and what is left, in home
    currency half-up to 12 places; a gap counts as one, whatever its words. The order of the book doesn't matter.
    """
    found, gaps = hashlib.sha256(), 0
    for product in sorted(reckoning.book.products):
        full = reckoning.sheet(product).full
        gaps += isinstance(full, Gap)
        found.update(f"{product} {_shown(full)}\n".encode())
        for row in sorted(reckoning.rows(product), key=lambda row: row.channel):
            figures = (row.cost, row.net, row.suggested, row.profit)
            found.update(f"{product} {row.channel} {' '.join(map(_shown, figures))}\n".encode())
    return AllCosts(len(reckoning.book.products), gaps, found.hexdigest())


def _shown(figure: Figure | None) -> str:
    return str(half_up(figure, _PLACES)) if isinstance(figure, Decimal) else "-"
