"""A price list as JSON: described, the same on the page and in both kinds of file, and told what it may be asked."""

from __future__ import annotations

import csv
import io
import re
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.workshop import CHANNELS, example, number_of

LISTS, OPERATION = "/price/lists", "GET /api/price-lists/{channel}"
#: the head of a file's column -> the figure's name in JSON
HEADS = {
    "Price each, GBP": "price",
    "Price, GBP": "price",
    "Per kg or L, GBP": "unit_price",
    "Per 100 g or 100 mL, GBP": "unit_price",
    "In a case": "case_jars",
    "Price a case, GBP": "case_price",
    "Recommended retail, GBP": "recommended_retail",
}


def told(client: TestClient, channel: int, query: str = "") -> Any:
    return checked(client, OPERATION, f"/api/price-lists/{channel}?{query}").json()


def by_page(page: str) -> list[list[str]]:
    table = page.split("<tbody>", 1)[1].split("</tbody>", 1)[0]
    rows = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in table.split("<tr>")[1:]]
    return [
        [unescape(re.sub(r'<span class="under">.*?</span>|<[^>]+>', "", cell)).strip() for cell in row] for row in rows
    ]


def by_workbook(content: bytes) -> list[dict[str, Any]]:
    from openpyxl import load_workbook

    page = load_workbook(io.BytesIO(content)).worksheets[0]
    rows = [list(row) for row in page.iter_rows(values_only=True)]
    head = next(place for place, row in enumerate(rows) if row[0] == "Product")
    table = [row for row in rows[head + 1 :] if row[1] is not None]
    return [dict(zip(rows[head], row, strict=True)) for row in table]


@pytest.mark.parametrize("name", ["Shops, wholesale", "Market stall", "Own web shop", "Salon on consignment"])
@pytest.mark.parametrize("query", ["", "per=1000&order=formula", "per=100&suggested=1"])
def test_page_json_csv_and_workbook_say_the_same(client: TestClient, name: str, query: str) -> None:
    example(client)
    channel = number_of(client, CHANNELS, name)
    rows = told(client, channel, query)["rows"]
    address = f"{LISTS}?channel={channel}&{query}"
    sheet = csv.DictReader(io.StringIO(client.get(f"{address}&as=csv").content.decode("utf-8-sig"), newline=""))
    lines, cells = list(sheet), by_page(client.get(address).text)
    book = by_workbook(client.get(f"{address}&as=xlsx").content)
    assert len(rows) == len(lines) == len(cells) == len(book) > 0
    for row, line, shown, written in zip(rows, lines, cells, book, strict=True):
        assert row["name"] == line["Product"] == shown[0] == written["Product"]
        for head, text in line.items():
            if head in HEADS:
                figure = row[HEADS[head]]
                assert (figure is None) == (text == "") == (written[head] is None), head
                if figure is not None:
                    assert Decimal(figure) == Decimal(text) == Decimal(str(written[head])), (row["name"], head)
                    assert text in shown or f"{Decimal(text):,}" in shown
        assert written["Valid from"].date().isoformat() == line["Valid from"]


def test_the_workings_end_in_the_figures_of_the_list(client: TestClient) -> None:
    example(client)
    channel = number_of(client, CHANNELS, "Shops, wholesale")
    for row in told(client, channel, "workings=true&per=1000")["rows"]:
        sums = row["workings"]
        assert set(sums) == {"price", "unit_price", "case_price", "recommended_retail"}
        assert all(sums[name]["result"] == row[name] for name in ("price", "unit_price", "case_price"))


def test_what_is_left_off_is_a_gap_with_its_cure(client: TestClient) -> None:
    example(client)
    stall = number_of(client, CHANNELS, "Market stall")
    found = told(client, stall)
    left = {one["name"]: one["gap"]["gap"] for one in found["left_off"]}
    assert left["Whipped curl butter 240 mL"]["cure"]["field"] == f"price-{stall}"
    assert {one["name"] for one in told(client, stall, "suggested=true")["left_off"]} < set(left)
    assert found["workshop_name"] == "Wendlemoor Hair Kitchen"
    assert found["contact"].startswith("Maud and Osk")


@pytest.mark.parametrize(
    ("query", "field"), [("order=price", "order"), ("per=50", "per"), ("suggested=x", "suggested")]
)
def test_what_can_not_be_asked_is_said(client: TestClient, query: str, field: str) -> None:
    example(client)
    answer = client.get(f"/api/price-lists/{number_of(client, CHANNELS, 'Market stall')}?{query}")
    assert answer.status_code == 422
    assert field in answer.text
    assert client.get("/api/price-lists/99999").status_code == 404
