"""The line as it is chosen: columns, groups, names; a row opened to its cost sheet; drawings of what is chosen."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.pages.workshop import CHANNELS, FORMULAS, PRODUCTS, example, number_of
from webapp.pages.price import looks as looks_page
from webapp.pages.price.line_columns import COLUMNS

LINE, LOOKS = "/price", "/price/looks"
PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


def words(page: str) -> str:
    """What is read of a page."""
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)))


def heads(page: str) -> list[str]:
    return [words(one).strip() for one in re.findall(r'<th scope="col"[^>]*>(.*?)</th>', page, re.DOTALL)]


def cells(page: str, label: str) -> list[str]:
    return [
        words(one).strip() for one in re.findall(rf'data-label="{re.escape(label)}"[^>]*>(.*?)</td>', page, re.DOTALL)
    ]


def names(page: str) -> list[str]:
    return re.findall(r'<th scope="row"><a href="[^"]*">([^<]*)</a><span class="under">', page)


def test_columns_are_those_that_are_asked_for(client: TestClient) -> None:
    example(client)
    usual = heads(client.get(LINE).text)
    assert len(usual) == 9
    page = client.get(f"{LINE}?show=month&show=net&show=zzz").text
    assert [one.rsplit(" £", 1)[0] for one in heads(page)[3:]] == ["Net of tax", "Left"]
    assert heads(client.get(f"{LINE}?show=zzz").text) == usual
    every = client.get(f"{LINE}?{'&'.join(f'show={key}' for key in COLUMNS)}")
    assert every.status_code == 200
    assert len(heads(every.text)) == len(COLUMNS) + 3


def test_columns_say_what_the_interface_says(client: TestClient) -> None:
    example(client)
    stall = number_of(client, CHANNELS, "Market stall")
    page = client.get(f"{LINE}?show=net&show=fees&show=profit&show=target&find=nettle&channel={stall}").text
    # expected.csv: 9.50 with 20 % in it; fees 1.1136, left 1.2605
    assert (cells(page, "Net of tax, £"), cells(page, "What selling costs, £")) == (["7.92"], ["1.11"])
    assert (cells(page, "Left of a jar, £"), cells(page, "Target")) == (["1.26"], ["30.0 %"])


def test_what_is_chosen_stays_in_every_address_of_the_page(client: TestClient) -> None:
    example(client)
    stall = number_of(client, CHANNELS, "Market stall")
    page = client.get(f"{LINE}?find=butter&show=net&group=formula&channel={stall}&sort=price").text
    sorts = [unescape(one) for one in re.findall(r'<th scope="col"[^>]*><a href="([^"]*)"', page)]
    assert sorts
    for href in sorts:
        assert all(word in href for word in ("find=butter", "show=net", "group=formula", f"channel={stall}"))
    assert '<option value="formula" selected>' in page
    assert 'name="find" value="butter"' in page
    assert re.search(r'name="show" value="net" checked', page)


def test_rows_by_name_formula_and_what_they_rest_on(client: TestClient) -> None:
    example(client)
    assert set(names(client.get(f"{LINE}?find=NETTLE").text)) == {"Nettle oil 100 mL"}
    pomade = number_of(client, FORMULAS, "Firm pomade")
    assert {one.rsplit(" ", 2)[0] for one in names(client.get(f"{LINE}?formula={pomade}").text)} >= {"Firm pomade"}
    for only in ("stale", "quoted"):
        shown = names(client.get(f"{LINE}?only={only}").text)
        told = client.get(f"/api/line?only={only}&page_size=200").json()
        assert len(shown) == told["total"]
    for odd in ("formula=zzz", "formula=999999", "find=no-such"):
        assert "Nothing of the line is like that" in client.get(f"{LINE}?{odd}").text


@pytest.mark.parametrize("by", ["formula", "channel"])
def test_groups_hold_every_row_once_with_what_they_add_up_to(client: TestClient, by: str) -> None:
    example(client)
    page = client.get(f"{LINE}?group={by}").text
    assert sorted(names(page)) == sorted(names(client.get(LINE).text))
    told = client.get(f"/api/line?group={by}&page_size=200").json()
    lines = [words(one) for one in re.findall(r'<tr class="group">(.*?)</tr>', page, re.DOTALL)]
    assert len(lines) == len(told["groups"]) > 1
    assert [int(m.group(1)) for one in lines if (m := re.search(r"(\d+) rows", one))] == [
        one["rows"] for one in told["groups"] if one["rows"] > 1
    ]
    assert [one["product_name"] for one in told["items"]] == names(page)


def test_a_row_opens_to_its_cost_sheet_and_without_scripts_to_its_product(client: TestClient) -> None:
    example(client)
    product, stall = number_of(client, PRODUCTS, "Firm pomade 50 g"), number_of(client, CHANNELS, "Market stall")
    page = client.get(LINE).text
    address = f"/price/products/{product}/{stall}/opened"
    assert (
        f'href="/price/products/{product}#c-{stall}" hx-get="{address}" hx-target="#how-row-{product}-{stall}"' in page
    )
    assert f'id="how-row-{product}-{stall}"></td>' in page
    part = client.get(address, headers=PART).text
    assert "<html" not in part
    # two jars on paper (DEVELOPERS.md): ingredients 1.2196, full cost 3.1167; left 2.8706
    told = words(part)
    assert all(f"£{figure}" in told for figure in ("1.22", "3.12", "2.87"))
    for how in re.findall(r'hx-get="([^"]*)"', part):
        assert client.get(unescape(how)).status_code == 200
    assert client.get(address).text.startswith("<!doctype html>")
    assert client.get(f"/price/products/{product}/999999/opened").status_code == 404


def test_the_drawings_are_of_what_is_chosen_and_stand_beside_their_figures(client: TestClient) -> None:
    example(client)
    page = client.get(f"{LOOKS}?only=below").text
    assert "4 rows of the line, as chosen there" in words(page)
    dots = re.findall(
        r'<circle class="plot-dot first" cx="[^"]*" cy="([^"]*)" r="4" data-to="([^"]*)"><title>([^<]*)', page
    )
    assert len(dots) == 8
    # 15.9 of 30 %, 88.7, 90.9, 95.7: below the brim, the weakest lowest
    brim = float(re.findall(r'plot-line aim" d="M[^ ]* ([0-9.]*)', page)[0])
    heights = [float(y) for y, _, words in dots if "points short of" in words]
    assert min(heights) > brim
    assert "Nettle oil 100 mL, Market stall: 15.9" in dots[0][2]
    assert heights[0] == max(heights)
    for _, to, _ in dots:
        assert client.get(to.split("#")[0]).status_code == 200
    assert cells(page, "Of its target")[0] == "53.1 %"


def test_above_so_many_rows_the_weakest_are_drawn_and_the_page_says_so(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    example(client)
    monkeypatch.setattr(looks_page, "MOST", 3)
    page = client.get(LOOKS).text
    assert "The 3 rows that are furthest below their target or nearest above it; 40 more are not drawn." in words(page)
    assert "Nettle oil 100 mL" in page


def test_an_empty_line_has_nothing_to_look_at(client: TestClient) -> None:
    assert "The line is empty." in client.get(LOOKS).text
    example(client)
    assert "Nothing of the line is like that" in client.get(f"{LOOKS}?find=no-such").text
