"""A table for what-ifs that are kept under a name."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """None is kept so far: the table is empty."""
    op.create_table(
        "what_if",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("texts", sa.String(), nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_what_if"),
        sa.UniqueConstraint("name_key", name="uq_what_if_name_key"),
    )
