"""The pages of products: defining, the cost sheet, prices, targets, jars a month, trying a price."""

from __future__ import annotations

import csv
import re
from decimal import ROUND_HALF_UP, Decimal

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, doubts_in, fields, fields_in, fill
from tests.pages.workshop import CHANNELS, ORDER, PARTS, PEOPLE, PRODUCTS, example, jar, kitchen, number_of, order
from webapp import resource_dir


def made(client: TestClient, **more: str) -> str:
    kitchen(client)
    answer = jar(client, **more)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"]).split("?", 1)[0]


def pair(client: TestClient, there: str, kind: str = "price") -> str:
    return f"{there}/{number_of(client, CHANNELS, 'Stall')}/{kind}"


def test_an_empty_list_says_what_to_do(client: TestClient) -> None:
    assert "No product yet." in client.get(PRODUCTS).text


def test_the_cost_sheet_and_the_price(client: TestClient) -> None:
    page = client.get(made(client)).text
    # 1000 g at 12.40 a kg in 10 jars of 100 g: 1.24 each; at a target of 50 % 2.48; nothing is left at 1.24.
    assert "good jars of a batch" in page
    assert page.count("1.24") >= 3
    assert "2.48" in page


def test_a_figure_opens_down_to_the_order_line(client: TestClient) -> None:
    there = made(client)
    page = client.get(f"{there}/how/full").text
    assert "Shea butter" in page
    assert "price per pack" in page
    assert "/buy/orders/" in page
    channel = number_of(client, CHANNELS, "Stall")
    opened = client.get(f"{there}/{channel}/how/suggested")
    assert opened.status_code == 200
    assert "price per pack" in opened.text
    assert client.get(f"{there}/{channel}/how/nothing").status_code == 404
    assert client.get(f"{there}/how/jars-0").status_code == 200
    assert client.get(f"{there}/how/jars-1").status_code == 404


def test_a_sheet_tells_what_is_added_from_what_it_comes_to(client: TestClient) -> None:
    page = client.get(made(client)).text
    sums = re.findall(r'<tr class="total">\s*<th scope="row">= ([A-Z][a-z ]+?) <a', page)
    assert sums == ["Materials per jar", "Direct cost", "Full cost"]
    assert '>how</a><div id="how-margin' not in page
    assert "How the margin comes about" in page


def test_a_sum_leads_to_the_line_of_the_order_and_the_order_marks_it(client: TestClient) -> None:
    found = re.search(r'href="(/buy/orders/\d+)#(line-0)"', client.get(f"{made(client)}/how/ingredients").text)
    assert found
    assert f'<tr id="{found[2]}">' in client.get(found[1]).text


def test_a_figure_opens_in_place_where_htmx_asks(client: TestClient) -> None:
    there = made(client)
    asked = {"HX-Request": "true", "HX-Request-Type": "partial"}
    part = client.get(f"{there}/how/full", headers=asked).text
    assert "<html" not in part
    assert "price per pack" in part


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"name": "", "fills-0-declared": ""}, "Give it a name."),
        ({"fills-0-declared": ""}, "Type what the label declares."),
        ({"fills-0-declared": "1000.5"}, "too little for one jar to sell"),
        ({"fills-0-formula": ""}, "Choose what goes in, or take this line out."),
        ({"set_aside": "10"}, "too little for one jar to sell"),
        ({"loss_grams": "1000"}, "All of the batch is lost"),
        ({"parts-0-what": "material:999", "parts-0-pieces": "1"}, "Choose one from the list"),
        ({"parts-0-what": "a lid"}, "Choose one from the list"),
    ],
)
def test_a_fault_is_said_and_nothing_is_kept(client: TestClient, wrong: dict[str, str], words: str) -> None:
    kitchen(client)
    answer = jar(client, note="for winter", **wrong)
    assert answer.status_code == 422
    assert words in answer.text
    assert "for winter" in answer.text
    assert "No product yet." in client.get(PRODUCTS).text


