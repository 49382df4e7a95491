"""What is wrong with a question about another size beside the book: what is missing, put away, or does not fit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from webapp.costing.amounts import ZERO
from webapp.costing.book import Book, Id, Product
from webapp.costing.candidates import made
from webapp.costing.checks.found import minor_unit
from webapp.costing.limits import Fault
from webapp.costing.overhead import is_living
from webapp.costing.size_facts import Candidate, SizeQuestion


def faults_of(book: Book, question: SizeQuestion) -> tuple[Fault, ...]:
    """Every fault, at the fields of the question; what depends on something faulty is asked about after that."""
    faults = (*_missing(book, question), *_ASKS[question.ask](book, question), *_spans(book, question))
    faults += tuple(_replaced(question)) + tuple(_prices(book, question))
    if faults or question.ask not in ("size", "set"):
        return faults
    return tuple(one for one in made(book, question) if isinstance(one, Fault))


# --- what is referred to


_SHELVES = {"product": "products", "formula": "formulas", "channel": "channels", "other": "products"}
#: what a question refers to; what is typed beside it for another one does not count
_COUNTS = {
    "size": ("product", "formula", "channel", "candidates"),
    "set": ("channel", "members", "candidates"),
    "drop": ("product", "channel", "other"),
    "case": ("product", "channel"),
}
_PARTS = ("jar", "jar_instead", "lid", "lid_instead")


def _missing(book: Book, question: SizeQuestion) -> Iterator[Fault]:
    counts = _COUNTS[question.ask]
    for name, shelf in _SHELVES.items():
        if name in counts:
            yield from _gone(getattr(book, shelf), getattr(question, name), name, book)
    for place, member in enumerate(question.members if "members" in counts else ()):
        yield from _gone(book.products, member.product, f"members-{place}-product", book)
    for place, one in enumerate(question.candidates if "candidates" in counts else ()):
        for name in _PARTS:
            yield from _gone(book.materials, getattr(one, name), f"candidates-{place}-{name}", book)


def _gone(shelf: Mapping[Id, Any], ident: Id | None, at: str, book: Book) -> Iterator[Fault]:
    held = shelf.get(ident) if ident is not None else None
    if ident is not None and held is None:
        yield Fault(at, "reference", "This isn't there any more. Choose another.")
    elif held is not None and not is_living(book, held):
        yield Fault(at, "reference", f"{held.name} is put away. Choose another.")


# --- what each question needs


def _size(book: Book, question: SizeQuestion) -> Iterator[Fault]:
    if question.product is not None and question.formula is not None:
        yield Fault("formula", "choice", "Start from a product or from a formula, not both.")
    elif question.product is None and question.formula is None:
        yield Fault("product", "required", "Choose the jar that you sell now, or a formula.")
    product = book.products.get(question.product or 0)
    if product is not None and (len(product.fills) != 1 or product.members):
        words = f"{product.name} is no jar of one filling, so it has no sizes. Choose another product."
        yield Fault("product", "one-fill", words)
    yield from _channel(question, product)
    if not question.candidates:
        yield Fault("candidates-0-declared", "required", "Type what the label of the other size declares.")
    elif question.product is None and question.formula is not None and len(question.candidates) == 1:
        yield Fault(
            "candidates-1-declared", "required", "Type the second size too: the first is what it stands beside."
        )


def _channel(question: SizeQuestion, product: Product | None) -> Iterator[Fault]:
    if question.channel is None:
        yield Fault("channel", "required", "Choose where it is to be sold.")
    elif product is not None and product.channels and question.channel not in product.channels:
        yield Fault("channel", "reference", f"{product.name} is not sold there. Choose another channel.")


def _set(_: Book, question: SizeQuestion) -> Iterator[Fault]:
    yield from _channel(question, None)
    if not question.members:
        yield Fault("members-0-product", "required", "Choose what goes into the set.")
    elif sum((one.count for one in question.members), ZERO) < 2:
        yield Fault("members-0-count", "number-range", "A set has at least two jars in it. Type more of them.")
    if len(question.candidates) > 1:
        yield Fault("candidates-1-name", "too-many", "One set is asked about at a time. Take this line out.")


def _drop(book: Book, question: SizeQuestion) -> Iterator[Fault]:
    product = book.products.get(question.product or 0)
    if question.product is None:
        yield Fault("product", "required", "Choose the size that would go.")
    if question.channel is not None:
        yield from _channel(question, product)
    if question.other is None and question.share:
        yield Fault("other", "required", "Choose the size that its buyers would take instead, or type a share of 0.")
    elif question.other is not None and question.other == question.product:
        yield Fault("other", "choice", "That is the one that goes. Choose another.")


def _case(book: Book, question: SizeQuestion) -> Iterator[Fault]:
    product = book.products.get(question.product or 0)
    if question.product is None:
        yield Fault("product", "required", "Choose the jar that is sold by the case.")
    yield from _channel(question, product)
    if question.case_jars is None and (product is None or product.case_jars is None):
        yield Fault("case_jars", "required", "Type how many jars are in a case.")
    if question.case_price is not None and question.discount is not None:
        yield Fault("discount", "choice", "Type the price of a case or a discount, not both.")
    elif question.case_price is None and question.discount is None:
        yield Fault("case_price", "required", "Type the price of a case, or a discount.")
    yield from minor_unit(question.case_price, book.workshop.currency, "case_price")


_ASKS: Mapping[str, Callable[[Book, SizeQuestion], Iterator[Fault]]] = {
    "size": _size,
    "set": _set,
    "drop": _drop,
    "case": _case,
}


# --- amounts


def _spans(book: Book, question: SizeQuestion) -> Iterator[Fault]:
    """Low is at most what is likely, high at least that; neither stands without it."""
    sold = _sold(book, question) if question.ask == "drop" and question.jars is None else None
    yield from _span_faults(question, ("jars", "share", "monthly"), sold=sold)
    for place, one in enumerate(question.candidates if question.ask in ("size", "set") else ()):
        for fault in _span_faults(one, ("jars", "share")):
            yield Fault(f"candidates-{place}-{fault.field}", fault.code, fault.sentence)


def _sold(book: Book, question: SizeQuestion) -> Decimal | None:
    """Jars a month of the size that would go; None where that is not known."""
    there = (one for one in book.sales.values() if one.product == question.product and one.jars)
    found = [one.jars or ZERO for one in there if question.channel in (None, one.channel)]
    return sum(found, ZERO) if found else None


def _span_faults(
    typed: SizeQuestion | Candidate, names: tuple[str, ...], sold: Decimal | None = None
) -> Iterator[Fault]:
    """`sold` is what is likely of jars where nothing else is typed."""
    for name in names:
        low, likely, high = (getattr(typed, f"{name}{end}") for end in ("_low", "", "_high"))
        likely = sold if name == "jars" and likely is None else likely
        if likely is None and (low is not None or high is not None):
            yield Fault(name, "required", "Type what is likely, between the low and the high figure.")
        elif low is not None and low > likely:
            yield Fault(f"{name}_low", "number-range", "The low figure is above the likely one. Type less, or nothing.")
        if likely is not None and high is not None and high < likely:
            yield Fault(
                f"{name}_high", "number-range", "The high figure is below the likely one. Type more, or nothing."
            )


def _replaced(question: SizeQuestion) -> Iterator[Fault]:
    counts = question.other is not None if question.ask == "drop" else question.ask != "case"
    if counts and question.replaced == "number" and not question.number:
        yield Fault("number", "required", "Type how many jars one takes the place of, above 0.")


def _prices(book: Book, question: SizeQuestion) -> Iterator[Fault]:
    for place, one in enumerate(question.candidates if question.ask in ("size", "set") else ()):
        at = f"candidates-{place}"
        if one.way == "typed" and one.price is None:
            yield Fault(f"{at}-price", "required", "Type its price, or choose another way to find one.")
        elif one.way == "typed":
            yield from minor_unit(one.price, book.workshop.currency, f"{at}-price")
        elif one.way == "per 100" and one.discount is None:
            yield Fault(f"{at}-discount", "required", "Type the discount; 0 is an answer.")
        if one.way in ("per 100", "hour") and question.formula is not None and place == 0:
            words = "The first size has none before it to take a price from. Type its price, or take the target."
            yield Fault(f"{at}-way", "choice", words)
