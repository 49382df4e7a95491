"""What turns whether another size is worth it, and from which price it is: against trying it out, in fractions.

Nothing here uses the formulas: a price is tried and the one below it, and values at the ends of what can be.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any, NamedTuple

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests import buyers, examples
from webapp.costing import worth
from webapp.costing.channels import PriceTerms
from webapp.costing.deal_facts import Deal, Flip, Span, Spans
from webapp.costing.endings import read_endings
from webapp.costing.gaps import Gap, Ref

D, F = Decimal, Fraction
#: method.md section 8: 60 g contributes 5.00, 120 g 7.50, a hundred are expected, 150 is paid once
TWO = Deal(D("7.5"), D(-5), D(2), D(100), D("0.5"), one_off=D(150))
#: 20 % tax in it, 2 % of what is paid, 5 % of the net, 0.30 a jar; prices end on .00 or .50
TERMS = PriceTerms(
    channel=7, tax="in", rate=D("0.2"), share_paid=D("0.02"), share_net=D("0.05"), extras=D("0.3"),
    endings=read_endings(".00 .50", None, "GBP"),  # type: ignore[arg-type]
)  # fmt: skip
#: the same without tax, and prices in steps of 5
STEPS = PriceTerms(extras=D("0.3"), endings=read_endings("", D(5), "GBP"))  # type: ignore[arg-type]

#: the tax of the first is added to the price at the till
ADDED = replace(TERMS, tax="added")

money = st.decimals(-20, 20, places=2)
deals = st.builds(
    Deal,
    own=money,
    each=money | st.just(D(0)),
    times=st.decimals("0.1", 4, places=2),
    jars=st.decimals(0, 200, places=0),
    share=st.decimals(0, 1, places=2),
    monthly=st.decimals(0, 50, places=2) | st.just(D(0)),
    one_off=st.decimals(0, 500, places=2) | st.just(D(0)),
    within=st.sampled_from([D(1), D(7), D(12)]),
)


def in_fractions(deal: Deal) -> bool:
    """Worth it: it gains, and the one-off is back in time."""
    own, each, times, jars, share, monthly, one_off, within = (F(one) for one in deal)
    gain = sum((own, share * times * each), F(0)) * jars - monthly
    return gain > 0 and gain * within >= one_off


def turning(deal: Deal, **sold: Any) -> dict[str, Flip]:
    return {one.what: one for one in worth.flips(deal, **sold)}


def likely(deal: Deal, **wide: Span) -> Spans:
    jars, share, monthly = (Span(one, one, one) for one in (deal.jars, deal.share, deal.monthly))
    return Spans(jars, share, monthly, (deal.times,))._replace(**wide)


# --- what turns it ---------------------------------------------------------------------------------------------------

#: what each thing can be at least and at most, and next to it
REACH = {
    "share": (D(0), D("1e-9"), 1 - D("1e-9"), D(1)),
    "jars": (D(0), D("1e-9"), D(10) ** 12),
    "times": (D(0), D("1e-9"), D(10) ** 12),
    "monthly": (D(0), D("1e-9"), D(10) ** 12),
    "one_off": (D(0), D("1e-9"), D(10) ** 12),
}


@settings(max_examples=examples.of(300))
@given(deals)
def test_what_is_said_to_turn_it_does_and_nothing_else_can(deal: Deal) -> None:
    """Its answers at the ends of what can be differ just where a turn is told, and there it is as wanted."""
    found = turning(deal)
    for what, ends in REACH.items():
        answers = {in_fractions(deal._replace(**{what: end})) for end in ends}
        assert (what in found) is (len(answers) == 2), (what, answers)
        if what in found:
            one = found[what]
            at = worth.gain(deal._replace(**{what: one.at}))
            owed = one.at if what == "one_off" else deal.one_off
            assert abs(at * deal.within - owed) < D("1e-30")
            assert in_fractions(deal._replace(**{what: ends[-1]})) is one.up
            assert one.now == getattr(deal, what)


@settings(max_examples=examples.of(200))
@given(deals, st.decimals(0, 40, places=2), st.decimals(0, 30, places=2))
def test_price_and_cost_turn_it_where_it_just_gains_what_is_wanted(deal: Deal, price: Decimal, direct: Decimal) -> None:
    own = worth.own_at(price, direct, TERMS)
    assert isinstance(own, Decimal)
    deal = deal._replace(own=own)
    found = turning(deal, price=price, direct=direct, terms=TERMS)
    if not deal.jars:
        assert not {"price", "cost"} & set(found)
        return
    for what, ends in (("price", (D(0), D("1e-9"), D(10) ** 12)), ("cost", (D(0), D("1e-9"), D(10) ** 12))):
        answers = []
        for end in ends:
            at = (end, direct) if what == "price" else (price, end)
            net = F(at[0]) / F(6, 5)
            exact = net * (1 - F(5, 100) - F(2, 100) * F(6, 5)) - F(3, 10) - F(at[1])
            answers.append(_worth_at(deal, exact))
        assert (what in found) is (len(set(answers)) == 2), (what, answers)
        if what in found:
            assert found[what].up is (what == "price")
            there = (found[what].at, direct) if what == "price" else (price, found[what].at)
            own = worth.own_at(*there, TERMS)
            assert isinstance(own, Decimal)
            assert abs(worth.gain(deal._replace(own=own)) * deal.within - deal.one_off) < D("1e-30")


def _worth_at(deal: Deal, own: Fraction) -> bool:
    gain = F(deal.jars) * (own + F(deal.share) * F(deal.times) * F(deal.each)) - F(deal.monthly)
    return gain > 0 and gain * F(deal.within) >= F(deal.one_off)


def test_sixty_percent_where_the_one_off_must_come_back_out_of_those_hundred() -> None:
    turn = turning(TWO._replace(within=D(1)))["share"]
    assert (turn.at, turn.up) == (D("0.6"), False)
    assert turning(TWO._replace(one_off=D(0)))["share"].at == D("0.75")
    # (7.50 - 1.50) / 5.00 is more than all of them
    assert "share" not in turning(TWO._replace(within=D(1), times=D(1)))


@pytest.mark.parametrize(
    ("own", "each", "one_off", "turns"),
    [
        # all of them trading up gain just nothing: not worth it at that one share
        (5, -5, 0, True),
        # all of them, and just what was paid once: worth it at every share
        (6, -5, 10, False),
        # all of them make up for the loss, and gain nothing: never worth it
        (-5, 5, 0, False),
        # all of them make up for it, and for what was paid once: at that one share
        (-4, 5, 10, True),
    ],
)
def test_at_all_of_them_it_turns_where_just_that_has_the_other_answer(
    own: int, each: int, one_off: int, turns: bool
) -> None:
    deal = Deal(D(own), D(each), D(1), D(10), D("0.5"), D(0), D(one_off), D(1))
    assert ("share" in turning(deal)) is turns
    answers = {in_fractions(deal._replace(share=share)) for share in (D(0), D("0.5"), D("0.999999"), D(1))}
    assert (len(answers) == 2) is turns


def test_tax_that_is_added_at_the_till_is_not_in_the_price() -> None:
    """(4.00 + 0.30 + 10.00) / (1 - 0.05 - 0.02 x 1.2) = 15.4428 net, and so on the tag."""
    exact = worth.price_at(D(10), D(4), ADDED)
    assert isinstance(exact, Decimal)
    assert f"{exact:.4f}" == "15.4428"
    assert worth.own_at(exact, D(4), ADDED) == D(10)
    assert worth.fair_price(TWO, D(4), ADDED) == D("15.50")


def test_just_enough_is_enough_though_it_is_a_third() -> None:
    """A hundred in three months are 33.33... a month: no digit cut off makes that too little."""
    third = Deal(D(100) / 3, D(0), D(1), D(1), D(0), one_off=D(100), within=D(3))
    assert worth.is_worth(third)
    assert worth.is_worth(third._replace(own=D(100) / 7, within=D(7)))
    assert not worth.is_worth(third._replace(own=D("33.3333333")))
    assert worth.months(third) == 3


def test_what_is_nothing_but_for_the_last_digit_is_nothing() -> None:
    """Three thirds less one: what dividing leaves is no contribution, and no slope."""
    dust = D(1) / 3 * 3 - 1
    assert dust
    beside = Deal(D(2), dust, D(1), D(10), D("0.5"), D(4))
    assert "No share limits this" in _reason(worth.break_even_share(beside))
    assert "No share is enough" in _reason(worth.break_even_share(beside._replace(own=D("0.3"))))
    assert isinstance(worth.break_even_share(beside, beyond=True), Gap)
    assert not {"share", "times"} & set(turning(beside))
    even = Deal(dust, D(0), D(1), D(10), D(0))
    assert worth.flips(even) == ()
    assert not worth.is_worth(even)
    assert isinstance(worth.months(even), Gap)


def _reason(figure: Any) -> str:
    assert isinstance(figure, Gap), figure
    return figure.reason


def test_nothing_is_never_less_than_nothing() -> None:
    """Decimals know a -0, which would be shown with its sign."""
    none = Deal(D(-2), D(-5), D(1), D(0), D("0.5"))
    assert str(worth.gain(none)) == "0"
    assert str(worth.break_even_share(Deal(D(0), D(-5), D(1), D(10), D("0.5")))) == "0"
    # ten that bring 1.00 just pay 120 back in twelve months: whatever a month costs is too much
    just = Deal(D(1), D(0), D(1), D(10), D(0), one_off=D(120))
    assert str(turning(just)["monthly"].at) == "0"


def test_what_is_saved_a_month_turns_a_size_less() -> None:
    """It contributes 2.00, five a month, and half its buyers bring 1.00 back: 7.50 have to be saved."""
    less = Deal(D(-2), D(1), D(1), D(5), D("0.5"))
    assert "monthly" not in turning(less)
    assert turning(less, saves=True)["monthly"].at == D("-7.5")
    assert turning(less._replace(monthly=D(-1)))["monthly"][1:4] == (D(-1), D("-7.5"), False)
    found = worth.verdict(less, likely(less, monthly=Span(D(-9), D(0), D(0))))
    assert (found.kind, found.condition) == ("only if", turning(less, saves=True)["monthly"])
    # no share of its buyers is enough while nothing is saved; of 2.00 lost each, 0.60 more saved each would do
    assert isinstance(worth.break_even_share(less), Gap)
    assert worth.break_even_share(less._replace(monthly=D(-8))) == D("0.4")


def test_a_case_may_have_to_sell_more_than_twice_as_many_jars_or_may_sell_fewer() -> None:
    """Each brings 6.00 less than its jars now, one more 4.00: 150 % more. Where each brings 1.00 more: 25 % fewer."""
    case = Deal(D(-6), D(4), D(1), D(5), D("0.5"))
    assert worth.break_even_share(case, beyond=True) == D("1.5")
    assert worth.break_even_share(case._replace(own=D(1)), beyond=True) == D("-0.25")
    assert isinstance(worth.break_even_share(case), Gap)
    assert isinstance(worth.break_even_share(case._replace(each=D(0)), beyond=True), Gap)


def test_what_is_nothing_now_comes_last_and_says_why_it_has_no_distance() -> None:
    found = worth.flips(Deal(D(4), D(-5), D(1), D(10), D(0)))
    # 0.80 of the buyers, 40.00 a month, 480.00 once; at no jar there is nothing to gain
    assert [(one.what, one.at) for one in found] == [
        ("jars", 0), ("share", D("0.8")), ("monthly", D(40)), ("one_off", D(480))
    ]  # fmt: skip
    assert found[0].far == 1
    assert all(isinstance(one.far, Gap) for one in found[1:])


def test_a_size_less_or_a_case_has_no_price() -> None:
    found = worth.verdict(TWO, likely(TWO))
    assert {one.what for one in found.flips} == {"share", "jars", "times", "monthly", "one_off"}
    assert isinstance(found.worth_from, Gap)
    assert isinstance(found.sure_from, Gap)


# --- the condition ---------------------------------------------------------------------------------------------------


def test_where_only_several_things_together_turn_it_none_is_the_condition() -> None:
    """10 x (3.00 - u x 5.00) - f: at 0.5 and 4.00 it gains 1.00; only 0.55 and 5.00 together lose."""
    deal = Deal(D(3), D(-5), D(1), D(10), D("0.5"), D(4))
    spans = likely(deal, share=Span(D("0.5"), D("0.5"), D("0.51")), monthly=Span(D(4), D(4), D("4.6")))
    found = worth.verdict(deal, spans)
    assert worth.grid(deal, spans).worth == 3  # of four: 1.00, 0.40, 0.50, -0.10
    assert (found.kind, found.condition) == ("only if", None)
    alone = worth.verdict(deal, likely(deal, share=Span(D("0.5"), D("0.5"), D("0.7"))))
    assert alone.condition is not None
    assert (alone.condition.what, alone.condition.at) == ("share", D("0.52"))


def test_of_two_that_turn_it_the_one_it_hangs_on_most_is_the_condition() -> None:
    deal = Deal(D(3), D(-5), D(1), D(10), D("0.5"), D(4))
    spans = likely(deal, share=Span(D("0.4"), D("0.5"), D("0.6")), monthly=Span(D(2), D(4), D(30)))
    found = worth.verdict(deal, spans)  # ten for the share, twenty-eight for the month
    assert found.condition is not None
    assert found.condition.what == "monthly"


# --- prices tried out ------------------------------------------------------------------------------------------------


def contributes(price: Fraction, direct: Fraction, terms: PriceTerms) -> Fraction:
    """Of a marked price what is left after tax, shares, the channel's costs and the jar."""
    net = price / (1 + F(terms.rate)) if terms.tax == "in" else price
    kept = F(terms.share_net) * net + F(terms.share_paid) * net * (1 + F(terms.rate))
    assert isinstance(terms.extras, Decimal)
    return net - kept - F(terms.extras) - direct


