"""The pages of batches: how much, the weighing sheet, what is kept of it, what a batch took beside what was planned."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import FORMULAS, PRODUCTS, example, kitchen_with_a_jar, number_of
from tests.stored import content_hash

BATCHES = "/make/batches"


def melt(client: TestClient) -> int:
    return number_of(client, FORMULAS, "Melt")


def sheet(client: TestClient, **asked: str) -> str:
    query = "&".join(f"{name}={text}" for name, text in asked.items())
    return f"{BATCHES}/new?{query}"


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", text)))


def test_an_empty_list_says_what_to_do(client: TestClient) -> None:
    assert "nothing to weigh" in client.get(BATCHES).text
    kitchen_with_a_jar(client)
    page = client.get(BATCHES).text
    assert "No batch written down yet." in page
    assert f'href="{BATCHES}/new"' in page


@pytest.mark.parametrize(
    ("asked", "field", "said"),
    [
        ({"grams": "ten"}, "grams", "number"),
        ({"formula": "999999"}, "formula", "isn't there"),
        ({"jars": "5"}, "product", "which jars"),
        ({"formula": "MELT", "grams": "500", "jars": "5"}, "jars", "not both"),
        ({"formula": "MELT", "grams": "0"}, "grams", "above 0"),
        ({"formula": "MELT", "grams": "9" * 5000}, "grams", "longer than a number"),
    ],
)
def test_how_much_is_asked_with_the_fault_at_its_field(
    client: TestClient, asked: dict[str, str], field: str, said: str
) -> None:
    kitchen_with_a_jar(client)
    asked = {name: text.replace("MELT", str(melt(client))) for name, text in asked.items()}
    answer = client.get(sheet(client, **asked))
    assert answer.status_code == 422
    fault = re.search(rf'id="e-{field}">([^<]+)<', answer.text)
    assert fault is not None, answer.text
    assert said in unescape(fault[1])
    for name, text in asked.items():
        if name not in ("formula", "product"):
            assert f'name="{name}" value="{text[:40]}"' in answer.text


def test_ticked_lines_are_as_planned_and_a_number_beside_them_counts(client: TestClient) -> None:
    example(client)
    pomade = number_of(client, FORMULAS, "Firm pomade")
    page = sheet(client, formula=str(pomade), grams="1000")
    sent = fields(client, page, BATCHES)
    # 22 % of 1000 g; 51 % takes the rest
    assert (sent["lines-0-planned"], sent["lines-4-planned"]) == ("220", "510")
    typed = {f"lines-{n}-same": "yes" for n in range(7)} | {"lines-4-grams": "512.5", "filled-0-jars": "18"}
    typed |= {"spent-0-minutes": "41"}
    answer = client.post(BATCHES, data=changed(sent, named=typed))
    assert answer.status_code == 303, plain(answer.text)
    told = plain(client.get(answer.headers["location"]).text)
    assert "1,002.50 g" in told or "1,002.5 g" in told
    # 18 tins of 50.5 g hold 909 g: 93.5 g of 1002.5 g are 9.3 %
    assert "9.3 %" in told
    again = fields(
        client, answer.headers["location"].partition("?")[0] + "/edit", answer.headers["location"].partition("?")[0]
    )
    assert (again["lines-4-grams"], again["lines-0-grams"], again["filled-0-jars"]) == ("512.5", "220", "18")


def test_a_line_that_is_neither_ticked_nor_typed_is_asked_for_and_nothing_is_lost(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    before = content_hash(client.app.state.settings)  # type: ignore[attr-defined]
    page = sheet(client, formula=str(melt(client)))
    answer = fill(client, page, BATCHES, named={"filled-0-jars": "7", "note": "warm day"})
    assert answer.status_code == 422
    assert 'href="#f-lines-0-grams">Shea butter, weighed: Type what was weighed' in unescape(answer.text)
    kept = fields_in(answer.text, BATCHES)
    assert (kept["filled-0-jars"], kept["note"]) == ("7", "warm day")
    assert content_hash(client.app.state.settings) == before  # type: ignore[attr-defined]


def test_a_tick_comes_back_as_a_tick_when_something_else_is_wrong(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    page = sheet(client, formula=str(melt(client)))
    answer = fill(client, page, BATCHES, named={"lines-0-same": "yes", "filled-0-jars": "many"})
    assert answer.status_code == 422
    kept = fields_in(answer.text, BATCHES)
    assert (kept["lines-0-same"], kept["lines-0-grams"], kept["filled-0-jars"]) == ("yes", "", "many")


def test_something_on_no_plan_can_be_weighed_in_and_the_sheet_is_asked_by_jars(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    first = client.get(PRODUCTS).text
    product = re.search(rf'href="{PRODUCTS}/([0-9]+)"', first)
    assert product is not None
    answer = client.get(sheet(client, product=product[1], jars="4"))
    assert answer.status_code == 200
    sent = fields_in(answer.text, BATCHES)
    extra = {"lines-0-same": "yes", "lines-1-material": sent["lines-0-material"], "lines-1-grams": "3"}
    saved = client.post(BATCHES, data=changed(sent, named=extra))
    assert saved.status_code == 303, plain(saved.text)
    told = plain(client.get(saved.headers["location"]).text)
    assert "on no plan" in told
    assert "How many jars it filled is not known yet." in told


def test_a_batch_is_corrected_and_taken_back_and_the_undo_brings_it_again(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    page = sheet(client, formula=str(melt(client)))
    saved = fill(client, page, BATCHES, named={"lines-0-same": "yes"})
    where = saved.headers["location"].partition("?")[0]
    assert fill(client, f"{where}/edit", where, named={"lines-0-grams": "990"}).status_code == 303
    assert "990 g" in plain(client.get(where).text)
    gone = client.post(f"{where}/withdraw", data=fields(client, where, f"{where}/withdraw"))
    assert gone.status_code == 303
    assert client.get(where).status_code == 404
    done = client.get(gone.headers["location"]).text
    undo = re.search(r'action="(/undo/[0-9]+[^"]*)"', done)
    assert undo is not None
    assert client.post(undo[1], data=fields_in(done, undo[1])).status_code == 303
    assert "990 g" in plain(client.get(where).text)


def test_a_form_of_no_formula_is_no_form(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    sent = fields(client, sheet(client, formula=str(melt(client))), BATCHES)
    assert client.post(BATCHES, data={**sent, "formula": "999999"}).status_code == 404
    assert client.post(BATCHES, data={**sent, "formula": ""}).status_code == 404


def test_the_example_says_what_its_batches_lost(client: TestClient) -> None:
    example(client)
    told = plain(client.get(BATCHES).text)
    # on paper: 2009 g weighed, 37 x 50.5 = 1868.5 in tins: 140.5 / 2009 = 6.99 %; planned 3 % and 15 g: 3.75 %
    assert "37 × Firm pomade 50 g" in told
    assert "2,009 g" in told
    assert "7.0 %" in told
    assert "3.7 %" in told


def test_a_batch_of_a_day_to_come_is_refused_at_its_day(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    page = sheet(client, formula=str(melt(client)))
    answer = fill(client, page, BATCHES, named={"lines-0-same": "yes", "day": "2199-01-01"})
    assert answer.status_code == 422
    assert "still to come" in answer.text.partition('id="e-day">')[2][:80]
