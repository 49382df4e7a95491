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
