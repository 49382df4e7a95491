"""Opening the store: the right file, whole, of this program and not newer; or a sentence that says what to do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError

from webapp.costing.book import Book
from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw
from webapp.costing.everything import Beside, Everything
from webapp.costing.material_history import MOST_DAYS
from webapp.errors import Busy, CannotStart, NotYet, Problem, Stale
from webapp.settings import Settings
from webapp.store import data_file, migrations, restores, verdicts
from webapp.store import engine as doors
from webapp.store.ahead import not_yet
from webapp.store.aspects import Identity
from webapp.store.at_rest import NEW, AtRest, Rest, look
from webapp.store.backup_book import begun
from webapp.store.backups import Backup, Shelf, troubles
from webapp.store.beside import kept_beside
from webapp.store.checking import examine
from webapp.store.data_file import create, examine_data, migrate
from webapp.store.devices import Devices
from webapp.store.difference import completed
from webapp.store.drafts import Draft, Turn, drafts_in
from webapp.store.everything import everything_of
from webapp.store.history import Gone, Past, change_of, facts_of, gone_of, history_of, newest_changes
from webapp.store.lately import Lately, StoredPrice, lately, saved_in
from webapp.store.past_days import Leaning, PastBooks, books_of_days
from webapp.store.postgres_copy import as_file
from webapp.store.refusing import missing, newer, rest_line
from webapp.store.restoring import Restored, restore, restore_postgres
from webapp.store.snapshots import Reader, Snapshot
from webapp.store.verdicts import KeptVerdict
from webapp.store.what_ifs import KeptWhatIf, kept_in
from webapp.store.writing import Intent, Saved, Writer

Found = TypeVar("Found")
FILE = data_file.FILE
#: what the backups of a PostgreSQL are named by, in the folder of the data
POSTGRES = "postgresql.db"


class Store:
    """The data of one workshop: read as snapshots, changed by saving and undoing. Threads may share it."""

    def __init__(self, engine: Engine, shelf: Shelf, rest: Rest | None = None) -> None:
        self._engine, self._shelf, self._rest = engine, shelf, rest
        self._reader = Reader(engine)
        touch = rest.disturb if rest else None
        self._writer = Writer(engine, self._reader, shelf.before_storing, touch)
        self.devices = Devices(engine, self._writer.beside)

    @property
    def shelf(self) -> Shelf:
        """The backups."""
        return self._shelf

    @property
    def is_file(self) -> bool:
        """Whether the data is a file, and no PostgreSQL."""
        return self._rest is not None

    @property
    def begun(self) -> str:
        """The moment of the first change, by which this data is told from other; "" where there is none yet."""
        with doors.situations():
            return begun(self._engine)

    def back_up(self, why: str, today: date) -> Backup:
        """A backup before something that changes much. What it raises is to keep that from it."""
        return self._shelf.make(why, today)

    def restore(self, backup: Path, today: date, read_at: tuple[str, int] | None = None) -> Restored:
        """Put a backup in the place of the data. Stale where it moved on from the epoch and version of `read_at`."""
        shelf = self.shelf
        with self._writer.held():
            live = self._reader.live()
            if read_at is not None and read_at != (live.epoch, live.version):
                raise Stale(read_at=read_at[1], now=live.version)
            if self._rest is None:
                return restore_postgres(shelf, self._engine, backup, today, read_at)
            self._rest.disturb()
            done = restore(shelf, backup, today, self._engine.dispose)
            self._rest.replaced()
            return done

    @property
    def at_rest(self) -> AtRest:
        """Whether the data was as it had been left when it was opened; a PostgreSQL sees to that itself."""
        return self._rest.found if self._rest else AtRest(NEW)

    def accept_change(self) -> None:
        """What was changed from outside was meant. ReadOnly or DiskFull where that can't be noted."""
        if self._rest is not None:
            with self._writer.held(), troubles():
                self._rest.accept()

    def snapshot(self, day: date, version: int | None = None) -> Snapshot:
        """The book of `day`; with `version`, as it was known then (only to look at)."""
        return self._reader.snapshot(day, version)

    def save(self, changes: Change | Sequence[Change], intent: Intent, today: date) -> Saved:
        """Store changes together, or raise what keeps them from being stored (see `webapp.errors`)."""
        several = (changes,) if isinstance(changes, Put | Retire | Restore | Withdraw) else tuple(changes)
        return self._writer.save(several, intent, today)

    def take_over(
        self,
        changes: Sequence[Change],
        intent: Intent,
        today: date,
        check: Callable[[Book], None],
        beside: Callable[[Mapping[int, int]], Beside] = lambda _: Beside(),
    ) -> Saved:
        """Store very many changes as one, as from a file; what `check` and `beside` are, `Writer.take_over` says."""
        return self._writer.take_over(changes, intent, today, check, beside)

    def everything(self) -> Everything:
        """All that holds, whatever the day, and what is kept beside it."""
        return replace(everything_of(self._reader.live()), beside=self._ask(kept_beside))

    def completed(self, change: Change, day: date) -> Change:
        """`change` with what a book of `day` cannot know, so that trying it gives what storing it would."""
        return completed(self._reader.live(), change, day)

    def undo(self, change: int, intent: Intent, today: date) -> Saved:
        """Store the opposite of a change. Conflict, naming the later change, where its rows moved on."""
        return self._writer.undo(change, intent, today)

    def history(self, kind: str, identity: Identity) -> tuple[Past, ...]:
        """Every change of a thing or pair, newest first."""
        return self._ask(history_of, kind, identity)

    def gone(self, kind: str, most: int) -> tuple[Gone, ...]:
        """The things of a kind that were taken back, the one that went last first, each with its changes."""
        return self._ask(gone_of, kind, most)

    def not_yet(self, kind: str, identity: int, today: date) -> NotYet | None:
        """Why a thing of a day ahead cannot be put away; None for any other."""
        return not_yet(self.facts(kind, identity), self.history(kind, identity), today)

    def changes(self, most: int = 50) -> tuple[Past, ...]:
        """The newest changes of all."""
        return self._ask(newest_changes, most)

    def lately(self, most: int, before: int | None = None) -> tuple[Lately, ...]:
        """The newest changes with their prices and what holds up their undo; with `before` only older ones."""
        return self._ask(lately, most, before)

    def restored(self) -> tuple[restores.Stands, ...]:
        """Every restore that is noted, the last first, and the change that it stands behind."""
        return restores.noted_in(self.shelf.folder, self._ask)

    def saved_in(self, version: int) -> tuple[Past, tuple[StoredPrice, ...], tuple[StoredPrice, ...]] | None:
        """One change, the prices stored with it, and those of an order that it took back which hold all the same."""
        return self._ask(saved_in, version)

    def change_of(self, token: str) -> int | None:
        """The change that was stored with a token; None where there is none."""
        return self._ask(change_of, token)

    def facts(self, kind: str, identity: Identity) -> tuple[object, ...]:
        """The dated facts of a thing or pair that hold now, newest first."""
        return facts_of(self._reader.live(), kind, identity)

    def facts_of_all(self, kind: str, identities: Iterable[Identity]) -> dict[Identity, tuple[object, ...]]:
        """The same of several at once, at one version of the ledger, in no more statements than one takes."""
        live = self._reader.live()
        return {identity: facts_of(live, kind, identity) for identity in identities}

    def keep_draft(self, draft: Draft, token: str, turn: Turn | None = None) -> bool:
        """Keep a half-entered form (`Beside.keep_draft`); the oldest go. No change is made."""
        return self._writer.keep_draft(draft, token, turn)

    def drop_draft(self, form: str, turn: Turn | None = None) -> None:
        """Forget what was half entered in a form, unless its page said something later (by `turn`) meanwhile."""
        self._writer.drop_draft(form, turn)

    def drafts(self, page: str = "", kinds: Sequence[str] = ()) -> tuple[Draft, ...]:
        """What is half entered on a page, or of some kinds; the one that was typed last first."""
        return self._ask(drafts_in, datetime.now(UTC), page, kinds)

    def keep_what_if(self, name: str, rows: Sequence[Any] | None, ident: int | None = None) -> int:
        """Keep a what-if under a name, a new one or in place of `ident` (`rows` None: only its name); its number."""
        return self._writer.keep_what_if(name, rows, ident)

    def drop_what_if(self, ident: int) -> None:
        """Throw a kept what-if away."""
        self._writer.drop_what_if(ident)

    def what_ifs(self) -> tuple[KeptWhatIf, ...]:
        """All what-ifs that are kept, by name."""
        return self._ask(kept_in)

    def keep_verdict(
        self, thing: int, day: date, sentence: str, question: Mapping[str, Any], figures: Mapping[str, Any]
    ) -> int:
        """Keep a verdict as a note, its figures as `size_figures.kept_figures` has them, once; its number."""
        return self._writer.keep_verdict(verdicts.columns_of(thing, day, sentence, question, figures))

    def drop_verdict(self, thing: int, ident: int) -> None:
        """Throw a kept verdict away; the last few can be kept again."""
        self._writer.drop_verdict(thing, ident)

    def keep_verdict_again(self, thing: int, ident: int) -> None:
        """Keep one again that was thrown away."""
        self._writer.keep_verdict_again(thing, ident)

    def verdicts(self, thing: int) -> tuple[KeptVerdict, ...]:
        """What is kept of a product or a formula, the newest first."""
        return self._ask(verdicts.kept_in, thing)

    def verdict(self, ident: int, *, thrown: bool = False) -> KeptVerdict:
        """One kept verdict, or one that was thrown away. NotFound where it is none."""
        return self._ask(verdicts.one_in, ident, thrown=thrown)

    def books_of_days(self, snapshot: Snapshot, leaning: Leaning, most: int = MOST_DAYS) -> PastBooks:
        """The books of days up to the snapshot's on which something changed (see `past_days`), in one statement."""
        live = self._reader.live()
        book = snapshot.book if live.version == snapshot.version else self._reader.book(live, snapshot.book.day)
        return books_of_days(live, book, leaning, most)

    def _ask(self, ask: Callable[..., Found], *args: Any, **more: Any) -> Found:
        """What is read in one transaction."""
        with doors.reading_situations(), doors.reading(self._engine).connect() as connection, connection.begin():
            return ask(connection, *args, **more)

    def start_counting(self) -> Callable[[], int]:
        """Count the SQL statements of this request."""
        return doors.start_counting()

    def close(self) -> None:
        """Give back every connection, and note what the file is where this store wrote it."""
        if self._rest is None:
            self._engine.dispose()
            return
        with suppress(Busy), self._writer.held():  # what still writes leaves no checksum behind
            self._engine.dispose()
            self._rest.settle()


