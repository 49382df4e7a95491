"""What can be wrong with the workshop itself, its people, bills and suppliers."""

from __future__ import annotations

from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.checks.found import Found, name_taken
from webapp.costing.limits import Fault


def workshop(book: Book, workshop: b.Workshop) -> Found:
    """The home currency stays once amounts are kept in it."""
    kept = book.orders or book.prices or book.bills or any(person.wage for person in book.people.values())
    if workshop.currency != book.workshop.currency and kept:
        yield Fault(
            "currency",
            "in-use",
            f"Amounts are already kept in {book.workshop.currency}; they can't be turned into another currency. "
            "Start a new data folder for it.",
        )


def terms(book: Book, terms: b.Terms) -> Found:
    """Overhead per jar needs the planned jars."""
    del book
    if terms.overhead == "jars" and terms.planned_jars is None:
        yield Fault("planned_jars", "required", "Type how many jars you plan a month, or share overhead by hours.")


def person(book: Book, person: b.Person) -> Found:
    """A person's name."""
    yield from name_taken(book.people, person)


def bill(book: Book, bill: b.Bill) -> Found:
    """A bill's name."""
    yield from name_taken(book.bills, bill)


def supplier(book: Book, supplier: b.Supplier) -> Found:
    """A supplier's name."""
    yield from name_taken(book.suppliers, supplier)
