"""What the migrations have to arrive at: all tables with their checks and indexes.

Rows are read and written without these, and SQLAlchemy loads its whole PostgreSQL part to understand the first of
these indexes. That is a twentieth of a start, so only migrations and their tests ask for them.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from sqlalchemy import Index, MetaData, text
from sqlmodel import SQLModel

from webapp.store.columns import hold_whole_numbers
from webapp.store.families import Named, key_of
from webapp.store.tables import HELD


@cache
def metadata() -> MetaData:
    """Every table; those that are made and ended have their checks, and "one row at a time" where rows hold now."""
    holds = text("ended_in IS NULL")
    live: dict[str, Any] = {"unique": True, "sqlite_where": holds, "postgresql_where": holds}
    for name, row in HELD.items():
        table = SQLModel.metadata.tables[name]
        hold_whole_numbers(table)
        Index(f"one_{name}", *(table.c[column] for column in key_of(row)), **live)
        if issubclass(row, Named):
            Index(f"one_name_{name}", table.c.name_key, **live)
    return SQLModel.metadata
