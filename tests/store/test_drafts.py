"""Half-entered forms: kept as typed, bounded in number, size and age, and no part of the book, its versions or undo."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from webapp import errors
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store.drafts import MOST, MOST_BYTES, MOST_DAYS, MOST_HEARD, Draft, Turn
from webapp.store.opening import Store, open_store
from webapp.store.writing import UNCHANGED, Intent

NEW = "/buy/orders/new"
TOKEN = "a-token-of-a-form"
TEXTS = {"lines-0-material": "Shea \u00e9\u6cb9 <b>", "lines-0-price": "12,4o", "note": 'two\nlines "\\ \x00'}


def draft(form: str = "first", **more: Any) -> Draft:
    return replace(Draft(form, "order", NEW, TEXTS, datetime.now(UTC).replace(microsecond=0), "e", 0), **more)


def forms(store: Store, **asked: Any) -> list[str]:
    return [one.form for one in store.drafts(**(asked or {"page": NEW}))]


def test_a_draft_comes_back_as_it_was_typed(store: Store) -> None:
    kept = draft(version=7)
    assert store.keep_draft(kept, TOKEN)
    assert store.drafts(page=NEW) == (kept,)


def test_typing_on_takes_the_place_of_what_was_kept(store: Store) -> None:
    for texts in (TEXTS, {"note": "more"}):
        store.keep_draft(draft(texts=texts), TOKEN)
    assert [one.texts for one in store.drafts(page=NEW)] == [{"note": "more"}]


def test_two_forms_of_one_page_are_kept_apart_the_one_typed_last_first(store: Store) -> None:
    for form in ("first", "second", "first"):
        store.keep_draft(draft(form), TOKEN)
    assert forms(store) == ["first", "second"]


def test_drafts_are_found_by_page_and_by_kind(store: Store) -> None:
    store.keep_draft(draft("new"), TOKEN)
    store.keep_draft(draft("old", page="/buy/orders/5/edit"), TOKEN)
    store.keep_draft(draft("jar", kind="product", page="/price/products/new"), TOKEN)
    assert forms(store) == ["new"]
    assert forms(store, kinds=("order",)) == ["old", "new"]
    assert forms(store, kinds=("order", "product")) == ["jar", "old", "new"]
    assert forms(store, kinds=("channel",)) == forms(store, page="/buy/orders") == []


# --- bounds


def test_the_oldest_goes_when_there_are_too_many(store: Store) -> None:
    for number in range(MOST + 1):
        store.keep_draft(draft(str(number)), TOKEN)
    assert forms(store) == [str(number) for number in range(MOST, 0, -1)]


def test_what_is_too_large_is_refused_and_what_was_kept_stays(store: Store) -> None:
    frame = len('{"note": ""}')
    most = draft(texts={"note": "x" * (MOST_BYTES - frame)})
    store.keep_draft(most, TOKEN)
    with pytest.raises(errors.TooLarge):
        store.keep_draft(draft(texts={"note": "x" * (MOST_BYTES - frame + 1)}), TOKEN)
    with pytest.raises(errors.TooLarge):
        store.keep_draft(draft(texts={"note": "\u6cb9" * (MOST_BYTES // 3)}), TOKEN)  # three bytes each
    assert store.drafts(page=NEW) == (most,)


def test_a_draft_that_is_too_old_is_not_shown_and_goes_by_number_alone(store: Store) -> None:
    now = datetime.now(UTC)
    store.keep_draft(draft("old", when=now - timedelta(days=MOST_DAYS, minutes=1)), TOKEN)
    assert forms(store) == []
    store.keep_draft(draft("young", when=now - timedelta(days=MOST_DAYS - 1)), TOKEN)
    store.keep_draft(draft("new"), TOKEN)
    assert forms(store) == ["new", "young"]
    assert rows(store) == 3  # the clock may be wrong just now
    for number in range(MOST):
        store.keep_draft(draft(f"newer {number}"), TOKEN)
    assert rows(store) == MOST


def rows(store: Store) -> int:
    with store._engine.connect() as connection:
        return int(connection.exec_driver_sql("SELECT count(*) FROM draft").scalar_one())


# --- no part of the book


def test_a_draft_moves_no_version_no_book_no_history_and_no_undo(store: Store, day: date) -> None:
    saved = store.save(Put(b.Supplier(-1, "Mill")), Intent("new"), day)
    before = store.snapshot(day)
    reckoning = before.reckoning
    store.keep_draft(draft(epoch=before.epoch, version=before.version), TOKEN)
    after = store.snapshot(day)
    assert after is before  # not read again, nothing reckoned again
    assert after.reckoning is reckoning
    assert [one.version for one in store.changes()] == [saved.version]
    store.drop_draft("first")
    assert store.snapshot(day) is before
    store.keep_draft(draft(), TOKEN)
    assert store.undo(saved.change, Intent("undo"), day).version == saved.version + 1
    assert forms(store) == ["first"]


# --- in the order in which they were said


def test_what_comes_late_takes_no_one_s_place(store: Store) -> None:
    for number, note in ((1, "a"), (3, "abc"), (2, "ab"), (3, "again"), (4, "abcd")):
        kept = store.keep_draft(draft(texts={"note": note}), TOKEN, Turn("page", number))
        assert kept == (note in ("a", "abc", "abcd"))
    assert [one.texts for one in store.drafts(page=NEW)] == [{"note": "abcd"}]


def test_what_was_typed_before_it_was_thrown_away_is_not_kept_after_it(store: Store) -> None:
    store.keep_draft(draft(), TOKEN, Turn("page", 1))
    store.drop_draft("first", Turn("page", 3))
    assert not store.keep_draft(draft(), TOKEN, Turn("page", 2))
    assert forms(store) == []
    assert store.keep_draft(draft(), TOKEN, Turn("page", 4))  # whoever went back and typed on
    store.drop_draft("first", Turn("page", 3))
    assert forms(store) == ["first"]


def test_each_page_is_heard_in_its_own_order_and_who_counts_none_always(store: Store) -> None:
    assert store.keep_draft(draft("first"), TOKEN, Turn("page", 9))
    assert store.keep_draft(draft("second"), TOKEN, Turn("other", 1))
    assert store.keep_draft(draft("first"), TOKEN)
    store.drop_draft("second")
    assert forms(store) == ["first"]


def test_of_so_many_pages_it_is_known_what_was_heard_last(store: Store) -> None:
    for number in range(MOST_HEARD + 1):
        store.drop_draft("first", Turn(f"page {number}", 2))
    assert store.keep_draft(draft(), TOKEN, Turn("page 0", 1))  # long forgotten, and there is room for it again
    assert not store.keep_draft(draft(), TOKEN, Turn("page 2", 1))


# --- saving


def test_what_is_saved_takes_its_draft_with_it_and_no_other(store: Store, day: date) -> None:
    store.keep_draft(draft("first"), "token-one")
    store.keep_draft(draft("second"), "token-two")
    store.save(Put(b.Supplier(-1, "Mill")), Intent("new", token="token-one", draft="first"), day)
    assert forms(store) == ["second"]


def test_what_is_refused_leaves_its_draft(store: Store, day: date) -> None:
    store.keep_draft(draft(), TOKEN)
    with pytest.raises(errors.Unprocessable):
        store.save([Put(b.Supplier(-n, "Mill")) for n in (1, 2)], Intent("new", token=TOKEN, draft="first"), day)
    assert forms(store) == ["first"]


def test_a_draft_that_comes_late_is_not_kept_once_its_form_is_saved(store: Store, day: date) -> None:
    store.save(Put(b.Supplier(-1, "Mill")), Intent("new", token=TOKEN, draft="first"), day)
    assert not store.keep_draft(draft(), TOKEN)
    assert forms(store) == []


def test_a_save_that_changes_nothing_is_no_change_with_a_draft_either(store: Store, day: date) -> None:
    saved = store.save(Put(b.Supplier(-1, "Mill")), Intent("new"), day)
    mill = store.snapshot(day).book.suppliers[saved.real(-1)]
    again = store.save(Put(mill), Intent("again", token=TOKEN, draft="first", version=saved.version), day)
    assert again.change == UNCHANGED
    assert store.snapshot(day).version == saved.version


def test_drafts_and_saves_at_once_lose_nothing(store: Store, day: date) -> None:
    def type_on(form: str) -> None:
        for number in range(8):
            store.keep_draft(draft(form, texts={"note": str(number)}), form)

    def save() -> None:
        for number in range(8):
            store.save(Put(b.Supplier(-1, f"Mill {number}")), Intent("new"), day)

    works = [threading.Thread(target=type_on, args=(form,)) for form in ("one", "two")]
    works.append(threading.Thread(target=save))
    for work in works:
        work.start()
    for work in works:
        work.join()
    assert {one.form: one.texts["note"] for one in store.drafts(page=NEW)} == {"one": "7", "two": "7"}
    assert len(store.snapshot(day).book.suppliers) == store.snapshot(day).version == 8


# --- where nothing can be written


@contextmanager
def every_write(store: Store, pragma: str) -> Iterator[None]:
    def tell(raw: Any, record: Any) -> None:
        del record
        raw.execute(f"PRAGMA {pragma}").close()

    event.listen(store._engine, "connect", tell)
    store._engine.dispose()
    yield
    event.remove(store._engine, "connect", tell)


@pytest.mark.parametrize(
    ("pragma", "situation"), [("query_only = ON", errors.ReadOnly), ("max_page_count = 1", errors.DiskFull)]
)
def test_a_draft_that_cannot_be_written_is_a_situation_and_what_was_kept_stays(
    tmp_path: Path, pragma: str, situation: type[errors.Problem]
) -> None:
    store = open_store(Settings(data=tmp_path))
    store.keep_draft(draft(texts={"note": "short"}), TOKEN)
    with every_write(store, pragma), pytest.raises(situation):
        store.keep_draft(draft(texts={"note": "x" * 100_000}), TOKEN)
    assert [one.texts for one in store.drafts(page=NEW)] == [{"note": "short"}]
    store.close()
