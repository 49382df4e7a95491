"""Published bad inputs of files: a maker's own sheet and backups, at the pages that take them. Nothing is stored."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.pages.data.test_backups import AT, press, supplier
from tests.pages.data.test_own import PRICES, again, paste, send, words, workbook
from tests.pages.filling import fields
from tests.stored import content_hash
from webapp.settings import Settings

#: input -> the cells, and what is said of them
SHEETS = {
    "LOC-11": ("Ingredient\tPack\tPrice\nShea butter\t5 kg\t12,50\nBeeswax\t1 kg\t12.50\n", ""),
    "IMP-11": ("Ingredient\tPack\tPrice\tPrice\nShea butter\t5 kg\t41\t42\n", ""),
    "IMP-27": ("Ingredient\tPack\tPrice\nShea butter\t5 kg\t#REF!\nBeeswax\t1 kg\t#DIV/0!\n", "#REF!"),
}


@pytest.mark.parametrize("ident", ["IMP-27"])
def test_a_sheet_with_what_is_no_price_is_not_saved(client: TestClient, settings: Settings, ident: str) -> None:
    before = content_hash(settings)
    address = paste(client, SHEETS[ident][0])
    assert SHEETS[ident][1] in words(client.get(address).text)
    assert again(client, address).status_code == 422
    assert content_hash(settings) == before


def test_two_columns_of_prices_are_never_both_taken(client: TestClient, settings: Settings) -> None:
    """IMP-11: which of them counts is asked; chosen twice it is refused."""
    address = paste(client, SHEETS["IMP-11"][0])
    form = fields(client, address, address)
    assert [name for name, chosen in form.items() if chosen == "price"] == ["sheets-0-columns-2", "sheets-0-columns-3"]
    before = content_hash(settings)
    answer = again(client, address)
    assert answer.status_code == 422
    assert "Two columns are said to hold the same" in answer.text.split('id="e-sheets-0-columns-3"', 1)[1]
    assert content_hash(settings) == before
    assert "8.20" in words(again(client, address, more="look", **{"sheets-0-columns-3": ""}).text)  # 41 / 5 for a kg


def test_a_sheet_with_two_decimal_signs_is_read_as_it_is_shown(client: TestClient, settings: Settings) -> None:
    """LOC-11: 12,50 and 12.50 can each be read in one way only, so both are, and shown before anything is saved."""
    before = content_hash(settings)
    shown = words(client.get(paste(client, SHEETS["LOC-11"][0])).text)
    assert "2.50" in shown  # 12.50 / 5 for a kg
    assert "12.50" in shown
    assert content_hash(settings) == before


def test_the_same_sheet_again_is_nothing_new(client: TestClient, settings: Settings) -> None:
    """IMP-15."""
    assert again(client, paste(client, PRICES)).status_code == 303
    before = content_hash(settings)
    address = paste(client, PRICES)
    assert "Nothing" in words(client.get(address).text) or again(client, address).status_code in (200, 303, 422)
    assert content_hash(settings) == before


def test_the_name_of_a_file_is_no_path(client: TestClient, settings: Settings, tmp_path: Path) -> None:
    """IMP-17."""
    there = sorted(tmp_path.rglob("*"))
    data = workbook(Prices=[["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41]])
    answer = send(client, data, "../../brimful.db")
    assert answer.status_code == 303
    assert client.get(answer.headers["location"]).status_code == 200
    new = [one for one in sorted(tmp_path.rglob("*")) if one not in there and one.is_file()]
    assert all(one.parent != settings.data and settings.data in one.parents for one in new), new


@pytest.mark.parametrize(
    "name", ["../brimful.db", "..%2Fbrimful", "%2e%2e%2fbrimful.db", "x.db%00.txt", "brimful-20261125T000000Z-asked%00"]
)
@pytest.mark.parametrize("act", ["", "/check", "/restore"])
def test_a_name_that_no_backup_has(client: TestClient, settings: Settings, name: str, act: str) -> None:
    """BAC-01 and BAC-03."""
    before = content_hash(settings)
    address = f"{AT}/{name}{act}"
    answer = client.post(address, data=fields(client, AT, AT)) if act else client.get(address)
    assert answer.status_code in (404, 405)
    assert content_hash(settings) == before


def _another(file: Path) -> None:
    file.unlink()
    with closing(sqlite3.connect(file)) as database:
        database.execute("CREATE TABLE song (name TEXT)")
        database.commit()


def _with_a_trigger(file: Path) -> None:
    with closing(sqlite3.connect(file)) as database:
        database.execute("CREATE TRIGGER evil AFTER INSERT ON supplier BEGIN DELETE FROM supplier; END")
        database.commit()


def _flipped(file: Path) -> None:
    held = bytearray(file.read_bytes())
    held[len(held) // 3] ^= 1
    file.write_bytes(held)


FILES = {
    "BAC-05": lambda file: file.write_bytes(b"hello, this is a text\n" * 500),
    "BAC-07": _another,
    "BAC-09": _flipped,
    "BAC-11": _with_a_trigger,
}


@pytest.mark.parametrize("noted", [True, False], ids=["with its checksum", "without"])
@pytest.mark.parametrize("ident", FILES)
def test_what_is_no_backup_of_ours_is_not_restored(
    client: TestClient, settings: Settings, ident: str, noted: bool
) -> None:
    """A flipped bit can only be known by the checksum; all the others by what is in the file too."""
    supplier(client, "The first mill")
    name = press(client, AT, AT).partition(f'href="{AT}/')[2].partition('"')[0]
    (file,) = settings.data.rglob(f"{name}.db")
    FILES[ident](file)
    for beside in settings.data.rglob(f"{name}*"):
        if beside != file and not noted:
            beside.unlink()
    before = content_hash(settings)
    shown = client.get(f"{AT}/{name}").text
    if ident == "BAC-09" and not noted:
        return
    assert not re.search(r"<button[^>]*>Restore this backup", shown)
    begun = client.post(f"{AT}/{name}/restore", data=fields(client, AT, AT))
    went = begun.headers.get("location", "")
    assert "did=restored" not in went
    if "/data/work/" in went:
        assert client.app.state.jobs.find(went.rpartition("/")[2]).wait(20).state == "failed"  # type: ignore[attr-defined]
    assert content_hash(settings) == before


def test_a_page_that_is_none(client: TestClient) -> None:
    """NUM-43: the first is shown; by JSON a number of rows that is none is refused."""
    for page in ("-1", "0", "99999999999999999999", "a", "\uff11"):
        assert client.get("/price/suggested", params={"page": page}).status_code == 200
        assert client.get("/price", params={"page": page}).status_code == 200
    assert client.get("/api/materials?page_size=-1").status_code == 422


def test_a_search_that_is_far_too_long(client: TestClient) -> None:
    """TEX-25: names are looked through in memory, so no pattern is too much; what is asked for is cut."""
    assert client.get("/price", params={"find": "%a" * 15_000}).status_code == 200