@pytest.mark.parametrize(
    ("typed", "at", "words"),
    [
        ({"parts-0-what": "", "parts-0-pieces": "4"}, "parts-0-material", "or take this line out."),
        ({"parts-0-what": "", "parts-0-spoiled": "2.5"}, "parts-0-material", "or take this line out."),
        ({"fills-1-formula": "", "fills-1-overfill": "3"}, "fills-1-formula", "or take this line out."),
        ({"members-0-product": "", "members-0-count": "6"}, "members-0-product", "or take this line out."),
    ],
)
def test_what_stands_beside_something_that_was_chosen_away_is_kept_and_told(
    client: TestClient, typed: dict[str, str], at: str, words: str
) -> None:
    kitchen(client)
    answer = jar(client, **typed)
    assert answer.status_code == 422
    name, amount = list(typed.items())[-1]
    assert re.search(rf'id="e-{at}"[^>]*>[^<]*{words}', answer.text)
    assert re.search(rf'name="{name}"[^>]* value="{amount}"', answer.text)
    assert "No product yet." in client.get(PRODUCTS).text


def test_spoiled_pieces_of_no_part_are_told_in_a_group_too(client: TestClient) -> None:
    named = {"name": "Tin and label", "parts-0-material": "", "parts-0-spoiled": "2.5"}
    answer = fill(client, f"{PARTS}/new", PARTS, named=named)
    assert answer.status_code == 422
    assert "Choose the part, or take this line out." in answer.text
    assert 'value="2.5"' in answer.text


def test_more_than_the_jar_holds_is_asked(client: TestClient) -> None:
    kitchen(client)
    tin = {
        "lines-0-material": "Tin",
        "lines-0-new_kind": "packaging",
        "lines-0-size": "10",
        "lines-0-unit": "pieces",
        "new_supplier": "Tin maker",
    }
    order(client, **tin)
    materials, formulas = "/buy/materials", "/make/formulas"
    number, melt = number_of(client, materials, "Tin"), number_of(client, formulas, "Melt")
    assert fill(client, f"{materials}/{number}/edit", f"{materials}/{number}", holds_ml="50").status_code == 303
    assert fill(client, f"{formulas}/{melt}/edit", f"{formulas}/{melt}", density="0.9").status_code == 303
    asked = jar(client, **{"fills-0-declared": "60", "parts-0-what": f"material:{number}"})
    assert asked.status_code == 200
    assert "66.7 mL into a jar that holds 50 mL" in asked.text
    assert "No product yet." in client.get(PRODUCTS).text
    sent = fields_in(asked.text, PRODUCTS)
    assert client.post(PRODUCTS, data={**sent, "sure": doubts_in(asked.text)}).status_code == 303


def worker(client: TestClient) -> int:
    """Ann works here, at 18 an hour."""
    named = {"name": "Ann", "wage-per_hour": "18"}
    assert fill(client, f"{PEOPLE}/new", PEOPLE, named=named).status_code == 303
    return number_of(client, PEOPLE, "Ann")


def test_a_jar_without_working_time_is_asked_and_says_so_where_it_is_kept_so(client: TestClient) -> None:
    kitchen(client)
    ann = str(worker(client))
    asked = jar(client)
    assert asked.status_code == 200
    assert "No working time is said, so a jar bears no pay." in asked.text
    assert "No product yet." in client.get(PRODUCTS).text
    kept = client.post(PRODUCTS, data={**fields_in(asked.text, PRODUCTS), "sure": doubts_in(asked.text)})
    there = kept.headers["location"].split("?", 1)[0]
    assert "No working time is said, so no pay is in it" in client.get(there).text
    assert "without working time" in client.get("/price").text
    # 2 minutes at 18 an hour are 0.60 on 1.24 of shea butter
    timed = {"work-0-person": ann, "work-0-per_jar": "2"}
    assert fill(client, f"{there}/edit", there, named=timed).status_code == 303
    page = client.get(there).text
    assert "1.84" in page
    assert "No working time" not in page
    assert "without working time" not in client.get("/price").text


