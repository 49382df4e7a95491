"""Materials of a maker's own sheets as changes of the book.

What she paid becomes orders, list prices become quotes, and a price without supplier and day a starting price, which
is marked until the first order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing import renewing
from webapp.costing.amounts import ONE, ZERO, Unreadable, percent, plain
from webapp.costing.book import Book, Id
from webapp.costing.called import Names, known
from webapp.costing.densities import suggestions
from webapp.costing.limits import name_key
from webapp.costing.own import order_taxes
from webapp.costing.own.cells import MONEY_PLACES, fitting, rounded
from webapp.costing.own.freights import NO_ORDER, add_freight, add_rows, say_freights
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.order_numbers import numbered
from webapp.costing.own.order_taxes import add_tax, add_tax_row, say_taxes
from webapp.costing.own.plan import (
    ABOUT,
    LIST,
    NEW,
    PAID,
    How,
    MaterialSaid,
    Numbers,
    Plan,
    Planned,
    list_price,
    purchase,
)
from webapp.costing.own.rows import Wrong, mark_of
from webapp.costing.own.told import OfSheet
from webapp.costing.own.trips import together
from webapp.costing.units import MASS, PIECES, VOLUME

SOURCE, TYPED = "the maker's own sheet", "typed beside the maker's own sheet"
BY_PRICE = "the price for so much mass that stands in the maker's own sheet"
_NOTHING: Mapping[int, OfSheet] = MappingProxyType({})
#: from which share on a starting price's last decimal is worth a word
_WORTH_SAYING = Decimal("0.0005")
#: what is said where a head says how tax stands, the workshop reckons the other way, and no rate is there
_NO_RATE = {
    True: "Tax is in this price and its rate is not said, so all of it counts as a cost.",
    False: "Tax comes on top of this price, and its rate is not said: it is not in the cost.",
}


def plan_materials(book: Book, rows: Sequence[MaterialRow], how: How, of: Mapping[int, OfSheet] = _NOTHING) -> Plan:
    """What the rows make of the book; a price that something is wrong with counts nothing."""
    plan = Plan(book, how, Numbers(), of_sheets=of)
    names = Names(known(book.materials.values()))
    above: dict[tuple[int, str], MaterialRow] = {}
    rows = numbered(rows)
    for place, row in enumerate(rows):
        if row.besides and not row.wrong:
            plan.besides.append((row, _order_above(row, above), together(rows[:place], row, how)))
        if not row.name:
            continue
        if (supplier := row.supplier or how.supplier) and (row.day or how.day):
            above[row.sheet, ""] = above[row.sheet, name_key(supplier)] = row
        ident, there, near = plan.material_named(row, names)
        near = near or (() if there else row.near)
        said = MaterialSaid(row, ident, there, plan.materials[ident].name, remarks=list(row.remarks), near=near)
        plan.said.append(said)
        plan.sources.setdefault(ident, row)
        _told_besides(plan, said)
        if not row.wrong:
            _priced(plan, said)
    add_rows(plan)
    for row, over, _ in plan.besides:
        if row.order_tax is not None:
            add_tax_row(plan, row, over)
    say_freights(plan)
    say_taxes(plan)
    return plan


def _order_above(row: MaterialRow, above: Mapping[tuple[int, str], MaterialRow]) -> MaterialRow | None:
    """The nearest row above that is of an order: of the supplier named where its day is not, else of any."""
    own = above.get((row.sheet, name_key(row.supplier))) if not row.day else None
    return own or above.get((row.sheet, ""))


def _told_besides(plan: Plan, said: MaterialSaid) -> None:
    """What a row says besides its price, where the book says nothing yet; what it says otherwise is left as it is."""
    row, held = said.row, plan.materials[said.material]
    if said.known and name_key(held.name) != name_key(row.name):
        said.remarks.append(f"{row.name} is {held.name} here.")
    if said.known and held.kind != row.kind and row.unit and (row.unit == PIECES) != held.by_piece:
        said.remarks.append(f"It is {held.kind} here.")
    source = SOURCE
    value = row.density
    if value is None and row.unit in VOLUME:
        value, source = plan.how.densities.get(mark_of(row.name)), TYPED
    if value is None and row.unit in VOLUME and held.density is None and plan.how.published:
        found = suggestions(held.name, row.inci or held.inci)
        if found:
            value, source = found[0].middle, found[0].source
            said.remarks.append(f"Density {plan.how.written.number(value)} g/mL: {source}.")
    if value is None and held.density is None and plan.how.by_price and row.weighs is not None:
        value, source = row.weighs, BY_PRICE
        said.remarks.append(f"Density {plan.how.written.number(value)} g/mL: it follows from {source}.")
    new = {
        "inci": held.inci or row.inci,
        "also_known_as": held.also_known_as or row.code,
        "density": held.density or (None if value is None else b.Density(plan.book.day, value, None, source)),
    }
    if said.known and row.density is not None and held.density is not None and held.density.value != row.density:
        stays, says = map(plan.how.written.number, (held.density.value, row.density))
        said.remarks.append(f"Its density stays {stays} g/mL; the sheet says {says}.")
    plan.materials[said.material] = replace(held, **new)  # type: ignore[arg-type]


# --- prices


def _priced(plan: Plan, said: MaterialSaid) -> None:
    row, how = said.row, plan.how
    if row.price is None or row.size is None or not row.unit:
        if row.price is not None or row.size is not None or row.density is None:  # a density alone says no price
            said.remarks.append("No price here: it is not known until one is entered.")
        _besides_alone(plan, said)
        return
    rate = _rate(plan, row)
    if rate is None:
        return
    if row.tax_in is not None and row.tax_rate is None and row.tax_in == plan.book.terms.registered:
        said.remarks.append(_NO_RATE[row.tax_in])
    supplier, day = row.supplier or how.supplier, row.day or how.day
    if not (how.prices == PAID and supplier and day):
        said.remarks += _of_no_order(row, how)
    if how.prices == PAID and supplier and day:
        _paid(plan, said, supplier, day)
    elif how.prices == LIST and supplier:
        _listed(plan, said, supplier, day or plan.book.day, rate)
    else:
        said.way = ABOUT
        if how.prices != ABOUT:
            said.missing = "day" if supplier else "supplier" if day or how.prices == LIST else "supplier and no day"
            said.remarks.append(f"The sheet says no {said.missing}, so it is a starting price.")
        if said.material in plan.bought:
            said.remarks.append("It was bought before: what was paid counts, so its price stays.")
            return
        _start(plan, said, rate)


def _of_no_order(row: MaterialRow, how: How) -> list[str]:
    """What is said of freight and sales tax of a row that is in no order."""
    beside = (("freight", row.freight, NO_ORDER), ("sales tax", row.order_tax, order_taxes.NO_ORDER))
    return [f"Its {what}, {how.written.number(one.value)}, is not taken: {why}." for what, one, why in beside if one]


def _rate(plan: Plan, row: MaterialRow) -> Decimal | None:
    """Home money for one of the row's; a fault where nobody said."""
    home = plan.book.workshop.currency
    if row.currency in ("", home):
        return ONE
    if row.currency not in plan.how.rates:
        words = f"This price is in {row.currency}. Type what one {row.currency} is in {home}."
        plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name, words, "rates"))
        return None
    return plan.how.rates[row.currency]


