"""Wrong tries are counted in the store, and the door can be shut to the network for a while."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """No try was counted here so far, and no door shut."""
    op.create_table(
        "tries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("peer", sa.String(), nullable=False),
        sa.Column("wrong", sa.Integer(), nullable=False),
        sa.Column("last", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_tries"),
        sa.UniqueConstraint("peer", name="uq_tries_peer"),
    )
    op.add_column("door", sa.Column("shut", sa.String(20), nullable=True))
