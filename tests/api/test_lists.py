"""Lines of an order from a pasted sheet, as JSON: each row read or its faults, and nothing stored."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from starlette.testclient import TestClient

READING = "/api/orders/lines/reading"
SHEET = "Item;Qty;Pack size;Price\nSHEA butter;2;2,5 kg;31,00\nShea buter;x;1 kg;9,50\n"


def reading(client: TestClient, **body: Any) -> Any:
    answer = client.post(READING, json=body)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_each_row_is_read_or_says_what_is_wrong(
    client: TestClient, ids: dict[str, int], content: Callable[[], str]
) -> None:
    before = content()
    found = reading(client, text=SHEET)
    assert (found["good"], found["sign"], found["faults"]) == (False, ",", [])
    assert found["columns"][2] == {"head": "Pack size", "holds": "size"}
    first, second = found["rows"]
    assert (first["material"], first["line"], first["faults"]) == (ids["shea"], 2, [])
    assert [first[name] for name in ("packs", "size", "unit", "price", "total")] == ["2", "2.5", "kg", "31.00", None]
    assert (second["material"], second["packs"]) == (None, None)
    assert second["faults"] == [{"field": "packs", "sentence": "x is no amount. Type digits."}]
    assert "Did you mean Shea butter?" in second["remarks"][0]
    assert content() == before


def test_what_is_left_open_is_sent_again_with_what_was_chosen(client: TestClient, ids: dict[str, int]) -> None:
    del ids
    text = "\tWieviel\tMenge\tPreis\nShea butter\t1\t1,250 kg\t9\n"
    open_columns = reading(client, text=text)
    assert [fault["field"] for fault in open_columns["faults"]] == ["columns"]
    columns = [{"holds": holds} for holds in ("material", "packs", "size", "price")]
    assert [fault["field"] for fault in reading(client, text=text, columns=columns, heads="yes")["faults"]] == ["sign"]
    found = reading(client, text=text, columns=columns, heads="yes", sign=",")
    assert found["good"]
    assert found["rows"][0]["size"] == "1.250"


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"text": ""},
        {"text": 5},
        {"text": "a\x00;b"},
        {"text": "a" * 40_001},
        {"text": SHEET, "sign": "point"},
        {"text": SHEET, "columns": [{"holds": "no such"}]},
        {"text": SHEET, "columns": [{"holds": ""}] * 21},
    ],
)
def test_a_body_of_another_shape_is_refused(client: TestClient, body: dict[str, Any]) -> None:
    assert client.post(READING, json=body).status_code == 422
