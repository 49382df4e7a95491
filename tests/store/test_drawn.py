"""Any record that its shape allows comes back from the tables equal; whatever is written, refreshed is read afresh."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, insert

from tests import examples
from tests.store.records import EARLY, every_kind
from webapp import errors
from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw, key_of, questions
from webapp.costing.describing import Many, Part, Rows, Shape
from webapp.costing.shapes import SHAPES
from webapp.store.assembling import book_of, record_of
from webapp.store.difference import plan_for
from webapp.store.families import ChangeRow, ThingRow
from webapp.store.opening import Store
from webapp.store.reading import Live, read_all
from webapp.store.rows import ASPECTS, STORED
from webapp.store.writing import Intent

DAY = date(2026, 11, 25)
REFERENCES = st.integers(2, 9)
NOTHING = Live("", 0, {}, {name: {} for name in ASPECTS}, {})
QUICK = settings(
    max_examples=examples.of(12), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def drawn_value(kind: Any) -> st.SearchStrategy[Any]:
    """Any value of a kind of field."""
    if isinstance(kind, lim.Number):
        return st.decimals(kind.low, kind.high, places=kind.places)
    if isinstance(kind, lim.Choice):
        return st.sampled_from(kind.options)
    if isinstance(kind, lim.Text):
        return st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=kind.length)
    plain: dict[type[Any], st.SearchStrategy[Any]] = {
        lim.Currency: st.sampled_from(("EUR", "JPY", "KWD")),
        lim.Day: st.dates(lim.FIRST_DAY, lim.LAST_DAY),
        lim.Flag: st.booleans(),
        lim.Reference: REFERENCES,
    }
    return plain[type(kind)]


def drawn_field(kind: Any) -> st.SearchStrategy[Any]:
    """Any content of a field: a value, a part, lines."""
    if isinstance(kind, Part):
        return drawn_record(kind.shape)
    if isinstance(kind, Rows):
        return st.lists(drawn_record(kind.shape), max_size=3).map(tuple)
    if isinstance(kind, Many):
        return st.lists(REFERENCES, max_size=3, unique=True).map(tuple)
    return drawn_value(kind)


def drawn_record(shape: Shape, **given_fields: Any) -> st.SearchStrategy[Any]:
    """Any record of a shape; what may be None is so at times."""
    may_miss = {one.name for one in fields(shape.record) if "None" in str(one.type)}
    contents = {
        one.name: st.none() | drawn_field(one.kind) if one.name in may_miss else drawn_field(one.kind)
        for one in shape.fields
    }
    return st.builds(shape.record, **contents, **{name: st.just(value) for name, value in given_fields.items()})


@pytest.fixture
def connection(store: Store) -> Iterator[Connection]:
    """A transaction that is never stored, with a change and a few things to refer to."""
    with store._engine.connect() as opened, opened.begin() as transaction:
        change = {"id": 1, "at": datetime.now(UTC), "kind": "test"}
        opened.execute(insert(ChangeRow.__table__), change)  # type: ignore[attr-defined]
        things = [{"id": number, "kind": "supplier"} for number in range(2, 10)]
        opened.execute(insert(ThingRow.__table__), things)  # type: ignore[attr-defined]
        yield opened
        transaction.rollback()


@pytest.mark.parametrize("kind", SHAPES)
@QUICK
@given(data=st.data())
def test_any_record_comes_back_equal(connection: Connection, kind: str, data: st.DataObject) -> None:
    single = kind in ("workshop", "terms")
    own = {"product": 2, "channel": 3} if STORED[kind].paired else {"id": 1 if single else 2}
    own = {STORED[kind].about: 2} if STORED[kind].about else own
    record = data.draw(drawn_record(SHAPES[kind], **own))
    with connection.begin_nested() as there:
        for name, rows in plan_for(NOTHING, Put(record), lim.LAST_DAY).made.items():
            connection.execute(insert(ASPECTS[name].table), [{**row, "made_in": 1} for row in rows])
        live = read_all(connection, "", 1)
        there.rollback()
    assert record_of(live, STORED[kind], key_of(record)[1], lim.LAST_DAY) == record


STEPS = st.tuples(
    st.sampled_from(("products", "channels", "groups", "prices", "materials", "bills")),
    st.sampled_from((EARLY, date(2026, 6, 1), DAY, date(2027, 2, 1))),
    st.decimals(1, 99, places=2),
    st.integers(0, 3),
    st.booleans(),
)


def written(book: b.Book, shelf: str, day: date, amount: Decimal, act: int) -> Change:
    """One of many changes of a small workshop, on a day before, on or after the day that is looked at."""
    if shelf == "prices":
        pair = max(book.products), max(book.channels)
        return Put(b.Price(*pair, day, amount)) if act else Withdraw("price", pair, day)
    record: Any = next(iter(getattr(book, shelf).values()))
    kind = key_of(record)[0]
    moved = {"since": day} if hasattr(record, "since") else {}
    put = Put(replace(record, note=str(amount), **moved))
    return (put, put, Retire(kind, record.id, day), Restore(kind, record.id))[act]


@settings(max_examples=examples.of(8), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(STEPS, min_size=1, max_size=6))
def test_whatever_is_written_refreshed_is_read_afresh(store: Store, steps: list[Any]) -> None:
    if not store.snapshot(DAY).version:
        store.save(every_kind(), Intent("all"), DAY)
    for shelf, day, amount, act, undone in steps:
        now = store.snapshot(DAY)
        change = written(now.book, shelf, day, amount, act)
        sure = frozenset(one.answer for one in questions(now.book, [change]))
        saved = store.save(change, Intent("w", epoch=now.epoch, version=now.version, sure=sure), DAY)
        if saved.change and undone:
            store.undo(saved.change, Intent("undo"), DAY)
        with store._engine.connect() as opened, opened.begin():
            live = read_all(opened, "", store.snapshot(DAY).version)
        assert store.snapshot(DAY).book == book_of(live, DAY)
        assert dict(store.snapshot(DAY).moved) == dict(live.moved)


@pytest.mark.parametrize("shelf", ["products", "channels", "groups"])
def test_stale_double_and_undone(store: Store, shelf: str) -> None:
    """What was read before another's change is refused; a second sending is the first."""
    store.save(every_kind(), Intent("all"), DAY)
    old = store.snapshot(DAY)
    record: Any = next(iter(getattr(old.book, shelf).values()))
    sending = Intent("a", token="t", input_hash="h", epoch=old.epoch, version=old.version)
    saved = store.save(Put(replace(record, note="first")), sending, DAY)
    assert store.save(Put(replace(record, note="first")), sending, DAY) == saved
    assert store.snapshot(DAY).version == old.version + 1
    with pytest.raises(errors.Stale):
        store.save(Put(replace(record, note="second")), Intent("b", epoch=old.epoch, version=old.version), DAY)
    with pytest.raises(errors.MissingPrecondition):
        store.save(Put(replace(record, note="second")), Intent("b"), DAY)
    assert getattr(store.snapshot(DAY).book, shelf)[record.id].note == "first"
    store.undo(saved.change, Intent("undo"), DAY)
    assert store.snapshot(DAY).book == old.book
