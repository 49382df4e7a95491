"""Notes beside prices on the page: one choice for all rows of the same words, or the row put right."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, words
from tests.pages.filling import fields_in

ROWS = (
    "Item\tPack\tPrice\tNotes\nShea\t1 kg\t10.00\tper 100 g\nWax\t1 kg\t20.00\tper 100 g\n"
    "Gel\t1 kg\t5.00\told price\nOil\t1 kg\t7.00\tsmells lovely\n"
)


def asked(client: TestClient, address: str) -> list[str]:
    return [name for name in fields_in(client.get(address).text, address) if name.startswith("note-")]


def test_each_note_is_asked_once_and_its_answer_can_be_changed(client: TestClient) -> None:
    """10.00 for 100 g are 100.00 a kg."""
    address = paste(client, ROWS)
    text = words(client.get(address).text)
    assert "Notes “per 100 g”, rows 2, 3: the price is" in text
    assert "Notes “old price”, row 4: the price is" in text
    assert "“per 100 g” stands beside Shea, and €10.00 for 1 kg is read without it." in text
    assert "2 things to put right" in text
    first, other = asked(client, address)
    told = again(client, address, more="look", **{first: "so", other: "as"})
    text = words(told.text)
    assert "Save 4 materials" in text
    assert "€100.00" in text
    assert "€200.00" in text
    assert "What you put right: 2" in text
    saved = client.post(address, data=fields_in(told.text, address), follow_redirects=False)
    assert saved.status_code == 303
    assert "200.00" in client.get("/buy/materials").text


def test_a_row_beside_a_note_can_be_corrected_or_left_out(client: TestClient) -> None:
    address = paste(client, ROWS)
    first, _ = asked(client, address)
    done = words(again(client, address, more="look", **{first: "so", "leave-s0_r4": "on"}).text)
    assert "Save 3 materials" in done
    mended = words(again(client, address, more="look", **{first: "so", "fix-s0_r4_c2": "6.00"}).text)
    assert "Save 4 materials" in mended
    assert "€6.00" in mended


def test_the_same_sheet_sent_anew_asks_nothing_and_another_row_does(client: TestClient) -> None:
    address = paste(client, ROWS)
    first, other = asked(client, address)
    assert again(client, address, **{first: "so", other: "as"}).status_code == 303
    anew = paste(client, ROWS.replace("7.00", "7.50"))
    assert "to put right" not in words(client.get(anew).text)
    more = paste(client, ROWS.replace("smells lovely", "old price"))
    assert "Notes “old price”, rows 4, 5: the price is" in words(client.get(more).text)


def test_of_two_rows_that_contradict_each_other_notes_are_asked_once_one_of_them_is_left(client: TestClient) -> None:
    rows = "Item\tPack\tPrice\tNotes\tInfo\nShea\t1 kg\t10.00\told price\t10% off\nShea\t1 kg\t12.00\told price\t\n"
    address = paste(client, rows)
    text = client.get(address).text
    assert [text.count(f'name="leave-s0_r{row}"') for row in (2, 3)] == [1, 1]
    assert asked(client, address) == []
    left = again(client, address, more="look", **{"leave-s0_r3": "on"}).text
    for field in ("fix-s0_r2_c2", "leave-s0_r2", "leave-s0_r3"):
        assert left.count(f'name="{field}"') == 1, field
    assert len([name for name in fields_in(left, address) if name.startswith("note-")]) == 2


def test_postage_in_a_note_can_be_that_of_its_order(client: TestClient) -> None:
    """12.00 over 60.00 is a fifth: 36.00 and 36.00 a kg."""
    address = paste(
        client,
        "Date\tSupplier\tItem\tPack\tPrice\tNotes\n2026-02-10\tMere\tShea\t1 kg\t30.00\t+ 12.00 postage\n"
        "2026-02-10\tMere\tWax\t1 kg\t30.00\t\n",
    )
    (note,) = asked(client, address)
    assert "12.00 is the freight of its order, for all of its lines" in words(client.get(address).text)
    told = again(client, address, more="look", **{note: "so"}).text
    assert "Save 2 materials" in words(told)
    assert words(told).count("€36.00") >= 2
