"""The published bad inputs at the pages' forms: the answer wanted, nothing stored, what was typed kept, never a 500.

Neutral field names are mapped to ours here. A page tells a fault by its sentence, so each code is known by its words.
Elsewhere: NUM-11 and STR-29 are JSON (`tests/api/test_bodies.py`); files, backups, NUM-43 and TEX-25 are tried by
`tests/pages/data/test_bad_files.py`; the group http is held whole by `tests/test_guard.py`, but for HTT-21 and HTT-23,
which are about pages.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select
from sqlmodel import SQLModel
from starlette.testclient import TestClient

from tests.bad_inputs import inputs_of
from tests.pages.filling import changed, doubts_in, fields, fields_in, fill
from tests.pages.workshop import CHANNELS, FORMULAS, MATERIALS, ORDERS, PRODUCTS, jar, kitchen, number_of, order

#: code -> how the sentence of that fault on a page reads, any of them
WORDS = {
    "required": ("Type the price", "Give it a name", "Type how much"),
    "number-format": ("This isn&#39;t a number",),
    "number-too-long": ("longer than a number may be",),
    "number-range": ("between", "above", "below", "at most", "or more", "from 0"),
    "number-decimals": ("decimal", "places"),
    "number-ambiguous": ("can be read in two ways",),
    "currency-mismatch": ("Type the rate",),
    "text-invisible": ("Nothing here can be seen",),
    "text-control": ("control character",),
    "text-bidi-control": ("turns text round",),
    "text-combining": ("too many accents",),
    "duplicate": ("already one called",),
    "url-scheme": ("http:// or https://",),
    "date-format": ("no such day",),
    "formula-sum": ("add up to 99 %",),
    "cycle": ("would contain itself",),
    "too-deep": ("nested deeper than 20",),
}
Content = Callable[[], str]


@pytest.fixture
def content(client: TestClient) -> Content:
    """A hash of every row of every table but that of drafts: what was typed is kept, and is nothing that is stored."""
    engine = client.app.state.store._engine  # type: ignore[attr-defined]  # the store shows no rows by itself

    def taken() -> str:
        found = hashlib.sha256()
        with engine.connect() as connection:
            for table in (one for one in SQLModel.metadata.sorted_tables if one.name != "draft"):
                rows = connection.execute(select(table)).all()
                found.update(repr((table.name, sorted(map(repr, rows)))).encode())
        return found.hexdigest()

    return taken


def refused(answer: Any, given: dict[str, Any], at: str) -> None:
    """The wanted status, the fault's words at the field, and the field as it was typed."""
    assert answer.status_code == given["expect"]["status"], answer.text
    assert f'id="e-{at}"' in answer.text, given["id"]
    words = answer.text.split(f'id="e-{at}"', 1)[1].split("</", 1)[0]
    assert any(one in words for one in WORDS[given["expect"]["kind"]]), words


def published(group: str, field: str) -> pytest.MarkDecorator:
    inputs = [one for one in inputs_of(group, field, "form") if one["expect"]["kind"] not in ("ok", "confirm")]
    return pytest.mark.parametrize("given", inputs, ids=lambda one: one["id"])


def accepted(group: str, field: str) -> pytest.MarkDecorator:
    inputs = [one for one in inputs_of(group, field, "form") if one["expect"]["kind"] == "ok"]
    return pytest.mark.parametrize("given", inputs, ids=lambda one: one["id"])


# --- numbers


def refuse_in_an_order(client: TestClient, content: Content, given: dict[str, Any], field: str, at: str = "") -> None:
    before = content()
    answer = order(client, note="from the market", **{field: given["text"]})
    refused(answer, given, at or field)
    kept = fields_in(answer.text, ORDERS)
    assert (kept[field], kept["note"]) == (given["text"], "from the market")
    assert content() == before


