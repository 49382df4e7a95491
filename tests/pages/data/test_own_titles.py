"""Which line above a maker's own formula is its name: shown, asked once, and left out on the page."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from tests.pages.data.test_own import words
from tests.pages.data.test_own_layouts import PRICES, arrived
from tests.pages.filling import fields_in

HEADS = ["Ingredient", "g"]
BALM: list[list[Any]] = [HEADS, ["Shea butter", 300], ["Olive oil", 100], ["Total", 400]]
MASK: list[list[Any]] = [HEADS, ["Shea butter", 100], ["Olive oil", 300], ["Total", 400]]


def two(first: str, second: str) -> list[list[Any]]:
    return [["Balm"], [first], *BALM, [], ["Mask"], [second], *MASK]


def test_a_jar_below_a_title_is_said_to_be_a_note(client: TestClient) -> None:
    """At 8 and 6 a kg 300 g and 100 g cost 7.500 a kg, and 100 g with 300 g 6.500."""
    address = arrived(client, Prices=PRICES, Recipes=two("100ml jar", "100ml jar"))
    text = words(client.get(address).text)
    assert "Balm new, in grams Read as a note: 100ml jar. 2 400 g €7.500" in text
    assert "Mask new, in grams Read as a note: 100ml jar. 2 400 g €6.500" in text


def test_which_of_two_lines_is_the_name_is_asked_once_and_remembered(client: TestClient) -> None:
    address = arrived(client, Prices=PRICES, Recipes=two("rich", "light"))
    text = client.get(address).text
    assert "Is “Balm” the name of a formula, or “rich”?" in words(text)
    assert text.count('name="sheets-1-titles"') == 1
    form = {**fields_in(text, address), "sheets-1-titles": "first", "more": "look"}
    left = words(client.post(address, data=form).text)
    assert "Read as a note: light. 2 400 g €6.500" in left
    later = words(client.get(arrived(client, Prices=PRICES, Recipes=two("soft", "firm"))).text)
    assert "Read as a note: firm. 2 400 g €6.500" in later


def test_a_title_that_is_left_out_says_what_goes_with_it(client: TestClient) -> None:
    """Two formulas of one name: the box of the second says that its lines go, and what went is in sight."""
    twice = [["Balm"], *BALM, [], ["Balm"], *MASK]
    address = arrived(client, Prices=PRICES, Recipes=twice)
    text = client.get(address).text
    assert "Leave row 7 out, with what stands below it" in words(text)
    form = {**fields_in(text, address), "leave-s1_r7": "yes", "more": "look"}
    left = words(client.post(address, data=form).text)
    assert "Left out, with all that stands below: Balm (Recipes, row 7)." in left
    assert "Balm new, in grams 2 400 g €7.500" in left


def test_what_is_weighed_below_the_totals_of_several_tabs_is_asked_once_and_remembered(client: TestClient) -> None:
    """300 g at 8 and 100 g at 6 a kg are 7.500 a kg; beeswax below the total is asked of both tabs by one question."""
    tail: list[list[Any]] = [[], ["Beeswax", 4]]
    address = arrived(client, Prices=PRICES, Balm=[*BALM, *tail], Mask=[*MASK, *tail])
    text = client.get(address).text
    assert "Below the totals of Balm, Mask stand: Beeswax. Are they in these formulas?" in words(text)
    assert text.count('name="below"') == 1
    form = {**fields_in(text, address), "below": "out", "more": "look"}
    left = words(client.post(address, data=form).text)
    assert "to put right" not in left
    assert "Below its total, and not in it: Beeswax." in left
    assert "2 400 g €7.500" in left


def test_a_remark_that_holds_for_several_tabs_is_said_once_with_their_names(client: TestClient) -> None:
    """Nine alike tabs had as many paragraphs; one that holds for two stays at each."""
    card: list[list[Any]] = [*BALM, [], ["Jar 50 ml", 20]]
    tabs = dict.fromkeys(("Balm", "Mask", "Cream"), card)
    prices = [*PRICES, ["Jar 50 ml", "10 pcs", 5]]
    said = "Packaging below its total is in no formula: add it at its product."
    address = arrived(client, Prices=prices, **tabs, Milk=MASK)
    text = words(client.get(address).text)
    assert text.count(said) == 1
    assert f"Balm, Mask, Cream: {said}" in text
    all_of_them = words(client.get(arrived(client, Prices=prices, **tabs)).text)
    assert f"All 3 formulas: {said}" in all_of_them
    two_tabs = words(client.get(arrived(client, Prices=prices, Balm=card, Mask=card)).text)
    assert two_tabs.count(said) == 2


def test_whether_words_between_ingredients_are_notes_is_asked_once_and_can_be_said_again(client: TestClient) -> None:
    """300 g at 8 and 100 g at 6 a kg are 7.500 a kg, once what stands between is a note; the other way round 6.500."""

    def recipe(title: str, shea: int, words_between: str) -> list[list[Any]]:
        return [[title], ["Shea butter", shea], [words_between], ["Olive oil", 400 - shea]]

    sheet = [["Recipes (grams)"], [], *recipe("Balm", 300, "Whip soft"), [], *recipe("Mask", 100, "cool slowly")]
    address = arrived(client, Prices=PRICES, Recipes=sheet)
    text = client.get(address).text
    asked = "Is “Whip soft” a step in Balm, or the name of a formula that begins here? Choose it once for this sheet."
    assert asked in words(text)
    assert text.count('name="sheets-1-method"') == 1
    form = {**fields_in(text, address), "sheets-1-method": "note", "more": "look"}
    left = words(client.post(address, data=form).text)
    assert "2 400 g €7.500" in left
    assert "2 400 g €6.500" in left
    later = client.get(arrived(client, Prices=PRICES, Recipes=[*sheet[:2], *recipe("Soft", 300, "Stick")])).text
    assert 'name="sheets-1-method"' in later
    assert "In Recipes, words alone between ingredients are" in words(later)
