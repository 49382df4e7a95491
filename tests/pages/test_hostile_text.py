"""Texts that would be more than words, in every field of words of every form, and on every page: words they stay."""

from __future__ import annotations

import csv
import io
import zipfile
from typing import Any

import openpyxl
import pytest
from starlette.testclient import TestClient

from tests.every_page import PAGES, VARIANTS, filled
from tests.hostile import REFUSED, WORDS, hostile_seed, let_in
from tests.pages.forms_of import OneField, OneForm, Page, forms_of, in_sight, numberless, said_at, send_form
from tests.pages.workshop import example
from tests.stored import content_hash
from tests.test_every_page import by_client
from tests.tried import tell
from webapp import example as seeded
from webapp.settings import Settings

#: fields that hold no words: what is asked for in them is looked for, or read by rules of their own
NOT_WORDS = {"find"}
#: a form of many cells, each read by the rules of its column: what is hidden in one is told when they are looked at
CELLS = {"list", "cells"}
#: what can't be shown again is not given back (`pages/door`)
SECRETS = {"passphrase", "again"}


def texts_of(form: OneForm) -> list[OneField]:
    found = [one for one in form.fields if one.is_typed and not one.is_amount and one.name not in NOT_WORDS]
    return list({numberless(one.name): one for one in found}.values())


def load_hostile(client: TestClient, patch: pytest.MonkeyPatch) -> None:
    """The example with hostile texts, and what is kept beside the book too."""
    patch.setattr(seeded, "seed", hostile_seed)
    form = next(one for one in Page(client.get("/").text).forms if one.action == "/example")
    assert send_form(client, "/", form, {}).status_code == 303
    for number, words in enumerate(WORDS):
        kept = client.post("/api/what-ifs", json={"name": f"{words} {number}", "suppositions": []})
        assert kept.status_code == 201, (words, kept.text)


# --- shown


