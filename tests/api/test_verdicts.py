"""Notes on a product by JSON: kept with the figures of their question, read back, thrown away, and no change."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from webapp.api.acts import EXAMPLES
from webapp.api.examples import filled
from webapp.costing.size_figures import KEPT
from webapp.store.verdicts import MOST

ASK = "/api/sizes"
OPERATION = "/api/products/{ident}/verdicts"


def note(ids: dict[str, int], **more: Any) -> dict[str, Any]:
    return {**filled(EXAMPLES["kept_verdict"], ids), **more}


def at(ids: dict[str, int]) -> str:
    return OPERATION.format(ident=ids["product"])


def faults(answer: Any) -> list[tuple[str, str]]:
    assert answer.status_code == 422, answer.text
    return [(one["field"], one["code"]) for one in answer.json()["error"]["faults"]]


def test_a_note_keeps_the_figures_of_its_day_and_makes_no_version(client: TestClient, ids: dict[str, int]) -> None:
    changes = client.get("/api/changes").json()
    made = checked(client, f"POST {OPERATION}", at(ids), json=note(ids)).json()
    (one,) = client.post(ASK, json=note(ids)["question"]).json()["candidates"]
    trade, verdict = one["trades"][0], one["verdict"]
    assert made["figures"] == {
        "verdict": verdict["kind"],
        "price": one["price"],
        **{name: trade[name] for name in ("gain", "break_even_share", "months", "fair_price")},
        **{name: verdict[name] for name in ("worth_from", "sure_from")},
    }
    assert set(made["figures"]) == set(KEPT)
    assert (made["product"], made["day"]) == (ids["product"], "2026-11-25")
    assert made["sentence"] == "Worth it from 20 a month on."
    assert checked(client, f"GET {OPERATION}", at(ids)).json()["items"] == [made]
    assert client.get("/api/changes").json() == changes


def test_the_question_of_a_note_asks_the_same_again(client: TestClient, ids: dict[str, int]) -> None:
    made = client.post(at(ids), json=note(ids)).json()
    again = checked(client, f"POST {ASK}", ASK, json=made["question"]).json()
    assert again == client.post(ASK, json=note(ids)["question"]).json()
    assert client.post(at(ids), json=note(ids, question=made["question"])).json()["id"] == made["id"]
    # an amount is the same amount however it is written
    written = {**note(ids)["question"], "jars": "12.0", "one_off": "60"}
    assert client.post(at(ids), json=note(ids, question=written)).json() == made


def test_a_note_outlives_a_changed_price_and_a_product_put_away(client: TestClient, ids: dict[str, int]) -> None:
    made = client.post(at(ids), json=note(ids)).json()
    address = f"/api/products/{ids['product']}"
    tag = client.get(address).headers["ETag"]
    done = client.post(f"{address}/retire", headers={"If-Match": tag})
    if done.status_code == 422:
        sure = [one["answer"] for one in done.json()["error"]["faults"]]
        done = client.post(f"{address}/retire", json={"sure": sure}, headers={"If-Match": tag})
    assert done.status_code == 200, done.text
    assert client.get(at(ids)).json()["items"] == [made]


def test_one_is_thrown_away(client: TestClient, ids: dict[str, int]) -> None:
    first = client.post(at(ids), json=note(ids)).json()["id"]
    second = client.post(at(ids), json=note(ids, sentence="Another thought.")).json()["id"]
    path = f"{at(ids)}/{first}/drop"
    checked(client, f"POST {OPERATION}/{{verdict}}/drop", path)
    assert [one["id"] for one in client.get(at(ids)).json()["items"]] == [second]
    assert client.post(path).status_code == 404
    assert client.post(f"/api/products/999/verdicts/{second}/drop").status_code == 404


def test_every_fault_of_a_note_stands_at_its_field_and_nothing_is_kept(client: TestClient, ids: dict[str, int]) -> None:
    assert faults(client.post(at(ids), json=note(ids, sentence=" "))) == [("sentence", "required")]
    assert faults(client.post(at(ids), json=note(ids, place=2))) == [("place", "reference")]
    question = note(ids)["question"]
    wrong = {**question, "share": "101"}
    assert faults(client.post(at(ids), json=note(ids, question=wrong))) == [("question-share", "number-range")]
    assert faults(client.post(at(ids), json={"sentence": "Words."})) == [("question", "shape")]
    assert faults(client.post(at(ids), json=note(ids, day="2026-01-01"))) == [("", "shape")]
    assert client.post("/api/products/999/verdicts", json=note(ids)).status_code == 404
    assert client.get("/api/products/999/verdicts").status_code == 404
    assert client.get(at(ids)).json() == {"items": []}


def test_a_note_about_another_product_is_not_kept_on_this_one(client: TestClient, ids: dict[str, int]) -> None:
    copy = client.post(f"/api/products/{ids['product']}/copy", json={"name": "Another jar"})
    assert copy.status_code == 201, copy.text
    address = OPERATION.format(ident=copy.json()["id"])
    assert faults(client.post(address, json=note(ids))) == [("question-product", "reference")]


def test_there_is_an_end_to_how_many_are_kept(client: TestClient, ids: dict[str, int]) -> None:
    gone = {"ask": "drop", "product": ids["product"], "channel": ids["channel"], "share": "0"}  # quickest to answer
    for number in range(MOST):
        kept = client.post(at(ids), json={"sentence": f"Thought {number}.", "question": gone})
        assert kept.status_code == 201, kept.text
    assert faults(client.post(at(ids), json=note(ids)))[0][1] == "too-many"
    assert len(client.get(at(ids)).json()["items"]) == MOST


def test_one_that_was_thrown_away_is_kept_again_as_it_was(client: TestClient, ids: dict[str, int]) -> None:
    made = client.post(at(ids), json=note(ids)).json()
    path = f"{at(ids)}/{made['id']}"
    assert client.post(f"{path}/drop").status_code == 200
    assert client.get(at(ids)).json() == {"items": []}
    assert checked(client, f"POST {OPERATION}/{{verdict}}/keep", f"{path}/keep").json() == made
    assert client.get(at(ids)).json()["items"] == [made]
    assert client.post(f"/api/products/999/verdicts/{made['id']}/keep").status_code == 404
    assert client.post(f"{at(ids)}/999/keep").status_code == 404


def test_a_note_about_sizes_of_a_formula_is_kept_on_the_formula(client: TestClient, ids: dict[str, int]) -> None:
    operation = "/api/formulas/{ident}/verdicts"
    address = operation.format(ident=ids["formula"])
    body = filled(EXAMPLES["kept_formula_verdict"], ids)
    made = checked(client, f"POST {operation}", address, json=body).json()
    assert (made["formula"], made["question"]["formula"]) == (ids["formula"], ids["formula"])
    assert "product" not in made
    one = client.post(ASK, json=body["question"]).json()["candidates"][1]
    assert made["figures"]["gain"] == one["trades"][0]["gain"]
    assert checked(client, f"GET {operation}", address).json()["items"] == [made]
    assert client.get(at(ids)).json() == {"items": []}
    path = f"{address}/{made['id']}"
    checked(client, f"POST {operation}/{{verdict}}/drop", f"{path}/drop")
    checked(client, f"POST {operation}/{{verdict}}/keep", f"{path}/keep")
    # one about a jar is none about its formula, nor the other way round
    assert faults(client.post(address, json=note(ids))) == [("question-formula", "reference")]
    assert faults(client.post(at(ids), json=body)) == [("question-product", "reference")]


def test_a_note_about_a_set_is_kept_on_a_jar_in_it(client: TestClient, ids: dict[str, int]) -> None:
    pair = {"ask": "set", "channel": ids["channel"], "members": [{"product": ids["product"], "count": "2"}]}
    body = {"sentence": "Two in a box.", "question": {**pair, "candidates": [{"way": "typed", "price": "30"}]}}
    assert client.post(at(ids), json=body).status_code == 201
    copy = client.post(f"/api/products/{ids['product']}/copy", json={"name": "Another jar"}).json()["id"]
    elsewhere = client.post(OPERATION.format(ident=copy), json=body)
    assert faults(elsewhere) == [("question-product", "reference")]
