"""Kept what-ifs: as they were written, bounded in number and size, and no part of the book or its versions."""

from __future__ import annotations

from datetime import date

import pytest

from webapp import errors
from webapp.store.opening import Store
from webapp.store.what_ifs import MOST, MOST_BYTES

ROWS = [{"kind": "prices", "percent": "5"}, {"typed": {"amount": "1O\u00e9\u6cb9"}}]


def test_one_comes_back_as_it_was_written_and_makes_no_version(store: Store) -> None:
    before = store.snapshot(date(2026, 6, 1)).version
    number = store.keep_what_if("Spring", ROWS)
    (kept,) = store.what_ifs()
    assert (kept.ident, kept.name, list(kept.rows)) == (number, "Spring", ROWS)
    assert store.snapshot(date(2026, 6, 1)).version == before


def test_a_name_is_one_whatever_its_case_and_a_rename_leaves_the_rows(store: Store) -> None:
    number = store.keep_what_if("Spring", ROWS)
    with pytest.raises(errors.Unprocessable):
        store.keep_what_if("SPRING ", [])
    store.keep_what_if("Autumn", None, number)
    assert [(one.name, list(one.rows)) for one in store.what_ifs()] == [("Autumn", ROWS)]


def test_what_is_gone_can_not_be_changed_or_thrown_away(store: Store) -> None:
    number = store.keep_what_if("Spring", ROWS)
    store.drop_what_if(number)
    assert store.what_ifs() == ()
    with pytest.raises(errors.NotFound):
        store.keep_what_if("Spring", ROWS, number)
    with pytest.raises(errors.NotFound):
        store.drop_what_if(number)


def test_there_is_an_end_to_how_many_and_how_much(store: Store) -> None:
    for number in range(MOST):
        store.keep_what_if(f"Number {number}", [])
    with pytest.raises(errors.Unprocessable):
        store.keep_what_if("One more", [])
    with pytest.raises(errors.TooLarge):
        store.keep_what_if("Number 0", [{"typed": {"amount": "x" * MOST_BYTES}}], store.what_ifs()[0].ident)
    assert len(store.what_ifs()) == MOST
