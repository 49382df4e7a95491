"""The first page in a browser: money and unit follow the country, until they are chosen."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def test_money_and_unit_follow_the_country_until_they_are_chosen(open_page: Callable[..., Page]) -> None:
    page = open_page(locale="en-US")
    page.goto("/")
    country, money = page.get_by_label("Numbers and days are written as in"), page.get_by_label("Your money")
    unit = page.get_by_label("Ingredients are costed for")
    expect(money).to_have_value("USD")
    country.select_option("en_GB")
    expect(money).to_have_value("GBP")
    expect(unit).to_have_value("kg")
    country.select_option("pl_PL")
    expect(money).to_have_value("PLN")
    money.select_option("EUR")
    country.select_option("en_US")
    expect(unit).to_have_value("lb")
    expect(money).to_have_value("EUR")


def test_a_sheet_on_a_phone_has_two_lines_of_acts_and_its_way_back_stands_clear_of_the_band(
    open_page: Callable[..., Page],
) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    for name, acts in (("Shea butter", 2), ("Shea butter\t5 sacks\t41\nBeeswax", 1)):
        page.goto("/data/own")
        page.get_by_label("Or paste the cells").fill(f"Ingredient\tPack\tPrice\n{name}\t1 kg\t8.20\n")
        page.get_by_role("button", name="Look at it").click()
        expect(page.get_by_role("heading", name="From a sheet of your own")).to_be_visible()
        tops = page.locator(".sum-bar").evaluate(
            "bar => [...bar.querySelectorAll('button, a, p')].filter(one => one.offsetParent)"
            ".map(one => Math.round(one.getBoundingClientRect().bottom / 24))"
        )
        assert len(set(tops)) <= acts, tops
        band = page.locator(".band").bounding_box()
        back = page.get_by_role("link", name="Another file").bounding_box()
        assert band
        assert back
        assert back["y"] - (band["y"] + band["height"]) >= 6
