"""Whether another size is worth offering, on its page. Expected figures are from paper, by method.md section 8.

A tin of 100 g beside one of 50 g at the stall, as DEVELOPERS.md reckons it: at 17.00 it contributes 5.5196, the small
one 3.2766. At 10.00 it is 8.3333 net, less 1.1223 of fees and 7.4022 of direct cost: 0.1912 short.
"""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fields_in
from tests.pages.workshop import CHANNELS, PRODUCTS, example, number_of

SIZE = "/decide/size"
TIN = {
    "candidates-0-declared": "100",
    "candidates-0-jar_name": "Tin 110 mL",
    "candidates-0-jar_price": "0.62",
    "candidates-0-jar_least": "120",
    "candidates-0-jar_from": "500",
    "candidates-0-jar_then": "0.54",
    "candidates-0-way": "typed",
    "candidates-0-price": "17.00",
    "jars": "10",
    "share": "50",
    "more": "ask",
}


def text(page: str) -> str:
    """The words of a page, its tags made spaces."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).replace("\u00a0", " ").split())


@pytest.fixture
def stall(client: TestClient) -> dict[str, str]:
    """The example, and the pomade at the stall as the question names them."""
    example(client)
    return {
        "product": str(number_of(client, PRODUCTS, "Firm pomade 50 g")),
        "channel": str(number_of(client, CHANNELS, "Market stall")),
    }


def asked(client: TestClient, question: dict[str, str], **more: str) -> Any:
    """The answer to the form as it stands with these fields typed."""
    sent = fields_in(client.get(SIZE).text, SIZE) | question | TIN
    return client.get(SIZE, params={**sent, **{name.replace("__", "-"): one for name, one in more.items()}})


def found(page: Any) -> str:
    """The words of what was found, from the verdict on."""
    return text(page.text.split('class="watch verdict"', 1)[1])


def test_it_is_worth_it(client: TestClient, stall: dict[str, str]) -> None:
    page = asked(client, stall)
    assert page.status_code == 200
    words = found(page)
    assert "Worth it." in words
    assert "brings £22.43 a month more than now: 10 jars a month leave £5.52 each" in words
    assert "50 % of its buyers would have bought 2 jars of Firm pomade 50 g instead, which leave £3.28 each" in words
    assert "84.2 %" in words  # 5.5196 / 6.5532
    assert "£38.81" in words  # one replaced: 10 x (5.5196 - 1.6383)
    assert "Both answers above are worth it: £22.43 and £38.81 a month." in words
    assert "whichever of the two answers holds" in words
    assert "Sold there too: Firm pomade 90 g at £17.00. Buyers that these would lose are not counted" in words


def test_it_is_worth_it_only_if(client: TestClient, stall: dict[str, str]) -> None:
    words = found(asked(client, stall, share_low="20", share_high="95"))
    assert "Worth it only if" in words
    assert "84.2 %" in words
    # 10 x (5.5196 - 0.95 x 6.5532)
    assert "£7.06" in words


def test_what_the_gain_hangs_on_opens_at_both_ends(client: TestClient, stall: dict[str, str]) -> None:
    page = asked(client, stall, share_low="20", share_high="95", jars_low="4", monthly="3", monthly_high="9").text
    fold = page.split("What it hangs on most", 1)[1].split("</details>", 1)[0]
    rows = re.findall(r"<tr>.*?</tr>", fold.split("</thead>", 1)[1], re.DOTALL)
    assert len(rows) == 4
    for row in rows:
        for href, figure in re.findall(r'href="([^"]+)"[^>]*>(.*?)</a>', row, re.DOTALL):
            opened = client.get(unescape(href))
            assert opened.status_code == 200, href
            result = re.findall(r"= ?(\S+)", text(opened.text.split("</h1>", 1)[-1]))
            assert text(figure).split(" ")[0] in result, (text(row), result[:12])


def test_it_is_not_worth_it_at_this_price(client: TestClient, stall: dict[str, str]) -> None:
    words = found(asked(client, stall, **{"candidates-0-price": "10.00"}))
    assert "Not at this price." in words
    # 10 x (-0.1912 - 3.2766)
    assert "£34.68" in words


def test_what_is_not_known_is_asked_at_its_field_and_nothing_typed_is_lost(
    client: TestClient, stall: dict[str, str]
) -> None:
    page = asked(client, stall, **{"candidates-0-declared": "1oo"})
    assert page.status_code == 422
    sent = fields_in(page.text, SIZE)
    assert (sent["candidates-0-declared"], sent["jars"], sent["candidates-0-price"]) == ("1oo", "10", "17.00")
    assert 'aria-invalid="true"' in page.text
    missing = asked(client, stall, jars="")
    assert "How many jars do you expect to sell a month" in text(missing.text)


@pytest.mark.long
def test_every_figure_of_the_answer_opens(client: TestClient, stall: dict[str, str]) -> None:
    page = asked(client, stall, share_low="20", share_high="95", one_off="60", monthly="3").text
    hrefs = {unescape(one) for one in re.findall(r'href="([^"]*/(?:how|row)/[^"]*)"', page)}
    assert len(hrefs) > 30
    for href in hrefs:
        opened = client.get(href)
        assert (href, opened.status_code) == (href, 200)
        assert "working" in opened.text, href


def test_first_order_and_cash(client: TestClient, stall: dict[str, str]) -> None:
    words = text(asked(client, stall, one_off="60").text)
    # 120 tins at 0.62, of which one in a hundred spoils: 10.1 a month
    assert "£74.40" in words
    assert "11.9" in words  # 120 / 10.1
    assert "£270.00" in words  # from 500 on at 0.54
    # 60.00 and the tins go out first; then 10 x (5.5196 + 0.6262) - 10 x 0.5 x 2 x 3.2766 = 28.69 a month
    assert "−£134.40" in words
    assert "−£105.71" in words


def test_cash_and_the_lowest_price_of_a_case_open(client: TestClient, stall: dict[str, str]) -> None:
    page = asked(client, stall, one_off="60").text
    months = re.findall(r'href="([^"]*/how/0/cash-[0-9]+[^"]*)"', page)
    first, then = (text(client.get(unescape(one)).text) for one in months[:2])
    assert "£60.00 paid once to start" in first
    assert "£74.40 Tin 110 mL, bought" in first
    for words in ("−£134.40 before the first jar", "what its jars bring", "£61.45", "£32.76", "−£105.71"):
        assert words in then, words
    shops = str(number_of(client, CHANNELS, "Shops, wholesale"))
    case = {**stall, "channel": shops, "ask": "case", "case_jars": "12", "discount": "5", "jars": "4", "share": "20"}
    (lowest,) = set(
        re.findall(r'href="([^"]*/how/0/lowest-0[^"]*)"', client.get(SIZE, params={**case, "more": "ask"}).text)
    )
    assert "Rounded up to the smallest coin." in text(client.get(unescape(lowest)).text)


def test_offering_makes_the_product_with_its_price_and_one_undo_takes_it_back(
    client: TestClient, stall: dict[str, str]
) -> None:
    page = asked(client, stall)
    sent = fields_in(page.text, f"{SIZE}/offer")
    saved = client.post(f"{SIZE}/offer", data={**sent, "more": "offer-0"})
    assert saved.status_code == 303, text(saved.text)[:300]
    made = client.get(saved.headers["location"]).text
    assert "Firm pomade 100 g" in text(made)
    number = saved.headers["location"].split("/")[3].split("?")[0].split("#")[0]
    row = next(
        one
        for one in client.get(f"/api/products/{number}/prices").json()["items"]
        if str(one["channel"]) == stall["channel"]
    )
    assert (row["price"], row["accepted"]) == ("17", True)
    assert row["contribution"].startswith("5.5196")
    assert "Tin 110 mL" in client.get("/buy/materials").text
    last = client.get("/api/changes").json()["items"][0]["version"]
    assert client.post(f"/api/undo/{last}").status_code == 200
    assert client.get(f"/api/products/{number}").status_code == 404
    assert "Tin 110 mL" not in client.get("/buy/materials").text


def test_a_verdict_is_kept_as_a_note_on_the_product_and_asked_again(client: TestClient, stall: dict[str, str]) -> None:
    page = asked(client, stall)
    sent = fields_in(page.text, f"{SIZE}/keep")
    kept = client.post(f"{SIZE}/keep", data={**sent, "more": "keep-0"})
    assert kept.status_code == 303, text(kept.text)[:300]
    product = client.get(kept.headers["location"]).text
    section = product.split('id="found-out"', 1)[1].split("</section>", 1)[0]
    assert "25 Nov 2026: Worth it." in text(section).replace(" :", ":")
    assert "£22.43 a month more" in text(section)
    (again,) = re.findall(r'href="([^"]+)"', section)
    assert "£22.43" in found(client.get(unescape(again)))
    (drop,) = re.findall(r'action="([^"]+)"', section)
    assert client.post(drop, data=fields_in(section, drop)).status_code == 303
    assert 'id="found-out"' not in client.get(f"{PRODUCTS}/{stall['product']}").text


@pytest.mark.parametrize(
    ("ask", "more", "words"),
    [
        (
            "drop",
            {"share": "0", "monthly": "2"},
            (
                "Keep it.",
                "none of its buyers takes another of yours",
                "what is saved a month is at least £85.20 (now £2.00)",
            ),
        ),
        (
            # 12 x 5.20 less 5 % is 59.28
            "case",
            {"case_jars": "12", "discount": "5", "jars": "4", "share": "20"},
            ("Worth it.", "A case of Firm pomade 50 g at £59.28", "as long as the price of a case is at least"),
        ),
    ],
)
def test_a_size_less_and_a_case_are_asked_on_the_same_page(
    client: TestClient, stall: dict[str, str], ask: str, more: dict[str, str], words: tuple[str, ...]
) -> None:
    shops = str(number_of(client, CHANNELS, "Shops, wholesale"))
    question = {**stall, "ask": ask, "more": "ask", **more} | ({"channel": shops} if ask == "case" else {})
    page = client.get(SIZE, params=question)
    assert page.status_code == 200, text(page.text)[:400]
    assert 'class="watch verdict"' in page.text
    assert [one for one in words if one not in found(page)] == []


def test_the_price_of_a_case_and_the_first_orders_open(client: TestClient, stall: dict[str, str]) -> None:
    page = asked(client, stall, one_off="60").text
    for figure, words in (("tied_up", "£74.40"), ("part-0-cash", "£74.40"), ("part-0-pieces", "19")):
        (href,) = set(re.findall(rf'href="([^"]*/how/0/{figure}\?[^"]*)"', page))
        assert words in text(client.get(unescape(href)).text), figure
    shops = str(number_of(client, CHANNELS, "Shops, wholesale"))
    case = {**stall, "channel": shops, "ask": "case", "case_jars": "12", "jars": "4", "share": "20", "more": "ask"}
    page = client.get(SIZE, params={**case, "discount": "5"}).text
    (href,) = set(re.findall(r'href="([^"]*/how/0/case_price-0[^"]*)"', page))
    opened = text(client.get(unescape(href)).text)
    for words in ("£5.20", "12", "£59.28"):
        assert words in opened
    assert "/how/0/jar_price-0" in page
    typed = client.get(SIZE, params={**case, "case_price": "60"}).text
    assert "/how/0/case_price-0" not in typed
    assert "as you typed" in text(typed)


def test_what_turns_it_only_together_is_said(client: TestClient, stall: dict[str, str]) -> None:
    """10 x (5.5196 - 0.5 x 6.5532) = 22.43: at 18 a month 4.43 is left. 8.5 jars: 1.06; 55 %: 1.16; both: -1.72."""
    more = {"replaced": "number", "number": "2", "monthly": "18", "jars_low": "8.5", "share_high": "55"}
    words = found(asked(client, stall, **more))
    assert words.count("Worth it, unless") == 1
    assert "8.5 a month are sold" in words
    assert "55 % of its buyers come from Firm pomade 50 g" in words


def test_what_a_shop_has_for_its_shelf_is_shown_where_widths_are_typed(
    client: TestClient, stall: dict[str, str]
) -> None:
    question = stall | {"channel": str(number_of(client, CHANNELS, "Shops, wholesale"))}
    assert "for 10 cm of shelf" not in found(asked(client, question))
    page = asked(client, question, width="4.8", **{"candidates-0-width": "6.5"})
    assert "for 10 cm of shelf" in found(page)
    (href,) = set(re.findall(r'href="([^"]*/row/c0/[0-9]+/shelf[^"]*)"', page.text))
    opened = text(client.get(unescape(href)).text)
    assert "6.5" in opened
    assert "width of the jar" in opened


def test_jars_of_a_size_less_may_have_a_range(client: TestClient, stall: dict[str, str]) -> None:
    """26 a month are sold; with 10 to 40 of them it is 10 to 40 times 3.2766 that goes."""
    typed = {"share": "0", "jars_low": "10", "jars_high": "40", "more": "ask"}
    words = found(client.get(SIZE, params={**stall, "ask": "drop", **typed}))
    assert "−£131.06" in words or "£131.06" in words
    assert "£32.77" in words
    wrong = client.get(SIZE, params={**stall, "ask": "drop", **typed, "jars_low": "27"})
    assert wrong.status_code == 422
    assert 'id="e-jars_low"' in wrong.text


def test_an_empty_book_says_what_to_do_first(client: TestClient) -> None:
    page = client.get(SIZE)
    assert page.status_code == 200
    assert 'href="/price/products/new"' in page.text


def test_the_line_and_the_product_lead_here(client: TestClient, stall: dict[str, str]) -> None:
    product, channel = stall["product"], stall["channel"]
    for there in (f"{PRODUCTS}/{product}", f"{PRODUCTS}/{product}/{channel}/opened"):
        assert f'href="{SIZE}?product={product}&amp;channel={channel}"' in client.get(there).text


def test_sizes_of_something_new_are_reckoned_without_a_jar_and_say_so(
    client: TestClient, stall: dict[str, str]
) -> None:
    formula = str(number_of(client, "/make/formulas", "Firm pomade"))
    typed = {"candidates-0-declared": "30", "candidates-0-way": "typed", "candidates-0-price": "8"}
    second = {"candidates-1-declared": "75", "candidates-1-way": "target", "jars": "6", "share": "40", "more": "ask"}
    question = {"start": "formula", "formula": formula, "channel": stall["channel"], **typed, **second}
    words = found(client.get(SIZE, params=question))
    assert "would have bought 2.5 jars of Firm pomade 30 g instead" in words  # 75 / 30
    assert "No jar is chosen, so it is reckoned without one." in words
