"""What was saved lately: newest first, with an undo or the later change in its way; and one change in full.

The kitchen's jar holds 1.24 of shea butter and sells at 2.50; at 20.00 a kg 4.00 is suggested (see test_impact).
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields_in, fill
from tests.pages.test_impact import answered, dearer, price_now, priced, said
from tests.pages.workshop import MATERIALS, ORDERS, PRODUCTS, number_of
from webapp.pages.changes import ON_A_PAGE
from webapp.store.backups import ASKED

__all__ = ["priced"]  # a fixture
CHANGES = "/changes"


def rows(client: TestClient, at: str = CHANGES) -> list[str]:
    """The rows of the page, the newest first."""
    return said(client.get(at)).split("<tbody>", 1)[1].split("</tbody>", 1)[0].split("<tr>")[1:]


def change_of(answer: Any) -> int:
    """The number of the change that a save went on with."""
    return int(answer.headers["location"].split("done=", 1)[1].split("#", 1)[0])


@pytest.fixture
def decided(priced: TestClient) -> tuple[TestClient, str, int]:
    """The dearer order saved with the new price: the client, the order's page, the change."""
    kept = priced.post(ORDERS, data=answered(dearer(priced), **{"prices-0-answer": "take"}))
    return priced, kept.headers["location"].split("?", 1)[0], change_of(kept)


def test_the_newest_stands_first_and_is_undone_from_there(decided: tuple[TestClient, str, int]) -> None:
    client, _, number = decided
    newest, *older = rows(client)
    assert f'href="{CHANGES}/{number}"' in newest
    assert "with one new price" in newest
    assert "Order saved" in newest
    action = f"/undo/{number}?kind=changes"
    done = client.post(action, data=fields_in(client.get(CHANGES).text, action))
    assert done.headers["location"].startswith(f"{CHANGES}?done=")
    assert price_now(client) == "2.50"
    undoing, undone, *_ = rows(client)
    assert f'It took back an earlier one: <a href="{CHANGES}/{number}"' in undoing
    assert f'It was taken back: <a href="{CHANGES}/{change_of(done)}"' in undone
    assert len(older) + 2 == len(rows(client))


def test_a_later_change_of_the_same_is_named_where_it_is_in_the_way(decided: tuple[TestClient, str, int]) -> None:
    client, order, number = decided
    again = fill(client, f"{order}/edit", order, named={"lines-0-price": "21"})
    later = change_of(again)
    newest, held, *_ = rows(client)
    assert f'action="/undo/{later}?' in newest
    assert f'Undo first what changed it again or uses it: <a href="{CHANGES}/{later}">Order saved' in held
    refused = client.post(f"/undo/{number}", data={"token": "x" * 12})
    assert refused.status_code == 409
    assert "This was changed again on" in refused.text
    # once the later one is taken back, the earlier one can be
    assert client.post(f"/undo/{later}", data={"token": "y" * 12}).status_code == 303
    assert f'action="/undo/{number}?' in "".join(rows(client))
    assert client.post(f"/undo/{number}", data={"token": "z" * 12}).status_code == 303


def test_what_is_used_by_a_later_change_is_not_offered(priced: TestClient) -> None:
    """The formula uses the shea butter; the orders that made the material can't go."""
    shea = number_of(priced, MATERIALS, "Shea butter")
    every = "".join(rows(priced))
    items = priced.get("/api/changes?page_size=200").json()["items"]
    made = [one for one in items if {"kind": "material", "id": shea} in one["about"]][-1]
    assert made["can_undo"] is False
    assert f'action="/undo/{made["version"]}?' not in every
    assert priced.post(f"/undo/{made['version']}", data={"token": "x" * 12}).status_code == 409


def test_json_says_the_same(decided: tuple[TestClient, str, int]) -> None:
    client, _, number = decided
    newest, second, *_ = client.get("/api/changes").json()["items"]
    (price,) = newest["prices"]
    assert (newest["version"], newest["can_undo"], newest["held_up_by"]) == (number, True, None)
    assert (price["amount"], price["holds"]) == ("4", True)
    # its 2.50 of an earlier day stands: what the order decided is a price of its own day
    assert second["version"] == number - 1
    older = client.get(f"/api/changes?before={number}").json()["items"]
    assert older[0] == second
    assert client.get("/api/changes?before=0").status_code == 422


