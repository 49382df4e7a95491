"""Break-even and pay on the page. Expected figures are from paper, by method.md section 9."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fill
from tests.pages.workshop import CHANNELS, PRODUCTS, example, kitchen_with_a_jar, number_of

PAY = "/decide/pay"


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def priced(client: TestClient, amount: str = "3.24") -> tuple[int, int]:
    """A jar that costs 1.24 of shea butter, sold at 3.24: it contributes 2.00, nobody's time in it."""
    kitchen_with_a_jar(client)
    product, stall = number_of(client, PRODUCTS, "Jar"), number_of(client, CHANNELS, "Stall")
    there = f"{PRODUCTS}/{product}/{stall}/price"
    assert fill(client, there, there, amount=amount).status_code == 303
    return product, stall


def sold(client: TestClient, amount: str = "3.24", jars: str = "100", bills: str = "50") -> tuple[int, int]:
    product, stall = priced(client, amount)
    there = f"{PRODUCTS}/{product}/{stall}/sales"
    assert fill(client, there, there, jars=jars).status_code == 303
    if bills:
        named = {"name": "Bench rent", "a_month": bills}
        assert fill(client, "/settings/bills/new", "/settings/bills", named=named).status_code == 303
    return product, stall


def test_an_empty_line_says_what_to_do(client: TestClient) -> None:
    assert "The line is empty." in client.get(PAY).text


def test_without_sales_it_leads_to_typing_them(client: TestClient) -> None:
    priced(client)
    page = client.get(PAY).text
    assert "No jars sold a month are typed in yet." in page
    (link,) = re.findall(r'class="button" href="([^"]+)">Type jars sold a month', page)
    assert client.get(link).status_code == 200


def test_a_month_by_hand(client: TestClient) -> None:
    sold(client)
    page = text(client.get(PAY).text)
    # 50 of bills / 2.00 a jar: 25 of 100 jars, 25 x 3.24 = 81.00; room 75 jars, 243.00, 75 %; 200 / 150 = 1.33
    for words in ("200.00", " 25 ", "81.00", " 75 ", "243.00", "75.0 %", " 1.33 "):
        assert words in page, words


def test_a_wanted_income_is_set_beside_the_bills(client: TestClient) -> None:
    sold(client)
    page = text(client.get(f"{PAY}?income=100").text)
    # (50 + 100) / 2.00 = 75 jars, 75 x 3.24 = 243.00
    assert "For €100.00 a month" in page
    assert "Jars to sell a month 75" in page
    assert "€243.00" in page


@pytest.mark.parametrize(
    ("by", "words"),
    [
        # 3.564 is 3.56: 0.32 more, of then 2.32 that is 13.79 %, 13 jars of 100
        ("10", "May lose up to 13.7 % of its jars: 13 of 100 a month."),
        # 2.916 is 2.92: 0.32 less, of then 1.68 that is 19.047 %, so 19.1 and 20 jars
        ("-10", "Needs 19.1 % more jars: 20 beside the 100 a month."),
        ("-70", "It would contribute nothing: no number of jars makes up for that."),
    ],
)
def test_a_price_change_against_jars(client: TestClient, by: str, words: str) -> None:
    sold(client)
    assert words in text(client.get(f"{PAY}?by={by}").text)


def test_what_contributes_nothing_is_said_in_words(client: TestClient) -> None:
    sold(client, "1.24")
    page = text(client.get(f"{PAY}?by=10").text)
    assert "It contributes nothing now, so any loss of jars is made up for." in page
    assert "no number of jars covers it" in page
    sold_low = text(client.get(f"{PAY}?by=0").text)
    assert "It stays as it is." in sold_low


@pytest.mark.parametrize(("name", "typed"), [("income", "lots"), ("by", "-100"), ("income", "1.5.5")])
def test_what_can_t_be_read_is_said_at_its_field_and_kept(client: TestClient, name: str, typed: str) -> None:
    sold(client)
    answer = client.get(PAY, params={name: typed})
    assert answer.status_code == 422
    assert f'id="e-{name}"' in answer.text
    assert f'name="{name}" value="{typed}"' in answer.text
    assert "What breaks even" in answer.text


def test_every_figure_opens_to_its_sum(client: TestClient) -> None:
    sold(client)
    page = client.get(f"{PAY}?income=100&amp;by=10".replace("&amp;", "&")).text
    links = {unescape(one) for one in re.findall(rf'href="({PAY}/[^"]+)"', page)}
    assert len(links) == 19
    for link in links:
        assert client.get(link).status_code == 200, link
    even = text(client.get(f"{PAY}/how/after/jars").text)
    assert "100 jars sold a month now × €50.00 to be covered a month ÷ €200.00 contribution" in even


@pytest.mark.parametrize(
    "there", ["how/after/nothing", "how/sideways/jars", "how/income/jars", "hour/999", "price/1/1", "price/999/1?by=5"]
)
def test_what_there_is_not_is_not_found(client: TestClient, there: str) -> None:
    sold(client)
    assert client.get(f"{PAY}/{there}").status_code == 404


def test_the_example_shows_what_an_hour_pays(client: TestClient) -> None:
    example(client)
    page = client.get(f"{PAY}?income=800&by=-10").text
    words = text(page)
    assert page.count('class="plot"') == 2
    assert "Product by product" in words
    assert "2 products without jars sold a month are left out" in words
    # the same as on paper: the line's hour in tests/costing/test_pay.py is held against fractions
    assert "47.46" in words.split("An hour of yours pays")[1][:12]
