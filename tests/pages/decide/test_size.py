"""Whether another size is worth offering, on the page. Expected figures are from paper, by method.md section 8.

A jar of 100 g costs 1.24 of shea butter and is sold at 3.24: it contributes 2.00. One of 200 g costs 2.48; ten of them
a month, half of whose buyers would have bought two small ones, take 20.00 of it away.
"""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.decide.test_pay import priced, text
from tests.pages.filling import doubts_in, fields, fields_in
from tests.pages.workshop import CHANNELS, PRODUCTS, example, number_of

SIZE = "/decide/size"
OFFER, KEEP = f"{SIZE}/offer", f"{SIZE}/keep"


def question(client: TestClient, product: int, **more: str) -> dict[str, str]:
    """What the form sends for a jar of 200 g at 6.00, ten a month, half of them traded up."""
    sent = fields(client, f"{SIZE}?product={product}", SIZE)
    typed = {"declared": "200", "way": "typed", "price": "6.00"}
    asked = {f"candidates-0-{name}": one for name, one in typed.items()} | {"jars": "10", "share": "50", "more": "ask"}
    return {**sent, **asked, **more}


def asked(client: TestClient, **more: str) -> Any:
    """The page that answers it."""
    product, _ = priced(client)
    return client.get(SIZE, params=question(client, product, **more))


def test_an_empty_line_says_what_to_do(client: TestClient) -> None:
    assert "The line is empty." in client.get(SIZE).text


def test_a_product_brings_its_channel_its_unit_and_what_it_has_now(client: TestClient) -> None:
    product, stall = priced(client)
    sent = fields(client, f"{SIZE}?product={product}", SIZE)
    assert (sent["product"], sent["channel"], sent["candidates-0-unit"]) == (str(product), str(stall), "g")
    assert "Now 100 g at €3.24." in text(client.get(f"{SIZE}?product={product}").text)


def test_worth_it_by_hand(client: TestClient) -> None:
    page = text(asked(client).text)
    # 6.00 - 2.48 = 3.52; 10 x (3.52 - 0.5 x 2 x 2.00) = 15.20; for one jar a visit 10 x (3.52 - 1.00) = 25.20
    assert "Worth it. Melt 200 g at €6.00, Stall, brings €15.20 a month more than now" in page
    for words in ("€3.52", "€25.20", "88.0 %", "176.0 %"):  # 3.52 / 4.00, 3.52 / 2.00
        assert words in page, words
    # full trade-up loses nothing from 2.48 + 4.00 on, and half of it brings more than nothing from 4.49 on
    assert "€6.48" in page
    assert "Worth it from €4.49" in page
    assert "2 for one" in page


def test_worth_it_only_if(client: TestClient) -> None:
    # 200 within 12 months: 15.20 x 12 = 182.40 is too little, 25.20 x 12 = 302.40 is enough; 200 / 15.20 = 13.16
    page = text(asked(client, one_off="200").text)
    assert "Worth it only if one takes the place of at most" in page
    assert "The €200.00 paid once is back after 13.2 months; you want it back within 12." in page
    assert "One of the two answers above is worth it: €15.20 and €25.20 a month." in page


def test_not_at_this_price(client: TestClient) -> None:
    # 3.00 - 2.48 = 0.52: 10 x (0.52 - 2.00) = -14.80, and 10 x (0.52 - 1.00) = -4.80
    page = text(asked(client, **{"candidates-0-price": "3.00"}).text)
    assert "Not at this price. Melt 200 g at €3.00, Stall, brings €14.80 a month less than now" in page
    assert "−€4.80" in page
    assert "It would be worth it once its price is at least" in page


@pytest.mark.parametrize(
    ("field", "typed"),
    [("jars", "ten"), ("share", "160"), ("candidates-0-declared", ""), ("candidates-0-price", ""), ("jars_low", "11")],
)
def test_what_is_wrong_is_said_at_its_field_and_kept(client: TestClient, field: str, typed: str) -> None:
    answer = asked(client, **{field: typed})
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    sent = fields_in(answer.text, SIZE)
    assert sent[field] == typed
    assert sent["candidates-0-way"] == "typed"


