"""Columns of sales tax in money: told from those of its rate by what stands in them, else by what was chosen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from webapp.costing.own.answered import RATE
from webapp.costing.own.columns import BLANK, MATERIALS, PRICES, Layout, OwnTable
from webapp.costing.own.counts import is_of_money
from webapp.costing.own.currencies import bare_number, without_money
from webapp.costing.own.landed import comes_out
from webapp.costing.own.price_heads import currency_said, says_tax_paid

_A_CENT = Decimal("0.01")
#: a rate in a head; a plain number in a cell
_RATE = re.compile(r"([0-9]{1,2}(?:[.,][0-9]{1,4})?) ?%")
_PLAIN = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,4})?", re.ASCII)
#: rates that a column of shares holds lie below it: 0.2, 0.0825
_MOST_OF_ONE = Decimal("0.31")


def holds_money(table: OwnTable, layout: Layout) -> bool:
    """Whether a column that is taken for a rate of tax may be the tax itself: by its cells, or where they stand."""
    found = says_money(table, layout, "tax_rate") or at_heads_alone(table, layout, "tax_rate")
    return found or _differ_by_cents(table, layout, layout.roles.index("tax_rate"))


def take_tax_paid(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """A column that is left out and headed as tax in money is that of its order, where nothing else says the tax.

    It is left out where it lies between the price and another column, so that it is in the price.
    """
    if {"tax_rate", "taxed", "order_tax"} & {*roles} or {"price", "net_price"} <= {*roles}:
        return
    free = [place for place, role in enumerate(roles) if not role]
    paid = [place for place in free if says_tax_paid(table.cell(layout.heads, place))]
    prices = [place for place, role in enumerate(roles) if role in PRICES]
    if len(paid) != 1 or not any(_numbers(table, replace(layout, roles=tuple(roles)), paid[0])):
        return
    triples = ((other, paid[0], price) for other in free if other != paid[0] for price in prices)
    if not any(comes_out(table, layout, one) for one in triples):
        roles[paid[0]] = "order_tax"


def says_money(table: OwnTable, layout: Layout, role: str) -> bool:
    """Whether a column of tax can be nothing but money: most cells say so, or are the same share of each price."""
    price = next((place for one in ("net_price", "price") if (place := layout.place(one)) is not None), None)
    tax = layout.place(role)
    if tax is not None and _is_not_its_rate(table, layout, tax):
        return True
    if tax is None or price is None:
        return False
    rows = [(table.cell(row, tax), table.cell(row, price)) for row in range(layout.heads + 1, len(table.rows) + 1)]
    money = [bool(without_money(one)[1]) for one, _ in rows if one not in BLANK]
    if sum(money) * 2 > len(money) or _is_added(table, layout, price, tax):
        return True
    pairs = [
        (Decimal(bare_number(one)), Decimal(bare_number(of)))
        for one, of in rows
        if bare_number(one).strip("0.") and bare_number(of)  # without tax nothing tells
    ]
    if len({one for one, _ in pairs}) < 2 or not all(of for _, of in pairs):
        return False
    share = max(pairs, key=lambda pair: pair[1])
    return all(abs(one - of * share[0] / share[1]) <= _A_CENT for one, of in pairs)


def _is_added(table: OwnTable, layout: Layout, price: int, tax: int) -> bool:
    """Whether price and tax together are what another column says, in each row and in two at least that have tax."""
    free = [place for place in range(table.width) if not any(layout.roles[place : place + 1])]
    places = (*free, *([one] if (one := layout.place("packs")) is not None else []))
    rows = [
        [bare_number(table.cell(row, place)) for place in (price, tax)] + [table.cell(row, one) for one in places]
        for row in range(layout.heads + 1, len(table.rows) + 1)
    ]
    taxed = [row for row in rows if row[0] and row[1].strip("0.")]
    packs = layout.place("packs")
    return len(taxed) > 1 and any(all(_adds_up(row, at, packs) for row in taxed) for at in range(2, 2 + len(free)))


def _adds_up(row: list[str], at: int, packs: int | None) -> bool:
    """Whether one price, or that of all packs, and the tax are a total; packs stand last."""
    total, price, tax = (bare_number(row[one]) for one in (at, 0, 1))
    many = bare_number(row[-1]) if packs is not None else "1"
    if not total:
        return False
    wholes = {Decimal(price), Decimal(price) * Decimal(many or "1")}
    return any(abs(one + Decimal(tax) - Decimal(total)) <= _A_CENT for one in wholes)


def _is_not_its_rate(table: OwnTable, layout: Layout, tax: int) -> bool:
    """Whether the plain numbers below a head that says a rate are none of them that rate: "VAT 20%" over 9.00."""
    said = _RATE.search(table.cell(layout.heads, tax))
    numbers = {value for _, value in _numbers(table, layout, tax)}
    rate = Decimal(said[1].replace(",", ".")) if said else Decimal()
    return bool(said and numbers) and not {rate, rate / 100} & numbers


def _differ_by_cents(table: OwnTable, layout: Layout, tax: int) -> bool:
    """Whether two or more different numbers with cents stand below a head of tax that says no percent.

    Rates are seldom so. Those of a list are where each stands with several orders, or in several rows without any.
    """
    if _says_percent(table.cell(layout.heads, tax)):
        return False
    numbers = list(_numbers(table, layout, tax))
    cents = {value for _, value in numbers if value * 2 % 1}
    orders = {(_order(table, layout, row), value) for row, value in numbers if value in cents}
    are_shares = all(value < _MOST_OF_ONE for _, value in numbers)
    return len(cents) > 1 and not are_shares and len(orders) < 2 * len(cents)


def _numbers(table: OwnTable, layout: Layout, tax: int) -> Iterator[tuple[int, Decimal]]:
    """The plain numbers of tax above zero, each with its row; none where any says percent."""
    cells = [(row, table.cell(row, tax)) for row in _priced(table, layout)]
    if any("%" in cell for _, cell in cells):
        return
    for row, cell in cells:
        if _PLAIN.fullmatch(cell) and (value := Decimal(cell.replace(",", "."))):
            yield row, value


def _order(table: OwnTable, layout: Layout, row: int) -> tuple[str, ...] | int:
    """Supplier and day of a row, else of the nearest above that says one; the row itself where no column does."""
    places = [place for role in ("supplier", "day") if (place := layout.place(role)) is not None]
    above = (tuple(table.cell(one, place) for place in places) for one in range(row, layout.heads, -1))
    return next((said for said in above if any(said)), row)


def at_heads_alone(table: OwnTable, layout: Layout, role: str) -> bool:
    """Whether plain numbers of tax stand in the first rows of orders alone, or beside freight alone, so for all of it.

    A rate would stand in each row, since nothing says that it holds for those below.
    """
    tax = layout.place(role)
    if tax is None or not layout.heads or _says_percent(table.cell(layout.heads, tax)):
        return False
    rows = list(_priced(table, layout))
    filled = [row for row in rows if table.cell(row, tax) not in BLANK]
    if not filled or len(filled) == len(rows) or not all(bare_number(table.cell(row, tax)) for row in filled):
        return False
    below = [row for row in rows if row not in filled and not _begins(table, layout, row)]
    return bool(below) and filled[0] == rows[0] and all(_begins(table, layout, row) for row in filled)


def _says_percent(head: str) -> bool:
    return "%" in head or "rate" in head.casefold() or "satz" in head.casefold()


def _priced(table: OwnTable, layout: Layout) -> Iterator[int]:
    """The rows with a name and a price, but for those of money: totals, freight."""
    names = [place for role in ("name", "inci") if (place := layout.place(role)) is not None]
    prices = [place for role in PRICES if (place := layout.place(role)) is not None]
    for row in range(layout.heads + 1, len(table.rows) + 1):
        said = all(any(table.cell(row, place) not in BLANK for place in places) for places in (names, prices))
        if said and not is_of_money(table, layout, row):
            yield row


def _begins(table: OwnTable, layout: Layout, row: int) -> bool:
    """Whether a row is the first of its order: freight stands in it, or other supplier or day than right above."""
    freight = layout.place("freight")
    if freight is not None and table.cell(row, freight) not in BLANK:
        return True
    places = [place for role in ("supplier", "day") if (place := layout.place(role)) is not None]
    here, above = ([table.cell(number, place) for place in places] for number in (row, row - 1))
    return any(here) and (row - 1 == layout.heads or here != above)


def with_answer(table: OwnTable, layout: Layout, said: str) -> Layout:
    """The layout with a column of plain numbers of tax as it was said to be: a rate in percent, or money."""
    money, rate = layout.place("order_tax"), layout.place("tax_rate")
    if layout.holds != MATERIALS or not said:
        return layout
    if said == RATE and money is not None and rate is None and not says_money(table, layout, "order_tax"):
        return _with(layout, money, "tax_rate")
    if said != RATE and rate is not None and money is None and holds_money(table, layout):
        return _with(layout, rate, "order_tax")
    return layout


def _with(layout: Layout, place: int, role: str) -> Layout:
    return replace(layout, roles=(*layout.roles[:place], role, *layout.roles[place + 1 :]))


def is_plain(table: OwnTable, layout: Layout) -> bool:
    """Whether nothing but its place tells that a column of tax holds money: it may be a rate in percent after all."""
    place = layout.place("order_tax")
    if place is None or says_money(table, layout, "order_tax"):
        return False
    head = table.cell(layout.heads, place) if layout.heads else ""
    return not (currency_said(head) or says_tax_paid(head))
