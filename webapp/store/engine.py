"""Connections: how each database is spoken to, and its failures as our own situations.

SQLite: journal TRUNCATE with synchronous FULL, the pair that lost nothing in simulated power cuts; transactions are
begun by us, for writers at once as IMMEDIATE, because a reader cannot become a writer later without failing.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from webapp.errors import Busy, CannotStart, Damaged, DiskFull, Problem, ReadOnly, Unreadable

APPLICATION_ID = 0x42524D46
BUSY_SECONDS = 5
MOST_CONNECTIONS = 30
_POSTGRES_BY = "postgresql+psycopg://"
_NO_ADDRESS = f"That is no address of a PostgreSQL database. Write it as {_POSTGRES_BY}NAME@MACHINE/DATABASE"
_PRAGMAS = (
    f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}",
    "PRAGMA journal_mode = TRUNCATE",
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
)
_SQLITE: dict[int, type[Problem]] = {
    5: Busy,
    6: Busy,
    8: ReadOnly,
    14: ReadOnly,
    13: DiskFull,
    10: ReadOnly,
    11: Damaged,
    26: Damaged,
}
_POSTGRES: dict[str, type[Problem]] = {
    "53100": DiskFull,
    "25006": ReadOnly,
    "57014": Busy,
    "55P03": Busy,
    "40P01": Busy,
    "40001": Busy,
    "53300": Busy,
}
_counted: ContextVar[list[int] | None] = ContextVar("statements", default=None)


def sqlite_engine(path: Path) -> Engine:
    """An engine for the file at `path`."""
    engine = create_engine(
        f"sqlite:///{path}",
        pool_size=10,
        max_overflow=40,
        pool_timeout=BUSY_SECONDS,
        connect_args={"check_same_thread": False, "timeout": BUSY_SECONDS},
    )
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return _counting(engine)


def postgres_engine(address: str, most: int = MOST_CONNECTIONS) -> Engine:
    """An engine for a PostgreSQL database, with `most` connections; statements that take too long are stopped there.

    CannotStart for what is no address of one, and where the package that speaks to it is missing.
    """
    if address.startswith(("postgres://", "postgresql://")):
        address = _POSTGRES_BY + address.split("://", 1)[1]
    if not address.startswith(_POSTGRES_BY):
        raise CannotStart(_NO_ADDRESS)
    options = f"-c statement_timeout={BUSY_SECONDS * 4000} -c lock_timeout={BUSY_SECONDS * 1000}"
    try:
        engine = create_engine(
            address,
            pool_pre_ping=True,
            pool_size=min(10, most),
            max_overflow=max(most - 10, 0),
            pool_timeout=BUSY_SECONDS,
            connect_args={"options": options, "connect_timeout": BUSY_SECONDS},
        )
    except ArgumentError:
        raise CannotStart(_NO_ADDRESS) from None  # it may hold a password
    except ModuleNotFoundError as missing:
        raise CannotStart("A PostgreSQL needs one package more: pip install -e '.[postgres]'") from missing
    return _counting(engine)


def _prepare(raw: Any, record: Any) -> None:
    del record
    raw.isolation_level = None
    for pragma in _PRAGMAS:
        raw.execute(pragma).close()


def _begin(connection: Connection) -> None:
    way = connection.get_execution_options().get("begin", "DEFERRED")
    connection.exec_driver_sql(f"BEGIN {way}")


def reading(engine: Engine) -> Engine:
    """The same engine for reads: everything in one transaction is seen as at one moment."""
    if engine.dialect.name == "sqlite":
        return engine.execution_options(begin="DEFERRED")
    return engine.execution_options(isolation_level="REPEATABLE READ")


def writing(engine: Engine) -> Engine:
    """The same engine for writes: SQLite takes its lock at once; PostgreSQL waits at the ledger's row."""
    if engine.dialect.name == "sqlite":
        return engine.execution_options(begin="IMMEDIATE")
    return engine.execution_options(isolation_level="READ COMMITTED")


def _counting(engine: Engine) -> Engine:
    event.listen(engine, "before_cursor_execute", _count)
    return engine


def _count(*_: Any) -> None:
    counter = _counted.get()
    if counter is not None:
        counter[0] += 1


def start_counting() -> Callable[[], int]:
    """Count SQL statements from here on in this context; threads that take it over count along."""
    counter = [0]
    _counted.set(counter)
    return lambda: counter[0]


@contextmanager
def reading_situations() -> Iterator[None]:
    """The same for whoever only reads: that may be after a save, so nothing is said of what was changed."""
    try:
        with situations():
            yield
    except Busy as busy:
        raise Busy("The data is busy just now; try again in a few seconds.") from busy
    except (ReadOnly, DiskFull, Damaged) as failure:
        raise Unreadable from failure


@contextmanager
def situations() -> Iterator[None]:
    """Turn failures of the database into Busy, ReadOnly or DiskFull; anything else stays what it is."""
    try:
        yield
    except PoolTimeout as late:
        raise Busy from late
    except DBAPIError as failure:
        found = situation_of(failure)
        if found is None:
            raise
        raise found() from failure
    except OSError as failure:
        if failure.errno != errno.ENOSPC:
            raise
        raise DiskFull from failure


def make_lasting(engine: Engine) -> None:
    """Ask the disk once more to keep what is written. ReadOnly, told as it is, where it does not.

    PostgreSQL sees to that itself.
    """
    if engine.dialect.name != "sqlite":
        return
    try:
        for path in (Path(str(engine.url.database)), Path(f"{engine.url.database}-journal")):
            with path.open("rb+") as file:
                os.fsync(file.fileno())
    except OSError as failure:
        raise ReadOnly(
            "It was written, but the disk reported a fault, so it may be lost when the computer stops. Look whether it "
            "is there before you enter it again, and make a backup on another disk."
        ) from failure


def situation_of(failure: DBAPIError) -> type[Problem] | None:
    """The situation that a failure of the database means; None for one that is a fault of the program."""
    origin: Any = failure.orig
    if (code := getattr(origin, "sqlite_errorcode", None)) is not None:
        return _SQLITE.get(code & 0xFF)
    if (state := getattr(origin, "sqlstate", None)) is not None:
        return _POSTGRES.get(state)
    return Busy if failure.connection_invalidated or isinstance(failure, OperationalError) else None
