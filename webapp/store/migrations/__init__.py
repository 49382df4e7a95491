"""Migrations, shipped in the package. The migration tool is imported only when there is something to do."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, inspect, text

from webapp.store.engine import APPLICATION_ID

FOLDER = Path(__file__).parent
#: Every revision that this program knows, oldest first: files are named 0001_what_for.py.
KNOWN: tuple[str, ...] = tuple(sorted(path.name[:4] for path in (FOLDER / "versions").glob("[0-9]*.py")))
HEAD = KNOWN[-1] if KNOWN else ""


def revision_of(connection: Connection) -> str | None:
    """The schema's revision; None where there is none."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one_or_none()


def upgrade(engine: Engine, to: str = HEAD) -> None:
    """Bring the schema to HEAD (a new SQLite file also to an older revision), all of it or nothing.

    SQLite rebuilds tables to change them; with foreign keys on that would empty the tables that refer to them, so
    they are off meanwhile and checked before the end.
    """
    if engine.dialect.name != "sqlite":
        with engine.connect() as connection, connection.begin():
            upgrade_within(connection)
        return
    immediate = engine.execution_options(begin="IMMEDIATE")
    with immediate.connect() as connection:
        raw: Any = connection.connection.dbapi_connection
        raw.execute("PRAGMA foreign_keys = OFF").close()
        try:
            with connection.begin():
                _run(connection, to)
                connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
                if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
                    raise RuntimeError("A migration would break references.")
        finally:
            raw.execute("PRAGMA foreign_keys = ON").close()


def upgrade_within(connection: Connection) -> None:
    """Bring a PostgreSQL to HEAD in the transaction of `connection`; whoever else would waits until that ends."""
    connection.execute(text("SELECT pg_advisory_xact_lock(1112691270)"))
    if revision_of(connection) != HEAD:
        _run(connection)


def configuration() -> Any:
    """The migration tool's configuration, without a file."""
    from alembic.config import Config  # noqa: PLC0415 - 0.2 s that a start without a migration does not need

    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _run(connection: Connection, to: str = HEAD) -> None:
    from alembic import command  # noqa: PLC0415 - as above

    config = configuration()
    config.attributes["connection"] = connection
    command.upgrade(config, to)
