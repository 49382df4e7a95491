"""Whether sales tax in money comes on top of the prices of its sheet: as totals prove, or its heads say; else asked.

What stands in each line of an order is in the price of that line then; one amount of an order is left to the order.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.book import Book
from webapp.costing.own.answered import RATE
from webapp.costing.own.cells import MONEY_PLACES, Read, rounded
from webapp.costing.own.columns import Layout, OwnTable, words_of
from webapp.costing.own.counts import number_at
from webapp.costing.own.freight import INSIDE, NOT_TAKEN, ON_TOP
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.money_tax import at_heads_alone, is_plain
from webapp.costing.own.plan import PAID, How
from webapp.costing.own.rows import Skipped
from webapp.costing.own.told import OfSheet
from webapp.costing.own.written import Written

#: how far a sum may be off a total, since each may be rounded
_ROUNDED = Decimal("0.011")
_TOTAL = re.compile(r"\btotal\b|summe\b|betrag\b|\bbalance\b|\bdue\b|\bpaid\b|\btotale\b|\btotaal\b")
_PART = re.compile(r"\bsub ?total|zwischensumme|\bgoods\b|\bitems?\b|\bsous total|\btax\b|\bvat\b")
_DROPPED = {INSIDE: "is in the prices already", NOT_TAKEN: "is not counted, as was chosen"}


@dataclass
class Order:
    """The rows of a sheet that are one order, by their places, and those of money beside them; where it ends."""

    lines: list[int] = field(default_factory=list)
    besides: list[int] = field(default_factory=list)
    ends: int = 0


@dataclass
class WithTax:
    """The rows as their tax counts, what is said of rows of tax that don't, and what is asked of sheets."""

    rows: list[MaterialRow]
    book: Book
    written: Written
    how: How
    passed: list[Skipped] = field(default_factory=list)
    asked: list[tuple[str, str]] = field(default_factory=list)
    dropped: set[int] = field(default_factory=set)

    def is_order(self, row: MaterialRow) -> bool:
        """Whether a row becomes a line of an order."""
        how = self.how
        return how.prices == PAID and bool(row.supplier or how.supplier) and (row.day or how.day) is not None

    def reclaims(self, row: MaterialRow) -> bool:
        """Whether the workshop gets back the tax of a row: on its day, else as it is registered now."""
        return self.book.registered_on(row.day) if row.day else self.book.terms.registered


def with_order_tax(
    tables: Sequence[OwnTable],
    layouts: Sequence[Layout],
    rows: Sequence[MaterialRow],
    said: Mapping[int, OfSheet],
    beside: WithTax,
) -> WithTax:
    """The rows with what was said, proved or asked of the tax in money of each sheet; it begins with `beside`."""
    beside.rows = list(rows)
    for number, table in enumerate(tables):
        told = said.get(number, OfSheet()).order_tax
        orders = list(_orders(table, number, rows))
        if told == RATE:
            _fill_rates(beside, orders)
        taxed = any(row.sheet == number and row.order_tax for row in rows)
        if not taxed:
            if not told and at_heads_alone(table, layouts[number], "tax_rate"):
                beside.asked.append((f"sheets-{number}-order_tax", _question(table, layouts[number], "tax_rate")))
            continue
        way = told if told not in ("", RATE) else _proved(table, layouts[number], orders, rows)
        if not way:
            beside.asked.append((f"sheets-{number}-order_tax", _question(table, layouts[number], "order_tax")))
        free = _left_out(table, layouts[number])
        lines_of = [[rows[place] for place in order.lines] for order in orders]
        repeated = any(map(_is_repeated, lines_of))
        for order, lines in zip(orders, lines_of, strict=True):
            of_lines = _of_lines(lines, repeated=repeated) or _is_added_in_lines(table, lines, free)
            _take(beside, order, way or ON_TOP, of_lines=of_lines)
    beside.rows = [row for place, row in enumerate(beside.rows) if place not in beside.dropped]
    return beside


def _question(table: OwnTable, layout: Layout, role: str) -> str:
    """What is asked of the tax of a sheet, with the column that holds it."""
    place = layout.place(role)
    head = "" if place is None or not layout.heads else table.cell(layout.heads, place)[:40]
    what = f"\u201c{head}\u201d is filled in once for each order" if place is not None else "Sales tax stands in rows"
    money = "does it come on top of the prices, or is it in them already?"
    if place is not None and (role == "tax_rate" or is_plain(table, layout)):
        return f"{table.title}: {what}. Is that money, and {money} Or is it a rate in percent? Say it below."
    shown = f"\u201c{head}\u201d holds sales tax in money" if place is not None else f"{what} of its own"
    return f"{table.title}: {shown}: {money} Say it below."


