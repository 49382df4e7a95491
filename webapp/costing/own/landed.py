"""Freight that is in a price: a total that holds that of each line, or a price whose head says that it is landed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, ZERO, Unreadable
from webapp.costing.own.cells import MONEY_PLACES, Doubt, amount, money, number, rounded
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
from webapp.costing.own.currencies import without_money
from webapp.costing.own.freight import FREE, ON_TOP, is_freight, is_of_each, is_of_rows, speaks_of_freight
from webapp.costing.own.money_rows import FREIGHT, named_for
from webapp.costing.own.packs import Priced
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT, currency_said, says_landed, tax_said, without_landed
from webapp.costing.own.rows import OwnRow, is_total
from webapp.costing.own.told import Told
from webapp.costing.units import MASS, PIECES, VOLUME

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

    Tax is in it where it is never less than the other with its rate of tax: then that is the price without tax. Where
    a row has the other alone or a lower landed one, or the other says that tax is in it, both are one, so that it is
    asked.
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
    elif not said - {"", TAX_OUT} and len(prices) == 1 and _holds_tax(table, layout, roles, (landed, prices[0])):
        roles[landed], roles[prices[0]] = "price", "net_price"
        return
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


def _holds_tax(table: OwnTable, layout: Layout, roles: list[str], both: tuple[int, int]) -> bool:
    """Whether a landed price is nowhere less than the other price with the rate of tax that stands in its row."""
    tax, found = roles.index("tax_rate") if "tax_rate" in roles else None, False
    if tax is None or tax_said(table.cell(layout.heads, both[0])):
        return False
    for row in _below(table, layout):
        landed, price, rate = (number_at(table, row, one) for one in (*both, tax))
        if landed is None or price is None or not rate:
            continue
        share = rate / HUNDRED if rate >= ONE else rate
        if landed < price * (ONE + share) - _A_CENT:
            return False
        found = True
    return found


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


def _with_percent(row: OwnRow, price: Decimal, currency: str) -> Decimal:
    """A price with the percent of freight that stand beside it."""
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


def freight_of_rows(table: OwnTable, layout: Layout) -> list[int]:
    """The columns that are left out and hold the freight of each row, in money."""
    if not layout.heads or "freight" in layout.roles:
        return []
    free = [place for place in range(MOST_COLUMNS) if not any(layout.roles[place : place + 1])]
    found = [place for place in free if is_of_rows(table.cell(layout.heads, place))]
    share = freight_in_percent(table, layout) if found else None
    return [place for place in found if place != share]


def adds_freight(table: OwnTable, layout: Layout) -> bool:
    """Whether anything beside the prices of a sheet is freight that can be added to them: a column, or a row."""
    if freight_in_percent(table, layout) is not None or freight_of_rows(table, layout):
        return True
    name, rows = layout.place("name"), range(layout.heads + 1, len(table.rows) + 1)
    return name is not None and any(named_for(table.cell(row, name)) == FREIGHT for row in rows)


def with_freight(row: OwnRow, paid: Priced, currency: str) -> Decimal | None:
    """A price with the freight that stands beside it in percent or in money, where it comes on top; said."""
    price = paid.price
    if price is None or row.told.freight != ON_TOP:
        return price
    price = _with_percent(row, price, currency)
    for place in freight_of_rows(row.table, row.layout):
        price = _with_own(row, place, replace(paid, price=price), currency or row.told.home)
    return price


def _with_own(row: OwnRow, place: int, paid: Priced, currency: str) -> Decimal:
    """The price of a pack with its part of the freight of its row: for all packs of that, unless it says for one."""
    price, head, text = paid.price or ZERO, row.table.cell(row.layout.heads, place), row.table.cell(row.number, place)
    found = None if text.casefold().strip(" .") in FREE else row.read_at(place, money)
    if found is None or not found[0].value:
        return price
    read, unit = found[0], _with_number(per_in(head))
    if found[1]:
        row.fault_at(place, "Type the freight of this row as an amount of money, not for one of something.")
        return price
    if (without_money(text)[1] or currency_said(head)) and read.unit != currency:
        row.fault_at(place, f"This freight is in {read.unit} and its price in {currency}. Type it in {currency}.")
        return price
    times = _packs_in(row, paid) if is_of_each(head) else _units_in(row, unit, paid) if unit else ONE / paid.packs
    if times is None:
        words = f"This freight is for {unit}, and its price for another measure. Add it to the price, and type 0 here."
        row.fault_at(place, words)
        return price
    share, written = rounded(read.value * times, MONEY_PLACES), row.told.written
    whole = price + share
    one, part, other, every = (written.money(each, currency) for each in (price, share, whole, read.value))
    for_what = unit or ("each pack" if is_of_each(head) else f"{written.number(paid.packs)} packs")
    said = f"{part} of freight" if share == read.value else f"{part} of freight ({every} for {for_what})"
    row.remarks.append(f"{one} with {said} is {other}.")
    return whole


def _with_number(unit: str) -> str:
    """For how much something is: "kg" is 1 kg, "100 g" is as it is."""
    return f"1 {unit}" if unit and not unit[0].isdigit() else unit


def _packs_in(row: OwnRow, paid: Priced) -> Decimal:
    """How many packs a price is for: all that were bought, where it was read as that of one of them together."""
    packs = row.layout.place("packs")
    many = number_at(row.table, row.number, packs) if packs is not None and paid.packs == ONE else None
    return many or ONE


def _units_in(row: OwnRow, unit: str, paid: Priced) -> Decimal | None:
    """How many of a unit are in a pack; None where that is measured in another way."""
    try:
        each = amount(unit, row.told)
    except (Doubt, Unreadable):
        return None
    size = paid.pack
    for factors in (MASS, VOLUME, {PIECES: ONE}):
        if size is not None and size.unit in factors and each.unit in factors:
            return size.value * factors[size.unit] / (each.value * factors[each.unit])
    return None


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
    if landed is not None and layout.roles[landed] == "price" and "net_price" in layout.roles:
        one, other = (f"\u201c{heads[at][:40]}\u201d" for at in (landed, layout.roles.index("net_price")))
        return f"{one} is the price: freight and tax are in it. {other} counts where it says none."
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
