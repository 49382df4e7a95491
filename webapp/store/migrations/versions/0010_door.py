"""Tables for the passphrase and the devices of the workshop's network."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nobody is let in so far: both tables are empty."""
    op.create_table(
        "door",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("installation", sa.String(), nullable=False),
        sa.Column("passphrase", sa.String(), nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_door"),
    )
    op.create_table(
        "device",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("token", sa.String(), nullable=True),
        sa.Column("link", sa.String(), nullable=True),
        sa.Column("until", sa.String(20), nullable=True),
        sa.Column("at", sa.String(20), nullable=False),
        sa.Column("seen", sa.String(10), nullable=True),
        sa.Column("gone", sa.String(20), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_device"),
        sa.UniqueConstraint("token", name="uq_device_token"),
        sa.UniqueConstraint("link", name="uq_device_link"),
    )
