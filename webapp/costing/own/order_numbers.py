"""What parts two orders of one supplier and day: the number of an order beside its lines, or freight said again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from webapp.costing.limits import SHORT, name_key
from webapp.costing.own.columns import BLANK
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.price_heads import plain_words
from webapp.costing.own.rows import OwnRow

#: what is said of the first row of an order that nothing but its freight parts from the one above it
ANOTHER = (
    "Freight stands here again, below rows without: this is read as another order of this supplier and day. Where it "
    "is one, write all of its freight in its first row."
)
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
    return _parted_by_freight(found)


def _parted_by_freight(rows: list[MaterialRow]) -> list[MaterialRow]:
    """The rows with a mark of their order where freight stands in the first of a supplier and day and again below.

    A sheet that fills freight in for each line has it in all of them, or the same; with rows between that have none it
    is filled in once for each order. Tax in money has to stand where freight does, or nowhere.
    """
    own = {row.sheet for row in rows if row.besides and row.freight is not None}
    groups: dict[tuple[object, ...], list[int]] = {}
    for place, row in enumerate(rows):
        if row.name and row.supplier and row.day and row.sheet not in own:
            groups.setdefault((row.sheet, name_key(row.supplier), row.day), []).append(place)
    for group in groups.values():
        begin = _beginnings([rows[place] for place in group])
        for number, start in enumerate(begin[1:], 2):
            rows[group[start]] = replace(rows[group[start]], remarks=(*rows[group[start]].remarks, ANOTHER))
            for place in group[start:]:
                rows[place] = replace(rows[place], order=f"#{number}")
    return rows


def _beginnings(rows: Sequence[MaterialRow]) -> list[int]:
    """Where the orders of one supplier and day begin by their freight; nothing where it does not part them."""
    begin = [place for place, row in enumerate(rows) if row.freight is not None]
    taxed = [place for place, row in enumerate(rows) if row.order_tax is not None]
    amounts = {(row.freight.value, row.freight.unit) for row in rows if row.freight is not None}
    between = all(after - one > 1 for one, after in pairwise(begin))
    is_parted = begin[:1] == [0] and between and len(amounts) > 1 and taxed in ([], begin)
    return begin if is_parted and not any(row.order for row in rows) else []
