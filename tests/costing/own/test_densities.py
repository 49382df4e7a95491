"""Densities of a maker's own sheet by whatever their column is headed. Figures from fractions on paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences, table
from webapp.costing.amounts import Unreadable
from webapp.costing.own.cells import Doubt
from webapp.costing.own.columns import FORMULAS, MATERIALS, role_of
from webapp.costing.own.densities import density
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.told import Told

F, D = Fraction, Decimal
POINT = Told(sign=".")
LB, US_GALLON, IMPERIAL_GALLON = F("453.59237"), F("3785.411784"), F("4546.09")


@pytest.mark.parametrize(
    "head",
    ["Dichte", "Dichte g/ml", "Dichte (g/ml)", "Dichte [g/cm³]", "density", "Density g per mL", "densité",
     "SG", "S.G.", "SG (20 °C)", "specific gravity", "Spec. gravity", "weight per gallon", "Weight/gal",
     "lb/gal", "lb(s)/gal", "Lb. per US gal", "Pounds per gallon", "#/gal", "Weight (lb/gal)", "g/ml", "g/cm³", "g/cc",
     "kg/l", "(kg/L)", "Densité kg/l", "kg/m³", "Densidad", "densità", "dichtheid", "Spez. Gewicht", "Densities",
     "Lbs per gallon"],
)  # fmt: skip
def test_a_head_that_names_a_density_is_one_and_never_a_price(head: str) -> None:
    assert role_of(head, MATERIALS) == "density"
    assert role_of(head, FORMULAS) == ""


@pytest.mark.parametrize(
    ("head", "role"),
    [
        ("Price per gallon", "unit_price"), ("€/kg", "unit_price"), ("Preis je kg", "unit_price"),
        ("Cost per lb", "unit_price"), ("Amount (g/ml)", "pack"), ("Size g/ml", ""), ("Amount (lb/gal)", "pack"),
        ("Weight (g/ml)", "pack"), ("Per gallon", ""), ("Weight", "pack"), ("$/lb", "unit_price"), ("Price at SG", ""),
    ],
)  # fmt: skip
def test_a_price_and_an_amount_stay_what_they_are(head: str, role: str) -> None:
    assert role_of(head, MATERIALS) != "density"
    assert role_of(head, MATERIALS) == role or not role


@pytest.mark.parametrize(
    ("text", "head", "grams"),
    [
        ("0.92", "", F("0.92")), ("0,915 g/mL", "", F("0.915")), ("0.9 kg/L", "Dichte", F("0.9")),
        ("0.92 sg", "SG", F("0.92")), ("0.92 g", "Density", F("0.92")), ("0.91 g/cm³", "", F("0.91")),
        ("920", "kg/m³", F("0.92")), ("920", "Density (g/L)", F("0.92")), ("0.92", "Dichte kg/l", F("0.92")),
        ("920 kg/m3", "Density (g/ml)", F("0.92")),
        ("7.2", "Lbs per US gallon", F("7.2") * LB / US_GALLON), ("7.2", "lb/imp gal", F("7.2") * LB / IMPERIAL_GALLON),
        ("7.2 lb/gal (US)", "Density", F("7.2") * LB / US_GALLON), ("8", "Weight per US gallon", 8 * LB / US_GALLON),
        ("7.2 lbs", "Weight per UK gallon", F("7.2") * LB / IMPERIAL_GALLON),
        ("3.4", "Weight per US gallon (kg)", 3400 / US_GALLON),
        ("115.2", "oz/US gal", F("7.2") * LB / US_GALLON),
    ],
)  # fmt: skip
def test_a_cell_is_read_in_the_unit_that_it_or_its_head_names(text: str, head: str, grams: Fraction) -> None:
    """Half-up to the four decimals that are kept: 7.2 lb in 3785.411784 mL are 0.86275…, in 4546.09 mL 0.71838…"""
    kept = density(text, POINT, head).value
    assert abs(F(kept) - grams) <= F("0.00005")
    assert kept == D(int(grams * 10_000 + F(1, 2))) / 10_000


def test_a_gallon_is_of_the_system_that_was_chosen_for_all_else_it_is_asked() -> None:
    assert density("7.2", Told(sign=".", system="US"), "lb/gal").value == D("0.8628")
    read = density("7.2", Told(sign=".", system="imp"), "lb/gal")
    assert (read.value, read.remark) == (D("0.7184"), "7.2 lb in an imperial gallon is 0.7184 g/mL.")
    with pytest.raises(Doubt) as asked:
        density("7.2", POINT, "lb/gal")
    assert asked.value.choice == "system"
    with pytest.raises(Unreadable, match="Name one of them"):
        density("7.2", POINT, "lb/gal (US or imperial)")


@pytest.mark.parametrize("text", ["20", "9200", "light", "0.92 stone", "7.2 kg", "7.2 lb/gal"])
def test_what_is_no_density_is_wrong(text: str) -> None:
    with pytest.raises((Unreadable, Doubt)):
        density(text, POINT, "Density")


def test_a_density_without_a_price_beside_it_leaves_the_price_unknown() -> None:
    """36.80 for 10 L of 0.92 g/mL are 4.00 a kg; linseed oil at 0.93 g/mL has no price, and was 930 a litre."""
    text = "Rohstoff|Gebinde|Preis|Dichte g/ml\nSonnenblumenöl|10 l|36,80|0,92\nLeinöl|1 l||0,93"
    assert laid_out(table(text)).roles == ("name", "pack", "price", "density")
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Sonnenblumenöl"], F("36.80") / (10_000 * F("0.92")))
    linseed = reading.materials[1].said.row
    assert (linseed.price, linseed.density) == (None, D("0.93"))
    assert (reading.undense, reading.published) == ((), ())


def test_pounds_per_gallon_are_no_price_of_a_gallon() -> None:
    """38.75 for 3785.411784 mL of 8 lb in a gallon, kept as 0.9586 g/mL; jojoba has no price yet."""
    text = "Item|Pack|Price|Lbs per gallon\nCastor oil|1 gal|38.75|8\nJojoba|1 gal||7.2"
    asked = read(text)
    assert {one.choice for one in asked.wrong} == {"system"}
    assert {one.cell for one in asked.wrong} == {"B2", "B3", "D2", "D3"}
    reading = read(text, told=Told(system="US"))
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Castor oil"], F("38.75") / (US_GALLON * F("0.9586")))
    jojoba = reading.materials[1].said
    assert (jojoba.row.price, jojoba.row.density) == (None, D("0.8628"))
    assert jojoba.remarks[0] == "7.2 lb in a US gallon is 0.8628 g/mL."


@pytest.mark.parametrize(
    ("pack", "weighs"),
    [
        ("1 gal (7.7 lb)", Fraction("7.7") * Fraction("453.59237") / Fraction("3785.411784")),
        ("1 gal = 10.5 lb", Fraction("10.5") * Fraction("453.59237") / Fraction("3785.411784")),
        ("16 fl oz / 14.4 oz wt", Fraction("14.4") * Fraction("28.349523125") / (16 * Fraction("29.5735295625"))),
        ("16 fl oz (14.4 oz)", Fraction("14.4") * Fraction("28.349523125") / (16 * Fraction("29.5735295625"))),
    ],
)
def test_pounds_and_ounces_beside_a_volume_say_what_it_weighs(pack: str, weighs: Fraction) -> None:
    reading = read(f"Vendor|Item|Size|Cost\nMill|Oil|{pack}|20", told=Told(system="US"))
    assert reading.good, sentences(reading)
    (said,) = (one.said for one in reading.materials)
    assert said.row.density is not None
    assert abs(Fraction(said.row.density) - weighs) <= Fraction(1, 20000)  # half of the fourth decimal
    assert not [one for one in said.remarks if "is not" in one]


@pytest.mark.parametrize("pack", ["500 ml (17 oz)", "1 gal (128 oz)", "16 fl oz (16 oz)"])
def test_ounces_that_are_the_volume_once_more_say_no_weight(pack: str) -> None:
    reading = read(f"Vendor|Item|Size|Cost\nMill|Oil|{pack}|20", told=Told(system="US"))
    assert [one.said.row.density for one in reading.materials] == [None]


def test_the_ounces_of_a_pound_in_brackets_are_it_once_more() -> None:
    (seen,) = read("Vendor|Item|Size|Cost\nMill|Wax|1 lb (16 oz) x 3|33").materials
    assert (seen.said.row.size, seen.said.row.unit) == (Decimal(3), "lb")
    assert not read("Vendor|Item|Size|Cost\nMill|Wax|2 lb (8 oz)|33").good
