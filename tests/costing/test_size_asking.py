"""A question about another size as it is typed: what is read, what is asked back and at which field, what is kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.sizing import BOOK, DAY, IDS, D
from webapp.costing.amounts import Notation
from webapp.costing.book import Member
from webapp.costing.size_asking import about, again, kept, read
from webapp.costing.size_facts import Candidate, SizeQuestion

FORM = Notation()
GERMAN = Notation(",")


def typed(**more: Any) -> dict[str, Any]:
    """What a form sends: the tin of 100 g beside that of 50 g at the stall. None takes a field out."""
    big = {"declared": "100", "unit": "g", "jar_name": "Tin 110 mL", "jar_price": "0.62", "way": "target"}
    sent: dict[str, Any] = {
        "ask": "size", "product": str(IDS["pomade-50"]), "channel": str(IDS["stall"]), "jars": "10", "share": "50",
        "candidates": [big], **more,
    }  # fmt: skip
    return {name: one for name, one in sent.items() if one is not None}


def one(**more: Any) -> dict[str, Any]:
    """With that in its candidate."""
    return typed(candidates=[{**typed()["candidates"][0], **more}])


def faults(data: dict[str, Any], notation: Notation = FORM) -> set[str]:
    found = read(BOOK, data, notation)
    assert (found.question is None) == bool(found.faults)
    assert all(fault.sentence.endswith(".") for fault in found.faults)
    return {fault.field for fault in found.faults}


def test_what_is_typed_is_the_question() -> None:
    question = read(BOOK, typed(jars="10,5", jars_low="5"), GERMAN).question
    assert question == SizeQuestion(
        product=IDS["pomade-50"],
        channel=IDS["stall"],
        candidates=(Candidate(declared=D(100), jar_name="Tin 110 mL", jar_price=D("0.62")),),
        jars=D("10.5"),
        jars_low=D(5),
        share=D(50),
    )


def test_a_program_types_the_same() -> None:
    data = {**typed(), "product": IDS["pomade-50"], "channel": IDS["stall"]}
    assert read(BOOK, data).question == read(BOOK, typed(), FORM).question


def test_spare_rows_are_no_candidates_and_faults_stand_at_the_row_that_was_typed() -> None:
    spare = {"declared": "", "unit": "g", "way": "target", "jar": "", "price": ""}
    data = typed(candidates=[spare, typed()["candidates"][0], spare, {"declared": "150", "way": "typed"}])
    assert faults(data) == {"candidates-3-price"}
    data["candidates"][3]["price"] = "20"
    question = read(BOOK, data, FORM).question
    assert question is not None
    assert [one.declared for one in question.candidates] == [D(100), D(150)]


@pytest.mark.parametrize(
    ("data", "at"),
    [
        (typed(product=None), {"product"}),
        (typed(product="999999"), {"product"}),
        (typed(formula=str(IDS["pomade"])), {"formula"}),
        (typed(product=str(IDS["gift"])), {"product"}),
        (typed(product=str(IDS["pair"])), {"product"}),
        (typed(channel=None), {"channel"}),
        (typed(product=str(IDS["pomade-90"]), channel=str(IDS["salon"])), {"channel"}),
        (typed(candidates=[]), {"candidates-0-declared"}),
        (typed(jars="ten"), {"jars"}),
        (typed(jars=None, jars_low="3"), {"jars"}),
        (typed(jars_low="11"), {"jars_low"}),
        (typed(jars_high="9.99"), {"jars_high"}),
        (typed(share_low="50.01", share_high="49"), {"share_low", "share_high"}),
        (typed(share="101"), {"share"}),
        (typed(monthly="5", monthly_high="4"), {"monthly_high"}),
        (typed(replaced="number"), {"number"}),
        (typed(replaced="number", number="0"), {"number"}),
        (typed(product=None, formula=str(IDS["pomade"])), {"candidates-1-declared"}),
    ],
)
def test_what_is_missing_or_wrong_is_said_at_its_field(data: dict[str, Any], at: set[str]) -> None:
    assert faults(data) == at


@pytest.mark.parametrize(
    ("more", "at"),
    [
        ({"declared": ""}, "declared"),
        ({"unit": "mL"}, "overfill"),
        ({"name": "firm  POMADE 90 g"}, "name"),
        ({"jar": str(IDS["tin-100"])}, "jar_name"),
        ({"jar": str(IDS["tin-100"]), "jar_name": ""}, "jar_price"),
        ({"jar": str(IDS["castor"]), "jar_name": "", "jar_price": ""}, "jar"),
        ({"lid": str(IDS["castor"])}, "lid"),
        ({"jar_price": ""}, "jar_price"),
        ({"jar_price": "0"}, "jar_price"),
        ({"jar_name": ""}, "jar_name"),
        ({"jar_name": "screw tin 60 ml"}, "jar_name"),
        ({"jar_instead": str(IDS["lid-small"])}, "jar_instead"),
        ({"jar_name": "", "jar_price": "", "jar_instead": str(IDS["tin-60"])}, "jar"),
        ({"jar_from": "200"}, "jar_then"),
        ({"jar_then": "0.50"}, "jar_from"),
        ({"jar_least": "200", "jar_from": "200", "jar_then": "0.50"}, "jar_from"),
        ({"jar_from": "200", "jar_then": "0.62"}, "jar_then"),
        ({"jar_from": "200", "jar_then": "0.50", "jar_from_2": "200", "jar_then_2": "0.40"}, "jar_from_2"),
        ({"jar_from": "200", "jar_then": "0.50", "jar_from_2": "500", "jar_then_2": "0.50"}, "jar_then_2"),
        ({"lid": str(IDS["lid-large"]), "lid_instead": str(IDS["tin-60"])}, "lid_instead"),
        ({"way": "typed"}, "price"),
        ({"way": "typed", "price": "12.345"}, "price"),
        ({"way": "per 100"}, "discount"),
        ({"way": "per 100", "discount": "100"}, "discount"),
    ],
)
def test_what_is_wrong_with_a_candidate_is_said_at_its_field(more: dict[str, str], at: str) -> None:
    assert faults(one(**more)) == {f"candidates-0-{at}"}


def test_a_size_that_just_goes_into_a_batch_is_one() -> None:
    """1924.5 g and 0.5 more are all of the 1925 g that come out; 1924.6 g are too much."""
    assert not faults(one(declared="1924.5"))
    assert faults(one(declared="1924.6")) == {"candidates-0-declared"}


def test_the_first_size_of_a_formula_has_no_price_to_go_by() -> None:
    sizes = [{"declared": "50", "way": "per 100", "discount": "5"}, {"declared": "100", "way": "hour"}]
    assert faults(typed(product=None, formula=str(IDS["pomade"]), candidates=sizes)) == {"candidates-0-way"}
    sizes[0]["way"] = "target"
    assert not faults(typed(product=None, formula=str(IDS["pomade"]), candidates=sizes))


def test_a_part_that_two_candidates_have_is_one_and_has_one_price() -> None:
    first = typed()["candidates"][0]
    assert not faults(typed(candidates=[first, {**first, "declared": "110"}]))
    twice = typed(candidates=[first, {**first, "declared": "110", "jar_price": "0.60"}])
    assert faults(twice) == {"candidates-1-jar_price"}


def test_two_candidates_of_one_name_are_refused_at_the_second() -> None:
    first = {**typed()["candidates"][0], "name": "Big tin"}
    assert faults(typed(candidates=[first, {**first, "declared": "110"}])) == {"candidates-1-name"}


def test_minutes_need_somebody() -> None:
    nobody = replace(
        BOOK,
        people={},
        formulas={number: replace(one, work=()) for number, one in BOOK.formulas.items()},
        products={number: replace(one, work=()) for number, one in BOOK.products.items()},
        channels={number: replace(one, work=()) for number, one in BOOK.channels.items()},
    )
    assert {fault.field for fault in read(nobody, one(minutes="2"), FORM).faults} == {"candidates-0-minutes"}


def test_what_was_put_away_is_refused() -> None:
    gone = {**BOOK.materials, IDS["tin-100"]: replace(BOOK.materials[IDS["tin-100"]], retired=DAY)}
    data = one(jar=str(IDS["tin-100"]), jar_name="", jar_price="")
    found = read(replace(BOOK, materials=gone), data, FORM).faults
    assert [(fault.field, fault.sentence) for fault in found] == [
        ("candidates-0-jar", "Screw tin 100 mL is put away. Choose another.")
    ]


@pytest.mark.parametrize(
    ("more", "at"),
    [
        ({"product": None}, {"product"}),
        ({"channel": str(IDS["market"]), "product": str(IDS["butter-200"])}, {"channel"}),
        ({"share": "40"}, {"other"}),
        ({"other": str(IDS["butter-100"])}, {"other"}),
        ({"other": str(IDS["butter-50"]), "share": "40"}, set()),
        ({"channel": None, "share": None}, set()),
    ],
)
def test_dropping_needs_the_size_and_what_is_taken_instead(more: dict[str, Any], at: set[str]) -> None:
    data = typed(ask="drop", candidates=None, jars=None, **{"product": str(IDS["butter-100"]), "share": "0", **more})
    assert faults(data) == at


@pytest.mark.parametrize(
    ("more", "at"),
    [
        ({"case_price": "60"}, set()),
        ({"discount": "5"}, set()),
        ({}, {"case_price"}),
        ({"case_price": "60", "discount": "5"}, {"discount"}),
        ({"case_price": "60.005"}, {"case_price"}),
        ({"case_price": "60", "product": None, "case_jars": "12"}, {"product"}),
        ({"case_price": "60", "product": str(IDS["whipped-115"]), "channel": str(IDS["market"])}, {"case_jars"}),
    ],
)
def test_a_case_needs_its_jars_and_one_price(more: dict[str, Any], at: set[str]) -> None:
    assert faults(typed(ask="case", candidates=None, **{"channel": str(IDS["shops"]), **more})) == at


def test_a_set_is_a_candidate_also_where_only_its_jars_or_its_box_are_said() -> None:
    members = [{"product": str(IDS["pomade-50"]), "count": "1"}, {"product": str(IDS["oil-30"]), "count": "2"}]
    data = typed(ask="set", product=None, candidates=None, members=members)
    question = read(BOOK, data, FORM).question
    assert question is not None
    assert question.candidates == (Candidate(),)
    boxed = read(BOOK, {**data, "candidates": [{"jar": str(IDS["gift-box"]), "way": "target"}]}, FORM).question
    assert boxed is not None
    assert boxed.candidates[0].jar == IDS["gift-box"]
    assert faults({**data, "members": []}) == {"members-0-product"}
    assert faults({**data, "members": members[:1]}) == {"members-0-count"}
    assert faults({**data, "members": [{"product": "", "count": "1"}, *members[:1]]}) == {"members-1-count"}


# --- kept


def test_a_question_is_kept_by_its_amounts_and_typed_again_in_any_notation() -> None:
    told = kept(BOOK, one(overfill="1,5", way="typed", price="17,50") | {"jars": "10,5"}, GERMAN)
    assert told["jars"] == "10.5"
    assert told["candidates"][0]["price"] == "17.5"
    shown = again(told, GERMAN)
    assert (shown["jars"], shown["candidates"][0]["overfill"]) == ("10,5", "1,5")
    assert read(BOOK, shown, GERMAN) == read(BOOK, told)
    assert again(told, FORM)["jars"] == "10.5"


def test_what_cannot_be_read_is_kept_as_it_was_typed() -> None:
    data = one(declared="about 100")
    told = kept(BOOK, data, FORM)
    assert told == {"typed": data}
    assert again(told, GERMAN) == data


def test_what_is_equal_to_the_likely_one_is_a_low_and_a_high_one() -> None:
    assert not faults(typed(jars_low="10", jars_high="10", share_low="50", share_high="50"))


def test_the_second_size_of_a_formula_is_not_held_against_a_first_that_is_refused() -> None:
    sizes = [
        {"declared": "50", "name": "Firm pomade 50 g", "jar": str(IDS["tin-60"])},
        {"declared": "100", "jar": str(IDS["tin-100"]), "jar_instead": str(IDS["tin-60"])},
    ]
    data = typed(product=None, formula=str(IDS["pomade"]), candidates=sizes)
    assert faults(data) == {"candidates-0-name"}
    sizes[0]["name"] = "Firm pomade, plain"
    assert not faults(data)


def test_what_is_typed_for_another_question_does_not_count() -> None:
    """A form keeps what was typed before another question was chosen."""
    left = {"product": "999999", "jars_low": "99"}
    assert not faults(typed(ask="set", members=[{"product": str(IDS["oil-30"]), "count": "2"}], product="999999"))
    drop = {**typed(ask="drop", replaced="number", share="0"), **left, "product": str(IDS["butter-50"])}
    drop |= {"jars": None, "jars_low": None}  # of a size less they are what is sold
    drop["candidates"] = [{"declared": "5", "jar": "999999", "way": "typed"}]
    assert not faults({**drop, "formula": "999999"})
    case = typed(ask="case", channel=str(IDS["shops"]), discount="5", other="999999", replaced="number")
    assert not faults({**case, "members": [{"product": "999999", "count": "1"}]})


def test_a_note_is_kept_on_what_the_question_is_about() -> None:
    """On the product; of a set on each of its jars, the first foremost; else on the formula, where there is one."""
    assert about(SizeQuestion(product=7, channel=1)) == (("product", 7),)
    assert about(SizeQuestion(ask="set", channel=1, members=(Member(7, D(1)), Member(8, D(2))))) == (
        ("product", 7),
        ("product", 8),
    )
    assert about(SizeQuestion(channel=1, formula=9)) == (("formula", 9),)
    assert about(SizeQuestion(channel=1)) == ()


def test_a_set_needs_two_jars_and_is_asked_about_alone() -> None:
    assert "members-0-product" in faults({"ask": "set", "channel": str(IDS["stall"]), "jars": "10"})
    jar = {"product": str(IDS["pomade-50"]), "count": "1"}
    assert "members-0-count" in faults(typed(ask="set", product=None, members=[jar]))
    two = [*typed()["candidates"], {**typed()["candidates"][0], "name": "Other"}]
    asked_twice = typed(ask="set", product=None, members=[{**jar, "count": "2"}], candidates=two)
    assert "candidates-1-name" in faults(asked_twice)


def test_a_program_that_sends_no_rows_is_told_so_at_their_field() -> None:
    assert faults(typed(candidates="none")) == {"candidates"}
    assert faults(typed(candidates=["x"])) <= {"candidates-0", "candidates-0-declared"}


@pytest.mark.parametrize(
    ("more", "at"),
    [
        ({"jar_from": "51", "jar_then": "0.61"}, set()),
        ({"jar_from": "50", "jar_then": "0.61"}, {"candidates-0-jar_from"}),
        ({"jar_from": "51", "jar_then": "0.62"}, {"candidates-0-jar_then"}),
        ({"jar_from": "51", "jar_then": "0"}, {"candidates-0-jar_then"}),
        ({"jar_from": "51"}, {"candidates-0-jar_then"}),
        ({"jar_then": "0.61"}, {"candidates-0-jar_from"}),
        ({"jar_from": "51", "jar_then": "0.61", "jar_from_2": "52", "jar_then_2": "0.60"}, set()),
        ({"jar_from": "51", "jar_then": "0.61", "jar_from_2": "51", "jar_then_2": "0.60"}, {"candidates-0-jar_from_2"}),
        ({"jar_from": "51", "jar_then": "0.61", "jar_from_2": "52", "jar_then_2": "0.61"}, {"candidates-0-jar_then_2"}),
    ],
)
def test_a_price_break_is_for_more_pieces_at_a_lower_price(more: dict[str, str], at: set[str]) -> None:
    """From 50 pieces at least, at 0.62: a break from 51 on at 0.61 is one, and the next is beyond that."""
    assert faults(one(jar_least="50", **more)) == at


def test_a_case_needs_the_jar_that_is_in_it() -> None:
    assert "product" in faults(typed(ask="case", product=None, candidates=None, case_jars="12", discount="5"))
