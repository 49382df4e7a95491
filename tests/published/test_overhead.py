"""Overhead by planned hours: the rate is what is planned over the planned hours, applied to the hours really worked."""

from __future__ import annotations

from tests.published.making import example, near, sheet, unit_book


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