def is_lowest(found: Any, step: Fraction, fits: Callable[[Fraction], bool]) -> bool:
    """Whether it is the first of the prices that fits; the dearer, the better."""
    price = F(found)
    return price % step == 0 and fits(price) and (price == step or not fits(price - step))


class Stand(NamedTuple):
    """What is drawn: a jar's direct cost, the other jar, who buys, and what a month and the start cost."""

    direct: Decimal
    small: Decimal
    instead: Decimal
    many: int
    trade_up: int
    monthly: Decimal
    one_off: Decimal


stands = st.builds(
    Stand,
    direct=st.decimals(0, 15, places=2),
    small=money,
    instead=st.decimals("0.1", 3, places=1),
    many=st.integers(1, 40),
    trade_up=st.integers(0, 40),
    monthly=st.decimals(0, 30, places=2),
    one_off=st.decimals(0, 300, places=2) | st.just(D(0)),
)


@settings(max_examples=examples.of(100))
@given(stands, st.sampled_from([(TERMS, F(1, 2)), (ADDED, F(1, 2)), (STEPS, F(5))]))
def test_the_first_price_at_which_the_till_holds_more(drawn: Stand, channel: tuple[PriceTerms, Fraction]) -> None:
    """Buyers are counted at that price and at the one below."""
    (terms, step), many, trade_up = channel, drawn.many, min(drawn.trade_up, drawn.many)

    def path(price: Fraction, trade_up: int, small: Decimal, one_off: Decimal) -> list[Fraction]:
        big = contributes(price, F(drawn.direct), terms)
        return buyers.gained(
            F(small), big, many, trade_up, F(drawn.instead), F(drawn.monthly), 12, F(one_off)
        )  # fmt: skip

    def is_worth(price: Fraction) -> bool:
        till = path(price, trade_up, drawn.small, drawn.one_off)
        return till[12] >= 0 and till[12] > till[0]

    def loses_nothing(price: Fraction) -> bool:
        return path(price, many, max(drawn.small, D(0)), D(0))[12] >= 0

    share = D(trade_up) / many
    deal = Deal(D(0), -drawn.small, drawn.instead, D(many), share, drawn.monthly, drawn.one_off)
    assert is_lowest(worth.worth_from(deal, drawn.direct, terms), step, is_worth)
    assert is_lowest(worth.fair_price(deal, drawn.direct, terms), step, loses_nothing)


