"""Rows of a price list that change what the rows above them cost: a discount, and freight that is of no order.

It is asked once for each sheet whether such an amount is shared over the rows above it by value, or left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.own.answered import TAKEN_OFF
from webapp.costing.own.cells import MONEY_PLACES, Read, rounded
from webapp.costing.own.freight import ON_TOP
from webapp.costing.own.freights import order_of
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.materials import PERCENT
from webapp.costing.own.plan import PAID, How
from webapp.costing.own.rows import Skipped, Wrong
from webapp.costing.own.told import OfSheet
from webapp.costing.own.written import Written

_ASKED = {
    "freight": "Does it come on top of the {prices} {where}, shared by value, is it in {them} already, or not to be "
    "counted? Choose it for this sheet.",
    "discount": "Is it taken off the {prices} {where} by value, or not? Choose it for this sheet.",
}


@dataclass
class Shared:
    """The rows with such amounts in their prices, what is said of the rows that these stand in, and what is asked."""

    home: str
    written: Written

    rows: list[MaterialRow] = field(default_factory=list)
    passed: list[Skipped] = field(default_factory=list)
    wrong: list[Wrong] = field(default_factory=list)


def shared(
    rows: Sequence[MaterialRow], how: How, home: str, said: Mapping[int, OfSheet], *, registered: bool = False
) -> Shared:
    """The rows as they cost with the discounts and the freight below them; freight of an order is left to its order."""
    found = Shared(home, how.written)
    since: dict[tuple[int, str], tuple[int, int]] = {}
    for row in rows:
        what = _what(row)
        if not what or row.wrong or (what != "discount" and _has_order(row, found.rows, how)):
            found.rows.append(row)
            continue
        if what == "tax" and registered and not row.order_tax_in:
            found.passed.append(Skipped(row.sheet, row.row, "sales tax, reclaimed, so it is in no cost", row.besides))
            continue
        begins, last = since.get((row.sheet, what), (0, 0))
        begins = last if any(_is_of_sheet(one, row) for one in found.rows[last:]) else begins
        since[row.sheet, what] = begins, len(found.rows)
        places = _above(found.rows, row, begins)
        _take(found, row, what, places, said.get(row.sheet, OfSheet()))
    return found


def _what(row: MaterialRow) -> str:
    """What stands in a row that is money and no material; "" for any other."""
    if row.discount:
        return "discount"
    return "" if not row.besides else "freight" if row.freight else "tax" if row.order_tax else ""


def _has_order(row: MaterialRow, above: Sequence[MaterialRow], how: How) -> bool:
    """Whether freight is that of an order: of its own supplier and day, or of the one right above it."""
    orders = (
        one
        for one in reversed(above)
        if one.sheet == row.sheet and one.name and (one.supplier or how.supplier) and (one.day or how.day)
    )
    nearest = next(orders, None)
    supplier, day = order_of(how, row, nearest)
    return how.prices == PAID and bool(supplier) and day is not None


def _is_of_sheet(one: MaterialRow, row: MaterialRow) -> bool:
    """Whether a row is a material of the same sheet with a price."""
    return bool(one.sheet == row.sheet and one.price and one.name)


def _above(rows: Sequence[MaterialRow], row: MaterialRow, begins: int) -> list[int]:
    """The places of the rows with a price that an amount is of: those above it of one supplier and day.

    Since the last such amount that prices stand below, where there was one; of the supplier and the day that its row
    names, else of the nearest ones. What was given back on a day on which nothing was bought is of the nearest, too.
    """
    here = [at for at in range(begins, len(rows)) if _is_of_sheet(rows[at], row)]
    here = [at for at in here if not row.leads or row.row < rows[at].row]
    here = [at for at in here if not row.supplier or rows[at].supplier.casefold() == row.supplier.casefold()]
    here = [at for at in here if rows[at].day == row.day] or here
    nearest = rows[here[-1]] if here else row
    return [at for at in here if (rows[at].supplier, rows[at].day) == (nearest.supplier, nearest.day)]


def _take(found: Shared, row: MaterialRow, what: str, places: list[int], said: OfSheet) -> None:
    read = row.discount or row.freight or row.order_tax
    many, where = len(places), "below" if row.leads else "above"
    if not read or not places:
        found.passed.append(Skipped(row.sheet, row.row, f"{what}, not taken: no price stands {where} it", row.besides))
        return
    chosen = ON_TOP if what == "tax" else getattr(said, what)  # how tax stands is asked for itself
    if chosen not in (ON_TOP, TAKEN_OFF):
        prices, them = (f"{many} prices", "them") if many > 1 else ("price", "it")
        words = _ASKED[what].format(prices=prices, them=them, where=where)
        found.wrong.append(Wrong(row.sheet, row.row, 0, row.besides, f"{row.besides}. {words}", what))
        return
    amount = _amount(found, row, read, places)
    if amount is None:
        return
    for at in places:
        found.rows[at] = _with_share(found, found.rows[at], what, amount, off=bool(row.discount) or row.order_tax_in)
    over = f"the {many} rows" if many > 1 else "the row"
    done = f"taken off {over} above it" if what == "discount" else f"shared over {over} {where} it"
    unit = found.rows[places[0]].currency if read.unit in ("", PERCENT) else read.unit
    money = found.written.money(rounded(amount[0], MONEY_PLACES), unit or found.home)
    found.passed.append(Skipped(row.sheet, row.row, f"{what}, {money}, {done} by value", row.besides))


def _amount(found: Shared, row: MaterialRow, read: Read, places: Sequence[int]) -> tuple[Decimal, Decimal] | None:
    """The amount that is shared, and what the rows come to without it; None where they are not in its currency."""
    rows = [found.rows[at] for at in places]
    whole = sum(((one.price or ZERO) * one.packs for one in rows), ZERO)
    if read.unit == PERCENT:
        return whole * read.value / HUNDRED, whole
    unit = read.unit or rows[0].currency or found.home
    if other := next((one for one in rows if (one.currency or found.home) != unit), None):
        words = f"This is in {unit}, and {other.name} in {other.currency or found.home}. Type it in that, or "
        found.wrong.append(Wrong(row.sheet, row.row, 0, row.besides, f"{words}leave this row out."))
        return None
    if row.discount and read.value > whole:
        words = f"{row.besides} is more than the prices above it come to. Correct one of them, or leave this row out."
        found.wrong.append(Wrong(row.sheet, row.row, 0, row.besides, words))
        return None
    return read.value, whole


def _with_share(
    found: Shared, row: MaterialRow, what: str, amount: tuple[Decimal, Decimal], *, off: bool
) -> MaterialRow:
    """A row whose price has its share of an amount in it, to four decimals, which is said."""
    before = row.price or ZERO
    share = before * amount[0] / amount[1]
    price = rounded(before - share if off else before + share, MONEY_PLACES)
    one, other = (found.written.money(value, row.currency or found.home) for value in (before, price))
    how = f"less its share of the {what}" if off else f"with its share of the {what}"
    return replace(row, price=price, remarks=(*row.remarks, f"{one} {how} is {other}."))
