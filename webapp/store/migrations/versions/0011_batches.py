"""Batches that were made are kept: what was weighed, how many jars were filled, the minutes."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """No batch was kept so far: the tables are empty."""
    _held("batch", ("thing",), sa.Column("day", sa.String(10), nullable=False), _thing("formula"), _words("note"))
    _lines("batch_weighed", _thing("material", True), _thing("formula", True), _amount("planned"), _amount("grams"))
    _lines("batch_filled", _thing("product"), _amount("jars"))
    _lines("batch_spent", _thing("person"), _amount("minutes"))


def _thing(name: str, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=nullable, info={"to": "thing.id"})


def _amount(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger(), nullable=False, info={"whole": True})


def _words(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.String(), nullable=False)


def _lines(name: str, *columns: sa.Column[int]) -> None:
    _held(name, ("thing", "position"), sa.Column("position", sa.Integer(), nullable=False), *columns)


def _held(name: str, key: tuple[str, ...], *columns: sa.Column[int] | sa.Column[str]) -> None:
    """A table whose rows are made and ended, one of a key at a time."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    versions = (sa.Column("made_in", sa.Integer(), nullable=False), sa.Column("ended_in", sa.Integer(), nullable=True))
    for version in versions:
        version.info["to"] = "change.id"
    columns = (*versions, _thing("thing"), *columns)
    rules: list[sa.Constraint] = [sa.PrimaryKeyConstraint("id", name=f"pk_{name}")]
    for column in columns:
        if to := column.info.get("to"):
            rules.append(sa.ForeignKeyConstraint([column.name], [to], name=f"fk_{name}_{column.name}"))
        if sqlite and column.info.get("whole"):
            check = f"typeof(\"{column.name}\") IN ('integer')"
            rules.append(sa.CheckConstraint(check, name=op.f(f"ck_{name}_{column.name}_whole")))
    op.create_table(name, sa.Column("id", sa.Integer(), nullable=False), *columns, *rules)
    op.create_index(f"ix_{name}_made_in", name, ["made_in"])
    op.create_index(f"ix_{name}_ended_in", name, ["ended_in"])
    holds = sa.text("ended_in IS NULL")
    op.create_index(f"one_{name}", name, list(key), unique=True, sqlite_where=holds, postgresql_where=holds)
