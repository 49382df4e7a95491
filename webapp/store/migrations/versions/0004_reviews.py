"""A material's price can be looked at again on a day and found still right."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Nobody looked at one so far: the table is empty."""
    op.create_table(
        "review",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("made_in", sa.Integer(), nullable=False),
        sa.Column("ended_in", sa.Integer(), nullable=True),
        sa.Column("thing", sa.Integer(), nullable=False),
        sa.Column("from_day", sa.String(10), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_review"),
        sa.ForeignKeyConstraint(["made_in"], ["change.id"], name="fk_review_made_in"),
        sa.ForeignKeyConstraint(["ended_in"], ["change.id"], name="fk_review_ended_in"),
        sa.ForeignKeyConstraint(["thing"], ["thing.id"], name="fk_review_thing"),
    )
    op.create_index("ix_review_made_in", "review", ["made_in"])
    op.create_index("ix_review_ended_in", "review", ["ended_in"])
    holds = sa.text("ended_in IS NULL")
    key = ["thing", "from_day"]
    op.create_index("one_review", "review", key, unique=True, sqlite_where=holds, postgresql_where=holds)
