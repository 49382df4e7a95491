"""Two states of one workshop: a number that was given anew is not taken for a thing that was changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.reckoning import Reckoning
from webapp.costing.two_books import KindCompared, compare

DAY = date(2026, 11, 25)


def suppliers(now: b.Supplier, then: b.Supplier) -> KindCompared:
    """How the suppliers of two books differ that have these as number 2."""
    books = (Book(DAY, suppliers={2: one}) for one in (now, then))
    compared = compare(*(Reckoning(book) for book in books))
    return next(one for one in compared.kinds if one.kind == "supplier")


MILL = b.Supplier(2, "Mill by the river", note="closed in August", currency="EUR")


def test_the_same_name_is_the_same_thing() -> None:
    found = suppliers(replace(MILL, note="open"), MILL)
    assert [one.fields for one in found.changed] == [("note",)]
    assert [one.fields for one in suppliers(replace(MILL, name="MILL by the River", note=""), MILL).changed] == [
        ("name", "note")
    ]


def test_another_name_with_all_else_the_same_is_a_new_name() -> None:
    found = suppliers(replace(MILL, name="Mill on the hill"), MILL)
    assert [one.fields for one in found.changed] == [("name",)]
    assert not found.only_now


def test_a_number_given_anew_is_one_thing_gone_and_one_come() -> None:
    other = b.Supplier(2, "Glass works", currency="EUR")
    found = suppliers(other, MILL)
    assert (found.only_now, found.only_then, found.changed) == ((other,), (MILL,), ())
