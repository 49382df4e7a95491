"""The weighing sheet on paper: one sheet, its cautions with it, and room to write with a pen."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, PdfMargins

from tests.every_page import load_example

pytestmark = pytest.mark.browser
MARGINS: PdfMargins = {"top": "10mm", "right": "10mm", "bottom": "10mm", "left": "10mm"}
#: A4 less its margins, in CSS pixels
PAPER = {"width": 718, "height": 1047}
SHEETS = re.compile(rb"/Type\s*/Page\b(?!s)")
#: as little as a figure by hand needs between two rules, in CSS pixels: 8 mm, as ruled paper has it (common practice)
RULED = 8 / 25.4 * 96


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_weighing_sheet_is_one_sheet_of_paper(open_page: Callable[..., Page], paper: str) -> None:
    """Every formula of the example; the longest has seven lines, and cautions of four points."""
    page = open_page(viewport=PAPER)
    load_example(page)
    formulas = json.loads(page.request.get("/api/formulas").text())["items"]
    lines, cautions = [], []
    for formula in formulas:
        page.goto(f"/make/batches/new?formula={formula['id']}")
        page.emulate_media(media="print")
        assert len(SHEETS.findall(page.pdf(format=paper, margin=MARGINS))) == 1, formula["name"]
        rows = [one for one in page.locator("table.weigh tbody tr").all() if one.is_visible()]
        assert all(one.bounding_box()["height"] >= RULED for one in rows)  # type: ignore[index]
        lines.append(len(rows))
        cautions.append(len([one for one in page.locator(".caution li").all() if one.is_visible()]))
    assert (max(lines), max(cautions) >= 4) == (7, True)
