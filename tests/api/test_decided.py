"""Prices decided with an order by JSON: kept with it or not at all, and the preview says what saving does."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import doubts
from tests.api.test_answers import checked
from webapp.api.examples import EXAMPLES, filled


@pytest.fixture
def dearer(client: TestClient, ids: dict[str, int]) -> dict[str, Any]:
    """An order of the same shea butter, more than twice as dear, and that this is right."""
    body = filled(EXAMPLES["order"][1], ids) | {"day": "2026-11-20", "invoice_total": None}
    body["lines"] = [{**body["lines"][0], "price": "95.00"}]
    return {**body, "sure": doubts(client, "/api/orders", body)}


def taken(client: TestClient, body: dict[str, Any]) -> list[dict[str, Any]]:
    """Every suggested price of the preview, as it is sent back."""
    rows = client.post("/api/orders/preview", json=body).json()["rows"]
    return [{"product": one["product"], "channel": one["channel"], "amount": one["after"]["suggested"]} for one in rows]


def entered(client: TestClient, body: dict[str, Any]) -> Any:
    """The order as it is sent after looking at its preview."""
    tag = client.post("/api/orders/preview", json={**body, "prices": []}).headers["ETag"]
    return client.post("/api/orders", json=body, headers={"If-Match": tag})


def prices(client: TestClient, ids: dict[str, int]) -> Any:
    return client.get(f"/api/products/{ids['product']}/channels/{ids['channel']}/price").json()["now"]


def test_a_cost_far_from_the_present_one_is_asked(client: TestClient, dearer: dict[str, Any]) -> None:
    unsure = {name: one for name, one in dearer.items() if name != "sure"}
    (question,) = client.post("/api/orders/preview", json=unsure).json()["questions"]
    assert (question["code"], question["field"]) == ("price-jump", "lines-0-price")
    asked = client.post("/api/orders", json=unsure)
    assert (asked.status_code, asked.json()["error"]["faults"][0]["code"]) == (422, "price-jump")
    assert client.post("/api/orders", json=dearer).status_code == 201


def test_an_order_keeps_the_prices_decided_with_it(
    client: TestClient, ids: dict[str, int], dearer: dict[str, Any]
) -> None:
    decided = [{**one, "why": "the mill went up"} for one in taken(client, dearer)]
    told = client.post("/api/orders/preview", json={**dearer, "prices": decided}).json()
    (row,) = told["rows"]
    assert row["after"]["reaches"] is True
    assert row["after"]["price"] == decided[0]["amount"]
    answer = entered(client, {**dearer, "prices": decided})
    assert answer.status_code == 201, answer.text
    kept = prices(client, ids)
    assert (kept["amount"], kept["why"], kept["suggested"]) == (
        decided[0]["amount"],
        "the mill went up",
        decided[0]["amount"],
    )
    after = client.get("/api/line").json()["items"][0]
    assert {name: after[name] for name in row["after"]} == row["after"]


def test_the_reason_is_the_order_where_none_is_sent(
    client: TestClient, ids: dict[str, int], dearer: dict[str, Any]
) -> None:
    entered(client, {**dearer, "prices": taken(client, dearer)})
    assert prices(client, ids)["why"] == "After the order of 2026-11-20"


def test_one_undo_takes_order_and_prices_back(
    client: TestClient, ids: dict[str, int], dearer: dict[str, Any], content: Callable[[], str]
) -> None:
    before, line = prices(client, ids), client.get("/api/line").json()["items"]
    entered(client, {**dearer, "prices": taken(client, dearer)})
    last = client.get("/api/changes").json()["items"][0]["version"]
    assert client.post(f"/api/undo/{last}").status_code == 200
    assert prices(client, ids) == before
    assert client.get("/api/line").json()["items"] == line


def test_a_price_is_kept_knowingly(client: TestClient, ids: dict[str, int], dearer: dict[str, Any]) -> None:
    before = prices(client, ids)
    kept = [{"product": ids["product"], "channel": ids["channel"], "answer": "keep", "why": "a promise"}]
    assert entered(client, {**dearer, "prices": kept}).status_code == 201
    now = prices(client, ids)
    assert (now["amount"], now["why"]) == (before["amount"], "a promise")
    assert now["since"] > before["since"]
    told = checked(client, "GET /api/needs", "/api/needs").json()
    pair = (ids["product"], ids["channel"])
    assert pair not in [(one["product"], one["channel"]) for one in told["below_target"]]
    (one,) = told["kept"]
    assert (one["product"], one["channel"]) == pair
    assert {name: one["decided"][name] for name in ("since", "amount", "why")} == {
        name: now[name] for name in ("since", "amount", "why")
    }
    assert one["decided"]["suggested"] == client.get("/api/line").json()["items"][0]["suggested"]


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"amount": None}, "prices-0-amount"),
        ({"amount": "abc"}, "prices-0-amount"),
        ({"amount": "1.234"}, "prices-0-amount"),
        ({"product": 999}, "prices-0-product"),
        ({"answer": "keep"}, "prices-0-why"),
        ({"answer": "perhaps"}, "prices-0-answer"),
        ({"more": "1"}, "prices-0-more"),
    ],
)
def test_what_is_wrong_stores_nothing(
    client: TestClient, dearer: dict[str, Any], content: Callable[[], str], wrong: dict[str, Any], field: str
) -> None:
    decided = [{**taken(client, dearer)[0], **wrong}]
    before = content()
    answer = client.post("/api/orders", json={**dearer, "prices": decided})
    assert answer.status_code == 422
    assert [one["field"] for one in answer.json()["error"]["faults"]] == [field]
    assert content() == before


def test_a_question_about_a_decided_price_names_its_row(client: TestClient, dearer: dict[str, Any]) -> None:
    other = {"product": 999, "channel": 999, "answer": ""}
    body = {**dearer, "prices": [other, {**taken(client, dearer)[0], "amount": "0"}]}
    told = client.post("/api/orders/preview", json=body)
    asked = client.post("/api/orders", json=body, headers={"If-Match": told.headers["ETag"]})
    assert asked.status_code == 422
    (fault,) = asked.json()["error"]["faults"]
    assert (fault["code"], fault["field"]) == ("zero-price", "prices-1-amount")
    (question,) = [one for one in told.json()["questions"] if one["code"] == "zero-price"]
    assert {name: question[name] for name in ("field", "sentence")} == {
        name: fault[name] for name in ("field", "sentence")
    }
    sure = {**body, "sure": [*body["sure"], fault["answer"]]}
    assert client.post("/api/orders", json=sure, headers={"If-Match": told.headers["ETag"]}).status_code == 201


@pytest.mark.parametrize("wrong", ["x", {"a": 1}, ["x"], [1], [{}] * 201])
def test_prices_are_a_list_of_decisions(client: TestClient, dearer: dict[str, Any], wrong: Any) -> None:
    answer = client.post("/api/orders", json={**dearer, "prices": wrong})
    assert answer.status_code == 422
    assert answer.json()["error"]["faults"][0]["field"] == "prices"


def test_a_price_that_holds_already_wants_the_tag_it_was_read_with(client: TestClient, dearer: dict[str, Any]) -> None:
    assert client.post("/api/orders", json={**dearer, "prices": taken(client, dearer)}).status_code == 428


def test_one_price_is_not_decided_twice(client: TestClient, dearer: dict[str, Any]) -> None:
    answer = client.post("/api/orders", json={**dearer, "prices": taken(client, dearer) * 2})
    assert answer.status_code == 422
    assert "decided twice" in answer.json()["error"]["faults"][0]["sentence"]


def test_the_tag_of_the_preview_serves_the_change(
    client: TestClient, ids: dict[str, int], dearer: dict[str, Any]
) -> None:
    address = f"/api/orders/{ids['order']}"
    seen = client.post(f"/api/orders/preview?change={ids['order']}", json=dearer)
    body = {**dearer, "prices": taken(client, dearer)}
    assert client.put(address, json=body, headers={"If-Match": seen.headers["ETag"]}).status_code == 200
    assert client.put(address, json=body, headers={"If-Match": seen.headers["ETag"]}).status_code == 409


def test_taking_back_is_looked_at_first_and_may_move_prices(
    client: TestClient, ids: dict[str, int], dearer: dict[str, Any], content: Callable[[], str]
) -> None:
    before = client.get("/api/line").json()["items"]
    made = client.post("/api/orders", json=dearer).json()
    address = f"/api/orders/{made['id']}/withdraw"
    stored = content()
    seen = client.post(f"{address}/preview")
    assert content() == stored
    (row,) = seen.json()["rows"]
    assert {name: before[0][name] for name in row["after"]} == row["after"]
    decided = [{"product": ids["product"], "channel": ids["channel"], "amount": "40"}]
    tag = {"If-Match": seen.headers["ETag"]}
    assert client.post(address, json={"prices": decided}, headers=tag).status_code == 200
    assert prices(client, ids)["amount"] == "40"
    assert client.post(f"/api/formulas/{ids['formula']}/withdraw/preview").status_code == 404
