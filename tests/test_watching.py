"""The browser page that other tests stand on notices what it says it notices."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from fastapi import FastAPI, Response
from playwright.sync_api import Browser, Page
from starlette.responses import HTMLResponse

from tests.conftest import serving, watch

pytestmark = pytest.mark.browser

SCRIPT = '<!doctype html><link rel="icon" href="data:,"><title>x</title><script>{}</script>'


def answering() -> FastAPI:
    """Pages that misbehave, one way each."""
    app = FastAPI()
    pages = {
        "calm": "1",
        "throws": "throw new Error('broken')",
        "says": "console.error('said')",
        "fetches": "fetch('/answer/422', {method: 'POST'})",
        "misses": "fetch('/answer/404')",
        "leaves": "fetch('http://outside.invalid/x').catch(() => 0)",
    }

    @app.get("/page/{name}")
    def page(name: str) -> HTMLResponse:
        return HTMLResponse(SCRIPT.format(pages[name]))

    @app.api_route("/answer/{status}", methods=["GET", "POST"])
    def answer(status: int) -> Response:
        return Response(status_code=status)

    return app


@pytest.fixture
def bare(browser: Browser) -> Iterator[Page]:
    with serving(answering()) as address:
        context = browser.new_context(base_url=address)
        yield context.new_page()
        context.close()


@pytest.mark.parametrize(
    ("name", "noticed"),
    [
        ("calm", ""),
        ("throws", "script: broken"),
        ("says", "console: said"),
        ("fetches", ""),
        ("misses", "404"),
        ("leaves", "outside"),
    ],
)
def test_a_page_is_watched(bare: Page, name: str, noticed: str) -> None:
    complaints: list[str] = []
    watch(bare, complaints)
    bare.goto(f"/page/{name}", wait_until="networkidle")
    assert (noticed in " ".join(complaints)) if noticed else (complaints == [])


def test_a_refused_address_is_shown_in_words(page: Page) -> None:
    answer = page.request.get("/nowhere")
    assert answer.status == 404
    assert "There is nothing at this address." in answer.text()
