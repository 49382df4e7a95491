"""PostgreSQL databases for tests: one a process, emptied, or as it is when new."""

from __future__ import annotations

import os
from typing import Any, NamedTuple

import pytest
from pydantic import SecretStr

from webapp.settings import Settings
from webapp.store.opening import open_store

#: what a database is made of: whatever is made, dropped or changed by a statement changes it
LAYOUT = """SELECT md5(string_agg(told, ' ' ORDER BY told)) FROM (
    SELECT concat_ws(' ', attrelid, attnum, attname, atttypid, attnotnull, attisdropped) AS told
        FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid WHERE relnamespace = 'public'::regnamespace
    UNION ALL SELECT concat_ws(' ', 'has', oid, relname) FROM pg_class WHERE relnamespace = 'public'::regnamespace
    UNION ALL SELECT concat_ws(' ', 'holds', oid) FROM pg_constraint WHERE connamespace = 'public'::regnamespace
    UNION ALL SELECT concat_ws(' ', 'calls', oid, tgenabled) FROM pg_trigger WHERE NOT tgisinternal
) AS everything"""
TABLES = "SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY tablename"
NUMBERING = "SELECT sequencename, last_value, start_value FROM pg_sequences WHERE schemaname = 'public'"
NOBODY_ELSE = (
    "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity "
    "WHERE datname = current_database() AND pid <> pg_backend_pid()"
)


class AsNew(NamedTuple):
    """What brings a database back to how it was when new."""

    layout: str
    emptying: str
    numbering: str
    rows: dict[str, bytes]


#: by the address
_AS_NEW: dict[str, AsNew] = {}


def connected(url: str, *, autocommit: bool = True) -> Any:
    """A connection by the library itself."""
    import psycopg

    return psycopg.connect(url.replace("postgresql+psycopg://", "postgresql://"), autocommit=autocommit)


def tell_postgres(url: str, *statements: str) -> None:
    """Carry out statements on a test's database."""
    with connected(url) as connection:
        for statement in statements:
            connection.execute(statement)


def a_database_each(config: pytest.Config) -> None:
    """Give each process a PostgreSQL database of its own beside the one that was named: tests empty it."""
    worker, url = os.environ.get("PYTEST_XDIST_WORKER"), os.environ.get("BRIMFUL_TEST_POSTGRES")
    if worker and url and hasattr(config, "workerinput"):
        name = f"brimful_test_{worker}"
        tell_postgres(url, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)", f"CREATE DATABASE {name}")
        os.environ["BRIMFUL_TEST_POSTGRES"] = f"{url.rpartition('/')[0]}/{name}"


def empty_postgres(url: str) -> None:
    """Take everything out of the test's database."""
    tell_postgres(url, "DROP SCHEMA public CASCADE", "CREATE SCHEMA public")


def made_new() -> str:
    """The name of a database as it is when new, beside the one that was named."""
    url = os.environ["BRIMFUL_TEST_POSTGRES"]
    made = f"{url}_new"
    name = made.rpartition("/")[2]
    tell_postgres(url, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)", f"CREATE DATABASE {name}")
    open_store(Settings(database=SecretStr(made))).close()
    return name


def copied_postgres(new: str) -> SecretStr:
    """The address of a copy of the new database; the copy before it is gone.

    It is brought back to what it was where that can be done: to copy a database takes longer than most tests.
    """
    url = os.environ["BRIMFUL_TEST_POSTGRES"]
    made = f"{url}_one"
    if not brought_back(made):
        name = made.rpartition("/")[2]
        tell_postgres(url, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)", f"CREATE DATABASE {name} TEMPLATE {new}")
        _AS_NEW[made] = as_new(made)
    return SecretStr(made)


def as_new(url: str) -> AsNew:
    """What a database holds now."""
    with connected(url) as connection:
        layout = connection.execute(LAYOUT).fetchone()[0]
        tables = [name for (name,) in connection.execute(TABLES)]
        numbers = [
            f"setval('\"{name}\"', {start if last is None else last}, {last is not None})"
            for name, last, start in connection.execute(NUMBERING)
        ]
        held = {name: _copied_out(connection, name) for name in tables}
    emptying = "; ".join(f'DELETE FROM "{name}"' for name in tables)  # noqa: S608 - its own names
    return AsNew(layout, emptying, f"SELECT {', '.join(numbers)}", {name: rows for name, rows in held.items() if rows})


def _copied_out(connection: Any, table: str) -> bytes:
    with connection.cursor().copy(f'COPY "{table}" TO STDOUT') as copy:
        return b"".join(bytes(part) for part in copy)


def brought_back(url: str) -> bool:
    """Whether a copy could be made what it was when new: not where it isn't there, or is made of something else."""
    import psycopg

    new = _AS_NEW.get(url)
    if new is None:
        return False
    try:
        with connected(url, autocommit=False) as connection:
            connection.execute(NOBODY_ELSE)
            if connection.execute(LAYOUT).fetchone()[0] != new.layout:
                return False
            connection.execute("SET LOCAL session_replication_role = replica")  # in whatever order they refer
            connection.execute(new.emptying)
            for name, rows in new.rows.items():
                with connection.cursor().copy(f'COPY "{name}" FROM STDIN') as copy:
                    copy.write(rows)
            connection.execute(new.numbering)
    except psycopg.Error:
        return False
    return True
