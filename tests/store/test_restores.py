"""A restore stands where it was done, by what it brought back: no clock moves it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.store.kept import DAY, saved
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store import backup_notes as notes
from webapp.store.backups import ASKED, Backup
from webapp.store.opening import Store, open_store
from webapp.store.restores import placed

YEAR = timedelta(days=365)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def store(settings: Settings) -> Iterator[Store]:
    with closing(open_store(settings)) as opened:
        yield opened


def save(store: Store, *names: str) -> None:
    for name in names:
        saved(store, Put(b.Supplier(-1, name)))


def restore(store: Store, backup: Backup, ahead: timedelta = timedelta()) -> Backup:
    """Restore while the clock is so far ahead; what was there before."""
    right = store.shelf.clock
    store.shelf.clock = lambda: right() + ahead
    before = store.shelf.find(store.restore(backup.path, DAY).before)
    store.shelf.clock = right
    return before


def where(store: Store) -> list[int]:
    """Behind which change each restore stands, the last first."""
    return [one.behind for one in store.restored()]


@pytest.mark.parametrize("ahead", [timedelta(), 10 * YEAR, -10 * YEAR])
def test_it_stands_behind_what_it_brought_back_whatever_the_clock_says(store: Store, ahead: timedelta) -> None:
    save(store, "One", "Two")
    backup = store.back_up(ASKED, DAY)
    save(store, "Gone")
    restore(store, backup, ahead)
    save(store, "Three", "Four")
    assert where(store) == [2]


@pytest.mark.parametrize("ahead", [timedelta(), 10 * YEAR, -10 * YEAR])
def test_one_that_was_taken_back_stands_behind_what_was_there_before_it(store: Store, ahead: timedelta) -> None:
    """1 and 2 are saved, a backup is made, 3 is saved; it is restored, and taken back: 3 was before both."""
    save(store, "One", "Two")
    backup = store.back_up(ASKED, DAY)
    save(store, "Three")
    before = restore(store, backup, ahead)
    restore(store, before, -ahead)
    save(store, "Four")
    assert where(store) == [3, 3]


def test_of_one_that_was_noted_without_a_number_its_moment_counts(store: Store) -> None:
    """As all were until they got one: by the change before its second, and never before one that came after it."""
    save(store, "One", "Two")
    backup = store.back_up(ASKED, DAY)
    save(store, "Gone")
    restore(store, backup)
    save(store, "Three")
    noted = notes.restores_in(notes.read_notes(store.shelf.folder))
    old = [{"at": at.isoformat(), "name": "old"} for at in (datetime.now(UTC) - YEAR, datetime.now(UTC) + YEAR)]
    notes.note(store.shelf.folder, restores=[*old, *noted, {"name": "without a moment"}])  # type: ignore[arg-type]
    assert [(one.behind, one.told["name"]) for one in store.restored()] == [(2, backup.name), (2, "old"), (0, "old")]
    notes.note(store.shelf.folder, restores=old[1:])  # type: ignore[arg-type]
    assert where(store) == [3]


# --- drawn: what was done in which order is known, and no clock

Done = tuple[str, int]


@settings(max_examples=examples.of(300))
@given(st.lists(st.tuples(st.sampled_from(["save", "back up", "restore"]), st.integers(0, 9)), max_size=25))
def test_each_stands_behind_the_changes_that_were_made_before_it(done: list[Done]) -> None:
    """The data is a list of when its changes were made; a restore stands behind those that were before it."""
    data, epoch = list[int](), "0"
    backups, noted, moments = [(list[int](), "0")], list[tuple[datetime, dict[str, object]]](), list[int]()
    for moment, (what, which) in enumerate(done):
        if what == "save":
            data.append(moment)
        elif what == "back up":
            backups.append((list(data), epoch))
        else:
            backups.append((list(data), epoch))  # what was there before
            kept, of = backups[which % len(backups)]
            data, epoch = list(kept), f"{moment}"
            noted.append((NOON, {"epoch": epoch, "of": of, "version": len(data)}))
            moments.append(moment)
    wanted = [sum(made < moment for made in data) for moment in reversed(moments)]
    assert [one.behind for one in placed(noted, {})] == wanted
