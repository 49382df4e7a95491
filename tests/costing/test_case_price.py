"""A case for shops: the tin of 50 g at 5.20 wholesale, by twelve and by forty-eight. On paper and in fractions.

By hand: a usual order is 24 jars; carton and postage 11.50 make 0.4792 a jar, 25 min at 14.049 and 10 min at 15.50 make
0.3515. With 48 in a case an order has at least 48: half of both is saved, 0.2396 + 0.1758 = 0.4154 a jar.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.sizing import DAY, IDS, KNOWN, D, F, asked, present, rounded, same
from tests.reckoning import Line, seed
from webapp.costing.case_working import lowest_case_working
from webapp.costing.deal_facts import Deal
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import CaseAnswer


def cased(**typed: Any) -> CaseAnswer:
    found = answer(KNOWN, asked(**{"ask": "case", "channel": IDS["shops"], "one_off": "0", **typed})).case
    assert found is not None
    return found


def test_a_discount_on_a_case_of_twelve_on_paper() -> None:
    """5 % of 62.40 are 3.12 a case, and nothing is saved: the order is no bigger."""
    found = cased(discount="5")
    assert (found.case_price, found.price) == (D("59.28"), D("4.94"))
    assert isinstance(found.deal, Deal)
    assert found.deal.own == D("-3.12")
    small = present().contribution("pomade-50", "shops")
    assert same(found.gain, 10 * (F(-312, 100) + F(1, 2) * 12 * (small - F(26, 100))))
    assert same(found.break_even_share, F(312, 100) / (12 * (small - F(26, 100))))
    assert rounded(found.lowest) == "62.40"


def test_a_case_that_is_bigger_than_a_usual_order_saves_postage_and_minutes_on_paper() -> None:
    """48 x 5.20 = 249.60 less 8 % = 229.63 half-up; a jar saves 0.4154, so 48 x 4.7846 = 229.6628: 229.67 is even."""
    found = cased(case_jars="48", discount="8")
    assert found.case_price == D("229.63")
    assert rounded(found.lowest) == "229.67"
    data = seed()
    data["channel"] = [
        {**one, "jars_per_order": "48"} if one["key"] == "shops" else one for one in data["channel"]
    ]  # fmt: skip
    paper = Line(data, DAY)
    saved = paper.contribution("pomade-50", "shops") - present().contribution("pomade-50", "shops")
    assert rounded(D(saved.numerator) / D(saved.denominator), 4) == "0.4154"
    each = paper.contribution("pomade-50", "shops") - F(520, 100) + F(22963, 4800)
    assert isinstance(found.deal, Deal)
    assert same(found.deal.each, 48 * each)
    assert same(found.deal.own, 48 * (saved - F(520, 100) + F(22963, 4800)))
    assert found.cased.terms.per_order == found.row.terms.per_order


def test_at_the_lowest_price_a_case_brings_what_its_jars_bring() -> None:
    lowest = cased(case_jars="48", discount="8").lowest
    assert isinstance(lowest, D)
    even = cased(case_jars="48", case_price=str(lowest)).deal
    below = cased(case_jars="48", case_price=str(lowest - D("0.01"))).deal
    assert isinstance(even, Deal)
    assert isinstance(below, Deal)
    assert even.own >= 0 > below.own


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        # nobody buys more: what is given is lost
        ({"discount": "5", "share": "0"}, "not"),
        # the order doubles: 48 x (0.4154 - 0.26) = 7.46 a case without a jar more
        ({"case_jars": "48", "discount": "5", "share": "0"}, "worth"),
        ({"discount": "5", "share": "50", "share_low": "0", "share_high": "60"}, "only if"),
    ],
)
def test_the_three_verdicts_on_paper(typed: dict[str, str], kind: str) -> None:
    verdict = cased(**typed).verdict
    assert not isinstance(verdict, Gap)
    assert verdict.kind == kind


def test_what_is_not_typed_is_asked_for() -> None:
    found = cased(discount="5", jars=None, share=None)
    assert isinstance(found.gain, Gap)
    assert isinstance(found.verdict, Gap)
    assert found.case_price == D("59.28")
    assert isinstance(cased(discount="5", share=None).gain, Gap)
    assert isinstance(cased(discount="5", share=None).break_even_share, D)


def test_the_price_from_which_a_case_is_worth_it_on_paper() -> None:
    """By the jar it contributes 1.6585. If half as many more are sold, two thirds of that do: 0.5528 less a jar.

    12 x 4.6472 = 55.77 a case. Where no more may be sold, every case has to bring more than now: a cent above 62.40.
    """
    found = cased(discount="5", share="50", share_low="0").verdict
    assert not isinstance(found, Gap)
    assert (found.worth_from, found.sure_from) == (D("55.77"), D("62.41"))
    price = next(one for one in found.flips if one.what == "price")
    small = present().contribution("pomade-50", "shops")
    assert same(price.at, 12 * (F(520, 100) - small / 3))
    assert (price.now, price.up) == (D("59.28"), True)
    assert "times" not in {one.what for one in found.flips}


@pytest.mark.parametrize(("saved", "at"), [("623", ["0.1"]), ("624", ["0.0"]), ("625", [])])
def test_what_a_case_saves_may_turn_it_down_to_a_price_of_nothing_and_no_further(saved: str, at: list[str]) -> None:
    """Ten cases of 62.40, and not a jar more: whoever saves 62.40 a case with them may as well give them away."""
    found = cased(discount="5", share="0", monthly=f"-{saved}").verdict
    assert not isinstance(found, Gap)
    assert [rounded(abs(one.at), 1) for one in found.flips if one.what == "price"] == at


def test_at_the_price_from_which_a_case_is_worth_it_it_is_and_a_cent_below_it_is_not() -> None:
    typed: dict[str, Any] = {"case_jars": "48", "share": "20", "monthly": "3", "one_off": "45"}
    verdict = cased(**typed, discount="8").verdict
    assert not isinstance(verdict, Gap)
    assert isinstance(verdict.worth_from, D)
    for price, kind in ((verdict.worth_from, "worth"), (verdict.worth_from - D("0.01"), "not")):
        found = cased(**typed, case_price=str(price)).verdict
        assert not isinstance(found, Gap)
        assert found.kind == kind


def test_without_a_case_sold_no_price_helps() -> None:
    verdict = cased(discount="5", jars="0").verdict
    assert not isinstance(verdict, Gap)
    assert verdict.kind == "not"
    assert isinstance(verdict.worth_from, Gap)


def test_the_lowest_price_opens_to_a_sum_that_comes_to_it_before_it_is_moved_up_to_a_coin() -> None:
    found = cased(case_jars="48", discount="8")
    opened = lowest_case_working(KNOWN, found, D(48))
    assert [step.words for step in opened.steps][:2] == ["a jar now", "direct cost of the jar"]
    assert (opened.steps[0].amount, opened.steps[-1].amount) == (found.row.contribution, D(48))
    total = D(0)
    for step in opened.steps:
        amount = step.amount
        assert isinstance(amount, D)
        total = {"": amount, "+": total + amount, "÷": total / (amount or D(1)), "×": total * amount}[step.sign]
    assert isinstance(found.lowest, D)
    assert opened.result == found.lowest
    assert 0 <= found.lowest - total < D("0.01")


def test_a_case_of_which_nobody_knows_the_price_is_costed_all_the_same() -> None:
    """Nothing is accepted or suggested where the margin can't be reached: the case has no price, and no gain."""
    book = KNOWN.book
    hard = replace(book.channels[IDS["shops"]], share_net=D("99.9"))
    known = Reckoning(replace(book, channels={**book.channels, IDS["shops"]: hard}, prices={}))
    found = answer(known, asked(ask="case", channel=IDS["shops"], one_off="0", case_jars="12", discount="5")).case
    assert found is not None
    assert isinstance(found.case_price, Gap)
    assert isinstance(found.gain, Gap)


def test_tax_that_is_in_the_price_is_a_step_of_the_lowest_price() -> None:
    """Prices with 20 % in them: what has to be left of a jar net is times 1.2 on the label."""
    book = KNOWN.book
    taxed = replace(book.channels[IDS["shops"]], tax="in", tax_rate=D(20))
    known = Reckoning(replace(book, channels={**book.channels, IDS["shops"]: taxed}))
    found = answer(known, asked(ask="case", channel=IDS["shops"], one_off="0", case_jars="12", discount="5")).case
    assert found is not None
    words = [(step.sign, step.amount) for step in lowest_case_working(known, found, D(12)).steps]
    assert words[-2:] == [("×", D("1.2")), ("×", D(12))]
