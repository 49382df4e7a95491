"""What is taken for gallons and days where nobody says it and the workshop is in the US or the UK. Figures on paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, US_GALLON, costs, near, read, sentences
from webapp.costing.book import Book, Workshop
from webapp.costing.own.told import Told
from webapp.costing.own.usual import country_of, said_of

F = Fraction
IMPERIAL_GALLON = F("4546.09")
US, UK = Workshop(locale="en_US", currency="USD"), Workshop(locale="en_GB", currency="GBP")
SHEET = "Item|Supplier|Bought|Pack|Price|Density\nCastor oil|Mill|3/4/2026|1 gal|40|0.96"


def book(workshop: Workshop) -> Book:
    return replace(Book(day=DAY), workshop=workshop)


@pytest.mark.parametrize(
    ("workshop", "gallon", "day", "system"),
    [(US, US_GALLON, date(2026, 3, 4), "US"), (UK, IMPERIAL_GALLON, date(2026, 4, 3), "imp")],
)
def test_gallons_and_days_are_as_is_usual_there(workshop: Workshop, gallon: F, day: date, system: str) -> None:
    """40.00 for a gallon of 0.96 g/mL: of 3785.411784 mL, or of 4546.09 mL."""
    reading = read(SHEET, book=book(workshop))
    assert reading.good, sentences(reading)
    assert dict(reading.assumed) == {"system": system, "days": "month first" if system == "US" else "day first"}
    assert {"system", "days"} <= reading.asks
    assert near(costs(reading)["Castor oil"], 40 / (gallon * F("0.96")))
    assert reading.materials[0].said.row.day == day


def test_what_was_chosen_goes_before_it_and_only_what_is_asked_is_taken() -> None:
    told = read(SHEET, book=book(US), told=Told(system="imp"))
    assert dict(told.assumed) == {"days": "month first"}
    assert near(costs(told)["Castor oil"], 40 / (IMPERIAL_GALLON * F("0.96")))
    both = read(SHEET, book=book(US), told=Told(system="imp", days="day first"))
    assert (dict(both.assumed), both.materials[0].said.row.day) == ({}, date(2026, 4, 3))
    assert dict(read("Item|Pack|Price\nWax|1 kg|4", book=book(US)).assumed) == {}


def test_days_of_the_sheet_go_before_it_and_those_that_contradict_each_other_are_asked() -> None:
    said = read(f"{SHEET}\nWax|Mill|13/4/2026|1 kg|4|", book=book(US))
    assert (dict(said.assumed), said.materials[0].said.row.day) == ({"system": "US"}, date(2026, 4, 3))
    asked = read(f"{SHEET}\nWax|Mill|13/4/2026|1 kg|4|\nOil|Mill|4/13/2026|1 kg|4|", book=book(US))
    assert dict(asked.assumed) == {"system": "US"}
    assert [one.choice for one in asked.wrong] == ["days"]


@pytest.mark.parametrize(("locale", "currency"), [("en_GB", "EUR"), ("de_DE", "EUR"), ("en_CA", "CAD"), ("en", "USD")])
def test_elsewhere_it_is_asked(locale: str, currency: str) -> None:
    workshop = Workshop(locale=locale, currency=currency)
    assert country_of(workshop) == ""
    reading = read(SHEET, book=book(workshop))
    assert dict(reading.assumed) == {}
    assert {one.choice for one in reading.wrong} == {"system", "days"}
    assert said_of(workshop, ("system",)) == ""


def test_what_is_taken_is_said() -> None:
    assert said_of(US, {"system": "US", "days": "month first"}) == (
        "As is usual in the United States, gallons, pints and fluid ounces are US measures and in 3/4/2026 the month "
        "stands first. Change it here if yours do otherwise."
    )
    assert said_of(UK, ("days",)) == (
        "As is usual in the United Kingdom, in 3/4/2026 the day stands first. Change it here if yours do otherwise."
    )
    assert said_of(UK, ()) == ""
    assert country_of(Workshop(locale="en_US", currency="EUR")) == "US"
