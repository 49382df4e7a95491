"""Lowering a cost, batch sizes and working back, as pages and the interface say them. Figures are from paper."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.workshop import CHANNELS, FORMULAS, MATERIALS, PARTS, PRODUCTS, number_of
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.store.writing import Intent

D = Decimal
PAIR = "/api/products/{ident}/channels/{channel}"


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def saved(client: TestClient, day: date, *puts: Put) -> None:
    store = client.app.state.store  # type: ignore[attr-defined]
    now = store.snapshot(day)
    store.save(puts, Intent("as it is", epoch=now.epoch, version=now.version), day)


@pytest.fixture
def there(client: TestClient, day: date) -> str:
    """Shea at 10 a kg, once at 8; batches of 1000 g into jars of 100 g and 4 more, one set aside; 12 a month."""
    first = day - timedelta(40)
    orders = [
        Put(b.Order(number, -1, on, (b.OrderLine(-2, D(1), D(size), "kg", D(price)),)))
        for number, on, size, price in ((-3, first, "1", "8"), (-4, day - timedelta(9), "2", "20"))
    ]
    jars = [
        Put(b.Material(-10, "Amber jar", "packaging", holds_ml=D(120), starting=b.StartingPrice(D("0.50"), "pieces"))),
        Put(b.Material(-11, "Plain jar", "packaging", holds_ml=D(120), starting=b.StartingPrice(D("0.42"), "pieces"))),
    ]
    made = b.Formula(-5, "Melt", first, (b.FormulaLine(-2, amount=D(100)),), batch_grams=D(1000), pot_grams=D(2000))
    group = b.PartGroup(-12, "Jar and lid", first, (b.Part(-10),))
    filled = b.Product(-6, "Jar", first, (b.Fill(-5, D(100), "g", D(4)),), (b.Part(None, -12),), set_aside=D(1))
    sold = [
        Put(b.Channel(-7, "Stall", first, target=D(50))),
        Put(b.Price(-6, -7, first, D(5))),
        Put(b.Sales(-6, -7, first, D(12))),
    ]
    saved(
        client,
        day,
        Put(b.Supplier(-1, "The mill")),
        Put(b.Material(-2, "Shea butter")),
        *orders,
        *jars,
        Put(made),
        Put(group),
        Put(filled),
        *sold,
    )
    return f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}/{number_of(client, CHANNELS, 'Stall')}"


# Ingredients 10.00 / 8 and nine jars at 0.50 over 8: 1.25 + 0.5625.


def test_what_the_book_offers_with_where_it_is_done(client: TestClient, there: str) -> None:
    page = client.get(f"{there}/lower").text
    words = text(page)
    # ten of 100 g, nine good: (10 + 5) / 9; 12 of them a month
    assert "No overfill instead of 4 g how €0.15 €1.75" in words
    # nine good: (10 + 4.50) / 9
    assert "No jar of a batch set aside instead of 1 how €0.20 €2.42" in words
    # 19 jars of 104 g: (19.76 + 9.50) / 18
    assert "A batch of 1,976 g instead of 1,000 g: 18 jars instead of 8 how €0.19" in words
    # 2 a kg on 1000 g / 8
    assert "Shea butter, 1 kg from The mill: €8.000 per kg instead of €10.00 per kg, bought on" in words
    assert "Plain jar instead of Amber jar, in Jar and lid how €0.09" in words
    melt, product = number_of(client, FORMULAS, "Melt"), there.split("/")[3]
    for query in (
        f"kind=product&amp;product={product}&amp;part=overfill&amp;amount=0",
        f"kind=product&amp;product={product}&amp;part=set_aside&amp;amount=0",
        f"kind=formula&amp;formula={melt}&amp;part=batch_grams&amp;amount=1976",
        f"&amp;group={number_of(client, PARTS, 'Jar and lid')}",
    ):
        assert query in page
    (tried,) = re.findall(r'href="([^"]*kind=cost\+to[^"]*)"', page)
    assert f"material={number_of(client, MATERIALS, 'Shea butter')}&amp;amount=8.00&amp;unit=kg" in tried
    # 8 x 1000 g over 8 jars, and the nine jars
    assert "€1.56 now €1.81" in text(client.get(unescape(tried)).text)
    assert f'href="{there}/lower"' in client.get(there.rsplit("/", 1)[0]).text


def test_each_gain_opens_and_its_link_begins_a_what_if(client: TestClient, there: str) -> None:
    page = client.get(f"{there}/lower").text
    opened = text(client.get(f"{there}/lower/1").text)
    assert "€1.8125 a jar costs now" in opened
    assert client.get(f"{there}/lower/99").status_code == 404
    link = next(one for one in re.findall(r'href="([^"]*what-if[^"]*)"', page) if "set_aside" in one)
    begun = client.get(unescape(link)).text
    assert "Accept what counts" in begun
    assert "jars set aside" in text(begun)
    assert client.get("/decide/what-if?kind=nonsense&product=1").status_code == 200
    assert "Type how much." in text(client.get("/decide/what-if?kind=product&part=overfill").text)


def test_sizes_in_a_plot_and_a_table_each_opened(client: TestClient, there: str) -> None:
    page = client.get(f"{there}/batch").text
    words = text(page)
    assert "A jar costs least in a batch of 1,976 g, which fills 18: €0.19 less than now." in words
    # 14 jars of 104 g out of 1500 g, 13 good: (15 + 7) / 13
    assert "1,500 g how 13 44 g €1.69 −€0.12" in words
    assert "2,000 g all that the pot takes" in words
    assert 'class="plot"' in page
    assert "€1.69" in text(client.get(f"{there}/batch/1500").text)
    assert client.get(f"{there}/batch/plenty").status_code == 404


def test_what_is_unsaid_of_the_pot_is_asked_for(client: TestClient, there: str, day: date) -> None:
    melt = number_of(client, FORMULAS, "Melt")
    made = client.app.state.store.snapshot(day).book.formulas[melt]  # type: ignore[attr-defined]
    assert "the pot takes 2,000" in text(client.get(f"{FORMULAS}/{melt}").text)
    saved(client, day, Put(replace(made, pot_grams=None)))
    for page in ("lower", "batch"):
        assert f'href="{FORMULAS}/{melt}/edit#f-pot_grams"' in client.get(f"{there}/{page}").text
    assert 'name="pot_grams"' in client.get(f"{FORMULAS}/{melt}/edit").text


def test_a_price_is_worked_back(client: TestClient, there: str) -> None:
    channel = there.rsplit("/", maxsplit=1)[-1]
    words = text(client.get(f"{there.rsplit('/', 1)[0]}/try?channel={channel}&amount=4").text)
    # half of 4 may be spent; 0.5625 of that is the jar
    assert "The jar may cost at most €2.00" in words
    assert "Its ingredients may cost €1.43" in words
    assert "No hours of your own go into it" in words


def test_the_interface_tells_the_same(client: TestClient, there: str) -> None:
    product, channel = there.split("/")[-2:]
    address = f"/api/products/{product}/channels/{channel}"
    told = checked(client, f"GET {PAIR}/lower", f"{address}/lower?workings=true").json()
    assert [one["kind"] for one in told["items"]] == ["cheaper pack", "set aside", "batch", "overfill", "other jar"]
    assert told["items"][0]["gain"] == "0.25"
    assert told["items"][0]["working"]["result"] == "0.25"
    told = checked(client, f"GET {PAIR}/batches", f"{address}/batches").json()
    assert (told["most"], told["cheapest"]["grams"], told["present"]["jars"]) == ("2000", "1976", "8")
    told = checked(client, f"GET {PAIR}/try", f"{address}/try?amount=4").json()
    assert (told["back"]["highest_cost"], told["back"]["ingredients"]) == ("2", "1.4375")
