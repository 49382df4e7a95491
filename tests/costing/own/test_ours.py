"""What is said of the workshop beside its first sheets: kept with them, and only while its book is empty."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.costing.own.ours import MONEY, REGISTERED, with_ours

F = Fraction
NAIRA = "Item|Pack|Price\nShea butter|1 kg|NGN 14000\nWax|1 kg|NGN 9000"
TAXED = "Item|Pack|Price|VAT\nShea butter|1 kg|10|20 %"


def test_the_money_of_a_sheet_becomes_her_own_where_she_says_so() -> None:
    asked = read(NAIRA)
    assert {one.choice for one in asked.wrong} == {"rates"}
    assert asked.workshop == {MONEY}
    told = read(NAIRA, money="NGN")
    assert told.good, sentences(told)
    assert near(costs(told)["Shea butter"], F(14))
    assert told.changes[0] == Put(replace(EMPTY.workshop, currency="NGN"))
    assert told.workshop == {MONEY}  # it can be changed until it is saved
    assert stored(told).workshop.currency == "NGN"
    assert read(NAIRA, money="EUR").workshop == {MONEY}


def test_tax_that_she_gets_back_is_no_cost_where_she_says_so() -> None:
    """10.00 and 20 % of it are 12.00; got back, they are 10.00."""
    asked = read(TAXED)
    assert asked.good
    assert asked.workshop == {REGISTERED}
    assert near(costs(asked)["Shea butter"], F(12, 1000))
    told = read(TAXED, registered="yes")
    assert near(costs(told)["Shea butter"], F(10, 1000))
    assert stored(told).terms.registered
    none = read(TAXED, registered="no")
    assert near(costs(none)["Shea butter"], F(12, 1000))
    assert not any(isinstance(one, Put) and isinstance(one.record, b.Terms) for one in none.changes)


def test_nothing_is_asked_of_prices_without_tax_or_said_of_a_book_in_use() -> None:
    assert read("Item|Pack|Price\nShea butter|1 kg|10").workshop == frozenset()
    used = stored(read("Item|Pack|Price\nShea butter|1 kg|10"))
    assert with_ours(used, "NGN", "yes") == (used, ())
    reading = read(NAIRA, TAXED, book=used, money="NGN", registered="yes")
    assert reading.workshop == frozenset()
    assert {one.choice for one in reading.wrong if one.choice} == {"rates"}


def test_a_sheet_that_can_not_be_read_changes_nothing_of_the_workshop() -> None:
    assert read("Item|Pack|Price\nShea butter|1 kg|10\n|1 kg|", registered="yes", money="USD").changes != ()
    assert read("?|?\n?|?", money="USD").changes == ()
