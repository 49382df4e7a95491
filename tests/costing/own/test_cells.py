"""Cells as people write them. Units by the definitions that `costing/units.py` names."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from webapp.costing.amounts import Unreadable
from webapp.costing.own.cells import (
    Doubt,
    Read,
    amount,
    doubtful,
    is_rest,
    known_unit,
    money,
    number,
    rate,
    signed_cells,
)
from webapp.costing.own.currencies import currency_of
from webapp.costing.own.days import day, stands_first
from webapp.costing.own.told import Told

D = Decimal
POINT, NOBODY, NUMBERS = Told(sign="."), Told(), Told(exact=True)


@pytest.mark.parametrize(
    ("text", "told", "value"),
    [
        ("12.5", NOBODY, "12.5"),
        ("12,5", NOBODY, "12.5"),
        ("12,5", POINT, "12.5"),
        ("1.234,56", NOBODY, "1234.56"),
        ("1,234.56", NOBODY, "1234.56"),
        ("1 250", NOBODY, "1250"),
        ("1,500", POINT, "1500"),
        ("1,500", Told(sign=","), "1.5"),
        ("0,125", NOBODY, "0.125"),
        ("1.125", NUMBERS, "1.125"),
    ],
)
def test_numbers_are_read_as_they_must_be(text: str, told: Told, value: str) -> None:
    assert number(text, told) == D(value)


def test_a_number_with_two_readings_is_asked_for_with_both() -> None:
    with pytest.raises(Doubt) as caught:
        number("1,500", NOBODY)
    assert caught.value.choice == "sign"
    assert "1,500 can be read as 1500 or as 1.5." in caught.value.sentence
    assert doubtful("1,500 g", POINT) == "1,500 is read as 1500, not as 1.5."
    assert doubtful("12,5", POINT) == ""


@pytest.mark.parametrize("text", ["", "abc", "1e5", "1_000", "--1", "12.5.1", "9" * 25, "\u0661"])
def test_what_is_no_number_is_said(text: str) -> None:
    with pytest.raises(Unreadable):
        number(text, POINT)


@pytest.mark.parametrize(
    ("text", "beside", "value", "unit"),
    [
        ("1 kg", "", "1", "kg"),
        ("2,5kg", "", "2.5", "kg"),
        ("500 g bag", "", "500", "g"),
        ("16 oz", "", "16", "oz"),
        ("1 lb.", "", "1", "lb"),
        ("100 pcs", "", "100", "pieces"),
        ("box of 48", "", "48", "pieces"),
        ("Pack of 1,000 labels", "", "1000", "pieces"),
        ("6 x 500 g", "", "3000", "g"),
        ("2x1kg", "", "2", "kg"),
        ("kg", "", "1", "kg"),
        ("500", "grams", "500", "g"),
        ("500", "", "500", ""),
        ("1 gal", "", "1", "US gallon"),
        ("8 fl oz", "", "8", "US fl oz"),
    ],
)
def test_amounts_with_their_unit(text: str, beside: str, value: str, unit: str) -> None:
    assert amount(text, Told(sign=".", system="US"), beside) == Read(D(value), unit)


def test_a_gallon_of_two_systems_is_asked_for() -> None:
    with pytest.raises(Doubt) as caught:
        amount("1 gal", POINT)
    assert caught.value.choice == "system"


@pytest.mark.parametrize("text", ["1 sack", "0 kg", "-1 kg", "some", "0.0000001 kg"])
def test_what_is_no_amount_is_said(text: str) -> None:
    with pytest.raises(Unreadable):
        amount(text, POINT)


@pytest.mark.parametrize(
    ("text", "value", "currency", "unit"),
    [
        ("12.50", "12.50", "EUR", ""),
        ("$12.50", "12.50", "USD", ""),
        ("£12,50", "12.50", "GBP", ""),
        ("12,50 €", "12.50", "EUR", ""),
        ("CHF 12.50", "12.50", "CHF", ""),
        ("12.50 USD", "12.50", "USD", ""),
        ("€12.50/kg", "12.50", "EUR", "kg"),
        ("12.50 € per lb", "12.50", "EUR", "lb"),
        ("1.80 / 100 g", "1.80", "EUR", "100 g"),
        ("0", "0", "EUR", ""),
    ],
)
def test_money_with_its_currency_and_what_it_is_for(text: str, value: str, currency: str, unit: str) -> None:
    read, per = money(text, Told(sign="."))
    assert (read.value, read.unit, per) == (D(value), currency, unit)


def test_a_dollar_is_the_workshops_own_where_it_has_one() -> None:
    assert currency_of("$", "CAD") == "CAD"
    assert currency_of("$", "EUR") == "USD"
    assert currency_of("", "EUR", "GBP") == "GBP"


def test_a_quotient_of_a_spreadsheet_is_kept_to_four_decimals_and_said() -> None:
    read = Read(D("4.1667"), "EUR", "4.16666666666667 EUR is kept as 4.1667 EUR.", exact=D("4.16666666666667"))
    assert money("4.16666666666667", POINT)[0] == read


def test_rates() -> None:
    assert [rate(text, POINT) for text in ("20%", "20", "0.2", "0", "5.5 %")] == [20, 20, 20, 0, D("5.5")]
    for text in ("101", "-1%"):
        with pytest.raises(Unreadable):
            rate(text, POINT)


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-31",
        "2026-03-31 08:00:00",
        "31.03.2026",
        "31.3.26",
        "31/03/2026",
        "3/31/2026",
        "31 March 2026",
        "Mar 31, 2026",
    ],
)
def test_days_as_they_are_written(text: str) -> None:
    assert day(text, NOBODY) == date(2026, 3, 31)


def test_a_day_with_two_readings_is_asked_for() -> None:
    with pytest.raises(Doubt) as caught:
        day("03/04/2026", NOBODY)
    assert caught.value.choice == "days"
    assert day("03/04/2026", Told(days="day first")) == date(2026, 4, 3)
    assert day("03/04/2026", Told(days="month first")) == date(2026, 3, 4)
    assert day("03.04.2026", Told(days="month first")) == date(2026, 4, 3)


@pytest.mark.parametrize(
    ("text", "days", "found"),
    [
        # a year has twelve months: what is 12 can be one, what is 13 can't
        ("11/12/2026", "day first", date(2026, 12, 11)),
        ("11/12/2026", "month first", date(2026, 11, 12)),
        ("12/11/2026", "day first", date(2026, 11, 12)),
        ("12/11/2026", "month first", date(2026, 12, 11)),
        ("13/11/2026", "month first", date(2026, 11, 13)),
        ("11/13/2026", "day first", date(2026, 11, 13)),
        ("13/11/2026", "", date(2026, 11, 13)),
        ("11/13/2026", "", date(2026, 11, 13)),
        ("11/12/2026", "", None),
        ("12/11/2026", "", None),
        ("12/12/2026", "", date(2026, 12, 12)),
    ],
)
def test_a_day_is_asked_for_only_where_both_can_be_a_month(text: str, days: str, found: date | None) -> None:
    if found is None:
        with pytest.raises(Doubt):
            day(text, NOBODY)
    else:
        assert day(text, Told(days=days)) == found


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("13/12/2026", "day first"),
        ("12/13/2026", "month first"),
        ("12/11/2026", ""),
        ("12/12/26", ""),
        ("13/14/2026", ""),
        ("13.12.2026", ""),  # with points the day stands first anyway
    ],
)
def test_what_can_be_no_month_tells_how_days_are_written(text: str, first: str) -> None:
    assert stands_first(text) == first


@pytest.mark.parametrize(
    ("read", "cell", "said"),
    [
        (number, "x" * 24, "x" * 24 + " is no number"),
        (amount, "x" * 99, "x" * 40 + " is no amount"),
        (day, "x" * 99, "x" * 40 + " is no day"),
        (known_unit, "x" * 99, "x" * 40 + " is no unit"),
        (known_unit, "gallons " + "x" * 99, "gallons " + "x" * 22 + " can be a US or"),
        (amount, "1" + "0" * 9 + " " * 80 + "kg", "1" + "0" * 9 + " " * 30 + ": This must be above 0"),
    ],
)
def test_no_more_of_a_cell_is_said_again_than_tells_which_it_is(read: Any, cell: str, said: str) -> None:
    with pytest.raises((Unreadable, Doubt)) as caught:
        read(cell, POINT)
    told: Any = caught.value
    assert told.sentence.startswith(said)


def test_a_number_has_24_characters_at_most() -> None:
    assert number("1234567890.1234567890123", POINT) == D("1234567890.1234567890123")
    with pytest.raises(Unreadable) as caught:
        number("1234567890.12345678901234", POINT)
    assert str(caught.value) == "1234567890.1234567890123… is longer than a number may be."


@pytest.mark.parametrize("text", ["31.02.2026", "soon", "2026-13-01", "12"])
def test_what_is_no_day_is_said(text: str) -> None:
    with pytest.raises(Unreadable):
        day(text, NOBODY)


def test_what_takes_the_rest() -> None:
    assert all(map(is_rest, ("q.s.", "qs", "Q.S. to 100", "to 100%", "rest", "balance", "ad 100")))
    assert not any(map(is_rest, ("100", "restock", "")))


@pytest.mark.parametrize(
    ("text", "exact", "digits"), [("1234.5", True, ""), ("1,234", True, "1,234"), ("1234.5", False, "1234.5")]
)
def test_a_number_of_a_workbook_says_nothing_of_how_decimals_are_written(text: str, exact: bool, digits: str) -> None:
    """A workbook holds numbers as such, and they come with a point whatever stands in the cell."""
    assert signed_cells(text, Told(exact=exact)) == digits
