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
from tests.exchange.carried import empty_store, enter, later_and_earlier, same_by_name
from tests.exchange.test_books_drawn import drawn
from tests.small_purchases import DAY
from webapp import example
from webapp.costing import size_asking, supposing
from webapp.costing.limits import LAST_DAY
from webapp.costing.reckoning import Reckoning
from webapp.errors import Unprocessable
from webapp.exchange import book_files, whole
from webapp.exchange.book_rows import document_of
from webapp.exchange.tables import CannotRead
from webapp.importing import Looked, exported, look, take
from webapp.store.opening import Store
from webapp.store.writing import UNCHANGED, Intent, Saved

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
    enter(one, drawn(seed))
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
    assert take(other, again, Intent("Import"), DAY).change == UNCHANGED
    assert other.snapshot(DAY).version == version == 1
    costs = [Reckoning(store.snapshot(DAY).book).line() for store in (one, other)]
    assert len(costs[0]) == len(costs[1]) > 30
    assert [(row.cost, row.suggested, row.margin) for row in costs[0]] == [
        (row.cost, row.suggested, row.margin) for row in costs[1]
    ]


def keep_beside(store: Store) -> None:
    """What-ifs and notes of the example: of every kind of supposition, one as it was typed, with sizes and a set."""
    book = store.snapshot(DAY).book
    called = {kind: {one.name: one.id for one in getattr(book, kind).values()} for kind in ("products", "materials")}
    (tin, butter), shea = sorted(called["products"].values())[:2], called["materials"]["Shea butter, refined"]
    channel, formula = min(book.channels), min(book.formulas)
    person, bill, group = min(book.people), min(book.bills), min(book.groups)
    rows = [
        {"kind": "prices", "channel": channel, "way": "up", "percent": "2.5", "endings": True},
        {"kind": "price", "product": tin, "channel": channel, "amount": "12.40"},
        {"kind": "cost", "material": shea, "way": "down", "percent": "10", "counts": False},
        {"kind": "cost to", "material": shea, "amount": "9", "unit": "kg"},
        {"kind": "wage", "person": person, "amount": "0"},
        {"kind": "channel", "channel": channel, "part": "fee", "amount": "0.25"},
        {"kind": "registered", "part": "registered"},
        {"kind": "formula", "formula": formula, "part": "loss", "amount": "4"},
        {"kind": "product", "product": butter, "part": "set_aside", "amount": "2"},
        {"kind": "swap", "material": shea, "other": max(book.materials), "formula": formula},
        {"kind": "pack", "material": shea, "other": max(book.materials), "group": group},
        {"kind": "bill", "bill": bill, "amount": "300"},
        {"kind": "sold", "product": tin, "channel": channel, "amount": "12"},
    ]
    store.keep_what_if("Shea dearer, \u2018as feared\u2019", supposing.kept(book, rows))
    typed = {"kind": "cost", "material": str(shea), "percent": "=ten", "counts": "yes"}
    store.keep_what_if("Half thought", [{"typed": typed}])
    store.keep_what_if("Nothing yet", [])
    asked = [
        {"ask": "size", "product": tin, "channel": channel, "jars": "10", "share": "50", "share_high": "80",
         "candidates": [{"declared": "100", "unit": "g", "jar_name": "A tin", "jar_price": "0.62", "price": "17"}]},
        {"ask": "set", "channel": channel, "candidates": [{"discount": "5"}],
         "members": [{"product": tin, "count": "1"}, {"product": butter, "count": "2"}]},
    ]  # fmt: skip
    figures = {"verdict": "worth", "gain": "22.43", "months": {"gap": {"reason": "No sales yet.", "cure": None}}}
    for question in asked:
        store.keep_verdict(tin, DAY, "Worth it, above 84 %.", size_asking.kept(book, question), figures)
    store.keep_verdict(tin, DAY, "Looked at\nonce more.", size_asking.kept(book, asked[0]), {})
    store.keep_verdict(formula, DAY - timedelta(9), "A size of it.", size_asking.kept(book, {"formula": formula}), {})


@pytest.mark.parametrize("kind", book_files.KINDS)
@pytest.mark.parametrize("sign", book_files.SIGNS)
def test_what_ifs_and_notes_come_back_equal(stores: Any, kind: str, sign: str) -> None:
    """Into an empty book and into the same one, where all of it is there already."""
    one, other = stores(), stores()
    example.fill(one, DAY)
    keep_beside(one)
    supposed = one.what_ifs()[-1].rows
    assert {row.get("kind") for row in supposed} == set(supposing.KINDS), "a kind of supposition could not be read"
    data = book_files.written(exported(one, DAY), kind, sign)
    found = looked(other, kind, data)
    assert found.faults == ()
    assert (found.counts["what_if"], found.counts["size_note"]) == ((3, 0), (4, 0))
    assert take(other, found, Intent("Import"), DAY).change == 1
    assert whole.written(exported(other, DAY)) == whole.written(exported(one, DAY))
    assert looked(other, kind, data).back.is_nothing
    assert looked(one, kind, data).back.is_nothing
    mine, theirs = (store.everything().beside for store in (one, other))
    assert len(theirs.notes) == 4
    assert [row.keys() for each in theirs.what_ifs for row in each.rows] == [
        row.keys() for each in mine.what_ifs for row in each.rows
    ]
    for here, there in zip(mine.notes, theirs.notes, strict=True):
        assert "typed" not in here.question
        assert (here.when, here.figures, here.question.keys()) == (there.when, there.figures, there.question.keys())


