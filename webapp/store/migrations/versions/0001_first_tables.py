"""The first tables."""

from __future__ import annotations

import secrets
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table, the ledger's one row and the workshop's identity."""
    ledger = op.create_table(
        "ledger",
        number("id"),
        words("epoch"),
        number("version"),
        sa.PrimaryKeyConstraint("id", name="pk_ledger"),
    )
    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        words("kind"),
        words("why"),
        words("device"),
        words("token", nullable=True),
        words("input_hash"),
        number("undoes", nullable=True),
        words("ids"),
        sa.PrimaryKeyConstraint("id", name="pk_change"),
        sa.UniqueConstraint("token", name="uq_change_token"),
        sa.ForeignKeyConstraint(["undoes"], ["change.id"], name="fk_change_undoes"),
    )
    things = op.create_table("thing", number("id"), words("kind"), sa.PrimaryKeyConstraint("id", name="pk_thing"))
    held_tables()
    op.bulk_insert(ledger, [{"id": 1, "epoch": secrets.token_hex(8), "version": 0}])
    op.execute(sa.insert(things).values(kind="workshop"))


def number(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer(), nullable=nullable)


def words(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.String(), nullable=nullable)


def flag(name: str) -> sa.Column[Any]:
    return sa.Column(name, sa.Boolean(), nullable=False)


def day(name: str) -> sa.Column[Any]:
    return sa.Column(name, sa.String(10), nullable=False)


def amount(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.BigInteger(), nullable=nullable, info={"whole": True})


def thing(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer(), nullable=nullable, info={"to": "thing.id"})


def held(name: str, key: tuple[str, ...], *columns: sa.Column[Any], named: bool = False) -> None:
    """Make a table whose rows are made and ended, one of a key at a time."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    versions = [number("made_in"), number("ended_in", nullable=True)]
    for version in versions:
        version.info["to"] = "change.id"
    rules: list[Any] = [sa.PrimaryKeyConstraint("id", name=f"pk_{name}")]
    for column in (*versions, *columns):
        if to := column.info.get("to"):
            rules.append(sa.ForeignKeyConstraint([column.name], [to], name=f"fk_{name}_{column.name}"))
        if sqlite and column.info.get("whole"):
            whole = "('integer', 'null')" if column.nullable else "('integer')"
            check = f'typeof("{column.name}") IN {whole}'
            rules.append(sa.CheckConstraint(check, name=op.f(f"ck_{name}_{column.name}_whole")))
    op.create_table(name, number("id"), *versions, *columns, *rules)
    op.create_index(f"ix_{name}_made_in", name, ["made_in"])
    op.create_index(f"ix_{name}_ended_in", name, ["ended_in"])
    holds = sa.text("ended_in IS NULL")
    op.create_index(f"one_{name}", name, list(key), unique=True, sqlite_where=holds, postgresql_where=holds)
    if named:
        only = f"one_name_{name}"
        op.create_index(only, name, ["name_key"], unique=True, sqlite_where=holds, postgresql_where=holds)


