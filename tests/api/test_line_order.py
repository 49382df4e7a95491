"""The line sorted and in parts, as its page shows it, and what is asked for that there is not."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
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
