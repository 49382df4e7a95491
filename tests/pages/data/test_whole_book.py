"""Export and import through the pages: every form of file, what it would change, faults at their cells, one undo."""

from __future__ import annotations

import csv
import io
import json
import re
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from html import unescape
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook
from starlette.testclient import TestClient

from tests.exchange.carried import empty_store, settings_of
from tests.pages.filling import fields_in
from webapp import example, importing
from webapp.app import make_app
from webapp.costing.gaps import Gap, Ref
from webapp.exchange import whole
from webapp.pages.data import bringing, import_looking, work
from webapp.pages.data.import_looking import MOVED_ON, NOT_TO_ITS_END
from webapp.pages.data.import_views import Moved, noted, seen, view_of
from webapp.store.opening import Store

DAY = date(2026, 11, 25)
EXPORT, IMPORT = "/data/export", "/data/import"


@pytest.fixture
def both(new_file: Path, tmp_path: Path) -> Iterator[tuple[TestClient, TestClient]]:
    """The example workshop, and one with nothing in it."""
    stores = [empty_store(new_file, tmp_path / name) for name in ("full", "new")]
    example.fill(stores[0], DAY)
    clients = []
    for store, name in zip(stores, ("full", "new"), strict=True):
        app = make_app(settings_of(tmp_path / name), store)
        app.state.today = lambda: DAY
        clients.append(
            TestClient(
                app,
                base_url="http://127.0.0.1:8000",
                follow_redirects=False,
                headers={"Sec-Fetch-Site": "same-origin"},
            )
        )
    yield clients[0], clients[1]
    for client in clients:
        client.app.state.jobs.close()  # type: ignore[attr-defined]
    for store in stores:
        store.close()


def words(text: str) -> str:
    return unescape(" ".join(re.sub(r"<[^>]*>", " ", text).split()))


def begin(client: TestClient, data: bytes, name: str) -> Any:
    """The answer to a file that was chosen: it leads to where it is looked at, or to the page of that work."""
    answer = client.post(IMPORT, files={"file": (name, data)})
    assert answer.status_code == 303, words(answer.text)
    return answer


def choose(client: TestClient, data: bytes, name: str) -> str:
    """The address where a file is looked at, also where a busy machine takes longer over it."""
    return str(at_its_end(client, begin(client, data, name)).headers["location"])


def save(client: TestClient, address: str, **more: str) -> Any:
    """The page's own form sent as it stands."""
    form = fields_in(client.get(address).text, address)
    return at_its_end(client, client.post(address, data={**form, **more}))


def at_its_end(client: TestClient, answer: Any) -> Any:
    """The answer to what may take longer, and has a page of its own where it does."""
    for _ in range(200):
        if answer.status_code != 303 or "/data/work/" not in answer.headers["location"]:
            return answer
        token = answer.headers["location"].rpartition("/")[2]
        client.app.state.jobs.find(token).wait(60)  # type: ignore[attr-defined]
        answer = client.get(answer.headers["location"])
    return answer


@pytest.mark.parametrize(("kind", "name"), [("xlsx", "book.xlsx"), ("csv", "book.zip"), ("json", "book.json")])
def test_what_is_exported_comes_in_again(both: tuple[TestClient, TestClient], kind: str, name: str) -> None:
    full, new = both
    sent = full.get(f"{EXPORT}?as={kind}")
    assert f'.{name.rpartition(".")[2]}"' in sent.headers["content-disposition"]
    address = choose(new, sent.content, name)
    shown = words(new.get(address).text)
    assert "nothing is saved yet" in shown
    assert "A copy of your data is made first" in shown
    saved = save(new, address)
    assert saved.headers["location"].endswith("?done=1"), words(saved.text)
    assert new.get("/api/export").json() == full.get("/api/export").json()
    assert new.get(address).status_code == 404  # the file is gone with its saving
    again = words(new.get(choose(new, sent.content, name)).text)
    assert "all of it is here already" in again


