"""A half-entered form survives a closed tab: kept as typed, there again on its page, gone when it is saved."""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import (
    CHANNELS,
    FORMULAS,
    MATERIALS,
    ORDER,
    ORDERS,
    PARTS,
    PRODUCTS,
    jar,
    kitchen,
    kitchen_with_a_jar,
    number_of,
    order,
)
from webapp import errors

DRAFTS, ANEW, QUOTES, PASTE = "/drafts", "/drafts/anew", "/buy/quotes", f"{MATERIALS}/paste"
THROWN, PACKS = "/drafts/thrown", "/buy/packs"
NEW_ORDER = f"{ORDERS}/new"
TYPED = "You were typing this"
HALF = {"lines-0-material": "Rose wax", "lines-0-new_kind": "ingredient", "lines-0-price": "12,4o", "note": "a <b>\n2"}


def send(client: TestClient, sent: dict[str, str]) -> Any:
    """What the script sends while somebody types."""
    return client.post(DRAFTS, data=sent)


def type_in(client: TestClient, page: str, action: str, typed: dict[str, Any]) -> dict[str, str]:
    """A form opened, typed into and left; what was in it."""
    sent = changed(fields(client, page, action), named=typed)
    assert send(client, sent).status_code == 204
    return sent


def found(client: TestClient, page: str, action: str, names: dict[str, Any]) -> dict[str, str | None]:
    """What stands in some fields when the page is opened."""
    there = fields(client, page, action)
    return {name: there.get(name) for name in names}


def version(client: TestClient) -> int:
    newest = client.app.state.store.changes(1)  # type: ignore[attr-defined]  # no page says the number alone
    return int(newest[0].version) if newest else 0


def waiting(client: TestClient, listing: str = ORDERS) -> list[str]:
    """Where a list leads to go on."""
    return re.findall(r'half-entered[^<]*<a href="([^"]*)">go on', client.get(listing).text, re.IGNORECASE)


# --- type, leave, come back


def long_forms(client: TestClient) -> dict[str, tuple[str, dict[str, Any]]]:
    """Every long form, new and of something known: where it is sent to, and what is typed into it."""
    kitchen(client)
    assert jar(client).status_code == 303
    counted = {"name": "Lid", "kind": "packaging"}
    assert fill(client, f"{MATERIALS}/new", MATERIALS, named=counted).status_code == 303
    shea, lid_id = number_of(client, MATERIALS, "Shea butter"), number_of(client, MATERIALS, "Lid")
    lid = f"material:{lid_id}"
    dressed = {"name": "Dressed", "parts-0-material": lid_id}
    assert fill(client, f"{PARTS}/new", PARTS, named=dressed).status_code == 303
    quoted = {"supplier": number_of(client, "/buy/suppliers", "The mill"), "size": "1", "unit": "kg", "price": "9"}
    quoted |= {"until": "2026-12-31"}
    assert fill(client, f"{QUOTES}/new?material={shea}", QUOTES, named=quoted).status_code == 303
    ids = {QUOTES: client.get(f"{MATERIALS}/{shea}").text.split(f'"{QUOTES}/', 1)[1].split("/", 1)[0]}
    ids[ORDERS] = client.get(ORDERS).text.split(f'href="{ORDERS}/')[2].split('"', 1)[0]
    names = {MATERIALS: "Shea butter", FORMULAS: "Melt", PRODUCTS: "Jar", CHANNELS: "Stall", PARTS: "Dressed"}
    ids |= {place: str(number_of(client, place, name)) for place, name in names.items()}
    typed: dict[str, dict[str, Any]] = {
        ORDERS: HALF,
        MATERIALS: {"name": "Rose", "nut": "yes", "density-value": "0,9x", "starting-amount": "3"},
        QUOTES: {"price": "1.2.3", "note": "half", "new_supplier": "The press"},
        FORMULAS: {"name": "Balm", "way": "grams", "lines-0-material": "Rose wax", "lines-0-amount": "3O"},
        PRODUCTS: {
            "name": "Rose jar",
            "parts-0-what": lid,
            "parts-1-what": lid,
            "parts-1-pieces": "7",
            "channels-0": None,
        },
        CHANNELS: {"name": "Fair", "tax": "added", "tax_rate": "2O", "pitch": "45"},
        PARTS: {"name": "Lidded", "parts-0-material": str(lid_id), "parts-0-pieces": "x"},
    }
    forms: dict[str, tuple[str, dict[str, Any]]] = {f"{place}/new": (place, more) for place, more in typed.items()}
    forms |= {f"{place}/{ids[place]}/edit": (f"{place}/{ids[place]}", more) for place, more in typed.items()}
    forms |= {f"{place}/{ids[place]}/copy": (place, typed[place]) for place in (FORMULAS, PRODUCTS)}
    forms[f"{NEW_ORDER}?like={ids[ORDERS]}"] = ORDERS, HALF
    forms[f"{QUOTES}/new?material={shea}"] = QUOTES, typed[QUOTES]
    asked = {"needs-0-material": "Shea butter", "needs-0-amount": "2O", "offers-0-price": "x", "batches-0-batches": "3"}
    forms |= {PACKS: (PACKS, asked), f"{PACKS}?material={shea}": (PACKS, asked | {"needs-0-months": "2"})}
    forms[PASTE] = PASTE, {"list": "Wax; 3; kg\nnothing yet", "sign": "comma"}
    return forms


