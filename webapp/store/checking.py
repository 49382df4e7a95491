"""Is the data whole, and where is it? For the command line; nothing is changed."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, Engine, func, inspect, select

from webapp.store import engine as doors
from webapp.store import migrations
from webapp.store.families import LedgerRow

LEDGER = LedgerRow.__table__  # type: ignore[attr-defined]


def examine(engine: Engine, where: str, *, tables: bool) -> tuple[list[str], bool]:
    """What there is to say about the data, line by line, and whether it is whole."""
    with doors.situations(), doors.reading(engine).connect() as connection, connection.begin():
        revision = migrations.revision_of(connection)
        faults = _faults(connection)
        lines = [f"Your data is in {where}.", f"Its layout is version {revision}; this program's is {migrations.HEAD}."]
        if revision == migrations.HEAD:
            epoch, version = connection.execute(select(LEDGER.c.epoch, LEDGER.c.version)).one()
            lines.append(f"{version} changes were made to it (data {epoch}).")
        else:
            lines.append("The next start brings it up to date, after a backup.")
        if tables:
            lines += _row_counts(connection)
    return [*lines, *(faults or ["It is whole."])], not faults


def is_up_to_date(path: Path) -> bool:
    """Whether there is a data file of this very layout, which opening leaves as it is."""
    if not path.exists():
        return False
    engine = doors.sqlite_engine(path)
    try:
        with doors.reading_situations(), doors.reading(engine).connect() as connection, connection.begin():
            return migrations.revision_of(connection) == migrations.HEAD
    finally:
        engine.dispose()


def _faults(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return []
    found = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check(5)") if row[0] != "ok"]
    faults = [f"It is damaged: {one}." for one in found]
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        faults.append("It refers to something that is not there.")
    return faults


def _row_counts(connection: Connection) -> list[str]:
    lines = []
    for name in sorted(inspect(connection).get_table_names()):
        table = LedgerRow.metadata.tables.get(name)
        if table is not None:
            count = connection.execute(select(func.count()).select_from(table)).scalar_one()
            lines.append(f"  {name}: {count} rows")
    return lines
