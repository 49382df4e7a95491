"""A price has a history of every day on which a figure in it moved, whatever moved it, asked alone or with others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Any

import pytest

from webapp import example
from webapp.costing import book as b
from webapp.costing.changes import Put, Retire, Withdraw
from webapp.costing.leaning import uses
from webapp.costing.price_history import held
from webapp.costing.reckoning import Reckoning
from webapp.errors import Questions, Unprocessable
from webapp.settings import Settings
from webapp.store import price_histories
from webapp.store.opening import Store, open_store
from webapp.store.price_histories import histories
from webapp.store.snapshots import Snapshot
from webapp.store.writing import Intent

TODAY = date(2026, 11, 25)
D = Decimal


@pytest.fixture
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    made = open_store(Settings(data=tmp_path_factory.mktemp("histories"), database=None))
    example.fill(made, TODAY)
    yield made
    made.close()


def save(store: Store, *changes: Put | Retire | Withdraw) -> None:
    """Saved, whatever is asked about it answered with yes."""
    now = store.snapshot(TODAY)
    intent = Intent("more", epoch=now.epoch, version=now.version)
    try:
        store.save(changes, intent, TODAY)
    except Questions as asked:
        store.save(changes, replace(intent, sure=frozenset(one.answer for one in asked.questions)), TODAY)


def on_eves(store: Store, product: int, channel: int) -> None:
    """On the eve of each day that is told, and today, holds what is told of the day before it."""
    told = histories(store, store.snapshot(TODAY), product, channel).on[channel]
    days = [one.day for one in told[1:]] + [TODAY + timedelta(1)]
    for so, next_day in zip(told, days, strict=True):
        row = store.snapshot(next_day - timedelta(1)).reckoning.row(product, channel)
        assert (row.price, row.margin, row.net, row.accepted) == (so.price, so.margin, so.net, so.accepted)


def not_priced_yet(store: Store) -> tuple[int, int, int]:
    """A product without an accepted price anywhere, since long, and where it is sold: a stall, and to shops."""
    book = store.snapshot(TODAY).book
    stall = next(one.id for one in book.channels.values() if one.kind == "stall" and one.retired is None)
    wholesale = next(one.id for one in book.channels.values() if one.kind == "wholesale" and one.retired is None)
    like = next(
        one for one in book.products.values() if one.fills and not one.members and (one.id, stall) in book.prices
    )
    save(store, Put(replace(like, id=-1, name="Sold soon", since=TODAY - timedelta(200), channels=())))
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


def order_of(book: b.Book, day: date, ident: int, kilos: Mapping[int, int]) -> b.Order:
    """A kilogram of each of these materials, at so much."""
    lines = tuple(b.OrderLine(one, D(1), D(1), "kg", D(price)) for one, price in kilos.items())
    return b.Order(ident, min(book.suppliers), day, lines, currency=book.workshop.currency)


def an_order(book: b.Book, day: date, rng: Random, ident: int) -> b.Order:
    some = rng.sample(sorted(one.id for one in book.materials.values() if one.kind == "ingredient"), 2)
    return order_of(book, day, ident, {one: rng.randint(5, 60) for one in some})


def ingredient_of(book: b.Book, product: int) -> int:
    keys = sorted(uses(Reckoning(book), ("product", product)))
    return next(one for kind, one in keys if kind == "material" and book.materials[one].kind == "ingredient")


def drawn(book: b.Book, rng: Random) -> Put | Retire | Withdraw:
    """One change of any kind that could move a price, on a day of these five months."""
    day = TODAY - timedelta(rng.choice((0, 0, 1, 30, 90, 150)))
    pair = rng.choice(sorted(book.prices))
    orders = sorted(book.orders)
    material = rng.choice(sorted(book.materials))
    kinds = (
        lambda: Put(an_order(book, day, rng, -1)),
        lambda: Put(an_order(book, day, rng, rng.choice(orders))),
        lambda: Withdraw("order", rng.choice(orders)),
        lambda: Put(replace(book.prices[pair], amount=D(rng.randint(3, 90)), since=day)),
        lambda: Put(b.Target(*pair, day, D(rng.randint(10, 80)))),
        lambda: Put(b.Sales(*pair, day, D(rng.randint(1, 80)))),
        lambda: Put(b.Supplier(-1, f"Supplier {rng.random()}", book.workshop.currency)),
        lambda: Put(
            b.Quote(
                -1, material, min(book.suppliers), day, day + timedelta(90), D(1), "kg", D(rng.randint(5, 60)), "GBP"
            )
        ),
        lambda: Put(replace(book.materials[material], quote=next(iter(book.quotes), None))),
        lambda: Put(replace(book.channels[pair[1]], share_paid=D(rng.randint(0, 20)), since=day)),
        lambda: Put(replace(book.products[pair[0]], loss=D(rng.randint(0, 9)), since=day)),
        lambda: Put(replace(book.terms, target=D(rng.randint(20, 60)), since=day)),
        lambda: Put(replace(book.workshop, basis=rng.choice(("latest", "dearest", "averaged")))),
        lambda: Retire("material", material, TODAY),
    )
    return rng.choice(kinds)()


def _moved_by(store: Store, product: int, *channels: int) -> Iterator[tuple[str, Put]]:
    """One after the other: what is in no record that the history leaned on before."""
    book = store.snapshot(TODAY).book
    inside, since = ingredient_of(book, product), TODAY - timedelta(40)
    shops = next(one for one in book.channels.values() if one.kind == "wholesale")
    quote = b.Quote(-1, inside, min(book.suppliers), since, TODAY + timedelta(90), D(1), "kg", D(70), "GBP")
    yield "a bill", Put(b.Bill(-1, "Rent of a second room", since, D(900)))
    yield "another shop", Put(replace(shops, id=-1, name="Other shops", since=since, target=D(85)))
    yield "a quote", Put(quote)
    chosen = max(store.snapshot(TODAY).book.quotes)
    yield "that it counts", Put(replace(book.materials[inside], quote=chosen))
    yield "what it says", Put(replace(quote, id=chosen, price=D(99)))


def test_what_it_did_not_lean_on_before_moves_it_too(store: Store) -> None:
    product, stall, _ = not_priced_yet(store)
    before = histories(store, store.snapshot(TODAY), product, stall)
    for name, change in _moved_by(store, product, stall):
        save(store, change)
        now = store.snapshot(TODAY)
        told = histories(store, now, product, stall)
        assert told == histories(store, Snapshot(now.book, now), product, stall), name  # type: ignore[arg-type]
        assert (told == before) == (name == "a quote"), name  # which counts for nothing yet
        before = told


@pytest.mark.long
@pytest.mark.parametrize("seed", [0, *(pytest.param(more, marks=pytest.mark.deep) for more in range(1, 6))])
def test_what_is_taken_over_from_the_book_before_is_what_is_worked_out_anew(store: Store, seed: int) -> None:
    rng = Random(seed)
    book = store.snapshot(TODAY).book
    products = rng.sample(sorted(book.products), 3)
    channels = sorted(book.channels)
    saved: Counter[str] = Counter()
    for _ in range(40):
        change = drawn(store.snapshot(TODAY).book, rng)
        with suppress(Unprocessable):
            save(store, change)
            saved[type(getattr(change, "record", change)).__name__] += 1
        for product in products:
            now = store.snapshot(TODAY)
            told = histories(store, now, product, *channels)
            afresh = Snapshot(now.book, now)  # type: ignore[arg-type]  # which has all that is taken of it
            assert told == histories(store, afresh, product, *channels), change
    assert len(saved) > 8
    assert saved.total() > 25


def test_an_order_asks_only_its_own_day_and_later_ones_anew(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    book = store.snapshot(TODAY).book
    product, channel = min(book.prices)
    asked: list[date] = []

    def counted(known: Reckoning, *more: Any) -> Any:
        asked.append(known.book.day)
        return held(known, *more)

    monkeypatch.setattr(price_histories, "held", counted)
    histories(store, store.snapshot(TODAY), product, channel)
    assert len(asked) > 4
    inside = ingredient_of(book, product)
    for day in (TODAY, TODAY - timedelta(1)):
        asked.clear()
        save(store, Put(order_of(book, day, -1, {inside: 40})))
        histories(store, store.snapshot(TODAY), product, channel)
        assert asked == sorted({day, TODAY})
    asked.clear()
    save(store, Put(b.Supplier(-1, "Somebody else", book.workshop.currency)))
    histories(store, store.snapshot(TODAY), product, channel)
    assert not asked


def test_what_was_asked_of_a_book_that_moved_on_meanwhile_is_not_taken_over(store: Store) -> None:
    """A page has the book before an order of today is taken back, and asks its history only after that."""
    book = store.snapshot(TODAY).book
    product, channel = min(book.prices)
    save(store, Put(order_of(book, TODAY, -1, {ingredient_of(book, product): 40})))
    with_it = store.snapshot(TODAY)
    save(store, Withdraw("order", max(with_it.book.orders)))
    histories(store, with_it, product, channel)
    now = store.snapshot(TODAY)
    told = histories(store, now, product, channel)
    assert told == histories(store, Snapshot(now.book, now), product, channel)  # type: ignore[arg-type]