# --- orders of a sheet, and what they prove


def _orders(table: OwnTable, sheet: int, rows: Sequence[MaterialRow]) -> Iterator[Order]:
    """The orders of a sheet: rows of one supplier and day, up to a total."""
    now, key, last = Order(), None, 0
    for place, row in enumerate(rows):
        if row.sheet != sheet:
            continue
        here = (row.supplier, row.day)
        if row.name and now.lines and (here != key or any(_is_whole(table, one) for one in range(last + 1, row.row))):
            now.ends = row.row
            yield now
            now = Order()
        if row.name:
            key = here
            now.lines.append(place)
        else:
            now.besides.append(place)
        last = row.row
    if now.lines:
        now.ends = len(table.rows) + 1
        yield now


def _is_whole(table: OwnTable, row: int) -> bool:
    """Whether a row is the total of an order, and not of a part of it."""
    texts = [words for cell in table.rows[row - 1] if (words := words_of(cell))] if row <= len(table.rows) else []
    return any(_TOTAL.search(text) and not _PART.search(text) for text in texts)


def _proved(table: OwnTable, layout: Layout, orders: Sequence[Order], rows: Sequence[MaterialRow]) -> str:
    """How tax stands by the totals of orders, else by what is said of the prices beside it; "" for nothing."""
    found = {way for order in orders if (way := _by_total(table, layout, order, rows))}
    if not found:
        found = {
            INSIDE if row.tax_in else ON_TOP
            for order in orders
            if any(rows[place].order_tax for place in (*order.lines, *order.besides))
            for row in (rows[place] for place in order.lines)
            if row.tax_in is not None
        }
    return found.pop() if len(found) == 1 else ""


def _by_total(table: OwnTable, layout: Layout, order: Order, rows: Sequence[MaterialRow]) -> str:
    """How tax stands in one order by its total; "" where no total tells."""
    lines, besides = [rows[one] for one in order.lines], [rows[one] for one in order.besides]
    tax = sum((read.value for read in _once(lines, "order_tax")), ZERO)
    tax += sum((row.order_tax.value for row in besides if row.order_tax), ZERO)
    if not tax or any(row.price is None for row in lines):
        return ""
    goods = sum(((row.price or ZERO) * row.packs for row in lines), ZERO)
    carried = sum((read.value for read in _once(lines, "freight")), ZERO)
    carried += sum((row.freight.value for row in besides if row.freight), ZERO)
    free = _left_out(table, layout)
    if _is_added_in_lines(table, lines, free):
        return ON_TOP
    at_lines = [number_at(table, row.row, place) for row in lines for place in free]
    behind = [row for row in range(lines[-1].row + 1, order.ends) if _is_whole(table, row)]
    totals = [number_at(table, row, place) for row in behind for place in range(table.width)]
    if any(one is not None and abs(one - goods - carried - tax) <= _ROUNDED for one in (*at_lines, *totals)):
        return ON_TOP
    taxed_at = max((row.row for row in besides if row.order_tax), default=0)
    below = [number_at(table, row, place) for row in behind if row > taxed_at for place in range(table.width)]
    return INSIDE if any(one is not None and abs(one - goods - carried) <= _ROUNDED for one in below) else ""


def _left_out(table: OwnTable, layout: Layout) -> list[int]:
    """The columns that hold nothing that is known."""
    return [place for place in range(table.width) if not any(layout.roles[place : place + 1])]


def _is_added_in_lines(table: OwnTable, lines: Sequence[MaterialRow], free: Sequence[int]) -> bool:
    """Whether a column that is left out says in each line with tax what its price and its tax are together."""
    taxed = [
        (row.row, (row.price or ZERO) * row.packs + row.order_tax.value) for row in lines if row.order_tax is not None
    ]
    return bool(taxed) and any(
        all(
            (said := number_at(table, row, place)) is not None and abs(said - whole) <= _ROUNDED for row, whole in taxed
        )
        for place in free
    )


def _once(lines: Sequence[MaterialRow], what: str) -> list[Read]:
    """The amounts of a column in the rows of an order: one that stands in all of them once."""
    every: list[Read] = [read for row in lines if (read := getattr(row, what))]
    return every[:1] if len({one.value for one in every}) == 1 and not _of_lines(lines, what) else every


def _is_repeated(lines: Sequence[MaterialRow]) -> bool:
    """Whether the tax of an order stands in each of its rows: one amount beside lines that cost differently."""
    taxes = {row.order_tax and row.order_tax.value for row in lines}
    return len({(row.price or ZERO) * row.packs for row in lines}) > 1 and len(taxes) == 1 and None not in taxes


