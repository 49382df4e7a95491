"""What a supplier order's figures come from, as sums for people: landed cost, shares of charges, exchange."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, plain
from webapp.costing.book import Book
from webapp.costing.charges import WEIGHTS, Share
from webapp.costing.gaps import Gap, Ref
from webapp.costing.invoices import discount
from webapp.costing.orders import Landed, LandedLine
from webapp.costing.quantities import per_one, reckoned_in
from webapp.costing.quantities import working as arrived_working
from webapp.costing.units import PIECES
from webapp.costing.working import Step, Working


def working(book: Book, line: LandedLine, landed: Landed) -> Working:
    """The unit cost of one line: its landed cost over what arrived usable, down to packs x price."""
    material = book.materials[line.line.material]
    at = Ref("order", line.order, f"lines-{line.index}")
    steps = (
        Step("", line.landed, "money", "with its share of freight and charges", at, landed_working(book, line, landed)),
        Step("÷", line.quantity, reckoned_in(material), "arrived usable", at, quantity_working(book, line)),
    )
    return Working(material.name, steps, line.unit_cost, "unit cost", per_one(material), day=line.day)


def quantity_working(book: Book, line: LandedLine) -> Working:
    """What arrived of a line, in grams or pieces: packs x size, or what was counted, and its conversion."""
    bought, at = line.line, f"lines-{line.index}-"
    if bought.arrived is not None:
        words = f"{bought.unit} arrived usable" if bought.unit != PIECES else "arrived usable"
        steps: tuple[Step, ...] = (Step("", bought.arrived, "number", words, Ref("order", line.order, at + "arrived")),)
    else:
        steps = (
            Step("", bought.packs, "number", "packs", Ref("order", line.order, at + "packs")),
            Step("×", bought.size, "number", f"{bought.unit} in a pack", Ref("order", line.order, at + "size")),
        )
    return arrived_working(book.materials[bought.material], steps, bought.unit, line.quantity)


def landed_working(book: Book, line: LandedLine, landed: Landed) -> Working:
    """The landed cost of one line: goods, tax, its share of every charge, and the exchange."""
    steps = [*_goods_steps(line), *_tax_steps(line)]
    steps += [_share_step(book, line, landed, share) for share in line.shares if not share.at_home and share.amount]
    if line.currency != book.workshop.currency:
        steps += _exchange_steps(line, landed)
    steps += [_share_step(book, line, landed, share) for share in line.shares if share.at_home and share.amount]
    title = f"{book.materials[line.line.material].name} with its share of freight and charges"
    return Working(title, tuple(steps), line.landed, "money", book.workshop.currency)


def _goods_steps(line: LandedLine) -> list[Step]:
    bought, unit = line.line, line.currency
    at = f"lines-{line.index}-"
    if bought.total is not None:
        return [Step("", line.goods, "money", "line total as typed", Ref("order", line.order, at + "total"), unit=unit)]
    if bought.price is None:
        return [Step("", line.goods, "money", "goods", Ref("order", line.order, at + "price"), unit=unit)]
    steps = [
        Step("", bought.packs, "number", "packs", Ref("order", line.order, at + "packs")),
        Step("×", bought.price, "money", "price per pack", Ref("order", line.order, at + "price"), unit=unit),
    ]
    if bought.discount:
        words = "discount" if bought.discount_in == "money" else f"discount of {plain(bought.discount)} %"
        off = discount(bought, bought.packs * bought.price)
        steps.append(Step("-", off, "money", words, Ref("order", line.order, at + "discount"), unit=unit))
    return [*steps, Step("=", line.goods, "money", "goods, rounded once", unit=unit)]


def _tax_steps(line: LandedLine) -> list[Step]:
    if isinstance(line.tax, Gap) or not line.tax:
        return []
    at = Ref("order", line.order, f"lines-{line.index}-tax_rate")
    rate, unit = plain(line.line.tax_rate), line.currency
    if line.line.tax_included and not line.tax_cost:
        return [Step("-", line.tax, "money", f"sales tax in it at {rate} %, reclaimed", at, unit=unit)]
    if not line.line.tax_included and line.tax_cost:
        return [Step("+", line.tax, "money", f"sales tax at {rate} %, not reclaimed", at, unit=unit)]
    return []


def _share_step(book: Book, line: LandedLine, landed: Landed, share: Share) -> Step:
    field = "tax_total" if share.charge is None else f"charges-{share.charge}"
    at = Ref("order", line.order, field)
    below = None if isinstance(share.amount, Gap) else share_working(book, line, landed, share)
    if isinstance(share.amount, Decimal) and share.amount < 0:
        return Step("-", -share.amount, "money", share.words, at, below, share.currency)
    return Step("+", share.amount, "money", share.words, at, below, share.currency)


#: what a charge is shared by -> how a line's weight is shown, and what it is called
_SHARED_BY = {
    "value": ("money", "this line's goods without tax", "those of all lines"),
    "mass": ("g", "what this line weighed as billed", "what all lines weighed"),
    "equally": ("number", "line", "lines"),
}


def share_working(book: Book, line: LandedLine, landed: Landed, share: Share) -> Working:
    """A line's known share of one charge or of a lump sum of tax: the whole of it by the line's part in the weights."""
    order = landed.order
    field = "tax_total" if share.charge is None else f"charges-{share.charge}"
    if share.charge is None:
        how, whole, words = "value", landed.tax_shared, "sales tax of the order"
    else:
        charge_now = landed.charges[share.charge]
        how, whole = charge_now.charge.share, charge_now.shared
        words = (charge_now.charge.label or charge_now.charge.kind) + (" with its tax" if charge_now.tax_cost else "")
    found = [one.net for one in landed.lines] if how == "value" else WEIGHTS[how](book, order, ())
    weights = [one for one in found if isinstance(one, Decimal)]
    if not any(weights):  # nothing to go by: each line bears as much
        how, weights = "equally", [ONE] * len(weights)
    kind, mine, all_of_them = _SHARED_BY[how]
    unit = order.currency if kind == "money" else ""
    steps = (
        Step("", abs(whole), "money", words, Ref("order", order.id, field), unit=share.currency),
        Step("×", weights[line.index], kind, mine, unit=unit),
        Step("÷", sum(weights, ZERO), kind, all_of_them, unit=unit),
    )
    note = "Rounded so that the shares of all lines add up to the whole."
    amount = share.amount if isinstance(share.amount, Gap) else abs(share.amount)
    return Working(share.words.capitalize(), steps, amount, "money", share.currency, note)


def _exchange_steps(line: LandedLine, landed: Landed) -> list[Step]:
    exchange, home = landed.order.exchange, Ref("order", line.order, "exchange-amount")
    if exchange is None or isinstance(landed.rate, Gap):
        rate = landed.rate if isinstance(landed.rate, Gap) else landed.rate.value
        return [Step("×", rate, "rate", "exchange rate", home)]
    if exchange.way == "home per unit":
        return [Step("×", exchange.amount, "rate", f"for one {line.currency}", home)]
    if exchange.way == "units per home":
        return [Step("÷", exchange.amount, "rate", f"{line.currency} for one of ours", home)]
    total = Step("÷", landed.total, "money", "for all of the order", home, unit=line.currency)
    return [Step("×", exchange.amount, "money", "really paid", home), total]
