"""The number of an order, an invoice or a receipt beside its lines, which parts two of one supplier and day."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from webapp.costing.limits import SHORT, name_key
from webapp.costing.own.columns import BLANK
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.price_heads import plain_words
from webapp.costing.own.rows import OwnRow

_NUMBER = r"(?: ?(?:no|nr|num|number|nummer|id|ref|reference|numero|n))"
#: what an order is called, alone or with its number
_ALONE = r"(?:invoice|receipt|trip|po|rechnung|beleg|quittung|facture|factura|fattura|slip|till slip)"
_NAMED = r"(?:order|purchase order|bill|bestellung|bestell|auftrag|auftrags|rechnungs|beleg|commande|pedido|ordine)"
_HEAD = re.compile(rf"{_ALONE}{_NUMBER}?|{_NAMED}{_NUMBER}")


def order_number(row: OwnRow) -> str:
    """The number of its order that a row says in a column that is left out; "" where no head names one."""
    if not row.layout.heads:
        return ""
    for place in range(row.table.width):
        text = row.table.cell(row.number, place)
        if any(row.layout.roles[place : place + 1]) or text in BLANK:
            continue
        words = re.sub(r"[^a-z ]+", " ", plain_words(row.table.cell(row.layout.heads, place)))
        if _HEAD.fullmatch(" ".join(words.split())):
            return text[: SHORT.length]
    return ""


def numbered(rows: Sequence[MaterialRow]) -> list[MaterialRow]:
    """The rows with the number of their order: its own, else that of the row above of one supplier and day.

    Only where freight stands in their sheet; elsewhere no number changes what anything costs.
    """
    sheets = {one.sheet for one in rows if one.freight is not None}
    last: dict[tuple[object, ...], str] = {}
    found = []
    for row in rows:
        if row.sheet not in sheets:
            found.append(replace(row, order=""))
            continue
        key = (row.sheet, name_key(row.supplier), row.day)
        number = row.order or ("" if row.besides else last.get(key, ""))
        last[key] = number
        found.append(replace(row, order=number))
    return found
