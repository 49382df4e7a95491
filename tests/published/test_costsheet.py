"""The cost sheet: material, labour, and overhead by the hours of making."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.published.making import example, near, sheet, unit_book


@pytest.mark.parametrize("boat", ["basic", "deluxe"])
def test_one_rate_for_all_hours_costs_each_product_by_its_own(boat: str) -> None:
    """P01: Heisinger & Hoyle, Accounting for Managers (Saylor, 2012), 3.2, one plantwide rate, two boats.

    A boat is a batch of one jar. Standing: see the data file.
    """
    given, answers = example("P01")
    made = given[boat]
    wage = str(Decimal(made["labour"]) / Decimal(made["hours"]))
    one = sheet(
        unit_book(
            units="1",
            unit_cost=made["material"],
            hours=made["hours"],
            wage=wage,
            overhead=given["overhead"],
            planned_hours=given["labour_hours"],
        )
    )
    assert near(one.materials, made["material"])
    assert near(one.labour, made["labour"])
    assert near(one.overhead, answers[f"{boat}_oh"])
    assert near(one.full, answers[f"{boat}_cost"])
    assert near(Decimal(made["price"]) - one.full, answers[f"{boat}_profit"])
