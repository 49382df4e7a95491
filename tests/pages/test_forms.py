"""What a browser sends becomes nested texts or a refusal; what is drawn again is what was typed."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from tests.pages.filling import fields, fields_in
from webapp.costing.limits import FIELDS, ORDER_LINES
from webapp.costing.shapes import SHAPES
from webapp.errors import BadEncoding, Unprocessable
from webapp.pages.drawn import Form, defaults, field_at
from webapp.pages.typed import closed_up, flat, nested, pairs_in, typed_from

PEOPLE = "/settings/people"
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
TOKEN = "abcdefgh12345678"


def form(kind: str, texts: dict[str, str]) -> Form:
    return Form("/x", SHAPES[kind], texts, TOKEN, "e", "1")


def code_of(pairs: list[tuple[str, str]]) -> str:
    with pytest.raises(Unprocessable) as refused:
        typed_from(pairs)
    return refused.value.faults[0].code


# --- what was sent


def test_names_say_where_a_text_belongs() -> None:
    sent = {"name": "Melt", "lines-1-amount": "5", "density-value": "0.9", "channels-0": "7"}
    assert nested(sent) == {
        "name": "Melt",
        "lines": [None, {"amount": "5"}],
        "density": {"value": "0.9"},
        "channels": ["7"],
    }


@given(st.dictionaries(st.from_regex(r"[a-z]{1,5}-[0-9]-[a-z]{1,5}", fullmatch=True), st.text(max_size=9), max_size=9))
def test_nested_texts_are_flat_again(sent: dict[str, str]) -> None:
    assert flat(nested(sent)) == sent


def test_what_steers_is_taken_out() -> None:
    names = {"token": TOKEN, "epoch": "e", "version": "12", "more": "lines", "less": ""}
    typed = typed_from([*names.items(), ("sure", "a"), ("sure", "b"), ("name", "Ada")])
    assert typed.data == {"name": "Ada"}
    assert (typed.token, typed.epoch, typed.version, typed.more) == (TOKEN, "e", 12, "lines")
    assert typed.sure == {"a", "b"}


@pytest.mark.parametrize("version", ["", "x", "-1", "01", "1.0", "9" * 30, "\uff11"])
def test_a_version_that_is_none_counts_as_missing(version: str) -> None:
    assert typed_from([("version", version)]).version is None


@pytest.mark.parametrize("token", ["", "short", "x" * 65, "with space!", "\u00e4" * 9])
def test_a_token_that_is_none_counts_as_missing(token: str) -> None:
    assert typed_from([("token", token)]).token == ""


@pytest.mark.parametrize("name", ["price", "token", "version", "lines-0-price", "<b>"])
def test_a_name_that_comes_twice_is_refused(name: str) -> None:
    """STR-27: a parameter sent twice is never one of the two."""
    assert code_of([(name, "1"), (name, "2")]) == "duplicate-field"


@pytest.mark.parametrize("name", ["", "a b", "lines--x", "lines-01-x", "lines-1000-x", "é"])
def test_a_name_that_can_be_none_of_ours_is_refused(name: str) -> None:
    assert code_of([(name, "1")]) == "unknown-field"


def test_one_name_is_not_a_field_and_several() -> None:
    assert code_of([("lines", "1"), ("lines-0-x", "2")]) == "shape"
    assert code_of([("lines-0-x", "2"), ("lines", "1")]) == "shape"


@pytest.mark.parametrize("body", [b"name=%FF", b"name=%C3", b"name=\xff", b"%FF=1", b"name=%ED%A0%80"])
def test_bytes_that_are_not_utf8_are_refused(body: bytes) -> None:
    """TEX-09."""
    with pytest.raises(BadEncoding):
        pairs_in(body)


def test_as_many_fields_as_are_kept_and_not_one_more() -> None:
    many = "&".join(f"a{number}=1" for number in range(FIELDS))
    assert len(pairs_in(many.encode())) == FIELDS
    with pytest.raises(Unprocessable):
        pairs_in(f"{many}&more=1".encode())


def test_empty_lines_are_closed_up() -> None:
    """Else a fault of the store, which counts lines of the record, would stand at another line of the form."""
    shape = SHAPES["order"]
    typed = {"lines": [{"material": "", "unit": "kg"}, None, {"material": "5", "unit": "g"}, {"packs": "  "}]}
    assert closed_up(shape, typed) == {"lines": [{"material": "5", "unit": "g"}]}


def test_a_line_with_words_only_is_no_empty_line() -> None:
    charges = [
        {"kind": "freight", "amount": " ", "label": ""},
        {"kind": "duty", "amount": "", "label": "Customs agent"},
    ]
    assert closed_up(SHAPES["order"], {"charges": charges}) == {"charges": charges[1:]}


# --- what is drawn


def test_a_line_nobody_touched_starts_with_its_defaults() -> None:
    drawn = form("product", {"parts-0-material": "4", "parts-0-spoiled": ""})
    assert drawn.value("parts-0-spoiled") == ""
    assert drawn.value("parts-1-pieces") == drawn.value("parts-__n__-pieces") == "1"
    assert drawn.value("parts-1-material") == ""


def test_there_are_blank_lines_but_never_more_than_are_kept() -> None:
    assert form("order", {}).rows("lines") == 3
    assert form("order", {"lines-4-price": "1"}).rows("lines") == 6
    assert form("order", {f"lines-{ORDER_LINES - 1}-price": "1"}).rows("lines") == ORDER_LINES


def test_a_box_is_ticked_by_its_value() -> None:
    drawn = form("product", {"channels-0": "7", "name": "x"})
    assert drawn.checked("channels", 7)
    assert not drawn.checked("channels", 8)
    assert form("terms", {"registered": "yes"}).checked("registered", "yes")
    assert not form("terms", {}).checked("registered", "yes")


@pytest.mark.parametrize("kind", SHAPES)
def test_every_field_has_its_limits_and_a_start(kind: str) -> None:
    shape = SHAPES[kind]
    drawn = form(kind, {})
    for field in shape.fields:
        assert field_at(shape, field.name) is field
        assert isinstance(drawn.attrs(field.name), dict)
    assert set(defaults(shape)) <= {field.name for field in shape.fields}
    assert field_at(shape, "no_such-0-thing") is None
    assert drawn.attrs("no_such") == {}


# --- the flow, on a real page


def test_what_was_typed_is_kept_beside_its_fault(client: TestClient) -> None:
    sent = {**fields(client, f"{PEOPLE}/new", PEOPLE), "name": "Ada <b>", "wage-per_hour": "1.2.3", "note": "line\ntwo"}
    answer = client.post(PEOPLE, data=sent)
    assert answer.status_code == 422
    again = fields_in(answer.text, PEOPLE)
    assert {name: again[name] for name in ("name", "wage-per_hour")} == {"name": "Ada <b>", "wage-per_hour": "1.2.3"}
    assert "Ada &lt;b&gt;" in answer.text
    assert 'id="e-wage-per_hour"' in answer.text


def test_the_list_of_faults_calls_every_field_by_its_name(client: TestClient) -> None:
    sent = fields(client, "/make/formulas/new", "/make/formulas")
    wrong = {"name": "Melt", "loss": "100", "batch_grams": "x", "lines-1-material": "Shea", "lines-1-amount": "y"}
    answer = client.post("/make/formulas", data={**sent, **wrong})
    assert answer.status_code == 422
    found = answer.text.split("data-faults>", 1)[1].split("</section>", 1)[0]
    said = dict(re.findall(r'<a href="#f-([^"]*)">([^<:]*): ', found))
    # an empty first line is closed up: the second is the first that was typed
    assert said == {
        "loss": "Lost",
        "batch_grams": "Batch",
        "lines-0-material": "Line 1, Ingredient or formula",
        "lines-0-amount": "Line 1, Amount",
    }


def test_a_fault_of_no_field_is_said_by_itself() -> None:
    drawn = form("person", {})
    assert drawn.named("name", "Name") == "Name"
    assert [drawn.called(path) for path in ("name", "wage-per_hour", "")] == ["Name", "", ""]


def test_a_form_that_does_not_say_its_version_is_shown_again(client: TestClient) -> None:
    sent = {"name": "Ada", "whose": "own"}
    answer = client.post(PEOPLE, data=sent)
    assert answer.status_code == 428
    assert client.get("/api/people").json()["total"] == 0


def test_htmx_gets_the_form_alone_and_is_sent_on_by_a_header(client: TestClient) -> None:
    part = {"HX-Request": "true", "HX-Request-Type": "partial"}
    sent = fields(client, f"{PEOPLE}/new", PEOPLE)
    wrong = client.post(PEOPLE, data=sent, headers=part)
    assert (wrong.status_code, wrong.headers["vary"]) == (422, "HX-Request, HX-Request-Type")
    assert wrong.text.lstrip().startswith("<form")
    right = client.post(PEOPLE, data={**sent, "name": "Ada"}, headers=part)
    assert (right.status_code, right.text) == (200, "")
    assert right.headers["hx-redirect"].startswith(f"{PEOPLE}?done=")


@pytest.mark.parametrize("headers", [{"HX-Request": "true", "HX-Request-Type": "full"}, {"HX-Request-Type": "partial"}])
def test_the_back_button_gets_the_whole_page(client: TestClient, headers: dict[str, str]) -> None:
    assert "<html" in client.get(f"{PEOPLE}/new", headers=headers).text


def test_the_line_that_new_ones_are_made_from_is_no_line(client: TestClient) -> None:
    orders = "/buy/orders"
    sent = {**fields(client, f"{orders}/new", orders), "lines-__n__-price": "1"}
    answer = client.post(orders, data=sent)
    assert answer.status_code == 422
    assert "This must be a list of lines." in answer.text


def test_a_form_in_parts_is_refused(client: TestClient) -> None:
    answer = client.post(PEOPLE, files={"name": ("a.txt", b"Ada")})
    assert answer.status_code == 415


def test_a_hostile_next_page_leads_nowhere_else(client: TestClient) -> None:
    sent = {**fields(client, f"{PEOPLE}/new", PEOPLE), "name": "Ada"}
    saved = client.post(f"{PEOPLE}?next=//evil.example/", content=urlencode(sent), headers=FORM)
    assert saved.headers["location"].startswith(f"{PEOPLE}?done=")
    undone = client.post("/undo/1?kind=//evil.example/", data={"token": TOKEN})
    assert (undone.status_code, undone.headers["location"].partition("?")[0]) == (303, "/")