def held_tables() -> None:
    held("bill", ("thing",), thing("thing"), words("name"), words("name_key"), words("note"), named=True)
    held("bill_amount", ("thing", "from_day"), thing("thing"), day("from_day"), amount("a_month"))
    held("channel", ("thing",), thing("thing"), words("name"), words("name_key"), words("note"), named=True)
    held(
        "channel_content",
        ("thing", "from_day"),
        thing("thing"),
        day("from_day"),
        words("kind"),
        words("tax"),
        amount("tax_rate"),
        amount("share_paid"),
        amount("share_net"),
        amount("fee"),
        amount("fee_tax"),
        amount("jars_per_order"),
        amount("carton"),
        amount("postage"),
        amount("postage_charged"),
        amount("pitch"),
        amount("jars_a_day", nullable=True),
        words("endings"),
        amount("step", nullable=True),
        amount("target", nullable=True),
        amount("stockist_margin"),
        amount("stockist_tax"),
    )
    held(
        "channel_work",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("person"),
        amount("per_order"),
        amount("per_day"),
    )
    held(
        "density",
        ("thing", "from_day"),
        thing("thing"),
        day("from_day"),
        amount("value", nullable=True),
        amount("temperature", nullable=True),
        words("source", nullable=True),
    )
    held("formula", ("thing",), thing("thing"), words("name"), words("name_key"), words("note"), named=True)
    held(
        "formula_content",
        ("thing", "from_day"),
        thing("thing"),
        day("from_day"),
        words("way"),
        amount("batch_grams", nullable=True),
        amount("loss"),
        amount("loss_grams"),
        flag("made_ahead"),
        amount("density", nullable=True),
        amount("air"),
        amount("shelf_months", nullable=True),
    )
    held(
        "formula_line",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("material", nullable=True),
        thing("formula", nullable=True),
        amount("amount", nullable=True),
        words("unit"),
        flag("rest"),
        words("stage"),
    )
    held(
        "formula_work",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("person"),
        amount("per_batch", nullable=True),
        amount("per_kg", nullable=True),
        amount("per_jar", nullable=True),
    )
    held(
        "material",
        ("thing",),
        thing("thing"),
        words("name"),
        words("name_key"),
        words("note"),
        words("kind"),
        words("nature"),
        words("inci"),
        words("also_known_as"),
        flag("nut"),
        amount("drops_per_ml", nullable=True),
        amount("piece_grams", nullable=True),
        amount("holds_ml", nullable=True),
        amount("shelf_months", nullable=True),
        amount("starting_amount", nullable=True),
        words("starting_unit", nullable=True),
        words("basis"),
        amount("basis_months", nullable=True),
        thing("quote", nullable=True),
        named=True,
    )
    held(
        "order_charge",
        ("thing", "position"),
        thing("thing"),
        number("position"),
        words("kind"),
        amount("amount"),
        words("money"),
        words("share"),
        amount("tax_rate"),
        flag("tax_included"),
        words("label"),
    )
    held(
        "order_line",
        ("thing", "position"),
        thing("thing"),
        number("position"),
        thing("material"),
        amount("packs"),
        amount("size"),
        words("unit"),
        amount("price", nullable=True),
        amount("discount", nullable=True),
        words("discount_in"),
        amount("total", nullable=True),
        amount("tax_rate"),
        flag("tax_included"),
        amount("arrived", nullable=True),
        words("not_priced"),
    )
    held("part_group", ("thing",), thing("thing"), words("name"), words("name_key"), words("note"), named=True)
    held("part_group_content", ("thing", "from_day"), thing("thing"), day("from_day"))
    held(
        "part_group_part",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("material", nullable=True),
        thing("group", nullable=True),
        amount("pieces"),
        amount("spoiled"),
    )
    held(
        "person",
        ("thing",),
        thing("thing"),
        words("name"),
        words("name_key"),
        words("note"),
        words("whose"),
        named=True,
    )
    held(
        "price",
        ("product", "channel", "from_day"),
        thing("product"),
        thing("channel"),
        day("from_day"),
        amount("amount"),
        words("why"),
        amount("floor", nullable=True),
        amount("suggested", nullable=True),
    )
    held("product", ("thing",), thing("thing"), words("name"), words("name_key"), words("note"), named=True)
    held(
        "product_channel",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("channel"),
    )
    held(
        "product_content",
        ("thing", "from_day"),
        thing("thing"),
        day("from_day"),
        amount("batch_grams", nullable=True),
        amount("loss", nullable=True),
        amount("loss_grams", nullable=True),
        amount("set_aside"),
    )
    held(
        "product_fill",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("formula"),
        amount("declared"),
        words("unit"),
        amount("overfill"),
    )
    held(
        "product_member",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("product"),
        amount("count"),
    )
    held(
        "product_one_off",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        words("name"),
        amount("amount"),
        amount("jars"),
    )
    held(
        "product_part",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("material", nullable=True),
        thing("group", nullable=True),
        amount("pieces"),
        amount("spoiled"),
    )
    held(
        "product_work",
        ("thing", "from_day", "position"),
        thing("thing"),
        day("from_day"),
        number("position"),
        thing("person"),
        amount("per_batch", nullable=True),
        amount("per_kg", nullable=True),
        amount("per_jar", nullable=True),
    )
    held(
        "quote",
        ("thing",),
        thing("thing"),
        thing("material"),
        thing("supplier"),
        day("from_day"),
        day("until"),
        amount("size"),
        words("unit"),
        amount("price"),
        words("currency"),
        words("exchange_way", nullable=True),
        amount("exchange_amount", nullable=True),
        words("note"),
    )
    held("retired", ("thing", "from_day"), thing("thing"), day("from_day"))
    held(
        "sales",
        ("product", "channel", "from_day"),
        thing("product"),
        thing("channel"),
        day("from_day"),
        amount("jars", nullable=True),
    )
    held(
        "supplier",
        ("thing",),
        thing("thing"),
        words("name"),
        words("name_key"),
        words("note"),
        words("currency"),
        words("url"),
        named=True,
    )
    held(
        "supplier_order",
        ("thing",),
        thing("thing"),
        thing("supplier"),
        day("day"),
        words("currency"),
        words("exchange_way", nullable=True),
        amount("exchange_amount", nullable=True),
        amount("tax_total", nullable=True),
        amount("invoice_total", nullable=True),
        words("number"),
        words("note"),
    )
    held(
        "target",
        ("product", "channel", "from_day"),
        thing("product"),
        thing("channel"),
        day("from_day"),
        amount("margin", nullable=True),
    )
    held(
        "terms",
        ("thing", "from_day"),
        thing("thing"),
        day("from_day"),
        flag("registered"),
        words("cost"),
        amount("target"),
        words("overhead"),
        amount("making_hours", nullable=True),
        amount("planned_jars", nullable=True),
    )
    held(
        "wage",
        ("thing", "from_day"),
        thing("thing"),
        day("from_day"),
        amount("per_hour", nullable=True),
        amount("extra", nullable=True),
    )
    held(
        "workshop",
        ("thing",),
        thing("thing"),
        words("name"),
        words("currency"),
        words("locale"),
        words("mass_unit"),
        words("basis"),
        amount("basis_months"),
        amount("stale_months"),
    )
