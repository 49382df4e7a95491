"""The pages of channels: the worked jar, what changed from which day on, put away and brought back; hostile names."""

from __future__ import annotations

import re
from unicodedata import normalize

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import CHANNELS, PEOPLE, PRODUCTS, jar, kitchen, number_of
from webapp.costing.selling_shapes import CHANNEL
from webapp.pages.price.channel_past import FIELDS


def stall(client: TestClient) -> str:
    """A jar at 1.24 of shea butter, a stall with a target of 50 %: 2.48 before its ending."""
    kitchen(client)
    assert jar(client).status_code == 303
    return f"{CHANNELS}/{number_of(client, CHANNELS, 'Stall')}"


@pytest.mark.parametrize(
    ("typed", "price"),
    [
        ({}, "2.48"),
        ({"endings": ".50"}, "2.50"),
        ({"endings": ".00 .95"}, "2.95"),
        ({"endings": ".48"}, "2.48"),  # it is there already: it stays
        ({"endings": ".00"}, "3.00"),
        ({"step": "0.25"}, "2.50"),
        ({"target": "38", "endings": ".00"}, "2.00"),  # 1.24 / 0.62 = 2.00 exactly: not a step too high
    ],
)
def test_the_worked_jar_moves_to_the_ending(client: TestClient, typed: dict[str, str], price: str) -> None:
    there = stall(client)
    part = client.post(f"{there}/worked", data=changed(fields(client, there, there), named=typed)).text
    figures = re.findall(r"Suggested price</dt><dd>.*?<span class=\"figure\">([^<]*)", part, re.DOTALL)
    assert figures in ([f"£{price}"], [f"€{price}"])


def test_the_worked_jar_says_why_there_is_no_price(client: TestClient) -> None:
    there = stall(client)
    part = client.post(f"{there}/worked", data=changed(fields(client, there, there), share_net="60")).text
    assert "No price reaches the target" in part
    assert "/how" not in part
    assert 'value="50"' in client.get(there).text  # nothing was stored


def test_all_that_changed_is_said_by_day(client: TestClient) -> None:
    there = stall(client)
    new = {
        "since": "2026-12-01",
        "target": "45",
        "tax": "in",
        "tax_rate": "20",
        "share_paid": "2.5",
        "fee": "0.30",
        "postage": "3.10",
        "postage_charged": "3.95",
        "endings": ".50 .95",
    }
    assert fill(client, there, there, named=new).status_code == 303
    page = client.get(f"{there}?on=2026-12-01").text.split("How it was at other times", 1)[1]
    words = " ".join(re.sub("<[^>]*>", " ", page).replace("\u00a0", " ").split())
    later, first = words.split("From 25 Nov 2026", 1)
    for said in (
        "From 1 Dec 2026",
        "Target margin: 45 %, before 50 %",
        "Sales tax: it is in the price, before none is charged",
        "Rate of sales tax: 20 %, before 0 %",
        "Takes of what the buyer pays: 2.5 %, before 0 %",
        "Endings of prices: .50 .95, before none",
    ):
        assert said in later, said
    money = {"Fixed fee on an order": "0.30", "Postage you pay": "3.10", "Postage you charge": "3.95"}
    for label, amount in money.items():
        assert re.search(f"{label}: .{amount}, before .0.00", later), label
    assert "Pitch" not in later
    assert "Target margin: 50 %" in first


def test_the_history_of_a_channel_leaves_no_field_out() -> None:
    assert {name for name, _, _ in FIELDS} == {field.name for field in CHANNEL.fields} - {"since", "name", "note"}


def test_a_channel_put_away_comes_back_with_its_prices(client: TestClient) -> None:
    there = stall(client)
    product = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}"
    where = f"{product}/{there.rsplit('/', 1)[1]}/price"
    assert fill(client, where, where, amount="3.33").status_code == 303
    assert fill(client, there, f"{there}/retire").status_code == 303
    assert "<h2>Put away</h2>" in client.get(CHANNELS).text
    assert "3.33" not in client.get(product).text
    assert "There is no channel to sell it on." in client.get(product).text
    assert fill(client, there, f"{there}/restore").status_code == 303
    assert "<h2>Put away</h2>" not in client.get(CHANNELS).text
    assert "3.33" in client.get(product).text


