"""What can be wrong with a material, a quote or an order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from webapp.costing import book as b
from webapp.costing.amounts import HUNDRED, ZERO, plain, to_minor
from webapp.costing.book import Book
from webapp.costing.checks.found import Found, Question, in_words, minor_unit, name_taken
from webapp.costing.checks.jumps import jump_questions
from webapp.costing.checks.using import users_of_material
from webapp.costing.invoices import goods_before_rounding
from webapp.costing.limits import Fault
from webapp.costing.units import MASS, PIECES, VOLUME


def unit_fault(material: b.Material, unit: str, at: str) -> Found:
    """A unit that does not suit what is bought: pieces for what is counted, mass or volume for what is weighed."""
    if material.by_piece and unit != PIECES:
        yield Fault(at, "unit", f"{material.name} is counted in pieces. Choose pieces.")
    if not material.by_piece and unit == PIECES:
        yield Fault(at, "unit", f"{material.name} is weighed. Choose a unit of mass or volume.")


def material(book: Book, material: b.Material) -> Found:
    """A material: its name, its starting price, its chosen quote, and its kind while it is used."""
    yield from name_taken(book.materials, material)
    if material.starting is not None:
        yield from unit_fault(material, material.starting.unit, "starting-unit")
    if material.quote is not None and book.quotes[material.quote].material != material.id:
        yield Fault("quote", "reference", "This quote is for something else. Choose one of this material.")
    held = book.materials.get(material.id)
    if held is not None and held.by_piece != material.by_piece:
        users = users_of_material(book, material.id)
        if users:
            yield Fault(
                "kind",
                "in-use",
                f"It is used as it is in {in_words(users)}. Enter the other one as a new material.",
            )


def foreign(book: Book, currency: str, exchange: b.Exchange | None) -> Found:
    """Foreign money needs its rate; home money has none."""
    home = book.workshop.currency
    if currency != home and exchange is None:
        yield Fault(
            "exchange-amount",
            "currency-mismatch",
            f"This is in {currency} and you reckon in {home}. Type the rate, or what you really paid in {home}.",
        )
    if currency == home and exchange is not None:
        yield Fault("exchange-amount", "currency-mismatch", f"{currency} is your own currency. Leave the rate empty.")


def quote(book: Book, quote: b.Quote) -> Found:
    """A quote: unit, currency, and days that follow each other."""
    yield from unit_fault(book.materials[quote.material], quote.unit, "unit")
    yield from foreign(book, quote.currency, quote.exchange)
    if quote.until < quote.since:
        yield Fault("until", "date-range", "The last day lies before the first. Change one of them.")
    if quote.exchange is not None and quote.exchange.way == "paid":
        yield Fault("exchange-way", "choice", "Nothing is paid for a quote. Give the rate instead.")


def review(book: Book, review: b.Review) -> Found:
    """A price is looked at today or was looked at before."""
    if review.since > book.day:
        yield Fault("since", "date-range", "This day lies ahead. Type the day on which you looked.")


def order(book: Book, order: b.Order) -> Found:
    """An order: each line, each charge, invoice amounts to the minor unit, tax entered once."""
    yield from foreign(book, order.currency, order.exchange)
    for index, line in enumerate(order.lines):
        yield from _order_line(book, order, line, f"lines-{index}")
    for index, charge in enumerate(order.charges):
        currency = order.currency if charge.money == "order" else book.workshop.currency
        yield from minor_unit(charge.amount, currency, f"charges-{index}-amount")
        if charge.share == "mass":
            yield from _massless(book, order, f"charges-{index}-share")
    yield from minor_unit(order.tax_total, order.currency, "tax_total")
    yield from minor_unit(order.invoice_total, order.currency, "invoice_total")
    if order.exchange is not None and order.exchange.way == "paid":
        yield from minor_unit(order.exchange.amount, book.workshop.currency, "exchange-amount")
    rated = any(line.tax_rate for line in order.lines) or any(charge.tax_rate for charge in order.charges)
    if order.tax_total is not None and rated:
        yield Fault("tax_total", "tax-twice", "Tax stands on the lines already. Leave the lump sum empty.")


def _order_line(book: Book, order: b.Order, line: b.OrderLine, at: str) -> Found:
    yield from unit_fault(book.materials[line.material], line.unit, f"{at}-unit")
    yield from minor_unit(line.total, order.currency, f"{at}-total")
    if line.price is None and line.total is None:
        yield Fault(f"{at}-price", "required", "Type the price of a pack, or the total of the line.")
        return
    if line.discount is None or line.price is None or line.total is not None:
        return
    if line.discount_in == "percent" and line.discount > HUNDRED:
        yield Fault(f"{at}-discount", "number-range", "A discount is at most 100 %.")
    if line.discount_in == "money" and line.discount > line.packs * line.price:
        yield Fault(
            f"{at}-discount",
            "goods-below-zero",
            "The discount is more than the goods. Enter a credit as a charge.",
        )


def _massless(book: Book, order: b.Order, at: str) -> Found:
    names = []
    for line in order.lines:
        material = book.materials[line.material]
        known = line.unit in MASS or (line.unit in VOLUME and material.density is not None)
        if not known and not (line.unit == PIECES and material.piece_grams is not None):
            names.append(material.name)
    if names:
        yield Fault(
            at,
            "mass-missing",
            f"The mass of {in_words(names)} is not known. Share this by value, or add the mass.",
        )


def order_questions(book: Book, order: b.Order) -> Iterator[Question]:
    """A day ahead, goods for nothing, more than was billed, a cost far from the present one: possible, but rare."""
    if order.day > book.day:
        yield Question("future-day", "day", f"{order.day} lies ahead. Is the day right?")
    for index, line in enumerate(order.lines):
        name = book.materials[line.material].name
        free = line.total == ZERO or (line.total is None and line.price == ZERO)
        if free and not line.not_priced:
            yield Question("zero-price", f"lines-{index}-price", f"{name} costs nothing here. Is that right?")
        goods = goods_before_rounding(replace(line, total=None))
        if line.total is not None and goods is not None and to_minor(goods, order.currency) != line.total:
            yield Question(
                "line-total",
                f"lines-{index}-total",
                f"{name}: the total of the line, {plain(line.total)}, counts, though packs x price is "
                f"{plain(to_minor(goods, order.currency))}. Is that right?",
            )
        if line.arrived is not None and line.arrived > line.packs * line.size:
            yield Question(
                "arrived-more",
                f"lines-{index}-arrived",
                f"More of {name} arrived than was billed. Is that right?",
            )
    yield from jump_questions(book, order)
