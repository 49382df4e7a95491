"""The example goes out as a workbook and comes into an empty installation, where the line shows the same costs."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import serving
from tests.every_page import load_example
from tests.exchange.carried import empty_store, settings_of
from webapp import example
from webapp.app import make_app

pytestmark = pytest.mark.browser
EXPECTED = Path(__file__).parents[2] / "seed_data" / "expected.csv"


def expected_costs() -> dict[tuple[str, str], Decimal]:
    """What every product on every channel costs, reckoned in fractions, to the penny; by their names."""
    named = {(kind, one["key"]): one["name"] for kind in ("product", "channel") for one in example.seed()[kind]}
    with EXPECTED.open(encoding="utf-8", newline="") as file:
        return {
            (named["product", row["of"].removeprefix("product ")], named["channel", row["channel"]]): Decimal(
                row["value"]
            ).quantize(Decimal("0.01"), ROUND_HALF_UP)
            for row in csv.DictReader(file)
            if row["figure"] == "cost" and not row["value"].startswith("gap")
        }


@pytest.mark.parametrize("script", [True, False])
def test_the_example_is_carried_to_an_empty_installation(
    open_page: Callable[..., Page], new_file: Path, tmp_path: Path, day: date, script: bool
) -> None:
    page = open_page(java_script_enabled=script)
    load_example(page)
    page.goto("/settings")
    page.get_by_role("link", name="Your data", exact=True).click()
    page.get_by_role("link", name="Export everything").click()
    with page.expect_download() as download:
        page.get_by_role("link", name="Workbook (XLSX)").click()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    store = empty_store(new_file, tmp_path / "second")
    app = make_app(settings_of(tmp_path / "second"), store)
    app.state.today = lambda: day
    try:
        with serving(app) as there:
            page.goto(f"{there}/settings")
            page.get_by_role("link", name="Your data", exact=True).click()
            page.get_by_role("link", name="Import such a file").click()
            page.get_by_label("The file").set_input_files(file)
            page.get_by_role("button", name="Look at it").click()
            expect(page.get_by_text("nothing is saved yet")).to_be_visible()
            page.get_by_role("button", name="Import it").click()
            expect(page).to_have_url(re.compile(r"/price\?done="))  # it is stored, however long that takes
            page.goto(f"{there}/price")
            expect(page.get_by_role("heading", level=1)).to_be_visible()
            answer = page.request.get(f"{there}/price?as=csv")
            rows = list(csv.DictReader(io.StringIO(answer.body().decode("utf-8-sig"), newline="")))
    finally:
        app.state.jobs.close()
        store.close()
    costs = {(row["Product"], row["Channel"]): Decimal(row["Cost, GBP"]) for row in rows if row["Cost, GBP"]}
    assert costs == expected_costs()