@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>",
        '"><img src=x onerror=alert(1)>',
        "{{ 7 * 7 }}",
        "B" * 200,
        "\u0634\u0645\u0639 \u05e9\u05e2\u05d5\u05d5\u05d4",
        "\U0001f9f4 Pot \U0001f469\u200d\U0001f52c",
        "e\u0301\u0323 Cre\u0300me",
    ],
)
def test_a_hostile_name_is_kept_as_words_or_refused_in_words(client: TestClient, name: str) -> None:
    kitchen(client)
    answer = jar(client, name=name)
    if answer.status_code == 422:
        assert 'aria-invalid="true"' in answer.text
        assert fields_in(answer.text, PRODUCTS)["fills-0-declared"] == "100"
        pages = [answer.text, client.get(PRODUCTS).text]
        assert "No product yet." in pages[1]
    else:
        assert answer.status_code == 303
        there = answer.headers["location"].split("?", 1)[0]
        channel = number_of(client, CHANNELS, "Stall")
        acts = ("", "/edit", "/copy", "/try", "/how/full", f"/{channel}/price", f"/{channel}/how/margin")
        pages = [client.get(there + act).text for act in acts] + [client.get(PRODUCTS).text, client.get("/price").text]
        assert fields(client, f"{there}/edit", there)["name"] == normalize("NFC", name)
    for page in pages:
        assert "<script>alert" not in page
        assert "<img src=x" not in page
    assert "7 * 7" not in name or any(name in page for page in pages)


def test_after_the_first_channel_the_way_leads_to_the_price(client: TestClient) -> None:
    kitchen(client)
    named = {"name": "Ann", "wage-per_hour": "18"}
    assert fill(client, f"{PEOPLE}/new", PEOPLE, named=named).status_code == 303
    timed = {"work-0-person": str(number_of(client, PEOPLE, "Ann")), "work-0-per_jar": "0"}
    there = str(jar(client, **timed).headers["location"]).split("?", 1)[0]
    stall = number_of(client, CHANNELS, "Stall")
    page = client.get(CHANNELS).text
    # 12.40 a kg in jars of 100 g, half of the price to be left
    assert "Jar, Stall: €2.48 is suggested." in page
    assert f'href="{there}#c-{stall}"' in page
    assert f'id="c-{stall}"' in client.get(there).text
    assert fill(client, f"{there}/{stall}/price", f"{there}/{stall}/price", amount="2.50").status_code == 303
    assert "is suggested." not in client.get(CHANNELS).text


def test_a_figure_that_is_missing_stands_before_the_first_price(client: TestClient) -> None:
    kitchen(client)
    named = {"name": "Ann", "wage-per_hour": ""}
    assert fill(client, f"{PEOPLE}/new", PEOPLE, named=named).status_code == 303
    timed = {"work-0-person": str(number_of(client, PEOPLE, "Ann")), "work-0-per_jar": "2"}
    assert jar(client, **timed).status_code == 303
    assert "What an hour of Ann is worth is not known yet." in client.get(CHANNELS).text


def test_shops_are_offered_as_a_channel_until_there_is_one(client: TestClient) -> None:
    kitchen(client)
    assert f'href="{CHANNELS}/new?kind=wholesale"' in client.get(CHANNELS).text
    assert fields(client, f"{CHANNELS}/new?kind=wholesale", CHANNELS)["kind"] == "wholesale"
    assert (
        fields(client, f"{CHANNELS}/new?kind=other", CHANNELS)["kind"]
        == fields(client, f"{CHANNELS}/new", CHANNELS)["kind"]
    )
    assert fill(client, f"{CHANNELS}/new?kind=wholesale", CHANNELS, name="Shops").status_code == 303
    assert "Do shops sell your jars too?" not in client.get(CHANNELS).text


def test_the_form_of_a_channel_folds_what_says_nothing_and_names_the_workshop_s_target(client: TestClient) -> None:
    there = stall(client)
    terms = "/settings/terms"
    assert fill(client, terms, terms, target="40").status_code == 303
    page = client.get(f"{CHANNELS}/new").text.replace("\u00a0", " ")
    assert "Empty: the workshop&#39;s 40 %." in page
    assert page.count('<details class="fold">') == 6
    typed = {"share_paid": "2.5", "endings": ".50", "jars_per_order": "3"}
    assert fill(client, there, there, named=typed).status_code == 303
    again = client.get(there).text
    assert again.count('<details class="fold" open>') == 3
    assert again.count('<details class="fold">') == 2  # a selling day, what its price list says


