"""Bringing a thing back is dated as putting it away is: a row says which of the two it was."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Every row until now put something away."""
    op.add_column("retired", sa.Column("away", sa.Boolean(), nullable=False, server_default=sa.true()))
