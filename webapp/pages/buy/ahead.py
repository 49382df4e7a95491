"""Orders of a day ahead: today's book does not hold them, yet they can be looked at and corrected."""

from __future__ import annotations

from dataclasses import replace

from webapp.costing.book import Order
from webapp.costing.limits import LAST_DAY
from webapp.pages.rendering import Desk


def desk_of(desk: Desk, ident: int) -> Desk:
    """The desk to look at one order from: of its own day where that lies ahead."""
    if desk.read_only or ident in desk.book.orders or ("order", ident) not in desk.snapshot.moved:
        return desk
    found = [fact for fact in desk.store.facts("order", ident) if isinstance(fact, Order)]
    return replace(desk, snapshot=desk.store.snapshot(found[0].day)) if found else desk


def desk_of_all(desk: Desk) -> Desk:
    """The desk to list orders from. A second book is made only where some order is not in today's."""
    if desk.read_only or all(key[1] in desk.book.orders for key in desk.snapshot.moved if key[0] == "order"):
        return desk
    return replace(desk, snapshot=desk.store.snapshot(LAST_DAY))