def _of_lines(lines: Sequence[MaterialRow], what: str = "order_tax", *, repeated: bool = False) -> bool:
    """Whether amounts are those of single lines: several that differ, or one beside lines that all cost the same.

    Not the latter where other orders of the sheet have theirs `repeated` in each row.
    """
    filled = [(row, read) for row in lines if (read := getattr(row, what))]
    if len(filled) < 2:
        return False
    alike = len({(row.price or ZERO) * row.packs for row, _ in filled}) == 1
    if len(filled) == len(lines):
        return (alike and not repeated) or len({read.value for _, read in filled}) > 1
    return len({read.value for _, read in filled}) > 1 and _is_one_rate(filled)


def _is_one_rate(filled: Sequence[tuple[MaterialRow, Read]]) -> bool:
    """Whether amounts are the same share of what their lines cost, to a cent: other lines are without tax then."""
    costs = [((row.price or ZERO) * row.packs, read.value) for row, read in filled]
    whole, tax = max(costs)
    return bool(whole) and all(abs(cost * tax / whole - one) <= _ROUNDED for cost, one in costs)


# --- what becomes of it


def _take(found: WithTax, order: Order, way: str, *, of_lines: bool) -> None:
    out_of_prices = way == INSIDE and found.reclaims(found.rows[order.lines[0]])
    if way != ON_TOP and not out_of_prices:
        for place in (*order.lines, *order.besides):
            _drop(found, place, _DROPPED[way])
        return
    for place in (*order.lines, *order.besides):
        row = found.rows[place]
        if row.order_tax is None:
            continue
        found.rows[place] = replace(row, order_tax_in=out_of_prices)
        if of_lines and row.name:
            _fold(found, place, row.order_tax)
    if not of_lines and not found.is_order(found.rows[order.lines[0]]):
        _share(found, order)


def _share(found: WithTax, order: Order) -> None:
    """Tax of a column in rows that are no order for the book: over those of one supplier and day by value."""
    lines = [found.rows[place] for place in order.lines]
    whole = sum(((row.price or ZERO) * row.packs for row in lines), ZERO)
    tax = sum((read.value for read in _once(lines, "order_tax")), ZERO)
    if not tax or not whole:
        return
    for place in order.lines:
        row = found.rows[place]
        cost = (row.price or ZERO) * row.packs
        if cost:
            share = Read(tax * cost / whole, row.currency)
            found.rows[place] = replace(row, order_tax=share)
            _fold(found, place, share)


def _drop(found: WithTax, place: int, how: str) -> None:
    """A row without its tax, which is said; one that is nothing else is passed over."""
    row = found.rows[place]
    if row.order_tax is None:
        return
    if row.name:
        said = f"Its sales tax, {found.written.number(row.order_tax.value)}, {how}."
        found.rows[place] = replace(row, order_tax=None, remarks=(*row.remarks, said))
        return
    found.dropped.add(place)
    found.passed.append(Skipped(row.sheet, row.row, f"sales tax, which {how}", row.besides))


def _fold(found: WithTax, place: int, tax: Read) -> None:
    """A line with its own tax in its price where that is a cost; taken out of it, or left, where it is reclaimed."""
    row = found.rows[place]
    if row.price is None:
        _drop(found, place, "is not taken: no price stands beside it")
        return
    if found.reclaims(row) and not row.order_tax_in:
        _drop(found, place, "is reclaimed, so it is in no cost")
        return
    share = tax.value / row.packs
    price = rounded(row.price - share if row.order_tax_in else row.price + share, MONEY_PLACES)
    before, after = (
        found.written.money(one, row.currency or found.book.workshop.currency) for one in (row.price, price)
    )
    how = "without its sales tax, which is reclaimed," if row.order_tax_in else "with its sales tax"
    said = f"{before} {how} is {after}."
    found.rows[place] = replace(row, price=price, order_tax=None, remarks=(*row.remarks, said))


def _fill_rates(found: WithTax, orders: Sequence[Order]) -> None:
    """A rate that stands in the first row of an order holds for the rows below it too, which is said."""
    for order in orders:
        first = found.rows[order.lines[0]].tax_rate
        for place in order.lines[1:]:
            row = found.rows[place]
            if first is not None and row.tax_rate is None:
                said = f"The rate of its order, {found.written.number(first)} %, holds for it."
                found.rows[place] = replace(row, tax_rate=first, remarks=(*row.remarks, said))
