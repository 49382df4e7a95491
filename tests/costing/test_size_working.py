"""The figures of another size opened: every sum adds up to its figure, and so do all sums in it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.making import adds_up as sum_of
from tests.costing.sizing import IDS, KNOWN, D, asked, big
from webapp.costing.book import Member
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import Candidate, SizeAnswer
from webapp.costing.size_working import (
    DROP_FIGURES,
    PART_FIGURES,
    RUNG_FIGURES,
    case_working,
    drop_working,
    part_working,
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
    found = answer(KNOWN, asked(big(way="typed", price="19", unit=unit), product=IDS[product]))
    for rungs in found.ladders.values():
        for rung in rungs:
            if figure == "stockist" and rung.stockist is None:
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
