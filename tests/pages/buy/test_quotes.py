"""The form of a quote: a supplier nobody bought from yet is made with it, or nothing is."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields_in, fill
from tests.pages.workshop import MATERIALS, number_of, order

QUOTES, SUPPLIERS = "/buy/quotes", "/buy/suppliers"
QUOTE = {"new_supplier": "The press", "until": "2027-01-31", "size": "1", "unit": "kg", "price": "11"}


def quote(client: TestClient, **named: str) -> Any:
    """A quote of 1 kg shea butter at 11, from somebody nobody bought from yet."""
    shea = number_of(client, MATERIALS, "Shea butter")
    return fill(client, f"{QUOTES}/new?material={shea}", QUOTES, named={**QUOTE, **named})


def test_a_quote_makes_its_supplier_and_shows_first_what_it_changes(client: TestClient) -> None:
    order(client)
    looked = quote(client, counts="yes", more="preview")
    assert looked.status_code == 200
    # 1 kg at 11 against 2 kg at 12.40 each: 1.40 a kg less.
    assert "11.00" in looked.text.split("What this changes", 1)[1]
    assert "The press" not in client.get(SUPPLIERS).text
    sent = fields_in(looked.text, QUOTES)
    assert sent["new_supplier"] == "The press"
    answer = client.post(QUOTES, data=sent)
    assert answer.status_code == 303
    assert "The press: " in client.get(answer.headers["location"]).text
    assert client.get(SUPPLIERS).text.count("The press</a>") == 1
    assert client.post(QUOTES, data=sent).headers["location"] == answer.headers["location"]
    assert client.get(SUPPLIERS).text.count("The press</a>") == 1


def test_of_a_material_that_was_never_bought_the_first_supplier_is_named(client: TestClient) -> None:
    assert fill(client, f"{MATERIALS}/new", MATERIALS, named={"name": "Shea butter"}).status_code == 303
    answer = quote(client, new_supplier="")
    assert answer.status_code == 422
    assert "Type who it is from." in answer.text.split('id="e-new_supplier"', 1)[1]
    assert quote(client).status_code == 303
    assert "The press" in client.get(SUPPLIERS).text


@pytest.mark.parametrize(
    ("wrong", "at", "words"),
    [
        ({"new_supplier": "The mill"}, "new_supplier", "already"),
        ({"new_supplier": "the  MILL", "more": "preview"}, "new_supplier", "already"),
        ({"new_supplier": "\u200b\u200d"}, "new_supplier", "Nothing here can be seen"),
        ({"new_supplier": "\u200b\u200d", "more": "preview"}, "new_supplier", "Nothing here can be seen"),
        ({"price": "abc"}, "price", "a number"),
        ({"new_supplier": "x" * 200, "price": "abc"}, "price", "a number"),
    ],
)
def test_a_fault_stands_at_its_field_and_neither_is_kept(
    client: TestClient, wrong: dict[str, str], at: str, words: str
) -> None:
    order(client)
    answer = quote(client, note="by telephone", **wrong)
    assert answer.status_code in (409, 422)
    assert words in answer.text.split(f'id="e-{at}"', 1)[1].split("</span>", 1)[0]
    assert 'id="e-supplier"' not in answer.text
    sent = fields_in(answer.text, QUOTES)
    assert (sent["note"], sent["new_supplier"]) == ("by telephone", {**QUOTE, **wrong}["new_supplier"].strip())
    assert client.get(SUPPLIERS).text.count('<th scope="row">') == 1
    assert (
        client.post(QUOTES, data=changed(sent, named={"new_supplier": "The press", "price": "11"})).status_code == 303
    )


def test_a_quote_is_corrected_to_a_new_supplier(client: TestClient) -> None:
    order(client)
    there = str(quote(client).headers["location"]).split("?", 1)[0]
    number = client.get(there).text.split(f'"{QUOTES}/', 1)[1].split("/", 1)[0]
    one = f"{QUOTES}/{number}"
    assert fill(client, f"{one}/edit", one, new_supplier="The grove").status_code == 303
    page = client.get(there).text
    assert "The grove: " in page
    assert "The press: " not in page
