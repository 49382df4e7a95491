"""A size less: the tin of 90 g goes, and some of its buyers take tins of 50 g instead. On paper and in fractions.

By hand, at the stall: the tin of 90 g at 17.00 is 14.1667 net, less 1.2449 of fees; 46.3454 / 21 = 2.2069 of pomade,
tin 0.6069, labels 0.1785, own pay 70 / 21 min 0.8611, hired 1.6 min 0.3746, selling 2.8553: 7.0833. It contributes
5.8385, the tin of 50 g 3.2766 (see test_size_answers).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.sizing import BOOK, IDS, KNOWN, D, F, asked, present, rounded, same
from webapp.costing.deal_facts import Deal
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import DropAnswer
from webapp.costing.size_faults import faults_of


def dropped(known: Reckoning = KNOWN, **typed: Any) -> DropAnswer:
    defaults = {"ask": "drop", "product": IDS["pomade-90"], "other": IDS["pomade-50"], "jars": None, "one_off": "0"}
    found = answer(known, asked(**{**defaults, **typed})).drop
    assert found is not None
    return found


def test_what_is_lost_and_what_comes_back_on_paper() -> None:
    """Eight a month: 46.71 go. If all of them took 1.8 tins of 50 g instead, 47.18 came back: 99 % of them must."""
    found = dropped()
    assert (rounded(found.lost), rounded(found.regained)) == ("46.71", "47.18")
    assert rounded(found.break_even_share, 3) == "0.990"
    assert rounded(found.gain) == "-23.12"  # half of 47.18 less 46.71
    assert [row.channel for row in found.rows] == [IDS["stall"]]


def test_the_same_in_fractions() -> None:
    paper, found = present(), dropped()
    own, other = paper.contribution("pomade-90", "stall"), paper.contribution("pomade-50", "stall")
    assert same(found.lost, 8 * own)
    assert same(found.regained, 8 * F(9, 5) * other)
    assert same(found.break_even_share, own / (F(9, 5) * other))
    assert same(found.stays, 8 * paper.overhead("pomade-90"))


def test_on_all_channels_each_counts_by_its_sales() -> None:
    """Eight at the stall and seven in the web shop; nobody has said how many the shops take, so they are in no sum."""
    found, paper = dropped(channel=None), present()
    assert {row.channel for row in found.rows} == {IDS["stall"], IDS["web"]}
    lost, back = (
        8 * paper.contribution(key, "stall") + 7 * paper.contribution(key, "web") for key in ("pomade-90", "pomade-50")
    )
    assert same(found.lost, lost)
    assert same(found.regained, F(9, 5) * back)
    assert same(found.gain, F(1, 2) * F(9, 5) * back - lost)


def test_where_the_other_is_not_sold_its_buyers_are_lost() -> None:
    """Hair butter of 50 g sells 22, 11, 6 and 24 a month in four places, the whipped one only in the first two."""
    found, paper = (
        dropped(product=IDS["butter-50"], other=IDS["whipped-240"], channel=None, replaced="visit"),
        present(),
    )
    assert {row.channel for row in found.taken} == {IDS["web"], IDS["stall"]}
    back = 22 * paper.contribution("whipped-240", "stall") + 11 * paper.contribution("whipped-240", "web")
    assert same(found.regained, back)
    assert isinstance(found.deal, Deal)
    assert found.deal.jars == 63
    assert same(found.deal.each, back / 63)


def test_what_is_saved_a_month_is_below_zero_in_the_deal_and_its_high_end_is_the_low_one() -> None:
    found = dropped(monthly="12", monthly_low="10", monthly_high="15")
    assert isinstance(found.deal, Deal)
    assert found.deal.monthly == -12
    assert not isinstance(found.spans, Gap)
    assert found.spans.monthly == (D(-15), D(-12), D(-10))
    assert rounded(found.gain) == "-11.12"  # 12.00 more than -23.12


def test_buyers_who_may_take_the_other_have_their_range_and_none_where_none_is_named() -> None:
    named = dropped(share_low="20", share_high="80")
    nobody = dropped(other=None, share="0", share_low="0", share_high="80")
    assert not isinstance(named.spans, Gap)
    assert named.spans.share == (D("0.2"), D("0.5"), D("0.8"))
    assert not isinstance(nobody.spans, Gap)
    assert nobody.spans.share == (D(0), D(0), D(0))


def test_the_answers_to_how_many_are_taken_instead() -> None:
    grams, visit, number = (dropped(replaced=one, number="3") for one in ("grams", "visit", "number"))
    for found, times in ((grams, ("1.8", "1")), (visit, ("1", "1.8")), (number, ("3",))):
        assert not isinstance(found.spans, Gap)
        assert found.spans.times == tuple(D(one) for one in times)
    assert rounded(visit.regained) == "26.21"  # 8 x 3.2766


def test_nobody_takes_another_where_none_is_named() -> None:
    found = dropped(other=None, share=None)
    assert not found.taken
    assert found.regained == 0
    assert rounded(found.gain) == "-46.71"


def test_what_is_not_known_says_what_to_type() -> None:
    silent = dropped(product=IDS["pomade-15"], other=None, share=None)
    for figure in (silent.lost, silent.gain, silent.verdict, silent.stays, silent.spans, silent.grid):
        assert isinstance(figure, Gap)
        assert "How many jars of Firm pomade, travel tin 15 g are sold a month" in figure.reason
    unknown = dropped(share=None).gain
    assert isinstance(unknown, Gap)
    assert "would take the other size" in unknown.reason


def test_the_sets_that_have_it_in_them_are_named() -> None:
    assert dropped(product=IDS["butter-50"], other=None, share=None).inside == (IDS["gift"],)
    gone = replace(BOOK.products[IDS["gift"]], retired=BOOK.day)
    known = Reckoning(replace(BOOK, products={**BOOK.products, gone.id: gone}))
    assert dropped(known, product=IDS["butter-50"], other=None, share=None).inside == ()


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        # all of them take 1.8 or one each: 47.18 or 26.21 come back of 46.71 that go
        ({"share": "100"}, "only if"),
        ({"share": "100", "replaced": "number", "number": "1.8"}, "worth"),
        # 21.00 saved a month: 0.50 more than is lost where all take one instead
        ({"share": "100", "monthly": "21"}, "worth"),
        ({"share": "0", "monthly": "46.70"}, "not"),
        ({"share": "0", "monthly": "46.72"}, "worth"),
    ],
)
def test_the_three_verdicts_on_paper(typed: dict[str, Any], kind: str) -> None:
    verdict = dropped(**typed).verdict
    assert not isinstance(verdict, Gap)
    assert verdict.kind == kind


def test_jars_that_may_be_sold_have_their_range_on_paper() -> None:
    """Eight a month are sold, perhaps 4 or 12: with all of them gone it is 4, 8 or 12 times 5.8385 that goes."""
    found = dropped(other=None, share=None, jars_low="4", jars_high="12")
    assert not isinstance(found.grid, Gap)
    assert [rounded(one) for one in (found.grid.lowest, found.grid.likely, found.grid.highest)] == [
        "-70.06",
        "-46.71",
        "-23.35",
    ]
    assert found.grid.swings[0].what == "jars"
    # what is sold now stays what it is, whatever is expected
    more = dropped(other=None, share=None, jars="20")
    assert not isinstance(more.grid, Gap)
    assert (rounded(more.grid.likely), rounded(more.lost)) == ("-116.77", "46.71")


def test_a_low_figure_is_held_against_what_is_sold() -> None:
    typed = {"ask": "drop", "product": IDS["pomade-90"], "other": None, "share": None, "jars": None}
    wrong = faults_of(BOOK, asked(**typed, jars_low="9"))
    assert [one.field for one in wrong] == ["jars_low"]
    assert not faults_of(BOOK, asked(**typed, jars_low="8", jars_high="8"))
    assert [one.field for one in faults_of(BOOK, asked(**typed, jars_high="7"))] == ["jars_high"]
