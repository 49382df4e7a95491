"""Prices that are kept below their target knowingly. Figures by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import Any, cast

import pytest

from tests.costing.buying import book
from webapp.costing.book import Price
from webapp.costing.gaps import Figure, Gap
from webapp.costing.kept import kept_knowingly
from webapp.costing.rows import Row

D = Decimal
SUGGESTED = Decimal(4)
#: 2.50 was kept while 4.00 was suggested
KEPT = Price(1, 2, date(2026, 6, 1), D("2.50"), "a promise", suggested=D(4))


def row(suggested: Figure = SUGGESTED, *, reaches: bool | None = False) -> Row:
    """As much of a row as is looked at."""
    return cast("Row", SimpleNamespace(product=1, channel=2, reaches=reaches, suggested=suggested))


@pytest.mark.parametrize("suggested", ["4", "3.90", "2.40"])
def test_it_is_kept_while_no_more_is_suggested_than_then(suggested: str) -> None:
    assert kept_knowingly(book(prices={(1, 2): KEPT}), row(D(suggested))) is KEPT


@pytest.mark.parametrize(
    ("changed", "now"),
    [
        ({}, row(D("4.10"))),  # more is suggested now
        ({}, row(Gap("not known"))),
        ({}, row(reaches=True)),
        ({}, row(reaches=None)),
        ({"why": ""}, row()),
        ({"suggested": None}, row()),
        ({"amount": D(4)}, row()),  # it was taken as suggested
        ({"channel": 3}, row()),
    ],
)
def test_it_needs_the_maker_in_every_other_case(changed: dict[str, Any], now: Row) -> None:
    price = replace(KEPT, **changed)
    assert kept_knowingly(book(prices={(price.product, price.channel): price}), now) is None