def spans_of(low: int, high: int, part: int = 1) -> st.SearchStrategy[Span]:
    return st.tuples(*[st.integers(low, high)] * 3).map(lambda three: Span(*(D(one) / part for one in sorted(three))))


@settings(max_examples=examples.of(100))
@given(deals, st.decimals(0, 15, places=2), spans_of(1, 60), spans_of(0, 100, 100), spans_of(0, 30))
def test_the_first_price_at_which_every_point_is_worth_it(
    drawn: Deal, direct: Decimal, jars: Span, share: Span, monthly: Span
) -> None:
    """All combinations are tried, also where the other jar loses, so that more trading up is better."""
    deal = drawn._replace(jars=jars.likely, share=share.likely, monthly=monthly.likely)
    every = set(product(jars, share, monthly, (deal.times, D(1))))

    def fitting(own: Fraction) -> int:
        """At how many points it is worth it."""
        points = (deal._replace(jars=j, share=u, monthly=f, times=r) for j, u, f, r in every)
        return sum(_worth_at(point, own) for point in points)

    spans = Spans(jars, share, monthly, (deal.times, D(1)))
    sure = worth.sure_from(deal, spans, direct, TERMS)
    assert is_lowest(sure, F(1, 2), lambda price: fitting(contributes(price, F(direct), TERMS)) == len(every))
    found = worth.grid(deal, spans)
    assert (found.points, found.worth) == (len(every), fitting(F(deal.own)))
    assert found.points == len(list(worth.points(deal, spans)))
    kind = "not" if not found.worth else "worth" if found.worth == len(every) else "only if"
    assert worth.verdict(deal, spans).kind == kind


