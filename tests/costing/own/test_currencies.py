"""The currency of a price by letters, a sign or a code beside its number."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import read, sentences
from webapp.costing.amounts import Unreadable
from webapp.costing.own.cells import money
from webapp.costing.own.columns import sort_of
from webapp.costing.own.told import Told

D = Decimal


@pytest.mark.parametrize(
    ("text", "home", "value", "currency"),
    [
        ("R300", "ZAR", "300", "ZAR"),
        ("R 45,50", "ZAR", "45.50", "ZAR"),
        ("R1,450.00", "ZAR", "1450", "ZAR"),
        ("R 1 450,00", "ZAR", "1450", "ZAR"),
        ("N45,000", "NGN", "45000", "NGN"),
        ("#45,000", "NGN", "45000", "NGN"),
        ("KSh 1,200", "KES", "1200", "KES"),
        ("Kshs. 1,200", "KES", "1200", "KES"),
        ("GH\u20b545", "GHS", "45", "GHS"),
        ("GH\u00a2 45", "GHS", "45", "GHS"),
        ("US$20", "EUR", "20", "USD"),
        ("CA$20", "EUR", "20", "CAD"),
        ("A$20", "AUD", "20", "AUD"),
        ("12.50 z\u0142", "PLN", "12.50", "PLN"),
        ("Rs. 200", "INR", "200", "INR"),
        ("12.50 kr", "SEK", "12.50", "SEK"),
        ("K 45", "ZMW", "45", "ZMW"),
        ("12\u20ac50", "EUR", "12.50", "EUR"),
        ("CHF 12.50", "EUR", "12.50", "CHF"),
        ("12.50 CHF", "EUR", "12.50", "CHF"),
    ],
)
def test_letters_signs_and_codes_beside_a_number(text: str, home: str, value: str, currency: str) -> None:
    found, per = money(text, Told(home=home, sign="."))
    assert (found.value, found.unit, per) == (D(value), currency, "")


def test_what_it_is_for_may_stand_behind_it() -> None:
    for text in ("R300/kg", "300 ZAR per kg", "R 300 per kg"):
        found, per = money(text, Told(home="ZAR"))
        assert (found.value, found.unit, per) == (D(300), "ZAR", "kg")


@pytest.mark.parametrize(("text", "home"), [("Rs 200", "EUR"), ("12 kr", "EUR"), ("K45", "EUR"), ("45 k", "ZMW")])
def test_what_may_be_the_money_of_several_countries_is_not_taken(text: str, home: str) -> None:
    with pytest.raises(Unreadable):
        money(text, Told(home=home))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("65k", "65k is short for a larger number: type it in full, such as 65000."),
        ("6.5K", "6.5K is short for a larger number: type it in full, such as 6500."),
        ("#45,000", "#45,000 has a # before its digits. Type the number without it, such as 45,000."),
        ("#REF!", "#REF! is what a spreadsheet writes where a formula failed. Type the value."),
    ],
)
def test_what_is_not_read_says_what_to_type(text: str, sentence: str) -> None:
    assert sentences(read(f"Item|Pack|Price\nShea|5 kg|{text}")) == [("C2", sentence)]


def test_cells_with_letters_look_like_money_and_codes_do_not() -> None:
    assert [sort_of(text) for text in ("KSh 1,200", "R45.50", "US$20", "CHF 12")] == ["money"] * 4
    assert [sort_of(text) for text in ("R300", "N45", "AB 12", "SKU 123")] == ["text"] * 4


def test_a_price_in_other_letters_beside_bare_ones_is_asked_about() -> None:
    reading = read("Item|Pack|Price\nShea|5 kg|US$30\nWax|1 kg|10")
    assert [one.choice for one in reading.wrong if one.row == 3] == ["currency"]
