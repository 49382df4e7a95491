"""What a note keeps of an answer about another size: its figures as exact texts, gaps with their reason."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

import pytest

from webapp.costing.deal_facts import Deal, Verdict
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.size_facts import CandidateAnswer, CaseAnswer, DropAnswer, SizeAnswer, SizeQuestion, Trade
from webapp.costing.size_figures import KEPT, kept_figures

NONE = cast("Any", None)  # what these figures don't look at
D = Decimal
UNKNOWN = Gap("How many jars do you expect to sell a month? Type it.", Ref("product", 3, "jars"))
TOLD = {"gap": {"reason": UNKNOWN.reason, "cure": None}}
# The invented example of the trade: 5.00 a small jar, 7.50 a big one, 100 a month, two replaced, 150 once. A share of
# 40 % leaves 100 (7.50 - 0.4 x 2 x 5.00) = 350; 7.50 / 10.00 = 75 %; 150 / 350 = 0.428571428571 (12 places).
DEAL = Deal(D("7.50"), D("-5.00"), D(2), D(100), D("0.4"), one_off=D(150))


GAIN, FAIR, FROM, SURE = D("350.00"), D("24.50"), D("17.90"), D("21.90")


def trade(gain: Figure = GAIN, fair: Figure = FAIR) -> Trade:
    share: Figure = UNKNOWN if isinstance(gain, Gap) else D("0.75")
    months: Figure = UNKNOWN if isinstance(gain, Gap) else D(150) / D(350)
    return Trade("grams", D(2), DEAL, gain, share, months, fair)


def verdict(kind: Any = "worth", worth_from: Figure = FROM, sure_from: Figure = SURE) -> Verdict:
    return Verdict(kind, None, (), worth_from, sure_from)


def candidate(
    place: int, price: Figure, trades: tuple[Trade, ...], found: Verdict | Gap | None = None
) -> CandidateAnswer:
    return CandidateAnswer(
        place=place,
        product=NONE,
        changes=(),
        row=NONE,
        price_way="typed",
        price=price,
        trades=trades,
        spans=UNKNOWN,
        grid=UNKNOWN,
        verdict=found or verdict(),
        parts=(),
        tied_up=UNKNOWN,
        shelf=None,
        cash=UNKNOWN,
        remarks=(),
    )


def answered(*some: CandidateAnswer, **more: Any) -> SizeAnswer:
    return SizeAnswer(SizeQuestion(), some, **more)


def test_a_candidate_is_kept_by_what_is_counted_on_first() -> None:
    other = trade(D(1))
    kept = kept_figures(answered(candidate(0, D("19.5000"), (trade(), other))))
    assert kept == {
        "verdict": "worth",
        "price": "19.5",
        "gain": "350",
        "break_even_share": "0.75",
        "months": "0.428571428571",
        "fair_price": "24.5",
        "worth_from": "17.9",
        "sure_from": "21.9",
    }
    assert set(kept) == set(KEPT)


def test_the_one_at_its_place_is_meant() -> None:
    found = answered(candidate(0, D(1), (trade(),)), candidate(1, D(2), (trade(D(-3)),), verdict("not")))
    assert [kept_figures(found, place)["price"] for place in (0, 1)] == ["1", "2"]
    assert (kept_figures(found, 1)["gain"], kept_figures(found, 1)["verdict"]) == ("-3", "not")
    with pytest.raises(IndexError):
        kept_figures(found, 2)


def test_what_is_not_known_is_kept_with_its_reason_and_never_as_zero() -> None:
    kept = kept_figures(answered(candidate(0, UNKNOWN, (trade(UNKNOWN, UNKNOWN),), cast("Any", UNKNOWN))))
    assert kept == dict.fromkeys(
        ("verdict", "price", "gain", "break_even_share", "months", "fair_price"), TOLD
    )  # no price from which it is worth it either: there is no verdict
    assert kept_figures(answered(candidate(0, D(9), (), cast("Any", UNKNOWN)))) == {"verdict": TOLD, "price": "9"}


def test_a_size_less_has_no_price() -> None:
    drop = DropAnswer(
        rows=(),
        taken=(),
        lost=D(40),
        regained=D(60),
        stays=D(12),
        deal=DEAL,
        gain=D("20.10"),
        break_even_share=D("0.5"),
        months=UNKNOWN,
        spans=UNKNOWN,
        grid=UNKNOWN,
        verdict=verdict("only if", UNKNOWN, UNKNOWN),
    )
    assert kept_figures(answered(drop=drop)) == {
        "verdict": "only if",
        "gain": "20.1",
        "break_even_share": "0.5",
        "months": TOLD,
    }


def test_of_a_case_the_price_of_the_case_is_kept() -> None:
    case = CaseAnswer(
        row=NONE,
        cased=NONE,
        price=D("6.25"),
        case_price=D("75.00"),
        lowest=D("71.20"),
        deal=DEAL,
        gain=D(12),
        break_even_share=D("0.1"),
        spans=UNKNOWN,
        grid=UNKNOWN,
        verdict=verdict("not", D("80.00"), D("90.00")),
    )
    assert kept_figures(answered(case=case)) == {
        "verdict": "not",
        "price": "75",
        "gain": "12",
        "break_even_share": "0.1",
        "worth_from": "80",
        "sure_from": "90",
    }
