"""Freight in a row of its own that may be of several orders of one day: of one trip to several suppliers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from webapp.costing.amounts import MINOR_UNITS, ONE, ZERO, percent, share_out
from webapp.costing.book import OrderLine
from webapp.costing.limits import name_key
from webapp.costing.own.answered import ALL_OF_DAY, JUST_ABOVE
from webapp.costing.own.cells import Read
from webapp.costing.own.freight import NOT_TAKEN
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.plan import How, OrderKey, Plan
from webapp.costing.own.rows import Skipped, Wrong


def together(rows: Sequence[MaterialRow], row: MaterialRow, how: How) -> tuple[MaterialRow, ...]:
    """The rows right above one of freight that are of its day, or of one day: up to a gap, or to freight before it."""
    found: list[MaterialRow] = []
    for one in reversed(rows):
        gap = bool(found) and one.row != found[-1].row - 1
        if one.sheet != row.sheet or gap or not one.name:
            break
        day = one.day or how.day
        if day is None or day != (row.day or (found[0].day if found else one.day) or how.day):
            break
        found.append(one)
    return tuple(found)


def is_shared(plan: Plan, row: MaterialRow, above: MaterialRow | None, beside: Sequence[MaterialRow]) -> bool:
    """Whether freight may be of several orders: it names no supplier, or one of whom nothing is bought that day."""
    if not row.supplier:
        return len({name_key(one.supplier or plan.how.supplier) for one in beside}) > 1
    day = row.day or (above.day if above else None) or plan.how.day
    mine, ident = name_key(row.supplier), plan.supplier_called(row.supplier)
    said = any(name_key(one.row.supplier) == mine and (one.row.day or plan.how.day) == day for one in plan.said)
    there = any(one[0] == ident and ident and one[1] == day for one in (*plan.orders, *plan.again))
    return day is not None and not said and not there


def share(
    plan: Plan, row: MaterialRow, freight: Read, above: MaterialRow | None, beside: Sequence[MaterialRow]
) -> None:
    """Ask once of the sheet whose freight it is; once that is said, shared by value over the orders of the day."""
    told = plan.told(row.sheet).shared
    orders = _orders(plan, row, above, beside)
    day = orders[0][1] if orders else row.day
    said = day_said(plan, day)
    if not orders:
        words = f"Freight, and nothing of an order of {said} has a price. Correct its supplier or its day, or"
        plan.wrong.append(Wrong(row.sheet, row.row, 0, row.besides, f"{words} leave this row out."))
    elif told == ALL_OF_DAY:
        share_over(plan, row, freight, orders)
    elif told == NOT_TAKEN:
        plan.passed.append(Skipped(row.sheet, row.row, "freight, which is not counted, as was chosen", row.besides))
    else:
        plan.wrong.append(Wrong(row.sheet, row.row, 0, row.besides, _question(plan, row, above, said), "shared"))


def is_of_above(plan: Plan, row: MaterialRow) -> bool:
    """Whether such freight was said to be of the supplier right above it."""
    return plan.told(row.sheet).shared == JUST_ABOVE


def day_said(plan: Plan, day: date | None) -> str:
    """The day of an order in words, where it is known."""
    return "its day" if day is None else plan.how.written.day(day)


def _question(plan: Plan, row: MaterialRow, above: MaterialRow | None, day: str) -> str:
    nobody = f" Nothing is bought of {row.supplier} that day." if row.supplier else ""
    nearest = (above.supplier if above else "") or plan.how.supplier
    return (
        f"{row.besides}.{nobody} Is it shared by value over all orders of {day}, or is it that of {nearest} right "
        "above it? Choose it for this sheet."
    )


def _orders(plan: Plan, row: MaterialRow, above: MaterialRow | None, beside: Sequence[MaterialRow]) -> list[OrderKey]:
    """The orders that it may be shared over: those of the rows above it, else all of its day."""
    home = plan.book.workshop.currency
    day = row.day or (above.day if above else None) or plan.how.day
    keys = [
        (
            plan.supplier_called(one.supplier or plan.how.supplier),
            one.day or plan.how.day,
            one.currency or home,
            one.order,
        )
        for one in beside
    ]
    found = [one for one in plan.orders if one in keys]
    return found or [one for one in plan.orders if one[1] == day]


def share_over(plan: Plan, row: MaterialRow, read: Read, orders: Sequence[OrderKey]) -> None:
    """Share it over some orders by value, as finely as its money goes, or as it is written where that is finer."""
    unit = read.unit or orders[0][2]
    if against := _against(plan, orders, unit):
        plan.wrong.append(
            Wrong(row.sheet, row.row, 0, row.besides, f"{against} Leave this row out, or type each part.")
        )
        return
    finest, said = max(MINOR_UNITS.get(unit, 2), -int(read.value.as_tuple().exponent)), list[str]()
    parts = share_out(read.value, [_value(plan, one) for one in orders], finest)
    for order, part in zip(orders, parts, strict=True):
        plan.added.setdefault(order, []).append((row.sheet, part, unit))
        number = f" ({order[3]})" if sum(one[0] == order[0] for one in orders) > 1 else ""
        said.append(f"{_name(plan, order)}{number} {plan.how.written.money(part, unit)}")
    day, money = plan.how.written.day(orders[0][1]), plan.how.written.money(read.value, unit)
    what = f"freight, {money}, shared {by_value(plan, *orders)} over the orders of {day}: {', '.join(said)}"
    plan.passed.append(Skipped(row.sheet, row.row, what, row.besides))


def _against(plan: Plan, orders: Sequence[OrderKey], unit: str) -> str:
    """Why it can't be shared; "" for no reason."""
    if any(one[2] != unit for one in orders):
        return f"This freight is in {unit}, and orders of its day are in other money."
    if any(one in plan.again for one in orders):
        return "The book has a part of these orders already."
    taken = next((one for one in orders if plan.freights.get(one)), None)
    return f"The column of freight says that of {_name(plan, taken)} already." if taken else ""


def by_value(plan: Plan, *orders: OrderKey) -> str:
    """How freight is shared, in words: where lines have tax, by what they come to before it."""
    taxed = any(line.tax_rate for order in orders for _, line in plan.orders.get(order, ()))
    return "by value before tax" if taxed else "by value"


def _value(plan: Plan, order: OrderKey) -> Decimal:
    """What an order comes to before tax."""
    return sum((_before_tax(line) for _, line in plan.orders[order]), ZERO)


def _before_tax(line: OrderLine) -> Decimal:
    return (line.price or ZERO) * line.packs / (ONE + percent(line.tax_rate) if line.tax_included else ONE)


def _name(plan: Plan, order: OrderKey) -> str:
    names = {one.id: one.name for one in plan.suppliers.values()}
    return names.get(order[0]) or plan.book.suppliers[order[0]].name
