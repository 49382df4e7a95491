"""Rows of a maker's own formulas that are understood, left out on the page and taken back."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

from starlette.testclient import TestClient

from tests.pages.data.test_own import words
from tests.pages.data.test_own_layouts import PRICES, arrived
from tests.pages.filling import fields_in

BALM: list[list[Any]] = [["Ingredient", "g"], ["Shea butter", 300], ["Olive oil", 100], ["Jars per batch", 8]]


def rows(text: str) -> list[tuple[str, str]]:
    """The boxes of rows inside a fold with the words "Of …: so many rows": their names and labels."""
    folds = re.findall(r"<summary>(Of [^<]*: [0-9]+ rows?)</summary>(.*?)</details>", text, re.DOTALL)
    boxes = r'<input type="checkbox"[^>]*name="([^"]*)"[^>]*>\s*<span>(.*?)</span>'
    return [(name, unescape(label)) for _, inside in folds for name, label in re.findall(boxes, inside, re.DOTALL)]


def test_a_row_that_is_understood_can_be_left_out_and_taken_back(client: TestClient) -> None:
    """300 of 400 g at 8.00 a kg and 100 at 6.00 are 7.50; the jars were a new material of 8 g before."""
    address = arrived(client, Prices=PRICES, Balm=BALM)
    text = client.get(address).text
    assert "Of Balm: 3 rows" in words(text)
    assert rows(text) == [
        ("leave-s1_r2", "Leave row 2 out: Shea butter, 300"),
        ("leave-s1_r3", "Leave row 3 out: Olive oil, 100"),
        ("leave-s1_r4", "Leave row 4 out: Jars per batch, 8"),
    ]
    form = fields_in(text, address)
    assert not [name for name in form if name.startswith("leave-")]
    assert "New, and without a price: Jars per batch." in words(text)
    left = client.post(address, data={**form, "leave-s1_r4": "yes", "more": "look"}).text
    assert "Balm new, in grams 2 400 g €7.500" in words(left)
    assert "What you put right: 1" in words(left)
    assert [name for name, _ in rows(left)] == ["leave-s1_r2", "leave-s1_r3"]
    form = fields_in(left, address)
    assert form["leave-s1_r4"] == "yes"
    assert left.count('name="leave-s1_r4"') == 1
    del form["leave-s1_r4"]
    back = client.post(address, data={**form, "more": "look"}).text
    assert [name for name, _ in rows(back)] == ["leave-s1_r2", "leave-s1_r3", "leave-s1_r4"]


def test_a_row_with_a_fault_has_its_box_there_and_a_total_can_be_left_out(client: TestClient) -> None:
    """Without the total, 4 g of beeswax below it are in the balm: 300 at 8, 100 at 6 and 4 at 10 a kg are 7.52475."""
    balm = [*BALM[:3], ["Total", 400], ["Beeswax", 4]]
    address = arrived(client, Prices=PRICES, Balm=balm)
    text = client.get(address).text
    assert "below it stand: Beeswax." in words(text)
    assert rows(text)[2] == (
        "leave-s1_r4",
        "Leave row 4 out: Total, 400 (the total: without it, what stands below is read too)",
    )
    assert text.count('name="leave-s1_r5"') == 1
    form = fields_in(text, address)
    within = client.post(address, data={**form, "leave-s1_r4": "yes", "more": "look"}).text
    assert "Balm new, in grams 3 404 g €7.525" in words(within)
    without = client.post(address, data={**form, "leave-s1_r5": "yes", "more": "look"}).text
    assert "Balm new, in grams Below its total, and not in it: Beeswax. 2 400 g €7.500" in words(without)


def test_rows_of_formulas_side_by_side_stand_once_for_all_of_them(client: TestClient) -> None:
    """Without the olive oil both are all shea butter: 8.00 a kg."""
    side: list[list[Any]] = [["Ingredient", "Firm (g)", "Soft (g)"], ["Shea butter", 300, 200], ["Olive oil", 100, 200]]
    address = arrived(client, Prices=PRICES, Recipes=side)
    text = client.get(address).text
    assert "Of all formulas of Recipes: 2 rows" in words(text)
    assert [name for name, _ in rows(text)] == ["leave-s1_r2", "leave-s1_r3"]
    left = client.post(address, data={**fields_in(text, address), "leave-s1_r3": "yes", "more": "look"}).text
    assert "Firm new, in grams 1 300 g €8.000" in words(left)
    assert "Soft new, in grams 1 200 g €8.000" in words(left)
    assert "Of all formulas of Recipes: 1 row " in words(left)


def test_so_many_rows_as_a_page_shows_at_once_can_be_left_out(client: TestClient) -> None:
    """60 formulas of 20 rows are 1,200; the last 10 have none."""
    many: list[list[Any]] = [["Formula", "Ingredient", "g"]]
    many += [[f"Balm {number}", f"Oil {line}", 5] for number in range(60) for line in range(20)]
    text = client.get(arrived(client, Recipes=many)).text
    assert len(rows(text)) == 1000
    assert "Of Balm 49: 20 rows" in words(text)
    assert "Of Balm 50:" not in words(text)