def test_every_long_form_is_as_it_was_left_and_nothing_of_the_book_is(client: TestClient) -> None:
    forms = long_forms(client)
    before, wrong, drafts = version(client), [], dict[str, str]()
    for page, (action, typed) in forms.items():
        type_in(client, page, action, typed)
    for page, (action, typed) in forms.items():
        answer = client.get(page)
        there = fields_in(answer.text, action)
        if (answer.status_code, TYPED in answer.text, "Start anew" in answer.text) != (200, True, True):
            wrong.append((page, "not said"))
        if 'aria-invalid="true"' in answer.text:
            wrong.append((page, "told off before it was sent"))
        if len(there["draft"]) < 20 or drafts.setdefault(there["draft"], page) != page:
            wrong.append((page, "not its own"))
        wrong += [(page, f"{name}: {there.get(name)}") for name, text in typed.items() if there.get(name) != text]
    assert wrong == []
    assert version(client) == before


def test_a_thing_s_own_page_that_is_its_form_finds_it_too(client: TestClient) -> None:
    kitchen(client)
    stall = f"{CHANNELS}/{number_of(client, CHANNELS, 'Stall')}"
    type_in(client, stall, stall, {"pitch": "45"})
    for page in (stall, f"{stall}/edit"):
        assert found(client, page, stall, {"pitch": ""}) == {"pitch": "45"}
    assert found(client, f"{CHANNELS}/new", CHANNELS, {"pitch": ""}) != {"pitch": "45"}


def test_whoever_looks_at_another_day_meets_no_draft_and_makes_none(client: TestClient) -> None:
    type_in(client, NEW_ORDER, ORDERS, HALF)
    assert "Rose wax" in client.get(NEW_ORDER).text
    past = client.get(f"{NEW_ORDER}?on=2026-01-01").text
    assert "Rose wax" not in past
    assert 'name="draft"' not in past
    assert "go on" not in client.get(f"{ORDERS}?on=2026-01-01").text


# --- the list, several, starting anew


def test_the_list_says_what_is_half_entered_and_leads_there(client: TestClient) -> None:
    assert waiting(client) == []
    type_in(client, NEW_ORDER, ORDERS, HALF)
    assert re.search(r"One half-entered order, from [^<]*[0-9]{2}:[0-9]{2}: <a", client.get(ORDERS).text)
    (there,) = waiting(client)
    assert found(client, there, ORDERS, HALF) == HALF
    assert waiting(client, MATERIALS) == waiting(client, PRODUCTS) == []
    assert waiting(client, "/") == [there]
    order(client, **{"lines-0-material": "Shea butter", "draft": None})
    assert waiting(client, "/") == [there]


def test_changes_to_a_thing_are_said_by_its_name_and_not_once_it_is_gone(client: TestClient) -> None:
    order(client)
    number = client.get(ORDERS).text.split(f'href="{ORDERS}/')[2].split('"', 1)[0]
    shea = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    type_in(client, f"{ORDERS}/{number}/edit", f"{ORDERS}/{number}", HALF)
    type_in(client, f"{shea}/edit", shea, {"note": "half"})
    assert "Half-entered changes to Shea butter, from" in client.get(MATERIALS).text
    assert "Half-entered changes to the order of " in client.get(ORDERS).text
    gone = fields(client, f"{ORDERS}/{number}/without", f"{ORDERS}/{number}/withdraw")
    assert client.post(f"{ORDERS}/{number}/withdraw", data=gone).status_code == 303
    assert waiting(client) == []


