"""How the migration tool runs here: on the connection that is handed over, inside its transaction."""

from __future__ import annotations

from typing import Any, Literal

import sqlalchemy as sa
from alembic import context

from webapp.store.columns import Amount, Day, Moment
from webapp.store.migrations.wanted import metadata


def render_item(kind: str, item: Any, autogen: Any) -> str | Literal[False]:
    """Write our column types as what they are in the database: a migration must not change when they do."""
    del autogen
    if kind != "type":
        return False
    if isinstance(item, Amount):
        return "sa.BigInteger()"
    if isinstance(item, Day | Moment):
        return f"sa.String({item.impl.length})"
    if isinstance(item, sa.String):
        return "sa.String()"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata(),
    render_as_batch=True,
    render_item=render_item,
    transaction_per_migration=False,
)
context.run_migrations()
