"""A difference to the invoice total is named, and one button puts it in as a charge or a discount."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in
from tests.pages.workshop import ORDER, ORDERS

SAME = "That is what the invoice says."


def typed(client: TestClient, total: str, **more: str) -> dict[str, str]:
    return changed(fields(client, f"{ORDERS}/new", ORDERS), named={**ORDER, "invoice_total": total, **more})


@pytest.mark.parametrize(
    ("total", "more", "kind", "amount", "words"),
    [
        # 2 x 12.40 = 24.80; 29.75 - 24.80 = 4.95; 24.80 - 22.32 = 2.48
        ("29.75", "as-freight", "freight", "4.95", "4.95 more: a charge may be missing."),
        ("29.75", "as-charge", "other", "4.95", "4.95 more: a charge may be missing."),
        ("22.32", "as-discount", "discount", "2.48", "2.48 less: a discount may be missing."),
    ],
)
def test_the_difference_is_put_in(  # noqa: PLR0917 - one argument a column
    client: TestClient, total: str, more: str, kind: str, amount: str, words: str
) -> None:
    sent = typed(client, total)
    said = client.post(f"{ORDERS}/sum", data=sent).text
    assert words in said
    assert f'name="more" value="{more}"' in said
    assert ('value="as-discount"' in said) == (kind == "discount")
    answer = client.post(ORDERS, data={**sent, "more": more})
    assert answer.status_code == 200
    assert SAME in answer.text
    now = fields_in(answer.text, ORDERS)
    assert (now["charges-0-kind"], now["charges-0-amount"]) == (kind, amount)
    assert client.post(ORDERS, data=now).status_code == 303


def test_it_stands_below_the_charges_that_were_typed(client: TestClient) -> None:
    taxed = {"lines-0-tax_rate": "20", "charges-0-amount": "3", "charges-0-tax_rate": "20"}
    # 24.80 + 20 % = 29.76; 3 + 20 % = 3.60; 35.00 - 33.36 = 1.64
    now = fields_in(client.post(ORDERS, data={**typed(client, "35", **taxed), "more": "as-charge"}).text, ORDERS)
    assert [now[f"charges-{row}-amount"] for row in (0, 1)] == ["3", "1.64"]
    assert SAME in client.post(f"{ORDERS}/sum", data=now).text


@pytest.mark.parametrize(
    ("total", "more"), [("24.80", "as-charge"), ("20", "as-charge"), ("30", "as-discount"), ("", "as-freight")]
)
def test_a_button_that_does_not_fit_puts_nothing_in(client: TestClient, total: str, more: str) -> None:
    answer = client.post(ORDERS, data={**typed(client, total), "more": more})
    assert answer.status_code == 200
    assert fields_in(answer.text, ORDERS).get("charges-0-amount", "") == ""


def test_one_rate_goes_on_every_line_and_charge_that_has_none(client: TestClient) -> None:
    """24.80 and 10.00 of goods and 5.00 of freight: 39.80, with 20 % 47.76. What has a rate of its own keeps it."""
    second = {"material": "Jar", "new_kind": "packaging", "packs": "1", "size": "1", "unit": "pieces", "price": "10"}
    more = {f"lines-1-{name}": text for name, text in second.items()}
    sent = typed(client, "47.76", **more, **{"lines-0-tax_rate": "20", "charges-0-amount": "5"})
    answer = client.post(ORDERS, data={**sent, "more": "same-tax"})
    assert answer.status_code == 200
    assert SAME in answer.text
    now = fields_in(answer.text, ORDERS)
    assert (now["lines-1-tax_rate"], now["charges-0-tax_rate"]) == ("20", "20")
    other = client.post(ORDERS, data={**sent, "lines-1-tax_rate": "5", "more": "same-tax"})
    assert fields_in(other.text, ORDERS)["lines-1-tax_rate"] == "5"


def test_without_any_rate_nothing_is_taxed_and_it_is_said_where_to_type_one(client: TestClient) -> None:
    answer = client.post(ORDERS, data={**typed(client, "24.80"), "more": "same-tax"})
    assert answer.status_code == 422
    assert fields_in(answer.text, ORDERS)["lines-0-tax_rate"] == "0"
    field = re.search(r'<input[^>]*name="all_tax_rate"[^>]*>', answer.text)
    assert field
    assert 'aria-invalid="true"' in field[0]
    assert "Type the rate of tax here" in answer.text


def test_the_rate_typed_for_all_goes_on_what_has_none(client: TestClient) -> None:
    """24.80 and 10.00 at 7.7 % in the price; 5.00 of freight with a rate of its own, 20 % on top: 40.80."""
    second = {"material": "Jar", "new_kind": "packaging", "packs": "1", "size": "1", "unit": "pieces", "price": "10"}
    more = {f"lines-1-{name}": text for name, text in second.items()}
    more |= {"charges-0-amount": "5", "charges-0-tax_rate": "20"}
    sent = typed(client, "40.80", **more, all_tax_rate="7,7", all_tax_included="yes")
    answer = client.post(ORDERS, data={**sent, "more": "same-tax"})
    assert answer.status_code == 200
    assert SAME in answer.text
    now = fields_in(answer.text, ORDERS)
    assert [now[f"{at}-tax_rate"] for at in ("lines-0", "lines-1", "charges-0")] == ["7,7", "7,7", "20"]
    assert (now["lines-1-tax_included"], now.get("charges-0-tax_included")) == ("yes", None)
    assert now["all_tax_rate"] == ""
    # What says something stands open; what says nothing is folded away.
    assert len(re.findall(r'<details class="fold"[^>]* open data-by-itself>', answer.text)) == 3
    assert client.post(ORDERS, data=now).status_code == 303


@pytest.mark.parametrize("more", ["", "preview"])
def test_a_rate_that_was_put_on_no_line_is_not_left_out_unseen(client: TestClient, more: str) -> None:
    answer = client.post(ORDERS, data={**typed(client, "24.80"), "all_tax_rate": "20", "more": more})
    assert answer.status_code == 422
    assert "This rate is on no line yet." in answer.text.split('id="e-all_tax_rate"', 1)[1]
    assert fields_in(answer.text, ORDERS)["all_tax_rate"] == "20"


def test_a_rate_that_can_not_be_read_is_put_nowhere(client: TestClient) -> None:
    answer = client.post(ORDERS, data={**typed(client, "24.80"), "all_tax_rate": "2O", "more": "same-tax"})
    assert answer.status_code == 422
    now = fields_in(answer.text, ORDERS)
    assert (now["all_tax_rate"], now["lines-0-tax_rate"]) == ("2O", "0")
    assert 'id="e-all_tax_rate"' in answer.text
