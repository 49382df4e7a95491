"""Cash of another size opened to its working: each step and each sum in it, for every month that is shown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.costing.making import adds_up, gap
from tests.costing.sizing import IDS, KNOWN, D, asked, big
from webapp.costing.deal_facts import Cash
from webapp.costing.size_answers import answer
from webapp.costing.size_cash_working import cash_working
from webapp.costing.size_facts import SizeAnswer
from webapp.costing.working import Working


def cash(found: SizeAnswer, place: int = 0) -> Cash:
    opened = found.candidates[place].cash
    assert isinstance(opened, Cash)
    return opened


#: of a tin that other jars have, so that no first order is counted
KNOWN_TIN = big(way="typed", price="19", jar_name="", jar_price=None, jar=IDS["tin-100"])


def above_costs(opened: Working) -> Working:
    """Without what costs open to: an order's charges are shared out in whole cents, which no quotient shows."""
    inner = [
        replace(step, working=step.working and replace(
            step.working, steps=tuple(replace(one, working=None) for one in step.working.steps)))
        for step in opened.steps
    ]  # fmt: skip
    return replace(opened, steps=tuple(inner))


def sold(**more: str) -> SizeAnswer:
    """Ten a month at 19.00 each, tins by 50 at 0.62; 60.00 paid once."""
    return answer(KNOWN, asked(big(way="typed", price="19", jar_least="50", **more)))


def test_before_the_first_jar_is_what_is_paid_once_and_for_the_first_parts() -> None:
    opened = cash_working(sold(), 0, 0)
    assert [(step.sign, step.amount, step.words) for step in opened.steps] == [
        ("-", D(60), "paid once to start"),
        ("-", D("31.00"), "Tin 110 mL, bought"),
    ]
    assert (opened.title, opened.result) == ("Cash before the first jar", D("-91.00"))


def test_every_month_adds_up_from_the_one_before() -> None:
    found = sold()
    months = cash(found).months
    for each in months[1:]:
        opened = cash_working(found, 0, each.month)
        assert opened.result == each.so_far
        assert opened.steps[0].amount == months[each.month - 1].so_far
        assert opened.steps[0].words == (
            "before the first jar" if each.month == 1 else f"at the end of month {each.month - 1}"
        )
        assert adds_up(above_costs(opened)), opened
    assert cash_working(found, 0, 2).title == "Cash so far at the end of month 2"


def test_what_its_jars_bring_bears_what_is_paid_for_when_it_is_bought() -> None:
    """10 x (a jar's contribution and 0.6262 for tins, 0.62 and one in a hundred); half its buyers change over."""
    found = sold()
    steps = {step.words: step for step in cash_working(found, 0, 1).steps}
    own, other = steps["what its jars bring"].working, steps["what the other jar brings less, or more"].working
    assert own is not None
    assert other is not None
    contribution = found.candidates[0].row.contribution
    assert [step.amount for step in own.steps] == [contribution, D("0.6262"), D(10)]
    assert [step.amount for step in other.steps][1:] == [D(2), D("0.5"), D(10)]
    assert adds_up(other)
    assert own.steps[0].working is not None


def test_what_its_jars_bring_bears_nothing_where_no_part_is_bought_for_it_alone() -> None:
    found = answer(KNOWN, asked(KNOWN_TIN))
    (own,) = [step.working for step in cash_working(found, 0, 1).steps if step.words == "what its jars bring"]
    assert own is not None
    contribution = found.candidates[0].row.contribution
    assert isinstance(contribution, D)
    assert [step.amount for step in own.steps] == [contribution, D(10)]
    assert own.result == contribution * 10


def test_nothing_is_paid_before_the_first_jar_where_nothing_is() -> None:
    found = answer(KNOWN, asked(KNOWN_TIN, one_off="0"))
    opened = cash_working(found, 0, 0)
    assert ([step.words for step in opened.steps], opened.result) == (["nothing is paid before the first jar"], D(0))


def test_a_saving_at_the_start_stands_without_a_sign() -> None:
    """60.00 come in once, and nothing goes out before the first jar."""
    found = answer(KNOWN, asked(KNOWN_TIN, one_off="-60"))
    (step,) = cash_working(found, 0, 0).steps
    assert (step.sign, step.amount) == ("", D(60))


def test_what_is_not_there_has_no_working() -> None:
    found = sold()
    with pytest.raises(KeyError):
        cash_working(found, 1, 0)
    with pytest.raises(KeyError):
        cash_working(found, 0, len(cash(found).months))
    unknown = answer(KNOWN, asked(big(way="typed", price="19"), jars=None))
    gap(unknown.candidates[0].cash)
    with pytest.raises(KeyError):
        cash_working(unknown, 0, 0)
