"""Old prices checked on one screen: still right, a new one, left; all or nothing, undone as one. Figures by hand.

The kitchen's shea butter was bought long ago, a kilo at 12.40. A jar takes 100 g, so 1.24 of it, and nothing else: all
of its cost hangs on it. At 15.00 a kg the jar costs 1.50.
"""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import MATERIALS, ORDERS, PRODUCTS, example, kitchen, kitchen_with_a_jar, number_of

CHECK = "/buy/check"


@pytest.fixture
def old(client: TestClient) -> TestClient:
    """The kitchen with a jar at 2.50, its shea butter bought in May 2025, and a lid with a starting price."""
    kitchen_with_a_jar(client)
    order = f"{ORDERS}/{number_at(client, ORDERS)}"
    assert fill(client, f"{order}/edit", order, day="2025-05-01").status_code == 303
    lid = {"name": "Lid", "kind": "packaging", "starting-amount": "0.20", "starting-unit": "pieces"}
    assert fill(client, f"{MATERIALS}/new", MATERIALS, named=lid).status_code == 303
    product, stall = number_of(client, PRODUCTS, "Jar"), number_of(client, "/price/channels", "Stall")
    at = f"{PRODUCTS}/{product}/{stall}/price"
    assert fill(client, at, at, amount="2.50", since="2026-01-01").status_code == 303
    return client


def number_at(client: TestClient, listing: str) -> int:
    """The number of the first thing on a list that has no name."""
    heads = client.get(listing).text.split(f'href="{listing}/')[1:]
    return next(int(head.split('"', 1)[0]) for head in heads if head.split('"', 1)[0].isdigit())


def said(answer: Any) -> str:
    return str(answer.text).replace("\u00a0", " ")


def answers(client: TestClient, **by_name: tuple[str, str]) -> dict[str, str]:
    """The form with some prices answered: (answer, price) by the name of the material, _ for a space."""
    sent = fields(client, CHECK, CHECK)
    at = {text: name.removesuffix("-material") for name, text in sent.items() if name.endswith("-material")}
    named: dict[str, str] = {}
    for name, (answer, price) in by_name.items():
        row = at[str(number_of(client, MATERIALS, name.replace("_", " ")))]
        named |= {f"{row}-answer": answer, f"{row}-price": price}
    return changed(sent, named=named)


def page_of(client: TestClient, name: str) -> str:
    return said(client.get(f"{MATERIALS}/{number_of(client, MATERIALS, name)}"))


# --- what is listed


def test_the_first_page_leads_to_the_old_price_and_it_says_what_depends_on_it(old: TestClient) -> None:
    shea = number_of(old, MATERIALS, "Shea butter")
    assert f'href="{CHECK}#m-{shea}"' in old.get("/").text
    row = said(old.get(CHECK)).split(f'id="m-{shea}"', 1)[1].split("</tr>", 1)[0]
    for words in ("18 months old", "The mill", "1 kg at €12.40", "100.0 % of the cost of Jar", "1 formula: Melt"):
        assert words in row, words
    assert "one price" in row


def test_what_most_hangs_on_stands_first_and_nothing_new_is_asked(old: TestClient) -> None:
    page = said(old.get(CHECK))
    assert page.index(">Shea butter</a>") < page.index(">Lid</a>")
    assert page.count('id="m-') == 2
    new = {"new_supplier": "A barn", "lines-0-material": "Jojoba", "lines-0-new_kind": "ingredient"}
    new |= {"lines-0-packs": "1", "lines-0-size": "1", "lines-0-unit": "kg", "lines-0-price": "30"}
    assert fill(old, f"{ORDERS}/new", ORDERS, named=new).status_code == 303
    assert "Jojoba" not in old.get(CHECK).text


def test_where_no_price_is_old_it_says_so(client: TestClient) -> None:
    assert "No material yet." in client.get(CHECK).text
    kitchen(client)
    assert "No price is older than 12 months." in client.get(CHECK).text


# --- what is kept


def test_still_right_is_dated_today_and_changes_no_cost(old: TestClient) -> None:
    kept = old.post(CHECK, data=answers(old, Shea_butter=("still right", "")))
    assert kept.status_code == 303
    page = said(old.get(kept.headers["location"]))
    assert "Prices checked: 1 still right" in page
    assert ">Shea butter</a>" not in page
    assert "Shea butter is from" not in old.get("/").text
    material = page_of(old, "Shea butter")
    assert "Found still right on 25 Nov 2026" in material
    assert "12.40" in material
    assert "This price is old" not in material


