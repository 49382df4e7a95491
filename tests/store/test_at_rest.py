"""The checksum of a file at rest: there while it is closed, gone before it is written, and what is said of it."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from tests.store.kept import DAY, add_supplier, failing, flip, opened, run, saved, shelf_in
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.errors import ReadOnly
from webapp.settings import Settings
from webapp.store import at_rest
from webapp.store.at_rest import CHANGED, NEW, SAME, UNKNOWN, look, sum_of
from webapp.store.backups import Shelf
from webapp.store.opening import accept_as_it_is, check, open_store


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """Data that was written and closed."""
    found = shelf_in(tmp_path / "data")
    add_supplier(found.file.parent, "Later")
    return found


def of(shelf: Shelf) -> Settings:
    return Settings(data=shelf.file.parent, database=None)


def test_new_data_has_none_until_it_is_closed_by_who_wrote_it(tmp_path: Path) -> None:
    with closing(opened(tmp_path)) as store:
        assert store.at_rest.state == NEW
    assert look(Shelf(tmp_path / "brimful.db")).state == UNKNOWN
    add_supplier(tmp_path, "first")
    assert look(Shelf(tmp_path / "brimful.db")).state == SAME


def test_it_is_gone_before_the_first_write_and_there_again_after(shelf: Shelf) -> None:
    with closing(opened(shelf.file.parent)) as store:
        assert store.at_rest.state == SAME
        store.snapshot(DAY)
        assert sum_of(shelf.file).exists()
        saved(store, Put(b.Supplier(-1, "more")))
        assert not sum_of(shelf.file).exists()
    assert look(shelf).state == SAME


def test_whoever_only_reads_beside_another_notes_nothing(shelf: Shelf) -> None:
    sum_of(shelf.file).unlink()
    opened(shelf.file.parent).close()
    assert not sum_of(shelf.file).exists()
    open_store(of(shelf), alone=True).close()
    assert look(shelf).state == SAME


def test_what_is_written_after_it_was_closed_takes_it_away_again(shelf: Shelf) -> None:
    store = opened(shelf.file.parent)
    store.close()
    saved(store, Put(b.Supplier(-1, "late")))
    assert look(shelf).state == UNKNOWN
    store.close()
    assert look(shelf).state == SAME


def test_where_it_can_not_be_taken_away_nothing_is_written(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    before = shelf.file.read_bytes()
    monkeypatch.setattr(Path, "unlink", failing(PermissionError()))
    monkeypatch.setattr(Path, "write_bytes", failing(PermissionError()))
    store = opened(shelf.file.parent)
    with pytest.raises(ReadOnly):
        saved(store, Put(b.Supplier(-1, "never")))
    store._engine.dispose()
    assert shelf.file.read_bytes() == before


def test_a_name_that_stays_is_emptied(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as shut:
        shut.setattr(Path, "unlink", failing(PermissionError()))
        at_rest.unseal(shelf.file)
    assert sum_of(shelf.file).read_bytes() == b""
    assert look(shelf).state == UNKNOWN


def test_a_change_from_outside_is_told_until_it_is_answered(shelf: Shelf) -> None:
    made = shelf.make("asked", DAY)
    run(shelf.file, "UPDATE supplier SET note = 'other'")
    lines, whole = check(of(shelf))
    assert not whole
    assert made.name in lines[-1]
    with closing(opened(shelf.file.parent)) as store:
        assert (store.at_rest.state, store.at_rest.before) == (CHANGED, made.name)
        saved(store, Put(b.Supplier(-1, "more")))
    with closing(opened(shelf.file.parent)) as store:  # closed and the same since, but nobody has said anything
        assert store.at_rest.state == CHANGED
        store.accept_change()
        assert store.at_rest.state == SAME
    assert check(of(shelf))[1]


def test_it_is_answered_by_command_without_a_page(shelf: Shelf) -> None:
    run(shelf.file, "UPDATE supplier SET note = 'other'")
    accept_as_it_is(of(shelf))
    assert check(of(shelf))[1]
    accept_as_it_is(of(shelf))
    assert check(of(shelf))[1]


def test_a_restore_ends_it(shelf: Shelf) -> None:
    made = shelf.make("asked", DAY)
    run(shelf.file, "UPDATE supplier SET note = 'other'")
    with closing(opened(shelf.file.parent)) as store:
        store.restore(made.path, DAY)
        assert store.at_rest.state == SAME
    assert check(of(shelf))[1]


def test_a_spoilt_checksum_and_a_journal_of_others_are_noticed_too(shelf: Shelf) -> None:
    whole = sum_of(shelf.file).read_bytes()
    flip(sum_of(shelf.file), 200)
    assert look(shelf).state == CHANGED
    sum_of(shelf.file).write_bytes(b"[]")
    assert look(shelf).state == CHANGED
    sum_of(shelf.file).write_bytes(whole)
    shelf.file.with_name(f"{shelf.file.name}-journal").write_bytes(b"of another")
    assert look(shelf).state == CHANGED


def test_a_server_that_began_to_write_meanwhile_is_not_taken_for_another(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    def meanwhile(file: Path) -> str:
        at_rest.unseal(file)
        return "another"

    monkeypatch.setattr(at_rest, "checksum", meanwhile)
    assert look(shelf).state == UNKNOWN
