"""Every kind of thing by the same routes: entered, read back, changed, put away, undone; and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import STEM_OF, send
from webapp.api.examples import EXAMPLES, filled
from webapp.costing.entry import read
from webapp.costing.shapes import SHAPES

Content = Callable[[], str]
OWN = {"id", "retired", "figures"}


def body_of(client: TestClient, address: str) -> dict[str, Any]:
    """A record as it can be sent back."""
    found = client.get(address).json()
    return {name: one for name, one in found.items() if name not in OWN}


def tag(client: TestClient, address: str) -> dict[str, str]:
    return {"If-Match": client.get(address).headers["ETag"]}


def error(answer: Any) -> dict[str, Any]:
    found: dict[str, Any] = answer.json()["error"]
    return found


@pytest.mark.parametrize("name", [name for name, (kind, _) in EXAMPLES.items() if kind in STEM_OF])
def test_what_was_sent_is_read_back(client: TestClient, ids: dict[str, int], name: str) -> None:
    kind, sent = EXAMPLES[name]
    found = client.get(f"/api/{STEM_OF[kind]}/{ids[name]}").json()
    shape = SHAPES[kind]
    typed = read(shape, filled(sent, ids), today=date(2026, 11, 25), given={"id": ids[name]})
    back = {field.name: found[field.name] for field in shape.fields}
    assert read(shape, back, today=date(2026, 11, 25), given={"id": ids[name]}) == typed
    assert set(found) >= {field.name for field in SHAPES[kind].fields} | {"id", "figures"}


@pytest.mark.parametrize("name", [name for name, (kind, _) in EXAMPLES.items() if kind in STEM_OF])
def test_what_is_read_can_be_sent_back(client: TestClient, ids: dict[str, int], name: str) -> None:
    kind, _ = EXAMPLES[name]
    address = f"/api/{STEM_OF[kind]}/{ids[name]}"
    before = body_of(client, address)
    answer = client.put(address, json=before, headers=tag(client, address))
    assert answer.status_code == 200, answer.text
    assert body_of(client, address) == before


def test_a_list_comes_in_pages(client: TestClient, ids: dict[str, int]) -> None:
    first = client.get("/api/materials?page=1&page_size=3").json()
    second = client.get("/api/materials?page=2&page_size=3").json()
    assert (len(first["items"]), len(second["items"]), first["total"]) == (3, 1, 4)
    assert client.get("/api/materials?search=SHEA").json()["total"] == 1


@pytest.mark.parametrize(
    "query", ["page=-1", "page=0", "page=x", "page=1e3", "page_size=201", "page_size=0", "search=" + "a" * 121]
)
def test_a_page_that_is_none_is_refused(client: TestClient, query: str) -> None:
    """NUM-43, TEX-25 of the published inputs."""
    assert client.get(f"/api/materials?{query}").status_code == 422


@pytest.mark.parametrize("number", ["9223372036854775808", "0", "01", "-1", "１", "1.0", "x", "1%00"])
def test_a_number_that_is_none_is_nowhere(client: TestClient, ids: dict[str, int], number: str) -> None:
    """NUM-39, NUM-41."""
    assert client.get(f"/api/materials/{number}").status_code == 404


def test_a_change_says_what_it_was_made_from(client: TestClient, ids: dict[str, int], content: Content) -> None:
    address = f"/api/suppliers/{ids['barn']}"
    body, old, before = {**body_of(client, address), "note": "open on Mondays"}, tag(client, address), content()
    assert client.put(address, json=body).status_code == 428
    assert client.put(address, json=body, headers={"If-Match": "*"}).status_code == 428
    assert content() == before
    assert client.put(address, json=body, headers=old).status_code == 200
    stale = client.put(address, json={**body, "note": "open on Tuesdays"}, headers=old)
    assert (stale.status_code, error(stale)["code"]) == (409, "stale")
    assert error(stale)["versions"]["now"] > error(stale)["versions"]["read_at"]
    assert client.get(address).json()["note"] == "open on Mondays"


def test_another_day_is_only_looked_at(client: TestClient, ids: dict[str, int], content: Content) -> None:
    address, before = f"/api/suppliers/{ids['barn']}", content()
    body = body_of(client, address)
    answer = client.put(f"{address}?on=2026-05-01", json={**body, "note": "then"}, headers=tag(client, address))
    assert (answer.status_code, error(answer)["faults"][0]["field"]) == (422, "on")
    assert client.post("/api/suppliers?on=2026-05-01", json={**body, "name": "Then"}).status_code == 422
    assert content() == before


def test_the_same_sending_is_stored_once(client: TestClient, ids: dict[str, int]) -> None:
    body, key = {"name": "Lakeside Oils", "currency": "EUR"}, {"Idempotency-Key": "one-and-the-same"}
    first, second = (client.post("/api/suppliers", json=body, headers=key) for _ in range(2))
    assert (first.status_code, second.status_code) == (201, 201)
    assert first.json()["id"] == second.json()["id"]
    other = client.post("/api/suppliers", json={**body, "name": "Hillside Oils"}, headers=key)
    assert other.status_code == 409
    assert client.get("/api/suppliers").json()["total"] == 2


@pytest.mark.parametrize("key", ["short", "with space inside", "x" * 65, "\x7f" * 9])
def test_a_key_that_is_none_is_refused(client: TestClient, key: str) -> None:
    body = {"name": "Lakeside Oils", "currency": "EUR"}
    assert client.post("/api/suppliers", json=body, headers={"Idempotency-Key": key}).status_code == 422


def test_a_thing_is_put_away_and_brought_back(client: TestClient, ids: dict[str, int]) -> None:
    address = f"/api/bills/{ids['rent']}"
    assert client.post(f"{address}/retire").status_code == 428
    gone = client.post(f"{address}/retire", headers=tag(client, address))
    assert (gone.status_code, gone.json()["retired"]) == (200, "2026-11-25")
    assert client.get("/api/bills").json()["total"] == 0
    assert client.get("/api/bills?retired=true").json()["total"] == 1
    assert client.post(f"{address}/restore", headers=tag(client, address)).json()["retired"] is None


def test_what_is_used_is_put_away_only_when_sure(client: TestClient, ids: dict[str, int], content: Content) -> None:
    address, before = f"/api/materials/{ids['shea']}", content()
    asked = client.post(f"{address}/retire", headers=tag(client, address))
    assert (asked.status_code, error(asked)["code"], error(asked)["faults"][0]["code"]) == (422, "confirm", "in-use")
    assert "Hair butter" in error(asked)["faults"][0]["sentence"]
    assert content() == before
    old = tag(client, address)
    assert client.post(f"{address}/retire", json={"sure": ["in-use"]}, headers=old).status_code == 422
    assert content() == before
    assert (
        client.post(f"{address}/retire", json={"sure": [error(asked)["faults"][0]["answer"]]}, headers=old).status_code
        == 200
    )


@pytest.mark.parametrize("sure", ["in-use", {"in-use": True}, [1], [None], [["in-use"]], ["x"] * 301, None, True])
def test_answers_to_questions_are_a_list_of_codes(client: TestClient, ids: dict[str, int], sure: Any) -> None:
    """They are told as a fault, and nothing is put away."""
    address = f"/api/bills/{ids['rent']}"
    answer = client.post(f"{address}/retire", json={"sure": sure}, headers=tag(client, address))
    assert (answer.status_code, error(answer)["faults"][0]["field"]) == (422, "sure")
    assert client.get(address).json()["retired"] is None


def test_an_order_is_taken_back_and_the_undo_returns_it(client: TestClient, ids: dict[str, int]) -> None:
    address = f"/api/orders/{ids['order']}"
    kept = client.get(address).json()
    done = client.post(f"{address}/withdraw", headers=tag(client, address))
    assert client.get(address).status_code == 404
    assert "gap" in client.get(f"/api/materials/{ids['shea']}").json()["figures"]["unit_cost"]
    assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200
    assert client.get(address).json() == kept


def test_an_act_sent_twice_is_answered_twice_and_done_once(client: TestClient, ids: dict[str, int]) -> None:
    """The first answer was lost on the way: the same key gives it again, though the record is gone."""
    address = f"/api/orders/{ids['order']}"
    sent = {**tag(client, address), "Idempotency-Key": "take-it-back"}
    first, second = (client.post(f"{address}/withdraw", headers=sent) for _ in range(2))
    assert (first.status_code, second.status_code) == (200, 200)
    assert first.json() == second.json()
    sent = {"Idempotency-Key": "bring-it-back"}
    first, second = (client.post(f"/api/undo/{first.json()['version']}", headers=sent) for _ in range(2))
    assert (first.json(), second.status_code) == (second.json(), 200)
    price = f"/api/products/{ids['product']}/channels/{ids['channel']}/price"
    sent = {**tag(client, price), "Idempotency-Key": "no-price-any-more"}
    answers = [client.post(f"{price}/withdraw", json={"since": "2026-03-06"}, headers=sent) for _ in range(2)]
    assert [one.status_code for one in answers] == [200, 200]
    assert client.post(f"{address}/withdraw", headers={"If-Match": '"other.1"'}).status_code == 409


def test_the_history_tells_every_change(client: TestClient, ids: dict[str, int]) -> None:
    address = f"/api/people/{ids['ada']}"
    wage = {"since": "2026-11-01", "per_hour": "20.00", "extra": "0"}
    client.put(address, json={**body_of(client, address), "wage": wage}, headers=tag(client, address))
    told = client.get(f"{address}/history").json()["items"]
    assert len(told) == 2
    assert told[0]["facts"][0]["wage"]["per_hour"] == "20"
    assert client.get(f"{address}?on=2026-05-01").json()["wage"]["per_hour"] == "18.5"


def test_a_name_that_is_taken_contradicts(client: TestClient, ids: dict[str, int], content: Content) -> None:
    """TEX-15: the same letters in another composition are the same name."""
    assert client.post("/api/materials", json={"name": "Karit\u00e9"}).status_code == 201
    before = content()
    twin = client.post("/api/materials", json={"name": "Karite\u0301"})
    assert (twin.status_code, error(twin)["faults"][0]["code"]) == (409, "duplicate")
    assert content() == before


def test_a_price_of_nothing_is_asked_about(client: TestClient, ids: dict[str, int], content: Content) -> None:
    address = f"/api/products/{ids['product']}/channels/{ids['channel']}/price"
    before, body = content(), {"since": "2026-11-25", "amount": "0"}
    asked = client.put(address, json=body, headers=tag(client, address))
    assert (asked.status_code, error(asked)["faults"][0]["code"]) == (422, "zero-price")
    assert content() == before
    answer = error(asked)["faults"][0]["answer"]
    sure = client.put(address, json={**body, "sure": [answer]}, headers=tag(client, address))
    assert sure.json()["now"]["amount"] == "0"
    again = client.put(f"{address}?sure={answer}", json={**body, "why": "gift"}, headers=tag(client, address))
    assert again.json()["now"]["why"] == "gift"


def test_a_price_can_be_taken_back(client: TestClient, ids: dict[str, int]) -> None:
    address = f"/api/products/{ids['product']}/channels/{ids['channel']}/price"
    assert client.post(f"{address}/withdraw", json={"since": "2026-03-06"}).status_code == 428
    answer = client.post(f"{address}/withdraw", json={"since": "2026-03-06"}, headers=tag(client, address))
    assert (answer.status_code, answer.json()["now"]) == (200, None)
    assert client.put(address, json={"amount": "17.00"}).status_code == 428
    again = client.put(address, json={"amount": "17.00"}, headers=tag(client, address))
    assert again.json()["now"]["since"] == "2026-11-25"


def test_a_fact_about_a_pair_that_is_not_there_is_nowhere(client: TestClient, ids: dict[str, int]) -> None:
    for product, channel in ((ids["product"], 999), (999, ids["channel"]), (ids["shea"], ids["channel"])):
        assert client.get(f"/api/products/{product}/channels/{channel}/price").status_code == 404


def test_every_fault_is_told_at_once(client: TestClient, ids: dict[str, int]) -> None:
    body = {"name": "", "currency": "EURO", "url": "javascript:alert(1)", "colour": "red"}
    told = {one["field"]: one["code"] for one in error(client.post("/api/suppliers", json=body))["faults"]}
    assert told == {"name": "required", "currency": "currency", "url": "url-scheme", "colour": "unknown-field"}


def test_a_loop_of_formulas_is_refused(client: TestClient, ids: dict[str, int], content: Content) -> None:
    """STR-07."""
    address, before = f"/api/formulas/{ids['formula']}", content()
    lines = [{"formula": ids["formula"], "amount": "100", "unit": "percent"}]
    answer = client.put(address, json={"name": "Hair butter", "lines": lines}, headers=tag(client, address))
    assert (answer.status_code, error(answer)["faults"][0]["code"]) == (422, "cycle")
    assert content() == before


def test_another_currency_is_refused_once_amounts_are_kept(client: TestClient, ids: dict[str, int]) -> None:
    found = client.get("/api/settings/workshop").json()
    body = {field.name: found[field.name] for field in SHAPES["workshop"].fields}
    answer = send(client, "workshop", {**body, "currency": "USD"}, ids)
    assert (answer.status_code, error(answer)["faults"][0]["field"]) == (422, "currency")


@pytest.mark.parametrize(("field", "value"), [("locale", "zz_ZZ"), ("locale", "en"), ("currency", "ZZZ")])
def test_a_way_of_writing_that_there_is_not_is_refused_at_its_field(
    client: TestClient, ids: dict[str, int], content: Content, field: str, value: str
) -> None:
    found, before = client.get("/api/settings/workshop").json(), content()
    body = {one.name: found[one.name] for one in SHAPES["workshop"].fields}
    answer = send(client, "workshop", {**body, field: value}, ids)
    assert (answer.status_code, error(answer)["faults"][0]["field"]) == (422, field)
    assert content() == before


def test_sending_what_is_kept_makes_no_version(client: TestClient, ids: dict[str, int], content: Content) -> None:
    found, before = client.get("/api/settings/workshop"), content()
    body = {one.name: found.json()[one.name] for one in SHAPES["workshop"].fields}
    answer = send(client, "workshop", body, ids)
    assert (answer.status_code, answer.headers["ETag"]) == (200, found.headers["ETag"])
    assert content() == before
