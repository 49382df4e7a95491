"""What may still rise, as its page and the interface say it. Expected figures are from paper."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.filling import fill
from tests.pages.workshop import CHANNELS, MATERIALS, PRODUCTS, kitchen_with_a_jar, number_of


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def priced(client: TestClient, amount: str) -> str:
    """A jar of 100 g of shea butter that costs 1.24, sold for `amount` at a target of 50 %."""
    kitchen_with_a_jar(client)
    there = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}/{number_of(client, CHANNELS, 'Stall')}"
    assert fill(client, f"{there}/price", f"{there}/price", amount=amount).status_code == 303
    return there


def test_each_thing_with_its_rise_rounded_down_and_its_sum(client: TestClient) -> None:
    there = priced(client, "3.00")
    page = text(client.get(f"{there}/room").text)
    # 3.00 x 0.5 - 1.24 = 0.26; over 100 g 2.60 a kg of 12.40, 20.967 %; of 3.00 net 8.666 %
    assert "Shea butter how €12.40 per kg €2.600 per kg 20.9 %" in page
    assert "Share of the price net of tax how 0 % 8.6 % –" in page
    assert f'href="{there}/room"' in client.get(there.rsplit("/", 1)[0]).text
    shea = number_of(client, MATERIALS, "Shea butter")
    opened = text(client.get(f"{there}/room/material-{shea}").text)
    assert "€0.26 that a jar may still cost more" in opened
    assert "100 g of Shea butter that a jar pays for, losses in it = €0.002600 per g" in opened
    assert "€0.26" in text(client.get(f"{there}/room/margin").text)
    assert client.get(f"{there}/room/material-99").status_code == 404


def test_what_misses_its_target_would_have_to_fall(client: TestClient) -> None:
    page = text(client.get(f"{priced(client, '2.00')}/room").text)
    assert "Its target is missed already" in page
    assert "−€2.400 per kg" in page


@pytest.mark.parametrize("workings", ["", "?workings=true"])
def test_the_interface_tells_the_same(client: TestClient, workings: str) -> None:
    product, channel = priced(client, "3.00").split("/")[-2:]
    operation = "GET /api/products/{ident}/channels/{channel}/room"
    told = checked(client, operation, f"/api/products/{product}/channels/{channel}/room{workings}").json()
    assert told["spare"] == "0.26"
    first = told["items"][0]
    assert (first["name"], first["kind"], first["may_rise"]) == ("Shea butter", "material", "0.0026")
    assert ("working" in first) == bool(workings)
