"""Which packs to buy, asked in JSON: as described, by the book's offers or those sent. Figures are from paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.filling import fields_in
from webapp.api.acts import EXAMPLES
from webapp.api.examples import filled

PACKS = "/api/packs"


def ask(client: TestClient, body: dict[str, Any]) -> Any:
    return checked(client, f"POST {PACKS}", PACKS, json=body).json()


def test_the_offers_and_the_freight_of_the_book_are_taken(client: TestClient, ids: dict[str, int]) -> None:
    told = ask(client, {"needs": [{"material": ids["shea"], "amount": "12000"}]})
    # 5 kg at 41.50, freight 12.60: three packs
    plan = told["plans"][0]
    assert (plan["total"], plan["goods"], plan["freight"]) == ("137.1", "124.5", "12.6")
    assert plan["lines"] == [
        {
            "material": ids["shea"], "supplier": ids["barn"], "size": "5", "unit": "kg", "packs": 3,
            "price": "41.5", "cost": "124.5",
        }
    ]  # fmt: skip
    assert plan["bought"][0]["left"] == "3000"
    assert told["offers"][0]["price"] == "41.5"
    assert told["freights"] == [{"supplier": ids["barn"], "amount": "12.6", "free_from": None, "least": None}]
    assert told["complete"] is True


def test_needs_come_in_any_unit(client: TestClient, ids: dict[str, int]) -> None:
    """12 kg are 12000 g; 500 mL of argan at 0.912 are 456 g; a pound is 453.59237 g."""
    shea, argan = ids["shea"], ids["argan"]
    told = ask(client, {"needs": [{"material": shea, "amount": "12", "a_month": "2", "unit": "kg"}]})
    (bought,) = told["plans"][0]["bought"]
    assert (bought["needed"], bought["a_month"]) == ("12000", "2000")
    needs = [{"material": argan, "amount": "500", "unit": "mL"}, {"material": shea, "amount": "1", "unit": "lb"}]
    wanted = {one["material"]: one["needed"] for one in ask(client, {"needs": needs})["plans"][0]["bought"]}
    assert wanted == {argan: "456", shea: "453.59237"}
    jars = client.post(PACKS, json={"needs": [{"material": ids["jar"], "amount": "1", "unit": "kg"}]})
    assert jars.status_code == 422
    fault = jars.json()["error"]["faults"][0]
    assert (fault["field"], fault["sentence"][-40:]) == (
        "needs-0-unit",
        "is counted by the piece. Choose pieces.".rjust(40),
    )


def test_every_offer_says_how_old_its_price_is(client: TestClient, ids: dict[str, int]) -> None:
    """Bought on 2 March; the workshop looks nine months back: on 25 November that is 25 February."""
    told = ask(client, {"needs": [{"material": ids["shea"], "amount": "12000"}]})
    source = {"kind": "order", "id": ids["order"], "field": "lines-0"}
    assert told["prices_of"] == [{"day": "2026-03-02", "stale": False, "tax": None, "source": source}]
    assert ask(client, {"needs": [{"material": ids["shea"], "amount": "12000"}], "offers": told["offers"]}) == told
    dearer = [{**told["offers"][0], "price": "44"}]
    assert ask(client, {"needs": [{"material": ids["shea"], "amount": "1"}], "offers": dearer})["prices_of"] == [None]


def test_what_is_sent_decides(client: TestClient, ids: dict[str, int]) -> None:
    offer = {"material": ids["shea"], "supplier": ids["barn"], "size": "1", "unit": "kg", "price": "9"}
    body = {
        "needs": [{"material": ids["shea"], "amount": "9000", "a_month": "500", "months": "12"}],
        "offers": [{**offer, "breaks": [{"packs": "10", "price": "8"}]}],
        "freights": [{"supplier": ids["barn"], "amount": "12.60", "free_from": "80"}],
    }
    bought = ask(client, body)["plans"][0]["bought"][0]
    # ten packs at 8 are 80, free; 500 x 12 = 6000 of 10000 g are used: 80 / 6000
    assert (bought["amount"], bought["cost"], bought["used"], bought["spoils"]) == ("10000", "80", "6000", "4000")
    assert bought["per_used"] == "0.013333333333"


def test_batches_are_opened_and_what_is_not_offered_is_told(client: TestClient, ids: dict[str, int]) -> None:
    told = ask(client, {"batches": [{"formula": ids["formula"], "batches": "2"}]})
    # 2 x 2000 g, 70 % shea
    assert [(one["material"], one["needed"], one["at_once"]) for one in told["plans"][0]["bought"]] == [
        (ids["shea"], "2800", "2800"),
        (ids["argan"], "1200", "1200"),
    ]
    none = ask(client, {"needs": [{"material": ids["wax"], "amount": "100"}], "freights": []})
    assert none["plans"][0]["total"] == "26.4"  # the quote of 13.80 for 1 kg, and the last freight of 12.60


def test_without_an_offer_the_plans_are_a_gap(client: TestClient, ids: dict[str, int]) -> None:
    made = client.post("/api/materials", json={"name": "Rose water"}).json()["id"]
    told = ask(client, {"needs": [{"material": made, "amount": "100"}]})
    assert "Nobody offers" in told["plans"]["gap"]["reason"]
    assert told["left_out"][0]["gap"]["cure"] == {"kind": "material", "id": made, "field": ""}
    assert ids


def test_the_documented_example_can_be_sent(client: TestClient, ids: dict[str, int]) -> None:
    named = {6: "barn", 7: "shea", 13: "formula"}

    def real(value: Any) -> Any:
        if isinstance(value, dict):
            return {name: real(one) for name, one in value.items()}
        if isinstance(value, list):
            return [real(one) for one in value]
        return ids[named[value]] if isinstance(value, int) else value

    assert ask(client, filled(real(EXAMPLES["packs"]), ids))["plans"][0]["total"]


def test_faults_stand_at_their_fields_and_nothing_is_stored(
    client: TestClient, ids: dict[str, int], content: Callable[[], str]
) -> None:
    before = content()
    offer = {"material": ids["shea"], "supplier": ids["barn"], "size": "1", "unit": "kg", "price": "9"}
    body = {
        "needs": [{"material": ids["shea"], "amount": "9000"}],
        "offers": [{**offer, "breaks": [{"packs": "10", "price": "10"}]}],
    }
    answer = client.post(PACKS, json=body)
    assert answer.status_code == 422
    assert [one["field"] for one in answer.json()["error"]["faults"]] == ["offers-0-breaks-0-price"]
    assert client.post(PACKS, json={}).json()["error"]["faults"][0]["field"] == "needs"
    assert client.post(PACKS, json={"needs": [{"material": ids["shea"], "amount": 5}]}).status_code == 422
    assert client.get(PACKS).status_code == 405
    assert content() == before


def test_a_material_is_named_as_on_the_page(client: TestClient, ids: dict[str, int]) -> None:
    """By its name in any writing, by a part of it, or by its number: the same answer."""
    shea = client.get(f"/api/materials/{ids['shea']}").json()["name"]
    wanted = ask(client, {"needs": [{"material": ids["shea"], "amount": "12000"}]})
    for name in (shea, f"  {shea.upper()} ", shea[:6]):
        assert ask(client, {"needs": [{"material": name, "amount": "12000"}]}) == wanted
    named = [{**wanted["offers"][0], "material": shea}]
    assert ask(client, {"needs": [{"material": shea, "amount": "12000"}], "offers": named}) == wanted


def test_a_name_that_is_none_is_said_at_its_field_in_the_page_s_words(client: TestClient, ids: dict[str, int]) -> None:
    assert ids
    shea = client.get(f"/api/materials/{ids['shea']}").json()["name"]
    slip = shea.replace("e", "a", 1)
    offer = {"material": "Nothing such", "supplier": ids["barn"], "size": "1", "unit": "kg", "price": "x"}
    answer = client.post(PACKS, json={"needs": [{"material": slip, "amount": "5"}], "offers": [offer]})
    assert answer.status_code == 422
    told = {one["field"]: one["sentence"] for one in answer.json()["error"]["faults"]}
    assert told["needs-0-material"] == f"{slip} is not in the book. Did you mean {shea}?"
    assert told["offers-0-material"] == "Nothing such is not in the book."
    assert "offers-0-price" in told
    page = client.get("/buy/packs").text
    sent = fields_in(page, "/buy/packs") | {"needs-0-material": slip, "needs-0-amount": "5"}
    assert told["needs-0-material"] in client.post("/buy/packs", data=sent).text


def test_what_is_no_name_and_no_number_is_a_fault(client: TestClient, ids: dict[str, int]) -> None:
    assert ids
    wrongs: tuple[Any, ...] = (True, 1.5, ["shea"], {}, 999999, "", None)
    for wrong in wrongs:
        answer = client.post(PACKS, json={"needs": [{"material": wrong, "amount": "5"}]})
        assert (answer.status_code, answer.json()["error"]["faults"][0]["field"]) == (422, "needs-0-material"), wrong
    bodies: tuple[Any, ...] = ([], {"needs": "x"}, {"needs": ["x"]})
    for body in bodies:
        assert client.post(PACKS, json=body).status_code == 422, body