def test_a_workbook_says_what_it_is_and_its_numbers_are_numbers(both: tuple[TestClient, TestClient]) -> None:
    full, _ = both
    book = load_workbook(io.BytesIO(full.get(f"{EXPORT}?as=xlsx").content))
    about = [[cell.value for cell in row] for row in book["About"].iter_rows()]
    assert about[0][:2] == ["Format", "brimful-book"]
    assert any(row[:2] == ["Densities", "Value, g/mL"] for row in about)
    lines = [[cell.value for cell in row] for row in book["Order lines"].iter_rows()]
    head = lines[0]
    packs, day = head.index("Packs"), [cell.value for cell in book["Orders"]["C"]]
    assert all(isinstance(row[packs], int | float) for row in lines[1:])
    assert all(hasattr(value, "year") for value in day[1:])
    assert all(cell.data_type != "f" for page in book for row in page.iter_rows() for cell in row)


def test_a_zip_has_a_csv_file_for_each_sheet(both: tuple[TestClient, TestClient]) -> None:
    full, _ = both
    with ZipFile(io.BytesIO(full.get(f"{EXPORT}?as=csv").content)) as packed:
        names = packed.namelist()
        with packed.open("materials.csv") as file:
            rows = list(csv.reader(io.TextIOWrapper(file, "utf-8-sig", newline="")))
    assert names[0] == "about.csv"
    assert {"order_lines.csv", "prices.csv", "formula_lines.csv"} <= {*names}
    one = full.get(f"{EXPORT}?as=csv&sheet=materials")
    assert list(csv.reader(io.StringIO(one.content.decode("utf-8-sig"), newline=""))) == rows
    assert full.get(f"{EXPORT}?as=csv&sheet=spells").status_code == 404
    assert full.get(f"{EXPORT}?as=pdf").status_code == 404


def test_one_changed_cell_is_all_that_changes(both: tuple[TestClient, TestClient]) -> None:
    """One CSV of one sheet: the postage of a channel goes from one amount to another, and its margins move."""
    full, _ = both
    before = full.get("/api/export").json()["sheets"]
    sheet = full.get(f"{EXPORT}?as=csv&sheet=wages").content.decode("utf-8-sig")
    assert "15.5" in sheet
    address = choose(full, sheet.replace("15.5", "17.25").encode(), "wages (2).csv")
    shown = words(full.get(address).text)
    assert "The decimal sign in this file" in shown  # one CSV doesn't say it
    assert "What it does to costs and margins" in shown
    assert save(full, address, sign=".").status_code == 303
    after = full.get("/api/export").json()["sheets"]
    changed = {key for key in after if after[key] != before[key]}
    assert changed == {"wages"}
    assert sum(row["per_hour"] == "17.25" for row in after["wages"]) == 1


def test_faults_are_said_at_sheet_row_and_column_and_nothing_is_stored(both: tuple[TestClient, TestClient]) -> None:
    full, _ = both
    before = full.get("/api/export").json()
    sheet = "Belongs to,From,An hour\r\nMaud Fennick,2026-11-01,plenty\r\nNobody at all,,12\r\n"
    address = choose(full, sheet.encode(), "wages.csv")
    shown = words(full.get(address).text)
    assert "2 cells have to be put right" in shown
    assert "Wages 2 An hour plenty" in shown
    assert "There is no person called Nobody at all" in shown
    assert save(full, address).status_code == 422
    assert full.get("/api/export").json() == before


def slowly(monkeypatch: pytest.MonkeyPatch) -> None:
    """No answer waits for long work, as where it takes longer."""
    for module in (bringing, work):
        monkeypatch.setattr(module, "SOON", 0)


def test_what_takes_longer_is_looked_at_beside_its_page(
    both: tuple[TestClient, TestClient], monkeypatch: pytest.MonkeyPatch
) -> None:
    slowly(monkeypatch)
    full, new = both
    begun = begin(new, full.get(f"{EXPORT}?as=xlsx").content, "book.xlsx").headers["location"]
    assert begun.startswith("/data/work/")
    job = new.app.state.jobs.find(begun.rpartition("/")[2])  # type: ignore[attr-defined]
    assert job.wait(60).state == "done"
    shown = new.get(begun).headers["location"]
    assert "nothing is saved yet" in words(new.get(shown).text)
    assert job.progress.title == "Looking at book.xlsx"