def test_two_tabs_keep_what_is_typed_in_each(client: TestClient) -> None:
    tabs = [fields(client, NEW_ORDER, ORDERS) for _ in range(2)]
    for tab, price in zip(tabs, ("11", "22"), strict=True):
        assert send(client, changed(tab, named={"lines-0-price": price})).status_code == 204
    newest, older = waiting(client)
    page = client.get(NEW_ORDER).text
    assert fields_in(page, ORDERS)["lines-0-price"] == "22"
    assert "Another waits from" in page
    assert older in page
    assert found(client, older, ORDERS, {"lines-0-price": ""}) == {"lines-0-price": "11"}
    assert found(client, newest, ORDERS, {"lines-0-price": ""}) == {"lines-0-price": "22"}


def test_starting_anew_forgets_it(client: TestClient) -> None:
    type_in(client, NEW_ORDER, ORDERS, HALF)
    answer = client.post(ANEW, data=fields(client, NEW_ORDER, ANEW))
    assert (answer.status_code, answer.headers["location"]) == (303, NEW_ORDER)
    page = client.get(NEW_ORDER).text
    assert "Rose wax" not in page
    assert TYPED not in page
    assert waiting(client) == []


@pytest.mark.parametrize("word", [ANEW, THROWN, ORDERS])
def test_what_a_page_said_before_its_last_word_is_not_kept_after_it(client: TestClient, word: str) -> None:
    """Its last word starts anew, throws away, or has the form drawn again with one more line."""
    sent = changed(fields(client, NEW_ORDER, ORDERS), named=HALF)
    page = "0123456789abcdef01234567"
    early, late = ({**sent, "turn": f"{page}-{number}"} for number in (9, 11))
    last = {**sent, "turn": f"{page}-10", "more": "lines", "lines-0-material": "Kokum"}
    assert send(client, early).status_code == 204
    assert client.post(word, data=last).status_code in (200, 303)
    left = ["Kokum"] if word == ORDERS else []
    assert send(client, early).status_code == 204
    assert [found(client, one, ORDERS, {"lines-0-material": ""})["lines-0-material"] for one in waiting(client)] == left
    assert send(client, late).status_code == 204  # whoever goes back and types on
    (again,) = waiting(client)
    assert found(client, again, ORDERS, {"lines-0-material": ""}) == {"lines-0-material": "Rose wax"}


def test_a_turn_that_is_none_is_not_counted(client: TestClient) -> None:
    sent = changed(fields(client, NEW_ORDER, ORDERS), named=HALF)
    for turn in ("x-1", f"{'0' * 24}-0", f"{'0' * 24}-{'9' * 10}", f"{'0' * 24}-\u0661", "<b>", ""):
        assert send(client, {**sent, "turn": turn}).status_code == 204
        assert len(waiting(client)) == 1
        assert client.post(ANEW, data={"draft": sent["draft"], "page": NEW_ORDER, "turn": turn}).status_code == 303
        assert waiting(client) == []


@pytest.mark.parametrize("listing", [ORDERS, "/"])
def test_one_of_several_is_thrown_away_where_it_is_offered(client: TestClient, listing: str) -> None:
    order(client)
    tabs = [fields(client, NEW_ORDER, ORDERS) for _ in range(2)]
    for tab, name in zip(tabs, ("Rose wax", "Kokum <b>"), strict=True):
        assert send(client, changed(tab, named={**HALF, "lines-0-material": name})).status_code == 204
    newest, older = waiting(client, listing)
    page = client.get(listing).text
    assert "What was typed here (Kokum &lt;b&gt;) goes for good; nothing that was saved changes." in page
    answer = client.post(THROWN, data=fields_in(page, THROWN))  # as the last of its forms would send it
    assert (answer.status_code, answer.headers["location"]) == (303, listing)
    assert waiting(client, listing) == [newest]
    assert found(client, newest, ORDERS, {"lines-0-material": ""}) == {"lines-0-material": "Kokum <b>"}
    assert older not in client.get(NEW_ORDER).text
    assert client.get("/api/orders").json()["total"] == 1


