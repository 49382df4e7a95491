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


def test_what_says_the_same_of_rows_of_one_name_is_told_once_with_one_box_for_all(client: TestClient) -> None:
    """Three balms of 300 g at 8.00 a kg and 100 g at 6.00, 7.50, each with a row that is no ingredient."""
    balm = [*BALM[:3], ["Jars", "4 pcs"]]
    address = arrived(client, Prices=PRICES, One=balm, Two=balm, Three=balm)
    text = client.get(address).text
    said = words(text)
    assert said.count("pcs: write a formula in percent, grams, mL, drops or parts.") == 2  # in the list, and at it
    assert "Leave all 3 rows called Jars out" in said
    assert "The same is said of 2 more" in said
    assert "One thing to put right" in said
    jars = re.findall(r'name="(leave-n[^"]*)"', text)
    assert len(jars) == 1
    form = fields_in(text, address)
    assert {"fix-s1_r4_c1", "fix-s2_r4_c1", "fix-s3_r4_c1"} <= set(form)
    # one of them alone, or put right
    one = words(client.post(address, data={**form, "leave-s2_r4": "yes", "fix-s1_r4_c1": "4", "more": "look"}).text)
    assert "One new, in grams 3 404 g" in one
    assert "Two new, in grams 2 400 g €7.500" in one
    left = client.post(address, data={**form, jars[0]: "yes", "more": "look"}).text
    for name in ("One", "Two", "Three"):
        assert f"{name} new, in grams 2 400 g €7.500" in words(left)
    # it stands in sight, and can be taken back
    assert "What you put right: 1" in words(left)
    form = fields_in(left, address)
    assert [name for name in form if name.startswith("leave-")] == jars
    del form[jars[0]]
    assert "Leave all 3 rows called Jars out" in words(client.post(address, data={**form, "more": "look"}).text)


def test_a_row_with_several_faults_has_one_box(client: TestClient) -> None:
    """300 and 200 g at 8.00 a kg, with as much at 6.00 and 10.00: 8.00 a kg."""
    side: list[list[Any]] = [["Ingredient", "Firm (g)", "Soft (g)"]]
    side += [[name, 300, 200] for name in ("Shea butter", "Olive oil", "Beeswax")] + [["Jars", "x1", "x1"]]
    address = arrived(client, Prices=PRICES, Recipes=side)
    text = client.get(address).text
    assert text.count('name="leave-s1_r5"') == 1
    assert "The same is said of 1 more" in words(text)
    assert "Leave all" not in words(text)
    left = client.post(address, data={**fields_in(text, address), "leave-s1_r5": "yes", "more": "look"}).text
    assert "Soft new, in grams 3 600 g €8.000" in words(left)


def test_the_same_said_of_materials_stays_at_each(client: TestClient) -> None:
    rows_of: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Tub", "1 Rolle", 3], ["Tub", "1 Rolle", 3]]
    text = client.get(arrived(client, Prices=rows_of)).text
    assert "The same is said of" not in words(text)
    assert text.count('name="leave-s0_r2"') == text.count('name="leave-s0_r3"') == 1


def test_a_cell_of_a_batch_does_not_offer_to_leave_an_ingredient_out(client: TestClient) -> None:
    """All rows of an ingredient were offered to go before, for a batch that is no weight."""
    recipes: list[list[Any]] = [["Formula", "Ingredient", "%", "Batch"]]
    for name in ("Balm", "Mask"):
        recipes += [[name, "Shea butter", 60, None], [name, "Olive oil", 40, "2 L"]]
    text = client.get(arrived(client, Prices=PRICES, Recipes=recipes)).text
    assert "a mass, not 2 L" in words(text)
    assert 'name="fix-s1_r3_c3"' in text
    assert "Leave all 2 rows called Olive oil out" not in words(text)