def test_a_price_stands_beside_a_new_channel_before_it_has_a_name(client: TestClient) -> None:
    stall(client)
    # 12.40 a kg in jars of 100 g at the workshop's target; 1.24 / 0.5 as soon as 50 % are typed
    page = client.get(f"{CHANNELS}/new").text
    assert "As soon as there is" not in page
    assert "Jar, as it would be priced:" in page
    sent = changed(fields(client, f"{CHANNELS}/new", CHANNELS), name="", target="50")
    part = client.post(f"{CHANNELS}/worked", data=sent).text
    assert (
        "Jar: <strong>€2.48</strong> there"
        in part[part.index('id="worked-sum" class="where-narrow" hx-swap-oob="true"') :]
    )
    assert client.post(CHANNELS, data=sent).status_code == 303
    assert ">Stall 2</a>" in client.get(CHANNELS).text  # it is kept by the next name of its kind


def test_without_a_product_the_form_of_a_channel_says_that_there_is_none(client: TestClient) -> None:
    kitchen(client)
    assert "There is no product yet." in client.get(f"{CHANNELS}/new").text


def test_a_new_channel_has_the_name_of_its_kind_until_it_is_typed(client: TestClient) -> None:
    assert fields(client, f"{CHANNELS}/new", CHANNELS)["name"] == "Stall"
    sent = fields(client, f"{CHANNELS}/new?kind=wholesale", CHANNELS)
    assert sent["name"] == "Shops"
    other = client.post(f"{CHANNELS}/worked", data={**sent, "kind": "web shop"}).text
    assert 'data-into="name" data-text="Own web shop" data-over="Shops"' in other
    typed = client.post(f"{CHANNELS}/worked", data={**sent, "name": "Corner shops", "kind": "web shop"}).text
    assert "data-into" not in typed
    assert client.post(CHANNELS, data={**sent, "name": ""}).status_code == 303
    assert ">Shops</a>" in client.get(CHANNELS).text
    assert fields(client, f"{CHANNELS}/new?kind=wholesale", CHANNELS)["name"] == "Shops 2"


def test_shops_say_why_the_own_price_rises_with_theirs(client: TestClient) -> None:
    stall(client)
    sent = changed(fields(client, f"{CHANNELS}/new?kind=wholesale", CHANNELS), target="20")
    part = client.post(f"{CHANNELS}/worked", data=sent).text
    words = " ".join(re.sub("<[^>]*>", " ", part).split())
    # 1.24 / 0.8 = 1.55 to the shops, who keep half of 3.10; the stall alone would ask for 2.48.
    why = r"A shop that pays this sells it at .3\.10, .* rises with it: Stall from .2\.48 to .3\.10\."
    assert re.search(why, words), words
    assert client.post(CHANNELS, data=sent).status_code == 303
    there = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}"
    page = " ".join(re.sub("<[^>]*>", " ", client.get(there).text).split())
    assert re.search(r".2\.48 for your target alone; held up so that you do not undercut shops", page)
    shelf = f"{CHANNELS}/{number_of(client, CHANNELS, 'Stall')}"
    worked = client.post(f"{shelf}/worked", data=fields(client, shelf, shelf)).text
    assert "your own price does not undercut them" in worked


def test_a_shop_on_consignment_is_asked_for_its_share_in_words(client: TestClient) -> None:
    kitchen(client)
    asked = fill(client, f"{CHANNELS}/new", CHANNELS, name="Salon", kind="consignment")
    assert asked.status_code == 200
    assert "of the price on its shelf, as the buyer pays it, or of the price without tax" in asked.text
    before = asked.text[: asked.text.index('name="share_paid"')]
    assert before[before.rindex("<details") :].startswith('<details class="fold" open>')
    assert client.post(CHANNELS, data=changed(fields_in(asked.text, CHANNELS), share_paid="40")).status_code == 303


def test_what_a_worked_jar_costs_is_opened_once_beside_its_form(client: TestClient) -> None:
    """Its other figures are made of it, and say where it stands."""
    stall(client)
    part = client.get(f"{CHANNELS}/new").text.partition('id="worked"')[2]
    terms = ("Suggested price", "Costs, with selling it", "Fees")
    suggested, costs, fees = (part.partition(f"<dt>{term}</dt>")[2].partition("<dt>")[0] for term in terms)
    assert "cost, opened below" in suggested
    assert [("Shea butter" in one) for one in (suggested, costs, fees)] == [False, True, False]
