"""What the tests on PostgreSQL start from is as new, whatever the test before has done to it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.on_postgres import _AS_NEW, as_new, brought_back, connected, copied_postgres, tell_postgres
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store.opening import open_store
from webapp.store.writing import Intent

pytestmark = pytest.mark.postgres
DAY = date(2026, 11, 25)


def told(url: str, query: str) -> Any:
    with connected(url) as connection:
        return connection.execute(query).fetchone()[0]


def test_what_was_stored_is_gone_and_numbering_begins_anew(new_postgres: str) -> None:
    address = copied_postgres(new_postgres)
    url = address.get_secret_value()
    store = open_store(Settings(database=address))
    first = store.save(Put(b.Supplier(-1, "Mill")), Intent("new"), DAY).ids
    store.close()
    assert as_new(url) != _AS_NEW[url]
    assert brought_back(url)
    assert as_new(url) == _AS_NEW[url]
    store = open_store(Settings(database=copied_postgres(new_postgres)))
    assert store.snapshot(DAY).book.suppliers == {}
    assert store.save(Put(b.Supplier(-1, "Another")), Intent("new"), DAY).ids == first
    store.close()


@pytest.mark.parametrize(
    "change",
    [
        "ALTER TABLE supplier ADD COLUMN more text",
        "CREATE TABLE beside (id int)",
        "ALTER TABLE supplier ADD CONSTRAINT short CHECK (length(name) < 4)",
    ],
)
def test_what_is_made_of_something_else_is_copied_anew(new_postgres: str, change: str) -> None:
    url = copied_postgres(new_postgres).get_secret_value()
    layout = _AS_NEW[url].layout
    tell_postgres(url, change)
    assert not brought_back(url)
    copied_postgres(new_postgres)
    assert _AS_NEW[url].layout == layout
    assert told(url, "SELECT count(*) FROM pg_tables WHERE tablename = 'beside'") == 0


def test_who_is_still_connected_is_sent_away(new_postgres: str) -> None:
    url = copied_postgres(new_postgres).get_secret_value()
    with connected(url, autocommit=False) as left:
        left.execute("LOCK TABLE thing")
        assert brought_back(url)
        with pytest.raises(Exception, match=r"terminat|closed"):
            left.execute("SELECT 1")
        left.close()