def test_a_file_that_is_refused_late_says_so_on_its_page(
    both: tuple[TestClient, TestClient], monkeypatch: pytest.MonkeyPatch
) -> None:
    slowly(monkeypatch)
    answered, brought_in = threading.Event(), import_looking.brought_in

    def after_the_answer(*asked: Any) -> Any:
        assert answered.wait(60)
        return brought_in(*asked)

    monkeypatch.setattr(import_looking, "brought_in", after_the_answer)
    begun = begin(both[1], b"PK\x03\x04nonsense", "x.xlsx").headers["location"]
    answered.set()
    job = both[1].app.state.jobs.find(begun.rpartition("/")[2])  # type: ignore[attr-defined]
    told = job.wait(60)
    assert "damaged" in words(both[1].get(begun).text)
    back = words(both[1].get(told.goes_to).text)
    assert NOT_TO_ITS_END in back
    assert "Look at it" in back


def test_what_was_looked_at_before_something_was_saved_is_looked_at_again(both: tuple[TestClient, TestClient]) -> None:
    full, new = both
    address = choose(new, full.get(f"{EXPORT}?as=json").content, "book.json")
    kept = fields_in(new.get(address).text, address)
    new.post("/api/suppliers", json={"name": "A mill of our own", "currency": "EUR"})
    assert MOVED_ON in words(new.get(address).text)
    pressed = new.post(address, data=kept)  # what is not seen as it is now is not saved
    assert (pressed.status_code, pressed.headers["location"]) == (303, address)
    assert "nothing is saved yet" in words(new.get(address).text)
    assert save(new, address).headers["location"].endswith("?done=2")


def test_what_was_seen_is_shown_as_it_was_noted(both: tuple[TestClient, TestClient]) -> None:
    """A price that can't be worked out, a cost that moves, a fault: all go through the note and come back the same."""
    full, _ = both
    store: Store = full.app.state.store  # type: ignore[attr-defined]
    sheets = full.get("/api/export").json()["sheets"]
    sheets["wages"] = [{**row, "per_hour": "99"} for row in sheets["wages"]]
    unknown = Moved("Pomade", "Stall", None, Gap("No price yet.", Ref("material", 3, "price")), None, Gap("As said."))
    for rows in (sheets, {"wages": [{"belongs_to": "Nobody at all", "per_hour": "12"}]}):
        document = whole.from_json({"format": "brimful-book", "version": 1, "sheets": rows})
        looked = importing.look(store, document, DAY)
        view = view_of(store.snapshot(DAY).reckoning, "a", looked, ("so",), asks_sign=True)
        assert view.moved or view.faults
        for one in (view, replace(view, moved=(*view.moved, unknown))):
            assert seen(json.loads(json.dumps(noted(one), default=str))) == one


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "Choose the file first"),
        (b"%PDF-1.7", "PDF"),
        (b"{}", "no whole book"),
        (b"a,b\r\n1,2\r\n", "no sheet of a book"),
        (b"PK\x03\x04nonsense", "damaged"),
    ],
)
def test_a_file_that_is_none_of_ours_is_refused_with_a_sentence(
    both: tuple[TestClient, TestClient], data: bytes, said: str
) -> None:
    answer = both[1].post(IMPORT, files={"file": ("x.csv", data)})
    assert answer.status_code == 422
    assert said in words(answer.text)


def test_an_empty_book_has_its_heads_to_be_filled_in(both: tuple[TestClient, TestClient]) -> None:
    _, new = both
    assert "Nothing is entered yet" in words(new.get(EXPORT).text)
    book = load_workbook(io.BytesIO(new.get(f"{EXPORT}?as=xlsx").content))
    assert [cell.value for cell in book["Suppliers"][1]][:2] == ["Name", "Currency"]
    assert 'href="/data"' in new.get("/settings").text
    assert f'href="{EXPORT}"' in new.get("/data").text
