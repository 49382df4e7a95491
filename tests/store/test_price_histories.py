"""A price has a history of every day on which a figure in it moved, whatever moved it, asked alone or with others."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from webapp import example
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store.opening import Store, open_store
from webapp.store.price_histories import histories
from webapp.store.writing import Intent

TODAY = date(2026, 11, 25)
D = Decimal


@pytest.fixture
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    made = open_store(Settings(data=tmp_path_factory.mktemp("histories"), database=None))
    example.fill(made, TODAY)
    yield made
    made.close()


def save(store: Store, *changes: Put) -> None:
    now = store.snapshot(TODAY)
    store.save(changes, Intent("more", epoch=now.epoch, version=now.version), TODAY)


def on_eves(store: Store, product: int, channel: int) -> None:
    """On the eve of each day that is told, and today, holds what is told of the day before it."""
    told = histories(store, store.snapshot(TODAY), product, channel).on[channel]
    days = [one.day for one in told[1:]] + [TODAY + timedelta(1)]
    for held, next_day in zip(told, days, strict=True):
        row = store.snapshot(next_day - timedelta(1)).reckoning.row(product, channel)
        assert (row.price, row.margin, row.net, row.accepted) == (held.price, held.margin, held.net, held.accepted)


def not_priced_yet(store: Store) -> tuple[int, int, int]:
    """A product without an accepted price anywhere, since long, and where it is sold: a stall, and to shops."""
    book = store.snapshot(TODAY).book
    stall = next(one.id for one in book.channels.values() if one.kind == "stall" and one.retired is None)
    wholesale = next(one.id for one in book.channels.values() if one.kind == "wholesale" and one.retired is None)
    like = next(
        one for one in book.products.values() if one.fills and not one.members and (one.id, stall) in book.prices
    )
    save(store, Put(replace(like, id=-1, name="Sold soon", since=TODAY - timedelta(200))))
    return max(store.snapshot(TODAY).book.products), stall, wholesale


def test_a_target_of_its_own_moves_a_price_that_is_only_suggested_on_its_day(store: Store) -> None:
    product, stall, _ = not_priced_yet(store)
    day = TODAY - timedelta(10)
    save(store, Put(b.Target(product, stall, day, D(80))))
    told = histories(store, store.snapshot(TODAY), product, stall).on[stall]
    assert [one.day for one in told if isinstance(one.margin, D) and one.margin >= D("0.79")][:1] == [day]
    on_eves(store, product, stall)


def test_a_price_to_shops_moves_what_is_suggested_at_the_stall_although_only_the_stall_is_asked(store: Store) -> None:
    product, stall, wholesale = not_priced_yet(store)
    day = TODAY - timedelta(10)
    save(store, Put(b.Price(product, wholesale, day, D(100))))
    told = histories(store, store.snapshot(TODAY), product, stall).on[stall]
    assert day in [one.day for one in told]
    on_eves(store, product, stall)