def test_a_new_product_starts_with_what_there_is_only_one_of_and_few_blank_lines(client: TestClient) -> None:
    kitchen(client)
    ann, melt = str(worker(client)), str(number_of(client, "/make/formulas", "Melt"))
    sent = fields(client, f"{PRODUCTS}/new", PRODUCTS)
    assert (sent["fills-0-formula"], sent["fills-0-unit"], sent["work-0-person"]) == (melt, "g", ann)
    assert sent["parts-0-pieces"] == "1"
    for row, count in (("fills", 1), ("parts", 2), ("work", 1), ("members", 1), ("one_offs", 1)):
        assert any(name.startswith(f"{row}-{count - 1}-") for name in sent), row
        assert not any(name.startswith(f"{row}-{count}-") for name in sent), row
    more = client.post(PRODUCTS, data={**sent, "more": "fills"})
    assert "fills-1-formula" in fields_in(more.text, PRODUCTS)


@pytest.mark.parametrize(
    ("typed", "name", "declared"),
    [("100", "Melt 100 g", "100 g"), ("100 g", "Melt 100 g", "100 g"), ("50ml", "Melt 50 mL", "50 mL")],
)
def test_a_product_without_a_name_is_called_as_its_formula_with_its_size(
    client: TestClient, typed: str, name: str, declared: str
) -> None:
    kitchen(client)
    answer = jar(client, **{"name": "", "fills-0-declared": typed})
    assert answer.status_code == 303, answer.text
    page = client.get(answer.headers["location"]).text.replace("\u00a0", " ")
    assert f"<h1>{name}</h1>" in page
    assert f"{declared} of <a" in page


def test_an_overfill_may_name_the_unit_of_what_is_declared_and_no_other(client: TestClient) -> None:
    kitchen(client)
    assert jar(client, **{"fills-0-overfill": "2 mL"}).status_code == 422
    kept = jar(client, **{"fills-0-overfill": "2 g"})
    assert "2 g overfill" in client.get(kept.headers["location"]).text.replace("\u00a0", " ")


def test_the_live_cost_stands_in_the_bar_of_a_narrow_screen_too(client: TestClient) -> None:
    kitchen(client)
    sent = changed(fields(client, f"{PRODUCTS}/new", PRODUCTS), named={"fills-0-declared": "250"})
    part = client.post(f"{PRODUCTS}/costed", data=sent).text
    bar = part[part.index('id="costed-sum"') :]
    assert 'hx-swap-oob="true"' in bar
    # 12.40 in 4 jars of 250 g, and half of the price to be left
    assert "A jar costs <strong>€3.10</strong>" in bar
    assert "Stall <strong>€6.20</strong>" in bar
    whole = client.get(f"{PRODUCTS}/new").text
    assert whole.count('id="costed-sum"') == 1
    assert "hx-swap-oob" not in whole


def test_the_cost_follows_what_is_typed_and_stores_nothing(client: TestClient) -> None:
    kitchen(client)
    melt = number_of(client, "/make/formulas", "Melt")
    typed = {"name": "Jar", "fills-0-formula": str(melt), "fills-0-declared": "250"}
    sent = changed(fields(client, f"{PRODUCTS}/new", PRODUCTS), named=typed)
    part = client.post(f"{PRODUCTS}/costed", data=sent).text
    assert "3.10" in part
    assert "6.20" in part
    assert "No product yet." in client.get(PRODUCTS).text


def test_the_cost_of_a_kept_product_follows_what_is_typed(client: TestClient) -> None:
    there = made(client)
    page = client.get(f"{there}/edit").text
    assert f'hx-post="{there}/costed"' in page
    sent = changed(fields_in(page, there), named={"fills-0-declared": "250"})
    part = client.post(f"{there}/costed", data=sent).text
    assert "3.10" in part  # 12.40 in 4 jars of 250 g
    assert "6.20" in part


