"""The sums behind whether another size is worth it: they add up to the answer's own figures, and read as on paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import Any

import pytest

from tests import examples
from tests.costing.making import adds_up
from tests.costing.sizing import BOOK, IDS, KNOWN, D, F, asked, big, on_paper, present, rounded, same
from tests.costing.test_sizes_in_any_book import _hostile, _other_asks
from webapp.costing import worth_working
from webapp.costing.book import Member
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import Candidate, SizeAnswer, SizeQuestion
from webapp.costing.size_faults import faults_of
from webapp.costing.working import Step, Working
from webapp.costing.worth_working import FIGURES, working

SEVENTEEN = big(way="typed", price="17.00")
DROP: dict[str, Any] = {
    "ask": "drop",
    "product": IDS["pomade-90"],
    "other": IDS["pomade-50"],
    "jars": None,
    "one_off": "0",
}
CASE: dict[str, Any] = {
    "ask": "case",
    "channel": IDS["shops"],
    "jars": "10",
    "share": "50",
    "case_jars": "12",
    "discount": "5",
}
MEMBERS = (Member(IDS["pomade-50"], D(2)), Member(IDS["pomade-90"], D(1)))
SET: dict[str, Any] = {"ask": "set", "product": None, "members": MEMBERS}
#: the workshop with the tin of 50 g at 3.00 at the stall, where it loses
PAIR = (IDS["pomade-50"], IDS["stall"])
CHEAP = Reckoning(replace(BOOK, prices={**BOOK.prices, PAIR: replace(BOOK.prices[PAIR], amount=D(3))}))


def of(*candidates: Candidate, known: Reckoning = KNOWN, **more: Any) -> SizeAnswer:
    return answer(known, asked(*candidates, **more))


def own_figure(found: SizeAnswer, figure: str, place: int, trade: int) -> Figure:
    """The figure that is opened, as the answer has it."""
    if found.drop is not None or found.case is not None:
        figures: Figure = getattr(found.drop or found.case, figure)
        return figures
    one = found.candidates[place]
    if figure != "worth_from":
        of_trade: Figure = getattr(one.trades[trade], figure)
        return of_trade
    return one.verdict if isinstance(one.verdict, Gap) else one.verdict.worth_from


def opened(found: SizeAnswer) -> list[tuple[str, int, int, Working]]:
    """Every figure that can be opened, with its sum."""
    pairs = [(one.place, trade) for one in found.candidates for trade in range(len(one.trades))] or [(0, 0)]
    told = []
    for place, trade in pairs:
        for figure in FIGURES:
            try:
                told.append((figure, place, trade, working(found, figure, place, trade)))
            except KeyError:
                continue
    return told


def lines(one: Working) -> list[tuple[str, str]]:
    return [(step.sign, rounded(step.amount, 4)) for step in one.steps]


@pytest.fixture(autouse=True)
def above_orders(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sums of material costs have tests of their own."""
    monkeypatch.setattr(Reckoning, "material_working", lambda *_: None)


# --- on paper --------------------------------------------------------------------------------------------------------


STALL, WEB, SHOPS = "stall", "web", "shops"


def small(channel: str = STALL) -> Fraction:
    """What the tin of 50 g contributes."""
    return present().contribution("pomade-50", channel)


def paper(*steps: tuple[str, Fraction | int]) -> list[tuple[str, str]]:
    return [(sign, f"{D(F(amount).numerator) / D(F(amount).denominator):.4f}") for sign, amount in steps]


def test_the_gain_as_it_is_on_paper() -> None:
    """The tin of 100 g at 17.00; half of its buyers would have bought two of 50 g. By hand: see test_size_answers."""
    own, found = on_paper("17.00").contribution("big", STALL), working(of(SEVENTEEN), "gain")
    assert lines(found) == paper(("", own), ("-", small()), ("=", own - small()), ("×", 10))
    assert rounded(found.result) == "22.43"
    taken = found.steps[1].working
    assert taken is not None
    assert lines(taken) == paper(("", small()), ("×", 2), ("×", F(1, 2)))


def test_the_break_even_share_and_the_months_as_they_are_on_paper() -> None:
    """Five a month are half a unit of money for each of ten; 60 are back after 60 / 17.43 months."""
    own, found = on_paper("17.00").contribution("big", STALL), of(SEVENTEEN, monthly="5")
    share = working(found, "break_even_share")
    assert lines(share) == paper(("", own), ("-", F(1, 2)), ("÷", 2 * small()))
    assert same(share.result, (own - F(1, 2)) / (2 * small()))
    assert lines(working(found, "months")) == paper(("", 60), ("÷", 10 * (own - small()) - 5))