def test_where_no_price_is_too_low_the_lowest_that_it_may_have_is_named() -> None:
    """The other jar loses 9.00 each, so that every one that trades up helps."""
    helped = Deal(D(0), D(9), D(2), D(10), D(1))
    assert worth.price_at(D(-18), D(2), STEPS) == D("-15.7")
    assert worth.worth_from(helped, D(2), STEPS) == D(5)
    assert worth.worth_from(helped, D(2), TERMS) == D("0.50")
    # fair: nothing is counted on, and the channel pays for the jar itself
    assert worth.fair_price(helped, D("0.1"), PriceTerms(extras=D(-2), endings=STEPS.endings)) == D(5)


def test_where_none_is_sold_only_what_is_saved_can_be_worth_it() -> None:
    none = TWO._replace(jars=D(0), one_off=D(0))
    assert isinstance(worth.worth_from(none, D(3), TERMS), Gap)
    assert isinstance(worth.sure_from(TWO, likely(TWO, jars=Span(D(0), D(100), D(100))), D(3), TERMS), Gap)
    assert worth.worth_from(none._replace(monthly=D(-1)), D(3), TERMS) == D("0.50")


def test_where_the_channel_takes_all_the_shares_are_named_as_what_cures_it() -> None:
    taken = PriceTerms(channel=7, share_net=D(1))
    found = worth.price_at(D(1), D(1), taken)
    assert isinstance(found, Gap)
    assert found.cure == Ref("channel", 7, "share_paid")
    assert worth.own_at(D(100), D(4), taken) == D(-4)


