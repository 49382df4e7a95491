"""Densities on a tab of their own: taken for the prices they belong to, wherever these stand, and never a price."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences, stored, table
from webapp.costing.book import Book
from webapp.costing.own.columns import MATERIALS, Layout
from webapp.costing.own.density_tabs import density_tab
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.prices import How
from webapp.costing.own.rows import mark_of

F, D = Fraction, Decimal
ORDERS = "Item|Supplier|Date|Pack|Price\nHemp seed oil|Mill|2026-03-01|1 L|18.50\nShea butter|Mill|2026-03-01|1 kg|9"
BARE = "Item|Pack|Price\nHemp seed oil|1 L|18.50\nShea butter|1 kg|9"
TAB = "Item|g per ml\nHemp seed oil|0.925"
#: 18.50 for 1000 mL of 0.925 g/mL is 0.02 a gram
HEMP = F("18.50") / (1000 * F("0.925"))


@pytest.mark.parametrize("prices", [ORDERS, BARE, "Item|Supplier|Pack|Price\nHemp seed oil|Mill|1 L|18.50"])
@pytest.mark.parametrize("tab", [TAB, TAB.replace("Hemp seed oil", "hemp-seed oils")])
def test_a_density_of_a_tab_is_taken_for_a_price_with_and_without_a_day_in_either_order(prices: str, tab: str) -> None:
    for texts, there in (((prices, tab), "Sheet 2, row 2"), ((tab, prices), "Sheet 1, row 2")):
        reading = read(*texts)
        assert reading.good, (sentences(reading), reading.faults)
        assert near(costs(reading)["Hemp seed oil"], HEMP)
        assert (reading.undense, reading.published) == ((), ())
        hemp = next(one.said for one in reading.materials if one.said.name == "Hemp seed oil")
        assert f"Density 0.925 g/mL: {there}." in hemp.remarks
        assert [one.what for one in reading.skipped] == ["a density, taken for Hemp seed oil"]
        assert len([one for one in stored(reading).materials.values() if "emp" in one.name]) == 1


def test_several_purchases_of_one_thing_all_have_its_density_and_it_is_said_once() -> None:
    again = f"{ORDERS}\nHemp seed oil|Mill|2026-04-01|5 L|90"
    reading = read(again, TAB)
    assert reading.good, sentences(reading)
    said = [remark for one in reading.materials for remark in one.said.remarks]
    assert said.count("Density 0.925 g/mL: Sheet 2, row 2.") == 1
    assert reading.undense == ()


@pytest.mark.parametrize(
    ("text", "title", "layout"),
    [
        ("Oil|g per ml\nHemp|0.925\nJojoba|0.865", "SG", Layout(MATERIALS, 1, ("name", "density"))),
        ("Oil|Value\nHemp|0.925\nJojoba|0.865", "Densities", Layout(MATERIALS, 1, ("name", "density"))),
        ("Hemp|0.925\nJojoba|0.865", "SG", Layout(MATERIALS, 0, ("name", "density"))),
        ("Specific gravity of my oils\nHemp|0.925\nJojoba|0.865", "Sheet 4", Layout(MATERIALS, 1, ("name", "density"))),
        ("Specific gravity of my oils\n\nOil|\nHemp|0.925", "Sheet 4", Layout(MATERIALS, 3, ("name", "density"))),
        ("Öl|Dichte|Quelle\nHanf|0,925|Datenblatt", "Tabelle 3", Layout(MATERIALS, 1, ("name", "density"))),
    ],
)
def test_a_tab_of_densities_is_known_by_its_head_its_title_or_its_first_words(
    text: str, title: str, layout: Layout
) -> None:
    assert laid_out(table(text, title)) == layout


@pytest.mark.parametrize(
    "text",
    [
        "Item|Pack|Price|Density\nHemp|1 L|18.50|0.925",
        "Ingredient|%|Density\nHemp|40|0.925\nJojoba|60|0.865",
        "Ingredient|Grams\nHemp|40\nJojoba|60",
        "Density is on the other tab|\nItem|Pack|Price\nHemp|1 L|18.50",
    ],
)
def test_what_has_other_numbers_or_names_no_density_is_no_such_tab(text: str) -> None:
    assert density_tab(table(text, "My oils")) is None


def test_a_tab_with_a_title_above_is_read_as_densities_and_asks_nothing() -> None:
    reading = read(BARE, "Specific gravity of my oils\n\nOil|SG\nHemp seed oil|0.925\nRosehip oil|0.92")
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Hemp seed oil"], HEMP)
    rosehip = next(one.said for one in reading.materials if one.said.name == "Rosehip oil")
    assert rosehip.remarks == []  # no price is said to be missing where none could stand
    held = {one.name: one.density for one in stored(reading).materials.values()}
    assert held["Rosehip oil"].value == D("0.92")  # type: ignore[union-attr]


def test_a_density_of_a_name_that_is_like_one_with_a_price_may_be_that() -> None:
    tab = TAB.replace("Hemp seed oil", "Hemp seed")
    reading = read(BARE, tab)
    hemp = next(one.said for one in reading.materials if one.said.name == "Hemp seed")
    assert hemp.near == ("Hemp seed oil",)
    assert reading.undense == ("Hemp seed oil",)
    told = read(BARE, tab, how=How(means={mark_of("Hemp seed"): "Hemp seed oil"}))
    assert near(costs(told)["Hemp seed oil"], HEMP)
    assert [one.said.name for one in told.materials] == ["Hemp seed oil", "Shea butter"]


def test_two_densities_of_one_thing_are_asked_and_one_beside_the_price_counts() -> None:
    asked = read(BARE, f"{TAB}\nHemp seed oil|0.93")
    assert [cell for cell, _ in sentences(asked)] == ["A3"]
    assert "Hemp seed oil stands in row 2 already, with another density." in asked.wrong[0].sentence
    beside = read("Item|Pack|Price|SG\nHemp seed oil|1 L|18.50|0.925", TAB.replace("0.925", "0.93"))
    assert beside.good
    assert near(costs(beside)["Hemp seed oil"], HEMP)
    assert "Sheet 2, row 2 says a density of 0.93 g/mL; the one in this row counts." in beside.materials[0].said.remarks


def test_a_density_that_is_none_is_wrong_at_its_cell_alone() -> None:
    asked = read(BARE, f"{TAB}\nShea butter|about 1")
    assert [cell for cell, _ in sentences(asked)] == ["B3"]


def test_the_density_of_what_the_book_has_is_kept_there() -> None:
    book: Book = stored(read(BARE))
    reading = read(TAB, book=book)
    assert reading.good, sentences(reading)
    assert reading.after is not None
    held = {one.name: one.density for one in reading.after.materials.values()}
    assert held["Hemp seed oil"].value == D("0.925")  # type: ignore[union-attr]
