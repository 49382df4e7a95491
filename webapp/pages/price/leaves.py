"""What a price that is typed beside a change would leave: a fragment that htmx brings while it is typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from webapp.costing.amounts import Unreadable, read_number
from webapp.costing.gaps import Figure
from webapp.costing.limits import MONEY
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.forms import TypedNow
from webapp.pages.offers import PRICES
from webapp.pages.price.deciding import row_of
from webapp.pages.rendering import Desk, DeskNow, View, show, whole_number
from webapp.routes import Routes

router = Routes()
PLACE = "price"
AT = re.compile(rf"{PRICES}-(0|[1-9][0-9]{{0,2}})", re.ASCII)
FRAGMENT = "price/leaves/_leaves.html"


@dataclass(frozen=True, slots=True)
class Leaves:
    """What a price leaves, or what is wrong with it; neither where nothing is typed."""

    at: str
    price: Figure | None = None
    margin: Figure | None = None
    left: Figure | None = None
    target: Decimal | None = None
    fault: str = ""


@router.post(addresses.LEAVES)
def what_it_leaves(
    desk: DeskNow, typed: TypedNow, at: Annotated[str, Query()] = "", cost: Annotated[str, Query()] = ""
) -> Response:
    """What the price typed at one row leaves, at the cost that was worked out there. Nothing is stored."""
    rows = typed.data.get(PRICES)
    found = AT.fullmatch(at)
    if found is None or not isinstance(rows, list) or int(found[1]) >= len(rows):
        raise NotFound
    view = _leaves(desk, at, rows[int(found[1])], cost)
    return show(desk, View(FRAGMENT, "", PLACE, view, fragment=FRAGMENT))


def _leaves(desk: Desk, at: str, row: Any, cost: str) -> Leaves:
    """Read as a save reads it. NotFound where it is about no product and channel, or no cost is sent with it."""
    if not isinstance(row, dict):
        raise NotFound
    now = row_of(desk, whole_number(str(row.get("product", ""))), whole_number(str(row.get("channel", ""))))
    try:
        then = now._replace(cost=read_number(cost))
    except Unreadable:
        raise NotFound from None
    text = str(row.get("amount", ""))
    try:
        price = MONEY.read(text, desk.notation)
    except Unreadable as unreadable:
        return Leaves(at, fault=unreadable.sentence if text.strip() else "")
    return Leaves(at, price, then.margin_at(price), then.left_at(price), then.target)
