"""Old prices answered: what is read of the answers, what they are refused for, and what keeps them. Figures by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.costing.buying import JAR, LID, SHEA, TODAY, D, book, charge, known, line, order, starting
from webapp.costing.amounts import Notation
from webapp.costing.book import Book, Material, Review
from webapp.costing.changes import apply_all
from webapp.costing.reckoning import Reckoning
from webapp.costing.renewing import answered, pack_of, puts, valid_until, with_everything


def old_book() -> Book:
    """Two packs of 5 kg at 40.00 and 10.00 of freight: a pack cost 45.00 with everything, a kilo 9.00."""
    jar = Material(JAR, "Jar", kind="packaging", starting=starting("0.48", "pieces"))
    bought = order(line(packs="2", size="5", price="40"), day=date(2025, 1, 10))
    return book(materials=[jar], orders={1: replace(bought, charges=(charge("10"),))})


def kept(of: Book, *rows: Any) -> Book:
    """The book with the answers kept; none of them may have a fault."""
    read = answered(Reckoning(of), rows, Notation())
    assert read.faults == ()
    after = apply_all(of, puts(Reckoning(of), read.answers))
    assert isinstance(after, Book), after
    return after


def row(material: int, answer: str = "", price: str = "", reason: str = "") -> dict[str, str]:
    return {"material": str(material), "answer": answer, "price": price, "reason": reason}


def test_a_pack_as_it_was_bought_last_with_everything() -> None:
    of = Reckoning(old_book())
    pack = pack_of(of, SHEA)
    assert pack is not None
    assert (pack.size, pack.unit) == (D(5), "kg")
    assert with_everything(of, SHEA, pack) == D(45)
    piece = pack_of(of, JAR)
    assert piece is not None
    assert (piece.size, piece.unit, piece.line) == (D(1), "pieces", None)
    assert with_everything(of, JAR, piece) == D("0.48")
    assert pack_of(of, LID) is None


def test_still_right_is_a_review_of_today() -> None:
    after = kept(old_book(), row(SHEA, "still right", reason="asked"))
    assert after.reviews == {SHEA: Review(SHEA, TODAY, "still right", "asked")}
    assert not Reckoning(after).material(SHEA).stale


def test_a_new_price_of_what_was_bought_is_a_quote_that_counts_and_is_not_old() -> None:
    after = kept(old_book(), row(SHEA, "new price", "47.50", "their list"))
    (quote,) = after.quotes.values()
    assert (quote.since, quote.until) == (TODAY, date(2027, 6, 30))
    assert valid_until(after) == quote.until
    assert (quote.supplier, quote.size, quote.unit, quote.note) == (1, D(5), "kg", "their list")
    cost = Reckoning(after).material(SHEA)
    assert (known(cost.unit_cost) * 1000, cost.rule, cost.stale) == (D("9.5"), "quote", False)
    later = Reckoning(replace(after, day=date(2027, 7, 1))).material(SHEA)
    assert (known(later.unit_cost) * 1000, later.rule, later.stale) == (D(9), "latest", True)


def test_the_same_price_typed_again_moves_no_cost() -> None:
    before, after = Reckoning(old_book()), Reckoning(kept(old_book(), row(SHEA, "new price", "45")))
    assert before.material(SHEA).unit_cost == after.material(SHEA).unit_cost


def test_a_new_price_of_what_was_never_bought_is_the_starting_price_of_today() -> None:
    after = kept(old_book(), row(JAR, "new price", "0.52"))
    assert after.materials[JAR].starting == starting("0.52", "pieces")
    cost = Reckoning(after).material(JAR)
    assert (cost.unit_cost, cost.rule, cost.stale) == (D("0.52"), "starting price", False)
    assert after.quotes == {}


def test_several_are_kept_together() -> None:
    after = kept(old_book(), row(JAR, "new price", "0.52"), row(LID), row(SHEA, "new price", "50"))
    assert Reckoning(after).material(SHEA).unit_cost == Decimal("0.01")
    assert Reckoning(after).material(JAR).unit_cost == D("0.52")


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        (row(SHEA, "new price"), ["checks-0-price"]),
        (row(SHEA, "new price", "0"), ["checks-0-price"]),
        (row(SHEA, "new price", "x"), ["checks-0-price"]),
        (row(SHEA, "still right", "9"), ["checks-0-answer"]),
        (row(SHEA, "", "9"), ["checks-0-answer"]),
        (row(SHEA, "perhaps"), ["checks-0-answer"]),
        (row(LID, "still right"), ["checks-0-answer"]),
        (row(999, "still right"), ["checks-0-answer"]),
        ({"answer": "still right"}, ["checks-0-material"]),
        (row(SHEA), []),
        (None, []),
        ("still right", []),
    ],
)
def test_a_fault_stands_at_its_field_and_a_row_left_alone_has_none(typed: Any, at: list[str]) -> None:
    read = answered(Reckoning(old_book()), [typed], Notation())
    assert [fault.field for fault in read.faults] == at
    assert read.answers == ()


def test_a_price_answered_twice_is_said_at_the_second() -> None:
    read = answered(Reckoning(old_book()), [row(SHEA, "still right"), row(SHEA, "new price", "9")], Notation())
    assert [(fault.field, fault.code) for fault in read.faults] == [("checks-1-answer", "repeated")]


def test_what_stands_against_the_change_is_said_at_its_price() -> None:
    """It is counted in pieces now: a pack of 5 kg can't be its price any more."""
    book_now = old_book()
    counted = replace(book_now, materials={**book_now.materials, SHEA: Material(SHEA, "Shea", kind="packaging")})
    read = answered(Reckoning(counted), [row(SHEA, "new price", "9")], Notation())
    assert [(fault.field, fault.code) for fault in read.faults] == [("checks-0-price", "unit")]