def test_they_come_in_alone_and_are_no_change(stores: Any) -> None:
    one = stores()
    example.fill(one, DAY)
    keep_beside(one)
    document = whole.as_json(exported(one, DAY))
    only = {key: document["sheets"][key] for key in ("what_ifs", "suppositions")}
    only["what_ifs"] = [row for row in only["what_ifs"] if row["name"] == "Half thought"]
    only["suppositions"] = [{"belongs_to": "half THOUGHT", "kind": "wage", "person": "Maud Fennick", "amount": "20"}]
    found = look(one, whole.from_json({**document, "sheets": only}), DAY)
    assert (found.faults, found.counts) == ((), {"what_if": (0, 1)})
    version = one.snapshot(DAY).version
    assert take(one, found, Intent("Import"), DAY) == Saved(version, UNCHANGED)
    (half,) = (each for each in one.what_ifs() if each.name == "Half thought")
    assert [row["amount"] for row in half.rows] == ["20"]
    assert len(one.what_ifs()) == 3  # what a file leaves out stays


NOTED = {"about_formula": "Firm pomade", "day": "2026-01-01", "sentence": "b"}


@pytest.mark.parametrize(
    ("sheet", "row", "said"),
    [
        ("suppositions", {"belongs_to": "Nobody's", "kind": "wage"}, "There is no what-if of that name"),
        ("suppositions", {"belongs_to": "New", "kind": "cost", "material": "Gold", "percent": "5"}, "called Gold"),
        ("suppositions", {"belongs_to": "New", "kind": "wage", "amount": "1e9"}, "Say who."),
        ("suppositions", {"belongs_to": "New", "kind": "luck"}, "Choose one of"),
        ("suppositions", {"belongs_to": "New", "as_typed": "[1]"}, "no JSON object"),
        ("what_ifs", {"name": "new"}, "two what-ifs of that name"),
        ("what_ifs", {"name": "Other", "kept": "yesterday"}, "no moment"),
        ("what_ifs", {"name": ""}, "Fill this in."),
        ("notes_on_sizes", {"called": "a", "day": "2026-01-01", "sentence": "b"}, "Say which product or which formula"),
        ("notes_on_sizes", {"called": "a", "about_formula": "Firm pomade", "sentence": "b"}, "Say of which day"),
        ("notes_on_sizes", {"called": "a", "about_formula": "Firm pomade", "day": "2026-01-01"}, "Fill this in."),
        ("notes_on_sizes", {**NOTED, "figures": '{"x": 1}'}, "no figures of a note"),
        ("notes_on_sizes", {**NOTED, "jars": "many"}, "number"),
        ("sizes_in_a_note", {"belongs_to": "Nobody's", "declared": "100"}, "There is no note of that name"),
    ],
)  # fmt: skip
def test_a_fault_of_what_is_kept_has_its_row(stores: Any, sheet: str, row: dict[str, str], said: str) -> None:
    store = stores()
    example.fill(store, DAY)
    sheets: dict[str, list[dict[str, str]]] = {"what_ifs": [{"name": "New"}]}
    sheets[sheet] = [*sheets.get(sheet, []), row]
    found = look(store, whole.from_json({"format": "brimful-book", "version": 1, "sheets": sheets}), DAY)
    assert said in " ".join(fault.sentence for fault in found.faults), found.faults
    assert {fault.row for fault in found.faults} == {len(sheets[sheet])}
    with pytest.raises(Unprocessable):
        take(store, found, Intent("Import"), DAY)
    assert store.what_ifs() == ()


def test_more_than_are_kept_are_refused_and_nothing_is_stored(stores: Any) -> None:
    store = stores()
    rows = [{"name": f"What if {number}"} for number in range(51)]
    sheets = {"what_ifs": rows, "suppliers": [{"name": "The mill", "currency": "EUR"}]}
    found = look(store, whole.from_json({"format": "brimful-book", "version": 1, "sheets": sheets}), DAY)
    with pytest.raises(Unprocessable, match="50 what-ifs are kept already"):
        take(store, found, Intent("Import"), DAY)
    assert (store.what_ifs(), store.snapshot(DAY).version) == ((), 0)


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
    assert take(store, found, Intent("Import"), DAY).change == 1
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
