"""What if by JSON: the month and the line before and after, accepted in one change. Expected figures are from paper."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from webapp.api.acts import EXAMPLES
from webapp.api.examples import filled

PREVIEW, ACCEPT = "/api/what-ifs/preview", "/api/what-ifs/accept"


def asked(client: TestClient, *rows: dict[str, Any]) -> Any:
    return checked(client, f"POST {PREVIEW}", PREVIEW, json={"suppositions": list(rows)}).json()


def faults(answer: Any) -> list[tuple[str, str]]:
    assert answer.status_code == 422, answer.text
    return [(one["field"], one["code"]) for one in answer.json()["error"]["faults"]]


def test_a_higher_price_moves_its_row_and_the_month(client: TestClient, ids: dict[str, int]) -> None:
    told = asked(client, {"kind": "prices", "way": "up", "percent": "10"})
    (row,) = told["rows"]
    # 16.50 x 1.1 = 18.15; 30 jars a month, no tax: net sales 495.00 and 544.50
    assert (row["before"]["price"], row["after"]["price"]) == ("16.5", "18.15")
    assert told["month"]["now"]["totals"]["net_sales"] == "495"
    assert told["month"]["then"]["totals"]["net_sales"] == "544.5"
    assert told["materials"] == []


def test_what_is_accepted_is_what_was_previewed_and_one_undo_takes_it_back(
    client: TestClient, ids: dict[str, int]
) -> None:
    body = filled(EXAMPLES["what_if"], ids)
    before = client.get("/api/line").json()
    seen = client.post(PREVIEW, json=body)
    head = {"If-Match": seen.headers["ETag"], "Idempotency-Key": "what-if-0001"}
    done = checked(client, f"POST {ACCEPT}", ACCEPT, json=body, headers=head)
    after = client.get("/api/line").json()
    for moved in seen.json()["rows"]:
        told = next(one for one in after["items"] if one["product"] == moved["product"])
        assert {name: told[name] for name in moved["after"]} == moved["after"]
    assert after["totals"] == seen.json()["month"]["then"]["totals"]
    assert client.post(ACCEPT, json=body, headers=head).json() == done.json()
    assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200
    assert client.get("/api/line").json() == before


def test_sent_twice_with_its_key_it_is_stored_once_though_it_fits_no_more(
    client: TestClient, ids: dict[str, int]
) -> None:
    body = {"suppositions": [{"kind": "swap", "material": ids["argan"], "other": ids["wax"]}]}
    head = {"If-Match": client.post(PREVIEW, json=body).headers["ETag"], "Idempotency-Key": "what-if-0002"}
    first = client.post(ACCEPT, json=body, headers=head)
    assert first.status_code == 200, first.text
    assert client.post(ACCEPT, json=body, headers=head).json() == first.json()
    head["Idempotency-Key"] = "what-if-0003"
    assert faults(client.post(ACCEPT, json=body, headers=head)) == [("suppositions-0-material", "reference")]


def test_every_fault_stands_at_its_line_and_nothing_is_stored(client: TestClient, ids: dict[str, int]) -> None:
    rows: list[Any] = [
        {"kind": "prices", "way": "down", "percent": "100"},
        {"kind": "wage", "person": 999, "amount": "20"},
        {"kind": "swap", "material": ids["shea"], "other": ids["shea"]},
        {"kind": "magic"},
        {"kind": "cost", "material": ids["shea"], "percent": 5},
        {"kind": "bill", "bill": ids["rent"], "amount": "1", "percent": "3"},
        {"kind": "formula", "formula": ids["formula"], "part": "loss", "amount": "100"},
    ]
    answer = client.post(PREVIEW, json={"suppositions": rows})
    assert set(faults(answer)) == {
        ("suppositions-0-percent", "number-range"),
        ("suppositions-1-person", "reference"),
        ("suppositions-2-other", "choice"),
        ("suppositions-3-kind", "choice"),
        ("suppositions-4-percent", "number-format"),
        ("suppositions-5-percent", "unknown-field"),
        ("suppositions-6-amount", "number-range"),
    }


def test_without_a_version_or_without_anything_it_is_refused(client: TestClient, ids: dict[str, int]) -> None:
    body = {"suppositions": [{"kind": "wage", "person": ids["ada"], "amount": "20"}]}
    assert client.post(ACCEPT, json=body).status_code == 428
    assert faults(client.post(PREVIEW, json={"suppositions": []})) == [("suppositions", "required")]
    off = {"suppositions": [{**body["suppositions"][0], "counts": False}]}
    assert faults(client.post(PREVIEW, json=off)) == [("suppositions", "required")]
    assert faults(client.post(PREVIEW, json=[])) == [("suppositions", "shape")]


KEPT = "/api/what-ifs"


def test_one_is_kept_changed_read_back_and_thrown_away(client: TestClient, ids: dict[str, int]) -> None:
    body = filled(EXAMPLES["kept_what_if"], ids)
    version = client.get("/api/line").headers.get("ETag")
    made = checked(client, f"POST {KEPT}", KEPT, json=body).json()
    at = f"{KEPT}/{made['id']}"
    assert made["suppositions"] == [{**body["suppositions"][0]}]
    assert client.post(KEPT, json=body).status_code == 409
    other = {
        "name": "Another",
        "suppositions": [{"kind": "wage", "person": ids["ada"], "amount": "21", "counts": False}],
    }
    checked(client, f"PUT {KEPT}/{{ident}}", at, json=other)
    told = checked(client, f"GET {KEPT}/{{ident}}", at).json()
    assert (told["name"], told["suppositions"]) == ("Another", other["suppositions"])
    assert [one["id"] for one in checked(client, f"GET {KEPT}", KEPT).json()["items"]] == [made["id"]]
    assert client.get("/api/line").headers.get("ETag") == version
    checked(client, f"POST {KEPT}/{{ident}}/drop", f"{at}/drop")
    assert (
        client.get(at).status_code
        == client.put(at, json=other).status_code
        == client.post(f"{at}/drop").status_code
        == 404
    )


def test_what_can_not_be_read_is_not_kept(client: TestClient, ids: dict[str, int]) -> None:
    rows = [{"kind": "wage", "person": ids["ada"], "amount": 3, "counts": False}]
    assert faults(client.post(KEPT, json={"name": "", "suppositions": rows})) == [
        ("name", "required"),
        ("suppositions-0-amount", "number-format"),
    ]