def test_a_new_price_counts_from_today_and_all_of_it_is_undone_as_one(old: TestClient) -> None:
    kept = old.post(CHECK, data=answers(old, Shea_butter=("new price", "15"), Lid=("new price", "0.25")))
    assert kept.status_code == 303
    page = old.get(kept.headers["location"])
    assert "Prices checked: 2 new" in page.text
    assert "No price is older than" in page.text
    assert "15.00" in page_of(old, "Shea butter")
    assert "chosen as the price" in page_of(old, "Shea butter")
    assert "0.2500" in page_of(old, "Lid")
    assert "1.50" in said(old.get(f"{PRODUCTS}/{number_of(old, PRODUCTS, 'Jar')}"))
    undo = page.text.split('action="/undo/', 1)[1].split('"', 1)[0]
    assert old.post(f"/undo/{undo}", data=fields_in(page.text, f"/undo/{undo}")).status_code == 303
    assert old.get(CHECK).text.count('id="m-') == 2
    assert "chosen as the price" not in page_of(old, "Shea butter")
    assert "0.2000" in page_of(old, "Lid")


def test_what_it_changes_is_looked_at_and_a_price_taken_with_it(old: TestClient) -> None:
    sent = answers(old, Shea_butter=("new price", "15"), Lid=("still right", ""))
    looked = old.post(CHECK, data={**sent, "more": "preview"})
    assert looked.status_code == 200
    block = said(looked).split('id="impact"', 1)[1]
    # 12.40 to 15.00 is 21.0 % more; 1.50 of 2.50 leaves 40.0 %, 50 % are wanted: 3.00
    for words in ("+21.0 %", "40.0 %, 10 points short of 50 %", "3.00"):
        assert words in block, words
    assert old.get(CHECK).text.count('id="m-') == 2
    taken = changed(fields_in(looked.text, CHECK), named={"prices-0-answer": "take"})
    assert old.post(CHECK, data=taken).status_code == 303
    product, stall = number_of(old, PRODUCTS, "Jar"), number_of(old, "/price/channels", "Stall")
    price = f"{PRODUCTS}/{product}/{stall}/price"
    assert fields(old, price, price)["amount"] == "3.00"
    assert "Found still right" in page_of(old, "Lid")


# --- what is refused


def test_a_fault_stands_at_its_field_and_nothing_of_it_is_kept(old: TestClient) -> None:
    sent = answers(old, Shea_butter=("still right", ""), Lid=("new price", "a few pence"))
    refused = old.post(CHECK, data=sent)
    assert refused.status_code == 422
    at = next(name for name, text in sent.items() if text == "a few pence")
    assert f'id="e-{at}"' in refused.text
    again = fields_in(refused.text, CHECK)
    assert again[at] == "a few pence"
    assert "still right" in again.values()
    assert old.get(CHECK).text.count('id="m-') == 2


@pytest.mark.parametrize(
    "sent",
    [
        {"checks-0-material": "9" * 5000, "checks-0-answer": "still right"},
        {"checks-0-material": "-3", "checks-0-answer": "still right"},
        {"checks-0-material-x": "3", "checks-0-answer-x": "still right"},
        {"checks": "still right"},
        {"checks-999-material": "3", "checks-999-answer": "still right", "checks-999-colour": "red"},
        {"checks-0-material": "3", "checks-0-answer": "new price", "checks-0-price": "1E+999999"},
        {"prices-0-product": "1", "prices-0-channel": "1", "prices-0-answer": "take"},
    ],
)
def test_what_no_page_sends_is_refused_and_nothing_is_kept(client: TestClient, sent: dict[str, str]) -> None:
    kitchen(client)
    steering = dict.fromkeys(("token", "epoch"), "x" * 16) | {"version": "3"}
    assert client.post(CHECK, data={**steering, **sent}).status_code == 422
    assert "No price is older" in client.get(CHECK).text


def test_an_unknown_button_keeps_nothing(old: TestClient) -> None:
    asked = old.post(CHECK, data={**answers(old, Shea_butter=("still right", "")), "more": "lines"})
    assert asked.status_code == 200
    assert old.get(CHECK).text.count('id="m-') == 2