def test_throwing_away_leads_to_no_other_place(client: TestClient) -> None:
    for page in ("//evil.example", "https://evil.example/buy/orders", "/nowhere", ""):
        answer = client.post(THROWN, data={"draft": "a-form-s-mark", "page": page})
        assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert client.post(THROWN, data={"draft": "<b>", "page": ORDERS}).headers["location"] == ORDERS


def test_what_goes_is_called_by_its_first_names(client: TestClient) -> None:
    names = {f"lines-{n}-material": name for n, name in enumerate(("Wax", "Oil", "Wax", "Rose", "Kokum", "Lid"))}
    type_in(client, NEW_ORDER, ORDERS, names)
    assert "What was typed here (Wax, Oil, Rose and 2 more) goes for good" in client.get(ORDERS).text
    type_in(client, f"{FORMULAS}/new", FORMULAS, {"note": "half"})
    assert "What was typed here goes for good" in client.get(FORMULAS).text


# --- without a script


@pytest.mark.parametrize("more", ["", "preview", "lines", "charges", "last", "keep"])
def test_whatever_is_sent_and_not_stored_is_kept(client: TestClient, more: str) -> None:
    answer = fill(client, NEW_ORDER, ORDERS, named={**HALF, "more": more})
    assert answer.status_code == (422 if more in ("", "preview") else 200)
    assert found(client, NEW_ORDER, ORDERS, HALF) == HALF


def test_a_line_that_cannot_be_read_yet_is_kept_and_not_told_off_when_it_comes_back(client: TestClient) -> None:
    unsaid = {**HALF, "lines-0-new_kind": ""}
    assert fill(client, NEW_ORDER, ORDERS, named=unsaid).status_code == 422
    page = client.get(NEW_ORDER).text
    assert fields_in(page, ORDERS)["lines-0-material"] == "Rose wax"
    assert "to put right" not in page
    assert 'aria-invalid="true"' not in page


def test_the_button_says_that_it_is_kept(client: TestClient) -> None:
    assert "<noscript><button" in client.get(NEW_ORDER).text
    answer = fill(client, NEW_ORDER, ORDERS, named={**HALF, "more": "keep"})
    assert "It is kept until you save it" in answer.text
    assert 'aria-invalid="true"' not in answer.text


def test_a_line_that_was_taken_out_does_not_come_back(client: TestClient) -> None:
    two = {**HALF, "lines-1-material": "Second", "lines-1-price": "2", "less": "lines-0"}
    fill(client, NEW_ORDER, ORDERS, named=two)
    assert found(client, NEW_ORDER, ORDERS, {"lines-0-material": ""}) == {"lines-0-material": "Second"}
    assert "Rose wax" not in client.get(NEW_ORDER).text


@pytest.mark.parametrize(
    ("page", "action", "typed"),
    [
        (f"{FORMULAS}/new", FORMULAS, {"name": "Balm", "lines-0-material": "Rose wax", "lines-0-amount": "100"}),
        (f"{PRODUCTS}/new", PRODUCTS, {"name": "Jar", "fills-0-declared": "1.2.3"}),
        (f"{CHANNELS}/new", CHANNELS, {"name": "Fair", "pitch": "x"}),
        (f"{MATERIALS}/new", MATERIALS, {"name": "Wax", "piece_grams": "x"}),
        (f"{PARTS}/new", PARTS, {"name": "", "note": "half"}),
        (PASTE, PASTE, {"list": "Wax; x; kg"}),
    ],
)
def test_a_form_with_a_fault_is_kept(client: TestClient, page: str, action: str, typed: dict[str, str]) -> None:
    assert fill(client, page, action, named=typed).status_code == 422
    assert found(client, page, action, typed) == typed
    assert client.get(page).status_code == 200


def test_a_question_that_was_not_answered_is_kept(client: TestClient) -> None:
    order(client)
    answer = order(client, **{"new_supplier": "Other", "lines-0-price": "0", "lines-0-new_kind": None})
    assert 'name="sure"' in answer.text
    assert found(client, NEW_ORDER, ORDERS, {"lines-0-price": ""}) == {"lines-0-price": "0"}
    assert 'name="sure"' not in client.get(NEW_ORDER).text


