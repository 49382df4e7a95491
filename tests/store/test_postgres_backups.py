"""Backups of a PostgreSQL: files like any other, checked, tried, compared, and put back in one transaction."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from typing import Self

import pytest
from alembic import command as alembic
from pydantic import SecretStr
from sqlalchemy import Connection, RowMapping, text
from sqlalchemy.exc import IntegrityError

from tests.on_postgres import empty_postgres, tell_postgres
from tests.store.kept import DAY, failing, saved
from tests.store.records import every_kind
from webapp import cli
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.errors import Busy, CannotStart, DiskFull, NotFound, Problem, Stale
from webapp.settings import Settings
from webapp.store import engine as doors
from webapp.store import migrations, postgres_copy
from webapp.store.backup import BackupFailed, examine_file
from webapp.store.backup_drill import drill
from webapp.store.backup_keeping import LAST
from webapp.store.backup_preview import preview_beside
from webapp.store.backups import ASKED, DAILY, fault_of
from webapp.store.opening import Store, open_store
from webapp.store.postgres_copy import as_file
from webapp.store.restoring import restore_postgres
from webapp.store.writing import Intent
from webapp.upkeep import Upkeep

pytestmark = pytest.mark.postgres
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def settings(postgres_url: str, tmp_path: Path) -> Settings:
    return Settings(data=tmp_path / "data", database=SecretStr(postgres_url))


@pytest.fixture
def store(settings: Settings) -> Iterator[Store]:
    """A PostgreSQL with a record of every kind in it."""
    with closing(open_store(settings)) as opened:
        opened.save(every_kind(), Intent("first"), DAY)
        yield opened


def suppliers(store: Store) -> set[str]:
    return {one.name for one in store.snapshot(DAY).book.suppliers.values()}


def counts(store: Store) -> dict[str, int]:
    """Rows by table, counted by the database itself."""
    with store._engine.connect() as connection:
        tables = connection.execute(text("SELECT tablename FROM pg_tables WHERE schemaname = 'public'")).scalars().all()
        return {name: connection.execute(text(f'SELECT count(*) FROM "{name}"')).scalar_one() for name in tables}  # noqa: S608


def test_a_backup_holds_every_row_and_costs_the_same(store: Store) -> None:
    made = store.back_up(ASKED, DAY)
    assert made.name.startswith("postgresql-")
    assert fault_of(made.path) == ""
    assert made.facts["rows"] == counts(store)
    assert made.facts["holds"]["supplier"] == len(suppliers(store))
    done = drill(store.shelf)
    assert (done.fault, done.same, done.name) == ("", True, made.name)
    now = store.snapshot(DAY)
    told = preview_beside(now.reckoning, store.begun, made.path)
    assert told.compared is not None
    assert not told.compared.differs


def test_it_is_made_by_itself_once_a_day(store: Store) -> None:
    upkeep = Upkeep(store)
    upkeep.used(DAY)
    upkeep.wait()
    assert upkeep.trouble == ""
    assert [one.why for one in store.shelf.all()] == [DAILY]


def test_a_restore_brings_all_of_it_back_and_is_taken_back_itself(store: Store) -> None:
    store.devices.set_passphrase("leaked", NOON, all_out=False)
    before, names = counts(store), suppliers(store)
    made = store.back_up(ASKED, DAY)
    read = store.snapshot(DAY)
    saved(store, Put(b.Supplier(-1, "Later")))
    store.devices.set_passphrase("new", NOON, all_out=False)
    door = store.devices.door()
    with pytest.raises(Stale):
        store.restore(made.path, DAY, (read.epoch, read.version))
    assert "Later" in suppliers(store)
    done = store.restore(made.path, DAY)
    assert counts(store) == before
    assert store.devices.door() == door  # one that was changed since does not come back
    assert suppliers(store) == names
    assert store.snapshot(DAY).epoch == done.epoch != read.epoch
    saved(store, Put(b.Supplier(-1, "After it")))  # new things are numbered behind the old ones
    assert suppliers(store) == names | {"After it"}
    store.restore(store.shelf.find(done.before).path, DAY)
    assert suppliers(store) == names | {"Later"}


def test_a_restore_that_fails_leaves_the_data(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    made = store.back_up(ASKED, DAY)
    read = store.snapshot(DAY)
    saved(store, Put(b.Supplier(-1, "Later")))
    before = counts(store)
    refused = IntegrityError("INSERT", None, Exception("the database refuses it"))
    for failure, words in ((BackupFailed(), None), (refused, "put back")):
        with monkeypatch.context() as broken:
            broken.setattr(postgres_copy, "_count_on", failing(failure))
            with pytest.raises(BackupFailed, match=words):
                store.restore(made.path, DAY)
        assert counts(store) == before
    with pytest.raises(NotFound):
        store.restore(made.path.with_name("none.db"), DAY)
    with pytest.raises(Stale):  # saved by another process while this one backed up the present
        restore_postgres(store.shelf, store._engine, made.path, DAY, (read.epoch, read.version))
    assert counts(store) == before
    made.path.write_bytes(made.path.read_bytes()[:-1])
    with pytest.raises(BackupFailed):
        store.restore(made.path, DAY)
    assert counts(store) == before


def test_whoever_asks_in_the_midst_of_a_restore_is_told_that_the_data_is_busy(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It waits for the emptied tables, and sees them as of a moment at which they were neither full nor filled."""
    made, answers = store.back_up(ASKED, DAY), list[object]()

    def look() -> None:
        try:
            answers.append(store.snapshot(DAY))
        except Problem as problem:
            answers.append(problem)

    asking = threading.Thread(target=look)
    door_as_it_is = postgres_copy._door_as_it_is

    def meanwhile(target: Connection, door: RowMapping | None) -> None:
        asking.start()
        waits = text("SELECT count(*) FROM pg_locks WHERE NOT granted AND relation = 'ledger'::regclass")
        while not target.execute(waits).scalar_one():
            assert asking.is_alive(), "it did not wait"
        door_as_it_is(target, door)

    monkeypatch.setattr(postgres_copy, "_door_as_it_is", meanwhile)
    store.restore(made.path, DAY)
    asking.join(60)
    assert [type(one) for one in answers] == [Busy]
    assert store.snapshot(DAY).book.suppliers


