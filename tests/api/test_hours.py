"""A week's hours by JSON, as the page has them. Expected figures are from paper."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked

HOURS = "/api/hours"


def asked(client: TestClient, query: str = "") -> Any:
    return checked(client, f"GET {HOURS}", f"{HOURS}{query}").json()["week"]


def test_a_week_has_its_part_of_the_planned_hours(client: TestClient, ids: dict[str, int]) -> None:
    week = asked(client)
    # 40 hours of making a month, 30 jars sold a month, x 12 / 52
    assert (week["hours"], week["ranked"][0]["demand"]["jars"]) == ("9.230769230769", "6.923076923077")


def test_hours_and_jars_are_asked_in_the_address(client: TestClient, ids: dict[str, int]) -> None:
    row = client.get("/api/line").json()["items"][0]
    week = asked(client, f"?hours=0&jars={row['product']}:{row['channel']}:20&workings=true")
    (made,) = week["ranked"]
    assert (made["demand"]["jars"], made["jars"], made["whole"]) == ("20", "0", "0")
    assert made["demand"]["contribution"] == row["contribution_before_own_pay"]
    assert week["next"] == made["demand"]
    assert week["workings"]["one_more"]["result"] == week["one_more"]
    # an hour of it, as long as 20 jars take longer than that
    assert float(made["demand"]["hours"]) * 20 > 1
    assert week["one_more"] == row["per_labour_hour"]


def test_where_nothing_says_how_many_hours_there_are_it_is_a_gap(client: TestClient) -> None:
    assert "Type them" in asked(client)["gap"]["reason"]


@pytest.mark.parametrize(
    ("query", "field", "code"),
    [("hours=x", "hours", "number-format"), ("jars=1:1:x", "jars", "reference"), ("jars=7", "jars", "reference")],
)
def test_what_is_none_is_refused_at_its_name(client: TestClient, query: str, field: str, code: str) -> None:
    answer = client.get(f"{HOURS}?{query}")
    assert answer.status_code == 422
    (fault,) = answer.json()["error"]["faults"]
    assert (fault["field"], fault["code"]) == (field, code)


def test_jars_of_a_row_have_to_be_a_number(client: TestClient, ids: dict[str, int]) -> None:
    row = client.get("/api/line").json()["items"][0]
    for amount, code in (("", "required"), ("-2", "number-range"), ("two", "number-format")):
        answer = client.get(f"{HOURS}?jars={row['product']}:{row['channel']}:{amount}")
        assert answer.json()["error"]["faults"][0]["code"] == code
