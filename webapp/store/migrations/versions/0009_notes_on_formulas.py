"""A note about another size may be about a formula too, and one that was thrown away can be kept again."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

TABLE = "verdict"
COLUMNS = "id, {thing}, day, sentence, question, figures, at"


def upgrade() -> None:
    """What is kept stays, each about the product that it was about. SQLite can't rename what refers elsewhere."""
    if op.get_bind().dialect.name == "sqlite":
        _made_anew()
        return
    op.alter_column(TABLE, "product", new_column_name="thing")
    op.execute(f"ALTER TABLE {TABLE} RENAME CONSTRAINT fk_verdict_product_thing TO fk_verdict_thing_thing")
    op.execute("ALTER INDEX ix_verdict_product RENAME TO ix_verdict_thing")
    op.add_column(TABLE, sa.Column("thrown", sa.String(20), nullable=True))


def _made_anew() -> None:
    made = "verdict_anew"
    op.create_table(
        made,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("thing", sa.Integer(), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("sentence", sa.String(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("figures", sa.String(), nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.Column("thrown", sa.String(20), nullable=True),
        sa.ForeignKeyConstraint(["thing"], ["thing.id"], name="fk_verdict_thing_thing"),
        sa.PrimaryKeyConstraint("id", name="pk_verdict"),
    )
    into, out = COLUMNS.format(thing="thing"), COLUMNS.format(thing="product")
    op.execute(f"INSERT INTO {made} ({into}) SELECT {out} FROM {TABLE}")  # noqa: S608 - both are written above
    op.drop_table(TABLE)
    op.rename_table(made, TABLE)
    op.create_index("ix_verdict_thing", TABLE, ["thing"])
