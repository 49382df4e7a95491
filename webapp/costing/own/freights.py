"""The freight of orders that a maker's own sheet says, as charges of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.book import Charge
from webapp.costing.own.cells import Read
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.plan import PAID, How, MaterialSaid, OrderKey, Plan
from webapp.costing.own.rows import Skipped, Wrong
from webapp.costing.own.trips import by_value, day_said, is_of_above, is_shared, share, share_over

NO_ORDER = "only what was paid, with supplier and day, is an order, and has freight"


def add_freight(plan: Plan, said: MaterialSaid, order: OrderKey, *, again: bool) -> None:
    """Keep what a row says of its order's freight; wrong where it is in a currency that neither of them has.

    `again`: the book has the purchase already, so that it may have its freight too.
    """
    row = said.row
    if again:
        plan.again.add(order)
    if row.freight is None:
        return
    if _is_of(plan, row, row.freight.unit, order):
        plan.freights.setdefault(order, []).append((said, again))


def _is_of(plan: Plan, row: MaterialRow, unit: str, order: OrderKey) -> bool:
    """Whether freight is in the currency of its order or in home money; what is in neither is wrong."""
    if unit in (order[2], plan.book.workshop.currency):
        return True
    words = f"The freight is in {unit} and its order in {order[2]}. Type it in {order[2]}."
    plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name or row.besides, words))
    return False


# --- freight in a row of its own


def add_rows(plan: Plan) -> None:
    """Give the freight of rows of their own to its orders, when those are known, and say at each row what it is."""
    for row, above, beside in plan.besides:
        if row.freight is None:
            continue
        shared = plan.how.prices == PAID and is_shared(plan, row, above, beside)
        if shared and not is_of_above(plan, row):
            share(plan, row, row.freight, above, beside)
            continue
        if said := _added(plan, replace(row, supplier="") if shared else row, row.freight, above):
            plan.passed.append(Skipped(row.sheet, row.row, said, row.besides))


def _added(plan: Plan, row: MaterialRow, read: Read, above: MaterialRow | None) -> str:
    """What is said of a row of freight, which is added to its order where nothing is against it; "" for a fault."""
    supplier, day = order_of(plan.how, row, above)
    name, ident = _name_of(plan, row, supplier, day), plan.supplier_called(supplier)
    there = sorted(one for one in {*plan.orders, *plan.again} if one[:2] == (ident, day))
    number = row.order or (above.order if above and not (row.supplier or row.day) else "")
    there = [one for one in there if one[3] == number] or there
    if not there:
        return f"freight, not taken: nothing of an {name} has a price"
    order = there[0] if len(there) == 1 else _in_currency(plan, row, above, there)
    if order is None:
        _of_several(plan, row, read, there)
        return ""
    unit, before = read.unit or order[2], plan.added.setdefault(order, [])
    if not _is_of(plan, row, unit, order):
        return ""
    if against := _against(plan, order, (row.sheet, read.value, unit)):
        return f"freight, {against} the {name}"
    before.append((row.sheet, read.value, unit))
    lines = len(plan.orders[order])
    over = f", shared over its {lines} lines {by_value(plan, order)}" if lines > 1 else ""
    return f"the freight of the {name}, {plan.how.written.money(read.value, unit)}{over}"


def _name_of(plan: Plan, row: MaterialRow, supplier: str, day: date | None) -> str:
    """What an order of a row of freight is called, and that it stands below that row where it does."""
    return f"order of {supplier} of {day_said(plan, day)}{' below it' if row.leads else ''}"


def _of_several(plan: Plan, row: MaterialRow, read: Read, orders: Sequence[OrderKey]) -> None:
    """Freight that names no one of several orders of a supplier and day: shared by value where all are in one money."""
    units = sorted({one[2] for one in orders})
    if len(units) == 1:
        share_over(plan, row, read, orders)
        return
    words = f"Its order is one in {' or in '.join(units)}. Write the currency beside its amount in your sheet, or leave"
    plan.wrong.append(Wrong(row.sheet, row.row, 0, row.besides, f"{words} this row out."))


def _against(plan: Plan, order: OrderKey, added: tuple[int, Decimal, str]) -> str:
    """Why an amount of a sheet is not added to an order: words in front of what that is called; "" for no reason."""
    if plan.freights.get(order):
        return "not taken: the column of freight says that of"
    if order in plan.again:
        return "not entered again: the book has a part of"
    twice = any(one[0] != added[0] and one[1:] == added[1:] for one in plan.added[order])
    return "not taken twice: an earlier sheet says the same of" if twice else ""


def _in_currency(
    plan: Plan, row: MaterialRow, above: MaterialRow | None, orders: Sequence[OrderKey]
) -> OrderKey | None:
    """Of orders of one supplier and day that of the freight's currency, else the one above; None where neither says."""
    unit = row.freight.unit if row.freight else ""
    if not unit and above is not None and not (row.supplier or row.day):
        unit = above.currency or plan.book.workshop.currency
    return next((one for one in orders if one[2] == unit), None)


