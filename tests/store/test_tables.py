"""Every table keeps its rows and says in which change they were made and ended."""

from __future__ import annotations

import re
from pathlib import Path

import webapp.store
from webapp.store.migrations.wanted import metadata
from webapp.store.rows import ASPECTS
from webapp.store.tables import HELD

NOT_HELD = {"ledger", "change", "thing", "draft", "what_if", "verdict", "door", "device", "tries", "heard"}
STORE = Path(webapp.store.__file__).parent


def test_every_table_but_the_named_ones_is_made_and_ended() -> None:
    wanted = metadata()
    assert {name for name in wanted.tables if name not in NOT_HELD} == set(HELD) == set(ASPECTS)
    for name in HELD:
        table = wanted.tables[name]
        assert {"made_in", "ended_in"} <= set(table.c.keys())
        assert table.c.ended_in.nullable
        only = [index for index in table.indexes if index.name == f"one_{name}"]
        assert only[0].unique
        assert str(only[0].dialect_options["sqlite"]["where"]) == "ended_in IS NULL"


def test_every_row_class_ends_in_row() -> None:
    assert all(row.__name__.endswith("Row") for row in HELD.values())


def test_only_writing_changes_rows() -> None:
    changing = re.compile(r"\binsert\(|\bupdate\(LEDGER|\bupdate\(table|\bdelete\(|\.commit\(|INSERT |DELETE |UPDATE ")
    found = {
        path.name
        for path in STORE.rglob("*.py")
        if "versions" not in path.parts and changing.search(path.read_text(encoding="utf-8"))
    }
    # `beside` is the writer's part for what is no change; `restoring` gives a copy that is no data yet its epoch;
    # `postgres_copy` moves whole tables, into a file or back in one transaction; `moving` fills a place that was empty;
    # `devices` are no part of the book
    assert found == {"writing.py", "beside.py", "restoring.py", "postgres_copy.py", "moving.py", "devices.py"}