def test_endings_that_cannot_be_used_are_the_reason() -> None:
    wrong = PriceTerms(endings=Gap("One of the endings can't be used."))
    for found in (worth.fair_price(TWO, D(4), wrong), worth.worth_from(TWO, D(4), wrong),
                  worth.sure_from(TWO, likely(TWO), D(4), wrong)):  # fmt: skip
        assert found == Gap("One of the endings can't be used.")
    # where it turns needs no ending
    assert turning(TWO, price=D(12), direct=D(4), terms=wrong)["price"].at == D("9.125")


@pytest.mark.parametrize("factor", [D(2), D("0.5"), D(3)])
def test_grams_and_prices_scaled_together_change_no_answer(factor: Decimal) -> None:
    """Both jars so much bigger and dearer, what is paid once and a month too: the same share, months and verdict."""
    deal = TWO._replace(monthly=D(20))
    more = deal._replace(own=deal.own * factor, each=deal.each * factor, monthly=deal.monthly * factor,
                         one_off=deal.one_off * factor)  # fmt: skip
    assert worth.break_even_share(more) == worth.break_even_share(deal) == D("0.73")
    assert worth.months(more) == worth.months(deal)
    wide = likely(deal, share=Span(D("0.3"), D("0.5"), D("0.9")))
    wider = likely(more, share=wide.share)
    one, other = worth.verdict(deal, wide), worth.verdict(more, wider)
    assert (one.kind, one.condition) == (other.kind, other.condition)


