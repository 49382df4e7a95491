"""Which packs to buy, asked in JSON: as described, by the book's offers or those sent. Figures are from paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.testclient import TestClient

from tests.api.test_answers import checked
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
