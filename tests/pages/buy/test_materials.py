"""The pages of materials, suppliers, quotes and pasted starting prices."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.filling import changed, doubts_in, fields, fields_in, fill
from tests.pages.workshop import MATERIALS, example, number_of, order

PASTE = f"{MATERIALS}/paste"


def add(client: TestClient, **named: str) -> str:
    answer = fill(client, f"{MATERIALS}/new", MATERIALS, named={"name": "Olive oil", **named})
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"]).split("?", 1)[0]


def test_a_material_without_a_price_says_so_and_leads_to_its_cure(client: TestClient) -> None:
    there = add(client)
    page = client.get(there).text
    assert "Olive oil has no price yet." in page
    assert f'href="{there}/edit#f-starting"' in page


def test_a_starting_price_is_used_and_marked(client: TestClient) -> None:
    page = client.get(add(client, **{"starting-amount": "12", "starting-unit": "kg"})).text
    assert "12.00" in page
    assert "starting price" in page


def test_volume_needs_a_density(client: TestClient) -> None:
    there = add(client, **{"starting-amount": "10", "starting-unit": "L"})
    assert "its density is not known yet" in client.get(there).text
    assert fill(client, f"{there}/edit", there, named={"density-value": "0.9"}).status_code == 303
    # 10 for 1000 mL x 0.9 g/mL: 10 / 900 g = 11.11 a kg.
    assert "11.11" in client.get(there).text


def test_a_density_outside_the_published_range_warns_and_is_kept(client: TestClient) -> None:
    there = add(client, **{"density-value": "0.80"})
    page = client.get(there).text
    assert "warn-word" in page.split("density-title", 1)[1]
    assert "0.8 g/mL" in page


def test_an_ingredient_is_not_priced_by_the_piece(client: TestClient) -> None:
    answer = fill(
        client,
        f"{MATERIALS}/new",
        MATERIALS,
        named={"name": "Oil", "starting-amount": "1", "starting-unit": "pieces"},
    )
    assert answer.status_code == 422
    assert 'id="e-starting-unit"' in answer.text


def test_a_quote_is_used_only_where_it_is_chosen(client: TestClient) -> None:
    order(client)
    shea = number_of(client, MATERIALS, "Shea butter")
    mill = number_of(client, "/buy/suppliers", "The mill")
    there = f"{MATERIALS}/{shea}"
    quote = {"supplier": str(mill), "until": "2027-01-31", "size": "1", "unit": "kg", "price": "11"}
    answer = fill(client, f"/buy/quotes/new?material={shea}", "/buy/quotes", named=quote)
    assert answer.status_code == 303
    page = client.get(there).text
    assert "The mill: " in page
    assert "Which price counts: latest" in page
    number = page.split('href="/buy/quotes/', 2)[1].split("/", 1)[0]
    number = number if number.isdigit() else page.split('href="/buy/quotes/', 3)[2].split("/", 1)[0]
    assert fill(client, f"{there}/edit", there, quote=number).status_code == 303
    page = client.get(there).text
    assert "Which price counts: quote" in page
    assert "chosen as the price" in page
    refused = client.post(
        f"/buy/quotes/{number}/withdraw", data=fields(client, there, f"/buy/quotes/{number}/withdraw")
    )
    assert refused.status_code == 422
    assert "rests on this quote" in refused.text


def test_retiring_what_is_used_asks_first(client: TestClient) -> None:
    example(client)
    wax = number_of(client, MATERIALS, "Beeswax, yellow")
    there = f"{MATERIALS}/{wax}"
    asked = client.post(f"{there}/retire", data=fields(client, there, f"{there}/retire"))
    assert asked.status_code == 200
    assert "Firm pomade" in asked.text
    sent = fields_in(asked.text, f"{there}/retire")
    assert client.post(f"{there}/retire", data={**sent, "sure": doubts_in(asked.text)}).status_code == 303
    assert "Put away" in client.get(MATERIALS).text


def test_the_list_can_be_one_kind(client: TestClient) -> None:
    example(client)
    page = client.get(f"{MATERIALS}?kind=packaging").text
    assert "Screw tin 60 mL" in page
    assert "Beeswax, yellow" not in page


def test_every_material_of_the_example_opens_now_and_as_of_a_day(client: TestClient) -> None:
    example(client)
    page = client.get(MATERIALS).text
    numbers = {part.split('"', 1)[0] for part in page.split('href="/buy/materials/')[1:]}
    for number in {one for one in numbers if one.isdigit()}:
        assert client.get(f"{MATERIALS}/{number}").status_code == 200
        assert "As it was on" in client.get(f"{MATERIALS}/{number}?on=2026-07-01").text


def paste(client: TestClient, text: str, sign: str = "point", more: str | None = None) -> object:
    return client.post(PASTE, data=changed(fields(client, PASTE, PASTE), list=text, sign=sign, more=more))


def test_a_pasted_list_is_previewed_and_then_kept_whole(client: TestClient) -> None:
    text = "Shea butter\t12.40\tkg\nTin;0.45;piece\nLavender oil, 9.90, 50 mL"
    answer = paste(client, text, more="look")
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert "Unit: Choose one of" in answer.text  # type: ignore[attr-defined]
    assert "No material yet." in client.get(MATERIALS).text
    good = text.replace("50 mL", "L")
    shown = paste(client, good, more="look")
    assert shown.status_code == 200  # type: ignore[attr-defined]
    assert "No material yet." in client.get(MATERIALS).text
    kept = client.post(PASTE, data=changed(fields_in(shown.text, PASTE)))  # type: ignore[attr-defined]
    assert kept.status_code == 303
    page = client.get(MATERIALS).text
    assert "12.40" in page
    assert "Lavender oil" in page


def test_decimals_with_a_comma_and_a_name_twice(client: TestClient) -> None:
    answer = paste(client, "Shea butter, 12,40, kg\nshea  BUTTER; 13,00; kg", sign="comma")
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert "This name stands on an earlier line already." in answer.text  # type: ignore[attr-defined]
    assert "12.40" in answer.text  # type: ignore[attr-defined]


def test_a_known_name_gets_the_price_and_keeps_the_rest(client: TestClient) -> None:
    there = add(client, inci="Olea Europaea Fruit Oil")
    assert paste(client, "olive oil; 8; kg").status_code == 303  # type: ignore[attr-defined]
    page = client.get(there).text
    assert "Olea Europaea Fruit Oil" in page
    assert "8.00" in page


def test_an_empty_list_says_what_to_paste(client: TestClient) -> None:
    answer = paste(client, "  \n ")
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert "Paste at least one line" in answer.text  # type: ignore[attr-defined]


def test_a_supplier_s_link_is_a_web_address(client: TestClient) -> None:
    suppliers = "/buy/suppliers"
    wrong = fill(client, f"{suppliers}/new", suppliers, name="Mill", url="javascript:alert(1)")
    assert wrong.status_code == 422
    assert 'id="e-url"' in wrong.text
    right = fill(client, f"{suppliers}/new", suppliers, name="Mill", url="https://mill.example/")
    assert right.status_code == 303
    assert 'href="https://mill.example/"' in client.get(right.headers["location"]).text


def test_a_quote_is_chosen_and_left_again_by_one_button(client: TestClient) -> None:
    order(client)
    shea, mill = number_of(client, MATERIALS, "Shea butter"), number_of(client, "/buy/suppliers", "The mill")
    there = f"{MATERIALS}/{shea}"
    quote = {"supplier": str(mill), "until": "2027-01-31", "size": "1", "unit": "kg", "price": "11"}
    assert fill(client, f"/buy/quotes/new?material={shea}", "/buy/quotes", named=quote).status_code == 303
    quoted = client.get(there).text.split("/counts", 1)[0].rsplit('"', 1)[1]
    choose, look = f"{quoted}/choose", f"{quoted}/counts"
    assert client.post(choose, data=fields(client, look, choose)).status_code == 303
    page = client.get(there).text
    assert "Which price counts: quote" in page
    assert "11.00" in page
    assert client.post(choose, data=fields(client, look, choose)).status_code == 303
    assert "Which price counts: latest" in client.get(there).text


def test_what_the_last_purchase_changed_is_said_in_percent(client: TestClient) -> None:
    order(client, day="2026-03-02")
    shea, mill = number_of(client, MATERIALS, "Shea butter"), number_of(client, "/buy/suppliers", "The mill")
    assert "than before" not in client.get(MATERIALS).text
    again = {"supplier": str(mill), "new_supplier": ""}
    assert order(client, **again, **{"lines-0-price": "15.50"}).status_code == 303
    # 15.50 / 12.40 = 1.25
    assert "25.0 % dearer than before" in client.get(MATERIALS).text.replace("\u00a0", " ")
    page = client.get(f"{MATERIALS}/{shea}").text.replace("\u00a0", " ")
    assert "25.0 % dearer than from 2 Mar 2026 on" in page


def test_statements_do_not_grow_with_the_purchases(client: TestClient) -> None:
    order(client, day="2026-03-02")
    shea, mill = number_of(client, MATERIALS, "Shea butter"), number_of(client, "/buy/suppliers", "The mill")
    there = f"{MATERIALS}/{shea}"

    def counted() -> str:
        client.get(there)
        return str(client.get(there).headers["server-timing"].split("sql", 1)[1])

    few = counted()
    for day in range(1, 6):
        again = {"supplier": str(mill), "new_supplier": ""}
        assert order(client, day=f"2026-05-0{day}", **again).status_code == 303
    assert counted() == few


def test_a_material_changed_meanwhile_is_said_and_nothing_lost(client: TestClient) -> None:
    there = add(client)
    early = fields(client, f"{there}/edit", there)
    assert fill(client, f"{there}/edit", there, inci="Olea Europaea").status_code == 303
    answer = client.post(there, data=changed(early, note="from the press"))
    assert answer.status_code == 409
    assert "from the press" in answer.text
    assert "It now says: Olea Europaea." in answer.text


def test_hostile_names_are_only_text(client: TestClient) -> None:
    there = add(client, name="<img src=x onerror=alert(1)>", inci='"><script>', note="<b>note</b>")
    for path in (there, f"{there}/edit", MATERIALS):
        page = client.get(path).text
        assert "<img src=x" not in page
        assert '"><script>' not in page
        assert "<b>note" not in page


def test_cautions_stand_beside_what_can_hurt(client: TestClient) -> None:
    page = client.get(add(client, name="Lavender oil", nature="essential oil", nut="yes")).text
    assert "skin limits" in page
    assert "It comes from a nut" in page
    assert "Cautions<" not in client.get(add(client, name="Clay", nature="other")).text


def test_a_list_with_a_bad_line_says_which_and_keeps_none(client: TestClient) -> None:
    answer = paste(client, "Shea butter; 12; kg\nbad\nTin; x; piece")
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert "2 of 3 lines cannot be kept yet: 2, 3." in answer.text  # type: ignore[attr-defined]
    assert 'id="e-list"' in answer.text  # type: ignore[attr-defined]
    assert "No material yet." in client.get(MATERIALS).text


def test_a_starting_price_of_nothing_is_a_price(client: TestClient) -> None:
    assert paste(client, "Rain water; 0; kg").status_code == 303  # type: ignore[attr-defined]
    page = client.get(f"{MATERIALS}/{number_of(client, MATERIALS, 'Rain water')}").text
    assert "0.00" in page
    assert "not known yet" not in page.split("Density", 1)[0]


def test_a_published_density_is_taken_over_at_the_press_of_its_button(client: TestClient) -> None:
    order(client, **{"lines-0-material": "Jojoba oil", "lines-0-unit": "US fl oz"})
    there = f"{MATERIALS}/{number_of(client, MATERIALS, 'Jojoba oil')}"
    page = client.get(f"{there}/edit").text
    assert "; seen" not in page
    answer = client.post(there, data={**fields_in(page, there), "more": "density-0", "note": "cold pressed"})
    sent = fields_in(answer.text, there)
    # The published table: jojoba 0.8642 g/mL at 25 degrees (Merck Index).
    assert (sent["density-value"], sent["density-temperature"]) == ("0.8642", "25")
    assert "Merck" in sent["density-source"]
    assert sent["note"] == "cold pressed"
    assert client.get(f"/api/materials/{there.rpartition('/')[2]}").json()["density"] is None
    assert client.post(there, data=sent).status_code == 303
    # 2 packs of 1 US fl oz: 24.80 / (2 x 29.5735295625 x 0.8642 g) = 0.48518 a gram
    assert "485.18" in client.get(there).text


def test_a_first_density_holds_from_the_first_purchase_and_a_later_one_from_its_own_day(client: TestClient) -> None:
    assert order(client, day="2026-01-15").status_code == 303
    there = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    assert fields(client, f"{there}/edit", there)["density-since"] == "2026-01-15"
    assert fill(client, f"{there}/edit", there, named={"density-value": "0.9"}).status_code == 303
    assert fields(client, f"{there}/edit", there)["density-since"] == "2026-01-15"
    assert "0.9 g/mL" in client.get(f"{there}?on=2026-03-01").text