def test_more_than_a_screenful_is_asked_the_rest_afterwards(old: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """One at a time here: an answer that stands beyond is kept in the form, at its own row."""
    mine = answers(old, Lid=("new price", "x"))
    monkeypatch.setattr("webapp.pages.buy.checking.MOST", 1)
    assert "One more price is old" in said(old.get(CHECK))
    refused = old.post(CHECK, data=mine)
    assert refused.status_code == 422
    again = fields_in(refused.text, CHECK)
    at = next(name for name, text in again.items() if text == "x").removesuffix("-price")
    assert again[f"{at}-material"] == str(number_of(old, MATERIALS, "Lid"))
    assert f'id="e-{at}-price"' in refused.text


def test_a_form_without_an_answer_says_so(old: TestClient) -> None:
    refused = old.post(CHECK, data=fields(old, CHECK, CHECK))
    assert refused.status_code == 422
    assert "No price is answered yet." in refused.text


def test_the_same_answers_sent_twice_are_kept_once(old: TestClient) -> None:
    sent = answers(old, Shea_butter=("new price", "15"))
    first, second = (old.post(CHECK, data=sent) for _ in range(2))
    assert (first.status_code, second.status_code) == (303, 303)
    assert first.headers["location"] == second.headers["location"]
    assert page_of(old, "Shea butter").count("for 1 kg") == 1


def test_answers_to_what_was_changed_meanwhile_are_refused_and_still_there(old: TestClient) -> None:
    mine = answers(old, Shea_butter=("new price", "15"), Lid=("still right", ""))
    assert old.post(CHECK, data=answers(old, Shea_butter=("new price", "14"))).status_code == 303
    refused = old.post(CHECK, data=mine)
    assert refused.status_code == 409
    assert {"15", "still right"} <= set(fields_in(refused.text, CHECK).values())
    assert "14.00" in page_of(old, "Shea butter")


def test_still_right_is_taken_back_on_the_material_s_page(old: TestClient) -> None:
    assert old.post(CHECK, data=answers(old, Shea_butter=("still right", ""))).status_code == 303
    there = f"{MATERIALS}/{number_of(old, MATERIALS, 'Shea butter')}"
    back = f"{there}/review/withdraw"
    assert old.post(back, data=fields(old, there, back)).status_code == 303
    assert "Found still right" not in old.get(there).text
    assert ">Shea butter</a>" in old.get(CHECK).text


# --- which price counts


def test_another_basis_shows_what_it_moves_before_it_is_saved(client: TestClient) -> None:
    """The example counts the latest price; the dearest of a year moves other costs, and nothing is saved by looking."""
    example(client)
    workshop = "/settings/workshop"
    looked = fill(client, workshop, workshop, basis="dearest", more="preview")
    assert looked.status_code == 200
    assert 'id="impact"' in looked.text
    assert fields(client, workshop, workshop)["basis"] == "latest"
    assert client.post(workshop, data=fields_in(looked.text, workshop)).status_code == 303
    assert fields(client, workshop, workshop)["basis"] == "dearest"


def test_another_basis_of_one_material_shows_it_before_and_after(old: TestClient) -> None:
    """2 kg at 12.40 long ago and 1 kg at 20.00 lately: the latest is 20.00, the average of 24 months 14.93."""
    supplier = number_of(old, "/buy/suppliers", "The mill")
    line = {"material": "Shea butter", "packs": "1", "size": "1", "unit": "kg", "price": "20"}
    named = {"supplier": str(supplier), **{f"lines-0-{name}": text for name, text in line.items()}}
    assert fill(old, f"{ORDERS}/new", ORDERS, named=named).status_code == 303
    there = f"{MATERIALS}/{number_of(old, MATERIALS, 'Shea butter')}"
    looked = fill(old, f"{there}/edit", there, basis="averaged", basis_months="24", more="preview")
    block = said(looked).split('id="impact"', 1)[1]
    assert looked.status_code == 200
    for words in ("20.00", "14.93", "−25.3 %"):  # 44.80 / 3 = 14.9333; 5.0667 / 20 = 25.33 %
        assert words in block, words
    assert "Which price counts: latest" in said(old.get(there))


# --- half entered


def test_answers_that_were_left_stand_there_again_with_the_prices_decided(old: TestClient) -> None:
    looked = old.post(CHECK, data=answers(old, Shea_butter=("new price", "15.00")) | {"more": "preview"})
    decided = {"prices-0-answer": "take", "prices-0-amount": "3.90"}
    sent = changed(fields_in(looked.text, CHECK), named=decided)
    assert old.post("/drafts", data=sent).status_code == 204
    page = old.get(CHECK)
    assert page.status_code == 200
    assert "You were typing this" in page.text
    there = fields_in(page.text, CHECK)
    assert {name: there[name] for name in decided} == decided
    assert "What this changes" in page.text
    assert "Half-entered answers about old prices, from" in old.get(MATERIALS).text
    assert old.post(CHECK, data=there).status_code == 303
    assert "Half-entered" not in old.get(MATERIALS).text
    assert "You were typing this" not in old.get(CHECK).text


@pytest.mark.parametrize("more", ["", "preview", "keep"])
def test_what_can_not_be_read_yet_is_kept_and_not_told_off_when_it_comes_back(old: TestClient, more: str) -> None:
    answer = old.post(CHECK, data=answers(old, Shea_butter=("new price", "1S")) | {"more": more})
    assert answer.status_code == (200 if more == "keep" else 422)
    page = old.get(CHECK)
    assert page.status_code == 200
    assert "1S" in fields_in(page.text, CHECK).values()
    assert 'aria-invalid="true"' not in page.text
    assert "to put right" not in page.text