def tax_is_in(row: MaterialRow, how: How) -> bool:
    """Whether tax is in a price: as its column says, else as was chosen for all."""
    return how.tax_included if row.tax_in is None else row.tax_in


def _cost(plan: Plan, row: MaterialRow, rate: Decimal) -> Decimal:
    """What a pack costs in home money: with tax where it is a cost, without where it is reclaimed. Not rounded."""
    tax, inside = percent(row.tax_rate or ZERO), tax_is_in(row, plan.how)
    price = (row.price or ZERO) * rate
    if plan.book.terms.registered:
        return price / (ONE + tax) if inside else price
    return price if inside else price * (ONE + tax)


def _start(plan: Plan, said: MaterialSaid, rate: Decimal) -> None:
    """Its starting price; beside a quote, which counts, what is lost of it is not worth a word."""
    row = said.row
    factors = MASS if row.unit in MASS else VOLUME
    unit = _LARGE.get(row.unit, row.unit)
    quantity = (row.size or ONE) * (ONE if row.unit == PIECES else factors[row.unit] / factors[unit])
    exact = _cost(plan, row, rate) / quantity
    try:
        kept = fitting(exact, lim.MONEY, plain(exact))
    except Unreadable as unreadable:
        plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name, unreadable.sentence))
        return
    if exact and not kept:
        words = "This price is too small for its pack to be kept to four decimals. Correct one of them."
        plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name, words))
    if said.way != LIST and exact and abs(exact - kept) > exact * _WORTH_SAYING:
        one, said_so = "piece" if unit == PIECES else unit, plan.how.written.money(kept, plan.book.workshop.currency)
        said.remarks.append(f"Kept as {said_so} for one {one}, half-up to four decimals.")
    held, start = plan.materials[said.material], b.StartingPrice(kept, unit)
    before = plan.started.get(said.material)
    if before is not None and said.way != LIST and held.starting != start and not _is_later(plan, said, before):
        return
    plan.started[said.material] = said
    plan.materials[said.material] = replace(held, starting=start)


