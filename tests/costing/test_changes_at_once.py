"""Changes one after another or at once, what is taken back, and temporary numbers for those that were given."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import DAY, JAR, PLAIN_BUTTER, PLAIN_TUB, SEALED, SHEA, TUB, D, fill, product, room
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import (
    Change,
    Placing,
    Put,
    Restore,
    Retire,
    Withdraw,
    affected,
    apply,
    apply_all,
    key_of,
    questions,
    renumber,
    shelf_of,
    swapped,
)  # fmt: skip
from webapp.costing.shelves import Shelf

STALL, WEB = 51, 52
EARLIER, LATER = date(2026, 6, 1), date(2026, 7, 1)
PRICE = b.Price(TUB, STALL, EARLIER, D("2.00"))
HELD = replace(
    room(PLAIN_BUTTER, PLAIN_TUB),
    channels={STALL: b.Channel(STALL, "Stall", EARLIER), WEB: b.Channel(WEB, "Web", EARLIER)},
    suppliers={1: b.Supplier(1, "Hollow Lane Oils")},
    prices={(TUB, STALL): PRICE},
)


def after(*changes: Change, book: Book = HELD) -> Book:
    found = apply_all(book, changes)
    assert isinstance(found, Book), found
    return found


def codes(*changes: Change, book: Book = HELD) -> list[str]:
    found = apply_all(book, changes)
    assert not isinstance(found, Book)
    return [fault.code for fault in found]


def test_prices_together_keep_what_holds_and_stop_at_the_first_that_is_wrong() -> None:
    dearer, to_come = replace(PRICE, since=DAY, amount=D("2.50")), b.Price(TUB, WEB, LATER, D(3))
    assert after(Put(dearer), Put(to_come)).prices == {(TUB, STALL): dearer}
    assert codes(Put(dearer), Put(replace(dearer, channel=99))) == ["reference"]
    assert codes(Put(b.Material(6, "Wax")), Put(replace(dearer, channel=99)), Put(dearer)) == ["reference"]


def test_what_is_asked_of_later_changes_is_asked_beside_the_book_that_the_first_lead_to() -> None:
    """A wrong change leads nowhere: what comes after it is asked about beside the book as it was."""
    given = Put(b.Price(TUB, WEB, DAY, D(0)))
    assert [one.code for one in questions(HELD, [Put(b.Material(6, "Wax")), given])] == ["zero-price"]
    assert [one.code for one in questions(HELD, [Put(b.Material(6, "Shea")), given])] == ["zero-price"]
    assert questions(HELD, [Restore("material", SHEA)]) == ()


def test_each_change_is_about_one_record() -> None:
    assert affected(Put(PRICE)) == ("price", (TUB, STALL))
    assert affected(Put(b.Review(SHEA, DAY))) == ("review", SHEA)
    assert affected(Put(PLAIN_TUB)) == ("product", TUB)
    assert affected(Withdraw("price", (TUB, STALL))) == ("price", (TUB, STALL))
    assert affected(Retire("material", SHEA, DAY)) == ("material", SHEA)
    assert affected(Restore("material", SHEA)) == ("material", SHEA)
    assert key_of(HELD.terms) == ("terms", 1)


def test_a_kind_that_is_none_has_no_shelf() -> None:
    assert (shelf_of("review"), shelf_of("price")) == ("reviews", "prices")
    with pytest.raises(KeyError):
        shelf_of("recipe")


def test_terms_hold_from_their_day_on_and_are_told_apart_by_it() -> None:
    registered = replace(HELD.terms, since=EARLIER, registered=True)
    assert after(Put(registered)).registrations == (b.Registration(EARLIER, registered=True),)
    assert after(Put(replace(registered, since=LATER))) == HELD
    back = after(Put(registered), Put(replace(registered, since=DAY, registered=False)))
    assert [one.registered for one in back.registrations] == [True, False]
    # what is entered for an earlier day does not hold any more
    assert after(Put(replace(registered, since=DAY)), Put(replace(registered, registered=False))).terms.registered


def test_an_order_or_a_list_price_to_come_is_not_in_the_book_and_one_that_is_moved_there_leaves_it() -> None:
    order = b.Order(81, 1, EARLIER, (b.OrderLine(SHEA, D(1), D(1), "kg", D(8)),))
    quote = b.Quote(71, SHEA, 1, EARLIER, LATER, D(1), "kg", D(8))
    held = after(Put(order), Put(quote))
    assert (held.orders, held.quotes) == ({81: order}, {71: quote})
    assert after(Put(replace(order, id=82, day=LATER))).orders == {}
    assert after(Put(replace(order, day=LATER)), Put(replace(quote, since=LATER)), book=held) == HELD


def test_what_is_taken_back_leaves_what_was_there_before() -> None:
    earlier = replace(PRICE, since=date(2026, 5, 1), amount=D(1))
    assert after(Withdraw("price", (TUB, STALL), EARLIER, earlier)).prices == {(TUB, STALL): earlier}
    assert after(Withdraw("price", (TUB, STALL), EARLIER)).prices == {}
    # of another day than the one that holds: figures stay
    assert after(Withdraw("price", (TUB, STALL), DAY)) == HELD
    assert codes(Withdraw("order", 99)) == ["not-found"]


def test_a_list_price_that_a_material_rests_on_is_not_taken_back() -> None:
    quote = b.Quote(71, SHEA, 1, EARLIER, LATER, D(1), "kg", D(8))
    held = after(Put(quote))
    assert after(Withdraw("quote", 71), book=held).quotes == {}
    resting = after(Put(replace(HELD.materials[SHEA], quote=71)), book=held)
    assert codes(Withdraw("quote", 71), book=resting) == ["in-use"]


def test_what_is_not_there_is_not_put_away_and_neither_is_what_has_no_such_state() -> None:
    assert codes(Retire("material", 99, DAY)) == ["not-found"]
    order = b.Order(81, 1, EARLIER, (b.OrderLine(SHEA, D(1), D(1), "kg", D(8)),))
    assert codes(Retire("order", 81, DAY), book=after(Put(order))) == ["not-found"]
    assert after(Retire("material", SHEA, LATER)) == HELD
    away = after(Retire("material", SHEA, DAY))
    assert away.materials[SHEA].retired == DAY
    assert after(Restore("material", SHEA), book=away) == HELD


def test_another_ingredient_takes_the_place_of_one_in_the_same_amounts() -> None:
    found = swapped(PLAIN_BUTTER, SHEA, 3, DAY)
    assert [(line.material, line.amount) for line in found.lines] == [(3, D(60)), (2, D(40))]
    assert found.since == DAY


def test_numbers_that_were_given_stand_wherever_a_temporary_one_stood() -> None:
    ids = {-1: 101, -2: 102, -3: 103, -4: 104}
    made = product(-1, fill(-2, "50"), parts=(b.Part(-3), b.Part(None, -4)), channels=(-1, STALL))
    given = renumber(Put(made), ids)
    assert isinstance(given, Put)
    assert given.record == replace(
        made, id=101, fills=(fill(102, "50"),), parts=(b.Part(103), b.Part(None, 104)), channels=(101, STALL)
    )
    assert renumber(Put(b.Price(-1, STALL, DAY, D(2))), ids) == Put(b.Price(101, STALL, DAY, D(2)))
    assert renumber(Put(b.Review(-3, DAY)), ids) == Put(b.Review(103, DAY))
    assert renumber(Retire("product", -1, DAY), ids) == Retire("product", 101, DAY)
    assert renumber(Restore("product", 7), ids) == Restore("product", 7)
    taken = Withdraw("order", 7)
    assert renumber(taken, ids) is taken
    paid = b.Order(
        -1, 1, DAY, (b.OrderLine(-3, D(1), D(1), "kg", D(8)),), currency="USD", exchange=b.Exchange("paid", D(9))
    )
    assert renumber(Put(paid), ids).record.lines[0].material == 103  # type: ignore[union-attr]
    assert isinstance(apply(HELD, Put(b.PartGroup(SEALED, "Jar", DAY, (b.Part(JAR),)))), Book)


NAMES = ("Shea", "shea", "SHEA ", "Wax", "wax", "Jojoba", "Karit\u00e9", "karite\u0301")
MATERIALS = st.builds(b.Material, st.integers(-4, 6).filter(bool), st.sampled_from(NAMES))
ORDERS = st.builds(
    b.Order, st.integers(-3, -1), st.just(1), st.sampled_from((EARLIER, DAY, LATER)),
    st.tuples(st.builds(b.OrderLine, st.integers(-3, 4), st.just(D(1)), st.just(D(1)), st.just("kg"), st.just(D(8)))),
)  # fmt: skip
QUOTES = st.builds(
    b.Quote, st.integers(-3, -1), st.integers(-3, 4), st.just(1), st.sampled_from((EARLIER, LATER)), st.just(LATER),
    st.just(D(1)), st.just("kg"), st.just(D(8)),
)  # fmt: skip
PRICES = st.builds(
    b.Price, st.just(TUB), st.sampled_from((STALL, WEB, 99)), st.sampled_from((EARLIER, DAY, LATER)),
    st.sampled_from((D(0), D(2), D("2.001"))),
)  # fmt: skip
CHANGES = st.one_of(
    st.builds(Put, st.one_of(MATERIALS, MATERIALS, ORDERS, QUOTES, PRICES)),
    st.builds(Retire, st.sampled_from(("material", "product", "order")), st.integers(-3, 6), st.just(DAY)),
    st.builds(Restore, st.just("material"), st.integers(-3, 6)),
    st.builds(Withdraw, st.sampled_from(("order", "quote")), st.integers(-3, -1)),
    st.builds(Withdraw, st.just("price"), st.just((TUB, STALL)), st.sampled_from((EARLIER, DAY)), st.just(PRICE)),
)


def plain(book: Book) -> Book:
    """The same book on shelves that know nothing of names."""
    shelves: dict[str, Any] = {
        one.name: dict(getattr(book, one.name)) for one in fields(book) if isinstance(getattr(book, one.name), dict)
    }
    return replace(book, **shelves)


@settings(max_examples=examples.of(500), deadline=None)
@given(st.lists(CHANGES, max_size=12))
def test_many_changes_at_once_are_the_same_as_one_after_another(drawn: list[Change]) -> None:
    """Each is applied by itself to a book of plain shelves: the same faults, the same book, and nothing given moves."""
    before, book = plain(HELD), HELD
    wrong: tuple[object, ...] = ()
    placing, kept = Placing(HELD), []
    for change in drawn:
        outcome = apply(plain(book), change)
        assert placing.place((change,)) == (() if isinstance(outcome, Book) else outcome)
        if isinstance(outcome, Book):
            book = outcome
            kept.append(change)
        else:
            wrong = wrong or outcome
    assert placing.book == book
    assert list(placing.book.materials) == list(book.materials)
    assert apply_all(HELD, drawn) == (wrong or book)
    assert apply_all(HELD, kept) == book
    assert before == HELD


def test_a_shelf_knows_its_names_as_records_come_are_called_otherwise_and_go() -> None:
    shea, wax, other = b.Material(7, "Shea"), b.Material(3, "Wax"), b.Material(5, "shea")
    shelf = Shelf({7: shea, 3: wax})
    assert shelf.called("shea") == [shea]
    shelf.place(5, other)
    shelf.place(3, replace(wax, name="SHEA"))
    assert shelf.called("shea") == [shea, replace(wax, name="SHEA"), other]  # in the shelf's order
    assert shelf.called("wax") == []
    shelf.take_away(7)
    shelf.take_away(5)
    shelf.take_away(99)
    assert (shelf.called("shea"), list(shelf)) == ([replace(wax, name="SHEA")], [3])
