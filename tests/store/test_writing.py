"""Saving, undoing, stale and double saves, races."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from tests.store.records import EARLY, every_kind
from webapp import errors
from webapp.costing import book as b
from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw, apply_all, questions, renumber
from webapp.store.assembling import book_of
from webapp.store.moved import Moved
from webapp.store.opening import Store
from webapp.store.reading import read_all
from webapp.store.writing import Intent, Saved


def sure(store: Store, changes: list[Change], today: date, **more: Any) -> Saved:
    snapshot = store.snapshot(today)
    yes = frozenset(one.answer for one in questions(snapshot.book, changes))
    return store.save(changes, Intent("test", version=snapshot.version, sure=yes, **more), today)


def read_afresh(store: Store, today: date) -> b.Book:
    with store._engine.connect() as connection, connection.begin():
        return book_of(read_all(connection, "", store.snapshot(today).version), today)


@pytest.fixture
def filled(store: Store, day: date) -> tuple[Store, Saved]:
    return store, sure(store, every_kind(), day)


def test_every_kind_comes_back_as_it_was_put(filled: tuple[Store, Saved], day: date) -> None:
    store, saved = filled
    wanted = apply_all(b.Book(day), [renumber(change, saved.ids) for change in every_kind()])
    assert store.snapshot(day).book == wanted
    assert read_afresh(store, day) == wanted


def changes_of_every_kind(book: b.Book, day: date) -> dict[str, Change]:
    first = {name: next(iter(getattr(book, name).values())) for name in ("people", "bills", "suppliers", "materials")}
    order, formula = next(iter(book.orders.values())), next(iter(book.formulas.values()))
    group, channel = next(iter(book.groups.values())), next(iter(book.channels.values()))
    product, price = next(iter(book.products.values())), next(iter(book.prices.values()))
    pair = (price.product, price.channel)
    quote = next(iter(book.quotes.values()))
    return {
        "workshop": Put(replace(book.workshop, name="Other")),
        "terms": Put(replace(book.terms, since=day, registered=False)),
        "wage later": Put(replace(first["people"], wage=b.Wage(day, Decimal(21)))),
        "wage corrected": Put(replace(first["people"], wage=b.Wage(EARLY, Decimal(21)))),
        "wage none": Put(replace(first["people"], wage=None)),
        "bill": Put(replace(first["bills"], since=day, a_month=Decimal(310))),
        "supplier": Put(replace(first["suppliers"], url="https://mill.example")),
        "density none": Put(replace(first["materials"], density=None, name="Shea butter")),
        "new material": Put(b.Material(-1, "Coconut oil")),
        "order": Put(replace(order, lines=order.lines[1:], charges=())),
        "order withdrawn": Withdraw("order", order.id),
        "quote": Put(replace(quote, price=Decimal(99))),
        "quote withdrawn": Withdraw("quote", quote.id),
        "formula": Put(replace(formula, since=day, loss=Decimal(4), work=())),
        "group": Put(replace(group, parts=(replace(group.parts[0], pieces=Decimal(2)),))),
        "channel": Put(replace(channel, since=day, pitch=Decimal(30), work=())),
        "product": Put(replace(product, one_offs=(), note="smaller")),
        "price": Put(replace(price, since=day, amount=Decimal(15))),
        "price withdrawn": Withdraw("price", pair, EARLY),
        "target": Put(b.Target(*pair, day, None)),
        "sales": Put(b.Sales(*pair, EARLY, None)),
        "retired": Retire("supplier", first["suppliers"].id, day),
    }


NAMES = tuple(
    "workshop,terms,wage later,wage corrected,wage none,bill,supplier,density none,new material,order,order withdrawn,"
    "quote,quote withdrawn,formula,group,channel,product,price,price withdrawn,target,sales,retired".split(",")
)


def test_undo_of_every_kind_of_change_gives_back_an_equal_book(filled: tuple[Store, Saved], day: date) -> None:
    store, _ = filled
    book = store.snapshot(day).book
    every = changes_of_every_kind(book, day)
    assert tuple(every) == NAMES
    for name, change in every.items():
        saved = sure(store, [change], day)
        after = store.snapshot(day).book
        wanted = apply_all(book, [renumber(change, saved.ids)])
        assert after == wanted, name
        assert after != book, name
        assert after == read_afresh(store, day), name
        store.undo(saved.change, Intent("undo"), day)
        assert store.snapshot(day).book == book, name
        assert read_afresh(store, day) == book, name


def test_unchanged_records_stay_the_same_objects(filled: tuple[Store, Saved], day: date) -> None:
    store, _ = filled
    before = store.snapshot(day).book
    sure(store, [changes_of_every_kind(before, day)["supplier"]], day)
    after = store.snapshot(day).book
    assert after.materials is before.materials
    assert next(iter(after.orders.values())) is next(iter(before.orders.values()))
    assert after.workshop is before.workshop


def test_retiring_and_bringing_back(filled: tuple[Store, Saved], day: date) -> None:
    store, saved = filled
    number = saved.real(-3)
    sure(store, [Retire("supplier", number, day)], day)
    assert store.snapshot(day).book.suppliers[number].retired == day
    assert store.snapshot(day - timedelta(1)).book.suppliers[number].retired is None
    sure(store, [Restore("supplier", number)], day)
    assert store.snapshot(day).book.suppliers[number].retired is None


def test_as_of_a_day_and_as_known_at_a_version(filled: tuple[Store, Saved], day: date) -> None:
    store, saved = filled
    pair = (saved.real(-11), saved.real(-10))
    sure(store, [Put(b.Price(*pair, day, Decimal(16)))], day)
    assert store.snapshot(day).book.prices[pair].amount == Decimal(16)
    assert store.snapshot(day - timedelta(1)).book.prices[pair].amount == Decimal("14.5")
    assert store.snapshot(day, saved.version).book.prices[pair].amount == Decimal("14.5")
    assert store.snapshot(day, 0).book == b.Book(day)
    assert [fact.amount for fact in store.facts("price", pair)] == [Decimal(16), Decimal("14.5")]  # type: ignore[attr-defined]
    assert [past.version for past in store.history("price", pair)] == [2, 1]


def test_a_stale_save_carries_both_records(filled: tuple[Store, Saved], day: date) -> None:
    store, saved = filled
    supplier = store.snapshot(day).book.suppliers[saved.real(-3)]
    read_at = store.snapshot(day).version
    store.save(Put(replace(supplier, name="Mill two")), Intent("a", version=read_at), day)
    with pytest.raises(Moved) as stale:
        store.save(Put(replace(supplier, name="Mill three")), Intent("b", version=read_at), day)
    assert (stale.value.before, stale.value.after) == (supplier, replace(supplier, name="Mill two"))
    assert (stale.value.read_at, stale.value.now) == (read_at, read_at + 1)
    with pytest.raises(errors.MissingPrecondition):
        store.save(Put(replace(supplier, name="Mill three")), Intent("b"), day)
    with pytest.raises(errors.Stale):
        store.save(Put(b.Supplier(-1, "New")), Intent("b", epoch="another"), day)
    with pytest.raises(errors.NotFound):
        store.save(Put(b.Supplier(999, "Nobody")), Intent("b", version=2), day)
    assert store.snapshot(day).version == read_at + 1


def test_a_withdrawn_order_is_not_brought_back_by_a_stale_form(filled: tuple[Store, Saved], day: date) -> None:
    store, saved = filled
    order = store.snapshot(day).book.orders[saved.real(-6)]
    read_at = store.snapshot(day).version
    sure(store, [Withdraw("order", order.id)], day)
    with pytest.raises(Moved) as stale:
        store.save(Put(order), Intent("b", version=read_at), day)
    assert stale.value.after is None


def test_sent_twice_is_stored_once(store: Store, day: date) -> None:
    intent = Intent("supplier", token="t", input_hash="h")
    first = store.save(Put(b.Supplier(-1, "Mill")), intent, day)
    assert store.save(Put(b.Supplier(-1, "Mill")), intent, day) == first
    with pytest.raises(errors.Conflict):
        store.save(Put(b.Supplier(-1, "Mull")), replace(intent, input_hash="other"), day)
    assert len(store.snapshot(day).book.suppliers) == 1
    assert store.snapshot(day).version == 1


def test_faults_store_nothing(store: Store, day: date) -> None:
    with pytest.raises(errors.Unprocessable):
        store.save(Put(b.Quote(-1, 77, 78, day, day, Decimal(1), "kg", Decimal(1))), Intent("quote"), day)
    assert store.snapshot(day).version == 0
    assert store.changes() == ()


def test_undo_is_refused_where_rows_moved_on_and_where_it_is_used(filled: tuple[Store, Saved], day: date) -> None:
    store, saved = filled
    supplier = store.snapshot(day).book.suppliers[saved.real(-3)]
    first = sure(store, [Put(replace(supplier, name="A"))], day)
    sure(store, [Put(replace(supplier, name="B"))], day)
    with pytest.raises(errors.Conflict, match="changed again"):
        store.undo(first.change, Intent("undo"), day)
    with pytest.raises(errors.NotFound):
        store.undo(99, Intent("undo"), day)
    material = sure(store, [Put(b.Material(-1, "Oil"))], day)
    number = material.real(-1)
    sure(store, [Put(b.Quote(-1, number, supplier.id, day, day, Decimal(1), "kg", Decimal(1)))], day)
    with pytest.raises(errors.Conflict, match="changed again"):
        store.undo(material.change, Intent("undo"), day)
    assert number in store.snapshot(day).book.materials


def test_raced_edits_lose_and_double_nothing(store: Store, day: date) -> None:
    number = store.save(Put(b.Supplier(-1, "Mill")), Intent("new"), day).real(-1)

    def add_ten() -> None:
        done = 0
        while done < 10:
            snapshot = store.snapshot(day)
            held = snapshot.book.suppliers[number]
            try:
                longer = replace(held, note=held.note + "x")
                store.save(Put(longer), Intent("edit", version=snapshot.version), day)
            except errors.Stale:
                continue
            done += 1

    threads = [threading.Thread(target=add_ten) for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert store.snapshot(day).book.suppliers[number].note == "x" * 50
    assert store.snapshot(day).version == 51
