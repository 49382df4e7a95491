"""The one environment, what every page is given, and error pages."""

from __future__ import annotations

import pytest
from jinja2 import UndefinedError
from starlette.testclient import TestClient

from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.formats import formats_for
from webapp.pages.rendering import asset, environment, render, whole_number

FORMATS = formats_for("en_GB", "GBP", "kg")


def test_everything_is_escaped_and_a_missing_name_is_an_error() -> None:
    template = environment().from_string("{{ name }}")
    assert template.render(name="<b>'\"") == "&lt;b&gt;&#39;&#34;"
    with pytest.raises(UndefinedError):
        template.render()


def test_figures_are_written_as_the_page_s_workshop_does(client: TestClient) -> None:
    made = environment().from_string("{{ 1|count }}")
    with pytest.raises(LookupError):
        made.render()
    frame = client.get("/settings").text
    assert "Brimful" in frame


def test_a_static_file_is_named_by_its_content(client: TestClient) -> None:
    address = asset("css/page.css")
    answer = client.get(address)
    assert answer.status_code == 200
    assert "immutable" in answer.headers["cache-control"]
    with pytest.raises(FileNotFoundError):
        asset("css/no-such.css")


@pytest.mark.parametrize("text", ["", "0", "01", "-1", "+1", "1.0", "1e3", " 1", "\uff11", "1234567890", "x"])
def test_an_identity_is_one_to_nine_plain_digits(text: str) -> None:
    with pytest.raises(NotFound):
        whole_number(text)


def test_another_day_is_only_looked_at(client: TestClient) -> None:
    page = client.get("/settings?on=2026-03-31")
    assert "As it was on 31 Mar 2026." in page.text
    for _, _, href in addresses.PLACES:
        assert f'href="{href}?on=2026-03-31"' in page.text
    assert client.get("/settings?on=2026-02-30").status_code == 422


@pytest.mark.parametrize("done", ["", "x", "-1", "0", "99", "9" * 40, "<b>"])
def test_a_change_that_never_was_is_not_said_to_be_done(client: TestClient, done: str) -> None:
    page = client.get("/settings", params={"done": done})
    assert page.status_code == 200
    assert 'action="/undo/' not in page.text


def test_an_error_is_a_page_with_a_way_on_and_a_part_for_htmx(client: TestClient) -> None:
    whole = client.get("/nowhere")
    part = client.get("/nowhere", headers={"HX-Request": "true", "HX-Request-Type": "partial"})
    assert (whole.status_code, part.status_code) == (404, 404)
    assert "<html" in whole.text
    assert 'href="/"' in whole.text
    assert "<html" not in part.text
    assert 'id="trouble"' in part.text


def test_a_template_s_figures_need_no_page() -> None:
    made = render(FORMATS, "errors/_error.html", error=_Plain())
    assert "Nothing was changed" in made


class _Plain:
    status, title, words, what_to_do, reference = 500, "That did not work", "Nothing was changed.", (), ""
