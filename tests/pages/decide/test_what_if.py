"""What if: supposed, seen before and after, accepted in one save, undone. Expected figures are from paper."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

from starlette.testclient import TestClient

from tests.pages.filling import fields, fill
from tests.pages.workshop import CHANNELS, MATERIALS, PEOPLE, PRODUCTS, example, jar, kitchen, number_of

WHAT_IF = "/decide/what-if"


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def sheet(client: TestClient, *rows: dict[str, Any], **more: Any) -> Any:
    """A sheet with these suppositions sent, each counting."""
    sent = {"token": "", "epoch": "", "version": ""} | fields(client, WHAT_IF, WHAT_IF)
    for number, row in enumerate(rows):
        sent |= {f"suppositions-{number}-{name}": one for name, one in ({"counts": "yes"} | row).items()}
    return client.post(WHAT_IF, data={**sent, **more}, follow_redirects=False)


def priced(client: TestClient, amount: str = "3.00") -> tuple[int, int]:
    """A jar that costs 1.24, sold at the stall at a target of 50 %."""
    kitchen(client)
    jar(client)
    product, stall = number_of(client, PRODUCTS, "Jar"), number_of(client, CHANNELS, "Stall")
    there = f"{PRODUCTS}/{product}/{stall}/price"
    assert fill(client, there, there, amount=amount).status_code == 303
    return product, stall


def test_an_empty_line_says_what_to_do(client: TestClient) -> None:
    assert "The line is empty." in client.get(WHAT_IF).text


def test_a_supposition_is_added_filled_in_and_seen_before_and_after(client: TestClient) -> None:
    priced(client)
    added = sheet(client, more="add", adding="prices")
    assert added.status_code == 200
    assert 'name="suppositions-0-percent"' in added.text
    seen = sheet(client, {"kind": "prices", "way": "up", "percent": "5"}, more="preview")
    assert seen.status_code == 200
    # 3.00 x 1.05 = 3.15; (3.15 - 1.24) / 3.15 = 60.63 %; before (3.00 - 1.24) / 3.00 = 58.67 %
    words = text(seen.text)
    assert "60.6" in words
    assert "3.15" in words
    assert "58.7" in words


def test_a_fault_stands_at_its_field_and_nothing_typed_is_lost(client: TestClient) -> None:
    priced(client)
    shea = number_of(client, MATERIALS, "Shea butter")
    rows = {"kind": "prices", "way": "up", "percent": "much"}, {"kind": "cost", "material": shea, "percent": "7"}
    answer = sheet(client, *rows, more="preview")
    assert answer.status_code == 422
    assert 'id="e-suppositions-0-percent"' in answer.text
    assert 'value="much"' in answer.text
    assert 'value="7"' in answer.text


def test_accepting_saves_all_at_once_and_one_undo_takes_it_back(client: TestClient) -> None:
    product, stall = priced(client)
    shea = number_of(client, MATERIALS, "Shea butter")
    rows = {"kind": "prices", "way": "up", "percent": "5"}, {"kind": "cost", "material": shea, "percent": "10"}
    done = sheet(client, *rows, more="accept")
    assert done.status_code == 303
    row = client.get("/api/line").json()["items"][0]
    assert (row["product"], row["channel"], row["price"]) == (product, stall, "3.15")
    # 12.40 a kg is 24.80 the two; the pack of 1 kg is 13.64 then, a jar has 100 g of it
    assert row["cost"] == "1.364"
    page = client.get(done.headers["location"]).text
    assert "What-if accepted: 2 suppositions" in text(page)
    undo = re.search(r'action="(/undo/[^"]+)"', page)
    assert undo
    assert fill(client, done.headers["location"], unescape(undo[1])).status_code == 303
    back = client.get("/api/line").json()["items"][0]
    assert (back["price"], back["cost"]) == ("3", "1.24")


def test_the_example_takes_a_wage_and_a_swap(client: TestClient) -> None:
    example(client)
    maud = number_of(client, PEOPLE, "Maud")
    old, new = (number_of(client, MATERIALS, name) for name in ("Mango butter", "Shea butter, refined"))
    rows = {"kind": "wage", "person": maud, "amount": "18.00"}, {"kind": "swap", "material": old, "other": new}
    seen = sheet(client, *rows, more="preview")
    assert seen.status_code == 200, text(seen.text)[:1500]
    assert "A month of the whole line" in seen.text
    assert sheet(client, *rows, more="accept").status_code == 303
