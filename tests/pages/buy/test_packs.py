"""Which packs to buy, typed into the page as a browser without JavaScript sends it. Expected figures are from paper."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.bad_inputs import inputs_of
from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import FORMULAS, MATERIALS, ORDERS, kitchen, number_of, order

PACKS = "/buy/packs"


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def ask(client: TestClient, **named: str) -> Any:
    """The form with fields typed anew, sent."""
    return client.post(PACKS, data=changed(fields(client, PACKS, PACKS), named=named))


#: 3 kg of shea butter; the kitchen bought it by the kg at 12.40, freight free
SHEA = {"needs-0-material": "Shea butter", "needs-0-amount": "2500"}


def test_without_a_material_the_page_leads_to_the_first_order(client: TestClient) -> None:
    page = client.get(PACKS)
    assert "There is no material in the book yet." in page.text
    assert f'href="{ORDERS}/new"' in page.text


def test_it_is_reached_from_its_room_and_from_a_material(client: TestClient) -> None:
    order(client)
    shea = number_of(client, MATERIALS, "Shea butter")
    assert f'href="{PACKS}"' in client.get(ORDERS).text
    assert f'href="{PACKS}?material={shea}"' in client.get(f"{MATERIALS}/{shea}").text
    assert fields(client, f"{PACKS}?material={shea}", PACKS)["needs-0-material"] == "Shea butter"
    assert client.get(f"{PACKS}?material=x&formula=99").status_code == 200


def test_the_packs_of_the_book_are_taken_and_stand_in_the_form(client: TestClient) -> None:
    order(client)
    page = ask(client, **SHEA)
    assert page.status_code == 200
    # three of 1 kg at 12.40
    assert "Cheapest: €37.20" in text(page.text)
    assert "500 g" in text(page.text)
    sent = fields_in(page.text, PACKS)
    assert (sent["offers-0-size"], sent["offers-0-unit"], sent["offers-0-price"]) == ("1", "kg", "12.40")
    assert client.post(PACKS, data=sent).text.count("Cheapest: €37.20") == 1


def test_typed_offers_breaks_and_freight_decide(client: TestClient) -> None:
    order(client)
    first = fields_in(ask(client, **SHEA).text, PACKS)
    mill = first["offers-0-supplier"]
    big = {"material": "shea-butter", "supplier": mill, "size": "500", "unit": "g", "price": "6.50"}
    typed = {f"offers-1-{name}": value for name, value in big.items()}
    typed |= {"offers-1-breaks-0-packs": "5", "offers-1-breaks-0-price": "5.80"}
    typed |= {"freights-0-amount": "8", "freights-0-free_from": "36"}
    page = text(client.post(PACKS, data=changed(first, named=typed)).text)
    # five of 500 g at 5.80 are 29 + 8; three of 1 kg are 37.20 and free; 29 + 8 = 37 it is
    assert "Cheapest: €37.00" in page
    assert "Next best: €37.20, €0.20 more" in page
    free = changed(first, named={**typed, "freights-0-free_from": "29"})
    assert "free for goods of €29.00; €8.00 saved" in text(client.post(PACKS, data=free).text)


def test_what_spoils_is_borne_by_what_is_used_and_opens_to_its_sum(client: TestClient) -> None:
    order(client)
    page = text(ask(client, **SHEA, **{"needs-0-a_month": "200", "needs-0-months": "6"}).text)
    # 1200 of 3000 are used: 37.20 / 1.2 kg = 31.00 a kg, 1800 spoil; 3000 last 15 months, 500 last 2.5
    for words in ("1,800 g", "€31.00 per kg", "lasts 15 months", "lasts 2.5 months", "200 g used in a month"):
        assert words in page, words


def test_planned_batches_are_opened_to_their_materials(client: TestClient) -> None:
    kitchen(client)
    melt = str(number_of(client, FORMULAS, "Melt"))
    assert fields(client, f"{PACKS}?formula={melt}", PACKS)["batches-0-batches"] == "1"
    page = text(ask(client, **{"batches-0-formula": melt, "batches-0-batches": "3"}).text)
    # three batches of 1000 g of nothing but shea butter
    assert "Cheapest: €37.20" in page
    assert "3,000 g" in page


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({}, "needs", "Say how much of what is needed"),
        ({"needs-0-material": "Shea buttr", "needs-0-amount": "1"}, "needs-0-material", "Did you mean Shea butter?"),
        ({"needs-0-material": "Shea butter"}, "needs-0-amount", "Type how much of it is needed."),
        ({"needs-0-material": "Shea butter", "needs-0-amount": "much"}, "needs-0-amount", "This isn't a number."),
        ({**SHEA, "offers-0-material": "Shea butter", "offers-0-price": "0"}, "offers-0-price", "must be above 0"),
        ({**SHEA, "offers-0-material": "Shea butter", "offers-0-price": "5"}, "offers-0-size", "how much is in one"),
        ({**SHEA, "freights-0-amount": "5"}, "freights-0-supplier", "Choose the supplier."),
    ],
)
def test_a_fault_stands_at_its_field_and_nothing_typed_is_lost(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    order(client)
    page = ask(client, **typed)
    assert page.status_code == 422
    assert words in unescape(page.text.split(f'id="e-{field}">', 1)[1].split("<", 1)[0])
    sent = fields_in(page.text, PACKS)
    assert {name: sent[name] for name in typed} == typed
    assert "Cheapest" not in page.text


def test_what_cannot_be_used_is_said_with_its_cure(client: TestClient) -> None:
    order(client)
    water = {"new_supplier": "The well", "lines-0-material": "Rose water", "lines-0-unit": "L"}
    assert order(client, **water).status_code == 303
    page = ask(client, **{"needs-0-material": "Rose water", "needs-0-amount": "500"})
    assert page.status_code == 200
    assert "Rose water, 1 L of The well, is left out" in text(page.text)
    assert re.search(r'href="/buy/materials/\d+/edit#f-density-value"', page.text)
    assert "Nobody offers any of this yet" in page.text


def test_lines_can_be_added_and_taken_out(client: TestClient) -> None:
    order(client)
    sent = changed(fields(client, PACKS, PACKS), named={**SHEA, "needs-1-material": "Other"})
    more = client.post(PACKS, data={**sent, "more": "offers"})
    assert more.status_code == 200
    assert 'name="offers-2-price"' in more.text
    less = fields_in(client.post(PACKS, data={**sent, "less": "needs-0"}).text, PACKS)
    assert less["needs-0-material"] == "Other"


def test_a_plan_fills_in_the_form_of_an_order_and_stores_nothing(client: TestClient) -> None:
    order(client)
    before = client.get("/api/changes").text
    page = ask(client, **SHEA, **{"freights-0-supplier": "", "freights-0-amount": ""})
    filled = client.post(ORDERS, data={**fields_in(page.text, ORDERS), "more": "preview"})
    assert filled.status_code == 200
    assert "What this changes" in filled.text
    sent = fields_in(filled.text, ORDERS)
    assert (sent["lines-0-material"], sent["lines-0-packs"], sent["lines-0-price"]) == ("Shea butter", "3", "12.40")
    assert client.get("/api/changes").text == before


@pytest.mark.parametrize("where", ["number", "name"])
def test_whatever_is_typed_is_answered_calmly(client: TestClient, where: str) -> None:
    order(client)
    first = fields_in(ask(client, **SHEA).text, PACKS)
    group, field = {"number": ("numbers", "purchase.price"), "name": ("text", "ingredient.name")}[where]
    hostile = [one["text"] for one in inputs_of(group, field, "form")]
    assert len(hostile) > 5
    for word in hostile[:: max(1, len(hostile) // 5)]:
        for name in (
            "needs-0-material",
            "needs-0-amount",
            "offers-0-price",
            "offers-0-breaks-0-packs",
            "freights-0-least",
        ):
            page = client.post(PACKS, data={**first, name: word})
            assert page.status_code in (200, 422), (name, word)


def test_what_is_no_field_or_twice_one_thing_is_refused(client: TestClient) -> None:
    order(client)
    for typed in (
        {"needs-0": "x"},
        {"needs": "x"},
        {"offers-0-breaks": "x", "offers-0-size": "1", **SHEA},
        {"colour": "red", **SHEA},
    ):
        assert client.post(PACKS, data=typed).status_code == 422, typed


def test_numbers_are_written_and_read_as_the_workshop_does(client: TestClient) -> None:
    order(client, **{"lines-0-size": "1.5"})
    assert fill(client, "/settings/workshop", "/settings/workshop", locale="de_DE").status_code == 303
    first = fields_in(ask(client, **{**SHEA, "needs-0-amount": "2500,5"}).text, PACKS)
    assert (first["offers-0-size"], first["offers-0-price"]) == ("1,5", "12,40")
    page = text(client.post(PACKS, data={**first, "offers-0-price": "12,35"}).text)
    # two of 1.5 kg at 12.35
    assert "Cheapest: 24,70\u00a0€".replace("\u00a0", " ") in page
    assert "2 × 1,5 kg Shea butter, from The mill" in page


def test_htmx_gets_the_form_and_the_answer_alone(client: TestClient) -> None:
    order(client)
    sent = changed(fields(client, PACKS, PACKS), named=SHEA)
    part = client.post(PACKS, data=sent, headers={"HX-Request": "true", "HX-Request-Type": "partial"})
    assert part.text.lstrip().startswith('<div id="packs-page">')
    assert "Cheapest: €37.20" in text(part.text)
    assert "<html" not in part.text


@pytest.mark.parametrize(
    "typed",
    [
        {"needs-0-amount": "2.5", "needs-0-unit": "kg"},
        {"needs-0-amount": "2.5 kg"},
        {"needs-0-amount": "2.5 kilos", "needs-0-unit": "kg"},
        {"needs-0-amount": "2500 g", "needs-0-material": "shea"},
    ],
)
def test_a_need_is_typed_in_any_unit_and_by_a_part_of_a_name(client: TestClient, typed: dict[str, str]) -> None:
    order(client)
    page = ask(client, **{**SHEA, **typed})
    assert page.status_code == 200
    assert "Cheapest: €37.20" in text(page.text)
    sent = fields_in(page.text, PACKS)
    assert sent["needs-0-material"] == "Shea butter"
    assert sent["needs-0-unit"] in ("kg", "g")


def test_two_units_of_one_need_are_not_guessed_between(client: TestClient) -> None:
    order(client)
    page = ask(client, **{**SHEA, "needs-0-amount": "2.5 kg", "needs-0-unit": "g"})
    assert page.status_code == 422
    assert fields_in(page.text, PACKS)["needs-0-amount"] == "2.5 kg"


def test_a_slip_is_offered_and_put_right_by_one_choice(client: TestClient) -> None:
    order(client)
    page = ask(client, **{**SHEA, "needs-0-material": "Shea buttr"})
    assert page.status_code == 422
    assert '<option value="Shea butter">Shea butter</option>' in page.text
    sent = {**fields_in(page.text, PACKS), "needs-0-instead": "Shea butter"}
    again = client.post(PACKS, data=sent)
    assert "Cheapest: €37.20" in text(again.text)
    assert fields_in(again.text, PACKS)["needs-0-material"] == "Shea butter"


def test_the_age_of_every_price_stands_beside_it_again_and_again(client: TestClient) -> None:
    """Thirteen months before 25 November 2026; the workshop looks twelve back."""
    order(client, day="2025-10-25")
    page = ask(client, **SHEA)
    words = "paid 25 Oct 2025, older than 12 months"
    assert text(page.text).count(words) == 2  # in the plan, and at the offer in the form
    assert f'<span class="under warn-word">{words}</span>' in page.text
    assert text(client.post(PACKS, data=fields_in(page.text, PACKS)).text).count(words) == 2
    assert "Samples and other purchases" in page.text


def test_what_was_asked_stands_there_again_without_the_prices_of_that_day(client: TestClient) -> None:
    order(client)
    assert "Cheapest" in ask(client, **SHEA).text
    page = client.get(PACKS).text
    assert "You were typing this" in page
    there = fields_in(page, PACKS)
    assert {name: there[name] for name in SHEA} == SHEA
    assert there["offers-0-price"] == ""
    assert "A half-entered question which packs to buy, from" in client.get(MATERIALS).text
    assert "Cheapest: \u20ac37.20" in text(client.post(PACKS, data=there).text)
    assert client.post("/drafts/anew", data=fields_in(page, "/drafts/anew")).headers["location"] == PACKS
    assert "You were typing this" not in client.get(PACKS).text


@pytest.mark.parametrize("more", ["", "needs", "keep"])
def test_a_question_with_a_fault_is_kept_and_not_told_off_when_it_comes_back(client: TestClient, more: str) -> None:
    order(client)
    typed = {"needs-0-material": "Shea butter", "needs-0-amount": "2O", "offers-0-price": "x"}
    assert ask(client, **typed, more=more).status_code == (200 if more else 422)
    page = client.get(PACKS)
    assert page.status_code == 200
    assert {name: fields_in(page.text, PACKS)[name] for name in typed} == typed
    assert 'aria-invalid="true"' not in page.text
