"""A table for what was typed and not saved yet."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """One row a half-entered form."""
    op.create_table(
        "draft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("form", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("page", sa.String(), nullable=False),
        sa.Column("texts", sa.String(), nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.Column("epoch", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_draft"),
        sa.UniqueConstraint("form", name="uq_draft_form"),
    )
