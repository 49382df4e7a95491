"""A week's hours on the page. Expected figures are from paper."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.pages.decide.test_pay import text
from tests.pages.filling import fill
from tests.pages.workshop import CHANNELS, PRODUCTS, example, jar, kitchen, number_of

HOURS = "/decide/hours"


def two(client: TestClient) -> tuple[int, int, int]:
    """Two jars of 1.24: one at 3.24 takes six own minutes, one at 6.24 half an hour. The week's hours are not said."""
    kitchen(client)
    anna = {"name": "Anna", "whose": "own", "wage-per_hour": "15"}
    assert fill(client, "/settings/people/new", "/settings/people", named=anna).status_code == 303
    person = number_of(client, "/settings/people", "Anna")
    for name, minutes in (("Jar", "6"), ("Slow jar", "30")):
        work = {"work-0-person": str(person), "work-0-per_jar": minutes}
        assert jar(client, name=name, **work).status_code == 303
    stall = number_of(client, CHANNELS, "Stall")
    quick, slow = number_of(client, PRODUCTS, "Jar"), number_of(client, PRODUCTS, "Slow jar")
    for product, amount in ((quick, "3.24"), (slow, "6.24")):
        there = f"{PRODUCTS}/{product}/{stall}/price"
        assert fill(client, there, there, amount=amount).status_code == 303
    return quick, slow, stall


def test_an_empty_line_says_what_to_do(client: TestClient) -> None:
    assert "The line is empty." in client.get(HOURS).text


def test_hours_that_are_not_known_are_asked_for(client: TestClient) -> None:
    two(client)
    assert "How many hours there are in a week is not known." in text(client.get(HOURS).text)


def test_nothing_asked_for_is_said(client: TestClient) -> None:
    two(client)
    assert "Nothing is asked for" in text(client.get(f"{HOURS}?hours=5").text)


def test_a_week_by_hand(client: TestClient) -> None:
    quick, slow, stall = two(client)
    asked = {"hours": "3.2", f"jars-{quick}-{stall}": "20", f"jars-{slow}-{stall}": "8"}
    page = client.get(HOURS, params=asked).text
    words = text(page)
    # before own pay 2.00 for 0.1 h: 20 an hour; 5.00 for 0.5 h: 10. Two hours, then 1.2 hours are 2.4 jars
    assert "An hour more would go to Slow jar, Stall." in words
    assert "Contributes before own pay €52.00" in words
    assert "in whole jars €50.00" in words
    assert "An hour more would bring €10.00" in words
    assert "€10.00 , how it comes about: Slow jar, Stall, an own hour 8 2.4 2 1.2 h €12.00" in words
    links = {unescape(one) for one in re.findall(rf'href="({HOURS}/how/[^"]+)"', page)}
    assert len(links) == 3
    for link in links:
        assert client.get(link).status_code == 200, link
    assert "× 2.4 jars a week = €12.00" in text(client.get(next(one for one in links if "contribution" in one)).text)


@pytest.mark.parametrize(("name", "typed"), [("hours", "-3"), ("jars", "many")])
def test_what_can_t_be_read_is_said_at_its_field_and_kept(client: TestClient, name: str, typed: str) -> None:
    quick, _, stall = two(client)
    field = f"jars-{quick}-{stall}" if name == "jars" else name
    answer = client.get(HOURS, params={field: typed})
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert f'name="{field}" value="{typed}"' in answer.text


def test_what_there_is_not_is_not_found(client: TestClient) -> None:
    two(client)
    assert client.get(f"{HOURS}/how/used").status_code == 404
    assert client.get(f"{HOURS}/how/colour?hours=3").status_code == 404


def test_the_example_fills_its_planned_hours(client: TestClient) -> None:
    example(client)
    words = text(client.get(HOURS).text)
    # 72 hours of making planned a month x 12 / 52 = 16.615…
    assert "Empty: 16.62 h, of the hours of making planned a month." in words
    assert "All that can be sold is made" in words
    short = text(client.get(f"{HOURS}?hours=6").text)
    assert "The hours run out." in short
    assert "left out" in short
