"""Packs that stand in the names of what is bought, where no column holds them: "Shea butter 1kg"."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import plain
from webapp.costing.own import cells
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import BLANK, MATERIALS, per_in
from webapp.costing.own.kinds import PACKAGING, is_called_packaging
from webapp.costing.own.named_counts import Counted, count_in
from webapp.costing.own.price_heads import many_in
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.unit_prices import is_open
from webapp.costing.own.units import multiple_in
from webapp.costing.units import MASS, PIECES, VOLUME
from webapp.costing.written_units import unit_of

_IN_NAME = re.compile(
    r"(?P<name>.*?[^\s,;:(\[\u2013-])[\s,;:\u2013-]*[\s(\[]"
    r"(?P<amount>(?:[0-9]{1,4}\s?[x\u00d7]\s?)?[0-9][0-9.,]*\s?(?P<unit>[^\W\d_]+)\.?)\s*[)\]]?"
)


def pack_in_name(row: OwnRow, kind: str) -> tuple[str, str]:
    """The name of a row without the pack in it, and that pack; ("", "") where a column holds it or none is there.

    What a jar or a bottle holds is no pack, and a price for one of something needs none. How many pieces there are
    stays in the name: the parts of products are called by it.
    """
    if not _is_for_a_pack(row):
        return "", ""
    name = row.text("name")
    counted = _counted(row, kind)
    if counted is not None and not counted.open:
        return name, counted.count
    roles = {*row.layout.roles}
    if {"pack", "unit"} & roles or not {"price", "net_price"} & roles or kind == PACKAGING or is_called_packaging(name):
        return "", ""
    found = _IN_NAME.fullmatch(name)
    if found is None or not (unit_of(found["unit"]) in (*MASS, *VOLUME) or multiple_in(found["unit"])):
        return "", ""
    return found["name"].strip(), found["amount"].strip()


def pack_named(row: OwnRow, kind: str) -> Read | None:
    """The pack that stands in the name, where no column holds it; of pieces that is said."""
    amount, place = pack_in_name(row, kind)[1], row.layout.place("name")
    found = row.read_at(place, cells.amount, amount) if amount and place is not None else None
    if found is None or found.unit != PIECES:
        return found
    many = row.told.written.number(found.value)
    return replace(found, remark=f"Its name says how many: read as a pack of {many} {PIECES}.")


def open_count(row: OwnRow, kind: str, packs: Decimal) -> str:
    """How many pieces the name may say, where that may be something else; "" for none, or as many as were bought."""
    counted = _counted(row, kind) if _is_for_a_pack(row) else None
    return counted.count if counted is not None and counted.open and counted.count != plain(packs) else ""


def _counted(row: OwnRow, kind: str) -> Counted | None:
    """How many pieces the name of a row says, beside which neither a pack nor a unit stands."""
    return None if row.text("pack") not in BLANK or row.text("unit") else count_in(row.text("name"), kind)


def _is_for_a_pack(row: OwnRow) -> bool:
    """Whether a price of a row is for no amount that its head or its sheet says, and may be that of a pack."""
    heads = [row.head(role) for role in ("price", "net_price") if role in row.layout.roles]
    heads += [head for head in (row.head("unit_price"),) if is_open(head)]
    if row.layout.holds != MATERIALS or not heads or row.told.basis:
        return False
    return not any(per_in(head) or many_in(head) for head in heads)
