"""Jars sold a month of many rows by JSON: one change or none; a pasted list looked at."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from webapp.api.acts import EXAMPLES
from webapp.api.examples import filled

SALES = "/api/sales"


def listed(client: TestClient) -> Any:
    return checked(client, f"GET {SALES}", SALES)


def test_several_are_kept_in_one_change_and_taken_back(client: TestClient, ids: dict[str, int]) -> None:
    before = listed(client)
    assert [one["jars"] for one in before.json()["items"]] == ["30"]
    body = filled(EXAMPLES["monthly_sales"], ids)
    head = {"If-Match": before.headers["ETag"], "Idempotency-Key": "sales-0001"}
    done = checked(client, f"POST {SALES}", SALES, json=body, headers=head)
    (after,) = listed(client).json()["items"]
    assert (after["jars"], after["since"]) == ("36", "2026-11-01")
    assert client.post(SALES, json=body, headers=head).json() == done.json()
    assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200
    assert listed(client).json() == before.json()


@pytest.mark.parametrize(
    ("sale", "field", "code"),
    [
        ({"jars": "-1"}, "sales-0-jars", "number-range"),
        ({"jars": 5}, "sales-0-jars", None),
        ({"product": 999, "jars": "5"}, "sales-0-product", "reference"),
    ],
)
def test_one_that_is_wrong_keeps_none(
    client: TestClient, ids: dict[str, int], sale: dict[str, Any], field: str, code: str | None
) -> None:
    body = {"since": "2026-11-01", "sales": [{"product": ids["product"], "channel": ids["channel"], **sale}]}
    answer = client.post(SALES, json=body, headers={"If-Match": listed(client).headers["ETag"]})
    assert answer.status_code == 422, answer.text
    (fault,) = answer.json()["error"]["faults"]
    assert fault["field"] == field
    assert code in (None, fault["code"])
    assert [one["jars"] for one in listed(client).json()["items"]] == ["30"]


def test_without_if_match_nothing_is_kept(client: TestClient, ids: dict[str, int]) -> None:
    assert client.post(SALES, json=filled(EXAMPLES["monthly_sales"], ids)).status_code == 428


def test_a_pasted_list_says_what_is_meant_and_what_is_wrong(client: TestClient, ids: dict[str, int]) -> None:
    product = client.get(f"/api/products/{ids['product']}").json()["name"]
    channel = client.get(f"/api/channels/{ids['channel']}").json()["name"]
    sheet = f'Product;Channel;Jars\n"{product}";{channel};12,5\nNothing;{channel};x\n'
    told = checked(client, f"POST {SALES}/reading", f"{SALES}/reading", json={"text": sheet}).json()
    good, wrong = told["rows"]
    assert (good["product"], good["channel"], good["jars"]) == (ids["product"], ids["channel"], "12.5")
    assert good["faults"] == []
    assert (wrong["product"], wrong["jars"], len(wrong["faults"])) == (None, None, 2)
    assert not told["good"]
