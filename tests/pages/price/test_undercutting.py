"""An own price below what stockists are to ask: asked about where it is decided, at its field. Figures are from paper.

The shops pay 2.10 and keep half of what stands on their shelf: 4.20. No tax is typed, so the buyer pays what is marked.
"""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, doubts_in, fields_in, fill
from tests.pages.workshop import CHANNELS, ORDER, ORDERS, PRODUCTS, jar, kitchen, number_of

UNDERCUTS = "Jar, Stall: at 4.00 EUR it undercuts your stockists, who are then to ask 4.20 EUR."
KEEP = f"{UNDERCUTS} Keep this price all the same?"


def decide(client: TestClient, channel: str, amount: str) -> Any:
    """The price of the jar on a channel, typed into its own form."""
    at = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}/{number_of(client, CHANNELS, channel)}/price"
    return fill(client, at, at, amount=amount)


@pytest.fixture
def shops(client: TestClient) -> TestClient:
    """The kitchen with its jar at 5.00 at the stall, and a channel of shops."""
    kitchen(client)
    wholesale = {"name": "Shops", "kind": "wholesale", "target": "10"}
    assert fill(client, f"{CHANNELS}/new", CHANNELS, named=wholesale).status_code == 303
    jar(client)
    assert decide(client, "Stall", "5").status_code == 303
    return client


def test_a_price_that_is_lowered_below_what_shops_are_to_ask_is_asked_about(shops: TestClient) -> None:
    assert decide(shops, "Shops", "2.10").status_code == 303
    asked = decide(shops, "Stall", "4")
    assert asked.status_code == 200
    assert KEEP in asked.text
    at = f"{PRODUCTS}/{number_of(shops, PRODUCTS, 'Jar')}/{number_of(shops, CHANNELS, 'Stall')}/price"
    assert shops.post(at, data={**fields_in(asked.text, at), "sure": doubts_in(asked.text)}).status_code == 303
    assert decide(shops, "Stall", "4.10").status_code == 303  # nearer than before
    assert decide(shops, "Stall", "4.20").status_code == 303  # just as the shops
    assert decide(shops, "Stall", "4.19").status_code == 200


def test_a_price_for_shops_is_asked_about_once_however_many_own_prices_are_below(shops: TestClient) -> None:
    web = {"name": "Web", "kind": "web shop", "target": "10"}
    assert fill(shops, f"{CHANNELS}/new", CHANNELS, named=web).status_code == 303
    assert decide(shops, "Stall", "4").status_code == 303
    assert decide(shops, "Web", "4.10").status_code == 303
    asked = decide(shops, "Shops", "2.10")
    assert asked.status_code == 200
    (doubt,) = doubts_in(asked.text)
    together = (
        "Jar: stockists are then to ask 4.20 EUR, and your own prices undercut them: 4.00 EUR at Stall and 4.10 EUR "
        "at Web. Keep the wholesale price all the same?"
    )
    assert together in asked.text
    at = f"{PRODUCTS}/{number_of(shops, PRODUCTS, 'Jar')}/{number_of(shops, CHANNELS, 'Shops')}/price"
    assert shops.post(at, data={**fields_in(asked.text, at), "sure": [doubt]}).status_code == 303


def test_a_price_for_shops_that_is_only_suggested_undercuts_nobody(shops: TestClient) -> None:
    assert decide(shops, "Stall", "2").status_code == 303


def test_a_price_typed_over_is_asked_about_at_its_row_with_a_way_there(shops: TestClient) -> None:
    assert decide(shops, "Shops", "2.10").status_code == 303
    mill = number_of(shops, "/buy/suppliers", "The mill")
    dearer = {"supplier": mill, "new_supplier": "", "lines-0-new_kind": "", "lines-0-price": "13"}
    looked = fill(shops, f"{ORDERS}/new", ORDERS, named={**ORDER, **dearer, "more": "preview"})
    sent = fields_in(looked.text, ORDERS)
    stall = str(number_of(shops, CHANNELS, "Stall"))
    row = next(name for name, text in sent.items() if name.endswith("-channel") and text == stall)
    typed = {row.replace("channel", "answer"): "take", row.replace("channel", "amount"): "4"}
    for more in ("", "preview"):
        asked = shops.post(ORDERS, data=changed(sent, named={**typed, "more": more}))
        (doubt,) = doubts_in(asked.text)
        assert f'<a href="#sure-{doubt}">{KEEP}</a>' in asked.text
        assert "Before it is saved" not in asked.text
        cell = asked.text.split(f'name="{row}"', 1)[1].split("</td>", 1)[0]
        assert f'id="sure-{doubt}"' in cell
    saved = shops.post(ORDERS, data={**fields_in(asked.text, ORDERS), "sure": doubts_in(asked.text)})
    assert saved.status_code == 303
    assert UNDERCUTS.replace("are then to", "are to") in shops.get(saved.headers["location"]).text


def test_a_price_of_nothing_is_asked_about_at_its_row(shops: TestClient) -> None:
    mill = number_of(shops, "/buy/suppliers", "The mill")
    dearer = {"supplier": mill, "new_supplier": "", "lines-0-new_kind": "", "lines-0-price": "13"}
    looked = fill(shops, f"{ORDERS}/new", ORDERS, named={**ORDER, **dearer, "more": "preview"})
    free = {"prices-0-answer": "take", "prices-0-amount": "0", "more": "preview"}
    asked = shops.post(ORDERS, data=changed(fields_in(looked.text, ORDERS), named=free))
    (doubt,) = doubts_in(asked.text)
    assert "would be given away" in asked.text
    assert f'id="sure-{doubt}"' in asked.text.split('name="prices-0-answer"', 1)[1].split("</td>", 1)[0]
