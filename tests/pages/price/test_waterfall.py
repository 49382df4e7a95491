"""The page that says why a margin moved: its steps in words and figures, each opened; days that it can't begin at."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.workshop import CHANNELS, PRODUCTS, number_of
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.pages.price.waterfall_drawn import Stage, drawn
from webapp.store.writing import Intent

D = Decimal
OPERATION = "GET /api/products/{ident}/channels/{channel}/why"


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def bought(number: int, day: date, price: str) -> Put:
    return Put(b.Order(number, -1, day, (b.OrderLine(-2, D(1), D(1), "kg", D(price)),)))


@pytest.fixture
def there(client: TestClient, day: date) -> str:
    """A jar of 100 g of shea bought at 12.40 a kg 40 days ago and at 13.40 ten days ago, sold at 3.00; 20 a month."""
    first, store = day - timedelta(40), client.app.state.store  # type: ignore[attr-defined]
    puts = [
        Put(b.Supplier(-1, "The mill")),
        Put(b.Material(-2, "Shea butter")),
        bought(-3, first, "12.40"),
        bought(-4, day - timedelta(10), "13.40"),
        Put(b.Formula(-5, "Melt", first, (b.FormulaLine(-2, amount=D(100)),), batch_grams=D(1000))),
        Put(b.Product(-6, "Jar", first, (b.Fill(-5, D(100)),))),
        Put(b.Channel(-7, "Stall", first, target=D(50))),
        Put(b.Price(-6, -7, day - timedelta(30), D(3))),
        Put(b.Sales(-6, -7, day - timedelta(30), D(20))),
    ]
    now = store.snapshot(day)
    store.save(puts, Intent("a jar", epoch=now.epoch, version=now.version), day)
    return f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}/{number_of(client, CHANNELS, 'Stall')}"


def test_it_begins_where_the_price_was_accepted_and_names_what_moved(client: TestClient, there: str) -> None:
    page = text(client.get(f"{there}/why").text)
    # 1 a kg more on 100 g is 0.10 of 3.00: 3.333 points; 20 jars a month lose 2.00 by it
    assert "what a jar leaves moved by −€0.10, its margin by −3.3 points: 58.7 % then, 55.3 % now" in page
    assert "At 20 jars a month that is −€2.00 a month." in page
    assert "Price of Shea butter how −€0.10 −3.3" in page


def test_a_step_opens_to_both_prices_and_the_whole_to_all_steps(client: TestClient, there: str) -> None:
    page = client.get(f"{there}/why").text
    since = re.search(r'href="([^"]*/why/1\?since=[^"]*)"', page)
    assert since is not None
    opened = text(client.get(since[1]).text)
    assert "€0.01240 per g it cost on that day" in opened
    assert "100 g of Shea butter that a jar of now pays for, losses in it = −€0.10" in opened
    whole = text(client.get(since[1].replace("/why/1", "/why/margin")).text)
    assert "58.667 % margin on that day" in whole
    assert client.get(since[1].replace("/why/1", "/why/2")).status_code == 404
    assert client.get(f"{there}/why/1?since=nonsense").status_code == 404


def test_days_before_and_after_what_moved(client: TestClient, there: str, day: date) -> None:
    later = text(client.get(f"{there}/why?since={day - timedelta(5)}").text)
    assert "Nothing moved it" in later
    early = text(client.get(f"{there}/why?since={day - timedelta(50)}").text)
    assert "It was not there yet on that day" in early


@pytest.mark.parametrize(
    ("since", "words"), [("2026-02-31", "There is no such day"), ("2199-01-01", "Choose a day before")]
)
def test_a_day_that_is_none_is_said_at_its_field(client: TestClient, there: str, since: str, words: str) -> None:
    answer = client.get(f"{there}/why?since={since}")
    assert answer.status_code == 422
    assert words in text(answer.text)
    assert f'value="{since}"' in answer.text


def test_the_product_the_line_and_the_first_page_lead_there(client: TestClient, there: str, day: date) -> None:
    assert f'href="{there}/why"' in client.get(there.rsplit("/", 1)[0]).text
    assert f'href="{there}/why"' in client.get(f"{there}/opened").text
    assert f'href="{there}/why"' not in client.get("/").text
    store = client.app.state.store  # type: ignore[attr-defined]
    product, channel = (int(one) for one in there.split("/")[-2:])
    now = store.snapshot(day)
    store.save(
        [Put(b.Price(product, channel, day, D("2.50")))], Intent("less", epoch=now.epoch, version=now.version), day
    )
    assert f'href="{there}/why"' in client.get("/").text  # 1.16 of 2.50 is 46.4 %


def test_the_interface_tells_the_same(client: TestClient, there: str, day: date) -> None:
    product, channel = there.split("/")[-2:]
    address = f"/api/products/{product}/channels/{channel}/why"
    told = checked(client, OPERATION, f"{address}?since={day - timedelta(30)}&workings=true").json()
    assert [(one["words"], one["profit"]) for one in told["moves"]] == [("price of Shea butter", "-0.1")]
    assert told["profit"] == "-0.1"
    assert told["then"]["profit"] == "1.76"
    assert told["moves"][0]["working"]["result"] == "-0.1"
    assert "gap" in checked(client, OPERATION, f"{address}?since={day - timedelta(50)}").json()
    for wrong in (str(day), "yesterday"):
        answer = client.get(f"{address}?since={wrong}")
        assert [one["field"] for one in answer.json()["error"]["faults"]] == ["since"]


def test_the_drawing_goes_from_mark_to_mark_and_no_bar_is_wider_than_it() -> None:
    stages = [
        Stage("then", "2", D(2), D(2), end=True),
        Stage("less", "-1", D(2), D(1)),
        Stage("more", "+0.5", D(1), D("1.5")),
        Stage("now", "1.5", D("1.5"), D("1.5"), end=True),
    ]
    made = drawn("title", "words", stages, str)
    # the scale is 1 to 2 over 312 units from 24 on; a mark is 4 wide
    assert [(bar.x, bar.width, bar.at, bar.look) for bar in made.bars] == [
        ("334", "0", "336", ""),
        ("24", "312", "24", "down"),
        ("24", "156", "180", "up"),
        ("178", "0", "180", ""),
    ]