def test_a_new_jar_is_typed_on_the_spot_with_its_price_breaks(client: TestClient) -> None:
    typed = {"jar_name": "Big tin", "jar_price": "0.50", "jar_least": "40", "jar_from": "100", "jar_then": "0.30"}
    page = text(asked(client, **{f"candidates-0-{name}": one for name, one in typed.items()}).text)
    # 40 x 0.50 = 20.00 lasts 4 months; 100 x 0.30 = 30.00 lasts 10; one then costs 0.20 less. 6.00 - 2.98 = 3.02
    for words in (
        "Big tin",
        "€20.00",
        "€3.02",
        "From 100: €0.3000 each, €30.00 that last 10 months; saves €0.2000 a jar",
    ):
        assert words in page, words


def test_every_figure_opens_to_its_sum(client: TestClient) -> None:
    page = asked(client).text
    links = {unescape(one) for one in re.findall(rf'hx-get="({SIZE}/(?:how|row)/[^"]+)"', page)}
    assert len(links) > 15
    for link in links:
        assert client.get(link).status_code == 200, link
    gain = next(link for link in links if "/gain-0" in link)
    assert "€15.20" in text(client.get(gain).text)


@pytest.mark.parametrize(
    "there", ["how/0/nothing-0", "how/9/gain-0", "how/0/gain-7", "row/c0/999/cost", "how/x/gain-0"]
)
def test_what_there_is_not_is_not_found(client: TestClient, there: str) -> None:
    product, _ = priced(client)
    assert client.get(f"{SIZE}/{there}", params=question(client, product)).status_code == 404


def test_offered_it_is_a_product_with_its_price_and_one_undo_takes_it_back(client: TestClient) -> None:
    sent = fields_in(asked(client).text, OFFER) | {"more": "offer-0"}
    answer = client.post(OFFER, data=sent)
    assert answer.status_code == 303
    page = client.get(answer.headers["location"])
    assert "Melt 200 g" in page.text
    assert "€6.00" in page.text
    twice = client.post(OFFER, data=sent)
    assert twice.headers["location"] == answer.headers["location"]
    (undo,) = re.findall(r'action="(/undo/[^"]+)"', page.text)
    assert client.post(undo, data=fields_in(page.text, unescape(undo))).status_code == 303
    assert "Melt 200 g" not in client.get(PRODUCTS).text


def test_what_there_is_to_be_sure_of_is_asked_before_it_is_offered(client: TestClient) -> None:
    free = asked(client, **{"candidates-0-price": "0"})
    stopped = client.post(OFFER, data=fields_in(free.text, OFFER) | {"more": "offer-0"})
    assert stopped.status_code == 200
    (sure,) = doubts_in(stopped.text)
    assert "Melt 200 g" not in client.get(PRODUCTS).text
    sent = fields_in(stopped.text, OFFER) | {"more": "offer-0", "sure": sure}
    assert client.post(OFFER, data=sent).status_code == 303
    assert "Melt 200 g" in client.get(PRODUCTS).text


def test_an_offer_without_its_marks_saves_nothing(client: TestClient) -> None:
    product, _ = priced(client)
    assert client.post(OFFER, data=question(client, product, more="offer-0")).status_code == 428
    assert "Melt 200 g" not in client.get(PRODUCTS).text


def test_a_note_is_kept_on_the_product_asked_again_and_thrown_away(client: TestClient) -> None:
    sent = fields_in(asked(client).text, KEEP) | {"more": "keep-0"}
    answer = client.post(KEEP, data=sent)
    assert answer.status_code == 303
    there = answer.headers["location"]
    page = client.get(there).text
    assert "Worth it. Melt 200 g at €6.00, Stall, brings €15.20 a month more than now" in text(page)
    (again,) = re.findall(rf'href="({SIZE}\?kept=[0-9]+)"', page)
    assert "€15.20 a month more" in text(client.get(again).text)
    (drop,) = re.findall(rf'action="({SIZE}/kept/[0-9]+/drop)"', page)
    gone = client.post(drop, data=fields_in(page, drop))
    assert gone.status_code == 303
    assert "What you found out about sizes" not in client.get(there).text
    assert client.get(again).status_code == 404
    # it says so where it stood, with a way back; sent twice it is kept all the same
    said = client.get(gone.headers["location"]).text
    assert "The note of 25 Nov 2026 was thrown away: Worth it. Melt 200 g at €6.00" in text(said)
    (back,) = re.findall(rf'action="({SIZE}/kept/[0-9]+/keep)"', said)
    for _ in range(2):
        kept = client.post(back, data=fields_in(said, back))
        assert kept.status_code == 303
    assert "€15.20 a month more" in text(client.get(kept.headers["location"]).text)
    assert "was thrown away" not in client.get(gone.headers["location"]).text
    assert client.post(f"{SIZE}/kept/999/keep", data=fields_in(said, back)).status_code == 404