def _is_later(plan: Plan, said: MaterialSaid, before: MaterialSaid) -> bool:
    """Whether of two starting prices the second counts: by its day; where no days say it, that is to be said."""
    row, other = said.row, before.row
    if row.day and other.day and row.day != other.day:
        earlier, later = sorted((said, before), key=lambda one: one.row.day or date.min)
        earlier.remarks.append(f"The later price counts, that of {plan.how.written.day(later.row.day or date.min)}.")
        return later is said
    where = f"row {other.row}" if other.sheet == row.sheet else "an earlier sheet"
    where += f" (\u201c{other.beside}\u201d)" if other.beside else ""
    words = (
        f"{said.name} has another price in {where}, and no days say which is the later one. Leave one of them out, or "
        "say that these are list prices, of which several are kept."
    )
    plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name, words, other=(other.sheet, other.row)))
    return False


#: what a starting price is kept for one of, so that its four decimals lose nothing that is worth a word
_LARGE = {
    **dict.fromkeys(("g", "mg", "kg"), "kg"),
    **dict.fromkeys(("oz", "lb"), "lb"),
    **dict.fromkeys(("mL", "L"), "L"),
    **{unit: "US gallon" for unit in VOLUME if unit.startswith("US")},
    **{unit: "imp gallon" for unit in VOLUME if unit.startswith("imp")},
}


def _supplier(plan: Plan, name: str, currency: str) -> Id:
    if found := plan.supplier_called(name):
        return found
    made = plan.suppliers[name_key(name)] = b.Supplier(plan.numbers.new(), name, currency)
    return made.id


def exchange_of(plan: Plan, currency: str) -> b.Exchange | None:
    """How a currency was turned into home money; None for home money itself."""
    home = plan.book.workshop.currency
    return None if currency == home else b.Exchange("home per unit", plan.how.rates[currency])


def _paid(plan: Plan, said: MaterialSaid, supplier: str, day: date) -> None:
    row, said.way = said.row, PAID
    if day > plan.book.day:
        plan.wrong.append(
            Wrong(row.sheet, row.row, 0, row.name, f"{plan.how.written.day(day)} lies ahead. Correct the day.")
        )
        return
    currency = row.currency or plan.book.workshop.currency
    ident = _supplier(plan, supplier, currency)
    line = b.OrderLine(
        said.material, row.packs, row.size or ONE, row.unit, row.price,
        tax_rate=row.tax_rate or ZERO, tax_included=tax_is_in(row, plan.how) and bool(row.tax_rate),
    )  # fmt: skip
    again = purchase(ident, day, line) in plan.purchases
    of = (ident, day, currency, row.order)
    add_freight(plan, said, of, again=again)
    add_tax(plan, said, of, again=again)
    if again:
        said.remarks.append("This purchase stands in the book already: it is not entered again.")
        return
    plan.orders.setdefault((ident, day, currency, row.order), []).append((row, line))


def _besides_alone(plan: Plan, said: MaterialSaid) -> None:
    """The freight and the tax of an order that stand in a row without a price."""
    row, how = said.row, plan.how
    if row.freight is None and row.order_tax is None:
        return
    supplier, day = row.supplier or how.supplier, row.day or how.day
    if not (how.prices == PAID and supplier and day):
        said.remarks += _of_no_order(row, how)
        return
    currency = row.currency or plan.book.workshop.currency
    order = (_supplier(plan, supplier, currency), day, currency, row.order)
    add_freight(plan, said, order, again=False)
    add_tax(plan, said, order, again=False)


def _listed(plan: Plan, said: MaterialSaid, supplier: str, since: date, rate: Decimal) -> None:
    row, said.way = said.row, LIST
    currency = row.currency or plan.book.workshop.currency
    price = rounded(_cost(plan, row, ONE), MONEY_PLACES)
    until = max(renewing.valid_until(plan.book), since)
    ident = _supplier(plan, supplier, currency)
    quote = b.Quote(
        plan.numbers.new(), said.material, ident, since, until, row.size or ONE, row.unit, price, currency,
        exchange_of(plan, currency),
    )  # fmt: skip
    if list_price(quote) in plan.listed:
        said.remarks.append("This list price stands in the book already.")
        return
    plan.quotes.append((row, quote))
    before = plan.quoted.get(said.material)
    dated = bool(before and row.day and before[0].row.day)
    if before is not None and not (dated and since > before[1].since):
        said.remarks.append(f"It is kept beside the {'later' if dated else 'first'} one, which counts.")
        return
    if before is not None:
        before[0].remarks.append(f"It is kept beside the later one, of {plan.how.written.day(since)}, which counts.")
    plan.quoted[said.material] = said, quote
    if plan.materials[said.material].starting is None or said.material in plan.started:
        _start(plan, said, rate)


__all__ = [
    "ABOUT",
    "LIST",
    "NEW",
    "PAID",
    "How",
    "MaterialSaid",
    "Numbers",
    "Plan",
    "Planned",
    "exchange_of",
    "mark_of",
    "plan_materials",
    "tax_is_in",
]
