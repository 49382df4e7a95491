"""Questions about packs in which materials are typed by their names."""

from __future__ import annotations

from typing import Any

import pytest

from tests.costing.buying import BOUGHT, JOJOBA, SHEA, D, book, line, order
from webapp.costing.book import Material
from webapp.costing.limits import Fault
from webapp.costing.pack_named import AskedByName, asked_by_name
from webapp.costing.reckoning import Reckoning

COCOA, CARROT, MILLED = 7, 8, 9
KNOWN = Reckoning(
    book(
        orders={1: order(line(size="5", price="40"))},
        materials=(Material(COCOA, "Cocoa butter"), Material(CARROT, "Carrot oil"), Material(MILLED, "Milled oil")),
    )
)


def asked(*needs: Any, **more: Any) -> AskedByName:
    return asked_by_name(KNOWN, {"needs": list(needs), **more}, BOUGHT)


def need(material: Any, amount: str = "3", unit: str = "kg") -> dict[str, Any]:
    return {"material": material, "amount": amount, "unit": unit}


@pytest.mark.parametrize("text", ["Shea butter", " shea BUTTER ", "shea", SHEA])
def test_a_name_a_part_of_it_and_a_number_mean_the_same(text: Any) -> None:
    found = asked(need(text))
    assert found.faults == ()
    assert found.asking is not None
    assert found.taken is not None
    assert (found.asking.needs[0].material, found.taken.needs[0].amount) == (SHEA, D(3000))


def test_a_line_is_drawn_again_under_the_materials_own_name() -> None:
    found = asked(need("shea"), need(JOJOBA), "no line")
    assert [one["material"] if isinstance(one, dict) else one for one in found.drawn["needs"]] == [
        "Shea butter", JOJOBA, "no line",
    ]  # fmt: skip


def test_a_name_that_is_not_in_the_book_offers_what_is_like_it_and_is_said_once() -> None:
    found = asked(need("Sheaa butter"))
    assert found.faults == (
        Fault("needs-0-material", "reference", "Sheaa butter is not in the book. Did you mean Shea butter?"),
    )
    assert (found.near, found.taken) == ({"needs-0": ("Shea butter",)}, None)
    assert found.drawn["needs"][0]["material"] == "Sheaa butter"


def test_a_part_of_several_names_offers_them_all() -> None:
    found = asked(need("butter"))
    assert found.near["needs-0"] == ("Cocoa butter", "Shea butter")
    assert [one.code for one in found.faults] == ["reference"]


def test_two_materials_of_one_name_are_to_be_told_apart() -> None:
    twins = Reckoning(
        book(materials=(Material(COCOA, "Wax", also_known_as="Cera"), Material(CARROT, "Oil", also_known_as="Cera")))
    )
    found = asked_by_name(twins, {"needs": [need("Cera")]}, BOUGHT)
    assert [one.sentence for one in found.faults] == ["More than one material is called that. Choose one: Oil or Wax."]


def test_offers_are_read_by_name_too_and_other_faults_stand_beside() -> None:
    offer = {"material": "jojoba", "supplier": 1, "size": "1", "unit": "kg", "price": "0"}
    found = asked(need("nothing like it at all"), offers=[offer])
    assert [one.field for one in found.faults] == ["needs-0-material", "offers-0-price"]
    assert found.drawn["offers"][0]["material"] == "Jojoba"


def test_an_empty_name_is_asked_for_and_what_is_no_list_or_no_object_is_refused() -> None:
    assert [(one.field, one.code) for one in asked(need(" ")).faults] == [("needs-0-material", "required")]
    assert [one.field for one in asked_by_name(KNOWN, {"needs": "shea"}, BOUGHT).faults] == ["needs"]
    refused = asked_by_name(KNOWN, ["shea"], BOUGHT)
    assert (refused.asking, refused.taken, refused.drawn) == (None, None, {})
    assert refused.faults != ()


def test_what_cannot_be_answered_is_said_at_its_line() -> None:
    """A litre of shea: without its density nobody knows how many grams that is."""
    found = asked(need("shea", "1", "L"))
    assert found.asking is not None
    assert (found.taken, [one.field for one in found.faults]) == (None, ["needs-0-unit"])


@pytest.mark.parametrize(("packs", "fields"), [("2", []), ("1", ["offers-0-breaks-0-packs"])])
def test_a_price_break_is_for_two_packs_or_more(packs: str, fields: list[str]) -> None:
    """The price of one pack is the price: a break for one would be another."""
    offer = {"material": "shea", "supplier": 1, "size": "1", "unit": "kg", "price": "9"}
    found = asked(need("shea"), offers=[{**offer, "breaks": [{"packs": packs, "price": "8"}]}])
    assert [one.field for one in found.faults] == fields
