"""The pages of supplier orders: entering, what an order changes, its page, correcting, taking back."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, doubts_in, fields, fields_in, fill
from tests.pages.workshop import (
    FORMULAS,
    MATERIALS,
    ORDER,
    ORDERS,
    example,
    kitchen,
    kitchen_with_a_jar,
    number_of,
    order,
)

SUM = f"{ORDERS}/sum"


def test_an_empty_list_says_what_to_do(client: TestClient) -> None:
    page = client.get(ORDERS).text
    assert "No order yet." in page
    assert 'href="/buy/materials/paste"' in page


def test_an_order_makes_its_material_and_its_supplier(client: TestClient) -> None:
    answer = order(client)
    assert answer.status_code == 303
    page = client.get(answer.headers["location"]).text
    assert "The mill" in page
    assert "12.40" in page
    assert "Shea butter" in client.get(MATERIALS).text


def test_freight_is_shared_and_the_cost_opens_to_its_working(client: TestClient) -> None:
    more = {
        "lines-1-material": "Jar",
        "lines-1-new_kind": "packaging",
        "lines-1-packs": "1",
        "lines-1-size": "48",
        "lines-1-unit": "pieces",
        "lines-1-price": "24.80",
        "lines-1-arrived": "45",
        "charges-0-amount": "10",
    }
    page = client.get(order(client, **more).headers["location"]).text
    # By value 24.80 : 24.80, so 5.00 each: (24.80 + 5) / 2000 g = 14.90 a kg; (24.80 + 5) / 45 = 0.6622 a piece.
    assert "14.90" in page
    assert "0.6622" in page
    assert "share of freight, by value" in page
    assert "arrived usable" in page


@pytest.mark.parametrize(
    ("wrong", "at", "words"),
    [
        ({"lines-0-price": ""}, "lines-0-price", "Type the price of a pack"),
        ({"lines-0-price": "abc"}, "lines-0-price", "a number"),
        ({"lines-0-unit": "pieces"}, "lines-0-unit", "is weighed"),
        ({"lines-0-packs": "0"}, "lines-0-packs", "above 0"),
        ({"day": "2026-02-30"}, "day", "no such day"),
        ({"currency": "USD"}, "exchange-amount", "Type the rate"),
        ({"new_supplier": ""}, "new_supplier", "Type who it was bought from."),
        ({"lines-0-material": "\u200b\u200d"}, "lines-0-material", "Nothing here can be seen"),
        ({"lines-0-discount": "30"}, "lines-0-discount", "more than the goods"),
    ],
)
def test_a_fault_stands_at_its_field_and_nothing_is_kept(
    client: TestClient, wrong: dict[str, str], at: str, words: str
) -> None:
    answer = order(client, note="from the market", **wrong)
    assert answer.status_code == 422
    assert f'id="e-{at}"' in answer.text
    assert words in answer.text
    assert "from the market" in answer.text
    assert "No order yet." in client.get(ORDERS).text
    assert "No material yet." in client.get(MATERIALS).text


def test_what_was_typed_for_new_things_is_kept_with_the_fault(client: TestClient) -> None:
    answer = order(client, **{"lines-0-price": "abc"})
    sent = fields_in(answer.text, ORDERS)
    assert sent["lines-0-material"] == "Shea butter"
    assert sent["new_supplier"] == "The mill"
    assert client.post(ORDERS, data=changed(sent, named={"lines-0-price": "12.40"})).status_code == 303


@pytest.mark.parametrize("typed", ["shea  BUTTER", "Shea-Butter", "karit\u00e9", "KARITE", "Butyrospermum parkii"])
def test_a_material_is_known_by_any_of_its_names(client: TestClient, typed: str) -> None:
    order(client)
    shea = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    names = {"inci": "Butyrospermum Parkii", "also_known_as": "nilotica, karit\u00e9"}
    assert fill(client, f"{shea}/edit", shea, **names).status_code == 303
    assert order(client, **{"lines-0-material": typed, "new_supplier": "Another mill"}).status_code == 303
    assert client.get(MATERIALS).text.count('<th scope="row">') == 1


def test_a_name_that_is_not_known_is_made_only_when_it_is_said_what_it_is(client: TestClient) -> None:
    order(client)
    unknown = {"lines-0-material": "Shea buter", "lines-0-new_kind": "", "new_supplier": "Another mill"}
    answer = order(client, **unknown)
    assert answer.status_code == 422
    assert "Shea buter is not in the book yet. Did you mean Shea butter?" in answer.text
    assert 'id="e-lines-0-material"' in answer.text
    assert client.get(MATERIALS).text.count('<th scope="row">') == 1
    sent = fields_in(answer.text, ORDERS)
    assert sent["lines-0-material"] == "Shea buter"
    assert client.post(ORDERS, data={**sent, "lines-0-new_kind": "ingredient"}).status_code == 303
    assert client.get(MATERIALS).text.count('<th scope="row">') == 2


@pytest.mark.parametrize(
    ("unit", "said", "likely"),
    [
        ("kg", "", "ingredient"),
        ("US fl oz", "", "ingredient"),
        ("pieces", "", "packaging"),
        ("pieces", "bought-in", "bought-in"),
        ("pieces", "ingredient", "packaging"),
        ("kg", "packaging", "ingredient"),
        ("", "", ""),
    ],
)
def test_what_is_new_is_preset_by_its_unit(client: TestClient, unit: str, said: str, likely: str) -> None:
    sent = fields(client, f"{ORDERS}/new", ORDERS) | {"lines-1-material": "Aloe", "lines-1-unit": unit}
    asked = client.post(f"{ORDERS}/line?row=lines-1", data={**sent, "lines-1-new_kind": said}).text
    assert re.findall(r'<option value="([^"]*)" selected>', asked.split("new_kind", 1)[1]) == [likely]


def test_what_may_be_a_slip_is_not_preset(client: TestClient) -> None:
    order(client)
    sent = fields(client, f"{ORDERS}/new", ORDERS) | {"lines-0-material": "Shea buter", "lines-0-unit": "kg"}
    asked = client.post(f"{ORDERS}/line?row=lines-0", data=sent).text
    assert "Did you mean Shea butter?" in asked
    assert re.findall(r'<option value="([^"]*)" selected>', asked.split("new_kind", 1)[1]) == [""]


def test_two_materials_of_one_alias_are_told_apart(client: TestClient) -> None:
    for name, more in (("Wool wax", {}), ("Wool fat", {"new_supplier": "Another mill"})):
        order(client, **{"lines-0-material": name, **more})
        there = f"{MATERIALS}/{number_of(client, MATERIALS, name)}"
        assert fill(client, f"{there}/edit", there, inci="Lanolin").status_code == 303
    answer = order(client, **{"lines-0-material": "lanolin", "new_supplier": "A third"})
    assert answer.status_code == 422
    assert "Type its own name: Wool fat or Wool wax." in answer.text


def test_taking_out_a_line_keeps_the_names_of_the_others(client: TestClient) -> None:
    new = {"lines-0-material": "Tin", "lines-0-new_kind": "packaging", "lines-1-material": "Lid", "less": "lines-0"}
    sent = fields_in(order(client, **new, **{"lines-1-new_kind": "packaging"}).text, ORDERS)
    assert (sent["lines-0-material"], sent["lines-0-new_kind"]) == ("Lid", "packaging")
    assert sent["lines-1-material"] == ""


def test_a_price_of_nothing_is_asked_and_then_kept(client: TestClient) -> None:
    asked = order(client, **{"lines-0-price": "0"})
    assert asked.status_code == 200
    assert "costs nothing here" in asked.text
    assert "No order yet." in client.get(ORDERS).text
    sent = fields_in(asked.text, ORDERS)
    assert client.post(ORDERS, data={**sent, "sure": doubts_in(asked.text)}).status_code == 303


def test_more_lines_begin_where_one_types_on(client: TestClient) -> None:
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named={"lines-0-material": "Salt", "lines-0-packs": "1"})
    page = client.post(ORDERS, data={**sent, "more": "lines"}).text
    assert page.count("autofocus") == 1
    assert "autofocus" in page.split('id="f-lines-1-material"', 1)[1].split(">", 1)[0]
    assert "autofocus" not in client.get(f"{ORDERS}/new").text


def test_more_lines_without_javascript(client: TestClient) -> None:
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named={"lines-0-material": "Shea butter", "more": "lines"})
    answer = client.post(ORDERS, data=sent)
    assert answer.status_code == 200
    assert 'name="lines-3-packs"' in answer.text
    assert "No order yet." in client.get(ORDERS).text


def test_the_preview_says_what_moves_and_stores_nothing(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    shea = number_of(client, MATERIALS, "Shea butter")
    supplier = number_of(client, "/buy/suppliers", "The mill")
    dearer = {
        "supplier": str(supplier),
        "lines-0-material": "Shea butter",
        "lines-0-packs": "1",
        "lines-0-size": "1",
        "lines-0-unit": "kg",
        "lines-0-price": "20",
    }
    answer = fill(client, f"{ORDERS}/new", ORDERS, named={**dearer, "more": "preview"})
    assert answer.status_code == 200
    assert "What this changes" in answer.text
    assert "12.40" in answer.text
    assert "20.00" in answer.text
    assert "Jar, Stall" in answer.text
    assert "Margin then" in answer.text
    assert client.get(ORDERS).text.count(f'href="{ORDERS}/') == 3  # the one, a new one, what is half entered
    saved = client.post(ORDERS, data=changed(fields_in(answer.text, ORDERS)))
    assert saved.status_code == 303
    assert "20.00" in client.get(f"{MATERIALS}/{shea}").text


def test_a_back_dated_order_says_that_it_changes_no_cost_today(client: TestClient) -> None:
    order(client)
    mill = number_of(client, "/buy/suppliers", "The mill")
    old = {
        "supplier": str(mill),
        "day": "2026-01-05",
        "lines-0-material": "Shea butter",
        "lines-0-packs": "1",
        "lines-0-size": "1",
        "lines-0-unit": "kg",
        "lines-0-price": "9",
        "more": "preview",
    }
    answer = fill(client, f"{ORDERS}/new", ORDERS, named=old)
    assert "older than the newest order of it" in answer.text


def test_the_sum_and_the_difference_to_the_invoice(client: TestClient) -> None:
    order(client)
    where = f"{ORDERS}/{client.get(ORDERS).text.split('/buy/orders/', 2)[2].split(chr(34), 1)[0]}"
    sent = changed(fields(client, f"{where}/edit", where), invoice_total="30", named={"charges-0-amount": "5.20"})
    answer = client.post("/buy/orders/sum", data=sent)
    # 2 x 12.40 + 5.20 = 30.00
    assert "30.00" in answer.text
    assert "That is what the invoice says." in answer.text
    short = client.post("/buy/orders/sum", data={**sent, "invoice_total": "32.50"})
    assert "The invoice says" in short.text
    assert "2.50" in short.text


def test_correcting_and_taking_back(client: TestClient) -> None:
    there = order(client).headers["location"].split("?", 1)[0]
    corrected = fill(client, f"{there}/edit", there, named={"lines-0-price": "15"})
    assert corrected.status_code == 303
    assert "15.00" in client.get(MATERIALS).text
    assert (
        client.post(f"{there}/withdraw", data=fields(client, f"{there}/without", f"{there}/withdraw")).status_code
        == 303
    )
    assert "No order yet." in client.get(ORDERS).text
    assert client.get(there).status_code == 404


def test_a_foreign_order_by_what_was_really_paid(client: TestClient) -> None:
    more = {"currency": "USD", "exchange-way": "paid", "exchange-amount": "20.00"}
    page = client.get(order(client, **more).headers["location"]).text
    # 24.80 USD cost 20.00 of home money: 10.00 a kg.
    assert "10.00" in page


def test_the_example_s_orders_all_open(client: TestClient) -> None:
    example(client)
    page = client.get(ORDERS).text
    numbers = {part.split('"', 1)[0] for part in page.split('href="/buy/orders/')[1:]} - {"new"}
    assert len(numbers) == 15
    for number in numbers:
        assert client.get(f"{ORDERS}/{number}").status_code == 200
        assert client.get(f"{ORDERS}/{number}/edit").status_code == 200


def test_a_correction_read_before_another_one_is_refused(client: TestClient) -> None:
    there = order(client).headers["location"].split("?", 1)[0]
    read_early = fields(client, f"{there}/edit", there)
    assert fill(client, f"{there}/edit", there, named={"lines-0-price": "15"}).status_code == 303
    answer = client.post(there, data=changed(read_early, named={"lines-0-price": "17"}))
    assert answer.status_code == 409
    assert 'value="17"' in answer.text
    assert "15.00" in client.get(MATERIALS).text


def test_taking_back_can_be_undone(client: TestClient) -> None:
    there = order(client).headers["location"].split("?", 1)[0]
    taken = client.post(f"{there}/withdraw", data=fields(client, f"{there}/without", f"{there}/withdraw"))
    page = client.get(taken.headers["location"]).text
    undo = "/undo/" + page.split('action="/undo/', 1)[1].split('"', 1)[0].replace("&amp;", "&")
    assert client.post(undo, data=fields_in(page, undo)).status_code == 303
    assert client.get(there).status_code == 200


def test_a_unit_is_never_guessed(client: TestClient) -> None:
    answer = order(client, **{"lines-0-unit": ""})
    assert answer.status_code == 422
    assert "Choose the unit of the pack." in answer.text
    assert "No order yet." in client.get(ORDERS).text


def test_names_are_shown_as_they_are_typed(client: TestClient) -> None:
    hostile = "<script>alert(1)</script>"
    where = order(client, **{"lines-0-material": hostile, "new_supplier": hostile}).headers["location"]
    for path in (where, ORDERS, MATERIALS, "/buy/suppliers", f"{ORDERS}/new"):
        page = client.get(path).text
        assert hostile not in page
        assert "&lt;script&gt;" in page


def sum_of(client: TestClient, **named: str) -> str:
    answer = client.post(SUM, data=changed(fields(client, f"{ORDERS}/new", ORDERS), named=named))
    assert answer.status_code == 200
    return answer.text


GOOD_LINE = {
    "lines-0-material": "Shea butter",
    "lines-0-packs": "2",
    "lines-0-size": "1",
    "lines-0-unit": "kg",
    "lines-0-price": "12.40",
}


def test_the_sum_stands_from_the_first_line_on_and_says_what_is_not_in_it(client: TestClient) -> None:
    assert "from the first line on" in sum_of(client)
    assert "comes to" not in sum_of(client, **{"lines-0-material": "Shea butter"})
    page = sum_of(client, **GOOD_LINE)  # no supplier yet
    assert "24.80" in page
    assert "without" not in page
    begun = {"lines-1-material": "Tin", "lines-1-packs": "48", "charges-0-amount": "5", "charges-1-amount": "x"}
    page = sum_of(client, **GOOD_LINE, **begun)
    # 24.80 + 5.00; the tin has no price and the second charge is no number.
    assert "29.80" in page
    assert "without 2 lines still being typed" in page


@pytest.mark.parametrize("unread", ["1,500", "12oz"])
def test_a_line_that_cannot_be_read_is_no_empty_order(client: TestClient, unread: str) -> None:
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named=ORDER)
    said = client.post(SUM, data={**sent, "lines-0-size": unread}).text
    assert "No sum yet: a line still being typed" in said
    assert "from the first line on" in client.post(SUM, data=fields(client, f"{ORDERS}/new", ORDERS)).text


def test_tax_is_said_only_where_there_is_some(client: TestClient) -> None:
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named=ORDER)
    plain = client.post(SUM, data=sent).text
    assert "24.80" in plain
    assert "tax included" not in plain
    assert "29.76" in client.post(SUM, data={**sent, "lines-0-tax_rate": "20"}).text
    assert "tax included" in client.post(SUM, data={**sent, "lines-0-tax_rate": "20"}).text


def test_the_difference_waits_until_every_line_is_in_the_sum(client: TestClient) -> None:
    begun = {"lines-1-material": "Tin", "invoice_total": "30"}
    assert "The invoice says" not in sum_of(client, **GOOD_LINE, **begun)
    assert "The invoice says" in sum_of(client, **GOOD_LINE, new_supplier="The mill", invoice_total="30")


def test_a_supplier_s_usual_currency_is_said_where_the_order_has_another(client: TestClient) -> None:
    suppliers = "/buy/suppliers"
    assert fill(client, f"{suppliers}/new", suppliers, name="Far mill", currency="USD").status_code == 303
    mill = number_of(client, suppliers, "Far mill")
    assert "usually in USD" in sum_of(client, **GOOD_LINE, supplier=str(mill))
    sent = fields(client, f"{ORDERS}/new?supplier={mill}", ORDERS)
    assert (sent["supplier"], sent["currency"]) == (str(mill), "USD")


def test_the_same_again_starts_from_what_was_bought(client: TestClient) -> None:
    there = order(client, number="A-1", note="late", invoice_total="24.80").headers["location"].split("?", 1)[0]
    sent = fields(client, f"{ORDERS}/new?like={there.rsplit('/', 1)[1]}", ORDERS)
    assert (sent["lines-0-packs"], sent["lines-0-price"], sent["lines-0-unit"]) == ("2", "12.40", "kg")
    assert (sent["number"], sent["note"], sent["invoice_total"]) == ("", "", "")
    assert sent["day"] == "2026-11-25"
    assert client.post(ORDERS, data=changed(sent)).status_code == 303
    assert client.get(ORDERS).text.count("The mill") == 2


def test_buying_a_material_again_starts_from_its_last_pack_and_price(client: TestClient) -> None:
    order(client, **{"charges-0-amount": "7", "lines-0-arrived": "1.5"})
    shea = number_of(client, MATERIALS, "Shea butter")
    sent = fields(client, f"{ORDERS}/new?material={shea}", ORDERS)
    assert (sent["lines-0-material"], sent["lines-0-price"], sent["lines-0-arrived"]) == ("Shea butter", "12.40", "")
    assert sent["charges-0-amount"] == ""


@pytest.mark.parametrize("query", ["like=999", "material=x", "supplier=-1", "like=%00", "material=1e3"])
def test_a_start_that_is_not_there_is_an_empty_form(client: TestClient, query: str) -> None:
    sent = fields(client, f"{ORDERS}/new?{query}", ORDERS)
    assert sent["lines-0-material"] == ""
    assert sent["day"] == "2026-11-25"


def test_an_order_s_page_says_rate_share_and_what_was_changed(client: TestClient) -> None:
    more = {
        "currency": "USD",
        "exchange-way": "home per unit",
        "exchange-amount": "0.8",
        "charges-0-amount": "5",
        "charges-0-tax_rate": "20",
        "charges-0-share": "equally",
    }
    there = order(client, **more).headers["location"].split("?", 1)[0]
    page = client.get(there).text
    assert "1 USD was 0.8" in page
    assert "tax on top" in page
    assert "shared equally" in page
    assert "What was changed, and when" not in page
    assert fill(client, f"{there}/edit", there, named={"lines-0-price": "15"}).status_code == 303
    assert "What was changed, and when" in client.get(there).text


def test_a_charge_by_mass_names_the_line_that_has_none(client: TestClient) -> None:
    tin = {"lines-1-material": "Tin", "lines-1-new_kind": "packaging", "lines-1-packs": "10", "lines-1-size": "1"}
    tin |= {"lines-1-unit": "pieces", "lines-1-price": "0.50", "charges-0-amount": "5", "charges-0-share": "mass"}
    answer = order(client, **tin)
    assert answer.status_code == 422
    assert "Tin" in answer.text.split('id="e-charges-0', 1)[1]
    assert "No order yet." in client.get(ORDERS).text


def test_an_order_of_another_day_is_only_read(client: TestClient) -> None:
    there = order(client, day="2026-03-02").headers["location"].split("?", 1)[0]
    assert "As it was on" in client.get(f"{there}?on=2026-06-01").text
    assert client.get(f"{there}?on=2026-01-01").status_code == 404
    assert "No order yet." in client.get(f"{ORDERS}?on=2026-01-01").text


def test_jars_left_below_target_stand_first_and_the_rest_is_folded(client: TestClient) -> None:
    example(client)
    shea = number_of(client, MATERIALS, "Shea butter, refined")
    sent = fields(client, f"{ORDERS}/new?material={shea}", ORDERS)
    page = client.post(ORDERS, data=changed(sent, named={"lines-0-price": "900", "more": "preview"})).text
    short, _, rest = page.split("What this changes", 1)[1].partition("<details")
    assert "then below target" in short
    assert "falls below its target" in short
    assert "falls below its target" not in rest


def test_a_negative_amount_is_refused_and_stays_as_it_was_typed(client: TestClient) -> None:
    answer = order(client, **{"lines-0-price": "-12.40", "charges-0-amount": "-3"})
    assert answer.status_code == 422
    sent = fields_in(answer.text, ORDERS)
    assert (sent["lines-0-price"], sent["charges-0-amount"]) == ("-12.40", "-3")


def test_an_order_of_a_day_ahead_is_asked_and_can_still_be_looked_at(client: TestClient) -> None:
    asked = order(client, day="2026-12-10")
    assert asked.status_code == 200
    assert "lies ahead" in asked.text
    kept = client.post(ORDERS, data={**fields_in(asked.text, ORDERS), "sure": doubts_in(asked.text)})
    assert kept.status_code == 303
    there = kept.headers["location"].split("?", 1)[0]
    assert "Its day lies ahead" in client.get(there).text
    assert "lies ahead, changes no cost yet" in client.get(ORDERS).text
    assert "has no price yet" in client.get(f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}").text


def ahead(client: TestClient) -> str:
    asked = order(client, day="2026-12-10")
    kept = client.post(ORDERS, data={**fields_in(asked.text, ORDERS), "sure": doubts_in(asked.text)})
    return str(kept.headers["location"].split("?", 1)[0])


def test_the_day_of_an_order_ahead_is_corrected(client: TestClient) -> None:
    there = ahead(client)
    assert fill(client, f"{there}/edit", there, day="2026-11-20").status_code == 303
    assert "12.40" in client.get(MATERIALS).text
    assert "lies ahead" not in client.get(there).text


def test_an_order_ahead_is_taken_back_and_that_undone(client: TestClient) -> None:
    there = ahead(client)
    taken = client.post(f"{there}/withdraw", data=fields(client, f"{there}/without", f"{there}/withdraw"))
    assert taken.status_code == 303
    page = client.get(taken.headers["location"]).text
    assert "No order yet." in page
    assert client.get(there).status_code == 404
    undo = "/undo/" + page.split('action="/undo/', 1)[1].split('"', 1)[0].replace("&amp;", "&")
    assert client.post(undo, data=fields_in(page, undo)).status_code == 303
    assert "10 Dec 2026" in client.get(there).text


def test_a_working_writes_each_amount_in_its_own_money(client: TestClient) -> None:
    more = {"currency": "USD", "exchange-way": "home per unit", "exchange-amount": "0.8"}
    page = client.get(order(client, **more).headers["location"]).text
    opened = page.split('<ol class="steps">', 1)[1].split("</ol>", 1)[0]
    # 2 packs at 12.40 USD are 24.80 USD of goods, at 0.8 that is 19.84 at home.
    assert "$24.80" in opened
    assert "USD" not in opened.split("$24.80", 1)[1].split("</li>", 1)[0]
    assert "19.84" in opened


def filled(client: TestClient) -> dict[str, str]:
    return changed(fields(client, f"{ORDERS}/new", ORDERS), named=ORDER)


def test_the_same_order_sent_twice_with_new_things_in_it_is_kept_once(client: TestClient) -> None:
    sent = filled(client)
    first, second = (client.post(ORDERS, data=sent) for _ in range(2))
    assert (first.status_code, second.status_code) == (303, 303)
    assert first.headers["location"] == second.headers["location"]
    assert client.get(MATERIALS).text.count(">Shea butter</a>") == 1


def test_another_name_under_the_same_token_is_not_the_same_order(client: TestClient) -> None:
    sent = filled(client)
    assert client.post(ORDERS, data=sent).status_code == 303
    other = client.post(ORDERS, data={**sent, "lines-0-material": "Mango butter", "new_supplier": "Another mill"})
    assert other.status_code == 409
    assert "Mango butter" not in client.get(MATERIALS).text


def test_an_order_leads_on_to_what_a_new_book_needs_next(client: TestClient) -> None:
    there = order(client).headers["location"].split("?", 1)[0]
    assert "No formula is written yet" in client.get(there).text
    line = {"lines-0-material": "Shea butter", "lines-0-amount": "100", "batch_grams": "1000"}
    made = fill(client, f"{FORMULAS}/new", FORMULAS, name="Melt", named=line)
    assert "No product is defined yet" in client.get(made.headers["location"]).text
    home = client.get("/").text
    for sentence in ("Nobody works here yet", "No product is defined yet", "where you sell"):
        assert sentence in home
    assert "No formula is written yet" not in home


def test_a_cost_that_waits_for_a_density_is_on_the_first_page(client: TestClient) -> None:
    order(client, **{"lines-0-material": "Jojoba oil", "lines-0-unit": "US fl oz"})
    oil = number_of(client, MATERIALS, "Jojoba oil")
    page = client.get("/").text
    assert "The cost of Jojoba oil is not known yet." in page
    assert f'href="{MATERIALS}/{oil}/edit#f-density-value"' in page


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Beeswax", "Hot wax burns"),
        ("Shea butter, refined", "it turns grainy"),
        ("Jojoba oil", "Oils go rancid"),
        ("Lavender essential oil", "skin limits"),
        ("Rose water", "needs a preservative"),
    ],
)
def test_a_new_ingredient_has_the_cautions_of_what_its_name_says(client: TestClient, name: str, words: str) -> None:
    order(client, **{"lines-0-material": name})
    assert words in client.get(f"{MATERIALS}/{number_of(client, MATERIALS, name)}").text


def test_a_name_that_says_nothing_of_its_nature_has_none(client: TestClient) -> None:
    order(client, **{"lines-0-material": "Boiled roots"})
    assert "Cautions<" not in client.get(f"{MATERIALS}/{number_of(client, MATERIALS, 'Boiled roots')}").text


def test_the_first_supplier_is_named_in_the_one_field_that_is_there(client: TestClient) -> None:
    assert 'name="supplier"' not in client.get(f"{ORDERS}/new").text
    order(client)
    assert 'name="supplier"' in client.get(f"{ORDERS}/new").text


def test_the_preview_of_a_cost_that_is_not_known_leads_nowhere_else(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    by_volume = {"lines-0-unit": "L", "new_supplier": "Another mill", "more": "preview"}
    page = order(client, **by_volume).text.split('id="impact"', 1)[1].split("</section>", 1)[0]
    assert "Shea butter is bought by volume and its density is not known yet." in page
    assert "can be put right when this is saved" in page
    assert "<a " not in page


def test_what_is_on_the_order_and_changes_no_cost_is_said_with_why(client: TestClient) -> None:
    example(client)
    named = {"supplier": str(number_of(client, "/buy/suppliers", "Pellamy Oil Mill")), "more": "preview"}
    for number, name in enumerate(("Argan oil", "Avocado oil", "Mango butter")):
        fields_of = {"material": name, "packs": "1", "size": "1", "unit": "kg", "price": "12"}
        named |= {f"lines-{number}-{key}": text for key, text in fields_of.items()}
    page = fill(client, f"{ORDERS}/new", ORDERS, named=named).text
    assert "Argan oil: a quote counts as its price until" in page
    assert "Avocado oil: its dearest price counts, and another order gives that" in page
    assert "Mango butter:" not in page


def test_the_same_again_leaves_samples_out_and_makes_a_total_a_price(client: TestClient) -> None:
    kitchen(client)
    supplier = number_of(client, "/buy/suppliers", "The mill")
    lines = {
        "lines-0-material": "Shea butter", "lines-0-packs": "5", "lines-0-size": "1", "lines-0-unit": "kg",
        "lines-0-total": "62", "lines-1-material": "Shea butter", "lines-1-packs": "1", "lines-1-size": "1",
        "lines-1-unit": "kg", "lines-1-price": "0", "lines-1-not_priced": "sample",
    }  # fmt: skip
    made = fill(client, f"{ORDERS}/new", ORDERS, named={"supplier": str(supplier), **lines})
    number = made.headers["location"].split("?", 1)[0].rsplit("/", 1)[1]
    sent = fields(client, f"{ORDERS}/new?like={number}", ORDERS)
    assert (sent["lines-0-price"], sent["lines-0-total"]) == ("12.40", "")  # 62 / 5
    assert sent.get("lines-1-material", "") == ""


def test_a_total_beside_another_price_is_asked_about(client: TestClient) -> None:
    kitchen(client)
    supplier = number_of(client, "/buy/suppliers", "The mill")
    lines = {"lines-0-material": "Shea butter", "lines-0-packs": "5", "lines-0-size": "1", "lines-0-unit": "kg"}
    named = {"supplier": str(supplier), **lines, "lines-0-price": "13", "lines-0-total": "62"}
    asked = fill(client, f"{ORDERS}/new", ORDERS, named=named)
    assert (asked.status_code, client.get(ORDERS).text.count("62.00")) == (200, 0)
    assert "the total of the line, 62, counts, though packs x price is 65" in asked.text
    alike = fill(client, f"{ORDERS}/new", ORDERS, named={**named, "lines-0-price": "12.40"})
    assert alike.status_code == 303


def test_what_an_order_like_an_older_one_comes_to_stands_there_from_the_start(client: TestClient) -> None:
    there = order(client, invoice_total="30").headers["location"].split("?", 1)[0]
    page = client.get(f"{ORDERS}/new?like={there.rsplit('/', 1)[1]}").text
    # 2 x 12.40
    assert "€24.80" in page.split('id="order-sum"', 1)[1].split("</div>", 1)[0]
    # 30.00 - 24.80
    older = re.sub(r"<[^>]+>", "", client.get(there).text)
    assert "typed is €30.00: €5.20 more than its lines and charges, €24.80." in older
