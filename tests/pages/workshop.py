"""A small workshop, typed through the pages themselves: what the pages' tests start from."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from tests.pages.filling import fields, fill
from tests.pages.remembered import remembered

ORDERS, MATERIALS, FORMULAS = "/buy/orders", "/buy/materials", "/make/formulas"
PRODUCTS, CHANNELS, PARTS = "/price/products", "/price/channels", "/price/parts"
PEOPLE = "/settings/people"
#: what is typed for 2 kg of shea butter at 12.40 a kg, the material and its supplier made on the spot
ORDER = {
    "new_supplier": "The mill",
    "lines-0-material": "Shea butter",
    "lines-0-new_kind": "ingredient",
    "lines-0-packs": "2",
    "lines-0-size": "1",
    "lines-0-unit": "kg",
    "lines-0-price": "12.40",
}


def number_of(client: TestClient, listing: str, name: str) -> int:
    """The number of the thing of that name on a list."""
    page = client.get(listing).text
    head = page.split(f">{name}</a>", 1)[0]
    return int(head.rsplit(f'href="{listing}/', 1)[1].split('"', 1)[0])


def example(client: TestClient) -> None:
    """The invented workshop, loaded from the first page."""
    remembered(client, "example", _example)


def _example(client: TestClient) -> None:
    assert client.post("/example", data=fields(client, "/", "/example")).status_code == 303


def order(client: TestClient, **more: Any) -> Any:
    """An order of 2 kg shea butter at 12.40 a kg, the material and its supplier made on the spot."""
    named = {**ORDER, **more}
    return fill(client, f"{ORDERS}/new", ORDERS, named=named)


def kitchen(client: TestClient) -> None:
    """Shea butter bought, a formula of it in batches of 1000 g, a stall."""
    remembered(client, f"kitchen {ORDER}", _kitchen)


def _kitchen(client: TestClient) -> None:
    assert order(client).status_code == 303
    made = {"lines-0-material": "Shea butter", "lines-0-amount": "100", "batch_grams": "1000"}
    assert fill(client, f"{FORMULAS}/new", FORMULAS, name="Melt", named=made).status_code == 303
    stall = {"name": "Stall", "kind": "stall", "target": "50"}
    assert fill(client, f"{CHANNELS}/new", CHANNELS, named=stall).status_code == 303


def jar(client: TestClient, **more: Any) -> Any:
    """A jar of 100 g of the melt: 10 jars of a batch, 1.24 of shea butter in each."""
    melt = number_of(client, FORMULAS, "Melt")
    named = {"name": "Jar", "fills-0-formula": str(melt), "fills-0-declared": "100", **more}
    return fill(client, f"{PRODUCTS}/new", PRODUCTS, named=named)


def kitchen_with_a_jar(client: TestClient) -> None:
    """The kitchen, and the jar in it that `jar` defines."""
    remembered(client, f"kitchen with a jar {ORDER}", _kitchen_with_a_jar)


def _kitchen_with_a_jar(client: TestClient) -> None:
    kitchen(client)
    jar(client)
