"""Overhead by planned hours: the rate is what is planned over the planned hours, applied to the hours really worked."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.published import paying, selling
from tests.published.making import example, near, sheet, unit_book
from webapp.costing.amounts import share_out


def test_a_job_bears_its_hours_at_the_planned_rate() -> None:
    """O01: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 2.3, predetermined rate, furniture.

    Standing: see the data file.
    """
    given, answers = example("O01")

    def borne(hours: str) -> object:
        return sheet(
            unit_book(
                units="1",
                unit_cost="1",
                hours=hours,
                overhead=given["overhead"],
                planned_hours=given["labour_hours"],
            )
        ).overhead

    assert near(borne("1"), answers["rate"])
    assert near(borne(given["job_hours"]), answers["applied"])


def test_fewer_hours_than_planned_bear_less_than_the_bills() -> None:
    """O05: OpenTuition, ACCA tutor answers, under-absorption, August 2016. Standing: see the data file."""
    given, answers = example("O05")
    one = sheet(
        unit_book(
            units="1",
            unit_cost="1",
            hours=given["actual_hours"],
            overhead=answers["budget"],
            planned_hours=given["budget_hours"],
        )
    )
    assert near(one.overhead, answers["absorbed"])
    assert near(one.overhead / one.making_hours, answers["rate"])


@pytest.mark.parametrize("department", ["hull", "assembly"])
def test_a_rate_for_each_department(department: str) -> None:
    """O03: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 3.2, printed in whole dollars."""
    given, answers = paying.example("O03")
    hours = {"hull": "hull_mh", "assembly": "assembly_lh"}[department]
    one = sheet(
        unit_book(
            units="1",
            unit_cost="1",
            hours="1",
            overhead=given[f"{department}_cost"],
            planned_hours=given[hours],
        )
    )
    assert selling.near(one.overhead, answers[f"{department}_rate"], "0.5")


def test_more_units_than_planned_absorb_more_than_was_spent() -> None:
    """O07: Kaplan, CIMA P1 workbook (2018), traditional costing, example 2. The 20,000 planned units are derived."""
    given, answers = paying.example("O07")
    book = unit_book(units="1", unit_cost="1", overhead=given["actual"])
    planned = Decimal(given["actual"]) / Decimal(given["rate"])
    one = sheet(replace(book, terms=replace(book.terms, overhead="jars", planned_jars=planned)))
    assert near(one.overhead, given["rate"])
    absorbed = one.overhead * Decimal(given["units"])
    assert near(absorbed, answers["absorbed"])
    assert near(absorbed - Decimal(given["actual"]), answers["over"])


@pytest.mark.parametrize("place", ["1", "2"])
def test_the_share_of_fixed_cost_falls_as_more_is_made(place: str) -> None:
    """C10: NDSU Extension, Pricing Your Food Product (2007, updated 2014), printed in whole per cents."""
    given, answers = paying.example("C10")
    units = given[f"n{place}"]
    book = unit_book(units=units, unit_cost=given["variable"], overhead=given["fixed"])
    one = sheet(replace(book, terms=replace(book.terms, overhead="jars", planned_jars=Decimal(units))))
    assert isinstance(one.full, Decimal)
    assert near(one.full * Decimal(units), answers[f"total{place}"])
    assert selling.near(one.overhead / one.full * Decimal(100), answers[f"share{place}"], "0.5")


def test_a_full_unit_cost_at_another_volume_charges_fixed_cost_twice() -> None:
    """O09: Horngren, Cost Accounting (chapter 2 solutions, uploaded copy), 2-16: fixed cost shared as overhead is."""
    given, answers = paying.example("O09")
    cars = given["products"]
    fixed = Decimal(given["fixed"])
    shares = share_out(fixed, [Decimal(one["oh"]) for one in cars.values()], 2)
    full: list[tuple[str, str, str]] = []
    variable: list[tuple[str, str, str]] = []
    for (name, one), share in zip(cars.items(), shares, strict=True):
        spent = sum(Decimal(one[part]) for part in ("dm", "dl", "oh"))
        # a car is a jar of its own price; what it costs is a contribution below 0
        for found, cost, kind in ((full, spent, "full"), (variable, spent - share, "var")):
            each = cost / Decimal(one["units"])
            assert selling.near(each, answers[f"{name}_{kind}"], "0.00005")
            found.append((one["next_units"], "0", str(each)))
    assert selling.near(paying.sold(*full).left(Decimal(0)), f"-{answers['naive_total']}", "0.02")
    assert selling.near(paying.sold(*variable).left(fixed), f"-{answers['correct_total']}", "0.01")