def test_a_note_about_a_set_is_kept_on_its_first_jar(client: TestClient) -> None:
    product, stall = priced(client)
    pair = {"members-0-product": str(product), "members-0-count": "2", "candidates-0-way": "typed", "more": "ask"}
    asks = {"ask": "set", "channel": str(stall), "candidates-0-price": "6.00", "jars": "5", "share": "50", **pair}
    page = client.get(SIZE, params=asks).text
    assert "On Jar, with today’s day." in text(page)
    answer = client.post(KEEP, data=fields_in(page, KEEP) | {"more": "keep-0"})
    assert answer.headers["location"] == f"{PRODUCTS}/{product}#found-out"
    assert "Set of 2 at €6.00" in text(client.get(answer.headers["location"]).text)


def test_a_note_about_something_new_is_kept_on_its_formula(client: TestClient) -> None:
    _, stall = priced(client)
    (formula,) = (one["id"] for one in client.get("/api/formulas").json()["items"])
    typed = {"declared": "100", "way": "typed", "price": "4.00"}, {"declared": "200", "way": "typed", "price": "7.00"}
    sizes = {f"candidates-{n}-{name}": one for n, each in enumerate(typed) for name, one in each.items()}
    asks = {"start": "formula", "formula": str(formula), "channel": str(stall), "jars": "5", "share": "50", **sizes}
    page = client.get(SIZE, params={**asks, "more": "ask"}).text
    assert "<h1>Sizes of something new</h1>" in page
    # 7.00 - 2.48 = 4.52; the first 4.00 - 1.24 = 2.76; 5 x (4.52 - 0.5 x 2 x 2.76) = 8.80
    assert "brings €8.80 a month more than with Melt 100 g alone" in text(page)
    assert "50 % of its buyers would have bought 2 jars of Melt 100 g instead" in text(page)
    assert "small jar" not in text(page)
    answer = client.post(KEEP, data=fields_in(page, KEEP) | {"more": "keep-1"})
    there = answer.headers["location"]
    assert there == f"/make/formulas/{formula}#found-out"
    shown = client.get(there).text
    assert "€8.80 a month more" in text(shown)
    (drop,) = re.findall(rf'action="({SIZE}/kept/[0-9]+/drop)"', shown)
    gone = client.post(drop, data=fields_in(shown, drop)).headers["location"]
    assert gone.startswith(f"/make/formulas/{formula}?thrown=")
    assert "was thrown away" in client.get(gone).text


@pytest.mark.parametrize("tick", [True, False])
def test_expected_jars_are_saved_as_sold_only_with_its_tick(client: TestClient, tick: bool) -> None:
    page = asked(client).text
    assert "Save the 10 a month that I expect as what is sold" in text(page)
    sent = fields_in(page, OFFER) | {"more": "offer-0"}
    assert "sales" not in sent
    client.post(OFFER, data=sent | ({"sales": "yes"} if tick else {}))
    (made,) = (one for one in client.get("/api/line").json()["items"] if one["product_name"] == "Melt 200 g")
    assert made["jars_a_month"] == ("10" if tick else None)


def test_the_tick_stays_while_there_is_something_to_be_sure_of(client: TestClient) -> None:
    free = asked(client, **{"candidates-0-price": "0"})
    sent = fields_in(free.text, OFFER) | {"more": "offer-0", "sales": "yes"}
    assert fields_in(client.post(OFFER, data=sent).text, OFFER)["sales"] == "yes"


