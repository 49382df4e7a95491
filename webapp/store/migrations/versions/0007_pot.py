"""How much of a formula the pot takes: the largest batch that can be made at once."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

TABLE, NAME = "formula_content", "pot_grams"


def upgrade() -> None:
    """It was not said so far. SQLite takes any kind of value unless a check stands in the column itself."""
    if op.get_bind().dialect.name != "sqlite":
        op.add_column(TABLE, sa.Column(NAME, sa.BigInteger(), nullable=True))
        return
    rule = f"CONSTRAINT ck_{TABLE}_{NAME}_whole CHECK (typeof(\"{NAME}\") IN ('integer', 'null'))"
    op.execute(f'ALTER TABLE {TABLE} ADD COLUMN "{NAME}" BIGINT {rule}')
