"""By JSON what pages say beside the work: published densities, cautions, how a headroom came about."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.workshop import example
from tests.published.buying import table
from webapp.costing.cautions import LAW, MELT, OF_PRICE_LIST, OF_PRODUCT

FIND = "/api/materials/densities"
BY_MATERIAL = "/api/materials/{ident}/densities"


def found(client: TestClient, **asked: str) -> Any:
    return checked(client, f"GET {FIND}", FIND, params=asked).json()


def of(client: TestClient, material: int) -> Any:
    return checked(client, f"GET {BY_MATERIAL}", BY_MATERIAL.format(ident=material)).json()


@pytest.fixture
def made(client: TestClient) -> Any:
    """Makes a material and tells its number."""

    def make(name: str, **more: Any) -> int:
        answer = client.post("/api/materials", json={"name": name, "kind": "ingredient", **more})
        assert answer.status_code == 201, answer.text
        number: int = answer.json()["id"]
        return number

    return make


def test_published_densities_are_those_of_the_sources(client: TestClient) -> None:
    """The figures as printed: pharmacopoeias, Codex, ISO, handbooks, as the table of sources has them."""
    told = found(client, name="Castor oil")["items"]
    rows = [row for row in table("densities.csv") if row["inci_or_kind"] == "Ricinus Communis Seed Oil"]
    printed = sorted(row["point"] or f"{row['low']} to {row['high']}" for row in rows)
    assert sorted(one["figure"] for one in told) == printed
    assert not any(one["usual"] for one in told)  # two of no other sort, both seen, both read at room temperature


def test_the_usual_one_stands_first(client: TestClient) -> None:
    """Of what calls itself virgin one figure is published: "about" 0.958, 20/20, times 0.99821 is 0.95628518."""
    first, *others = found(client, name="Virgin castor oil")["items"]
    assert (first["sort"], first["low"], first["middle"], first["usual"]) == ("virgin", "0.9563", "0.9563", True)
    assert not any(one["usual"] for one in others)


def test_a_relative_density_is_told_in_grams_per_millilitre(client: TestClient) -> None:
    """0.920 to 0.926, 20/20, with water of 0.99821 g/mL: 0.9183532 and 0.92434246; the middle is 0.92135."""
    (one,) = found(client, name="Grapeseed oil")["items"]
    assert (one["low"], one["high"], one["temperature"]) == ("0.9184", "0.9243", "20")
    assert (one["figure"], one["basis"]) == ("0.920 to 0.926", "relative to water at 20 °C")


def test_what_lies_outside_is_warned_of_and_kept(client: TestClient, made: Any) -> None:
    density = {"since": "2026-01-01", "value": "0.5", "temperature": "20", "source": "a guess"}
    number = made("Grapeseed oil", density=density)
    told = of(client, number)
    assert "between 0.9184 and 0.9243 g/mL" in told["warning"]
    assert told == found(client, name="Grapeseed oil", value="0.5", temperature="20")
    assert found(client, name="Grapeseed oil", value="0.92")["warning"] is None
    assert client.get(f"/api/materials/{number}").json()["density"]["value"] == "0.5"


def test_what_nobody_published_and_what_is_counted_has_no_densities(client: TestClient, made: Any) -> None:
    nothing: dict[str, Any] = {"items": [], "warning": None}
    assert found(client, name="Pink clay", value="2.6") == found(client) == nothing
    assert of(client, made("Jar for castor oil", kind="packaging")) == nothing


@pytest.mark.parametrize("word", ["value", "temperature"])
def test_a_number_that_is_none_is_said_at_its_word(client: TestClient, word: str) -> None:
    answer = client.get(FIND, params={"name": "Castor oil", word: "thick"})
    assert answer.status_code == 422
    assert [one["field"] for one in answer.json()["error"]["faults"]] == [word]


def test_cautions_are_told_at_material_formula_product_and_price_list(client: TestClient, ids: dict[str, int]) -> None:
    def told(stem: str, ident: int) -> Any:
        path = f"/api/{stem}/{{ident}}/cautions"
        return checked(client, f"GET {path}", path.format(ident=ident)).json()["items"]

    assert any("burns" in sentence for sentence in told("materials", ids["wax"]))
    assert {MELT, LAW} <= set(told("formulas", ids["formula"]))
    assert told("products", ids["product"]) == list(OF_PRODUCT)
    listed = checked(client, "GET /api/price-lists/{channel}", f"/api/price-lists/{ids['channel']}").json()
    assert listed["cautions"] == list(OF_PRICE_LIST)


def test_every_headroom_is_opened_to_its_working(client: TestClient) -> None:
    """The figures themselves are held against those in fractions where the line is."""
    example(client)
    path, opened = "/api/products/{ident}/channels/{channel}/headroom/{material}", 0
    for row in client.get("/api/line?page_size=200").json()["items"]:
        if "gap" in row["headroom"]:
            continue
        for material, room in list(row["headroom"].items())[:2]:
            address = path.format(ident=row["product"], channel=row["channel"], material=material)
            working = checked(client, f"GET {path}", address).json()
            assert (working["result"], working["unit"]) == (room, "per g")
            assert [step["sign"] for step in working["steps"]] == ["", "-", "=", "÷"]
            opened += 1
    assert opened > 20


def test_what_is_not_in_it_has_no_headroom(client: TestClient, ids: dict[str, int]) -> None:
    there = f"/api/products/{ids['product']}/channels/{ids['channel']}/headroom"
    held = client.get(f"/api/products/{ids['product']}/prices").json()["items"][0]["headroom"]
    absent = next(ids[name] for name in ("jar", "wax", "shea") if name in ids and str(ids[name]) not in held)
    assert client.get(f"{there}/{absent}").status_code == 404
    assert client.get(f"{there}/999999").status_code == 404
    assert client.get(f"{there}/{next(iter(held))}").status_code == 200
