"""A table for what was found out about another size of a product, kept as a dated note on it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """None is kept so far: the table is empty."""
    op.create_table(
        "verdict",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("product", sa.Integer(), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("sentence", sa.String(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("figures", sa.String(), nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.ForeignKeyConstraint(["product"], ["thing.id"], name="fk_verdict_product_thing"),
        sa.PrimaryKeyConstraint("id", name="pk_verdict"),
    )
    op.create_index("ix_verdict_product", "verdict", ["product"])
