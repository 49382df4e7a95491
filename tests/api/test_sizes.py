"""Is another size worth offering, by JSON: asked, offered in one change, refused at its fields.

On paper, for the workshop of the examples. The order: 83.00 + 53.00 + 38.40 = 174.40 with 12.60 of freight by value, in
cents 6.00, 3.83 and 2.77. Shea 89.00 / 10 kg; argan 56.83 for 4 x 16 US fl oz = 1892.705892 mL x 0.912; jars
41.17 / 48. Hair butter is 70 % shea and 30 % argan, 2000 g a batch of which 3 % are lost: 1940 g.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from webapp.api.acts import EXAMPLES
from webapp.api.examples import filled

ASK, OFFER = "/api/sizes", "/api/sizes/offers"
F = Fraction
A_GRAM = F(7, 10) * F(89, 10_000) + F(3, 10) * F("56.83") / (F("1892.705892") * F("0.912"))
AN_HOUR = F("18.50")


def of_a_jar(jars: int, part: F, minutes: str) -> F:
    """Its direct cost: 45 min a batch and `minutes` a jar of own pay, 12 min of selling, 1 % of the parts spoiled."""
    making = (F(45, jars) + F(minutes)) / 60 * AN_HOUR
    return 2000 * A_GRAM / jars + part * F("1.01") + making + F(12, 60) * AN_HOUR


#: 1940 g fill 19 jars of 102 g at 16.50, and 9 of 202 g at 29.50; the pitch is 35.00 / 25 a jar
SMALL = F("16.50") - F("1.40") - of_a_jar(19, F("41.17") / 48, "1.5")
BIG = F("29.50") - F("1.40") - of_a_jar(9, F("1.15"), "2")


def near(told: str, paper: F) -> bool:
    """Whether a figure is the one on paper, snapped to 12 places."""
    assert isinstance(told, str)
    return abs(F(told) - paper) <= F(1, 2 * 10**12)


def question(ids: dict[str, int], **more: Any) -> dict[str, Any]:
    return {**filled(EXAMPLES["size_question"], ids), **more}


def priced(ids: dict[str, int], price: str) -> dict[str, Any]:
    asked = question(ids)
    return {**asked, "candidates": [{**asked["candidates"][0], "price": price}]}


def gone(ids: dict[str, int]) -> dict[str, Any]:
    """The only jar given up, none of whose buyers takes another."""
    return {"ask": "drop", "product": ids["product"], "channel": ids["channel"], "share": "0"}


def cased(ids: dict[str, int]) -> dict[str, Any]:
    """Six of it for 90.00, four times a month; in every tenth case six more are sold."""
    case = {"ask": "case", "product": ids["product"], "channel": ids["channel"], "case_jars": "6", "case_price": "90"}
    return {**case, "jars": "4", "share": "10"}


def asked(client: TestClient, body: dict[str, Any]) -> Any:
    return checked(client, f"POST {ASK}", ASK, json=body).json()


def faults(answer: Any) -> list[tuple[str, str]]:
    assert answer.status_code == 422, answer.text
    return [(one["field"], one["code"]) for one in answer.json()["error"]["faults"]]


def test_the_answer_is_the_one_on_paper(client: TestClient, ids: dict[str, int]) -> None:
    told = asked(client, question(ids))
    (one,) = told["candidates"]
    grams, visit = one["trades"]
    assert (grams["replaced"], grams["times"], visit["replaced"], visit["times"]) == ("grams", "2", "visit", "1")
    assert near(one["row"]["contribution"], BIG)
    assert near(grams["deal"]["each"], -SMALL)
    for trade, times in ((grams, 2), (visit, 1)):
        gain = 12 * (BIG - F("0.4") * times * SMALL) - 5
        assert near(trade["gain"], gain)
        assert near(trade["months"], 60 / gain)
        assert near(trade["break_even_share"], (BIG - F(5, 12)) / (times * SMALL))
    # 8, 12 or 20 jars by two answers to how many are replaced; no point of them earns less than 60 in 12 months
    assert (one["grid"]["points"], one["grid"]["worth"], one["verdict"]["kind"]) == (6, 6, "worth")
    assert near(one["grid"]["lowest"], 8 * (BIG - F("0.8") * SMALL) - 5)
    assert near(one["grid"]["highest"], 20 * (BIG - F("0.4") * SMALL) - 5)
    assert [swing["what"] for swing in one["grid"]["swings"]] == ["jars", "times"]
    # at full trade-up: direct + pitch + 2 small + 5.00 / 12, up to the next .00 or .50
    fair = of_a_jar(9, F("1.15"), "2") + F("1.40") + 2 * SMALL + F(5, 12)
    assert F(grams["fair_price"]) == -(-fair * 2 // 1) / 2
    assert all(flip["what"] and isinstance(flip["at"], str) for flip in one["verdict"]["flips"])


def test_the_ladder_has_the_present_jar_and_the_candidate(client: TestClient, ids: dict[str, int]) -> None:
    (ladder,) = asked(client, question(ids))["ladders"]
    small, big = ladder["rungs"]
    assert ladder["channel"] == ids["channel"]
    assert (small["row"]["product"], small["candidate"], big["candidate"]) == (ids["product"], None, 0)
    assert (small["price_100"], big["price_100"]) == ("16.5", "14.75")
    assert "gap" in small["price_fall"]
    # 14.75 / 16.50 is 10.6 % less
    assert near(big["price_fall"], 1 - F("14.75") / F("16.5"))
    assert (small["dearer"], big["dearer"], big["falls_faster"]) == (False, False, False)


def test_cash_and_the_first_order_are_told_month_by_month(client: TestClient, ids: dict[str, int]) -> None:
    (one,) = asked(client, question(ids))["candidates"]
    (part,) = one["parts"]
    # the least order of the new jar: 60 at 1.15
    assert (part["pieces"], part["cash"], one["tied_up"]) == ("60", "69", "69")
    first = one["cash"]["months"][0]
    assert (first["month"], first["cash_out"], first["so_far"]) == (0, "129", "-129")
    assert one["cash"]["paid_back"] == 1
    assert one["cash"]["deepest"] == "-129"


@pytest.mark.parametrize(("price", "kind"), [("29.50", "worth"), ("19.00", "only if"), ("12.00", "not")])
def test_all_three_verdicts_are_told(client: TestClient, ids: dict[str, int], price: str, kind: str) -> None:
    (one,) = asked(client, priced(ids, price))["candidates"]
    grid = one["grid"]
    own = BIG - F("29.50") + F(price)
    worth = 0
    for jars in (8, 12, 20):
        for times in (1, 2):
            gain = jars * (own - F("0.4") * times * SMALL) - 5
            worth += gain > 0 and gain * 12 >= 60
    assert (grid["points"], grid["worth"]) == (6, worth)
    assert one["verdict"]["kind"] == kind


def test_what_is_not_known_is_a_gap_and_never_zero(client: TestClient, ids: dict[str, int]) -> None:
    (one,) = asked(client, question(ids, jars=None, jars_low=None, jars_high=None))["candidates"]
    for name in ("verdict", "grid", "spans", "cash"):
        assert "Type it" in one[name]["gap"]["reason"], name
    for name in ("deal", "gain", "break_even_share", "months", "fair_price"):
        assert "Type it" in one["trades"][0][name]["gap"]["reason"], name
    assert near(one["row"]["contribution"], BIG)


def test_further_sizes_have_their_own_expectations(client: TestClient, ids: dict[str, int]) -> None:
    """Three a month, all of them new: 3 x what one brings, less 5.00; the first as ever."""
    first = question(ids)["candidates"][0]
    own = {"name": "Another", "declared": "200", "way": "typed", "price": "29.50", "jars": "3", "share": "0"}
    second = {**{name: first[name] for name in ("jar_instead", "jar_name", "jar_price", "jar_least", "minutes")}, **own}
    one, other = asked(client, question(ids, candidates=[first, second]))["candidates"]
    assert near(one["trades"][0]["gain"], 12 * (BIG - F("0.8") * SMALL) - 5)
    assert near(other["trades"][0]["gain"], 3 * BIG - 5)
    assert faults(client.post(ASK, json=question(ids, candidates=[first, {**second, "share_low": "1"}]))) == [
        ("candidates-1-share_low", "number-range")
    ]


def test_other_sizes_that_are_sold_beside_it_are_told(client: TestClient, ids: dict[str, int]) -> None:
    assert asked(client, question(ids))["candidates"][0]["others_sold"] == []
    copy = client.post(f"/api/products/{ids['product']}/copy", json={"name": "Another jar"}).json()["id"]
    body = {"since": "2026-11-25", "sales": [{"product": copy, "channel": ids["channel"], "jars": "7"}]}
    tag = client.get("/api/sales").headers["ETag"]
    done = client.post("/api/sales", json=body, headers={"If-Match": tag})
    assert done.status_code == 200, done.text
    (told,) = asked(client, question(ids))["candidates"][0]["others_sold"]
    assert (told["product"], told["jars_a_month"]) == (copy, "7")
    assert told.keys() == {"product", "price", "jars_a_month"}


@pytest.mark.parametrize("sales", [True, False, None])
def test_expected_jars_are_stored_as_sold_where_that_is_asked(
    client: TestClient, ids: dict[str, int], sales: bool | None
) -> None:
    head = {"If-Match": client.post(ASK, json=question(ids)).headers["ETag"]}
    body = {"question": question(ids)} | ({} if sales is None else {"sales": sales})
    done = checked(client, f"POST {OFFER}", OFFER, json=body, headers=head)
    (row,) = client.get(f"/api/products/{done.json()['products'][0]}/prices").json()["items"]
    assert row["jars_a_month"] == ("12" if sales else None)
    assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200


def test_a_word_is_no_answer_to_whether_they_are_sold(client: TestClient, ids: dict[str, int]) -> None:
    head = {"If-Match": client.post(ASK, json=question(ids)).headers["ETag"]}
    answer = client.post(OFFER, json={"question": question(ids), "sales": "yes"}, headers=head)
    assert faults(answer) == [("sales", "shape")]


def test_no_jar_a_month_costs_what_it_costs_to_carry(client: TestClient, ids: dict[str, int]) -> None:
    (one,) = asked(client, question(ids, jars="0", jars_low=None, jars_high=None))["candidates"]
    assert one["trades"][0]["gain"] == "-5"
    assert {"gap"} == one["trades"][0]["break_even_share"].keys() == one["trades"][0]["fair_price"].keys()
    assert one["verdict"]["kind"] == "not"


def test_a_size_less_and_a_case_are_answered_too(client: TestClient, ids: dict[str, int]) -> None:
    drop = asked(client, gone(ids))["drop"]
    # 30 jars a month, none of whose buyers takes another
    assert near(drop["lost"], 30 * SMALL)
    assert near(drop["gain"], -30 * SMALL)
    assert drop["verdict"]["kind"] == "not"
    told = asked(client, cased(ids))
    assert told["candidates"] == told["ladders"] == []
    assert (told["case"]["price"], told["case"]["case_price"]) == ("15", "90")
    # 1.50 a jar less, of six; in every tenth case more six jars are sold besides
    assert near(told["case"]["gain"], 4 * (-9 + F("0.1") * 6 * (SMALL - F("1.5"))))


def test_every_figure_opens_to_its_sum(client: TestClient, ids: dict[str, int]) -> None:
    told = checked(client, f"POST {ASK}", f"{ASK}?workings=true", json=question(ids)).json()
    (one,) = told["candidates"]
    for trade in one["trades"]:
        assert trade["workings"].keys() == {"gain", "break_even_share", "months", "fair_price"}
        assert all(found["result"] == trade[name] for name, found in trade["workings"].items())
        assert all(found["steps"] for found in trade["workings"].values())
    assert one["workings"]["worth_from"]["result"] == one["verdict"]["worth_from"]
    assert one["workings"]["tied_up"]["result"] == one["tied_up"] == "69"
    for body, name in ((gone(ids), "drop"), (cased(ids), "case")):
        part = checked(client, f"POST {ASK}", f"{ASK}?workings=true", json=body).json()[name]
        assert part["workings"]
        assert all(found["result"] == part[figure] for figure, found in part["workings"].items())
    assert "workings" not in asked(client, question(ids))["candidates"][0]


def test_the_question_comes_back_so_that_it_can_be_sent_again(client: TestClient, ids: dict[str, int]) -> None:
    told = asked(client, question(ids))
    assert told["question"]["jars_low"] == "8"
    assert asked(client, told["question"]) == told


def test_what_is_offered_is_a_product_with_its_part_and_price_and_one_undo_takes_it_back(
    client: TestClient, ids: dict[str, int]
) -> None:
    before = client.get("/api/line").json()
    seen = client.post(ASK, json=question(ids))
    head = {"If-Match": seen.headers["ETag"], "Idempotency-Key": "a-bigger-jar-1"}
    body = {"question": question(ids), "place": 0}
    done = checked(client, f"POST {OFFER}", OFFER, json=body, headers=head)
    (product,) = done.json()["products"]
    (row,) = client.get(f"/api/products/{product}/prices").json()["items"]
    was = seen.json()["candidates"][0]["row"]
    for name in ("price", "cost", "contribution", "margin", "per_labour_hour", "price_per_100_g"):
        assert row[name] == was[name], name
    assert (row["price"], row["accepted"]) == ("29.5", True)
    names = [one["name"] for one in client.get("/api/materials").json()["items"]]
    assert "Jar, 240 mL" in names
    # sent again with its key it is stored once, though a product of that name is there by now
    assert client.post(OFFER, json=body, headers=head).json() == done.json()
    again = client.post(ASK, json=question(ids))
    assert again.status_code == 409
    assert again.json()["error"]["faults"][0]["field"] == "candidates-0-jar_name"
    assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200
    assert client.get("/api/line").json() == before


def test_what_was_asked_before_a_change_is_not_offered_at_another_price(
    client: TestClient, ids: dict[str, int]
) -> None:
    """The target price of the candidate moves with the wage: it is not stored at a price that nobody saw."""
    body = question(ids)
    body["candidates"] = [{**body["candidates"][0], "way": "target", "price": None}]
    seen = client.post(ASK, json=body)
    person = client.get(f"/api/people/{ids['ada']}")
    wage = {"name": "Ada", "whose": "own", "wage": {"since": "2026-11-25", "per_hour": "30.00"}}
    done = client.put(f"/api/people/{ids['ada']}", json=wage, headers={"If-Match": person.headers["ETag"]})
    assert done.status_code == 200, done.text
    head = {"If-Match": seen.headers["ETag"], "Idempotency-Key": "a-bigger-jar-2"}
    late = client.post(OFFER, json={"question": body}, headers=head)
    assert (late.status_code, late.json()["error"]["code"]) == (409, "stale"), late.text
    again = client.post(ASK, json=body)
    assert F(again.json()["candidates"][0]["price"]) > F(seen.json()["candidates"][0]["price"])
    done = client.post(OFFER, json={"question": body}, headers={**head, "If-Match": again.headers["ETag"]})
    (product,) = done.json()["products"]
    (row,) = client.get(f"/api/products/{product}/prices").json()["items"]
    assert row["price"] == again.json()["candidates"][0]["price"]


def test_an_offer_is_refused_without_its_version_at_another_place_and_where_nothing_is_new(
    client: TestClient, ids: dict[str, int], content: Any
) -> None:
    before = content()
    body = {"question": question(ids), "place": 0}
    assert client.post(OFFER, json=body).status_code == 428
    head = {"If-Match": client.post(ASK, json=question(ids)).headers["ETag"]}
    stale = {"If-Match": head["If-Match"].partition(".")[0].replace("-", "x")[:-2] + 'zz.1"'}
    assert client.post(OFFER, json=body, headers=stale).status_code == 409
    for place, code in ((1, "reference"), (4, "number-range"), (-1, "number-range"), ("0", "number-range")):
        assert faults(client.post(OFFER, json={**body, "place": place}, headers=head)) == [("place", code)]
    assert faults(client.post(OFFER, json={"question": gone(ids)}, headers=head)) == [("question-ask", "choice")]
    wrong = {**question(ids), "jars": "many"}
    assert faults(client.post(OFFER, json={"question": wrong}, headers=head)) == [("question-jars", "number-format")]
    bodies: list[Any] = [[], {"question": question(ids), "more": 1}, {"question": 3}, {}]
    for odd in bodies:
        assert faults(client.post(OFFER, json=odd, headers=head))[0][1] == "shape"
    assert content() == before


def test_every_fault_stands_at_its_field_and_asking_stores_nothing(
    client: TestClient, ids: dict[str, int], content: Any
) -> None:
    before = content()
    odd = question(ids, product=999, share="140", number=3, nothing=1)
    odd["candidates"] = [{**odd["candidates"][0], "declared": "0", "jar_instead": 999}]
    assert {
        ("share", "number-range"),
        ("number", "number-format"),
        ("nothing", "unknown-field"),
        ("candidates-0-declared", "number-range"),
    } <= set(faults(client.post(ASK, json=odd)))
    assert "product" in [field for field, _ in faults(client.post(ASK, json=question(ids, product=999)))]
    bodies: list[Any] = [[], {"ask": "size", "candidates": 3}, {"ask": "magic"}, {}]
    for body in bodies:
        assert faults(client.post(ASK, json=body))
    asked(client, question(ids))
    assert content() == before


def test_amounts_are_texts_and_never_numbers(client: TestClient, ids: dict[str, int]) -> None:
    def walk(found: Any, at: str) -> None:
        if isinstance(found, dict):
            for name, one in found.items():
                walk(one, f"{at}.{name}")
        elif isinstance(found, list):
            for one in found:
                walk(one, at)
        assert not isinstance(found, float), at
        if isinstance(found, str) and at.rpartition(".")[2] in {"gain", "price_100", "so_far", "cash", "width", "at"}:
            Decimal(found)

    walk(asked(client, question(ids)), "")
