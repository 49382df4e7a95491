"""Quantities in grams and pieces: exact factors there and back, and gaps that name what is missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.costing.buying import JAR, JOJOBA, LID, MATERIALS, ROSE_WATER, SHEA, VANILLA, reason
from webapp.costing import units
from webapp.costing.amounts import snap
from webapp.costing.book import Density
from webapp.costing.gaps import Gap, Ref
from webapp.costing.quantities import conversion, mass, per_one, reckoned_in, usable, working
from webapp.costing.working import Step

D = Decimal
AT = Ref("order", 1, "lines-0-unit")


@pytest.mark.parametrize("unit", units.MASS)
@given(st.decimals(min_value=D("0.000001"), max_value=10**7, places=6))
def test_there_and_back_is_the_same_mass(unit: str, quantity: Decimal) -> None:
    grams = units.grams(quantity, unit, None, AT)
    assert isinstance(grams, Decimal)
    assert Fraction(grams) / Fraction(units.MASS[unit]) == Fraction(quantity)
    assert snap(grams / units.MASS[unit]) == quantity


@pytest.mark.parametrize("unit", units.VOLUME)
@given(st.decimals(min_value=D("0.000001"), max_value=10**7, places=6), st.decimals("0.1", 5, places=4))
def test_there_and_back_is_the_same_volume(unit: str, quantity: Decimal, density: Decimal) -> None:
    grams = units.grams(quantity, unit, density, AT)
    assert isinstance(grams, Decimal)
    assert Fraction(grams) == Fraction(quantity) * Fraction(units.VOLUME[unit]) * Fraction(density)


def test_families_hang_together() -> None:
    assert units.MASS["lb"] == 16 * units.MASS["oz"]
    for system, ounces in (("US", (16, 32, 128)), ("imp", (20, 40, 160))):
        for name, many in zip(("pint", "quart", "gallon"), ounces, strict=True):
            assert units.VOLUME[f"{system} {name}"] == many * units.VOLUME[f"{system} fl oz"]


def test_a_fluid_ounce_names_its_system_and_is_no_ounce() -> None:
    assert "fl oz" not in units.PURCHASE_UNITS
    assert len({units.MASS["oz"], units.VOLUME["US fl oz"], units.VOLUME["imp fl oz"]}) == 3


def test_drops_are_no_purchase_unit() -> None:
    assert "drops" not in units.PURCHASE_UNITS
    assert units.drops_to_millilitres(D(40), D(20), AT) == 2
    assert units.drops_to_millilitres(D(40), None, AT) == Gap(
        "It is measured in drops. Say how many of its drops make one mL.", AT
    )


def test_pieces_have_no_mass_of_their_own() -> None:
    with pytest.raises(ValueError, match="neither a mass nor a volume"):
        units.grams(D(1), "pieces", D(1), AT)
    assert isinstance(units.grams(D(1), "L", None, AT), Gap)


@pytest.mark.parametrize(
    ("material", "amount", "unit", "wanted"),
    [
        (SHEA, "2.35", "kg", "2350"),
        (SHEA, "1", "lb", "453.59237"),
        (JOJOBA, "1", "L", "864.2"),
        (JOJOBA, "16", "US fl oz", "408.9191079666"),
        (VANILLA, "10", "pieces", "35"),
        (JAR, "48", "pieces", "48"),
        (LID, "48", "pieces", "48"),
    ],
)
def test_what_arrived_in_grams_or_pieces(material: int, amount: str, unit: str, wanted: str) -> None:
    assert usable(MATERIALS[material], D(amount), unit, AT) == D(wanted)


def test_a_volume_without_a_density_is_missing_and_says_where_it_is_cured() -> None:
    gap = usable(MATERIALS[ROSE_WATER], D(1), "L", AT)
    assert reason(gap) == ("Rose water is bought by volume and its density is not known yet. Add its density (g/mL).")
    assert isinstance(gap, Gap)
    assert gap.cure == Ref("material", ROSE_WATER, "density-value")


def test_packaging_by_mass_is_refused_but_can_be_weighed_for_the_freight() -> None:
    gap = usable(MATERIALS[JAR], D(4), "kg", AT)
    assert gap == Gap("Jar is counted by the piece. Write its packs in pieces.", AT)
    assert mass(MATERIALS[JAR], D(4), "kg") == 4000
    assert mass(MATERIALS[JAR], D(48), "pieces") == D("4440")
    assert mass(MATERIALS[LID], D(48), "pieces") == Gap(
        "What one piece of Lid weighs is not known yet. Add its weight in grams.", Ref("material", LID, "piece_grams")
    )


@pytest.mark.parametrize(
    ("material", "unit", "amounts"),
    [
        (SHEA, "g", []),
        (JAR, "pieces", []),
        (SHEA, "lb", ["453.59237"]),
        (JOJOBA, "mL", ["0.8642"]),
        (JOJOBA, "US pint", ["473.176473", "0.8642"]),
        (VANILLA, "pieces", ["3.5"]),
        (ROSE_WATER, "L", ["1000"]),
    ],
)
def test_a_conversion_opens_to_its_factors(material: int, unit: str, amounts: list[str]) -> None:
    steps = conversion(MATERIALS[material], unit)
    assert [step.amount for step in steps] == [D(amount) for amount in amounts]
    assert all(step.sign == "×" for step in steps)


def test_an_opened_density_says_its_temperature_and_links_to_it() -> None:
    (step,) = conversion(MATERIALS[JOJOBA], "mL")
    assert step.words == "its density at 20 °C"
    assert step.source == Ref("material", JOJOBA, "density-value")
    opened = working(MATERIALS[JOJOBA], (Step("", D(5), "number", "mL in a pack"),), "mL", D("4.321"))
    assert [one.amount for one in opened.steps] == [5, D("0.8642")]
    assert (opened.kind, opened.result) == ("g", D("4.321"))


def test_what_a_cost_is_per() -> None:
    assert (reckoned_in(MATERIALS[SHEA]), per_one(MATERIALS[SHEA])) == ("g", "per g")
    assert (reckoned_in(MATERIALS[JAR]), per_one(MATERIALS[JAR])) == ("pieces", "per piece")


def test_a_density_without_a_temperature_says_none() -> None:
    bare = replace(MATERIALS[JOJOBA], density=Density(date(2020, 1, 1), D("0.9")))
    (step,) = conversion(bare, "mL")
    assert step.words == "its density"