def test_a_further_size_has_its_own_expectations(client: TestClient) -> None:
    """4 x 3.52 = 14.08, all of them new, beside 15.20 of the first; left empty they are as of the first."""
    second = {"declared": "200", "name": "Other", "way": "typed", "price": "6.00"}
    typed = {f"candidates-1-{name}": one for name, one in second.items()}
    alike = text(asked(client, **typed).text)
    assert alike.count("€15.20 a month more than now") == 2
    product = client.get("/api/products").json()["items"][0]["id"]
    own = typed | {"candidates-1-jars": "4", "candidates-1-share": "0"}
    page = client.get(SIZE, params=question(client, product, **own)).text
    assert "Other at €6.00, Stall, brings €14.08 a month more than now: 4 jars a month" in text(page)
    offered = client.post(OFFER, data=fields_in(page, OFFER) | {"more": "offer-1", "sales": "yes"})
    assert offered.status_code == 303
    (made,) = (one for one in client.get("/api/line").json()["items"] if one["product_name"] == "Other")
    assert made["jars_a_month"] == "4"


def test_what_was_typed_and_not_asked_is_there_again(client: TestClient) -> None:
    product, _ = priced(client)
    page = client.get(f"{SIZE}?product={product}").text
    beside = dict(re.findall(r'data-beside="([a-z]+)" value="([^"]*)"', page))
    assert not {"draft", "token", "epoch", "version", "page"} & fields_in(page, SIZE).keys()  # none in the address
    sent = {**fields_in(page, SIZE), **{name: unescape(one) for name, one in beside.items()}}
    assert client.post("/drafts", data={**sent, "candidates-0-declared": "2oo", "jars": "7"}).status_code == 204
    again = client.get(SIZE).text
    assert "You were typing this" in text(again)
    stands = fields_in(again, SIZE)
    assert (stands["product"], stands["candidates-0-declared"], stands["jars"]) == (str(product), "2oo", "7")
    assert "A half-entered question about another size" in text(client.get("/").text)
    # an address that asks something is what it asks
    for other in (f"{SIZE}?product={product}", f"{SIZE}?ask=set"):
        assert "You were typing this" not in text(client.get(other).text)
    assert client.post("/drafts/thrown", data={"draft": beside["draft"]}).status_code == 303
    assert "You were typing this" not in text(client.get(SIZE).text)


def test_as_it_is_typed_the_answer_or_what_is_still_wanted(client: TestClient) -> None:
    product, _ = priced(client)
    headers = {"HX-Request": "true", "HX-Request-Type": "partial"}
    full = client.post(f"{SIZE}/live", data=question(client, product), headers=headers)
    assert "€15.20 a month more" in text(full.text)
    lacking = client.post(
        f"{SIZE}/live", data=question(client, product, **{"candidates-0-declared": ""}), headers=headers
    )
    assert lacking.status_code == 200
    assert "As soon as this is complete" in text(lacking.text)
    assert "New size, on the label : Type what the label of this size declares." in text(lacking.text)
    wrong = client.post(f"{SIZE}/live", data=question(client, product, jars="ten"), headers=headers).text
    assert '<a href="#f-jars">Jars you expect to sell</a>' in wrong
    assert 'data-at="jars"' in wrong


def test_a_size_less(client: TestClient) -> None:
    product, stall = priced(client)
    there = f"{PRODUCTS}/{product}/{stall}/sales"
    client.post(there, data=fields(client, there, there) | {"jars": "30"})
    page = text(client.get(SIZE, params={"ask": "drop", "product": product, "share": "0", "more": "ask"}).text)
    # 30 x 2.00 is lost, and nothing comes back
    assert "Keep it. Without Jar you have €60.00 a month less than now" in page


def test_sets_cases_and_new_formulas_have_their_own_forms(client: TestClient) -> None:
    example(client)
    assert 'name="members-1-product"' in client.get(f"{SIZE}?ask=set").text
    assert 'name="case_jars"' in client.get(f"{SIZE}?ask=case").text
    new = client.get(f"{SIZE}?start=formula").text
    assert 'name="candidates-1-declared"' in new
    assert 'name="formula"' in new
    assert number_of(client, CHANNELS, "Market stall")


def test_the_line_and_the_product_lead_here(client: TestClient) -> None:
    product, stall = priced(client)
    way = f"{SIZE}?product={product}&amp;channel={stall}"
    assert way in client.get(f"{PRODUCTS}/{product}").text
    assert way in client.get(f"{PRODUCTS}/{product}/{stall}/opened").text