@pytest.mark.long
def test_a_workshop_of_hostile_words_is_words_on_every_page(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    load_hostile(client, monkeypatch)
    wrong, shown = [], 0
    pages = filled(PAGES + VARIANTS, by_client(client))
    for page in pages:
        answer = client.get(page)
        shown += "x-evil" in answer.text or "evil()" in answer.text
        if answer.status_code != 200:
            wrong.append(f"{page} answered {answer.status_code}")
        wrong += [f"{page}: {one}" for one in let_in(answer.text)]
    assert shown > len(pages) / 2
    tell(
        "pages of a workshop of hostile words", len(pages), wrong, f"{len(WORDS)} texts in every name, note and reason"
    )


def test_what_is_let_in_would_be_noticed() -> None:
    for words in ('<a title=""><x-evil evil=1>', "<b onclick=x>", "<script>evil()</script>", "<a href='javascript:x'>"):
        assert let_in(words)
    assert let_in("<!--x-->")
    assert let_in("{{ 7 * 191 }}".replace("{{ 7 * 191 }}", "1337"))
    assert let_in('<input value="javascript:x"><script src="/static/a.js"></script>&lt;x-evil&gt;') == []


# --- typed


def refused_wrongly(client: TestClient, page: str, form: OneForm, one: OneField, text: str) -> str:
    answer = send_form(client, page, form, {**in_sight(form, one.name), one.name: text})
    if answer.status_code != 422:
        return f"{page}, {one.name}: {text[:12]!r} answered {answer.status_code}"
    drawn = Page(answer.text)
    fields = [
        field for again in drawn.forms for field in again.fields if numberless(field.name) == numberless(one.name)
    ]
    kept = [field for field in fields if field.value == text]
    told = [field for field in fields if said_at(drawn, field)]
    return "" if told and (kept or "\x00" in text) else f"{page}, {one.name}: {text[:12]!r}: no words, or not kept"


@pytest.mark.long
def test_what_is_no_text_is_refused_in_every_field_of_words(client: TestClient, settings: Settings) -> None:
    """Each field with one of them, in turn."""
    example(client)
    pages = filled(PAGES + VARIANTS, by_client(client))  # keeps what-ifs
    before = content_hash(settings)
    tries = [
        (page, form, one)
        for page, form in forms_of(client, pages)
        if form.method == "post"
        for one in texts_of(form)
        if one.name not in CELLS | SECRETS
        and not (one.name == "name" and form.action == "/decide/what-if")  # read when it is kept
    ]
    wrong = [
        fault
        for at, (page, form, one) in enumerate(tries)
        if (fault := refused_wrongly(client, page, form, one, REFUSED[at % len(REFUSED)]))
    ]
    if content_hash(settings) != before:
        wrong.append("something was stored")
    tell("what is no text in every field of words", len(tries), wrong, f"{len(REFUSED)} texts in turn")


def typed_wrongly(client: TestClient, page: str, key: tuple[str, ...], text: str) -> str:
    """What is wrong after every field of words of a form was typed hostile, whether it was taken or not."""
    form = next((one for one in Page(client.get(page).text).forms if one.key == key), None)
    if form is None:
        return ""
    answer = send_form(client, page, form, {one.name: text for one in texts_of(form)})
    if answer.status_code not in (200, 303, 409, 422):
        return f"{page}: {text[:20]} answered {answer.status_code}"
    if answer.status_code == 303:
        answer = client.get(answer.headers["location"])
    found = let_in(answer.text)
    return f"{page}: {text[:20]}: {found}" if found else ""


def type_all(client: TestClient, test: str, every_text: bool) -> None:
    pages = filled(PAGES + VARIANTS, by_client(client))
    forms = [(page, form.key) for page, form in forms_of(client, pages) if texts_of(form)]
    assert len(forms) > 30
    tries: list[Any] = [
        (page, key, text)
        for at, (page, key) in enumerate(forms)
        for text in (WORDS if every_text else [WORDS[at % len(WORDS)]])
    ]
    wrong = [fault for page, key, text in tries if (fault := typed_wrongly(client, page, key, text))]
    tell(test, len(tries), wrong, f"{len(forms)} forms, all their fields of words at once")


@pytest.mark.long
def test_hostile_words_in_every_form_stay_words(client: TestClient) -> None:
    """Each form with one of them, in turn."""
    example(client)
    type_all(client, "hostile words in every form", every_text=False)


@pytest.mark.deep
def test_every_hostile_text_in_every_form_stays_words(client: TestClient) -> None:
    example(client)
    type_all(client, "every hostile text in every form", every_text=True)


# --- taken out as files


STARTS = ("=", "+", "-", "@", "\t", "\n", "\r")


def formulas_of(cells: list[str]) -> list[str]:
    """Cells that a spreadsheet would take for a formula, and that are no number."""
    return [one for one in cells if one.startswith(STARTS) and not one.lstrip("-").replace(".", "", 1).isdigit()]


def csv_in(data: bytes) -> list[bytes]:
    """A CSV file, or those of a packed one."""
    if not data.startswith(b"PK"):
        return [data]
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return [packed.read(name) for name in packed.namelist()]


def cells_of_csv(data: bytes) -> list[str]:
    text = data.decode("utf-8-sig")
    return [cell for row in csv.reader(io.StringIO(text), delimiter=max(",;", key=text.count)) for cell in row]


def cells_of_workbook(data: bytes) -> list[str]:
    """Texts of a workbook; a formula in it would be of another type, and is told as one."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    return [f"={cell.value}" for cell in cells if cell.data_type == "f"]


@pytest.mark.long
def test_no_file_of_a_hostile_workshop_holds_a_formula(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a CSV file by an apostrophe; a text of a workbook says of itself that it is one."""
    load_hostile(client, monkeypatch)
    found = {
        target.replace("&amp;", "&")
        for page in ("/price", "/price/lists", "/data/export")
        for tag, attrs in Page(client.get(page).text).elements
        if tag == "a" and "as=" in (target := attrs.get("href", ""))
    }
    tried, wrong = 0, []
    for address in sorted(found):
        data = client.get(address).content
        for file in csv_in(data) if "as=csv" in address else ():
            cells = cells_of_csv(file)
            tried += len(cells)
            wrong += [f"{address}: {one[:40]!r}" for one in formulas_of(cells)]
        if "xlsx" in address:
            wrong += [f"{address}: {one[:40]!r}" for one in cells_of_workbook(data)]
    assert len(found) > 10
    tell("cells of files of a hostile workshop", tried, wrong, f"{len(found)} files")


def test_a_formula_in_a_file_would_be_noticed() -> None:
    assert formulas_of(["=1+1", "-5.00", "-1+1", "'=1", "@x", "\t=1"]) == ["=1+1", "-1+1", "@x", "\t=1"]
