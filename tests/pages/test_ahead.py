"""Acts on things of a day ahead: what the page says, and how they are taken back."""

from __future__ import annotations

from datetime import date

from starlette.testclient import TestClient

from tests.pages.filling import fields, fields_in, fill
from tests.pages.workshop import CHANNELS, MATERIALS, number_of, order


def test_a_channel_of_a_day_ahead_is_not_put_away_but_taken_back(client: TestClient) -> None:
    fair = {"name": "Fair", "kind": "stall", "target": "50", "since": "2026-12-20"}
    made = fill(client, f"{CHANNELS}/new", CHANNELS, named=fair)
    assert made.status_code == 303, made.text
    (there,) = client.get("/api/channels").json()["items"]
    where = f"{CHANNELS}/{there['id']}/retire"
    sent = {**fields(client, f"{CHANNELS}/new", CHANNELS)}
    answer = client.post(where, data={name: sent[name] for name in ("token", "epoch", "version")})
    assert answer.status_code == 422
    assert "It exists from 2026-12-20 on: before that day there is nothing to put away." in answer.text
    assert "any more" not in answer.text
    undo = answer.text.split('action="/undo/', 1)[1].split('"', 1)[0]
    back = client.post(f"/undo/{undo}", data=fields_in(answer.text, f"/undo/{undo}"))
    assert back.status_code == 303
    assert client.get("/api/channels").json()["total"] == 0


def test_a_quote_of_a_day_ahead_is_taken_back(client: TestClient, day: date) -> None:
    assert order(client).status_code == 303
    shea, mill = number_of(client, MATERIALS, "Shea butter"), number_of(client, "/buy/suppliers", "The mill")
    quote = {"material": str(shea), "supplier": str(mill), "since": "2026-12-20", "until": "2027-01-20"}
    quote |= {"size": "1", "unit": "kg", "price": "9"}
    made = fill(client, "/buy/quotes/new", "/buy/quotes", named=quote)
    assert made.status_code == 303, made.text
    (there,) = client.get("/api/quotes").json()["items"]
    assert there["since"] > day.isoformat()
    where = f"/buy/quotes/{there['id']}/withdraw"
    sent = fields(client, "/buy/quotes/new", "/buy/quotes")
    answer = client.post(where, data={name: sent[name] for name in ("token", "epoch", "version")})
    assert answer.status_code == 303, answer.text
    assert client.get("/api/quotes").json()["total"] == 0
    assert client.post("/buy/quotes/9999/withdraw", data=sent).status_code == 404
