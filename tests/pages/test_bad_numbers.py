"""Every published number that is none, typed into every amount of every form of every page: refused at its field.

The forms are read from the pages themselves, so that a new one is tried without being listed here. A form is sent as
Enter sends it; lines of a form that are alike are tried by their last.
"""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from tests.bad_inputs import inputs_of
from tests.every_page import PAGES, VARIANTS, filled
from tests.pages.forms_of import OneField, OneForm, Page, forms_of, in_sight, numberless, said_at, send_form
from tests.pages.workshop import example
from tests.stored import content_hash
from tests.test_every_page import by_client
from tests.tried import tell
from webapp.settings import Settings

GIVEN = [one for group in ("numbers", "locale") for one in inputs_of(group, "purchase.price", "form")]
#: what no amount of any kind is: no numbers, and numbers past all limits
NONE = [one["text"] for one in GIVEN if one["expect"]["kind"] in ("number-format", "number-too-long")]
BAD = [*NONE, "-5", "99999999999", "0.0000001"]
#: amounts that may be below zero: how warm something is, and by how much prices are changed
SIGNED = re.compile(r"temperature$|density_at$|^by$")
#: amounts that may have their unit behind them
WITH_UNIT = re.compile(r"needs-N-(amount|a_month)")
#: pages of a plain run: a form with lines, one with parts, one of single figures, one that is only asked
SOME = ("/buy/orders/new", "/buy/materials/new", "/settings/terms", "/price/products/{product}/try")
SHOWN_OF_AN_ADDRESS = 40
FEW = ["sNaN", "0.0000001"]
Try = tuple[str, OneForm, OneField, str]


def tries(client: TestClient, pages: tuple[str, ...], texts: list[str]) -> list[Try]:
    """Every amount of every form of the pages with every text."""
    found = forms_of(client, filled(pages, by_client(client)))
    return [
        (page, form, one, text)
        for page, form in found
        for one in {numberless(one.name): one for one in form.fields if one.is_amount}.values()
        for text in texts
        if not (text.startswith("-") and SIGNED.search(one.name) and text not in NONE)
        and not (text.endswith("kg") and WITH_UNIT.fullmatch(numberless(one.name)))
    ]


def answered_wrongly(client: TestClient, page: str, form: OneForm, one: OneField, text: str) -> str:
    """What is wrong with the answer to a form with a bad amount in it; nothing where all is well.

    Lines that were left empty are closed up, so that a field may have another number in the answer. Of what an address
    holds as much comes back as a field takes.
    """
    answer = send_form(client, page, form, {**in_sight(form, one.name), one.name: text})
    if answer.status_code != 422:
        return f"{page}, {one.name}: {text[:30]} answered {answer.status_code}"
    drawn = Page(answer.text)
    fields = [field for again in drawn.forms for field in again.fields]
    alike = [
        field
        for field in fields
        if numberless(field.name) == numberless(one.name)
        and (field.value == text or (form.method == "get" and field.value == text[:SHOWN_OF_AN_ADDRESS]))
    ]
    if any(said_at(drawn, field) for field in alike):
        return ""
    return f"{page}, {one.name}: {text[:30]}: {'no words at the field' if alike else 'what was typed is gone'}"


def try_all(client: TestClient, settings: Settings, test: str, found: list[Try]) -> None:
    before = content_hash(settings)
    wrong = [fault for one in found if (fault := answered_wrongly(client, *one))]
    if content_hash(settings) != before:
        wrong.append("something was stored")
    tell(test, len(found), wrong, f"{len({numberless(field.name) for _, _, field, _ in found})} kinds of amounts")


def test_a_number_that_is_none_at_some_forms(client: TestClient, settings: Settings) -> None:
    example(client)
    try_all(client, settings, "bad numbers at some forms", tries(client, SOME, FEW))


@pytest.mark.long
def test_a_number_that_is_none_in_every_amount_of_every_form(client: TestClient, settings: Settings) -> None:
    """Each amount with one of the texts, in turn."""
    example(client)
    every = tries(client, PAGES + VARIANTS, ["?"])
    found = [(page, form, one, NONE[at % len(NONE)]) for at, (page, form, one, _) in enumerate(every)]
    assert len(found) > 300
    try_all(client, settings, "bad numbers in every amount of every form", found)


@pytest.mark.deep
def test_every_number_that_is_none_in_every_amount_of_every_form(client: TestClient, settings: Settings) -> None:
    example(client)
    try_all(client, settings, "every bad number in every amount of every form", tries(client, PAGES + VARIANTS, BAD))


def test_a_price_typed_over_and_not_ticked_is_not_left_out_unseen(client: TestClient, settings: Settings) -> None:
    """Another row is ticked, so that the page could be saved without the one that was typed."""
    example(client)
    page = "/price/suggested"
    (form,) = [one for one in Page(client.get(page).text).forms if one.method == "post"]
    others = {f"prices-{at}-answer": "take" for at in (1, 2)}
    before = content_hash(settings)
    answer = send_form(client, page, form, {**others, "prices-0-amount": "99"})
    (field,) = [one for again in Page(answer.text).forms for one in again.fields if one.name == "prices-0-amount"]
    assert (answer.status_code, field.value) == (422, "99")
    assert "not ticked" in said_at(Page(answer.text), field)
    assert content_hash(settings) == before
