"""Asking about another size in a browser: what is typed while an answer is on its way stays."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Request, Route, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


def test_what_is_typed_while_the_form_is_drawn_anew_stays(open_page: Callable[..., Page]) -> None:
    page = open_page(locale="en-GB")
    load_example(page)
    page.goto("/decide/size")
    held: list[Route] = []
    page.route("**/decide/size?*", lambda route: held.append(route))  # noqa: PLW0108 - a handler is asked for its parameters
    with page.expect_request("**/decide/size?*"):
        page.get_by_label("The jar you sell now").select_option(label="Hair butter 50 g")
    page.get_by_label("New size, on the label").first.fill("150")
    page.get_by_label("They buy one jar a visit").check()
    where = page.get_by_label("Sold where")
    with page.expect_request("**/decide/size?*"):
        where.select_option(label="Market stall")
    chosen = where.input_value()
    held[0].continue_()
    expect(page.get_by_text("Now 50 g at")).to_be_visible()
    for name, text in (("Sold where", chosen), ("New size, on the label", "150")):
        expect(page.get_by_label(name).first).to_have_value(text)
    expect(page.get_by_label("They buy one jar a visit")).to_be_checked()
    for one in held[1:]:
        one.continue_()
    expect(page.get_by_text("22 a month")).to_be_visible()
    expect(where).to_have_value(chosen)


def test_what_is_wrong_is_said_at_its_field_as_it_is_typed(open_page: Callable[..., Page]) -> None:
    page = open_page(locale="en-GB")
    load_example(page)
    page.goto("/decide/size")
    page.get_by_label("The jar you sell now").select_option(label="Hair butter 50 g")
    expect(page.get_by_text("Now 50 g at")).to_be_visible()
    jars = page.get_by_label("Jars you expect to sell").first
    jars.press_sequentially("ten")
    expect(jars).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#e-jars")).to_contain_text("Type digits")
    expect(page.locator("#size-found").get_by_role("link", name="Jars you expect to sell")).to_be_visible()
    # what is not typed yet is listed, and not held against its field
    expect(page.locator("[name=candidates-0-declared]")).not_to_have_attribute("aria-invalid", "true")
    jars.fill("10")
    expect(jars).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator("#e-jars")).to_have_count(0)


def test_a_question_half_typed_is_there_again_and_one_that_was_asked_is_not(open_page: Callable[..., Page]) -> None:
    page = open_page(locale="en-GB")
    load_example(page)
    page.goto("/decide/size")
    page.get_by_label("The jar you sell now").select_option(label="Hair butter 50 g")
    expect(page.get_by_text("Now 50 g at")).to_be_visible()
    with page.expect_response("**/drafts"):
        page.get_by_label("New size, on the label").first.fill("150")
    page.goto("/")
    page.goto("/decide/size")
    expect(page.get_by_text("You were typing this")).to_be_visible()
    expect(page.get_by_label("New size, on the label").first).to_have_value("150")
    said: list[Request] = []
    page.on("request", lambda request: said.append(request) if request.post_data and "/drafts" in request.url else None)
    page.get_by_label("Jars you expect to sell").first.fill("12")
    page.get_by_label("Who would have bought the present jar").first.fill("50")
    with page.expect_request("**/drafts/thrown"):
        page.get_by_role("button", name="Is it worth it?").click()
    expect(page.get_by_role("heading", name="Worth it")).to_be_visible()
    *kept, thrown = said  # what left the page before the last word may arrive after it
    assert kept
    for request in (thrown, *kept):
        headers = {"Content-Type": "application/x-www-form-urlencoded"}
        assert page.request.post(request.url, data=request.post_data, headers=headers).ok
    assert not {"draft=", "token=", "epoch="} & {part.partition("=")[0] + "=" for part in page.url.split("&")}
    page.goto("/decide/size")
    expect(page.get_by_text("You were typing this")).to_have_count(0)


def test_a_question_that_is_asked_while_its_page_still_looks_is_forgotten_all_the_same(
    open_page: Callable[..., Page],
) -> None:
    page = open_page(locale="en-GB")
    load_example(page)
    page.goto("/decide/size")
    page.get_by_label("The jar you sell now").select_option(label="Hair butter 50 g")
    expect(page.get_by_text("Now 50 g at")).to_be_visible()
    looking: list[Route] = []

    def leave_it_waiting(route: Route) -> None:
        looking.append(route)

    page.route("**/decide/size/live", leave_it_waiting)
    with page.expect_request("**/decide/size/live"), page.expect_response("**/drafts"):
        page.get_by_label("New size, on the label").first.fill("150")
        page.get_by_label("Jars you expect to sell").first.fill("12")
    page.get_by_label("Who would have bought the present jar").first.fill("50")
    page.get_by_role("button", name="Is it worth it?").click()
    expect(page.get_by_role("heading", name="Worth it")).to_be_visible()
    assert looking
    page.goto("/")
    page.goto("/decide/size")
    expect(page.get_by_label("The jar you sell now")).to_be_visible()
    expect(page.get_by_text("You were typing this")).to_have_count(0)
