"""The price history of a material, and of a product on a channel: the same figures as the core gives."""

from __future__ import annotations

from datetime import date

from starlette.testclient import TestClient

from webapp.costing.material_history import material_history
from webapp.costing.price_history import leaning, price_history
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
    books, _ = store.books_of_days(store.snapshot(day), lambda book: leaning(Reckoning(book), product, (channel,)))
    found = price_history(map(Reckoning, books), product, channel)
    assert [one["day"] for one in told["items"]] == [one.day.isoformat() for one in found]
    assert told["thinned"] is False
    assert client.get(f"/api/products/{product}/channels/9999/history").status_code == 404