def test_prices_being_decided_with_an_order_are_kept_with_it(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    mill = number_of(client, "/buy/suppliers", "The mill")
    dearer = {"supplier": mill, "new_supplier": "", "lines-0-new_kind": "", "lines-0-price": "20"}
    looked = fill(client, NEW_ORDER, ORDERS, named={**ORDER, **dearer, "more": "preview"})
    decided = {"prices-0-answer": "take", "prices-0-amount": "9.90", "prices-0-why": "a round one"}
    assert send(client, changed(fields_in(looked.text, ORDERS), named=decided)).status_code == 204
    page = client.get(NEW_ORDER).text
    assert "What this changes" in page
    there = fields_in(page, ORDERS)
    assert {name: there[name] for name in decided} == decided
    # A line that can't be read any more: what was decided is carried along unseen, and kept too.
    assert client.post(ORDERS, data={**there, "lines-0-price": "2O"}).status_code == 422
    assert found(client, NEW_ORDER, ORDERS, decided) == decided


# --- saving


def test_what_is_saved_is_half_entered_no_more(client: TestClient) -> None:
    type_in(client, NEW_ORDER, ORDERS, HALF)
    right = {"lines-0-price": "12.40", "new_supplier": "Mill", "lines-0-packs": "1", "lines-0-size": "1"}
    again = changed(fields(client, NEW_ORDER, ORDERS), named={**right, "lines-0-unit": "kg"})
    assert client.post(ORDERS, data=again).status_code == 303
    assert waiting(client) == []
    assert TYPED not in client.get(NEW_ORDER).text


def test_a_form_that_comes_back_has_a_token_of_its_own_and_is_saved_once(client: TestClient) -> None:
    kitchen(client)
    sent = type_in(client, f"{CHANNELS}/new", CHANNELS, {"name": "Fair"})
    again = fields(client, f"{CHANNELS}/new", CHANNELS)
    assert again["draft"] == sent["draft"]
    assert again["token"] != sent["token"]
    before = version(client)
    twice = [client.post(CHANNELS, data=again) for _ in range(2)]
    assert [one.status_code for one in twice] == [303, 303]
    assert twice[0].headers["location"] == twice[1].headers["location"]
    assert version(client) == before + 1


def test_what_the_script_sends_late_is_not_kept(client: TestClient) -> None:
    sent = type_in(client, f"{CHANNELS}/new", CHANNELS, {"name": "Fair"})
    assert client.post(CHANNELS, data=sent).status_code == 303
    assert send(client, sent).status_code == 204
    assert waiting(client, CHANNELS) == []


def test_saving_without_a_change_forgets_it_too(client: TestClient) -> None:
    kitchen(client)
    stall = f"{CHANNELS}/{number_of(client, CHANNELS, 'Stall')}"
    sent = type_in(client, stall, stall, {})
    assert "done=0" in client.post(stall, data=sent).headers["location"]
    assert waiting(client, CHANNELS) == []


def test_what_changed_meanwhile_is_said_and_both_stand_there_when_it_is_saved(client: TestClient) -> None:
    kitchen(client)
    stall = f"{CHANNELS}/{number_of(client, CHANNELS, 'Stall')}"
    type_in(client, stall, stall, {"carton": "45"})
    other = {**fields(client, stall, stall), "carton": "50", "draft": ""}
    assert client.post(stall, data=other).status_code == 303
    page = client.get(stall).text
    assert "was changed elsewhere since" in page
    mine = fields_in(page, stall)
    assert mine["carton"] == "45"
    refused = client.post(stall, data=mine)
    assert refused.status_code == 409
    assert "It now says: 50" in refused.text
    # Whoever leaves it now and comes back is asked again.
    left = client.post(stall, data=fields(client, stall, stall))
    assert left.status_code == 409
    assert client.post(stall, data=fields_in(left.text, stall)).status_code == 303
    assert waiting(client, CHANNELS) == []
    assert found(client, stall, stall, {"carton": ""}) == {"carton": "45.00"}


def test_undo_knows_nothing_of_drafts(client: TestClient) -> None:
    order(client)
    type_in(client, NEW_ORDER, ORDERS, HALF)
    undone = client.post("/undo/1?kind=order", data={"token": "a-token-of-its-own"})
    assert undone.status_code == 303
    assert found(client, NEW_ORDER, ORDERS, HALF) == HALF


# --- bounds, and where nothing can be kept


WRONG = (
    {"page": "//evil.example/orders/new"},
    {"page": "https://evil.example/buy/orders/new"},
    {"page": "/buy/orders/new?draft=x"},
    {"page": "/buy/orders/0/edit"},
    {"page": "/buy/orders/new\n"},
    {"page": "/settings/people/new"},
    {"page": ""},
    {"draft": "<b>"},
    {"token": ""},
    {"version": "x"},
    {"version": "9" * 18},
    {"epoch": "a\x00b"},
    {"not a field": "x"},
)
ODD = (
    {"lines": "x"},
    {"lines-0": "x"},
    {"lines-140-material": "x"},
    {"lines-__n__-price": "1"},
    {"lines-0-material-0": "x"},
    {"supplier-0": "1"},
    {"supplier": "-1000", "lines-0-material": "-2"},
    {"prices-0": "x", "rest_prices": "yes"},
    {"unheard_of": "x"},
)


def test_what_is_no_form_of_ours_is_refused(client: TestClient) -> None:
    opened = fields(client, NEW_ORDER, ORDERS)
    for wrong in WRONG:
        sent = {**opened, **wrong}
        assert send(client, sent).status_code == 422, wrong
        # The same form that is shown again with a fault is shown all the same.
        assert client.post(ORDERS, data=sent).status_code in (422, 428), wrong
        away = client.post(ANEW, data={"draft": "a-form-s-mark", **wrong})
        assert away.status_code in (303, 422), wrong
        assert away.headers.get("location", "/") in ("/", NEW_ORDER), wrong
    assert waiting(client) == []


def test_whatever_was_left_its_page_opens_and_starts_anew(client: TestClient) -> None:
    """Else nobody could ever come back to that form."""
    for odd in ODD:
        opened = fields(client, NEW_ORDER, ORDERS)
        own = {name: text for name, text in opened.items() if name != "supplier" and not name.startswith("lines-")}
        assert send(client, {**own, **odd}).status_code == 204, odd
        page = client.get(NEW_ORDER)
        assert page.status_code == 200, odd
        assert client.post(ANEW, data=fields_in(page.text, ANEW)).status_code == 303
        assert TYPED not in client.get(NEW_ORDER).text, odd


def test_no_other_page_may_leave_something_here(client: TestClient) -> None:
    sent = changed(fields(client, NEW_ORDER, ORDERS), named=HALF)
    for path in (DRAFTS, ANEW, THROWN):
        assert client.post(path, data=sent, headers={"Origin": "http://evil.example"}).status_code == 403
    assert waiting(client) == []


def test_control_characters_and_marks_come_back_as_text(client: TestClient) -> None:
    text = "</textarea><script>alert(1)</script>\x00\x1b\u202e\u6cb9"
    type_in(client, NEW_ORDER, ORDERS, {"note": text, "lines-0-material": text})
    page = client.get(NEW_ORDER).text
    assert "<script>alert" not in page
    assert page.count("&lt;script&gt;alert") >= 2
    assert client.get(ORDERS).status_code == 200


@pytest.mark.parametrize("trouble", [errors.DiskFull, errors.ReadOnly, errors.Busy])
def test_a_draft_that_cannot_be_kept_disturbs_no_page(
    client: TestClient, monkeypatch: pytest.MonkeyPatch, trouble: type[errors.Problem]
) -> None:
    def refuse(*_: object) -> None:
        raise trouble

    for name in ("keep_draft", "drop_draft"):
        monkeypatch.setattr(client.app.state.store, name, refuse)  # type: ignore[attr-defined]
    wrong = fill(client, NEW_ORDER, ORDERS, named=HALF)
    assert wrong.status_code == 422
    assert fields_in(wrong.text, ORDERS)["lines-0-price"] == "12,4o"
    asked = fill(client, NEW_ORDER, ORDERS, named={**HALF, "more": "keep"})
    assert (asked.status_code, "could not be kept for later" in asked.text) == (200, True)
    assert "It is kept" not in asked.text
    assert send(client, changed(fields(client, NEW_ORDER, ORDERS), named=HALF)).status_code == trouble().status
    assert order(client).status_code == 303


def test_json_has_no_drafts(client: TestClient) -> None:
    type_in(client, NEW_ORDER, ORDERS, HALF)
    assert "draft" not in str(sorted(client.get("/api/openapi.json").json()["paths"]))
    assert client.get("/api/orders").json()["total"] == 0
    assert "Rose wax" not in client.get("/api/changes").text
