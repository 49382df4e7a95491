"""The price history on a material's page: 1 kg at 12.40 twice over, then dearer; a quote is always marked."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.filling import fill
from tests.pages.workshop import MATERIALS, number_of, order


def page(client: TestClient) -> str:
    return str(client.get(f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}").text)


def test_what_was_never_bought_has_no_plot(client: TestClient) -> None:
    made = {"name": "Shea butter", "kind": "ingredient"}
    assert fill(client, f"{MATERIALS}/new", MATERIALS, named=made).status_code == 303
    assert '<svg class="plot"' not in page(client)
    assert "Not bought yet." in page(client)


def test_every_purchase_leads_to_its_order_and_says_whether_it_counts(client: TestClient) -> None:
    """12.40 in May; 15.50 in September is a quarter more, and the highest ever paid."""
    assert order(client, day="2026-05-01").status_code == 303
    dearer = {"new_supplier": "The other mill", "lines-0-new_kind": "", "day": "2026-09-01", "lines-0-price": "15.50"}
    assert order(client, **dearer).status_code == 303
    text = page(client)
    assert text.count('<svg class="plot" viewBox="0 0 360 220" role="img"') == 1
    assert "<title>From 1 May 2026: €12.40\u00a0per kg</title>" in text
    assert "<title>From 1 Sept 2026: €15.50\u00a0per kg</title>" in text
    assert "<strong>counts now</strong>" in text
    assert "a newer order counts" in text
    assert "The price paid on 1 Sept 2026 was the highest ever paid, on record since 1 May 2026." in text
    assert 'style="' not in text


def test_an_older_day_knows_nothing_of_what_came_later(client: TestClient) -> None:
    assert order(client, day="2026-05-01").status_code == 303
    path = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    assert "Not bought yet." in client.get(f"{path}?on=2026-04-30").text
    assert "Enter an order of it" not in client.get(f"{path}?on=2026-04-30").text


def test_a_registration_between_two_purchases_is_said_beside_every_comparison(client: TestClient) -> None:
    """12.40 and 20 % tax were 14.88 in May; registered in July, 13.00 net in September: dearer."""
    assert order(client, **{"day": "2026-05-01", "lines-0-tax_rate": "20"}).status_code == 303
    terms = "/settings/terms"
    registered = {"registered": "yes", "since": "2026-07-01"}
    assert fill(client, terms, terms, named=registered).status_code == 303
    supplier = number_of(client, "/buy/suppliers", "The mill")
    again = {"new_supplier": "", "supplier": str(supplier), "lines-0-new_kind": "", "day": "2026-09-01"}
    again |= {"lines-0-price": "13.00", "lines-0-tax_rate": "20"}
    looked_at = order(client, **again, more="preview").text
    assert "lowest ever paid" in looked_at
    assert '<span class="under warn-word">before 1 Jul 2026 tax was part of the cost</span>' in looked_at
    assert "tax was part of the cost" not in page(client)
    assert order(client, **again).status_code == 303
    text = page(client)
    assert '<span class="warn-word">Before 1 Jul 2026 tax was part of the cost.</span>' in text
    table = text.split("The line as a table", 1)[1].split("</table>", 1)[0]
    assert table.count("before 1 Jul 2026 tax was part of the cost") == 1
    assert text.count("a newer order counts; tax is part of the cost") == 1
