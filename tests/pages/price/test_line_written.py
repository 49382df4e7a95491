"""Rows of the line that were written before stand on the next page just as they would be written now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.workshop import example
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.pages.price import line as line_page
from webapp.store.opening import Store
from webapp.store.writing import Intent
from webapp.store.written import MOST, WrittenOf

LINE = "/price"
ADDRESSES = (LINE, f"{LINE}?show=cost&show=month", f"{LINE}?group=formula", f"{LINE}?page=all")
D = Decimal


def renamed_product(book: b.Book, day: date) -> Any:
    return replace(min(book.products.values(), key=lambda one: one.id), name="<b>Called & anew</b>", since=day)


def renamed_channel(book: b.Book, day: date) -> Any:
    return replace(min(book.channels.values(), key=lambda one: one.id), name="Elsewhere", since=day)


def another_price(book: b.Book, day: date) -> Any:
    return replace(book.prices[min(book.prices)], amount=D("77.00"), since=day)


def another_target(book: b.Book, day: date) -> Any:
    return b.Target(*min(book.prices), day, D(88))


def jars_sold(book: b.Book, day: date) -> Any:
    return b.Sales(*min(book.prices), day, D(4321))


def another_locale(book: b.Book, day: date) -> Any:
    return replace(book.workshop, locale="de_DE")


def a_quote(book: b.Book, day: date) -> Any:
    about = ingredient(book).id, min(book.suppliers)
    return b.Quote(-1, *about, day, day + timedelta(60), D(1), "kg", D(99), book.workshop.currency)


def resting_on_it(book: b.Book, day: date) -> Any:
    return replace(ingredient(book), quote=max(book.quotes))


def ingredient(book: b.Book) -> b.Material:
    formula = min(book.formulas.values(), key=lambda one: one.id)
    return book.materials[next(line.material for line in formula.lines if line.material is not None)]


CHANGES: tuple[Callable[[b.Book, date], Any], ...] = (
    renamed_product,
    renamed_channel,
    another_price,
    another_target,
    jars_sold,
    a_quote,
    resting_on_it,
    another_locale,
)


def test_every_page_of_it_is_as_if_nothing_had_been_written_before(
    client: TestClient, day: date, monkeypatch: pytest.MonkeyPatch
) -> None:
    example(client)
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    before = {}
    for change in CHANGES:
        for address in ADDRESSES:
            before[address] = client.get(address).text
        now = store.snapshot(day)
        store.save(Put(change(now.book, day)), _intent(change.__name__, now), day)
        after = {address: client.get(address).text for address in ADDRESSES}
        with monkeypatch.context() as anew:
            anew.setattr(WrittenOf, "once", lambda _, __, ___, write: write())
            for address in ADDRESSES:
                assert client.get(address).text == after[address], (change.__name__, address)
        if change is not a_quote:  # which nothing rests on yet
            assert after[LINE] != before[LINE] or after[ADDRESSES[1]] != before[ADDRESSES[1]], change.__name__


def test_only_rows_that_moved_are_written_again(client: TestClient, day: date, monkeypatch: pytest.MonkeyPatch) -> None:
    example(client)
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    written: list[tuple[int, int]] = []
    write = line_page._write

    def counted(desk: Any, row: Any, columns: Any) -> Any:
        written.append((row.product, row.channel))
        return write(desk, row, columns)

    monkeypatch.setattr(line_page, "_write", counted)
    client.get(LINE)
    assert set(written) == {(row.product, row.channel) for row in store.snapshot(day).reckoning.line()}
    written.clear()
    client.get(LINE)
    assert not written
    now = store.snapshot(day)
    changed = min(now.book.prices)
    store.save(Put(another_price(now.book, day)), _intent("price", now), day)
    client.get(LINE)
    assert changed in written
    assert {product for product, _ in written} == {changed[0]}


def test_so_much_is_kept_and_the_last_is_kept_longest() -> None:
    kept, results = WrittenOf(), (object(),)
    for number in range(MOST + 1):
        assert kept.once(number, results, lambda number=number: number) == number  # type: ignore[misc]
    assert kept.once(MOST, results, lambda: -1) == MOST
    assert kept.once(0, results, lambda: -1) == -1
    assert kept.once(MOST, (object(),), lambda: -2) == -2


def _intent(token: str, now: Any) -> Intent:
    return Intent(token, epoch=now.epoch, version=now.version)
