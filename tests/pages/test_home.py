"""The first page: two doors where nothing is entered, and what needs the maker where something is."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.filling import fields, fields_in, fill
from tests.pages.workshop import CHANNELS, MATERIALS, PRODUCTS, jar, kitchen, number_of


def test_an_empty_installation_offers_two_doors(client: TestClient) -> None:
    page = client.get("/").text
    assert 'action="/start"' in page
    assert 'action="/example"' in page


def test_the_browser_s_language_suggests_notation_and_money(client: TestClient) -> None:
    page = client.get("/", headers={"Accept-Language": "de-AT,de;q=0.9"}).text
    assert '<option value="EUR" selected>' in page
    assert '<option value="de_AT" selected>' in page
    page = client.get("/", headers={"Accept-Language": "en-US"}).text
    assert '<option value="USD" selected>' in page
    assert '<option value="lb" selected>' in page or 'value="lb" checked' in page


def test_starting_leads_to_the_first_order(client: TestClient) -> None:
    answer = fill(client, "/", "/start", name="Fennel Lane", currency="GBP")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/buy/orders/new")
    assert "Fennel Lane" in client.get("/settings").text


def test_what_is_kept_as_it_stood_goes_on_without_a_word(client: TestClient) -> None:
    sent = {**fields(client, "/", "/start"), "name": "Fennel Lane", "next": "own"}
    first = client.post("/start", data=sent)
    assert first.headers["location"].startswith("/data/own?done=")
    same = {**fields(client, "/", "/start"), "next": "own"}
    assert client.post("/start", data=same).headers["location"] == "/data/own"


def test_another_spreadsheet_is_offered_until_a_product_stands_in_the_line(client: TestClient) -> None:
    kitchen(client)
    assert 'href="/data/own" data-form>Bring a spreadsheet</a>' in client.get("/").text
    jar(client)
    assert "Bring a spreadsheet" not in client.get("/").text


def test_the_example_is_loaded_once_and_only_into_nothing(client: TestClient) -> None:
    sent = fields(client, "/", "/example")
    assert client.post("/example", data=sent).status_code == 303
    page = client.get("/").text
    assert "What needs you now" in page
    assert "14 products" in page
    assert client.post("/example", data=sent).status_code == 303
    assert "14 products" in client.get("/").text


def test_what_loses_most_comes_first(client: TestClient) -> None:
    client.post("/example", data=fields(client, "/", "/example"))
    page = client.get("/").text
    # expected.csv: the stall's Nettle oil loses more a month than the Hair butter 50 g, which comes second.
    assert page.index("Nettle oil 100 mL, Market stall") < page.index("Hair butter 50 g, Market stall")
    assert "has no price yet" in page
    assert "Candelilla wax" in page


def test_another_day_is_for_reading_only(client: TestClient) -> None:
    client.post("/example", data=fields(client, "/", "/example"))
    page = client.get("/?on=2026-08-01").text
    assert "As it was on" in page
    assert client.get("/?on=2026-02-30").status_code == 422


def test_a_new_book_leads_on_from_whatever_was_kept_until_a_price_can_come_of_it(client: TestClient) -> None:
    people = "/settings/people"
    assert fill(client, f"{CHANNELS}/new", CHANNELS, name="Fair").status_code == 303
    assert fill(client, f"{people}/new", people, name="Ann", named={"wage-per_hour": "18"}).status_code == 303
    for page in (CHANNELS, people):
        assert "<strong>Next:</strong> Every cost starts with what you paid." in client.get(page).text
    kitchen(client)
    shea = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    assert "<strong>Next:</strong> How long Melt takes is not said yet" in client.get(shea).text
    timed = {"work-0-person": str(number_of(client, people, "Ann")), "work-0-per_jar": "2"}
    assert jar(client, **timed).status_code == 303
    there = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}"
    assert "<strong>Next:</strong> Jar, Fair: " in client.get(there).text
    where = f"{there}/{number_of(client, CHANNELS, 'Fair')}/price"
    assert fill(client, where, where, amount="5").status_code == 303
    assert "Next:" not in client.get(there).text


AMERICAN = {"Accept-Language": "en-US"}


def test_money_that_had_not_followed_its_country_is_shown_before_anything_is_saved(client: TestClient) -> None:
    """Without a script, or sent before the answer came: Ireland with the money of the United States."""
    first = fields_in(client.get("/", headers=AMERICAN).text, "/start")
    assert (first["currency"], first["mass_unit"]) == ("USD", "lb")
    back = client.post("/start", data={**first, "locale": "en_IE", "next": "own"}, headers=AMERICAN)
    assert back.status_code == 200
    assert "Your money is now EUR, as is usual there, and nothing is saved yet" in back.text
    texts = fields_in(back.text, "/start")
    assert (texts["currency"], texts["mass_unit"], texts["locale"]) == ("EUR", "kg", "en_IE")
    assert client.post("/start", data={**texts, "currency": "USD"}, headers=AMERICAN).status_code == 303  # her choice


def test_money_that_was_chosen_beside_another_country_stays(client: TestClient) -> None:
    first = fields_in(client.get("/", headers=AMERICAN).text, "/start")
    sent = {**first, "locale": "en_IE", "currency": "GBP"}
    assert client.post("/start", data=sent, headers=AMERICAN).status_code == 303


def test_another_country_s_money_is_written_where_nobody_chose_it(client: TestClient) -> None:
    spoken = {"Accept-Language": "en-US"}
    said = client.post("/start/money", data={**fields(client, "/", "/start"), "locale": "en_GB"}, headers=spoken).text
    assert 'data-into="currency" data-text="GBP" data-over="USD"' in said
    assert 'data-into="mass_unit" data-text="kg" data-over="lb"' in said
    nothing = client.post("/start/money", data={"locale": "nowhere"}, headers=spoken)
    assert nothing.status_code == 200