@published("numbers", "purchase.price")
def test_a_price_that_is_none(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    refuse_in_an_order(client, content, given, "lines-0-price")


@published("locale", "purchase.price")
def test_a_price_in_another_s_notation(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    refuse_in_an_order(client, content, given, "lines-0-price")


@published("numbers", "purchase.pack_size")
def test_a_pack_that_is_too_small(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    refuse_in_an_order(client, content, given, "lines-0-size")


@published("structure", "purchase.date")
def test_a_day_that_is_none(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    refuse_in_an_order(client, content, given, "day")


@published("locale", "purchase.currency")
def test_foreign_money_without_a_rate(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    refuse_in_an_order(client, content, {**given, "text": "USD"}, "currency", "exchange-amount")


@accepted("locale", "purchase.price")
def test_a_price_that_can_be_read_one_way_is_shown_back(client: TestClient, given: dict[str, Any]) -> None:
    """LOC-03 and LOC-07 both mean 1234.56; shown grouped as this workshop writes."""
    answer = order(client, **{"lines-0-price": given["text"]})
    assert answer.status_code == given["expect"]["status"]
    there = answer.headers["location"].split("?", 1)[0]
    assert fields(client, f"{there}/edit", there)["lines-0-price"] == "1234.56"


def test_a_price_of_nothing_is_asked(client: TestClient, content: Content) -> None:
    """NUM-21."""
    before = content()
    asked = order(client, **{"lines-0-price": "0"})
    assert asked.status_code == 200
    assert "costs nothing here" in asked.text
    assert content() == before
    assert client.post(ORDERS, data={**fields_in(asked.text, ORDERS), "sure": doubts_in(asked.text)}).status_code == 303


@published("numbers", "batch.jar_count")
def test_more_jars_than_can_be(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    """Jars of a batch follow from its grams here, so the count that is typed is that of the jars set aside."""
    kitchen(client)
    before = content()
    answer = jar(client, set_aside=given["text"])
    refused(answer, given, "set_aside")
    assert fields_in(answer.text, PRODUCTS)["set_aside"] == given["text"]
    assert content() == before


@pytest.mark.parametrize("ident", [one["text"] for one in inputs_of("numbers", "ingredient.id", "path")])
@pytest.mark.parametrize("place", [MATERIALS, ORDERS, FORMULAS, PRODUCTS, CHANNELS, "/settings/people"])
@pytest.mark.parametrize("act", ["", "/edit"])
def test_a_number_that_no_thing_has(client: TestClient, place: str, act: str, ident: str) -> None:
    assert client.get(f"{place}/{ident}{act}").status_code == 404


# --- text


@published("text", "ingredient.name")
def test_a_name_that_is_none(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    if given["id"] == "TEX-15":
        assert fill(client, f"{MATERIALS}/new", MATERIALS, name="Karit\u00e9").status_code == 303
        given = {**given, "text": "Karite\u0301"}
    before = content()
    answer = fill(client, f"{MATERIALS}/new", MATERIALS, name=given["text"], note="kept")
    refused(answer, given, "name")
    assert fields_in(answer.text, MATERIALS)["note"] == "kept"
    assert content() == before


@accepted("text", "ingredient.name")
def test_a_name_that_is_unusual_is_words_only(client: TestClient, given: dict[str, Any]) -> None:
    answer = fill(client, f"{MATERIALS}/new", MATERIALS, name=given["text"])
    assert answer.status_code == given["expect"]["status"]
    there = answer.headers["location"].split("?", 1)[0]
    assert fields(client, f"{there}/edit", there)["name"] == given["text"]
    if "<" in given["text"]:
        assert given["text"] not in client.get(there).text + client.get(MATERIALS).text


def test_bytes_that_are_no_text(client: TestClient, content: Content) -> None:
    """TEX-09."""
    before = content()
    form = {"Content-Type": "application/x-www-form-urlencoded"}
    assert client.post(MATERIALS, content=b"name=%FF", headers=form).status_code == 400
    assert content() == before


@pytest.mark.parametrize("given", inputs_of("text", "supplier.url", "form"), ids=lambda one: one["id"])
def test_a_supplier_s_link(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    before = content()
    answer = fill(client, "/buy/suppliers/new", "/buy/suppliers", name="The mill", url=given["text"])
    if given["expect"]["kind"] == "ok":
        assert answer.status_code == 303
        return
    refused(answer, given, "url")
    assert fields_in(answer.text, "/buy/suppliers")["url"] == given["text"]
    assert content() == before


HOSTILE = [one for one in inputs_of("text", "ingredient.name", "form") if "<" in one["text"]]
PLACES = (
    *(ORDERS, MATERIALS, FORMULAS, PRODUCTS, CHANNELS),
    *("/price/parts", "/buy/suppliers", "/buy/quotes", "/settings/people", "/settings/bills"),
)
SINGLE = ("/settings/workshop", "/settings/terms")


@pytest.mark.parametrize("given", HOSTILE, ids=lambda one: one["id"])
def test_every_field_shows_hostile_text_as_words(client: TestClient, given: dict[str, Any]) -> None:
    """TEX-19 and TEX-21 typed into every field of every form at once; what is drawn again holds them as text."""
    kitchen(client)
    hostile = given["text"]
    for place in (*PLACES, *SINGLE):
        sent = fields(client, place if place in SINGLE else f"{place}/new", place)
        typed = {name: hostile for name in sent if name not in ("token", "epoch", "version")}
        answer = client.post(place, data={**sent, **typed})
        assert answer.status_code == 422, answer.text
        assert hostile not in answer.text, place
        assert hostile in fields_in(answer.text, place).values(), place


# --- structure


def one_of(field: str, group: str = "structure") -> dict[str, dict[str, Any]]:
    return {one["id"]: one for one in inputs_of(group, field, "form")}


@pytest.mark.parametrize(
    ("ident", "amount", "at"),
    [("STR-01", "99", "lines"), ("STR-03", "0", "lines-0-amount"), ("STR-05", None, "lines")],
)
def test_formula_lines_that_do_not_add_up(
    client: TestClient, content: Content, ident: str, amount: str | None, at: str
) -> None:
    order(client)
    line = {"lines-0-material": "Shea butter", "lines-0-amount": amount} if amount else {}
    before = content()
    answer = fill(client, f"{FORMULAS}/new", FORMULAS, name="Melt", named=line)
    assert answer.status_code == 422
    assert f'id="e-{at}' in answer.text
    if ident != "STR-05":
        refused(answer, one_of("formula.lines")[ident], at)
    assert fields_in(answer.text, FORMULAS)["name"] == "Melt"
    assert content() == before


def within(client: TestClient, name: str, inner: str) -> str:
    """A formula that is wholly another one; its name."""
    line = {"lines-0-material": inner, "lines-0-amount": "100"}
    assert fill(client, f"{FORMULAS}/new", FORMULAS, name=name, named=line).status_code == 303
    return name


def test_a_formula_of_itself(client: TestClient, content: Content) -> None:
    """STR-07."""
    kitchen(client)
    melt = number_of(client, FORMULAS, "Melt")
    before = content()
    there = f"{FORMULAS}/{melt}"
    answer = fill(client, f"{there}/edit", there, named={"lines-0-material": "Melt"})
    refused(answer, one_of("formula.base")["STR-07"], "lines-0-material")
    assert content() == before


def test_formulas_nested_too_deep(client: TestClient, content: Content) -> None:
    """STR-09: the twenty-first."""
    kitchen(client)
    inner = "Melt"
    for depth in range(2, 21):
        inner = within(client, f"Within {depth}", inner)
    before = content()
    line = {"lines-0-material": inner, "lines-0-amount": "100"}
    answer = fill(client, f"{FORMULAS}/new", FORMULAS, name="Within 21", named=line)
    refused(answer, one_of("formula.base")["STR-09"], "lines-0-material")
    assert content() == before


@pytest.mark.parametrize(
    ("field", "place", "at"),
    [
        ("ingredient.density", MATERIALS, "density-value"),
        ("product.margin_pct", CHANNELS, "target"),
        ("product.margin_pct", "/settings/terms", "target"),
        ("tax.rate_pct", CHANNELS, "tax_rate"),
    ],
)
def test_a_figure_past_its_limit(client: TestClient, content: Content, field: str, place: str, at: str) -> None:
    """STR-11, STR-15, STR-17."""
    (given,) = one_of(field).values()
    before = content()
    page = place if place == "/settings/terms" else f"{place}/new"
    answer = fill(client, page, place, named={at: given["text"]})
    refused(answer, given, at)
    assert fields_in(answer.text, place)[at] == given["text"]
    assert content() == before


def test_more_than_the_jar_holds_is_asked(client: TestClient, content: Content) -> None:
    """STR-13: 60 g at 0.9 g/mL are 66.7 mL, the jar holds 50."""
    kitchen(client)
    tin = {"lines-0-material": "Tin", "lines-0-new_kind": "packaging", "lines-0-unit": "pieces", "lines-0-size": "10"}
    order(client, new_supplier="Tin maker", **tin)
    number, melt = number_of(client, MATERIALS, "Tin"), number_of(client, FORMULAS, "Melt")
    fill(client, f"{MATERIALS}/{number}/edit", f"{MATERIALS}/{number}", holds_ml="50")
    fill(client, f"{FORMULAS}/{melt}/edit", f"{FORMULAS}/{melt}", density="0.9")
    before = content()
    asked = jar(client, **{"fills-0-declared": "60", "parts-0-what": f"material:{number}"})
    assert asked.status_code == 200
    assert 'name="sure"' in asked.text
    assert content() == before


def test_a_form_read_before_another_save_is_stale(client: TestClient, content: Content) -> None:
    """STR-23: both versions are shown and what was typed is kept."""
    assert fill(client, f"{MATERIALS}/new", MATERIALS, name="Shea", note="first").status_code == 303
    there = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea')}"
    early = fields(client, f"{there}/edit", there)
    assert fill(client, f"{there}/edit", there, note="second").status_code == 303
    before = content()
    answer = client.post(there, data=changed(early, note="third"))
    assert answer.status_code == 409
    assert "second" in answer.text
    assert fields_in(answer.text, there)["note"] == "third"
    assert content() == before


def test_the_same_form_twice_is_one_order(client: TestClient, content: Content) -> None:
    """STR-25."""
    assert order(client).status_code == 303
    mill = number_of(client, "/buy/suppliers", "The mill")
    named = {"supplier": mill, "lines-0-material": "Shea butter", "lines-0-packs": "1", "lines-0-size": "1"}
    named |= {"lines-0-unit": "kg", "lines-0-price": "9"}
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named=named)
    first = client.post(ORDERS, data=sent)
    before = content()
    again = client.post(ORDERS, data=sent)
    assert (first.status_code, again.status_code) == (303, 303)
    assert first.headers["location"] == again.headers["location"]
    assert content() == before


def test_a_field_twice(client: TestClient, content: Content) -> None:
    """STR-27."""
    before = content()
    form = {"Content-Type": "application/x-www-form-urlencoded"}
    sent = b"lines-0-price=1&lines-0-price=2"
    assert client.post(ORDERS, content=sent, headers=form).status_code == 422
    assert content() == before


# --- http


@pytest.mark.parametrize("act", ["retire", "restore", "withdraw"])
def test_looking_at_an_act_does_nothing(client: TestClient, content: Content, act: str) -> None:
    """HTT-21."""
    kitchen(client)
    order_page = f"{ORDERS}/{number_of(client, ORDERS, 'The mill')}" if act == "withdraw" else ""
    there = order_page or f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    before = content()
    assert client.get(f"{there}/{act}").status_code == 405
    assert content() == before


def test_no_page_leads_where_an_address_says(client: TestClient) -> None:
    """HTT-23: no page takes where to go from the address."""
    answer = client.post("/start?next=//evil.example/", data=fields(client, "/", "/start"))
    assert answer.status_code == 303
    assert "evil" not in answer.headers["location"]