def test_a_price_is_accepted_with_its_reason(client: TestClient) -> None:
    there = made(client)
    where = pair(client, there)
    assert "2.48" in fields(client, where, where)["amount"]
    assert fill(client, where, where, amount="3", why="a round one").status_code == 303
    page = client.get(there).text
    assert "3.00" in page
    assert "a round one" in page
    assert "2.48" in page
    # (3 - 1.24) / 3 = 58.67 %
    assert "58.7" in page


@pytest.mark.parametrize(
    ("amount", "status", "words"),
    [
        ("", 422, "Type the price."),
        ("2.485", 422, "two decimals"),
        ("-1", 422, "0 or more"),
        ("10000000", 422, "at most"),
        ("0", 200, "would be given away"),
        ("1,234", 422, "two ways"),
    ],
)
def test_a_price_that_cannot_be_is_said(client: TestClient, amount: str, status: int, words: str) -> None:
    where = pair(client, made(client))
    answer = fill(client, where, where, amount=amount)
    assert answer.status_code == status
    assert words in answer.text
    assert "No price accepted yet" in client.get(where).text


def test_a_target_of_its_own_and_the_channel_s_again(client: TestClient) -> None:
    there = made(client)
    where = pair(client, there, "target")
    assert fill(client, where, where, margin="60").status_code == 303
    # 1.24 / 0.4 = 3.10
    assert "3.10" in client.get(there).text
    assert fill(client, where, where, margin="").status_code == 303
    assert "3.10" not in client.get(there).text


def test_jars_a_month_are_kept(client: TestClient) -> None:
    there = made(client)
    where = pair(client, there, "sales")
    assert fill(client, where, where, jars="22").status_code == 303
    assert "22" in client.get(there).text
    assert fill(client, where, where, jars="x").status_code == 422


def test_trying_an_offer_stores_nothing(client: TestClient) -> None:
    there = made(client)
    channel = number_of(client, CHANNELS, "Stall")
    page = client.get(f"{there}/try?channel={channel}&amount=5&jars=2").text
    # 2.50 a jar: (2.50 - 1.24) / 2.50 = 50.4 %
    assert "2.50" in page
    assert "50.4" in page
    off = client.get(f"{there}/try?channel={channel}&amount=4&off=50").text
    assert "2.00" in off
    assert "38.0" in off or "38 %" in off.replace("\u00a0", " ")
    assert client.get(f"{there}/try?amount=abc").status_code == 422
    assert "No price accepted yet" in client.get(pair(client, there)).text


def test_a_copy_to_another_size(client: TestClient) -> None:
    there = made(client)
    answer = fill(client, f"{there}/copy", PRODUCTS, named={"name": "Jar 200 g", "fills-0-declared": "200"})
    assert answer.status_code == 303
    assert "2.48" in client.get(answer.headers["location"]).text


def test_a_day_before_it_was_there_does_not_know_it(client: TestClient) -> None:
    there = made(client)
    assert client.get(f"{there}?on=2026-01-01").status_code == 404
    assert "As it was on" in client.get(f"{there}?on=2026-11-25").text


def test_parts_that_go_together_serve_every_size(client: TestClient) -> None:
    kitchen(client)
    tin = {
        "lines-0-material": "Tin",
        "lines-0-new_kind": "packaging",
        "lines-0-packs": "1",
        "lines-0-size": "10",
        "lines-0-unit": "pieces",
        "lines-0-price": "5",
        "new_supplier": "Tin maker",
    }
    order(client, **tin)
    number = number_of(client, "/buy/materials", "Tin")
    answer = fill(client, f"{PARTS}/new", PARTS, named={"name": "Dressed tin", "parts-0-material": str(number)})
    assert answer.status_code == 303
    group = number_of(client, PARTS, "Dressed tin")
    page = client.get(jar(client, **{"parts-0-what": f"group:{group}"}).headers["location"]).text
    assert "1.74" in page  # 1.24 + 5 / 10
    assert '<td data-label="Used in">Jar</td>' in client.get(PARTS).text
    empty = fill(client, f"{PARTS}/new", PARTS, name="Nothing")
    assert empty.status_code == 422


