"""The pages of formulas: the sum in sight, faults, a loop named, q.s., copies, swaps, cautions, other days."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import FORMULAS, MATERIALS, example, kitchen, kitchen_with_a_jar, number_of, order


def melt(client: TestClient, *lines: tuple[str, str], **more: str) -> object:
    named = {
        f"lines-{index}-{name}": text
        for index, (what, amount) in enumerate(lines or (("", "100"),))
        for name, text in (("material", what or "Shea butter"), ("amount", amount))
    }
    return fill(client, f"{FORMULAS}/new", FORMULAS, named={"name": "Melt", **named, **more})


def test_an_empty_list_says_what_to_do(client: TestClient) -> None:
    assert "No formula yet." in client.get(FORMULAS).text
    assert "There is nothing to put in yet." in client.get(f"{FORMULAS}/new").text


def test_a_formula_is_written_and_opened(client: TestClient) -> None:
    order(client)
    answer = melt(client, batch_grams="1000", loss="3")
    assert answer.status_code == 303  # type: ignore[attr-defined]
    page = client.get(answer.headers["location"]).text  # type: ignore[attr-defined]
    # 12.40 a kg is 1.24 for 100 g.
    assert "1.24" in page
    assert "Ingredients of" in page
    assert "970" in page


def test_the_list_says_what_a_formula_costs_as_it_comes_out_where_some_is_lost(client: TestClient) -> None:
    """12.40 a kg with a fifth of it lost is 15.50 a kg as it comes out."""
    order(client)
    melt(client, batch_grams="1000")
    assert "as it comes out" not in client.get(FORMULAS).text
    melt(client, name="Infused oil", batch_grams="1000", loss="20")
    listed = " ".join(re.sub(r"<[^>]*>", " ", client.get(FORMULAS).text).split())
    assert "€15.50 &nbsp;per kg as it comes out" in listed, listed[-600:]


@pytest.mark.parametrize(
    ("lines", "more", "words"),
    [
        ((("", "60"), ("", "39")), {}, "The lines add up to 99 %: 1 short of 100."),
        ((("", "100.5"),), {}, "A line is at most 100 %."),
        ((("", ""),), {}, "Type how much, or let this line take the rest."),
        ((("Nothing", "100"),), {}, "Nothing is not in the book yet."),
        (((" ", "100"),), {}, "Choose an ingredient or a formula for this line"),
        ((("\u200b", "100"),), {}, "Nothing here can be seen"),
        ((("", "100"),), {"loss_grams": "500", "batch_grams": "500"}, "All of the batch is lost."),
        ((("", "100"),), {"loss_grams": "501", "batch_grams": "500"}, "More is lost than the batch holds."),
        ((("", "100"),), {"loss": "100"}, "below 100"),
        ((("", "0"),), {}, "above 0"),
    ],
)
def test_a_fault_is_said_and_nothing_is_kept(
    client: TestClient, lines: tuple[tuple[str, str], ...], more: dict[str, str], words: str
) -> None:
    order(client)
    answer = melt(client, *lines, note="for winter", **more)
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert words in answer.text  # type: ignore[attr-defined]
    assert "for winter" in answer.text  # type: ignore[attr-defined]
    assert "No formula yet." in client.get(FORMULAS).text


def test_what_is_too_much_is_said_in_one_way_and_not_twice_in_the_sum(client: TestClient) -> None:
    order(client)
    answer = melt(client, ("", "60"), ("", "50"))
    sum_bar = said(answer.text.split('id="totals"', 1)[1])  # type: ignore[attr-defined]
    assert sum_bar.count("110 %") == 1
    assert "when the lines add up to 100 %" in sum_bar
    assert "come to" not in said(answer.text)  # type: ignore[attr-defined]


def test_one_line_takes_the_rest(client: TestClient) -> None:
    order(client)
    answer = melt(client, ("", "99.5"), ("", ""), **{"lines-1-rest": "yes"})
    assert answer.status_code == 303  # type: ignore[attr-defined]
    page = client.get(answer.headers["location"]).text  # type: ignore[attr-defined]
    assert "takes the rest" in page
    assert "0.5 %" in page.replace("\u00a0", " ") or "0.5<small>" in page


def test_a_loop_is_named(client: TestClient) -> None:
    kitchen(client)
    first = number_of(client, FORMULAS, "Melt")
    over = melt(client, ("melt", "100"), name="Over")
    assert over.status_code == 303  # type: ignore[attr-defined]
    there = f"{FORMULAS}/{first}"
    answer = fill(client, f"{there}/edit", there, named={"lines-0-material": "Over"})
    assert answer.status_code == 422
    assert "Melt → Over → Melt" in answer.text


def test_the_sum_follows_what_is_typed_and_stores_nothing(client: TestClient) -> None:
    order(client)
    sent = changed(
        fields(client, f"{FORMULAS}/new", FORMULAS),
        named={"name": "Melt", "lines-0-material": "Shea butter", "lines-0-amount": "60"},
    )
    short = client.post(f"{FORMULAS}/totals", data=sent).text
    assert "40 short of 100" in short
    whole = client.post(f"{FORMULAS}/totals", data={**sent, "lines-0-amount": "100"}).text
    assert "100 %" in whole
    assert "1.24" in whole
    assert "No formula yet." in client.get(FORMULAS).text


def sum_of(client: TestClient, page: str, **named: str) -> str:
    """What the sum beside the form says, as words."""
    sent = changed(fields(client, page, page.removesuffix("/edit").removesuffix("/new")), named=named)
    return said(client.post(f"{FORMULAS}/totals", data=sent).text)


def said(html: str) -> str:
    """A page as words: without its marks."""
    return " ".join(unescape(re.sub("<[^>]*>", " ", html)).split())


def test_what_is_lost_is_in_the_cost_of_what_comes_out(client: TestClient) -> None:
    order(client)
    # 12.40 a kg. Of 1000 g 3 % are lost: 12.40 / 970 g is 1.2784 for 100 g; 10 g more in any batch: 1.2917.
    first = {"lines-0-material": "Shea butter", "lines-0-amount": "100", "loss": "3"}
    live = sum_of(client, f"{FORMULAS}/new", **first)
    assert "100 g as weighed in €1.24" in live
    assert "100 g that come out €1.28" in live
    assert "÷ 97.0 % comes out of what is weighed in" in live
    both = {"name": "Melt", **first, "batch_grams": "1000", "loss_grams": "10"}
    answer = fill(client, f"{FORMULAS}/new", FORMULAS, named=both)
    page = said(client.get(answer.headers["location"]).text)
    assert "100 g that come out €1.29" in page
    assert "Ingredients as they come out €12.92 per kg" in page
    ident = int(number_of(client, FORMULAS, "Melt"))
    told = client.get(f"/api/formulas/{ident}").json()["figures"]
    assert told["out_cost"] == "0.012916666667"  # 0.0124 x 1000 / 960
    assert told["per_gram"] == "0.0124"
    assert client.get(f"/api/formulas/{ident}/working?out=true").json()["result"] == "0.012916666667"
    assert client.get(f"/api/formulas/{ident}/working").json()["result"] == "0.0124"


def test_a_fixed_loss_asks_for_the_batch_and_no_loss_says_nothing_of_it(client: TestClient) -> None:
    order(client)
    first = {"lines-0-material": "Shea butter", "lines-0-amount": "100"}
    assert "that come out" not in sum_of(client, f"{FORMULAS}/new", **first)
    asked = sum_of(client, f"{FORMULAS}/new", **first, loss_grams="10")
    assert "100 g as weighed in €1.24" in asked
    assert "Type the batch size in grams." in asked


def test_no_older_cost_stands_beside_what_cannot_be_read(client: TestClient) -> None:
    kitchen(client)
    there = f"{FORMULAS}/{number_of(client, FORMULAS, 'Melt')}"
    answer = fill(client, f"{there}/edit", there, named={"lines-0-amount": "x"})
    assert answer.status_code == 422
    page = said(answer.text)
    assert "1.24" not in page
    assert "Cost of 100 g: not known yet" in page
    assert "The lines add up to 0 %, without one amount that is no number here." in page
    assert "short of" not in page


def test_grams_drops_and_parts_are_ways_too(client: TestClient) -> None:
    order(client)
    grams = melt(client, ("", "250"), way="grams", **{"lines-0-unit": "g"})
    assert grams.status_code == 303  # type: ignore[attr-defined]
    parts = melt(client, ("", "3"), way="parts", name="In parts")
    assert parts.status_code == 303  # type: ignore[attr-defined]
    assert client.get(FORMULAS).text.count("1.24") == 2


def test_a_copy_has_a_name_of_its_own_and_all_the_rest(client: TestClient) -> None:
    kitchen(client)
    number = number_of(client, FORMULAS, "Melt")
    answer = fill(client, f"{FORMULAS}/{number}/copy", FORMULAS)
    assert answer.status_code == 303
    copied = f"{FORMULAS}/{number_of(client, FORMULAS, 'Melt, variant')}/edit"
    first, second = (fields(client, page, page.removesuffix("/edit")) for page in (f"{FORMULAS}/{number}/edit", copied))
    own = ("name", "token", "version", "since", "draft", "page")
    assert {n: t for n, t in first.items() if n not in own} == {n: t for n, t in second.items() if n not in own}
    assert first["name"] == "Melt"


def test_a_swap_shows_what_it_does_before_it_is_kept(client: TestClient) -> None:
    kitchen_with_a_jar(client)
    mango = {"lines-0-material": "Mango butter", "lines-0-price": "20", "new_supplier": "Another mill"}
    assert order(client, **mango).status_code == 303
    number = number_of(client, FORMULAS, "Melt")
    shea, new = (number_of(client, MATERIALS, name) for name in ("Shea butter", "Mango butter"))
    where = f"{FORMULAS}/{number}/swap"
    page = client.get(f"{where}?old={shea}&new={new}").text
    assert "1.24" in page
    assert "2.00" in page
    assert ">Jar</a>" in page
    assert "1.24" in client.get(f"{FORMULAS}/{number}").text
    assert client.post(where, data=fields_in(page, where)).status_code == 303
    assert "2.00" in client.get(f"{FORMULAS}/{number}").text
    assert client.post(where, data={**fields_in(page, where), "new": "x", "token": "another-token"}).status_code == 422


def test_cautions_go_by_what_is_in_it(client: TestClient) -> None:
    example(client)
    page = client.get(f"{FORMULAS}/{number_of(client, FORMULAS, 'Firm pomade')}").text
    assert "double boiler" in page
    assert "Essential oils" in page
    assert "no antioxidant is named" not in page


def test_a_later_content_keeps_the_earlier(client: TestClient) -> None:
    kitchen(client)
    there = f"{FORMULAS}/{number_of(client, FORMULAS, 'Melt')}"
    assert fill(client, f"{there}/edit", there, batch_grams="2000", since="2026-12-01").status_code == 303
    now = client.get(there).text
    assert "How it was made at other times" in now
    assert client.get(f"{there}?on=2026-12-02").text.count("2,000") > now.count("2,000")


def test_a_stale_formula_is_not_overwritten(client: TestClient) -> None:
    kitchen(client)
    there = f"{FORMULAS}/{number_of(client, FORMULAS, 'Melt')}"
    mine = fields(client, f"{there}/edit", there)
    assert fill(client, f"{there}/edit", there, loss="2").status_code == 303
    answer = client.post(there, data={**mine, "loss": "5"})
    assert answer.status_code == 409
    assert "It now says: 2." in answer.text


def test_putting_away_and_bringing_back(client: TestClient) -> None:
    kitchen(client)
    there = f"{FORMULAS}/{number_of(client, FORMULAS, 'Melt')}"
    assert client.post(f"{there}/retire", data=fields(client, there, f"{there}/retire")).status_code == 303
    assert "Put away since" in client.get(there).text
    assert client.post(f"{there}/restore", data=fields(client, there, f"{there}/restore")).status_code == 303
    assert "Put away since" not in client.get(there).text


def test_every_formula_of_the_example_opens(client: TestClient) -> None:
    example(client)
    page = client.get(FORMULAS).text
    numbers = {part.split('"', 1)[0] for part in page.split('href="/make/formulas/')[1:]} - {"new"}
    assert len(numbers) == 6
    for number in numbers:
        for act in ("", "/edit", "/copy", "/swap"):
            assert client.get(f"{FORMULAS}/{number}{act}").status_code == 200


def test_a_new_ingredient_is_made_with_the_formula_only_where_that_is_ticked(client: TestClient) -> None:
    order(client)
    refused = melt(client, ("Shea butter", "60"), ("Sheabuter", "30"), ("Marula oil", "10"))
    assert refused.status_code == 422  # type: ignore[attr-defined]
    page = refused.text  # type: ignore[attr-defined]
    assert "Sheabuter is not in the book yet. Did you mean Shea butter?" in page
    assert 'id="e-lines-2-material"' in page
    assert "Marula oil" not in client.get(MATERIALS).text
    sent = changed(fields_in(page, FORMULAS), named={"lines-1-material": "shea-butter", "lines-2-new": "yes"})
    assert client.post(FORMULAS, data=sent).status_code == 303
    assert "Marula oil" in client.get(MATERIALS).text
    assert "Sheabuter" not in client.get(MATERIALS).text
    again = client.post(FORMULAS, data=sent)
    assert again.status_code == 303
    assert client.get(MATERIALS).text.count(">Marula oil</a>") == 1


def test_an_ingredient_is_known_by_its_inci_name_and_a_formula_by_its_own(client: TestClient) -> None:
    kitchen(client)
    shea = f"{MATERIALS}/{number_of(client, MATERIALS, 'Shea butter')}"
    assert fill(client, f"{shea}/edit", shea, inci="Butyrospermum Parkii Butter").status_code == 303
    both = (("butyrospermum parkii butter", "50"), ("MELT", "50"))
    answer = melt(client, *both, name="Over")
    assert answer.status_code == 303  # type: ignore[attr-defined]
    there = answer.headers["location"].split("?", 1)[0]  # type: ignore[attr-defined]
    sent = fields(client, f"{there}/edit", there)
    assert (sent["lines-0-material"], sent["lines-1-material"]) == ("Shea butter", "Melt")


def test_a_formula_of_an_ingredient_s_name_says_that_it_is_one(client: TestClient) -> None:
    order(client)
    assert melt(client, name="Shea butter").status_code == 303  # type: ignore[attr-defined]
    answer = melt(client, ("Shea butter (formula)", "100"), name="Over")
    assert "Shea butter</a>" in client.get(answer.headers["location"]).text  # type: ignore[attr-defined]
    there = answer.headers["location"].split("?", 1)[0]  # type: ignore[attr-defined]
    assert fields(client, f"{there}/edit", there)["lines-0-material"] == "Shea butter (formula)"


def test_what_is_counted_in_pieces_is_no_ingredient(client: TestClient) -> None:
    order(client, **{"lines-0-unit": "pieces", "lines-0-material": "Tin", "lines-0-new_kind": "packaging"})
    answer = melt(client, ("Tin", "100"))
    assert "This is counted in pieces. Add it to the product instead." in answer.text  # type: ignore[attr-defined]


def test_a_loop_stands_at_its_line(client: TestClient) -> None:
    kitchen(client)
    melt(client, ("Melt", "100"), name="Over")
    there = f"{FORMULAS}/{number_of(client, FORMULAS, 'Melt')}"
    lines = {"lines-0-amount": "40", "lines-1-material": "Over", "lines-1-amount": "60"}
    answer = fill(client, f"{there}/edit", there, named=lines)
    assert answer.status_code == 422
    assert "Melt → Over → Melt" in answer.text.split('id="e-lines-1-material"', 1)[1].split("</span>", 1)[0]
    assert 'href="#f-lines-1-material"' in answer.text


def test_what_was_meant_is_one_press(client: TestClient) -> None:
    order(client)
    answer = melt(client, ("Shea buter", "100"))
    assert answer.status_code == 422  # type: ignore[attr-defined]
    sent = fields_in(answer.text, FORMULAS)  # type: ignore[attr-defined]
    assert 'name="more" value="lines-0-meant-0" formnovalidate>Shea butter</button>' in answer.text  # type: ignore[attr-defined]
    taken = fields_in(client.post(FORMULAS, data={**sent, "more": "lines-0-meant-0"}).text, FORMULAS)
    assert (taken["lines-0-material"], taken["lines-0-amount"]) == ("Shea butter", "100")
    assert client.post(FORMULAS, data=taken).status_code == 303
    for pressed in ("lines-0-meant-7", "lines-9-meant-0"):
        same = fields_in(client.post(FORMULAS, data={**sent, "more": pressed}).text, FORMULAS)
        assert same["lines-0-material"] == "Shea buter"


def test_one_road_leads_to_the_minutes(client: TestClient) -> None:
    order(client)
    there = melt(client).headers["location"].partition("?")[0]  # type: ignore[attr-defined]
    page = client.get(there).text
    assert "Define a product" in page  # its form asks who makes it, so there is no way round by the settings
    assert f'href="{there}/edit#f-work">Add yourself</a>' not in page
    assert f'href="{there}/edit#f-work">Add yourself' in client.get("/").text
    answer = fill(client, "/settings/people/new", "/settings/people", name="Ann", named={"wage-per_hour": "15"})
    after = client.get(answer.headers["location"]).text
    assert f'<a href="{there}/edit#f-work">Say the minutes</a>' in after
    assert fill(client, f"{there}/edit", there, named={"work-0-per_batch": "30"}).status_code == 303
    assert "Say the minutes" not in client.get(there).text
    assert "Made by Ann: 30 min for each batch." in said(client.get(there).text)
    assert "Define a product" in client.get(there).text


def test_who_makes_it_is_made_where_the_minutes_are_typed(client: TestClient) -> None:
    order(client)
    ann = {"work-0-new_person": "Ann", "work-0-new_wage": "15", "work-0-per_batch": "30"}
    there = melt(client, ("Shea butter", "100"), **ann).headers["location"].partition("?")[0]  # type: ignore[attr-defined]
    assert "Made by Ann: 30 min for each batch." in said(client.get(there).text)
    listed = said(client.get("/settings/people").text)
    assert "Ann" in listed
    assert "15.00" in listed
    # The only one who works stands in the next form, in one line, and says nothing where no minutes are typed.
    page = client.get(f"{FORMULAS}/new").text
    sent = fields_in(page, FORMULAS)
    ann_s_number = str(number_of(client, "/settings/people", "Ann"))
    assert (sent["work-0-person"], "work-1-person" in sent) == (ann_s_number, False)
    other = melt(client, ("Shea butter", "100"), name="Other").headers["location"].partition("?")[0]  # type: ignore[attr-defined]
    assert "No working time is said" in client.get(other).text


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"work-0-per_batch": "30"}, "Type who it is; your own name will do."),
        ({"work-0-new_person": "Ann", "work-0-new_wage": "much", "work-0-per_batch": "30"}, "much"),
    ],
)
def test_what_is_wrong_with_somebody_new_stands_at_the_field_and_nothing_is_kept(
    client: TestClient, typed: dict[str, str], words: str
) -> None:
    order(client)
    answer = melt(client, ("Shea butter", "100"), **typed)
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert words in answer.text  # type: ignore[attr-defined]
    again = fields_in(answer.text, FORMULAS)  # type: ignore[attr-defined]
    assert all(again[name] == text for name, text in typed.items())
    assert "Nobody works here yet." in client.get("/settings/people").text
    assert "No formula yet." in client.get(FORMULAS).text


def test_a_wage_that_is_missing_is_asked_where_the_minutes_are_typed(client: TestClient) -> None:
    order(client)
    assert fill(client, "/settings/people/new", "/settings/people", name="Ann").status_code == 303
    page = client.get(f"{FORMULAS}/new").text
    assert "data-unpaid selected>Ann" in page
    there = melt(client, ("Shea butter", "100"), **{"work-0-per_batch": "30"}).headers["location"].partition("?")[0]  # type: ignore[attr-defined]
    assert "What an hour is worth is not known yet" in said(client.get(there).text)
    assert fill(client, f"{there}/edit", there, named={"work-0-new_wage": "15"}).status_code == 303
    assert "15.00" in said(client.get("/settings/people").text)
    assert "What an hour is worth" not in said(client.get(there).text)
    assert "data-unpaid" not in client.get(f"{FORMULAS}/new").text


def test_somebody_new_beside_those_who_work_already(client: TestClient) -> None:
    order(client)
    fill(client, "/settings/people/new", "/settings/people", name="Ann", named={"wage-per_hour": "15"})
    new = {
        "work-0-person": "new",
        "work-0-new_person": "Ben",
        "work-0-new_whose": "hired",
        "work-0-new_wage": "12",
        "work-0-per_kg": "4",
    }
    there = melt(client, ("Shea butter", "100"), **new).headers["location"].partition("?")[0]  # type: ignore[attr-defined]
    assert "Made by Ben: 4 min for each kg." in said(client.get(there).text)
    assert "hired" in said(client.get("/settings/people").text)


def test_a_part_of_a_name_is_taken_where_only_one_has_it(client: TestClient) -> None:
    order(client)
    line = {"lines-0-material": "shea", "lines-0-amount": "100"}
    page = said(client.post(f"{FORMULAS}/line?row=lines-0", data=line).text)
    assert "shea is taken for Shea butter" in page
    there = melt(client, ("shea", "100")).headers["location"].partition("?")[0]  # type: ignore[attr-defined]
    assert "Shea butter" in said(client.get(there).text)
    # Another ingredient that only begins alike is made where that is ticked.
    fields_of = {"lines-0-new": "yes"}
    made = melt(client, ("shea", "100"), name="Other", **fields_of)
    assert made.status_code == 303  # type: ignore[attr-defined]
    assert number_of(client, MATERIALS, "shea") != number_of(client, MATERIALS, "Shea butter")


def test_a_part_of_several_names_is_never_taken_but_each_is_one_press_away(client: TestClient) -> None:
    order(client)
    order(client, **{"new_supplier": "Other", "lines-0-material": "Mango butter"})
    answer = melt(client, ("butter", "100"))
    assert answer.status_code == 422  # type: ignore[attr-defined]
    for place, name in enumerate(("Mango butter", "Shea butter")):
        assert f'value="lines-0-meant-{place}" formnovalidate>{name}</button>' in answer.text  # type: ignore[attr-defined]


def test_a_cost_that_waits_says_for_which_line(client: TestClient) -> None:
    order(client)
    there = {"lines-0-material": "Shea butter", "lines-0-amount": "60", "lines-1-material": "Rosewax"}
    sent = {**fields(client, f"{FORMULAS}/new", FORMULAS), "name": "Melt", **there, "lines-1-amount": "40"}
    page = client.post(f"{FORMULAS}/totals", data=sent).text
    assert "Line 2, Rosewax: Rosewax is not in the book yet." in said(page)
    assert 'href="#f-lines-1-material"' in page
    without = client.post(f"{FORMULAS}/totals", data={**sent, "lines-1-material": "Shea butter", "lines-1-amount": ""})
    assert "Line 2, Shea butter:" in said(without.text)
    assert "from the first line on" in said(client.post(f"{FORMULAS}/totals", data={"way": "percent"}).text)
