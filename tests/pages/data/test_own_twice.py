"""Two rows of one name on the page of a maker's own sheet: either can be left out, by what stands in them."""

from __future__ import annotations

import io
from html import unescape

from openpyxl import Workbook
from openpyxl.styles import Font
from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, send, words

ROWS = "Ingredient\tPack\tPrice\tNotes\nCocoa butter\t1 kg\t14\tOLD - don't use\nCocoa butter\t5 kg box\t56\t\n"


def test_either_row_has_its_box_with_all_that_it_says(client: TestClient) -> None:
    """56 for 5 kg: 11.20 a kg."""
    address = paste(client, ROWS)
    text = unescape(client.get(address).text)
    assert "Leave row 3 out: Cocoa butter, 5 kg box, 56" in text
    assert "Leave row 2 out: Cocoa butter, 1 kg, 14, OLD - don't use" in text
    assert text.count('name="leave-s0_r2"') == 1
    left = again(client, address, more="look", **{"leave-s0_r2": "on"})
    assert "11.20" in words(left.text)
    assert left.text.count('name="leave-s0_r2"') == 1
    assert again(client, address, **{"leave-s0_r2": "on"}).status_code == 303


def test_a_row_that_is_struck_out_in_a_workbook_is_said_to_be(client: TestClient) -> None:
    book = Workbook()
    sheet = book.active
    for row in (["Ingredient", "Pack", "Price"], ["Shea", "1 kg", 14], ["Shea", "5 kg", 55], ["Wax", "1 kg", 9]):
        sheet.append(row)
    for cell in sheet[2]:
        cell.font = Font(strike=True)
    sheet["B4"].font = Font(strike=True)
    kept = io.BytesIO()
    book.save(kept)
    text = unescape(client.get(send(client, kept.getvalue()).headers["location"]).text)
    assert "Leave row 2 out: Shea, 1 kg, 14 (struck out)" in text
    assert "Shea stands in row 2 (“struck out”) already" in text
    assert "Wax, 1 kg, 9 (struck out)" not in text
