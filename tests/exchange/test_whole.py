"""A whole book goes out and comes in equal, in each of its three forms, with every day from which something holds."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests import examples
from tests.exchange.carried import empty_store, enter, later_and_earlier, same_by_name, settings_of
from tests.small_books import small
from tests.small_purchases import DAY
from webapp import example
from webapp.costing.limits import LAST_DAY
from webapp.costing.reckoning import Reckoning
from webapp.exchange import book_files, whole
from webapp.exchange.book_rows import document_of
from webapp.exchange.tables import CannotRead
from webapp.importing import Looked, exported, look, take
from webapp.store.opening import Store
from webapp.store.writing import UNCHANGED, Intent

_numbers = count()


@pytest.fixture
def stores(new_file: Path, tmp_path: Path) -> Iterator[Any]:
    """What makes a store with nothing in it; all are closed at the end."""
    opened: list[Store] = []

    def make() -> Store:
        opened.append(empty_store(new_file, tmp_path / f"store-{next(_numbers)}"))
        return opened[-1]

    yield make
    for store in opened:
        store.close()


def looked(store: Store, kind: str, data: bytes, day: date = DAY) -> Looked:
    brought = book_files.read(f"book.{kind}", data)
    assert (brought.remarks, brought.asks) == ((), False)
    return look(store, brought.document, day, brought.notation)


def carried(store: Store, kind: str, data: bytes, tmp_path: Path, day: date = DAY) -> Looked:
    found = looked(store, kind, data, day)
    assert found.faults == ()
    store.take_over(found.back.changes, Intent("Import", epoch=found.epoch, version=found.version), day, lambda _: None)
    return found


QUICK = settings(
    max_examples=examples.of(30), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@QUICK
@given(seed=st.integers(0, 10**9), kind=st.sampled_from(book_files.KINDS), sign=st.sampled_from(book_files.SIGNS))
def test_any_book_comes_back_equal_on_every_day(stores: Any, tmp_path: Path, seed: int, kind: str, sign: str) -> None:
    one, other = stores(), stores()
    enter(one, small(Random(seed)))
    later_and_earlier(one, Random(seed), DAY)
    data = book_files.written(exported(one, DAY), kind, sign)
    carried(other, kind, data, tmp_path)
    same_by_name(one, other, DAY, DAY - timedelta(200), DAY + timedelta(46), DAY + timedelta(900), LAST_DAY)
    again = looked(other, kind, data)
    assert (again.back.changes, again.faults) == ((), ())
    assert book_files.written(exported(other, DAY), kind, sign) == data


@pytest.mark.parametrize("kind", book_files.KINDS)
def test_the_example_comes_back_equal_and_a_second_time_changes_nothing(stores: Any, tmp_path: Path, kind: str) -> None:
    one, other = stores(), stores()
    example.fill(one, DAY)
    data = book_files.written(exported(one, DAY), kind)
    carried(other, kind, data, tmp_path)
    same_by_name(one, other, DAY)
    version = other.snapshot(DAY).version
    again = looked(other, kind, data)
    assert take(other, settings_of(tmp_path), again, Intent("Import"), DAY).change == UNCHANGED
    assert other.snapshot(DAY).version == version == 1
    costs = [Reckoning(store.snapshot(DAY).book).line() for store in (one, other)]
    assert len(costs[0]) == len(costs[1]) > 30
    assert [(row.cost, row.suggested, row.margin) for row in costs[0]] == [
        (row.cost, row.suggested, row.margin) for row in costs[1]
    ]


def test_one_undo_takes_all_of_it_back(stores: Any, tmp_path: Path) -> None:
    one, other = stores(), stores()
    example.fill(one, DAY)
    before = other.snapshot(DAY).book
    carried(other, "json", whole.written(exported(one, DAY)), tmp_path)
    other.undo(1, Intent("undo", epoch=other.snapshot(DAY).epoch, version=1), DAY)
    assert other.snapshot(DAY).book == before


def test_a_copy_is_made_before_anything_is_stored(new_file: Path, tmp_path: Path, stores: Any) -> None:
    one = stores()
    example.fill(one, DAY)
    store = empty_store(new_file, tmp_path / "mine")
    found = looked(store, "json", whole.written(exported(one, DAY)))
    assert take(store, settings_of(tmp_path / "mine"), found, Intent("Import"), DAY).change == 1
    store.close()
    assert [path.name.endswith("before-import.db") for path in (tmp_path / "mine" / "backups").glob("*.db")] == [True]


def test_the_document_says_what_it_is(stores: Any) -> None:
    one = stores()
    example.fill(one, DAY)
    found = json.loads(whole.written(document_of(one.everything(), DAY)))
    assert (found["format"], found["version"], found["made_on"], found["currency"]) == (
        "brimful-book",
        1,
        DAY.isoformat(),
        "GBP",
    )
    sheets = found["sheets"]
    wages = [(row["belongs_to"], row["per_hour"]) for row in sheets["wages"]]
    assert len(wages) > len({name for name, _ in wages})  # a wage of an earlier day is there too
    assert all(
        isinstance(value, str | bool | None) for rows in sheets.values() for row in rows for value in row.values()
    )


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"{", "no JSON"),
        (b"{}", "no whole book"),
        (b'{"format": "brimful-book", "version": 2, "sheets": {}}', "newer"),
        (b'{"format": "brimful-book", "version": true, "sheets": {}}', "version"),
        (b'{"format": "brimful-book", "version": 1}', "no sheets"),
        (b'{"format": "brimful-book", "version": 1, "sheets": {"spells": []}}', 'no sheet called "spells"'),
        (b'{"format": "brimful-book", "version": 1, "sheets": {"prices": {}}}', "list of objects"),
        (b'{"format": "brimful-book", "version": 1, "sheets": {"prices": [{"amount": 1.5}]}}', "text in quotes"),
        (b'{"format": "brimful-book", "version": 1, "sheets": {"prices": [{"amount": NaN}]}}', "no JSON"),
        (b'{"format": "brimful-book", "version": 1, "sheets": {"prices": [{"colour": "red"}]}}', "colour"),
        (b"[" * 100_000, "too long"),
        (b'{"a":' + b"[" * 100_000, "no JSON"),
    ],
)
def test_what_is_no_whole_book_is_refused_with_a_sentence(data: bytes, words: str) -> None:
    with pytest.raises(CannotRead) as refused:
        book_files.read("book.json", data)
    assert words in refused.value.sentence
