"""The price history of a material, and of a product on a channel: the same figures as the core gives."""

from __future__ import annotations

from datetime import date

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.api.test_things import tag
from webapp.api.examples import EXAMPLES
from webapp.costing.material_history import material_history
from webapp.costing.price_history import changes, held, leaning
from webapp.costing.reckoning import Reckoning


def test_a_material_s_history(client: TestClient, ids: dict[str, int], day: date) -> None:
    """Shea: 2 x 5 kg at 41.50 = 83.00 of 174.40 goods; freight 12.60 by value: 6.00 (5.9966); 89.00 / 10000 g."""
    told = client.get(f"/api/materials/{ids['shea']}/prices").json()
    (bought,) = told["bought"]
    assert (bought["unit_cost"], bought["counts"], bought["why"]) == ("0.0089", True, "counts now")
    assert bought["order"] == ids["order"]
    assert [(one["day"], one["unit_cost"], one["quote"]) for one in told["steps"]] == [("2026-03-02", "0.0089", None)]
    assert [(one["dearer"], one["counts"], one["quote"]) for one in told["offers"]] == [("0", True, None)]
    known = client.app.state.store.snapshot(day).reckoning  # type: ignore[attr-defined]
    assert len(material_history(known, ids["shea"]).bought) == 1


def test_a_quote_is_told_as_a_quote(client: TestClient, ids: dict[str, int]) -> None:
    """13.80 a kilogram, valid, not chosen: the starting price of 14.00 counts."""
    told = client.get(f"/api/materials/{ids['wax']}/prices").json()
    assert told["quotes"] == [
        {"quote": ids["quote"], "unit_cost": "0.0138", "valid": True, "chosen": False, "counts": False}
    ]
    assert [(one["quote"], one["order"]) for one in told["offers"]] == [(ids["quote"], None)]
    assert client.get(f"/api/materials/{ids['wax']}/prices?on=2026-02-01").json()["quotes"] == []


def test_a_product_s_history_on_a_channel(client: TestClient, ids: dict[str, int], day: date) -> None:
    product, channel = ids["product"], ids["channel"]
    told = client.get(f"/api/products/{product}/channels/{channel}/history").json()
    store = client.app.state.store  # type: ignore[attr-defined]
    past = store.books_of_days(store.snapshot(day), lambda book: leaning(Reckoning(book), product, (channel,)))
    days = [held(Reckoning(book), product, (channel,)) for book in past.books]
    found = changes([one[channel] for one in days if one])
    assert [one["day"] for one in told["items"]] == [one.day.isoformat() for one in found]
    assert told["thinned"] is False
    assert client.get(f"/api/products/{product}/channels/9999/history").status_code == 404


def test_a_registration_between_two_orders_is_told_beside_what_is_compared(
    client: TestClient, ids: dict[str, int]
) -> None:
    """30.00 and 20 % tax are 36.00 for a kilogram in May; registered in July, 33.00 net are 33.00 in September."""
    argan = ids["argan"]
    line = {"material": argan, "packs": "1", "size": "1", "unit": "kg", "price": "30", "tax_rate": "20"}
    body = {"supplier": ids["barn"], "day": "2026-05-01", "currency": "EUR", "lines": [line]}
    sent = client.post("/api/orders", json=body)
    assert sent.status_code == 201, sent.text
    said = {**EXAMPLES["terms"][1], "since": "2026-07-01", "registered": True}
    sent = client.put("/api/settings/terms", json=said, headers=tag(client, "/api/settings/terms"))
    assert sent.status_code == 200, sent.text
    later = {**body, "day": "2026-09-01", "lines": [{**line, "price": "33"}]}
    looked_at = checked(client, "POST /api/orders/preview", "/api/orders/preview", json=later).json()
    change = {"since": "2026-07-01", "in_cost": False}
    assert [(one["after"], one["tax"]) for one in looked_at["materials"]] == [("0.033", change)]
    assert client.post("/api/orders", json=later).status_code == 201
    told = checked(client, "GET /api/materials/{ident}/prices", f"/api/materials/{argan}/prices").json()
    assert told["tax"] == change
    assert [one["tax"] for one in told["steps"]][-2:] == [None, change]
    assert [one["tax_in_cost"] for one in told["bought"]][:2] == [False, True]
