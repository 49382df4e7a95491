"""What a record names is in the book of its day, however the days of the two stand; made step by step as afresh."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests import examples
from tests.every_page import PAGES, VARIANTS, filled
from webapp import example
from webapp.app import make_app
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.costing.leaning import SHELVES_OF, named_by
from webapp.costing.price_history import leaning
from webapp.costing.reckoning import Reckoning
from webapp.errors import Problem, Questions
from webapp.settings import Settings
from webapp.store.opening import Store, open_store
from webapp.store.writing import Intent

TODAY = date(2026, 11, 25)
D = Decimal


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with closing(open_store(Settings(data=tmp_path, database=None))) as made:
        example.fill(made, TODAY)
        yield made


def save(store: Store, change: Put) -> None:
    now = store.snapshot(TODAY)
    intent = Intent("more", epoch=now.epoch, version=now.version)
    try:
        store.save(change, intent, TODAY)
    except Questions as asked:
        store.save(change, replace(intent, sure=frozenset(one.answer for one in asked.questions)), TODAY)


def missing(book: b.Book) -> list[tuple[str, int]]:
    """What the book's records name and it does not hold."""
    shelves = {kind: getattr(book, shelf) for kind, shelf in SHELVES_OF.items()}
    named = [key for shelf in shelves.values() for record in shelf.values() for key in named_by(record)]
    named += [("formula", made.formula) for made in book.batches.values()]
    named += [("product", one.product) for made in book.batches.values() for one in made.filled]
    return [key for key in named if key[0] in shelves and key[1] not in shelves[key[0]]]


def test_a_jar_that_is_older_than_its_formula_costs_what_it_would_of_that_formula(store: Store) -> None:
    """Written down today, made since March: 200 g of an oil at 10.00 a kilogram in a jar without anything else."""
    oil = b.Material(-1, "Oil of both", "ingredient", starting=b.StartingPrice(D(10), "kg"))
    save(store, Put(oil))
    ident = max(store.snapshot(TODAY).book.materials)
    line = b.FormulaLine(ident, amount=D(100))
    save(store, Put(b.Formula(-1, "Written down late", TODAY, (line,), batch_grams=D(1000))))
    formula = max(store.snapshot(TODAY).book.formulas)
    march = date(2026, 3, 1)
    save(store, Put(b.Product(-1, "Made since March", march, (b.Fill(formula, D(200)),))))
    product = max(store.snapshot(TODAY).book.products)
    for day in (march, date(2026, 8, 15), TODAY):
        assert store.snapshot(day).reckoning.sheet(product).ingredients == D(2)
    now = store.snapshot(TODAY)
    past = store.books_of_days(now, lambda book: leaning(Reckoning(book), product, sorted(now.book.channels)))
    since = [made for made in past.books if made.day >= march]
    assert since[0].day == march
    assert [Reckoning(made).sheet(product).ingredients for made in since] == [D(2)] * len(since)
    eve = store.snapshot(march - timedelta(1)).book
    assert product not in eve.products
    assert formula not in eve.formulas


def moved(book: b.Book, rng: Random) -> Put:
    """A thing as it is, dated to any day of three years; a product sometimes filled with another formula."""
    day = TODAY - timedelta(rng.randint(0, 900))
    things: list[b.Product | b.Formula | b.PartGroup] = [*book.products.values(), *book.formulas.values()]
    held = rng.choice([*things, *book.groups.values()])
    if isinstance(held, b.Product) and held.fills and rng.random() < 0.5:
        other = rng.choice(sorted(book.formulas))
        return Put(replace(held, since=day, fills=(replace(held.fills[0], formula=other), *held.fills[1:])))
    return Put(replace(held, since=day))


@pytest.mark.long
@pytest.mark.parametrize("seed", range(examples.of(12)))
def test_however_days_stand_every_book_holds_what_its_records_name(store: Store, seed: int) -> None:
    rng = Random(seed)
    saved = 0
    for _ in range(12):
        try:
            save(store, moved(store.snapshot(TODAY).book, rng))
        except Problem:
            continue
        saved += 1
        assert not missing(store.snapshot(TODAY).book)
    assert saved > 6
    reached = 0
    for day in [TODAY - timedelta(rng.randint(0, 950)) for _ in range(6)]:
        book = store.snapshot(day).book
        assert not missing(book)
        reached += sum(one.since > day for one in book.formulas.values())
        Reckoning(book).line()
    now = store.snapshot(TODAY)
    product = rng.choice(sorted(now.book.products))
    past = store.books_of_days(now, lambda book: leaning(Reckoning(book), product, sorted(now.book.channels)))
    for made in past.books:
        read = store.snapshot(made.day).book
        assert (made.products, made.formulas, made.groups) == (read.products, read.formulas, read.groups)
    assert reached or seed


def _asking(client: TestClient) -> Callable[[str, Any], str]:
    return lambda address, body: (client.get(address) if body is None else client.post(address, json=body)).text


@pytest.mark.long
def test_every_page_of_a_day_answers_however_the_days_stand(store: Store, tmp_path: Path) -> None:
    app = make_app(Settings(data=tmp_path, database=None), store, lambda: TODAY)
    client = TestClient(app, base_url="http://127.0.0.1", follow_redirects=False)
    addresses = filled(PAGES + VARIANTS, _asking(client))
    rng = Random(7)
    for _ in range(30):
        book = store.snapshot(TODAY).book
        early = TODAY - timedelta(rng.randint(0, 900))
        for change in (moved(book, rng), Put(replace(book.prices[rng.choice(sorted(book.prices))], since=early))):
            with suppress(Problem):
                save(store, change)
    found: dict[int, int] = {}
    for address in addresses:
        for back in (0, 200, 420, 800):
            mark = "&" if "?" in address else "?"
            status = client.get(f"{address}{mark}on={TODAY - timedelta(back)}").status_code
            assert status in {200, 303, 404, 422}, (address, back)
            found[status] = found.get(status, 0) + 1
    assert found[200] > 100
