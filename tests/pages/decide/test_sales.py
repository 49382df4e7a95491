"""Jars sold a month of the whole line: typed in one form, or pasted; one save, one undo, all or nothing."""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.decide.test_hours import two
from tests.pages.decide.test_pay import text
from tests.pages.filling import fields, fields_in, fill
from tests.pages.workshop import CHANNELS, example

SALES, PASTE = "/decide/sales", "/decide/sales/paste"


def fair(client: TestClient) -> tuple[int, int, int]:
    """Two products, a stall and a fair."""
    found = two(client)
    named = {"name": "Fair", "kind": "stall", "target": "50"}
    assert fill(client, f"{CHANNELS}/new", CHANNELS, named=named).status_code == 303
    return found


def jars(client: TestClient) -> dict[tuple[str, str], str]:
    """What is sold, by product and channel, as the form says it."""
    sent = fields(client, SALES, SALES)
    rows = {name.removesuffix("-jars") for name in sent if name.endswith("-jars")}
    return {(sent[f"{row}-product"], sent[f"{row}-channel"]): sent[f"{row}-jars"] for row in rows}


def typed(client: TestClient, *amounts: str, **more: Any) -> Any:
    named = {f"sales-{number}-jars": amount for number, amount in enumerate(amounts)}
    return fill(client, SALES, SALES, named={**named, **more})


def test_an_empty_line_says_what_to_do(client: TestClient) -> None:
    assert "The line is empty." in client.get(SALES).text


def test_all_are_typed_at_once_and_taken_back_at_once(client: TestClient) -> None:
    fair(client)
    assert set(jars(client).values()) == {""}
    answer = typed(client, "40", "0", "12.5", "")
    assert answer.status_code == 303
    assert sorted(jars(client).values()) == ["", "0", "12.5", "40"]
    there = client.get(answer.headers["location"]).text
    (undo,) = set(re.findall(r'action="(/undo/\d+[^"]*)"', there))
    assert client.post(undo, data=fields_in(there, undo)).status_code == 303
    assert set(jars(client).values()) == {""}


def test_only_what_differs_is_kept(client: TestClient) -> None:
    fair(client)
    assert typed(client, "40", "30").status_code == 303
    assert "done=0" in typed(client).headers["location"]
    assert typed(client, "41").status_code == 303
    sent = fields(client, SALES, SALES)
    kept = [
        client.get(
            f"/api/products/{sent[f'sales-{row}-product']}/channels/{sent[f'sales-{row}-channel']}/sales/history"
        ).json()["items"]
        for row in range(3)
    ]
    assert [len(one) for one in kept] == [2, 1, 0]
    assert "Jars sold a month saved, of 2 products where they are sold" in text(client.get("/changes").text)


def test_one_that_is_wrong_keeps_none(client: TestClient) -> None:
    fair(client)
    answer = typed(client, "40", "lots")
    assert answer.status_code == 422
    assert 'id="e-sales-1-jars"' in answer.text
    assert fields_in(answer.text, SALES)["sales-0-jars"] == "40"
    assert set(jars(client).values()) == {""}


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"since": "2026-02-30"}, "There is no such day."),
        ({"sales-0-product": "999"}, "isn't sold there"),
    ],
)
def test_what_can_t_be_is_said(client: TestClient, more: dict[str, str], words: str) -> None:
    fair(client)
    answer = typed(client, "40", **more)
    assert answer.status_code == 422
    assert words in text(answer.text)


def test_a_pair_that_is_sent_twice_is_refused(client: TestClient) -> None:
    fair(client)
    sent = fields(client, SALES, SALES)
    again = {f"sales-1-{name}": sent[f"sales-0-{name}"] for name in ("product", "channel")}
    answer = client.post(SALES, data={**sent, **again, "sales-0-jars": "3", "sales-1-jars": "4"})
    assert answer.status_code == 422
    assert "stand here twice" in text(answer.text)


def test_the_example_has_its_sales_in_it(client: TestClient) -> None:
    example(client)
    found = [one for one in jars(client).values() if one]
    # as typed for the invented workshop: 435 jars in all
    assert sum(int(one) for one in found) == 435


def pasted(client: TestClient, sheet: str, **more: str) -> Any:
    return client.post(PASTE, data={**fields(client, PASTE, PASTE), "list": sheet, **more})


def test_a_list_is_looked_at_and_then_kept_in_one_change(client: TestClient) -> None:
    quick, slow, stall = fair(client)
    sheet = "Jars;Product;Channel\n12,5;jar;stall\n30;Slow jar;Stall\n"
    looked = pasted(client, sheet, more="look")
    assert looked.status_code == 200
    assert "Keep all of them" in looked.text
    assert set(jars(client).values()) == {""}
    kept = client.post(PASTE, data={**fields_in(looked.text, PASTE)})
    assert kept.status_code == 303
    found = jars(client)
    assert (found[str(quick), str(stall)], found[str(slow), str(stall)]) == ("12.5", "30")


@pytest.mark.parametrize(
    ("sheet", "words"),
    [
        ("", "Paste at least one line"),
        ("Jar\tStall\tlots", "lots is no number"),
        ("Jra\tStall\t3", "No product is called Jra."),
        ("Jar\tStal\t3", "Did you mean Stall?"),
        ("Jar\tStall\t3\nJar\tStall\t4", "This stands on an earlier line already."),
        ("Jar\t\t3", "No channel stands here."),
        ("Product\tChannel\nJar\tStall", "No column says its jars."),
        ("Product\tChannel\tJars", "Below the heads stands nothing."),
        ("Jar\tStall\t1.500", "can be read in two ways"),
        ("Jar\tStall\t-3", "This must be 0 or more"),
    ],
)
def test_a_list_that_is_wrong_keeps_none(client: TestClient, sheet: str, words: str) -> None:
    fair(client)
    answer = pasted(client, f"{sheet}\nSlow jar\tStall\t5" if sheet and "Product" not in sheet else sheet)
    assert answer.status_code == 422
    assert words in text(answer.text)
    assert set(jars(client).values()) == {""}


def test_how_decimals_are_written_can_be_said(client: TestClient) -> None:
    quick, _, stall = fair(client)
    assert pasted(client, "Jar\tStall\t1.500", sign="comma").status_code == 303
    assert jars(client)[str(quick), str(stall)] == "1500"