def expected() -> dict[tuple[str, str], Decimal]:
    """The figures of products that tests/reckoning.py wrote, by product and figure."""
    with (resource_dir("seed_data") / "expected.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["of"].startswith("product ") and not row["channel"]]
    return {
        (row["of"].removeprefix("product "), row["figure"]): Decimal(row["value"])
        for row in rows
        if not row["value"].startswith("gap")
    }


def test_the_example_s_products_show_what_was_reckoned_apart(client: TestClient) -> None:
    example(client)
    figures = expected()
    names = {"pomade-50": "Firm pomade 50 g", "butter-50": "Hair butter 50 g"}
    for key, name in names.items():
        page = client.get(f"{PRODUCTS}/{number_of(client, PRODUCTS, name)}").text
        for figure in ("ingredients", "packaging", "labour_own", "overhead", "full"):
            amount = figures[key, figure].quantize(Decimal("0.01"), ROUND_HALF_UP)
            assert f"{amount}" in page, (name, figure)


@pytest.mark.long
def test_every_product_of_the_example_opens(client: TestClient) -> None:
    example(client)
    page = client.get(PRODUCTS).text
    numbers = set(re.findall(r'href="/price/products/([0-9]+)"', page))
    assert len(numbers) == 14
    for number in numbers:
        for act in ("", "/edit", "/copy", "/try", "/how/full"):
            assert client.get(f"{PRODUCTS}/{number}{act}").status_code == 200


def test_working_it_out_adds_no_line_and_stores_nothing(client: TestClient) -> None:
    kitchen(client)
    melt = number_of(client, "/make/formulas", "Melt")
    typed = {"name": "Jar", "fills-0-formula": str(melt), "fills-0-declared": "250", "more": "look"}
    answer = fill(client, f"{PRODUCTS}/new", PRODUCTS, named=typed)
    assert answer.status_code == 200
    assert "3.10" in answer.text
    assert 'name="fills-2-declared"' not in answer.text
    assert "No product yet." in client.get(PRODUCTS).text


def test_who_fills_the_jars_is_made_with_the_product(client: TestClient) -> None:
    ann = {"work-0-new_person": "Ann", "work-0-new_wage": "18", "work-0-per_jar": "3"}
    kitchen(client)
    melt = {
        "name": "Jar",
        "fills-0-formula": str(number_of(client, "/make/formulas", "Melt")),
        "fills-0-declared": "100",
    }
    sent = changed(fields(client, f"{PRODUCTS}/new", PRODUCTS), named={**melt, **ann})
    live = client.post(f"{PRODUCTS}/costed", data=sent).text
    assert "2.14" in live  # 1.24 and 3 minutes at 18.00 an hour
    assert "Nobody works here yet." in client.get(PEOPLE).text
    made = client.post(PRODUCTS, data=sent)
    assert made.status_code == 303
    assert "2.14" in client.get(made.headers["location"]).text
    assert "18.00" in client.get(PEOPLE).text
    assert client.post(PRODUCTS, data=sent).headers["location"] == made.headers["location"]  # sent twice, kept once
    refused = client.post(PRODUCTS, data={**sent, "token": "another-token", "work-0-new_person": ""})
    assert refused.status_code == 422
    assert fields_in(refused.text, PRODUCTS)["work-0-new_wage"] == "18"


def test_what_it_may_cost_never_reads_as_less_than_a_cost_that_fits(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """1.376 a jar; at 2.76 and 50.1 % it may cost 1.37724: both rounded, 1.38 and 1.37. At 50 % it may cost 1.38."""
    monkeypatch.setitem(ORDER, "lines-0-price", "13.76")
    kitchen(client)
    assert jar(client).status_code == 303
    named = {"name": "Fair", "kind": "stall", "target": "50.1"}
    assert fill(client, f"{CHANNELS}/new", CHANNELS, named=named).status_code == 303
    page = client.get(f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}").text
    words = " ".join(re.sub("<[^>]*>", " ", page).split())
    assert re.search(r"Cost there .1\.38 .*May cost at most .1\.37 .*before rounding its cost is no more", words)
    assert page.count("before rounding") == 1
