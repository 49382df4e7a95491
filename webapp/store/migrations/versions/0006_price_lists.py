"""What stands on a price list: jars in a case, the least order and the terms of a channel, the workshop's contact."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nothing of it was said so far."""
    op.add_column("workshop", sa.Column("contact", sa.String(), nullable=False, server_default=""))
    amount("product_content", "case_jars")
    amount("channel_content", "least_order")
    op.add_column("channel_content", sa.Column("list_terms", sa.String(), nullable=False, server_default=""))


def amount(table: str, name: str) -> None:
    """A whole number or nothing. SQLite takes any kind of value unless a check stands in the column itself."""
    if op.get_bind().dialect.name != "sqlite":
        op.add_column(table, sa.Column(name, sa.BigInteger(), nullable=True))
        return
    rule = f"CONSTRAINT ck_{table}_{name}_whole CHECK (typeof(\"{name}\") IN ('integer', 'null'))"
    op.execute(f'ALTER TABLE {table} ADD COLUMN "{name}" BIGINT {rule}')
