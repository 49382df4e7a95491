"""What a change does to a book is what is read from the store once it is stored: for every kind, and every day of it.

Expected: `apply` on the book as it was, completed by the store with what a book cannot know.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, get_args

import pytest

from tests.store.records import EARLY, every_kind
from webapp import errors
from webapp.costing import book as b
from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw, apply, questions
from webapp.store.assembling import book_of
from webapp.store.opening import Store
from webapp.store.reading import read_all
from webapp.store.writing import UNCHANGED, Intent, Saved

DAY = date(2026, 11, 25)
LATER = EARLY + timedelta(60)
#: before all that is known, the day of what is known, between, the day itself, and a day to come
DAYS = (EARLY - timedelta(9), EARLY, EARLY + timedelta(30), LATER, DAY, DAY + timedelta(9))
#: a plain run, which somebody waits for, tries two of them
SOME_DAYS = (EARLY + timedelta(30), DAY)
THE_OTHERS = tuple(day for day in DAYS if day not in SOME_DAYS)
MAKER = Callable[[b.Book, date], Iterator[Change]]


def store_all(store: Store, *changes: Change) -> Saved:
    snapshot = store.snapshot(DAY)
    yes = frozenset(one.answer for one in questions(snapshot.book, changes))
    return store.save(changes, Intent("test", epoch=snapshot.epoch, version=snapshot.version, sure=yes), DAY)


def afresh(store: Store, day: date = DAY) -> b.Book:
    with store._engine.connect() as connection, connection.begin():
        return book_of(read_all(connection, "", store.snapshot(DAY).version), day)


def first(shelf: Any) -> Any:
    return next(iter(shelf.values()))


def putting(shelf: str, **new: Any) -> MAKER:
    """The first record of a shelf with something else in it, from each day."""

    def made(book: b.Book, day: date) -> Iterator[Change]:
        yield Put(replace(first(getattr(book, shelf)), since=day, **new))

    return made


def part(name: str, field: str, value: Any) -> MAKER:
    def made(book: b.Book, day: date) -> Iterator[Change]:
        held = first(getattr(book, name))
        yield Put(replace(held, **{field: replace(value, since=day)}))
        yield Put(replace(held, **{field: None}))

    return made


def terms(book: b.Book, day: date) -> Iterator[Change]:
    yield Put(replace(book.terms, since=day, registered=False, target=Decimal(33)))


def order(book: b.Book, day: date) -> Iterator[Change]:
    yield Put(replace(first(book.orders), day=day, note="moved"))


def quote(book: b.Book, day: date) -> Iterator[Change]:
    yield Put(replace(first(book.quotes), since=day))


def batch(book: b.Book, day: date) -> Iterator[Change]:
    del day
    yield Put(replace(first(book.batches), note="again"))


def taken_back(kind: str) -> MAKER:
    def made(book: b.Book, day: date) -> Iterator[Change]:
        price = first(book.prices)
        yield Withdraw(kind, (price.product, price.channel), day)

    return made


def wholly(kind: str, shelf: str) -> MAKER:
    def made(book: b.Book, day: date) -> Iterator[Change]:
        del day
        yield Withdraw(kind, next(iter(getattr(book, shelf))))

    return made


def away(kind: str, shelf: str) -> MAKER:
    def made(book: b.Book, day: date) -> Iterator[Change]:
        number = next(iter(getattr(book, shelf)))
        yield Retire(kind, number, day)
        yield Restore(kind, number)

    return made


def new(book: b.Book, day: date) -> Iterator[Change]:
    yield Put(b.Supplier(-1, "Another mill", retired=day))
    yield Put(b.Channel(-1, "Fair", day))
    yield Put(b.Bill(-1, "Power", day, Decimal(40)))
    yield Put(b.Quote(-1, first(book.materials).id, first(book.suppliers).id, day, day, Decimal(1), "kg", Decimal(9)))
    product, channel = max(book.products), max(book.channels)
    yield Put(b.Price(product, channel, day, Decimal(30)))


def undated(book: b.Book, day: date) -> Iterator[Change]:
    del day
    yield Put(replace(book.workshop, name="Other"))
    yield Put(replace(first(book.suppliers), name="Other", note="n"))
    yield Put(replace(first(book.materials), name="Other", starting=None))


KINDS: dict[str, MAKER] = {
    "terms": terms,
    "undated": undated,
    "new": new,
    "order": order,
    "quote": quote,
    "batch": batch,
    "wage": part("people", "wage", b.Wage(EARLY, Decimal(21))),
    "density": part("materials", "density", b.Density(EARLY, Decimal("0.9"), None, "weighed")),
    "bill": putting("bills", a_month=Decimal(310), name="Rent and water"),
    "formula": putting("formulas", loss=Decimal(4), work=(), note="drier"),
    "group": putting("groups", name="Lids"),
    "channel": putting("channels", pitch=Decimal(30), work=()),
    "product": putting("products", one_offs=(), note="smaller"),
    "price": putting("prices", amount=Decimal(15), why="dearer"),
    "target": putting("targets", margin=None),
    "sales": putting("sales", jars=Decimal(3)),
    "price taken back": taken_back("price"),
    "target taken back": taken_back("target"),
    "sales taken back": taken_back("sales"),
    "order taken back": wholly("order", "orders"),
    "quote taken back": wholly("quote", "quotes"),
    "batch taken back": wholly("batch", "batches"),
    **{
        f"{kind} away": away(kind, shelf)
        for kind, shelf in b.SHELVES.values()
        if shelf in ("people", "bills", "suppliers", "materials", "formulas", "groups", "products", "channels")
    },
}


@pytest.fixture
def filled(store: Store) -> Store:
    """A record of every kind, and a second state of all that is dated."""
    store_all(store, *every_kind())
    book = store.snapshot(DAY).book
    second = ("formulas", "groups", "channels", "products", "prices", "targets", "sales")
    store_all(store, *(Put(replace(first(getattr(book, name)), since=LATER)) for name in second))
    book = store.snapshot(DAY).book
    wage, density = first(book.people).wage, first(book.materials).density
    store_all(
        store,
        Put(replace(first(book.people), wage=replace(wage, since=LATER, extra=Decimal(1)))),
        Put(replace(first(book.materials), density=replace(density, since=LATER))),
        Put(replace(first(book.bills), since=LATER, a_month=Decimal(305))),
        Put(replace(first(book.prices), since=LATER, amount=Decimal(16))),
    )
    return store


def test_every_class_of_change_and_every_kind_of_record_is_tried(filled: Store) -> None:
    book, kinds = filled.snapshot(DAY).book, set[str]()
    tried = [change for maker in KINDS.values() for change in maker(book, DAY)]
    assert {type(one) for one in tried} == set(get_args(Change))
    for change in tried:
        if isinstance(change, Put):
            kinds.add(type(change.record).__name__)
    assert kinds == {record.__name__ for record in (*b.SHELVES, *b.PAIRS)}


@pytest.mark.long
@pytest.mark.parametrize(
    "days",
    [pytest.param(SOME_DAYS, id="some days"), pytest.param(THE_OTHERS, id="the others", marks=pytest.mark.deep)],
)
@pytest.mark.parametrize("name", KINDS)
def test_a_change_gives_the_book_that_is_read_afresh_once_it_is_stored(
    filled: Store, name: str, days: tuple[date, ...]
) -> None:
    base = filled.snapshot(DAY).book
    for day in days:
        done: list[Saved] = []
        for change in KINDS[name](base, day):
            before = filled.snapshot(DAY)
            wanted = apply(before.book, filled.completed(change, DAY))
            if not isinstance(wanted, b.Book):
                with pytest.raises(errors.Unprocessable):
                    store_all(filled, change)
                continue
            saved = store_all(filled, change)
            given = {-1: saved.real(-1)}
            found = afresh(filled)
            assert _numbered(wanted, given) == found, (name, day, change)
            assert filled.snapshot(DAY).book == found, (name, day, change)
            if saved.change == UNCHANGED:
                assert found == before.book
                continue
            done.append(saved)
        for saved in reversed(done):
            filled.undo(saved.change, Intent("undo"), DAY)
        assert afresh(filled) == base, (name, day)


def _numbered(book: b.Book, ids: dict[int, int]) -> b.Book:
    """The book with its new thing under the number that the store gave it."""
    for name in {shelf for _, shelf in b.SHELVES.values()} - {"workshop", "terms"}:
        shelf = getattr(book, name)
        if -1 in shelf:
            kept = {ids.get(key, key): record for key, record in shelf.items()}
            changed: dict[str, Any] = {name: {**kept, ids[-1]: replace(shelf[-1], id=ids[-1])}}
            book = replace(book, **changed)
    return book


def test_a_price_taken_back_lets_the_one_before_hold_in_a_what_if_too(filled: Store) -> None:
    book = filled.snapshot(DAY).book
    pair, price = next(iter(book.prices.items()))
    assert (price.since, price.amount) == (LATER, Decimal(16))
    after = apply(book, filled.completed(Withdraw("price", pair, LATER), DAY))
    assert isinstance(after, b.Book)
    assert (after.prices[pair].since, after.prices[pair].amount) == (EARLY, Decimal("14.5"))


def test_bringing_back_leaves_that_it_was_away(filled: Store) -> None:
    number = first(filled.snapshot(DAY).book.materials).id
    store_all(filled, Retire("material", number, EARLY))
    store_all(filled, Restore("material", number))
    for day, retired in ((EARLY - timedelta(1), None), (EARLY, EARLY), (DAY - timedelta(1), EARLY), (DAY, None)):
        assert afresh(filled, day).materials[number].retired == retired, day
    store_all(filled, Retire("material", number, DAY))
    assert afresh(filled).materials[number].retired == DAY
    assert afresh(filled, DAY - timedelta(1)).materials[number].retired == EARLY


def test_away_and_back_on_one_day_is_as_if_nothing_was(filled: Store) -> None:
    number = first(filled.snapshot(DAY).book.bills).id
    store_all(filled, Retire("bill", number, DAY))
    store_all(filled, Restore("bill", number))
    assert {afresh(filled, day).bills[number].retired for day in (DAY, DAY + timedelta(5))} == {None}


def test_what_changes_nothing_makes_no_version_and_no_change(filled: Store) -> None:
    before, listed = filled.snapshot(DAY), filled.changes()
    for change in (
        Put(first(before.book.materials)),
        Put(first(before.book.prices)),
        Put(before.book.workshop),
        Restore("material", first(before.book.materials).id),
    ):
        sending = Intent("again", token=repr(change), input_hash="h", epoch=before.epoch, version=before.version)
        assert filled.save(change, sending, DAY) == Saved(before.version, UNCHANGED)
        assert filled.save(change, sending, DAY) == Saved(before.version, UNCHANGED)
    assert filled.snapshot(DAY) is before
    assert filled.changes() == listed


def test_one_real_change_among_many_is_stored_and_sent_again_answers_the_same(filled: Store) -> None:
    before = filled.snapshot(DAY)
    changes = [Put(first(before.book.materials)), Put(replace(first(before.book.suppliers), note="new"))]
    sending = Intent("both", token="t", input_hash="h", epoch=before.epoch, version=before.version)
    saved = filled.save(changes, sending, DAY)
    assert saved == Saved(before.version + 1, before.version + 1)
    assert filled.save(changes, sending, DAY) == saved
    assert filled.snapshot(DAY).version == before.version + 1
