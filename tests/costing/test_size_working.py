"""The figures of another size opened: every sum adds up to its figure, and so do all sums in it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.making import adds_up as sum_of
from tests.costing.sizing import IDS, KNOWN, D, asked, big
from webapp.costing.book import Member
from webapp.costing.case_working import case_working, jar_working
from webapp.costing.case_working import price_working as case_price_working
from webapp.costing.endings import next_ending
from webapp.costing.first_order_working import PART_FIGURES, part_working, tied_up_working
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import Candidate, SizeAnswer
from webapp.costing.size_working import (
    DROP_FIGURES,
    RUNG_FIGURES,
    drop_working,
    price_working,
    rung_working,
)
from webapp.costing.working import Working

#: shares of freight and duty are rounded to add up to what was paid, and a suggestion is moved to its ending
ROUNDED = ("Share of ", "Suggested price")


def adds_up(one: Working) -> bool:
    """Every sum in it down to those."""
    return sum_of(_cut(one))


def _cut(one: Working) -> Working:
    steps = (
        replace(step, working=None if step.working.title.startswith(ROUNDED) else _cut(step.working))
        if step.working is not None
        else step
        for step in one.steps
    )
    return replace(one, steps=tuple(steps))


def known_of(found: SizeAnswer) -> Reckoning:
    assert found.known is not None
    return found.known


@pytest.mark.parametrize("figure", RUNG_FIGURES)
@pytest.mark.parametrize("product", ["pomade-50", "oil-30"])
def test_every_figure_of_a_ladder_adds_up(figure: str, product: str) -> None:
    unit = "mL" if product == "oil-30" else "g"
    candidate = big(way="typed", price="19", unit=unit, width="6.5")
    found = answer(KNOWN, asked(candidate, product=IDS[product], width="4.8"))
    for rungs in found.ladders.values():
        for rung in rungs:
            if figure in ("stockist", "shelf") and getattr(rung, figure) is None:
                continue
            opened = rung_working(known_of(found), rung, figure)
            assert opened.result == getattr(rung, figure)
            assert isinstance(opened.result, Gap) or adds_up(opened), opened.title


@pytest.mark.parametrize(
    "typed",
    [
        {"way": "per 100", "discount": "15"},
        {"way": "per 100", "discount": "0"},
        {"way": "hour"},
    ],
)
@pytest.mark.parametrize("channel", ["stall", "web", "shops", "salon"])
def test_every_price_adds_up(typed: dict[str, Any], channel: str) -> None:
    for candidate, more in (
        (big(**typed), {}),
        (Candidate(declared=D(60), unit="mL", way=typed["way"], discount=D(5)), {"product": IDS["oil-30"]}),
        (
            Candidate(minutes=D(4), way=typed["way"], discount=D(5)),
            {"ask": "set", "product": None, "members": (Member(IDS["pomade-50"]), Member(IDS["oil-30"], D(2)))},
        ),
    ):
        found = answer(KNOWN, asked(candidate, channel=IDS[channel], **more))
        opened = price_working(found, 0)
        assert opened is not None
        assert opened.result == found.candidates[0].price
        assert adds_up(opened), opened
        exact, moved = opened.steps[-2:]
        assert isinstance(exact.amount, D)
        assert isinstance(moved.amount, D)
        # What is added last is what an ending adds: never a whole unit of money, and nothing but that.
        assert 0 <= moved.amount < 1
        endings = found.candidates[0].row.terms.endings
        assert not isinstance(endings, Gap)
        assert next_ending(exact.amount, endings) == opened.result


def test_a_target_price_opens_to_its_suggestion_and_a_typed_one_to_nothing() -> None:
    found = answer(KNOWN, asked(big(), big(name="Other", declared="110", way="typed", price="20")))
    opened = price_working(found, 0)
    assert opened is not None
    assert opened.title.startswith("Suggested price")
    assert price_working(found, 1) is None
    with pytest.raises(KeyError):
        price_working(found, 2)


@pytest.mark.parametrize("figure", PART_FIGURES)
def test_every_figure_of_an_order_adds_up(figure: str) -> None:
    found = answer(KNOWN, asked(big(way="typed", price="19", jar_least="50", jar_from="300", jar_then="0.5")))
    (part,) = found.candidates[0].parts
    opened = part_working(part, found.question.jars, figure)
    assert opened.result == getattr(part, figure)
    assert adds_up(opened)
    assert isinstance(part_working(part, None, "needed").steps[0].amount, Gap)


def test_pieces_and_cash_of_a_first_order_on_paper() -> None:
    """19 tins take 19.19 of them with one in a hundred spoiled, so 20; the least is 50 at 0.62: 31.00."""
    found = answer(KNOWN, asked(big(way="typed", price="19", jar_least="50")))
    (part,) = found.candidates[0].parts
    pieces, cash = (part_working(part, None, name) for name in ("pieces", "cash"))
    assert [step.amount for step in pieces.steps] == [D(19), D("1.01"), D("0.81"), D(30)]
    assert (pieces.result, cash.result) == (D(50), D("31.00"))
    together = tied_up_working(known_of(found), found.candidates[0])
    assert (together.result, together.steps[0].words) == (D("31.00"), "Tin 110 mL")
    assert adds_up(together)


def test_pieces_that_come_out_whole_are_rounded_by_no_step() -> None:
    """19 lids for 19 tins, none of them spoiled and no least order: nothing is bought beyond."""
    found = answer(KNOWN, asked(big(way="typed", price="19", lid_name="Foil", lid_price="0.10")))
    lid = found.candidates[0].parts[1]
    opened = part_working(lid, None, "pieces")
    assert ([step.amount for step in opened.steps], opened.result) == ([D(19), D(1)], D(19))


def test_packs_of_a_known_part_open_to_packs_and_freight() -> None:
    """The tin of 100 mL that other jars have: whole packs at what they cost now, and their freight."""
    found = answer(KNOWN, asked(big(jar_name="", jar_price=None, jar=IDS["tin-100"])))
    (part,) = found.candidates[0].parts
    assert part.packs
    goods = sum(one.packs * one.price for one in part.packs)
    assert goods + part.freight == part.cash
    assert sum(one.packs * one.pieces for one in part.packs) == part.pieces
    for figure in PART_FIGURES:
        assert adds_up(part_working(part, D(10), figure)), figure


@pytest.mark.parametrize("figure", DROP_FIGURES)
@pytest.mark.parametrize("channel", [None, "web"])
def test_every_figure_of_a_size_less_adds_up(figure: str, channel: str | None) -> None:
    where = None if channel is None else IDS[channel]
    question = asked(ask="drop", product=IDS["pomade-90"], other=IDS["pomade-50"], channel=where, jars=None)
    drop = answer(KNOWN, question).drop
    assert drop is not None
    opened = drop_working(KNOWN, drop, figure)
    assert opened.result == getattr(drop, figure)
    assert adds_up(opened)
    with pytest.raises(KeyError):
        drop_working(KNOWN, drop, "deal")


def test_what_a_case_brings_more_adds_up() -> None:
    found = answer(KNOWN, asked(ask="case", channel=IDS["shops"], case_jars="48", discount="5"))
    assert found.case is not None
    assert not isinstance(found.case.deal, Gap)
    opened = case_working(known_of(found), found.case, D(48))
    assert opened.result == found.case.deal.own
    assert adds_up(opened)


def test_the_price_of_a_case_opens_to_its_jars_and_the_discount() -> None:
    """Seven at 5.20 less 2.5 % is 35.49; a jar in it is 5.07. At 3.33 % less it is 35.18788: half-up 35.19."""
    for discount, price in (("2.5", "35.49"), ("3.33", "35.19")):
        question = asked(ask="case", channel=IDS["shops"], case_jars="7", discount=discount)
        found = answer(KNOWN, question)
        assert found.case is not None
        of_case = case_price_working(known_of(found), found.case, question)
        of_jar = jar_working(known_of(found), found.case, question)
        assert of_case is not None
        assert (of_case.result, of_jar.result) == (D(price), D(price) / 7)
        assert adds_up(of_case)
        rounding = of_case.steps[-1].amount
        assert isinstance(rounding, D)
        assert abs(rounding) <= D("0.005")
        assert adds_up(of_jar)
    typed = asked(ask="case", channel=IDS["shops"], case_jars="7", case_price="35")
    found = answer(KNOWN, typed)
    assert found.case is not None
    assert case_price_working(known_of(found), found.case, typed) is None