def test_what_turns_it_only_together_on_paper() -> None:
    """100 x (7.50 - 0.5 x 10) - 200 = 50. Ninety: 25; 53 %: 20; both: 90 x 2.20 - 200 = -2. Nothing turns it alone."""
    deal = TWO._replace(monthly=D(200), one_off=D(0))
    even = Span(D(200), D(200), D(200))
    spans = Spans(Span(D(90), D(100), D(110)), Span(D("0.4"), D("0.5"), D("0.53")), even, (D(2),))
    found = worth.verdict(deal, spans)
    assert (found.kind, found.condition) == ("only if", None)
    assert dict(found.together) == {"share": D("0.53"), "jars": D(90)}
    # and from the other side: at 260 a month both have to come together to make it worth it
    short = deal._replace(monthly=D(300))
    other = spans._replace(jars=Span(D(100), D(100), D(115)), share=Span(D("0.46"), D("0.5"), D("0.5")))
    found = worth.verdict(short, other._replace(monthly=Span(D(300), D(300), D(300))))
    assert (found.kind, found.condition) == ("only if", None)
    assert dict(found.together) == {"share": D("0.46"), "jars": D(115)}


#: of no jars the share alone moves nothing, and so it does with more of them
NONE_SOLD = Deal(D("0.01"), D(-10), D("0.1"), D(0), D("0.01"), D(0), D(0), D(1))


@settings(max_examples=examples.of(200), deadline=None)
@example(NONE_SOLD, [D(0), D("0.01"), D("0.01"), D(0), D(0), D(0)], False)
@given(deals, st.lists(money.map(abs), min_size=6, max_size=6), st.booleans())
def test_no_fewer_things_together_turn_it(deal: Deal, off: list[Decimal], two: bool) -> None:
    by = [one / 20 for one in off]
    spans = Spans(
        Span(max(deal.jars - off[0], D(0)), deal.jars, deal.jars + off[1]),
        Span(max(deal.share - by[2], D(0)), deal.share, min(deal.share + by[3], D(1))),
        Span(max(deal.monthly - off[4], D(0)), deal.monthly, deal.monthly + off[5]),
        (deal.times, D(1)) if two else (deal.times,),
    )
    found = worth.together(deal, spans)
    ends = {
        **{name: (getattr(spans, name).low, getattr(spans, name).high) for name in ("jars", "share", "monthly")},
        "times": (min(spans.times), max(spans.times)),
    }
    likely = in_fractions(deal)
    turned = [
        len(moved)
        for chosen in product(*((None, low, high) for low, high in ends.values()))
        if (moved := {name: one for name, one in zip(ends, chosen, strict=True) if one is not None}) is not None
        and in_fractions(deal._replace(**moved)) is not likely
    ]
    assert len(found) == min(turned, default=0)
    if found:
        assert in_fractions(deal._replace(**dict(found))) is not likely


def test_where_nothing_can_be_otherwise_nothing_turns_it() -> None:
    sure = Spans(Span(D(100), D(100), D(100)), Span(D("0.5"), D("0.5"), D("0.5")), Span(D(0), D(0), D(0)), (D(2),))
    assert worth.together(TWO, sure) == ()
