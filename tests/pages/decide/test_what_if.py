"""What if: supposed, seen before and after, accepted in one save, undone. Expected figures are from paper."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fields, fields_in, fill
from tests.pages.workshop import (
    CHANNELS,
    MATERIALS,
    PEOPLE,
    PRODUCTS,
    example,
    kitchen_with_a_jar,
    number_of,
)
from webapp.pages.decide import what_if

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
    kitchen_with_a_jar(client)
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


def kept(client: TestClient, name: str, *rows: dict[str, Any]) -> str:
    """A what-if kept under a name: where it is opened again."""
    answer = sheet(client, *rows, more="keep", name=name)
    assert answer.status_code == 303, text(answer.text)[:800]
    return str(answer.headers["location"])


def lines(page: str) -> dict[str, str]:
    """What stands in the lines of the sheet."""
    return {name: one for name, one in fields_in(page, WHAT_IF).items() if name.startswith("suppositions-")}


def test_kept_under_a_name_it_is_opened_again_and_worked_out_anew(client: TestClient) -> None:
    product, stall = priced(client)
    there = kept(client, "Spring", {"kind": "prices", "way": "up", "percent": "5"}, {"kind": "wage", "amount": "1O"})
    page = client.get(there).text
    assert lines(page)["suppositions-0-percent"] == "5"
    assert lines(page)["suppositions-1-amount"] == "1O"
    assert 'id="e-suppositions-1-person"' in page
    there = kept(client, "Summer", {"kind": "prices", "way": "up", "percent": "5"})
    price = f"{PRODUCTS}/{product}/{stall}/price"
    assert fill(client, price, price, amount="4.00").status_code == 303
    # 4.00 x 1.05
    assert "4.20" in text(client.get(there).text)


def test_a_kept_one_is_renamed_and_thrown_away(client: TestClient) -> None:
    priced(client)
    there = kept(client, "Spring", {"kind": "prices", "way": "up", "percent": "5"})
    number = there.rpartition("=")[2]
    at = f"{WHAT_IF}/kept/{number}"
    taken = kept(client, "Taken", {"kind": "prices", "way": "up", "percent": "6"})
    assert taken != there
    assert fill(client, there, f"{at}/rename", name="Taken").status_code == 409
    assert fill(client, there, f"{at}/rename", name="Autumn").status_code == 303
    assert "Autumn" in client.get(WHAT_IF).text
    assert fill(client, there, f"{at}/drop").status_code == 303
    assert "Autumn" not in client.get(WHAT_IF).text
    assert client.get(there).status_code == 404


def test_a_name_is_wanted_and_one_that_is_taken_is_refused_with_all_that_was_typed(client: TestClient) -> None:
    priced(client)
    row = {"kind": "prices", "way": "up", "percent": "5"}
    kept(client, "Spring", row)
    for name, status in (("", 422), ("spring", 409)):
        answer = sheet(client, {**row, "percent": "7"}, more="keep", name=name)
        assert answer.status_code == status
        assert 'id="e-name"' in answer.text
        assert lines(answer.text)["suppositions-0-percent"] == "7"


def test_accepted_in_part_the_rest_is_kept_and_counts(client: TestClient) -> None:
    priced(client)
    shea = number_of(client, MATERIALS, "Shea butter")
    rows = {"kind": "prices", "way": "up", "percent": "5"}, {"kind": "cost", "material": str(shea), "percent": "10"}
    done = sheet(client, rows[0], {**rows[1], "counts": ""}, more="accept")
    assert done.status_code == 303
    row = client.get("/api/line").json()["items"][0]
    assert (row["price"], row["cost"]) == ("3.15", "1.24")
    left = lines(client.get(done.headers["location"]).text)
    assert "suppositions-0-counts" not in left
    assert left["suppositions-1-counts"] == "yes"
    assert left["suppositions-1-percent"] == "10"


def test_what_is_left_over_twice_on_one_day_is_kept_twice(client: TestClient) -> None:
    priced(client)
    shea = str(number_of(client, MATERIALS, "Shea butter"))
    left = [{"kind": "cost", "material": shea, "percent": percent, "counts": ""} for percent in ("10", "20")]
    for row, percent in zip(left, ("5", "7"), strict=True):
        done = sheet(client, {"kind": "prices", "way": "up", "percent": percent}, row, more="accept")
        assert done.status_code == 303
        assert lines(client.get(done.headers["location"]).text)["suppositions-1-percent"] == row["percent"]
    assert len(client.get("/api/what-ifs").json()["items"]) == 2


def test_what_could_not_be_kept_is_said_before_the_rest_is_saved(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    priced(client)
    monkeypatch.setattr(what_if, "MOST", 1)
    kept(client, "Dearer", {"kind": "prices", "way": "up", "percent": "5"})
    shea = str(number_of(client, MATERIALS, "Shea butter"))
    dearer = {"kind": "cost", "material": shea, "way": "up", "percent": "10"}
    rows = {"kind": "prices", "way": "up", "percent": "5"}, dearer
    refused = sheet(client, rows[0], {**rows[1], "counts": ""}, more="accept")
    assert refused.status_code == 422
    assert "so what doesn't count would be lost" in unescape(refused.text)
    assert client.get("/api/line").json()["items"][0]["price"] == "3"
    assert sheet(client, *rows, more="accept").status_code == 303  # nothing is left over, so nothing is lost


def test_accepted_whole_a_kept_one_counts_no_more_and_says_nothing_is_wrong(client: TestClient) -> None:
    priced(client)
    there = kept(client, "Spring", {"kind": "prices", "way": "up", "percent": "5"})
    done = client.post(WHAT_IF, data={**fields(client, there, WHAT_IF), "more": "accept"}, follow_redirects=False)
    assert done.headers["location"].startswith(there)
    page = client.get(done.headers["location"]).text
    assert "suppositions-0-counts" not in lines(page)
    assert "to put right" not in page
    assert "What-if accepted: Spring, one supposition" in text(page)


def test_two_kept_ones_stand_side_by_side(client: TestClient) -> None:
    priced(client)
    one = kept(client, "Dearer", {"kind": "prices", "way": "up", "percent": "5"}).rpartition("=")[2]
    other = kept(client, "Cheaper", {"kind": "prices", "way": "down", "percent": "5"}).rpartition("=")[2]
    words = text(client.get(f"{WHAT_IF}/compare?a={one}&b={other}").text)
    # 3.00, 3.15 and 2.85, each of which costs 1.24: 58.67, 60.63 and 56.49 %
    for figure in ("58.7", "60.6", "56.5", "at €3.15", "at €2.85"):
        assert figure in words, figure
    assert client.get(f"{WHAT_IF}/compare?a={one}&b=99").status_code == 404


def test_live_answers_only_what_it_comes_to(client: TestClient) -> None:
    priced(client)
    sent = {"suppositions-0-kind": "prices", "suppositions-0-counts": "yes", "suppositions-0-percent": "5"}
    head = {"HX-Request": "true", "HX-Request-Type": "partial"}
    sent |= fields(client, WHAT_IF, WHAT_IF)
    part = client.post(f"{WHAT_IF}/live", data=sent, headers=head).text
    assert part.lstrip().startswith('<div id="what-if-found"')
    assert "3.15" in part
    unfinished = client.post(f"{WHAT_IF}/live", data={**sent, "suppositions-0-percent": ""}, headers=head)
    assert (unfinished.status_code, "as soon as" in unfinished.text) == (200, True)
