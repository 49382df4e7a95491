"""Whether another size is worth it. Expected figures are from method.md's own example, paper, and buyers counted."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests import buyers
from webapp.costing import worth
from webapp.costing.amounts import snap
from webapp.costing.channels import PriceTerms
from webapp.costing.deal_facts import Cash, Deal, Span, Spans
from webapp.costing.endings import read_endings
from webapp.costing.gaps import Gap
from webapp.costing.size_cash import cash

D = Decimal
#: method.md section 8: 60 g contributes 5.00, 120 g 7.50, a hundred are expected, 150 is paid once
TWO = Deal(D("7.5"), D(-5), D(2), D(100), D("0.5"), one_off=D(150))
ONE = TWO._replace(times=D(1))


def certain(deal: Deal) -> Spans:
    """Spans without any width."""
    jars, share, monthly = (Span(one, one, one) for one in (deal.jars, deal.share, deal.monthly))
    return Spans(jars, share, monthly, (deal.times,))


def known(figure: Any) -> Decimal:
    assert isinstance(figure, Decimal), figure
    return figure


def gap(figure: Any) -> str:
    assert isinstance(figure, Gap), figure
    return figure.reason


def flip(deal: Deal, what: str, **sold: Any) -> Any:
    return next((one for one in worth.flips(deal, **sold) if one.what == what), None)


# --- the example -----------------------------------------------------------------------------------------------------


def test_two_replaced_break_even_where_three_of_four_trade_up() -> None:
    assert worth.break_even_share(TWO) == D("0.75")
    # 150 that must come back out of these 100 are 1.50 a jar: (7.50 - 1.50) / 10
    assert worth.break_even_share(TWO._replace(monthly=D(150))) == D("0.6")
    # one replaced: 7.50 / 5.00, so that trading up always pays
    assert worth.break_even_share(ONE) == D("1.5")


def test_a_month_and_how_long_it_takes() -> None:
    assert worth.gain(TWO) == D(250)  # 100 x (7.50 - 0.5 x 2 x 5.00)
    assert worth.gain(ONE) == D(500)
    assert worth.months(TWO) == D("0.6")
    assert worth.months(TWO._replace(one_off=D(0))) == 0


def test_the_answer_turns_on_how_many_are_replaced() -> None:
    most = TWO._replace(share=D("0.9"))
    assert worth.gain(most) == D(-150)
    assert worth.gain(most._replace(times=D(1))) == D(300)
    assert not worth.is_worth(most)
    assert worth.is_worth(most._replace(times=D(1)))
    both = certain(most)._replace(times=(D(2), D(1)))
    found = worth.verdict(most, both)
    assert found.kind == "only if"
    assert found.condition is not None
    # 7.50 / (0.9 x 5.00), and 150 in 12 months are 0.125 a jar
    assert (found.condition.what, found.condition.up) == ("times", False)
    assert snap(found.condition.at) == snap((D("7.5") - D("0.125")) / D("4.5"))


# --- what is worth it ------------------------------------------------------------------------------------------------


def test_nothing_gained_is_not_worth_it_and_never_earned_back() -> None:
    even = TWO._replace(share=D("0.75"), one_off=D(0))
    assert worth.gain(even) == 0
    assert not worth.is_worth(even)
    assert "Never" in gap(worth.months(even))
    assert worth.is_worth(even._replace(share=D("0.749999")))
    assert "Never" in gap(worth.months(even._replace(share=D(1))))


def test_a_one_off_has_to_be_back_in_time() -> None:
    # 250 a month: 3000 in twelve, and not a cent more
    assert worth.is_worth(TWO._replace(one_off=D(3000)))
    assert not worth.is_worth(TWO._replace(one_off=D("3000.01")))
    assert worth.is_worth(TWO._replace(one_off=D("3000.01"), within=D(13)))


def test_without_jars_the_month_costs_what_it_costs() -> None:
    none = TWO._replace(jars=D(0), monthly=D(8))
    assert worth.gain(none) == D(-8)
    terms = PriceTerms()
    for figure in (worth.break_even_share(none), worth.fair_price(none, D(3), terms)):
        assert "How many jars" in gap(figure)
    assert "no price" in gap(worth.worth_from(none, D(3), terms))
    assert worth.verdict(none, certain(none)).kind == "not"


def test_a_small_jar_that_earns_nothing_limits_no_share() -> None:
    nothing = TWO._replace(each=D(0))
    assert "No share limits this" in gap(worth.break_even_share(nothing))
    assert "No share is enough" in gap(worth.break_even_share(nothing._replace(own=D("-0.01"))))
    assert "No share is enough" in gap(worth.break_even_share(nothing._replace(monthly=D("750.01"))))
    assert flip(nothing, "share") is None
    # at a loss of 1.00 each, trading up helps: 100 x (-1.00 + u x 2) is nothing at half
    losing = TWO._replace(own=D(-1), each=D(1), one_off=D(0))
    assert worth.break_even_share(losing) == D("0.5")
    turn = flip(losing, "share")
    assert (turn.at, turn.up) == (D("0.5"), True)
    # at 2.00 lost each, just all of them make up for it; below, none do; and what loses nothing alone needs none
    assert worth.break_even_share(losing._replace(own=D(-2))) == 1
    assert "No share is enough" in gap(worth.break_even_share(losing._replace(own=D("-2.01"))))
    assert "No share limits this" in gap(worth.break_even_share(losing._replace(own=D(0))))


def test_fewer_than_one_replaced() -> None:
    # a tester of 15 g that takes a quarter of the jar's contribution
    quarter = Deal(D("1.2"), D(-5), D("0.25"), D(40), D("0.5"))
    assert worth.gain(quarter) == D(23)  # 40 x (1.20 - 0.625)
    assert worth.break_even_share(quarter) == D("0.96")


# --- prices ----------------------------------------------------------------------------------------------------------

#: 20 % tax in it, 2 % of what is paid, 5 % of the net, 0.30 a jar; prices end on .00 or .50
TERMS = PriceTerms(
    tax="in", rate=D("0.2"), share_paid=D("0.02"), share_net=D("0.05"), extras=D("0.3"),
    endings=read_endings(".00 .50", None, "GBP"),  # type: ignore[arg-type]
)  # fmt: skip


def test_the_fair_price_with_fees_and_tax() -> None:
    deal = Deal(D(0), D(-5), D(2), D(100), D("0.3"), monthly=D(20))
    # (4.00 + 0.30 + 2 x 5.00 + 0.20) / (1 - 0.05 - 0.02 x 1.2) = 14.50 / 0.926 = 15.6587 net, 18.7905 with tax
    assert worth.fair_price(deal, D(4), TERMS) == D("19.00")
    # its own loss is not counted on: (4.00 + 0.30 + 0.20) / 0.926 x 1.2 = 5.8315
    assert worth.fair_price(deal._replace(each=D(5)), D(4), TERMS) == D("6.00")


def test_price_and_contribution_are_each_other_turned_round() -> None:
    # 19.00 / 1.2 = 15.8333; x 0.926 - 0.30 - 4.00
    own = known(worth.own_at(D(19), D(4), TERMS))
    assert snap(own) == snap(D(19) / D("1.2") * D("0.926") - D("4.3"))
    assert snap(known(worth.price_at(own, D(4), TERMS))) == D(19)


def test_no_price_is_enough_where_selling_takes_all() -> None:
    taken = replace(TERMS, share_net=D("0.98"))
    for figure in (worth.fair_price(TWO, D(4), taken), worth.worth_from(TWO, D(4), taken)):
        assert "takes all of the price" in gap(figure)
    assert flip(TWO, "price", price=D(19), direct=D(4), terms=taken) is None


def test_what_is_missing_of_a_channel_stays_missing() -> None:
    missing = replace(TERMS, extras=Gap("How many jars a day?"))
    assert gap(worth.fair_price(TWO, D(4), missing)) == "How many jars a day?"
    assert gap(worth.sure_from(TWO, certain(TWO), D(4), missing)) == "How many jars a day?"


def test_the_price_from_which_it_is_worth_it() -> None:
    # without a one-off something has to be left: 5.00 for the other jar, so 4.00 + 5.00 is not yet enough
    plain = Deal(D(9), D(-5), D(1), D(10), D(1))
    terms = PriceTerms()
    assert worth.worth_from(plain, D(4), terms) == D("9.01")
    assert worth.fair_price(plain, D(4), terms) == D("9.00")
    # 60 in 12 months are 5.00 a month, 0.50 a jar, and just that will do
    assert worth.worth_from(plain._replace(one_off=D(60)), D(4), terms) == D("9.50")
    # at half or all of them trading up, over the whole grid the dearer one counts
    spans = certain(plain)._replace(share=Span(D("0.5"), D("0.5"), D(1)))
    half = plain._replace(share=D("0.5"))
    assert worth.worth_from(half, D(4), terms) == D("6.51")
    assert worth.sure_from(half, spans, D(4), terms) == D("9.01")


# --- over what is not known ------------------------------------------------------------------------------------------


def test_the_grid_is_every_combination_once() -> None:
    spans = Spans(Span(D(50), D(100), D(100)), Span(D(0), D("0.5"), D(1)), Span(D(0), D(0), D(0)), (D(2), D(1)))
    found = worth.grid(TWO, spans)
    # 2 x 3 x 1 x 2 points: 50 or 100 x 7.50, 2.50, -2.50 (two replaced) or 7.50, 5.00, 2.50 (one)
    assert (found.points, found.lowest, found.likely, found.highest) == (12, D(-250), D(250), D(750))
    assert found.worth == 10
    # share: 100 x 7.50 .. -2.50; how many: 5.00 against 2.50; jars: 50 or 100 x 2.50
    assert [(one.what, one.gain_low, one.gain_high) for one in found.swings] == [
        ("share", D(750), D(-250)),
        ("times", D(500), D(250)),
        ("jars", D(125), D(250)),
    ]


def test_all_three_verdicts() -> None:
    wide = certain(TWO)._replace(share=Span(D("0.4"), D("0.5"), D("0.9")))
    assert worth.verdict(TWO, certain(TWO)).kind == "worth"
    only = worth.verdict(TWO, wide)
    assert only.kind == "only if"
    assert only.condition is not None
    # (7.50 - 0.125) / 10
    assert (only.condition.what, only.condition.at, only.condition.up) == ("share", D("0.7375"), False)
    poor = TWO._replace(own=D(2))
    assert worth.verdict(poor, certain(poor)).kind == "not"


def test_what_would_turn_it() -> None:
    deal = TWO._replace(monthly=D(50))
    terms = PriceTerms()
    price, direct = D("11.5"), D(4)  # 11.50 - 4.00 = 7.50
    found = {one.what: one for one in worth.flips(deal, price, direct, terms)}
    # 62.50 a month are wanted: 12.50 for the one-off and 50.00 for the month
    assert found["share"].at == (D("7.5") - D("0.625")) / 10
    assert found["jars"].at == D(25)  # 62.50 / 2.50
    assert found["times"].at == (D("7.5") - D("0.625")) / D("2.5")
    assert found["monthly"].at == D("237.5")  # 250 - 12.50
    assert found["one_off"].at == D(2400)  # 12 x 200
    assert found["price"].at == D("9.625")  # 4.00 + 5.00 + 0.625
    assert found["cost"].at == D("5.875")
    assert [one.up for one in (found["price"], found["jars"], found["share"], found["cost"])] == [
        True,
        True,
        False,
        False,
    ]
    nearest = [one.what for one in worth.flips(deal, price, direct, terms)]
    assert nearest[0] == "price"  # 1.875 of 11.50 is less than a sixth, the cost nearly half
    assert set(nearest) == {"price", "share", "times", "cost", "jars", "monthly", "one_off"}


def test_what_turns_it_only_beyond_what_may_be_is_not_the_condition() -> None:
    free = TWO._replace(one_off=D(0))
    spans = Spans(Span(D(10), D(100), D(2000)), Span(D("0.5"), D("0.5"), D("0.8")), Span(D(0), D(0), D(0)), (D(2),))
    found = worth.verdict(free, spans)
    # Without a cost of the month one jar gains as two thousand do; at 0.8 each loses half a jar.
    assert worth.grid(free, spans).swings[0].what == "jars"
    assert found.condition is not None
    assert (found.kind, found.condition.what, found.condition.at) == ("only if", "share", D("0.75"))


def test_no_share_below_none_or_above_all_turns_it() -> None:
    assert flip(TWO._replace(own=D(-1)), "share") is None
    assert flip(ONE, "share") is None


def test_what_costs_nothing_a_month_is_not_said_to_turn_below_nothing() -> None:
    """10 x (1.00 - 0.5 x 2 x 5.00) is 40 lost a month: 40 saved would make up for it, where something may be saved."""
    deal = Deal(D(1), D(-5), D(2), D(10), D("0.5"))
    spans = certain(deal)
    assert "monthly" not in [one.what for one in worth.verdict(deal, spans).flips]
    saving = spans._replace(monthly=Span(D(-1), D(0), D(0)))
    assert [one.at for one in worth.verdict(deal, saving).flips if one.what == "monthly"] == [D(-40)]


def test_nothing_turns_what_hangs_on_nothing() -> None:
    # each loses 1.00, all of them trade up from a jar that brings nothing: none sold gains nothing either
    assert worth.flips(Deal(D(-1), D(0), D(2), D(10), D(1))) == ()


@given(st.data())
def test_at_a_turn_it_turns(data: st.DataObject) -> None:
    money = st.decimals(-20, 20, places=2)
    deal = Deal(
        data.draw(money), data.draw(money), data.draw(st.decimals("0.1", 4, places=2)),
        data.draw(st.decimals(1, 200, places=0)), data.draw(st.decimals(0, 1, places=2)),
        data.draw(st.decimals(0, 50, places=2)), data.draw(st.decimals(0, 500, places=2)),
    )  # fmt: skip
    step = D("0.0001")
    for one in worth.flips(deal):
        near = step * max(abs(one.at), D(1))
        better, worse = (one.at + near, one.at - near) if one.up else (one.at - near, one.at + near)
        assert worth.is_worth(deal._replace(**{one.what: better})), one
        assert not worth.is_worth(deal._replace(**{one.what: worse})), one


@given(st.decimals(0, 50, places=2), st.decimals(-10, 10, places=2), st.decimals("0.1", 4, places=2),
       st.decimals(1, 300, places=0), st.decimals(0, 50, places=2))  # fmt: skip
def test_at_the_break_even_share_the_gain_is_nothing(
    own: Decimal, each: Decimal, times: Decimal, jars: Decimal, monthly: Decimal
) -> None:
    deal = Deal(own, each, times, jars, D(0), monthly)
    share = worth.break_even_share(deal)
    if isinstance(share, Decimal):
        assert snap(worth.gain(deal._replace(share=share))) == 0
    else:
        assert each >= 0
        ends = [snap(worth.gain(deal._replace(share=end))) for end in (D(0), D(1))]
        assert min(ends) >= 0 or max(ends) < 0


@given(st.decimals(0, 30, places=2), st.decimals(-10, 10, places=2), st.decimals("0.1", 4, places=2),
       st.decimals(1, 300, places=0), st.decimals(0, 50, places=2))  # fmt: skip
def test_at_the_fair_price_full_trade_up_loses_nothing_and_one_ending_lower_loses(
    direct: Decimal, each: Decimal, times: Decimal, jars: Decimal, monthly: Decimal
) -> None:
    deal = Deal(D(0), each, times, jars, D(1), monthly)
    fair = known(worth.fair_price(deal, direct, TERMS))

    def at(price: Decimal) -> Decimal:
        counted = deal._replace(own=known(worth.own_at(price, direct, TERMS)), each=min(each, D(0)))
        return snap(worth.gain(counted))

    assert at(fair) >= 0
    assert fair == D("0.50") or at(fair - D("0.50")) < 0


@given(st.integers(1, 1000), st.decimals(0, 50, places=2), st.decimals(-10, 10, places=2), st.decimals(0, 1, places=2),
       st.decimals(0, 500, places=2))  # fmt: skip
def test_all_money_times_so_much_changes_no_answer(
    factor: int, own: Decimal, each: Decimal, share: Decimal, one_off: Decimal
) -> None:
    deal = Deal(own, each, D(2), D(30), share, D(5), one_off)
    spans = Spans(Span(D(10), D(30), D(60)), Span(D(0), share, D(1)), Span(D(5), D(5), D(5)), (D(2), D(1)))
    more = Deal(own * factor, each * factor, D(2), D(30), share, D(5) * factor, one_off * factor)
    wider = spans._replace(monthly=Span(*(one * factor for one in spans.monthly)))
    one, other = worth.verdict(deal, spans), worth.verdict(more, wider)
    assert one.kind == other.kind
    assert worth.grid(deal, spans).worth == worth.grid(more, wider).worth


@given(
    st.decimals(0, 40, places=2), st.decimals(0, 5, places=2), st.decimals(0, 1, places=2), st.decimals(0, 1, places=2)
)
def test_a_higher_price_is_never_worse_and_more_trading_up_never_better(
    price: Decimal, more: Decimal, share: Decimal, further: Decimal
) -> None:
    base = Deal(D(0), D(-5), D(2), D(30), share, D(10), D(60))

    def at(price: Decimal, share: Decimal) -> Deal:
        return base._replace(own=known(worth.own_at(price, D(4), TERMS)), share=share)

    assert worth.gain(at(price + more, share)) >= worth.gain(at(price, share))
    assert worth.is_worth(at(price + more, share)) or not worth.is_worth(at(price, share))
    low, high = sorted((share, further))
    assert worth.gain(at(price, high)) <= worth.gain(at(price, low))
    assert worth.is_worth(at(price, low)) or not worth.is_worth(at(price, high))


@given(st.decimals(0, 40, places=2), st.decimals(0, 1, places=2), st.decimals(0, 400, places=2))
def test_it_is_worth_it_from_the_price_that_is_said_and_not_an_ending_below(
    direct: Decimal, share: Decimal, one_off: Decimal
) -> None:
    deal = Deal(D(0), D(-5), D(2), D(30), share, D(10), one_off)
    spans = Spans(Span(D(10), D(30), D(60)), Span(D(0), share, D(1)), Span(D(10), D(10), D(20)), (D(2), D(1)))
    likely, sure = (
        known(one) for one in (worth.worth_from(deal, direct, TERMS), worth.sure_from(deal, spans, direct, TERMS))
    )

    def at(price: Decimal) -> Deal:
        return deal._replace(own=known(worth.own_at(price, direct, TERMS)))

    assert worth.is_worth(at(likely))
    assert likely == D("0.50") or not worth.is_worth(at(likely - D("0.50")))
    assert worth.verdict(at(sure), spans).kind == "worth"
    assert worth.verdict(at(sure - D("0.50")), spans).kind != "worth"


# --- buyers, counted one by one --------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(200))
def test_buyers_who_are_counted_bring_the_same(seed: int) -> None:
    rng = Random(seed)
    small, big = (Fraction(rng.randint(-300, 1500), 100) for _ in range(2))
    many = rng.randint(1, 60)
    trade_up = rng.randint(0, many)
    instead = rng.choice([Fraction(1, 2), Fraction(1), Fraction(2), Fraction(5, 2)])
    monthly, one_off = Fraction(rng.randint(0, 4000), 100), Fraction(rng.randint(0, 30000), 100)
    path = buyers.gained(small, big, many, trade_up, instead, monthly, 24, one_off)
    deal = Deal(
        _exact(big), -_exact(small), _exact(instead), D(many), D(trade_up) / many, _exact(monthly), _exact(one_off)
    )  # fmt: skip
    assert snap(worth.gain(deal)) == snap(_exact(path[1] - path[0]))
    assert worth.is_worth(deal) is (path[12] >= 0 and path[12] > path[0])
    told = cash(deal, (), 24)
    assert all(snap(month.so_far) == snap(_exact(path[month.month])) for month in told.months)
    back = buyers.month_it_is_back(path)
    assert told.paid_back == (back if back is None or back <= told.months[-1].month else None)
    assert back is None or told.paid_back == back
    if isinstance(months := worth.months(deal), Decimal) and one_off:
        assert (back is None and months > 24) or (back is not None and back - 1 < months <= back)


def _exact(amount: Fraction) -> Decimal:
    return D(amount.numerator) / D(amount.denominator)


# --- cash ------------------------------------------------------------------------------------------------------------


def test_cash_month_by_month() -> None:
    """Twenty a month that bring 4.00, of which the jar bears 0.50; fifty jars are bought at a time for 25.00."""
    deal = Deal(D(4), D(-2), D(1), D(20), D("0.5"), D(6), D(100))
    found = cash(deal, [(D(1), D(50), D(25), D("0.5"))], 6)
    # 20 x 4.50 come in; 20 x 0.5 x 2.00 and 6.00 go out: 64.00 a month. In the third month the jars would run out.
    assert [(one.cash_in, one.cash_out, one.so_far) for one in found.months] == [
        (D(0), D(125), D(-125)),
        (D(90), D(26), D(-61)),
        (D(90), D(26), D(3)),
        (D(90), D(51), D(42)),
        (D(90), D(26), D(106)),
        (D(90), D(26), D(170)),
        (D(90), D(51), D(209)),
    ]
    assert (found.paid_back, found.deepest) == (2, D(-125))


def test_a_part_is_bought_as_often_as_a_month_needs_it() -> None:
    # 30 jars with two lids each, 5 % spoiled: 63 lids a month in bags of 20
    found = cash(Deal(D(1), D(0), D(1), D(30), D(0)), [(D("2.1"), D(20), D(3), D("0.315"))], 2)
    # 43 are lacking in the first month: three bags, of which 17 are left; 46 in the second
    assert [one.cash_out for one in found.months] == [D(3), D(9), D(9)]


def test_what_is_never_back_is_not_back() -> None:
    found = cash(TWO._replace(share=D(1)), (), 36)
    assert (found.paid_back, len(found.months)) == (None, 37)
    assert isinstance(found, Cash)
    assert found.deepest == found.months[-1].so_far == D(-150) - 36 * D(250)


def test_cash_goes_on_a_year_and_some_months_beyond_the_pay_back() -> None:
    assert len(cash(TWO, ()).months) == 13
    slow = TWO._replace(one_off=D(5000))  # 250 a month: twenty months
    assert cash(slow, ()).paid_back == 20
    assert len(cash(slow, ()).months) == 24
