"""Gallons and days of a maker's own sheets where nobody says which: as is usual in the country of the workshop."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from webapp.costing.book import Workshop
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.days import stands_first

#: by country: of which system its gallons, pints and fluid ounces are, and what stands first in its days
_IN = {"US": {"system": "US", "days": "month first"}, "GB": {"system": "imp", "days": "day first"}}
#: what is said of it
_SAID = {
    "US": {"system": "gallons, pints and fluid ounces are US measures", "days": "in 3/4/2026 the month stands first"},
    "GB": {
        "system": "gallons, pints and fluid ounces are imperial measures",
        "days": "in 3/4/2026 the day stands first",
    },
}
_NAMES = {"US": "the United States", "GB": "the United Kingdom"}


def country_of(workshop: Workshop) -> str:
    """The country as whose people the workshop writes, of those that have one way: US or GB; "" for any other.

    English as in the United Kingdom is what a workshop begins with, so that only pounds beside it tell the country.
    """
    country = workshop.locale.rpartition("_")[2]
    return country if country == "US" or (country == "GB" and workshop.currency == "GBP") else ""


def usual_in(workshop: Workshop, asked: Collection[str], days: Collection[str]) -> dict[str, str]:
    """What is taken for choices that are asked, and for no other; days that contradict each other are asked."""
    usual: Mapping[str, str] = _IN.get(country_of(workshop), {})
    return {name: told for name, told in usual.items() if name in asked and not (name == "days" and days)}


def said_of(workshop: Workshop, taken: Collection[str]) -> str:
    """What was taken, as a sentence; "" for nothing."""
    country = country_of(workshop)
    said = [words for name, words in _SAID.get(country, {}).items() if name in taken]
    return (
        f"As is usual in {_NAMES[country]}, {' and '.join(said)}. Change it here if yours do otherwise." if said else ""
    )


def days_in(tables: Sequence[OwnTable], layouts: Sequence[Layout]) -> frozenset[str]:
    """What the days that can be read in one way only say stands first."""
    places = [(table, layout, layout.place("day")) for table, layout in zip(tables, layouts, strict=True)]
    return frozenset(
        said
        for table, layout, place in places
        if place is not None
        for row in range(layout.heads + 1, len(table.rows) + 1)
        if (said := stands_first(table.cell(row, place)))
    )
