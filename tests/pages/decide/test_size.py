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
    assert client.post(drop, data=fields_in(page, drop)).status_code == 303
    assert "What you found out about sizes" not in client.get(there).text
    assert client.get(again).status_code == 404


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
