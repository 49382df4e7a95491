"""The settings' pages: create, look, change, put away, bring back, undo; faults, stale and double saves."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import number_of

PEOPLE, BILLS = "/settings/people", "/settings/bills"


def add_person(client: TestClient, name: str = "Ann", wage: str = "15.50") -> str:
    answer = fill(client, f"{PEOPLE}/new", PEOPLE, name=name, named={"wage-per_hour": wage})
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def test_an_empty_list_says_what_to_do(client: TestClient) -> None:
    page = client.get(PEOPLE).text
    assert "Nobody works here yet." in page
    assert 'href="/settings/people/new"' in page


def test_somebody_is_entered_and_said_back_with_the_offer_to_undo(client: TestClient) -> None:
    there = add_person(client)
    page = client.get(there).text
    assert "Ann" in page
    assert "15.50" in page
    assert "Who works saved: Ann." in page
    assert "Undo" in page


def test_undo_takes_it_back(client: TestClient) -> None:
    page = client.get(add_person(client)).text
    action = page.split('action="/undo/', 1)[1].split('"', 1)[0].replace("&amp;", "&")
    undone = client.post(f"/undo/{action}", data=fields_in(page, f"/undo/{action}"))
    assert undone.status_code == 303
    assert "Nobody works here yet." in client.get(PEOPLE).text


def test_a_fault_stands_at_its_field_and_nothing_typed_is_lost(client: TestClient) -> None:
    answer = fill(client, f"{PEOPLE}/new", PEOPLE, name="", note="on Fridays", named={"wage-per_hour": "1,234"})
    assert answer.status_code == 422
    assert 'id="e-name"' in answer.text
    assert "Type 1234 or 1.2340." in answer.text
    assert "on Fridays" in answer.text
    assert 'value="1,234"' in answer.text
    assert "Nobody works here yet." in client.get(PEOPLE).text


def test_a_name_that_is_taken_is_a_conflict_at_its_field(client: TestClient) -> None:
    add_person(client)
    answer = fill(client, f"{PEOPLE}/new", PEOPLE, name=" ANN ")
    assert answer.status_code == 409
    assert "There is already one called Ann." in answer.text


def test_the_same_form_sent_twice_is_kept_once(client: TestClient) -> None:
    sent = changed(fields(client, f"{PEOPLE}/new", PEOPLE), name="Ann")
    first, second = (client.post(PEOPLE, data=sent) for _ in range(2))
    assert (first.status_code, second.status_code) == (303, 303)
    assert first.headers["location"] == second.headers["location"]
    assert client.get(PEOPLE).text.count(">Ann<") == 1


def test_the_same_token_with_other_content_is_refused(client: TestClient) -> None:
    sent = fields(client, f"{PEOPLE}/new", PEOPLE)
    assert client.post(PEOPLE, data=changed(sent, name="Ann")).status_code == 303
    assert client.post(PEOPLE, data=changed(sent, name="Bea")).status_code == 409


def one_person(client: TestClient) -> str:
    add_person(client)
    return client.get(PEOPLE).text.split(f'href="{PEOPLE}/', 2)[2].split('"', 1)[0]


def test_a_stale_save_shows_both_versions_and_keeps_what_was_typed(client: TestClient) -> None:
    where = f"{PEOPLE}/{one_person(client)}"
    mine, theirs = fields(client, where, where), fields(client, where, where)
    assert client.post(where, data=changed(theirs, note="by the other tab")).status_code == 303
    answer = client.post(where, data=changed(mine, note="by this tab"))
    assert answer.status_code == 409
    assert "It now says: by the other tab." in answer.text
    assert "by this tab" in answer.text
    again = fields_in(answer.text, where)
    assert client.post(where, data=again).status_code == 303
    assert "by this tab" in client.get(where).text


def test_a_save_that_does_not_say_what_it_was_made_from_is_refused(client: TestClient) -> None:
    where = f"{PEOPLE}/{one_person(client)}"
    sent = fields(client, where, where)
    answer = client.post(where, data=changed(sent, version=None))
    assert answer.status_code == 428


def test_a_later_wage_keeps_the_one_before(client: TestClient) -> None:
    where = f"{PEOPLE}/{one_person(client)}"
    assert fill(client, where, where, named={"wage-per_hour": "18", "wage-since": "2026-12-01"}).status_code == 303
    page = client.get(f"{where}?on=2026-12-02").text
    assert "18.00" in page
    assert "15.50" in client.get(PEOPLE).text


def test_putting_away_and_bringing_back(client: TestClient) -> None:
    where = f"{PEOPLE}/{one_person(client)}"
    assert client.post(f"{where}/retire", data=fields(client, where, f"{where}/retire")).status_code == 303
    assert "Work here no more" in client.get(PEOPLE).text
    assert client.post(f"{where}/restore", data=fields(client, where, f"{where}/restore")).status_code == 303
    assert "Work here no more" not in client.get(PEOPLE).text


def test_terms_say_what_is_missing_for_overhead_by_jars(client: TestClient) -> None:
    answer = fill(client, "/settings/terms", "/settings/terms", overhead="jars")
    assert answer.status_code == 422
    assert "Type how many jars you plan a month" in answer.text


def test_the_workshop_keeps_its_currency_once_amounts_are_kept(client: TestClient) -> None:
    add_person(client)
    answer = fill(client, "/settings/workshop", "/settings/workshop", currency="JPY")
    assert answer.status_code == 422
    assert "Amounts are already kept" in answer.text


def test_numbers_are_shown_as_the_workshop_writes_them(client: TestClient) -> None:
    assert fill(client, "/settings/workshop", "/settings/workshop", locale="de_DE", currency="EUR").status_code == 303
    add_person(client, wage="15,5")
    assert "15,50" in client.get(PEOPLE).text


def test_bills_add_up(client: TestClient) -> None:
    for name, amount in (("Rent", "200"), ("Power", "46.50")):
        assert fill(client, "/settings/bills/new", "/settings/bills", name=name, a_month=amount).status_code == 303
    assert "246.50" in client.get("/settings/bills").text


def test_hostile_names_are_words_only(client: TestClient) -> None:
    hostile = '"><img src=x onerror=alert(1)></script><script>alert(1)</script>'
    there = add_person(client, name=hostile)
    for page in (there, PEOPLE, "/settings"):
        text = client.get(page).text
        assert "<img src=x" not in text
        assert "<script>alert" not in text


def test_a_way_of_writing_that_there_is_not_is_refused_at_its_field(client: TestClient) -> None:
    for field, typed, said in (
        ("locale", "zz_ZZ", "Write a language and its country, such as en_GB, de_AT or en_US."),
        ("currency", "ZZZ", "Write a currency by its three letters, such as EUR, GBP or USD."),
    ):
        answer = fill(client, "/settings/workshop", "/settings/workshop", **{field: typed})
        assert answer.status_code == 422
        assert f'id="e-{field}"' in answer.text
        assert said in answer.text
    assert client.get("/api/changes").json()["items"] == []


def test_saving_what_stands_there_says_that_nothing_was_changed(client: TestClient) -> None:
    add_person(client)
    there = f"{PEOPLE}/{client.get('/api/people').json()['items'][0]['id']}"
    answer = fill(client, there, there)
    assert answer.status_code == 303
    page = client.get(answer.headers["location"]).text
    assert "Nothing was changed" in page
    assert "Undo" not in page
    assert len(client.get("/api/changes").json()["items"]) == 1


def test_a_wage_that_is_raised_holds_from_today_and_leaves_what_was(client: TestClient) -> None:
    where = f"{PEOPLE}/{one_person(client)}"
    assert fill(client, where, where, named={"wage-since": "2026-07-31"}).status_code == 303
    sent = fields(client, where, where)
    assert sent["wage-since"] == "2026-11-25"
    assert fill(client, where, where, named={"wage-per_hour": "17"}).status_code == 303
    page = client.get(where).text
    assert "From 31 Jul 2026: " in page
    assert "From 25 Nov 2026: " in page
    assert "15.50" in client.get(f"{where}?on=2026-11-24").text
    assert fields(client, where, where)["wage-per_hour"] == "17.00"


def test_another_name_alone_makes_no_other_wage_and_nothing_changed_no_version(client: TestClient) -> None:
    wage = {"wage-per_hour": "15.50", "wage-since": "2026-07-31"}
    assert fill(client, f"{PEOPLE}/new", PEOPLE, name="Ann", named=wage).status_code == 303
    where = f"{PEOPLE}/{number_of(client, PEOPLE, 'Ann')}"
    assert fill(client, where, where, name="Anne").status_code == 303
    assert "Wages so far" not in client.get(where).text
    before = client.get("/api/changes").json()["items"]
    assert fill(client, where, where).status_code == 303
    assert client.get("/api/changes").json()["items"] == before


def test_a_bill_that_is_raised_holds_from_today_and_an_earlier_day_puts_it_right(client: TestClient) -> None:
    assert fill(client, f"{BILLS}/new", BILLS, name="Rent", a_month="200", since="2026-01-01").status_code == 303
    where = f"{BILLS}/{number_of(client, BILLS, 'Rent')}"
    assert fill(client, where, where, a_month="250").status_code == 303
    assert "From 1 Jan 2026: " in client.get(where).text
    assert "200.00" in client.get(where).text
    assert fill(client, where, where, a_month="210", since="2026-01-01").status_code == 303
    assert "200.00" not in client.get(where).text
