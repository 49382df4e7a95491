"""What pages say of what is half entered is numbered, so that what comes late counts no more."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nothing was heard so far: a page that is open is heard from its next word on."""
    op.create_table(
        "heard",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sender", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_heard"),
        sa.UniqueConstraint("sender", name="uq_heard_sender"),
    )