def test_the_fair_price_and_the_price_from_which_it_is_worth_it_as_they_are_on_paper() -> None:
    """The stall keeps 2.1 % of the net price and 36 / 38 a jar; tax of 20 % is in it; selling costs 108.50 / 38."""
    own, found = on_paper("17.00").contribution("big", STALL), of(SEVENTEEN, monthly="5")
    net, left = F(1700, 120), F(979, 1000)
    selling, extras = F(10850, 3800), F(36, 38)
    direct = net * left - extras - selling - own
    parts = [("", direct), ("+", selling), ("+", extras)]
    fair = 2 * small() + F(1, 2)
    exact = (direct + selling + extras + fair) / left * F(6, 5)
    assert lines(working(found, "fair_price")) == paper(
        *parts, ("+", 2 * small()), ("+", F(1, 2)), ("÷", left), ("×", F(6, 5)), ("=", exact), ("+", 19 - exact)
    )
    assert working(found, "fair_price").result == D("19.00")  # 18.88, and it may end on .00 or .50
    # half of them trade up, and 60 are to be back in twelve months: 0.50 each
    exact = (direct + selling + extras + small() + 1) / left * F(6, 5)
    assert lines(working(found, "worth_from")) == paper(
        *parts, ("+", small()), ("+", F(1, 2)), ("+", F(1, 2)), ("÷", left), ("×", F(6, 5)), ("=", exact),
        ("+", F(31, 2) - exact),
    )  # fmt: skip


def test_a_jar_that_loses_gives_nothing_up_in_a_fair_price() -> None:
    found = of(SEVENTEEN, known=CHEAP)
    words = [step.words for step in working(found, "fair_price").steps]
    assert "taken from the other jar" not in words
    assert words[2:4] == ["what selling costs per jar", "of the net price left"]
    # what it really takes or gives counts in the price from which it is worth it
    assert "taken from the other jar" in [step.words for step in working(found, "worth_from").steps]
    # and no share of the buyers limits it, which is said where it would be divided
    share = working(found, "break_even_share")
    assert isinstance(share.steps[-1].amount, Gap)
    assert "No share limits this" in share.steps[-1].amount.reason


@pytest.mark.parametrize("share", ["100", "101"])
def test_where_selling_takes_all_the_sum_ends_in_the_reason_and_divides_by_nothing(share: str) -> None:
    stall = replace(BOOK.channels[IDS["stall"]], share_paid=D(0), share_net=D(share))
    found = of(SEVENTEEN, known=Reckoning(replace(BOOK, channels={**BOOK.channels, stall.id: stall})))
    for figure in ("fair_price", "worth_from"):
        made = working(found, figure)
        assert isinstance(made.result, Gap)
        assert [one.amount for one in made.steps if one.sign in ("÷", "=")] == [made.result, made.result]


def test_where_nothing_is_paid_once_it_is_said_that_something_has_to_be_gained() -> None:
    free, paid = (working(of(SEVENTEEN, one_off=once), "worth_from").note for once in ("0", "60"))
    assert free == f"Something has to be gained: what leaves just nothing is not enough. {paid}"
    assert "ends in .00 or .50" in paid


def test_a_size_less_as_it_is_on_paper() -> None:
    """Half of the buyers take 1.8 tins of 50 g. What is saved is added."""
    goes, back = present().contribution("pomade-90", STALL), F(9, 10) * small()
    found = working(of(**DROP, monthly="12"), "gain")
    assert lines(found) == paper(("", back), ("-", goes), ("=", back - goes), ("×", 8), ("+", 12))
    assert rounded(found.result) == "-11.12"
    share = working(of(**DROP, monthly="12"), "break_even_share")
    assert lines(share) == paper(("", goes), ("-", F(12, 8)), ("÷", 2 * back))


def test_a_case_as_it_is_on_paper() -> None:
    """By the jar it is sold at 5.20; in a case at 4.94, 0.26 less, for half as many more."""
    each = 12 * (small(SHOPS) - F(26, 100))
    found = working(of(**CASE), "gain")
    less = F(312, 100)
    assert lines(found) == paper(("", -less), ("+", each / 2), ("=", each / 2 - less), ("×", 10))
    assert lines(working(of(**CASE), "break_even_share")) == paper(("", less), ("÷", each))


# --- all of them -----------------------------------------------------------------------------------------------------

QUESTIONS: dict[str, Callable[[], SizeAnswer]] = {
    "a size": lambda: of(SEVENTEEN, big(way="target", declared="30"), monthly="4"),
    "by the visit": lambda: of(SEVENTEEN, replaced="visit"),
    "by a number": lambda: of(SEVENTEEN, replaced="number", number="0.75"),
    "nothing is paid once": lambda: of(SEVENTEEN, one_off="0"),
    "without a share": lambda: of(SEVENTEEN, share=None),
    "without jars": lambda: of(SEVENTEEN, jars=None),
    "with none sold": lambda: of(SEVENTEEN, jars="0", monthly="3"),
    "in the web shop": lambda: of(SEVENTEEN, channel=IDS["web"]),
    "for shops": lambda: of(SEVENTEEN, channel=IDS["shops"]),
    "at nearly nothing": lambda: of(big(way="typed", price="0.01"), monthly="2"),
    "beside a jar that loses": lambda: of(SEVENTEEN, known=CHEAP),
    "all take one": lambda: of(SEVENTEEN, share="100"),
    "a set": lambda: of(Candidate(way="typed", price=D(40), minutes=D(2)), **SET),
    "one visit for a set": lambda: of(Candidate(way="typed", price=D(40), minutes=D(2)), **SET, replaced="visit"),
    "a size less": lambda: of(**DROP, monthly="3"),
    "… everywhere": lambda: of(**{**DROP, "channel": None}),
    "… and nobody takes another": lambda: of(**{**DROP, "other": None, "share": "0"}),
    "a case": lambda: of(**CASE, monthly="2"),
    "a case far cheaper": lambda: of(**{**CASE, "discount": "20"}),
    "a case without a share": lambda: of(**{**CASE, "share": None}),
    "a case that is not sold": lambda: of(**{**CASE, "jars": "0"}),
}


