"""Bought by volume: the density is asked for in the line itself, and kept with the order.

By hand: a US fluid ounce is 29.5735295625 mL (NIST Handbook 44, appendix C); 16 of them at 0.91 g/mL are
473.176473 mL x 0.91 = 430.59059043 g, so that 12.40 for them is 28.798 a kg.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields_in, fill
from tests.pages.workshop import MATERIALS, ORDERS, number_of, order
from webapp import resource_dir
from webapp.costing.units import PURCHASE_UNITS, VOLUME

POURED = {"lines-0-material": "Argan oil", "lines-0-packs": "1", "lines-0-size": "16", "lines-0-unit": "US fl oz"}


def poured(client: TestClient, **more: Any) -> Any:
    return order(client, **{**POURED, **more})


def test_a_new_material_takes_its_density_with_the_order(client: TestClient) -> None:
    density = {"lines-0-density": "0.91", "lines-0-density_from": "supplier's sheet"}
    answer = poured(client, day="2026-03-02", **density)
    assert answer.status_code == 303
    assert "28.80" in client.get(answer.headers["location"]).text
    page = client.get(f"{MATERIALS}/{number_of(client, MATERIALS, 'Argan oil')}").text
    assert "0.91 g/mL, from 2 Mar 2026 (supplier" in page.replace("&nbsp;", " ")


def test_the_line_asks_for_it_and_says_what_is_published(client: TestClient) -> None:
    sent = fields_in(poured(client, more="lines").text, ORDERS)
    said = client.post(f"{ORDERS}/line?row=lines-0", data=changed(sent)).text
    assert 'name="lines-0-density"' in said
    # 0.908 to 0.918 times the density of water at 20 °C, 0.99821 (costing/densities.py)
    assert "Published: 0.9064 to 0.9164" in said


@pytest.mark.parametrize(
    ("name", "value", "warm", "source"),
    [
        # 0.908 to 0.918 x 0.99821 is 0.9064 to 0.9164, the middle 0.9114
        ("Argan oil", "0.9114", "20", "supplier specification: middle of 0.9064 to 0.9164"),
        # relative to water at 20 °C: 0.958 x 0.99821 is 0.9563
        ("Castor oil", "0.9563", "20", "BP 2025, Virgin Castor Oil"),
    ],
)
def test_a_published_density_is_taken_over_in_the_line_and_kept_with_its_temperature(
    client: TestClient, name: str, value: str, warm: str, source: str
) -> None:
    answer = poured(client, **{"lines-0-material": name}, more="lines-0-density-0")
    assert answer.status_code == 200
    sent = fields_in(answer.text, ORDERS)
    at = "lines-0-density"
    assert (sent[at], sent[f"{at}_at"], sent[f"{at}_from"]) == (value, warm, source)
    assert "to put right" not in answer.text
    assert client.post(ORDERS, data=sent).status_code == 303
    page = client.get(f"{MATERIALS}/{number_of(client, MATERIALS, name)}").text.replace("&nbsp;", " ")
    assert f"{value} g/mL at {warm} °C" in page.replace("\u00a0", " ")


@pytest.mark.parametrize("pressed", ["lines-0-density-9", "lines-7-density-0", "lines-0-density-x"])
def test_a_button_that_is_not_there_fills_in_nothing(client: TestClient, pressed: str) -> None:
    answer = poured(client, more=pressed)
    assert answer.status_code == 200
    assert fields_in(answer.text, ORDERS)["lines-0-density"] == ""


def test_one_that_is_known_and_has_none_takes_it_too_and_is_not_asked_again(client: TestClient) -> None:
    assert poured(client, day="2026-03-02").status_code == 303
    there = f"{MATERIALS}/{number_of(client, MATERIALS, 'Argan oil')}"
    assert "density is not known yet" in client.get(there).text
    again = {"new_supplier": "Another mill", "lines-0-new_kind": ""}
    answer = poured(client, **again, **{"lines-0-density": "0.91"})
    assert answer.status_code == 303
    # known from now on for its first purchase too
    assert "0.91 g/mL, from 2 Mar 2026" in client.get(there).text.replace("&nbsp;", " ").replace("\u00a0", " ")
    page = client.get(f"{ORDERS}/new?material={there.rpartition('/')[2]}").text
    assert 'name="lines-0-density"' not in page.split("<template", 1)[0]
    undo = client.get(answer.headers["location"]).text.split('action="/undo/', 1)[1].split('"', 1)[0]
    back = client.get(answer.headers["location"]).text
    assert client.post(f"/undo/{undo}", data=fields_in(back, f"/undo/{undo}")).status_code == 303
    assert "0.91 g/mL" not in client.get(there).text.replace("&nbsp;", " ").replace("\u00a0", " ")


@pytest.mark.parametrize("wrong", ["heavy", "9", "-1"])
def test_a_wrong_density_stands_at_its_field_and_nothing_is_kept(client: TestClient, wrong: str) -> None:
    answer = poured(client, **{"lines-0-density": wrong, "lines-0-density_from": "the label"})
    assert answer.status_code == 422
    assert 'id="e-lines-0-density"' in answer.text
    sent = fields_in(answer.text, ORDERS)
    assert (sent["lines-0-density"], sent["lines-0-density_from"]) == (wrong, "the label")
    assert "No order yet." in client.get(ORDERS).text
    assert "No material yet." in client.get(MATERIALS).text


@pytest.mark.parametrize("unseen", ["0.91", "heavy"])
def test_a_density_under_a_unit_of_mass_is_neither_kept_nor_refused(client: TestClient, unseen: str) -> None:
    assert poured(client, **{"lines-0-unit": "kg", "lines-0-density": unseen}).status_code == 303
    page = client.get(f"{MATERIALS}/{number_of(client, MATERIALS, 'Argan oil')}").text
    assert "g/mL, from" not in page


def test_the_style_sheet_hides_the_field_for_every_unit_that_is_no_volume() -> None:
    sheet = (resource_dir("static") / "css/forms.css").read_text(encoding="utf-8")
    selector = sheet.split('.line:has(select[name$="-unit"]', 1)[1].split(".by-volume", 1)[0]
    assert set(re.findall(r'\[value="([^"]*)"\]', selector)) == {"", *PURCHASE_UNITS} - set(VOLUME)


def test_packaging_is_not_asked_what_a_millilitre_weighs(client: TestClient) -> None:
    tin = {"lines-0-material": "Tin", "lines-0-new_kind": "packaging", "lines-0-unit": "pieces", "lines-0-density": "1"}
    assert order(client, **tin).status_code == 303
    there = f"{MATERIALS}/{number_of(client, MATERIALS, 'Tin')}"
    assert fill(client, f"{there}/edit", there, note="x").status_code == 303
    assert "g/mL, from" not in client.get(there).text