def test_pages_of_changes_go_on_where_the_last_ended(priced: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    every = [re.search(r"/changes/(\d+)", row)[1] for row in rows(priced)]  # type: ignore[index]
    monkeypatch.setattr("webapp.pages.changes.ON_A_PAGE", 2)
    at, seen = CHANGES, []
    while at:
        page = priced.get(at).text
        seen += [re.search(r"/changes/(\d+)", row)[1] for row in rows(priced, at)]  # type: ignore[index]
        more = re.search(r'href="(/changes\?before=\d+)"', page)
        at = more[1] if more else ""
    assert seen == every


def test_every_page_leads_there(priced: TestClient) -> None:
    assert f'href="{CHANGES}"' in priced.get("/").text.split("</main>", 1)[0]
    assert f'href="{CHANGES}"' in priced.get(ORDERS).text


@pytest.mark.parametrize("number", ["0", "x", "999", "01"])
def test_a_change_that_is_none_is_no_page(priced: TestClient, number: str) -> None:
    assert priced.get(f"{CHANGES}/{number}").status_code == 404


# --- what was decided with an order


def test_after_an_order_its_prices_are_a_press_away(decided: tuple[TestClient, str, int]) -> None:
    client, order, number = decided
    page = client.get(f"{order}?done={number}").text
    assert f'href="{CHANGES}/{number}">See what was decided with it, and what was not' in page
    full = said(client.get(f"{CHANGES}/{number}"))
    product, stall = number_of(client, PRODUCTS, "Jar"), number_of(client, "/price/channels", "Stall")
    assert f'href="{PRODUCTS}/{product}#c-{stall}">Jar, Stall</a>: <span' in full
    assert f'id="c-{stall}"' in client.get(f"{PRODUCTS}/{product}").text
    assert "Nothing is left" in full


def test_what_was_not_decided_is_said(priced: TestClient) -> None:
    number = change_of(priced.post(ORDERS, data=answered(dearer(priced))))
    full = said(priced.get(f"{CHANGES}/{number}"))
    assert "Prices decided with it" not in full
    assert "Jar, Stall" in full.split("Not decided with it", 1)[1]


def test_prices_of_an_order_that_is_taken_back_are_named_and_taken_back_together(
    decided: tuple[TestClient, str, int],
) -> None:
    client, order, _ = decided
    page = client.get(f"{order}/without")
    gone = client.post(f"{order}/withdraw", data=fields_in(page.text, f"{order}/withdraw"))
    number = change_of(gone)
    told = client.get(gone.headers["location"]).text
    assert "One price decided with it holds still." in told
    assert f'href="{CHANGES}/{number}">See these prices, or take them back too' in told
    assert price_now(client) == "4.00"
    full = client.get(f"{CHANGES}/{number}")
    assert "Prices that hold still" in full.text
    action = f"{CHANGES}/{number}/prices"
    back = client.post(action, data=fields_in(full.text, action))
    assert back.status_code == 303
    assert price_now(client) == "2.50"
    assert "Prices that hold still" not in client.get(f"{CHANGES}/{number}").text
    undo = change_of(back)
    assert client.post(f"/undo/{undo}", data={"token": "u" * 12}).status_code == 303
    assert price_now(client) == "4.00"


def test_a_price_of_the_same_day_before_the_order_holds_again(priced: TestClient) -> None:
    product, stall = number_of(priced, PRODUCTS, "Jar"), number_of(priced, "/price/channels", "Stall")
    at = f"{PRODUCTS}/{product}/{stall}/price"
    today = fields_in(priced.get(at).text, at)["since"]
    assert fill(priced, at, at, amount="2.60", since=today).status_code == 303
    kept = priced.post(ORDERS, data=answered(dearer(priced), **{"prices-0-answer": "take"}))
    order = kept.headers["location"].split("?", 1)[0]
    page = priced.get(f"{order}/without")
    number = change_of(priced.post(f"{order}/withdraw", data=changed(fields_in(page.text, f"{order}/withdraw"))))
    action = f"{CHANGES}/{number}/prices"
    assert priced.post(action, data=fields_in(priced.get(f"{CHANGES}/{number}").text, action)).status_code == 303
    assert price_now(priced) == "2.60"


def test_a_restore_stands_among_what_was_saved_with_the_backup_that_takes_it_back(client: TestClient) -> None:
    assert fill(client, "/buy/suppliers/new", "/buy/suppliers", name="One", currency="EUR").status_code == 303
    sent = fields_in(client.get("/data/backups").text, "/data/backups")
    page = client.get(client.post("/data/backups", data=sent).headers["location"]).text
    name = page.partition('href="/data/backups/')[2].partition('"')[0]
    where = f"/data/backups/{name}"
    began = client.post(f"{where}/restore", data=fields_in(client.get(where).text, f"{where}/restore"))
    if "/data/work/" in (work := began.headers["location"]):  # it takes longer than a page waits for
        assert client.app.state.jobs.find(work.rpartition("/")[2]).wait(60).state == "done"  # type: ignore[attr-defined]
    assert fill(client, "/buy/suppliers/new", "/buy/suppliers", name="Two", currency="EUR").status_code == 303
    text = client.get("/changes").text
    row = text.partition('<a href="/data/backups">Restore</a>')[2].partition("</tr>")[0]
    said = re.search(r"as in (the backup of \d+ \w+ \d{4}, \d\d:\d\d)<", row)
    assert said
    assert re.search(r'before: <a href="/data/backups/[^"]+-before-restore">the backup of \d+ \w+ \d{4}, ', row)
    assert said[1].removeprefix("the backup") in client.get(where).text  # as its own page says when it was made
    assert text.index("Supplier") < text.index(">Restore</a>")


@pytest.mark.parametrize("ahead", [3650, -3650])
def test_a_restore_stands_where_it_was_done_though_the_clock_was_wrong(client: TestClient, ahead: int) -> None:
    """Two are saved and brought back; with the twenty after that, the restore is the last that the first page has."""
    store = client.app.state.store  # type: ignore[attr-defined]
    for name in ("One", "Two"):
        assert fill(client, "/buy/suppliers/new", "/buy/suppliers", name=name, currency="EUR").status_code == 303
    backup = store.back_up(ASKED, date(2026, 11, 25))
    store.shelf.clock = lambda: datetime.now(UTC) + timedelta(days=ahead)
    store.restore(backup.path, date(2026, 11, 25))
    for number in range(ON_A_PAGE):
        name = f"After {number}"
        assert fill(client, "/buy/suppliers/new", "/buy/suppliers", name=name, currency="EUR").status_code == 303
    assert heads(client, CHANGES) == [*(f"{CHANGES}/{number}" for number in range(22, 2, -1)), "/data/backups"]
    assert heads(client, f"{CHANGES}?before=3") == [f"{CHANGES}/2", f"{CHANGES}/1"]


def heads(client: TestClient, at: str) -> list[str]:
    """Where each row of the page leads, from the first on."""
    return re.findall(r'<th scope="row"><a href="([^"]+)"', client.get(at).text)
