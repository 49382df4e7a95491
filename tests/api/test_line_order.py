"""The line sorted and in parts, as its page shows it, and what is asked for that there is not."""

from __future__ import annotations

import csv
import io
import re
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest
from openpyxl import load_workbook
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.workshop import example

LINE = "/api/line"


def asked(client: TestClient, query: str) -> Any:
    return checked(client, f"GET {LINE}", f"{LINE}?page_size=200&{query}").json()


def test_parts_and_orders_of_the_line(client: TestClient) -> None:
    example(client)
    every = asked(client, "")["items"]
    costs = [Decimal(one["cost"]) for one in every if isinstance(one["cost"], str)]
    down = [one["cost"] for one in asked(client, "sort=cost&down=true")["items"]]
    assert [Decimal(one) for one in down[: len(costs)]] == sorted(costs, reverse=True)
    assert all("gap" in one for one in down[len(costs) :])
    below = asked(client, "only=below")
    assert 0 < below["total"] < len(every)
    assert all(one["reaches"] is False for one in below["items"])
    channel = every[0]["channel"]
    theirs = asked(client, f"channel={channel}")
    assert theirs["total"] == sum(one["channel"] == channel for one in every)
    assert {one["channel"] for one in theirs["items"]} == {channel}
    assert theirs["totals"] != asked(client, "")["totals"]
    # the page shows the same rows in the same order
    page = client.get("/price?sort=cost&down=1&only=below").text
    names = [one["product_name"] for one in asked(client, "sort=cost&down=true&only=below")["items"]]
    places, at = [], page.index("<tbody")
    for name in names:
        at = page.index(f">{name}<", at + 1)
        places.append(at)
    assert places == sorted(places)


#: figure in JSON -> its column's name in the address of the page, its head in the files
EVERYWHERE = {
    "price": ("price", "Price, GBP"),
    "cost": ("cost", "Cost, GBP"),
    "contribution": ("left", "Contributes a jar before overhead, GBP"),
    "per_100_g": ("hundred", "Contributes per 100 g, GBP"),
    "per_labour_hour": ("hour", "Contributes an hour, GBP"),
    "price_per_100_g": ("price_hundred", "Price per 100 g, GBP"),
}


def page_cells(client: TestClient, columns: list[str]) -> list[list[str]]:
    page = client.get(f"/price?page=all&sort=cost&{'&'.join(f'show={one}' for one in columns)}").text
    rows = re.findall(r'<tr(?: class="short")?>\s*<th scope="row">(.*?)</tr>', page.split("<tbody>", 1)[1], re.DOTALL)
    cells = [re.findall(r'<td class="num"[^>]*>(.*?)</td>', row, re.DOTALL) for row in rows]
    return [[re.sub(r"<span.*|<[^>]+>", "", cell, flags=re.DOTALL).strip() for cell in row] for row in cells]


def test_page_json_csv_and_workbook_show_the_same_figures(client: TestClient) -> None:
    example(client)
    told = asked(client, "sort=cost")["items"]
    lines = list(csv.DictReader(io.StringIO(client.get("/price?sort=cost&as=csv").content.decode("utf-8-sig"))))
    book = load_workbook(io.BytesIO(client.get("/price?sort=cost&as=xlsx").content)).worksheets[0]
    written = [list(row) for row in book.iter_rows(values_only=True)]
    heads = next(row for row in written if row[0] == "Product")
    written = written[written.index(heads) + 1 :]
    shown = page_cells(client, [column for column, _ in EVERYWHERE.values()])
    assert len(told) == len(lines) == len(written) == len(shown) > 40
    for one, line, cells, row in zip(told, lines, written, shown, strict=True):
        assert one["product_name"] == line["Product"] == cells[0]
        for (figure, (_, head)), text in zip(EVERYWHERE.items(), row, strict=True):
            at = (line["Product"], line["Channel"], figure)
            if not isinstance(one[figure], str):
                assert (line[head], cells[heads.index(head)]) == ("", None), at
                assert text in ("", "not known", "\N{EN DASH}"), (at, text)
                continue
            rounded = Decimal(one[figure]).quantize(Decimal("0.01"), ROUND_HALF_UP)
            assert Decimal(line[head]) == rounded == Decimal(str(cells[heads.index(head)])), at
            assert Decimal(text.replace(",", "").replace("\u2212", "-").lstrip("£")) == rounded, (at, text)


@pytest.mark.parametrize(
    ("query", "field", "words"),
    [
        ("sort=colour", "sort", "Sort by one of: name, price, net, cost, "),
        ("only=dear", "only", "Ask for one of: below, unpriced, missing, stale, quoted."),
        ("channel=999", "channel", "There is no such channel."),
        ("channel=x", "channel", "There is no such channel."),
        ("down=perhaps", "down", ""),
        ("formula=999", "formula", "There is no such formula."),
        ("product=x", "product", "There is no such product."),
        ("group=day", "group", "Group by one of: formula, channel."),
    ],
)
def test_what_there_is_not_is_refused_in_words(client: TestClient, query: str, field: str, words: str) -> None:
    answer = client.get(f"{LINE}?{query}")
    assert answer.status_code == 422
    (fault,) = answer.json()["error"]["faults"]
    assert fault["field"] == field
    assert fault["sentence"].startswith(words)
    assert fault["sentence"]
