"""Every form of every page filled in at random: never a 500, nothing stored by what is refused, nothing typed lost."""

from __future__ import annotations

import shutil
import sqlite3
from collections import Counter
from random import Random
from typing import Any
from urllib.parse import urlencode, urlsplit

import pytest
from starlette.testclient import TestClient

from tests.every_page import PAGES, VARIANTS, filled
from tests.pages.drawn_forms import FILES, Filled, filled_in, lost, wrong_with
from tests.pages.forms_of import OneForm, Page, forms_of
from tests.pages.workshop import example
from tests.stored import Watched
from tests.test_every_page import by_client
from tests.tried import tell
from webapp.settings import Settings
from webapp.store.opening import FILE

PARTS, IN_A_PART, IN_A_PLAIN_RUN = 20, 500, 40
#: pages of a plain run: forms with lines, with parts, with choices that hang on each other, one that only asks
SOME = ("/buy/orders/new", "/buy/materials/new", "/make/formulas/new", "/price/channels/new", "/buy/packs", "/price")


def send(client: TestClient, rng: Random, page: str, form: OneForm, one: Filled) -> Any:
    """Send it as a browser does."""
    action = one.action or (urlsplit(page).path if form.method == "get" else page)
    if form.method == "get":
        return client.get(f"{action}?{urlencode(one.sent, doseq=True)}")
    if form.enctype == "multipart/form-data":
        return client.post(action, data=one.sent, files={"file": rng.choice(FILES)})
    return client.post(action, data=one.sent)


def try_forms(client: TestClient, settings: Settings, pages: list[str], *, seed: int, tries: int, test: str) -> None:
    """So many forms, drawn from a seed, sent one after the other to a workshop that they change."""
    first = list(forms_of(client, pages))
    rng, watched = Random(seed), Watched(settings)
    stored = watched.hash()
    wrong, met, sent, drawn = list[str](), Counter[str](), set[tuple[str, ...]](), 0
    while drawn < tries:
        page, form = first[rng.randrange(len(first))]
        now = next((one for one in Page(client.get(page).text).forms if one.key == form.key), None)
        if now is None:  # it was of something that is gone, or is done
            met["gone"] += 1
            assert met["gone"] < 10 * tries
            continue
        drawn += 1
        sent.add(form.key)
        one = filled_in(rng, form, now)
        answer = send(client, rng, page, now, one)
        met[str(answer.status_code)] += 1
        fault, after = wrong_with(answer, one), watched.hash()
        if answer.status_code >= 400 and after != stored:
            fault = f"{fault} answered {answer.status_code}, and something was stored".strip()
        stored = after
        if fault:
            wrong.append(f"seed {seed}, {drawn}: {form.method} {one.action or page}: {fault[:400]}")
    how = ", ".join(f"{count} {status}" for status, count in sorted(met.items()))
    assert met["422"] > tries / 20 < met["303"] + met["200"]
    tell(test, tries, wrong, f"{len(sent)} of {len(first)} forms: {how}")


def test_some_forms_filled_in_at_random(client: TestClient, settings: Settings) -> None:
    example(client)
    try_forms(client, settings, list(SOME), seed=0, tries=IN_A_PLAIN_RUN, test="forms filled in at random, some")


@pytest.mark.deep
@pytest.mark.parametrize("part", range(1, PARTS + 1))
def test_every_form_filled_in_at_random(client: TestClient, settings: Settings, part: int) -> None:
    example(client)
    pages = filled(PAGES + VARIANTS, by_client(client))
    try_forms(client, settings, pages, seed=part, tries=IN_A_PART, test="forms filled in at random")


def test_what_is_lost_would_be_noticed() -> None:
    one = Filled("/x", {}, {"lines-3-note": "a\r\nb", "name": "Balm"}, by_hand=True)
    kept = '<form><textarea name="lines-0-note">\na\nb</textarea><input name="name" value="Balm"></form>'
    assert lost(kept, one) == ""
    assert "Balm" in lost(kept.replace("Balm", ""), one)
    assert "lines-3-note" in lost(kept.replace("a\nb", "a b"), one)


def test_another_file_in_its_place_would_be_noticed(settings: Settings) -> None:
    """As after a restore: it may have been changed as often as the one before, which is all that its head counts."""
    file, other, watched = settings.data / FILE, settings.data / "other.db", Watched(settings)
    shutil.copy(file, other)
    for which, name in ((file, "One"), (other, "Other")):
        with sqlite3.connect(which) as data:
            data.execute("UPDATE ledger SET epoch = ?", (name,))
    assert file.read_bytes()[24:28] == other.read_bytes()[24:28]
    before = watched.hash()
    assert watched.hash() == before
    other.replace(file)
    assert watched.hash() != before
