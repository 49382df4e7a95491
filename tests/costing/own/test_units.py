"""Measures that say whose they are, as people write them. Factors by the definitions that `costing/units.py` names."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import read, sentences
from webapp.costing.amounts import Unreadable
from webapp.costing.own.cells import Doubt, Read, amount
from webapp.costing.own.columns import per_in, unit_in
from webapp.costing.own.prices import How
from webapp.costing.own.rows import mark_of
from webapp.costing.own.told import Told
from webapp.costing.own.units import is_range, unit_first

D = Decimal


@pytest.mark.parametrize("chosen", ["", "US", "imp"])
@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("1 gal (UK)", "1", "imp gallon"),
        ("1 gal (US)", "1", "US gallon"),
        ("1 US gal", "1", "US gallon"),
        ("1 gal. US", "1", "US gallon"),
        ("2 imp. gal", "2", "imp gallon"),
        ("1 U.S. gallon", "1", "US gallon"),
        ("8 fl oz (US)", "8", "US fl oz"),
        ("8 fl. oz. imp", "8", "imp fl oz"),
        ("32oz (fluid, US)", "32", "US fl oz"),
        ("1 pint imperial", "1", "imp pint"),
        ("2 US quarts", "2", "US quart"),
        ("4 x 1 gal (UK)", "4", "imp gallon"),
        ("16 oz", "16", "oz"),
    ],
)
def test_a_measure_that_says_whose_it_is_wins_over_what_is_chosen(
    text: str, value: str, unit: str, chosen: str
) -> None:
    """A UK gallon was read as a US one where that was chosen: a fifth too dear."""
    assert amount(text, Told(sign=".", system=chosen)) == Read(D(value), unit)


@pytest.mark.parametrize("text", ["1 gal", "16 fl oz", "8 fl. oz.", "32oz (fluid)", "1 pint", "1 pt", "32 oz liquid"])
def test_a_measure_that_does_not_say_whose_it_is_is_asked_for(text: str) -> None:
    with pytest.raises(Doubt) as caught:
        amount(text, Told(sign="."))
    assert caught.value.choice == "system"
    assert caught.value.sentence.count("(") == caught.value.sentence.count(")")
    assert amount(text, Told(sign=".", system="imp")).unit.startswith("imp ")


@pytest.mark.parametrize("text", ["1 gal US (UK)", "16 oz (US)"])
def test_what_can_still_be_two_measures_is_wrong(text: str) -> None:
    with pytest.raises(Unreadable):
        amount(text, Told(sign=".", system="US"))


def test_a_bracket_beside_an_amount_is_never_dropped_in_silence() -> None:
    assert amount("1 lb (454 g)", Told(sign=".")) == Read(D(1), "lb", "1 lb is read; (454 g) beside it is not.")
    assert amount("500 g (bag)", Told(sign=".")) == Read(D(500), "g", "500 g is read; (bag) beside it is not.")
    assert amount("2 x 340 g (jars)", Told(sign=".")).value == 680
    with pytest.raises(Unreadable):
        amount("(1 kg)", Told(sign="."))


def test_heads_may_say_whose_measure_it_is() -> None:
    assert [unit_in(one) for one in ("Pack (gal UK)", "Pack (gal)", "Pack (oz US)", "Pack of")] == [
        "imp gallon", "", "", "pieces",
    ]  # fmt: skip
    heads = ("Price per gal (US)", "Price per kg ex VAT", "£/100 g", "Price per pack", "Cost per oz", "Price")
    assert [per_in(one) for one in heads] == ["gal us", "kg", "100 g", "", "oz", ""]
    assert unit_first("kg last week") == "kg"


def test_a_uk_gallon_costs_by_its_own_litres() -> None:
    """40 for 4546.09 mL at 0.9 g/mL is 40 / 4091.481 a gram."""
    how = How(densities={mark_of("Jojoba"): D("0.9")})
    reading = read("Item|Pack|Price\nJojoba|1 gal (UK)|40", how=how, told=Told(system="US"))
    assert reading.good, sentences(reading)
    (one,) = reading.materials
    assert (one.said.row.size, one.said.row.unit) == (D(1), "imp gallon")


def test_a_range_is_no_amount() -> None:
    assert all(map(is_range, ("30-40", "4.50 - 5.00", "1 to 2 kg", "30\u201340 %", "$4-5")))
    assert not any(map(is_range, ("-5", "2026-03-01", "A1-2", "30")))
    reading = read("Item|Code|Pack|Price\nShea|10-20|1-2 kg|9", "Formula|Ingredient|%\nBalm|Shea|30-40")
    assert [words for _, words in sentences(reading)] == [
        "1-2 kg is a range: type one amount.",
        "30-40 is a range: type one amount.",
    ]


@pytest.mark.parametrize(
    ("text", "unit"),
    [("100 Stk", "pieces"), ("100 Stück", "pieces"), ("500 Gramm", "g"), ("5 litri", "L"), ("2 litros", "L")],
)
def test_units_as_they_are_written_elsewhere(text: str, unit: str) -> None:
    assert amount(text, Told(sign=".")).unit == unit