@pytest.mark.parametrize("name", QUESTIONS)
def test_every_sum_adds_up_to_the_answers_own_figure(name: str) -> None:
    found = QUESTIONS[name]()
    told = opened(found)
    assert told
    for figure, place, trade, one in told:
        assert adds_up(one), (figure, one)
        assert one.result == own_figure(found, figure, place, trade), figure


def test_in_each_question_the_figures_that_it_has_can_be_opened() -> None:
    def names(name: str) -> set[tuple[str, int]]:
        return {(figure, trade) for figure, _, trade, _ in opened(QUESTIONS[name]())}

    both = {(figure, trade) for figure in ("gain", "break_even_share", "months", "fair_price") for trade in (0, 1)}
    assert names("by the visit") == both | {("worth_from", 0)}
    assert names("a size less") == {("gain", 0), ("break_even_share", 0), ("months", 0)}
    assert names("a case") == {("gain", 0), ("break_even_share", 0)}


def test_a_sum_of_nothing_that_is_there_is_no_sum() -> None:
    found = QUESTIONS["a size"]()
    for figure, place, trade in (("profit", 0, 0), ("gain", 2, 0), ("gain", 0, 2), ("worth_from", 0, 1)):
        with pytest.raises(KeyError):
            working(found, figure, place, trade)


def test_a_missing_cost_is_the_reason_in_every_sum() -> None:
    unpriced = {ident: replace(one, starting=None) for ident, one in BOOK.materials.items()}
    unknown = Reckoning(replace(BOOK, materials=unpriced, orders={}, quotes={}))
    found = of(SEVENTEEN, known=unknown)
    for figure, *_, one in opened(found):
        assert isinstance(one.result, Gap), figure
        assert adds_up(one), figure


def test_whatever_is_asked_of_the_workshop_adds_up() -> None:
    rng, seen = Random(5), 0
    for _ in range(examples.of(40)):
        channel = rng.choice([IDS[one] for one in ("stall", "web", "market", "shops")])
        typed: dict[str, Any] = {
            "channel": channel, "jars": str(rng.randint(1, 40)), "share": str(rng.randint(0, 100)),
            "monthly": str(rng.choice([0, 7])), "one_off": str(rng.choice([0, 90])),
            "replaced": rng.choice(["grams", "visit", "number"]), "number": "1.5",
        }  # fmt: skip
        found = of(big(way="typed", price=str(rng.randint(3, 40)), declared=str(rng.choice([15, 80, 200]))), **typed)
        for figure, place, trade, one in opened(found):
            seen += 1
            assert adds_up(one), (typed, figure)
            assert one.result == own_figure(found, figure, place, trade), (typed, figure)
    assert seen > 60


def test_a_formula_s_first_size_is_what_the_others_are_set_beside() -> None:
    question = SizeQuestion(
        product=None, formula=BOOK.products[IDS["pomade-50"]].fills[0].formula, channel=IDS["stall"], jars=D(10),
        share=D(50), candidates=(big(way="typed", price="9"), big(way="typed", price="17", declared="200")),
    )  # fmt: skip
    found = answer(KNOWN, question)
    for figure, place, trade, one in opened(found):
        assert adds_up(one), (figure, place)
        assert one.result == own_figure(found, figure, place, trade)


def test_in_any_book_the_sums_add_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a jar contributes and costs is told by sums that have tests of their own."""
    for name in ("row_working", "sheet_working", "selling_sum", "extras_sum"):
        monkeypatch.setattr(worth_working, name, _shallow(getattr(worth_working, name)))
    known = 0
    for seed in range(examples.of(40)):
        for book, question in (_hostile(seed), _other_asks(seed)):
            if faults_of(book, question):
                continue
            found = answer(Reckoning(book), question)
            for figure, place, trade, one in opened(found):
                assert adds_up(one), (seed, question.ask, figure)
                assert one.result == own_figure(found, figure, place, trade), (seed, question.ask, figure)
                known += isinstance(one.result, Decimal)
    assert known > 20


def _shallow(working_of: Callable[..., Working]) -> Callable[..., Working]:
    def told(*asked: Any) -> Working:
        one = working_of(*asked)
        return Working(one.title, (Step("", one.result, one.kind, "as it is"),), one.result, one.kind)

    return told
