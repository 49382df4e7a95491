"""Packs that stand in the names of what is bought, where no column holds them: "Shea butter 1kg"."""

from __future__ import annotations

import re

from webapp.costing.own.columns import MATERIALS, per_in
from webapp.costing.own.kinds import PACKAGING, is_called_packaging
from webapp.costing.own.price_heads import many_in
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.units import multiple_in
from webapp.costing.units import MASS, VOLUME
from webapp.costing.written_units import unit_of

_IN_NAME = re.compile(
    r"(?P<name>.*?[^\s,;:(\[\u2013-])[\s,;:\u2013-]*[\s(\[]"
    r"(?P<amount>(?:[0-9]{1,4}\s?[x\u00d7]\s?)?[0-9][0-9.,]*\s?(?P<unit>[^\W\d_]+)\.?)\s*[)\]]?"
)


def pack_in_name(row: OwnRow, kind: str) -> tuple[str, str]:
    """The name of a row without the pack in it, and that pack; ("", "") where a column holds it or none is there.

    What a jar or a bottle holds is no pack, and a price for one of something needs none.
    """
    roles, name = row.layout.roles, row.text("name")
    prices = [role for role in ("price", "net_price") if role in roles]
    if row.layout.holds != MATERIALS or {"pack", "unit"} & {*roles} or not prices or row.told.basis:
        return "", ""
    if kind == PACKAGING or is_called_packaging(name) or any(_is_for_one(row.head(one)) for one in prices):
        return "", ""
    found = _IN_NAME.fullmatch(name)
    if found is None or not (unit_of(found["unit"]) in (*MASS, *VOLUME) or multiple_in(found["unit"])):
        return "", ""
    return found["name"].strip(), found["amount"].strip()


def _is_for_one(head: str) -> bool:
    return bool(per_in(head) or many_in(head))