def order_of(how: How, row: MaterialRow, above: MaterialRow | None) -> tuple[str, date | None]:
    """The supplier and the day of the order that a row of freight names, else of the one right above it."""
    supplier, day = (above.supplier or how.supplier, above.day or how.day) if above else (how.supplier, how.day)
    return row.supplier or supplier, row.day or day


# --- what is said, and the charges


def say_freights(plan: Plan) -> None:
    """Say at its first row what is taken for the freight of each order."""
    for order, rows in plan.freights.items():
        first, lines = rows[0][0], len(plan.orders.get(order, ()))
        amounts = _amounts(plan, order)
        if not lines and order not in plan.again:
            first.remarks.append("Its freight is not taken: nothing of this order has a price.")
            continue
        if not amounts or not lines:
            first.remarks.append("Its freight is not entered again: the book has this order, or a part of it.")
            continue
        each = [(unit, [value for value, one in amounts if one == unit]) for unit in _units(amounts)]
        sums, day = [_sum_of(plan, values, unit, order) for unit, values in each], plan.how.written.day(order[1])
        once = ", once," if len(rows) > len(amounts) else ""
        over = f", shared over its {lines} lines {by_value(plan, order)}" if lines > 1 else ""
        first.remarks.append(f"{' and '.join(sums)} is{once} the freight of this order of {day}{over}.")


def charges_of(plan: Plan, order: OrderKey) -> tuple[Charge, ...]:
    """The freight of an order as its charges, one for each currency that it is in."""
    amounts = _amounts(plan, order) or [(value, unit) for _, value, unit in plan.added.get(order, ())]
    return tuple(
        Charge("freight", sum((value for value, one in amounts if one == unit), ZERO), _money(unit, order))
        for unit in _units(amounts)
    )


def _amounts(plan: Plan, order: OrderKey) -> list[tuple[Decimal, str]]:
    """What the freight of an order is made of: one amount that stands in several rows is one, others are of each row.

    Where the book has a part of the order, the one amount was that part's, and others are those of rows that are new.
    """
    rows = [
        (read.value, read.unit, again) for said, again in plan.freights.get(order, ()) if (read := said.row.freight)
    ]
    each = [(value, unit) for value, unit, again in rows if not again]
    if len({(value, unit) for value, unit, _ in rows}) > 1:
        return each
    return [] if order in plan.again else each[:1]


def _units(amounts: Sequence[tuple[Decimal, str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(unit for _, unit in amounts))


def _money(unit: str, order: OrderKey) -> str:
    """Which currency a charge is in: that of its order, else home money."""
    return "order" if unit == order[2] else "home"


def _sum_of(plan: Plan, values: Sequence[Decimal], unit: str, order: OrderKey) -> str:
    """An amount, or several with what they come to; with its currency where that is not the order's."""
    named = "" if unit == order[2] else f" {unit}"
    number = plan.how.written.number
    whole = f" = {number(sum(values, ZERO))}" if len(values) > 1 else ""
    return f"{' + '.join(map(number, values))}{whole}{named}"
