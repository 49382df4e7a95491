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
