"""The sales tax in money that a maker's own sheet says of an order: its lump sum, no cost where it is reclaimed."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.book import Charge
from webapp.costing.own.freights import order_of
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.plan import MaterialSaid, OrderKey, Plan
from webapp.costing.own.rows import Skipped, Wrong

LABEL = "Sales tax"
NO_ORDER = "only what was paid, with supplier and day, is an order, and has tax of its own"


def add_tax(plan: Plan, said: MaterialSaid, order: OrderKey, *, again: bool) -> None:
    """Keep what a row says of its order's tax; `again`: the book has the purchase already."""
    if said.row.order_tax is not None:
        _add(plan, said.row, said, order, again)


def _add(plan: Plan, row: MaterialRow, said: MaterialSaid | None, order: OrderKey, again: bool) -> None:
    unit = row.order_tax.unit if row.order_tax else ""
    if unit in ("", order[2]):
        plan.taxes.setdefault(order, []).append((row, said, again))
        return
    words = f"The sales tax is in {unit} and its order in {order[2]}. Type it in {order[2]}."
    plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name or row.besides, words))


def add_tax_row(plan: Plan, row: MaterialRow, above: MaterialRow | None) -> None:
    """Keep the tax of a row of its own for the order that it names, else the one above it; said where there is none."""
    supplier, day = order_of(plan.how, row, above)
    ident = plan.supplier_called(supplier)
    there = sorted(one for one in {*plan.orders, *plan.again} if one[:2] == (ident, day))
    unit = row.order_tax.unit if row.order_tax else ""
    there = [one for one in there if one[2] == unit] or there
    there = [one for one in there if row.order and one[3] == row.order] or there
    if not there:
        plan.passed.append(Skipped(row.sheet, row.row, f"tax, not taken: {NO_ORDER}", row.besides))
    else:
        _add(plan, row, None, there[0], there[0] in plan.again)


def say_taxes(plan: Plan) -> None:
    """Say at each row what becomes of the tax that stands there."""
    for order, rows in plan.taxes.items():
        counted, against = _counted(plan, order), _against(plan, order)
        for row, said, _ in rows:
            words = against or (
                _said(plan, order, row) if row in counted else "is said once more here, and counts once"
            )
            value = plan.how.written.money(row.order_tax.value, order[2]) if row.order_tax else ""
            if said is None:
                plan.passed.append(Skipped(row.sheet, row.row, f"sales tax: {value} {words}", row.besides))
            else:
                said.remarks.append(f"{value} {words}.")


def _against(plan: Plan, order: OrderKey) -> str:
    """Why the tax of an order is not taken; "" for no reason."""
    if order in plan.again:
        return "is the sales tax of an order that the book has, or a part of: it is not entered again"
    if order not in plan.orders:
        return "is sales tax and not taken: nothing of this order has a price"
    if any(line.tax_rate for _, line in plan.orders[order]):
        return "is sales tax and not taken: the rates of its lines say it already"
    return ""


def _said(plan: Plan, order: OrderKey, row: MaterialRow) -> str:
    lines, day = len(plan.orders[order]), plan.how.written.day(order[1])
    over = f", shared over its {lines} lines by value" if lines > 1 else ""
    words = f"is the sales tax of this order of {day}{' below it' if row.leads else ''}"
    if row.order_tax_in:
        return f"{words}, taken out of its prices, since it is reclaimed"
    return f"{words}, reclaimed, so it is in no cost" if plan.book.registered_on(order[1]) else f"{words}{over}"


def _counted(plan: Plan, order: OrderKey) -> list[MaterialRow]:
    """The rows whose amounts are the tax of an order: those of a column, else rows of their own; each amount once."""
    rows = [row for row, _, _ in plan.taxes.get(order, ())]
    named = [row for row in rows if row.name]
    found: list[MaterialRow] = []
    for row in named or rows:
        same = [one for one in found if one.order_tax == row.order_tax]
        if not same or (not row.name and same[0].sheet == row.sheet):
            found.append(row)
    return found


def tax_total_of(plan: Plan, order: OrderKey) -> Decimal | None:
    """The lump sum of tax that comes on top of an order; None for none."""
    amount = _sum(plan, order, inside=False)
    return amount or None


def taken_out(plan: Plan, order: OrderKey) -> tuple[Charge, ...]:
    """What is taken off an order whose prices hold tax that is reclaimed."""
    amount = _sum(plan, order, inside=True)
    return (Charge("discount", amount, label=LABEL),) if amount else ()


def _sum(plan: Plan, order: OrderKey, *, inside: bool) -> Decimal:
    if order not in plan.taxes or _against(plan, order):
        return ZERO
    rows = [row for row in _counted(plan, order) if row.order_tax_in == inside]
    return sum((row.order_tax.value for row in rows if row.order_tax), ZERO)
