"""Freight that is each line's own, since a total holds it: where it is so in every row, the total is the price."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, ZERO
from webapp.costing.own.cells import MONEY_PLACES, number, rounded
from webapp.costing.own.columns import BLANK, LOOKED_AT, MATERIALS, MOST_COLUMNS, Layout, OwnTable
from webapp.costing.own.counts import number_at
from webapp.costing.own.freight import ON_TOP, is_freight, speaks_of_freight
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT, tax_said
from webapp.costing.own.rows import OwnRow

_PRICES = ("price", "net_price")
_A_CENT = Decimal("0.01")


def take_landed(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """A total that is a price and its freight in every row is the price, and that freight is in it."""
    if "freight" not in roles or not layout.heads:
        return
    freight = roles.index("freight")
    for place in [one for one, role in enumerate(roles) if role in _PRICES]:
        total = _total(table, layout, roles, (place, freight))
        others = [one for one, role in enumerate(roles) if role in _PRICES and one not in (place, total)]
        tax, other = (tax_said(table.cell(layout.heads, one)) for one in (place, total or 0))
        if total is None or others or (tax == TAX_IN and not other):
            continue
        roles[total] = "net_price" if TAX_OUT in (tax, other) else "price"
        roles[place] = roles[freight] = ""
        return


def freight_in_percent(table: OwnTable, layout: Layout) -> int | None:
    """The column that is left out, whose head is of freight, and in which percent stand."""
    if not layout.heads or "freight" in layout.roles:
        return None
    for place in range(min(table.width, MOST_COLUMNS)):
        head = table.cell(layout.heads, place)
        if any(layout.roles[place : place + 1]) or not (is_freight(head) or speaks_of_freight(head)):
            continue
        rows = range(layout.heads + 1, min(len(table.rows), layout.heads + LOOKED_AT) + 1)
        cells = [text for one in rows if (text := table.cell(one, place)) not in BLANK]
        if cells and all(text.endswith("%") for text in cells):
            return place
    return None


def with_percent(row: OwnRow, price: Decimal | None, currency: str) -> Decimal | None:
    """A price with the percent of freight that stand beside it, where they were said to come on top; said."""
    if price is None or row.told.freight != ON_TOP:
        return price
    place = freight_in_percent(row.table, row.layout)
    text = "" if place is None else row.table.cell(row.number, place)
    if place is None or text in BLANK:
        return price
    share = row.read_at(place, lambda said, told: number(said.removesuffix("%").strip(), told))
    if share is None:
        return price
    whole, money = rounded(price * (ONE + share / HUNDRED), MONEY_PLACES), row.told.written.money
    one, other = (money(each, currency or row.told.home) for each in (price, whole))
    row.remarks.append(f"{one} with {text} of freight is {other}.")
    return whole


def said_of_landed(table: OwnTable, layout: Layout) -> str:
    """What is said of a sheet whose price holds the freight that stands beside it; "" where none does so."""
    if layout.holds != MATERIALS or not layout.heads or "freight" in layout.roles:
        return ""
    heads = [table.cell(layout.heads, one) for one in range(min(table.width, MOST_COLUMNS))]
    freight = next((one for one, head in enumerate(heads) if is_freight(head)), None)
    total = next((one for one, role in enumerate(layout.roles) if role in _PRICES), None)
    if freight is None or total is None:
        return ""
    free = [one for one in range(len(heads)) if one != freight and not any(layout.roles[one : one + 1])]
    place = next((one for one in free if _comes_out(table, layout, (one, freight, total))), None)
    if place is None:
        return ""
    one, other, whole = (f"\u201c{heads[at][:40]}\u201d" for at in (place, freight, total))
    return f"{whole} is the price: it is {one} and {other} in every row, so that freight is each row\u2019s own."


def _total(table: OwnTable, layout: Layout, roles: list[str], both: tuple[int, int]) -> int | None:
    """The one column that is a price and its freight in every row."""
    free = [one for one, role in enumerate(roles) if role in ("", *_PRICES) and one not in both]
    found = [one for one in free if _comes_out(table, layout, (*both, one))]
    return found[0] if len(found) == 1 else None


def _comes_out(table: OwnTable, layout: Layout, places: tuple[int, int, int]) -> bool:
    """Whether a price, once or for each pack, and its freight are the total in every row, and some freight is there."""
    packs, paid = layout.place("packs"), False
    for row in range(layout.heads + 1, len(table.rows) + 1):
        price, freight, total = (number_at(table, row, one) for one in places)
        if price is None and total is None:
            continue
        if price is None or freight is None or total is None:
            return False
        many = (number_at(table, row, packs) if packs is not None else None) or ONE
        if min(abs(price + freight - total), abs(price * many + freight - total)) > _A_CENT:
            return False
        paid = paid or freight > ZERO
    return paid