def open_store(settings: Settings, *, alone: bool = False, anew: bool = False) -> Store:
    """The store of `settings`, made or migrated where needed. CannotStart with a sentence where that can't be.

    `alone`: nobody else has it open or will until it is closed. `anew`: make it also where there are backups of it.
    """
    if settings.database is not None:
        most = max(4, doors.MOST_CONNECTIONS * 2 // (settings.workers + 1))
        return _open_postgres(settings.database.get_secret_value(), settings.data, most)
    path = settings.data / FILE
    try:
        settings.data.mkdir(parents=True, exist_ok=True)
        shelf, found = Shelf(path), AtRest(NEW)
        if path.exists():
            found = look(shelf)
        elif anew or not shelf.all():
            create(path)
        else:
            raise missing(path)
        revision = examine_data(path, whole=found.is_changed)
        rest = Rest(shelf, found, alone=alone)
        engine = doors.sqlite_engine(path)
        if revision != migrations.HEAD:
            migrate(engine, path, revision, rest.disturb)
    except OSError as failure:
        raise CannotStart(
            f"The folder {settings.data} can't be used ({failure.strerror}). See that it can be written to, or choose "
            "another with --data."
        ) from failure
    return Store(engine, shelf, rest)


def _open_postgres(address: str, folder: Path, most: int) -> Store:
    engine = doors.postgres_engine(address, most)
    shelf = Shelf(folder / POSTGRES, source=lambda: as_file(engine))
    try:
        with engine.connect() as connection, connection.begin():
            revision = migrations.revision_of(connection)
        if revision is not None and revision not in migrations.KNOWN:
            raise newer("The PostgreSQL database")
        if revision != migrations.HEAD:
            if revision is not None:
                shelf.make(f"before-{migrations.HEAD}", date.today())  # noqa: DTZ011 - the maker's own day is meant
            migrations.upgrade(engine)
    except Problem as problem:
        engine.dispose()
        raise CannotStart(f"The layout of the PostgreSQL database was not changed. {problem.sentence}") from problem
    except SQLAlchemyError as failure:
        engine.dispose()
        raise CannotStart(
            "The PostgreSQL database can't be used. See that it runs and that BRIMFUL_DATABASE is right."
        ) from failure
    except CannotStart:
        engine.dispose()
        raise
    return Store(engine, shelf)


def accept_as_it_is(settings: Settings) -> None:
    """Have the file as it lies there be what it is meant to be. Nobody else may have it open.

    CannotStart where it is damaged, missing, or nothing can be written there.
    """
    if settings.database is not None:
        return
    store = open_store(settings, alone=True)
    try:
        store.accept_change()
    except Problem as problem:
        raise CannotStart(problem.sentence) from None
    finally:
        store.close()


def check(settings: Settings, *, tables: bool = False) -> tuple[list[str], bool]:
    """What there is to say about the data, line by line, and whether it is whole. Nothing is made or migrated."""
    if settings.database is not None:
        engine = doors.postgres_engine(settings.database.get_secret_value())
        return _checked(engine, "a PostgreSQL database", tables=tables)
    path = settings.data / FILE
    shelf = Shelf(path)
    if not path.exists():
        if shelf.all():
            return [str(missing(path))], False
        return [f"There is no data in {settings.data} yet; the first start makes it."], True
    found = look(shelf)
    try:
        examine_data(path)
    except CannotStart as reason:
        return [str(reason)], False
    lines, whole = _checked(doors.sqlite_engine(path), str(path), tables=tables)
    return [*lines, rest_line(found, path)], whole and not found.is_changed


def _checked(engine: Engine, where: str, *, tables: bool) -> tuple[list[str], bool]:
    try:
        return examine(engine, where, tables=tables)
    except (Problem, SQLAlchemyError):
        return [f"The data in {where} can't be read just now."], False
    finally:
        engine.dispose()
