"""Freight that is in a price: a total that holds that of each line, or a price whose head says that it is landed."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, ZERO
from webapp.costing.own.cells import MONEY_PLACES, number, rounded
from webapp.costing.own.columns import (
    BLANK,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    PRICES,
    Layout,
    OwnTable,
    per_in,
    role_of,
    words_of,
)
from webapp.costing.own.counts import number_at
from webapp.costing.own.freight import ON_TOP, is_freight, speaks_of_freight
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT, currency_said, says_landed, tax_said, without_landed
from webapp.costing.own.rows import OwnRow, is_total
from webapp.costing.own.told import Told

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


def take_landed_head(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """A price whose head says that it is landed is the price, beside another too, and freight is in it.

    Where a row has the other alone or a lower landed one, or the other says that tax is in it, both are one, so that
    it is asked.
    """
    found = _landed_beside(table, layout, roles)
    if found is None:
        return
    landed, prices = found
    said = {tax_said(table.cell(layout.heads, one)) for one in (landed, *prices)}
    role = "net_price" if TAX_OUT in said else "price"
    sure = TAX_IN not in said or tax_said(table.cell(layout.heads, landed)) == TAX_IN
    if per_in(table.cell(layout.heads, landed)):
        role = "unit_price"
    if prices and not (sure and all(_has(table, layout, row, landed, prices) for row in _below(table, layout))):
        roles[landed] = roles[prices[0]]
        return
    for one in prices:
        roles[one] = ""
    roles[landed] = role
    if "freight" in roles:
        roles[roles.index("freight")] = ""


def _landed_beside(table: OwnTable, layout: Layout, roles: list[str]) -> tuple[int, list[int]] | None:
    """The one column headed as a landed price, with numbers below it, and the other prices beside it."""
    landed = [place for place in range(len(roles)) if _is_landed(table, layout, roles, place)]
    prices = [place for place, role in enumerate(roles) if role in PRICES and place not in landed]
    return (landed[0], prices) if len(landed) == 1 else None


def _is_landed(table: OwnTable, layout: Layout, roles: list[str], place: int) -> bool:
    """Whether a column is headed as a landed price and holds numbers. "Delivered" alone may be how many came."""
    head = table.cell(layout.heads, place)
    rest = without_landed(head)
    alone = not words_of(rest) and ("landed" in words_of(head) or bool(currency_said(head)))
    is_price = alone or role_of(rest, MATERIALS) in PRICES
    if roles[place] not in ("", *PRICES) or not says_landed(head) or not is_price:
        return False
    return any(number_at(table, row, place) for row in _below(table, layout))


def _has(table: OwnTable, layout: Layout, row: int, landed: int, prices: list[int]) -> bool:
    """Whether a row with another price has a landed one, and none that is lower below a head of the same kind."""
    if is_total(OwnRow(0, row, table, layout, Told())):
        return True
    if table.cell(row, landed) in BLANK:
        return all(table.cell(row, one) in BLANK for one in prices)
    whole, unit = number_at(table, row, landed), per_in(table.cell(layout.heads, landed))
    alike = [one for one in prices if per_in(table.cell(layout.heads, one)) == unit]
    return not any(whole and (other := number_at(table, row, one)) and whole < other for one in alike)


def _below(table: OwnTable, layout: Layout) -> range:
    return range(layout.heads + 1, len(table.rows) + 1)


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
    return _said_by_rows(table, layout) or _said_by_head(table, layout)


def _said_by_rows(table: OwnTable, layout: Layout) -> str:
    """The same where the price is another and its freight in every row."""
    heads = [table.cell(layout.heads, one) for one in range(min(table.width, MOST_COLUMNS))]
    freight = next((one for one, head in enumerate(heads) if is_freight(head)), None)
    total = next((one for one, role in enumerate(layout.roles) if role in _PRICES), None)
    if freight is None or total is None:
        return ""
    free = [one for one in range(len(heads)) if one != freight and not any(layout.roles[one : one + 1])]
    place = next((one for one in free if comes_out(table, layout, (one, freight, total))), None)
    if place is None:
        return ""
    one, other, whole = (f"\u201c{heads[at][:40]}\u201d" for at in (place, freight, total))
    return f"{whole} is the price: it is {one} and {other} in every row, so that freight is each row\u2019s own."


def _said_by_head(table: OwnTable, layout: Layout) -> str:
    """The same where the head of the price says it, and another price is left out."""
    heads = [table.cell(layout.heads, one) for one in range(len(layout.roles))]
    landed = next((one for one, role in enumerate(layout.roles) if role in PRICES and says_landed(heads[one])), None)
    others = [head for head, role in zip(heads, layout.roles, strict=True) if not role and not says_landed(head)]
    other = next((head for head in others if role_of(head, MATERIALS) in PRICES), "")
    if landed is None or not other:
        return ""
    one = f"\u201c{heads[landed][:40]}\u201d is the price: freight is in it."
    return f"{one} \u201c{other[:40]}\u201d is without it, and left out."


def _total(table: OwnTable, layout: Layout, roles: list[str], both: tuple[int, int]) -> int | None:
    """The one column that is a price and its freight in every row."""
    free = [one for one, role in enumerate(roles) if role in ("", *_PRICES) and one not in both]
    found = [one for one in free if comes_out(table, layout, (*both, one))]
    return found[0] if len(found) == 1 else None


def comes_out(table: OwnTable, layout: Layout, places: tuple[int, int, int]) -> bool:
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