def test_rows_that_do_not_arrive_are_noticed(store: Store, postgres_url: str) -> None:
    """The database itself lets no supplier in."""
    made, before = store.back_up(ASKED, DAY), counts(store)
    tell_postgres(
        postgres_url,
        "CREATE FUNCTION lost() RETURNS trigger AS 'BEGIN RETURN NULL; END' LANGUAGE plpgsql",
        "CREATE TRIGGER lost BEFORE INSERT ON supplier FOR EACH ROW EXECUTE FUNCTION lost()",
    )
    with pytest.raises(BackupFailed, match="does not hold what the database does"):
        store.restore(made.path, DAY)
    assert counts(store) == before


def test_many_prices_are_not_stored_where_no_backup_can_be_made(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.store.backups.make_backup", failing(OSError(28, "full")))
    with pytest.raises(DiskFull):
        store.back_up(ASKED, DAY)


def count_of(url: str) -> int:
    engine = doors.postgres_engine(url)
    with engine.connect() as connection:
        found = connection.execute(text("SELECT count(*) FROM thing")).scalar_one()
    engine.dispose()
    return int(found)


def made_older(url: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """Have an empty database be of the layout before the present one; which that is."""
    upgrade, older = alembic.upgrade, migrations.KNOWN[-2]
    with monkeypatch.context() as first:
        first.setattr(alembic, "upgrade", lambda config, _: upgrade(config, older))
        engine = doors.postgres_engine(url)
        migrations.upgrade(engine)
        engine.dispose()
    return older


@pytest.mark.parametrize("ahead", [10, -10])
def test_the_backup_before_its_layout_is_changed_is_the_newest_whatever_the_clock_says(
    settings: Settings, postgres_url: str, monkeypatch: pytest.MonkeyPatch, ahead: int
) -> None:
    """As many as are kept at least were made by a right clock; that one is of ten years before them, or behind."""
    with closing(open_store(settings)) as store:
        before = [store.back_up(ASKED, DAY).name for _ in range(LAST)]
    empty_postgres(postgres_url)
    made_older(postgres_url, monkeypatch)

    class Wrong(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> Self:
            return super().now(tz) + timedelta(days=365 * ahead)

    with monkeypatch.context() as wrong:
        wrong.setattr("webapp.store.backups.datetime", Wrong)
        with closing(open_store(settings)) as store:
            assert store.shelf.all()[0].why == f"before-{migrations.HEAD}"
    with closing(open_store(settings)) as store:
        newest, *others = store.shelf.all()
        assert (newest.why, newest.number, fault_of(newest.path)) == (f"before-{migrations.HEAD}", LAST + 1, "")
        assert {one.name for one in others} <= {*before}
        store.back_up(ASKED, DAY)
        assert newest.name in [one.name for one in store.shelf.all()]


def test_its_layout_is_changed_only_after_a_backup(
    settings: Settings, postgres_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    older = made_older(postgres_url, monkeypatch)
    tell_postgres(postgres_url, "INSERT INTO thing VALUES (41, 'supplier')")
    held = count_of(postgres_url)
    engine = doors.postgres_engine(postgres_url)
    with as_file(engine) as file:
        assert examine_file(file)["schema"] == older
    engine.dispose()
    with monkeypatch.context() as full:
        full.setattr("webapp.store.backups.make_backup", failing(OSError(28, "full")))
        with pytest.raises(CannotStart, match="was not changed"):
            open_store(settings)
    with closing(open_store(settings)) as store:
        made = store.shelf.all()
        assert [one.why for one in made] == [f"before-{migrations.HEAD}"]
        assert (made[0].facts["schema"], made[0].facts["rows"]["thing"]) == (older, held)


def test_by_command(
    store: Store, settings: Settings, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("BRIMFUL_DATABASE", settings.database.get_secret_value() if settings.database else "")
    data = ["--data", str(settings.data)]
    assert cli.main(["backup", *data]) == 0
    name = store.shelf.all()[0].name
    saved(store, Put(b.Supplier(-1, "Later")))
    assert cli.main(["backups", *data]) == 0
    assert cli.main(["drill", *data]) == 0
    assert cli.main(["restore", name, *data]) == cli.CANNOT_START
    assert "Later" in suppliers(store)
    assert cli.main(["restore", name, "--yes", *data]) == 0
    assert "supplier: " in capsys.readouterr().out
    assert "Later" not in suppliers(store)


def test_old_ones_go_as_those_of_a_file_do(store: Store) -> None:
    start = store.shelf.clock()
    for days in range(12):
        store.shelf.clock = lambda days=days: start - timedelta(days=400) + timedelta(minutes=days)  # type: ignore[misc]
        store.back_up(ASKED, DAY)
    assert len(store.shelf.all()) == 10
