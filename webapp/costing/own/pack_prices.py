"""Prices that say in their cell how many packs were bought at them: 2 @ €4.50, 3 x 6.00."""

from __future__ import annotations

import re
from decimal import Decimal

from webapp.costing.amounts import ONE

_AT = re.compile(
    r"(?P<many>[1-9][0-9]{0,2})\s?(?:@|[x\u00d7*](?![a-z]))\s?(?P<price>[^0-9]{0,4}[0-9].*)", re.IGNORECASE
)


def packs_at(text: str) -> tuple[Decimal, str]:
    """How many packs a cell says were bought at its price each, and that price: 2 and €4.50; else 1 and all of it."""
    found = _AT.fullmatch(text)
    return (Decimal(found["many"]), found["price"]) if found else (ONE, text)
