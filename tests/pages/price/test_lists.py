"""Price lists: what stands on them, on another day, as files. Figures are from paper and from the seed's own prices."""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fill
from tests.pages.workshop import CHANNELS, PRODUCTS, example, jar, kitchen, number_of

LISTS = "/price/lists"


def words(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def rows_of(page: str) -> list[list[str]]:
    """The cells of the list on a page."""
    table = page.split("<tbody>", 1)[1].split("</tbody>", 1)[0]
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in table.split("<tr>")[1:]]
    return [[words(cell) for cell in row] for row in cells]


def table_of(answer: Any) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"), newline="")))


def test_an_empty_book_says_what_to_do(client: TestClient) -> None:
    assert "There is no price list yet." in client.get(LISTS).text


def test_the_shops_come_first_with_recommended_retail(client: TestClient) -> None:
    example(client)
    page = client.get(LISTS).text
    found = {row[0]: row for row in rows_of(page)}
    # 4.20 x 1.2 / 0.5 = 10.08
    assert found["Hair butter 50 g"][1:] == ["50 g", "4.20", "12", "50.40", "10.08"]
    assert "Prices without sales tax; 20 % is added on the invoice." in words(page)
    assert len(found) == 8


def test_ticks_count_for_the_list_that_they_were_drawn_for(client: TestClient) -> None:
    example(client)
    shops, stall = (number_of(client, CHANNELS, name) for name in ("Shops, wholesale", "Market stall"))
    bare = client.get(f"{LISTS}?channel={shops}&ticked={shops}").text
    assert {row[0]: row for row in rows_of(bare)}["Hair butter 50 g"][1:] == ["50 g", "4.20"]
    marked = client.get(f"{LISTS}?channel={stall}&ticked={shops}&per=1000").text
    # 10.50 / 50 x 1000
    assert {row[0]: row for row in rows_of(marked)}["Hair butter 50 g"][1:] == ["50 g", "10.50", "210.00"]
    assert "Prices with 20 % sales tax in them." in words(marked)
    assert {row[0]: row for row in rows_of(marked)}["Gift set: butter, oil and comb"][1:] == ["set", "24.00", "–"]
    assert (
        rows_of(client.get(f"{LISTS}?channel={shops}&ticked={stall}").text)[0][1:]
        == rows_of(client.get(LISTS).text)[0][1:]
    )


def test_what_is_left_off_says_why_and_suggested_prices_are_marked(client: TestClient) -> None:
    example(client)
    stall = number_of(client, CHANNELS, "Market stall")
    page = client.get(f"{LISTS}?channel={stall}").text
    assert "Whipped curl butter 240 mL , because: No price is accepted for it on Market stall." in words(page)
    assert not [row for row in rows_of(page) if "240 mL" in row[0]]
    page = client.get(f"{LISTS}?channel={stall}&suggested=1").text
    (row,) = [row for row in rows_of(page) if "240 mL" in row[0]]
    assert row[0].endswith("240 mL suggested")
    assert "Prices marked suggested are not decided yet." in words(page)
    assert "Travel tin 20 mL has no price yet" in words(page)


def test_prices_are_those_of_the_day_that_the_list_holds_from(client: TestClient) -> None:
    kitchen(client)
    there = str(jar(client).headers["location"]).split("?", 1)[0]
    stall = number_of(client, CHANNELS, "Stall")
    for amount, since in (("3.00", "2026-11-01"), ("3.40", "2027-01-04")):
        saved = fill(client, f"{there}/{stall}/price", f"{there}/{stall}/price", amount=amount, since=since)
        assert saved.status_code == 303, saved.text
    for day, price in (("2027-01-03", "3.00"), ("2027-01-04", "3.40"), ("", "3.00")):
        answer = client.get(f"{LISTS}?from={day}")
        assert [row[2] for row in rows_of(answer.text)] == [price]
        (row,) = table_of(client.get(f"{LISTS}?from={day}&as=csv"))
        assert row["Price, EUR"] == price
    assert row["Valid from"] == date(2026, 11, 25).isoformat()
    assert "Nothing is sold anywhere on that day yet." in client.get(f"{LISTS}?from=2026-10-31").text


def test_a_day_that_is_none_is_said_at_its_field(client: TestClient) -> None:
    kitchen(client)
    answer = client.get(f"{LISTS}?from=2026-02-30&per=100")
    assert answer.status_code == 422
    assert 'id="e-from">There is no such day.' in answer.text
    assert 'value="2026-02-30"' in answer.text


@pytest.mark.parametrize("query", ["channel=x", "channel=99999", "per=7", "order=x", "with=x", "as=pdf"])
def test_an_odd_address_shows_a_list(client: TestClient, query: str) -> None:
    example(client)
    answer = client.get(f"{LISTS}?{query}")
    assert answer.status_code == 200
    assert rows_of(answer.text)


def test_every_figure_leads_to_its_working(client: TestClient) -> None:
    example(client)
    page = client.get(f"{LISTS}?per=100").text
    hrefs = {unescape(one) for one in re.findall(r'class="opens" href="([^"]*)"', page)}
    assert len(hrefs) == 8 * 4
    titles = set()
    for href in sorted(hrefs)[:8]:
        answer = client.get(href)
        assert answer.status_code == 200
        titles.add(re.findall("<h1>([^:<]*)", answer.text)[0])
    assert titles == {"Price on the list", "Unit price", "Price of a case", "Recommended retail price"}
    assert client.get(href.replace("how/", "how/9")).status_code == 404
    assert client.get(re.sub(r"how/(\d+)/\w+", r"how/\1/zzz", href)).status_code == 404


def test_terms_contact_and_cases_are_typed_and_stand_on_the_list(client: TestClient) -> None:
    kitchen(client)
    jar(client, case_jars="6")
    product = number_of(client, PRODUCTS, "Jar")
    named = {"name": "Shops", "kind": "wholesale", "least_order": "150", "list_terms": "14 days.\r\nCarriage paid."}
    assert fill(client, f"{CHANNELS}/new", CHANNELS, named=named).status_code == 303
    shops = number_of(client, CHANNELS, "Shops")
    price = f"{PRODUCTS}/{product}/{shops}/price"
    assert fill(client, price, price, amount="5.25").status_code == 303
    workshop = "/settings/workshop"
    assert fill(client, workshop, workshop, contact="Ada\r\n1 Mill Row").status_code == 303
    page = words(client.get(LISTS).text)
    # 5.25 x 6
    for said in ("5.25 6 31.50", "Least order: €150.00.", "14 days. Carriage paid.", "Ada 1 Mill Row"):
        assert said in page, said
    edited = client.get(f"{PRODUCTS}/{product}/edit").text
    assert re.search(r'name="case_jars" value="6"', edited)
    wrong = fill(client, f"{PRODUCTS}/{product}/edit", f"{PRODUCTS}/{product}", case_jars="2.5")
    assert wrong.status_code == 422
    assert "Type a whole number." in wrong.text
