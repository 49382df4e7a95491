"""Ways of writing that seldom come in a maker's own sheets, in whatever module they are met. Figures from paper."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences, table
from webapp.costing.own.columns import MATERIALS
from webapp.costing.own.currencies import named_so
from webapp.costing.own.densities import density_beside
from webapp.costing.own.density_tabs import density_tab
from webapp.costing.own.layouts import laid_out_as
from webapp.costing.own.reading import Choices, with_likely
from webapp.costing.own.told import Told
from webapp.costing.own.vessels import as_one_amount

F = Fraction
POINT = Told(sign=".")


@pytest.mark.parametrize("pack", ["1 gallon (4 foo)", "1 gallon (8 lb)"])
def test_what_stands_beside_a_gallon_and_is_no_volume_does_not_say_whose_it_is(pack: str) -> None:
    asked = read(f"Item|Pack|Price\nShea|{pack}|40")
    assert [one.cell for one in asked.wrong] == ["B2"], sentences(asked)


def test_letters_that_one_currency_of_the_workshops_language_has_are_that_one() -> None:
    assert named_so("kr", "EUR", {"kr": ["DKK"]}) == "DKK"
    assert named_so("kr", "NOK", {"kr": ["DKK", "NOK"]}) == "NOK"


def test_a_weight_beside_a_volume_that_nothing_liquid_has_is_no_density() -> None:
    """5 kg in 500 mL would be 10 g/mL; 455 g are 0.91."""
    assert density_beside("500 ml (5 kg)", POINT) is None
    found = density_beside("500 ml (455 g)", POINT)
    assert found is not None
    assert F(found.value) == F("0.91")


def test_a_tab_of_densities_needs_names_and_is_one_where_a_person_says_materials() -> None:
    assert density_tab(table("|0.92\n|0.91", "Densities")) is None
    tab = table("Item|g per ml\nHemp|0.925\nOlive|0.91", "SG")
    assert laid_out_as(tab, MATERIALS) == density_tab(tab)


def test_a_density_that_stands_there_twice_counts_once() -> None:
    twice = read("Item|Pack|Price\nShea|1 kg|12", "Item|g per ml\nHemp|0.925\nHemp|0.925")
    assert [one.what for one in twice.skipped] == ["the same density as in row 2"]


def test_a_price_per_bottle_beside_several_packs_is_read_in_no_one_way() -> None:
    asked = read("Item|Packs|Pack|Price|Notes\nAloe|2|1 kg|3.60|price is per bottle")
    assert [one.so for material in asked.materials for one in material.said.row.notes] == [""]


def test_a_head_of_an_order_with_no_line_below_it_heads_nothing() -> None:
    rows = "Date|Supplier|Item|Pack|Price\n12/02/2026|Oak|||\n13/03/2026|Elm|Shea|1 kg|12\n|||2 kg|"
    told = read(rows)
    assert near(costs(told).get("Shea"), F(12) / 1000), sentences(told)


def test_a_unit_price_without_a_pack_in_its_row_is_asked_for_one_of_what() -> None:
    asked = read("Item|Pack|Unit price\nShea||12\nWax|5 kg|60")
    assert any(one.row == 2 for one in asked.wrong), sentences(asked)


def test_what_was_paid_beside_no_price_proves_nothing() -> None:
    rows = "Item|Pack|Line total|Discount|Paid\nShea|1 kg|30|10%|27\nWax|1 kg||10%|9"
    assert not read(rows).good
    neither = read("Item|Pack|Line total|Discount|Paid\nShea|1 kg|30|10%|27\nWax|1 kg|||")
    assert near(costs(neither).get("Shea"), F(27) / 1000), sentences(neither)


def test_a_heading_of_an_order_with_another_below_it_is_none() -> None:
    """Oak's line is missing: the day and supplier of the row right above the line are its own."""
    rows = "Item|Pack|Price\n12/02/2026 - Oak Supply||\n13/03/2026 - Elm Supply||\nShea|1 kg|12\nWax|1 kg|9"
    told = read(rows)
    assert {one.said.row.supplier for one in told.materials if one.said.name == "Shea"} == {"Elm Supply"}


def test_yes_to_what_is_likely_leaves_what_was_answered() -> None:
    asked = read(
        "Item|Pack|Price\nShea butter|1 kg|12\nOlive oil|1 kg|8", "Formula|Ingredient|%\nBalm|Shea|60\nBalm|Olive|40"
    )
    assert [one.best for one in asked.names] == ["Shea butter", "Olive oil"]
    first = asked.names[0].mark
    chosen = with_likely(Choices(), asked.names)
    assert {one.mark: one.best for one in asked.names} == dict(chosen.how.means)
    kept = with_likely(Choices(how=type(chosen.how)(means={first: "Olive oil"})), asked.names)
    assert kept.how.means[first] == "Olive oil"


def test_a_row_that_cannot_be_read_says_nothing_of_what_unit_prices_are_for() -> None:
    rows = "Item|Size|Unit|Unit cost\nShea|5|kg|60\nOil|500|g|20\nGum|?|kg|some"
    told = read(rows)
    assert near(costs(told).get("Shea"), F(60) / 5000), sentences(told)


@pytest.mark.parametrize(("text", "amount"), [("gallon tin 5 lb", "gallon tin 5 lb"), ("mudu 1.5 kg", "1.5 kg")])
def test_a_gallon_beside_pounds_is_no_vessel_of_them(text: str, amount: str) -> None:
    assert as_one_amount(text) == amount
