"""Break-even and pay by JSON, as the page has them. Expected figures are from paper."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked

PAY = "/api/pay"


def asked(client: TestClient, query: str = "") -> Any:
    return checked(client, f"GET {PAY}", f"{PAY}{query}").json()


def test_a_month_of_the_examples(client: TestClient, ids: dict[str, int]) -> None:
    told = asked(client)
    row = client.get("/api/line").json()["items"][0]
    # 30 jars at 16.50 a month, 120.00 of bench rent
    assert told["after"]["mix"]["net_sales"] == "495"
    assert told["overhead"] == "120"
    assert told["after"]["mix"]["selling"][0]["contribution"] == row["contribution"]
    assert told["before"]["mix"]["selling"][0]["contribution"] == row["contribution_before_own_pay"]
    assert told["income"] is None
    assert told["changes"] == []
    assert told["month"]["an_hour"] == told["products"][0]["an_hour"]


def test_an_income_and_a_price_change_are_asked_in_the_address(client: TestClient, ids: dict[str, int]) -> None:
    told = asked(client, "?income=100&by=10&workings=true")
    assert told["income"]["cover"] == "220"
    (change,) = told["changes"]
    # 16.50 + 10 % = 18.15, no tax and no fees: all of 1.65 is added
    assert (change["price"], change["change"], change["outcome"]["verdict"]) == ("18.15", "1.65", "may lose")
    assert change["working"]["result"] == change["outcome"]["share"]
    assert told["products"][0]["working"]["result"] == told["products"][0]["an_hour"]


def test_a_figure_has_its_sum(client: TestClient, ids: dict[str, int]) -> None:
    operation = f"GET {PAY}/workings/{{way}}/{{figure}}"
    sum_of = checked(client, operation, f"{PAY}/workings/income/jars?income=100").json()
    assert sum_of["result"] == asked(client, "?income=100")["income"]["jars"]
    assert client.get(f"{PAY}/workings/income/jars").status_code == 404
    assert client.get(f"{PAY}/workings/after/colour").status_code == 404


@pytest.mark.parametrize(
    ("query", "code"), [("income=1,5", "number-format"), ("by=-100", "number-range"), ("income=-1", "number-range")]
)
def test_what_is_none_is_refused_at_its_name(client: TestClient, query: str, code: str) -> None:
    answer = client.get(f"{PAY}?{query}")
    assert answer.status_code == 422
    (fault,) = answer.json()["error"]["faults"]
    assert (fault["field"], fault["code"]) == (query.partition("=")[0], code)


def test_nothing_sold_is_a_gap_with_its_reason(client: TestClient) -> None:
    told = asked(client)
    assert told["after"]["even"]["jars"]["gap"]["reason"].startswith("Nothing is sold")
    assert told["products"] == []
