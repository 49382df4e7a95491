"""A price through a channel: both ways, at its endings, against its target, and worked back from."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from webapp.costing import prices
from webapp.costing.amounts import snap, unit_of
from webapp.costing.book import Book, Channel, Person, Registration, SellingTime, Terms, Wage, Workshop
from webapp.costing.channels import PriceTerms, channel_terms
from webapp.costing.endings import Endings, Unusable, next_ending, read_endings
from webapp.costing.gaps import Figure, Gap, Ref

D = Decimal
F = Fraction
DAY = date(2026, 11, 25)
OWN = Person(1, "Ida", "own", Wage(DAY, D(12)))
HIRED = Person(2, "Jo", "hired", Wage(DAY, D(10), D(20)))
UNPRICED = Person(3, "Kim", "own")


def book(**changes: Any) -> Book:
    facts: dict[str, Any] = {"people": {one.id: one for one in (OWN, HIRED, UNPRICED)}, "terms": Terms(target=D(40))}
    return Book(DAY, **{**facts, **changes})


def terms(kind: str, **typed: Any) -> PriceTerms:
    return channel_terms(book(), Channel(7, "Here", DAY, kind, **typed))


def endings(text: str, currency: str = "EUR", step: str = "") -> Endings:
    read = read_endings(text, D(step) if step else None, currency)
    assert isinstance(read, Endings), read
    return read


def known(figure: Figure) -> D:
    assert isinstance(figure, D), figure
    return figure


def missing(figure: Figure) -> Gap:
    assert isinstance(figure, Gap), figure
    return figure


def margin_at(price: D, cost: D, channel: PriceTerms) -> D:
    net = prices.net_of(price, channel)
    return known(prices.margin(net, cost, known(prices.fees_at(net, channel))))


# --- one of each kind of channel, reckoned by hand -------------------------------------------------------------------


def test_a_stall_bears_its_pitch_and_its_hours() -> None:
    stall = terms(
        "stall", tax="in", tax_rate=D(20), share_paid=D(2), pitch=D(30), jars_a_day=D(20),
        work=(SellingTime(1, per_day=D(5)),), endings=".50 .95",
    )  # fmt: skip
    assert (stall.extras, stall.labour, stall.labour_own, stall.own_minutes) == (D("1.5"), D(3), D(3), D(15))
    cost = D(4) + known(stall.labour)
    # (7 + 1.50) / (1 - 0.40 - 0.02 x 1.2) = 14.756944…; with the tax 17.708333…
    assert known(prices.price_for(cost, D("0.4"), stall)).quantize(D("0.000001")) == D("17.708333")
    assert prices.suggest(cost, D("0.4"), stall) == D("17.95")
    # 17.95 / 1.2 = 14.958333…; kept 0.359; left 14.958333 - 7 - 1.859 = 6.099333…
    assert known(prices.fees_at(prices.net_of(D("17.95"), stall), stall)) == D("1.859")
    assert margin_at(D("17.95"), cost, stall).quantize(D("0.00001")) == D("0.40775")
    # (7 + 1.50) x 1.2 / 0.976 = 10.450819…, shown rounded up
    assert prices.floor(cost, stall) == D("10.46")


def test_an_own_web_shop_pays_and_charges_postage() -> None:
    shop = terms(
        "web shop", tax="in", tax_rate=D(20), share_paid=D("1.4"), fee=D("0.25"), fee_tax=D(20), jars_per_order=D(2),
        carton=D("0.60"), postage=D("3.50"), postage_charged=D("2.40"), work=(SellingTime(2, per_order=D(10)),),
    )  # fmt: skip
    # 0.25 x 1.2 + 0.60 + 3.50 - 2.40 / 1.2 + 0.0168 x 2.40 = 2.44032, for two jars
    assert (shop.per_order, shop.extras) == (D("2.44032"), D("1.22016"))
    # 5 minutes a jar at 10 an hour with 20 % on it; not her own
    assert (shop.labour, shop.labour_hired, shop.labour_own, shop.own_minutes) == (D(1), D(1), D(0), D(0))
    # (6 + 1.22016) x 1.2 / (1 - 0.4 - 0.02016) = 14.94240…
    assert prices.suggest(D(6), D("0.4"), shop) == D("14.95")


def test_tax_on_what_the_channel_keeps_is_no_cost_when_it_is_reclaimed() -> None:
    typed = Channel(7, "Here", DAY, "web shop", share_paid=D(10), share_net=D(5), fee=D("0.50"), fee_tax=D(20))
    bears = channel_terms(book(), typed)
    reclaims = channel_terms(book(registrations=(Registration(date(2026, 1, 1), registered=True),)), typed)
    later = channel_terms(book(registrations=(Registration(date(2027, 1, 1), registered=True),)), typed)
    assert (bears.share_paid, bears.share_net, bears.extras) == (D("0.12"), D("0.06"), D("0.60"))
    assert (reclaims.share_paid, reclaims.share_net, reclaims.extras) == (D("0.10"), D("0.05"), D("0.50"))
    assert later == bears


def test_a_marketplace_takes_shares_of_both_prices() -> None:
    market = terms("marketplace", share_paid=D(8), share_net=D(2), fee=D("0.20"), endings=".00 .50")
    assert prices.price_for(D(5), D("0.4"), market) == D("10.4")  # 5.20 / (1 - 0.4 - 0.10)
    assert prices.suggest(D(5), D("0.4"), market) == D("10.50")
    assert margin_at(D("10.50"), D(5), market) == D("4.25") / D("10.50")


def test_wholesale_adds_the_tax_and_names_the_shop_price() -> None:
    trade = terms(
        "wholesale", tax="added", tax_rate=D(20), jars_per_order=D(12), carton=D(6), step=D("0.05"),
        work=(SellingTime(1, per_order=D(30)),), stockist_margin=D(50), stockist_tax=D(20),
    )  # fmt: skip
    cost = D(4) + known(trade.labour)
    assert (cost, trade.extras) == (D("4.5"), D("0.5"))
    assert prices.suggest(cost, D("0.25"), trade) == D("6.70")  # 5 / 0.75 = 6.666…, by steps of 0.05
    assert prices.paid(D("6.70"), trade) == D("8.04")
    assert prices.net_of(D("6.70"), trade) == D("6.70")
    assert prices.recommended_retail(D("6.70"), trade.stockist_margin, trade.stockist_tax) == D("16.08")


def test_consignment_is_a_share_of_the_shelf_price_or_of_the_net_price() -> None:
    of_shelf = terms("consignment", tax="in", tax_rate=D(20), share_paid=D(40), endings=".00")
    of_net = terms("consignment", tax="in", tax_rate=D(20), share_net=D(40), endings=".00")
    # 4 / (1 - 0.2 - 0.4 x 1.2) = 12.50, with the tax 15.00; 4 / (1 - 0.2 - 0.4) = 10, with the tax 12.00
    assert prices.suggest(D(4), D("0.2"), of_shelf) == D("15.00")
    assert prices.suggest(D(4), D("0.2"), of_net) == D("12.00")
    assert margin_at(D(15), D(4), of_shelf) == D("0.2")


# --- what can't be answered says why ---------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", [{"pitch": D(30)}, {"work": (SellingTime(1, per_day=D(5)),)}])
def test_a_selling_day_without_its_jars_is_missing_with_its_cure(typed: dict[str, Any]) -> None:
    stall = terms("stall", **typed)
    gap = missing(stall.extras if "pitch" in typed else stall.labour)
    assert "how many jars" in gap.reason
    assert gap.cure == Ref("channel", 7, "jars_a_day")
    if "pitch" in typed:
        assert prices.suggest(D(5), D("0.4"), stall) is gap
        assert prices.fees_at(D(10), stall) is gap
        assert prices.highest_cost(D(10), D("0.4"), stall) is gap
        assert prices.floor(D(5), stall) is gap


def test_selling_hours_of_somebody_without_a_wage_are_missing() -> None:
    shop = terms("web shop", work=(SellingTime(3, per_order=D(10)),))
    assert missing(shop.labour).cure == Ref("person", 3, "wage-per_hour")
    assert shop.own_minutes == 10


@pytest.mark.parametrize(("share", "words"), [(D(60), "60 %"), (D("60.0001"), "60.0001 %"), (D(99), "99 %")])
def test_a_target_out_of_reach_says_what_to_change(share: D, words: str) -> None:
    gap = missing(prices.suggest(D(5), D("0.4"), terms("marketplace", share_net=share)))
    assert words in gap.reason
    assert "Lower the target or the shares" in gap.reason
    assert gap.cure == Ref("channel", 7, "target")


def test_shares_that_keep_everything_leave_no_floor() -> None:
    gap = missing(prices.floor(D(5), terms("marketplace", share_paid=D(90), share_net=D(10))))
    assert "100 %" in gap.reason
    assert gap.cure == Ref("channel", 7, "share_paid")


def test_just_under_everything_still_has_a_price() -> None:
    assert prices.price_for(D(5), D("0.4"), terms("marketplace", share_net=D("59.9999"))) == D(5) / D("0.000001")


def test_postage_that_covers_the_jar_suggests_no_price() -> None:
    shop = terms("web shop", postage_charged=D(5))
    for cost in (D(5), D("4.99")):
        assert missing(prices.suggest(cost, D("0.4"), shop)).cure == Ref("channel", 7, "postage_charged")
    assert prices.suggest(D("5.01"), D("0.5"), shop) == D("0.02")


def test_a_jar_that_costs_nothing_suggests_no_price() -> None:
    assert "costs nothing" in missing(prices.suggest(D(0), D("0.4"), PriceTerms())).reason


def test_a_price_of_nothing_has_no_margin_and_a_cost_of_nothing_no_markup() -> None:
    assert "price of 0" in missing(prices.margin(D(0), D(5))).reason
    assert "no markup" in missing(prices.markup(D(5), D(0))).reason


# --- endings ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "currency", "step", "price", "moved"),
    [
        (".00 .50 .95 .99", "EUR", "", "12.00", "12.00"),  # exactly on an ending stays
        (".00 .50 .95 .99", "EUR", "", "12.000000000001", "12.50"),
        (".00 .50 .95 .99", "EUR", "", "12.0000000000004", "12.00"),  # within the snap
        (".00 .50 .95 .99", "EUR", "", "12.51", "12.95"),
        (".00 .50 .95 .99", "EUR", "", "12.96", "12.99"),
        (".00 .50 .95 .99", "EUR", "", "12.991", "13.00"),
        (".95", "EUR", "", "12.951", "13.95"),
        (",95 ,50", "EUR", "", "12.60", "12.95"),
        (".99, .5", "EUR", "", "12.30", "12.5"),
        ("9.99 4.99", "EUR", "", "12", "14.99"),
        ("9.99 .50", "EUR", "", "19.6", "19.99"),
        ("", "EUR", "", "12.001", "12.01"),
        ("", "EUR", "0.05", "12.01", "12.05"),
        ("", "EUR", "0.25", "12.25", "12.25"),
        ("", "JPY", "", "1234.2", "1235"),
        ("80", "JPY", "", "1281", "1380"),
        ("", "JPY", "50", "1201", "1250"),
        ("", "KWD", "", "1.2341", "1.235"),
        (".950", "KWD", "", "1.951", "2.95"),
        ("", "KWD", "0.005", "1.2341", "1.235"),
        (".00", "EUR", "", "0.0000000000001", "1"),  # a suggested price is never 0
        ("", "EUR", "", "0.0000000000001", "0.01"),
    ],
)
def test_a_price_moves_up_to_the_next_ending(text: str, currency: str, step: str, price: str, moved: str) -> None:
    assert next_ending(D(price), endings(text, currency, step)) == D(moved)


@pytest.mark.parametrize(
    ("text", "currency", "step", "field"),
    [
        (".999", "EUR", "", "endings"),
        ("95", "EUR", "", "endings"),
        (".50 x", "EUR", "", "endings"),
        (".50", "JPY", "", "endings"),
        ("-.50", "EUR", "", "endings"),
        ("\u0665", "JPY", "", "endings"),
        ("", "EUR", "0.005", "step"),
        ("", "JPY", "0.5", "step"),
    ],
)
def test_an_ending_finer_than_the_money_is_refused(text: str, currency: str, step: str, field: str) -> None:
    read = read_endings(text, D(step) if step else None, currency)
    assert isinstance(read, Unusable)
    assert read.field == field


def test_unusable_endings_leave_the_suggestion_missing_and_the_floor_known() -> None:
    here = channel_terms(book(workshop=Workshop(currency="JPY")), Channel(7, "Here", DAY, endings=".50"))
    assert missing(prices.suggest(D(5), D("0.4"), here)).cure == Ref("channel", 7, "endings")
    assert prices.floor(D("5.2"), here) == 6


# --- retail does not undercut stockists ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tax", "recommended", "wanted"),
    [
        ("in", "16.08", "16.50"),  # higher than the own 12.00: raised to the next ending
        ("in", "12.00", "12.00"),  # exactly the own
        ("in", "9.00", "12.00"),
        ("added", "16.08", "13.50"),  # 16.08 / 1.2 = 13.40 on the tag
        ("none", "16.50", "16.50"),
    ],
)
def test_a_retail_suggestion_is_compared_on_what_the_buyer_pays(tax: str, recommended: str, wanted: str) -> None:
    stall = terms("stall", tax=tax, tax_rate=D(20), endings=".00 .50")
    own = D(12) if tax == "in" else D(10)
    assert prices.not_undercutting(own, D(recommended), stall) == D(wanted)


# --- a margin beside its target --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("actual", "target", "side", "words", "shown"),
    [
        ("0.45", "0.45", "at", "on target", "45.0"),
        ("0.4499999999996", "0.45", "at", "on target", "45.0"),  # what a division leaves is not a verdict
        ("0.449999999999", "0.45", "short", "just short", "44.9"),
        ("0.4496", "0.45", "short", "just short", "44.9"),
        ("0.4495", "0.45", "short", "0.1 points short", "44.9"),
        ("0.438", "0.45", "short", "1.2 points short", "43.8"),
        ("0.45000001", "0.45", "above", "just above", "45.0"),
        ("0.4712", "0.45", "above", "2.1 points above", "47.1"),
        ("-0.2", "0.45", "short", "65.0 points short", "-20.0"),
    ],
)
def test_rounding_never_hides_the_side_of_a_target(actual: str, target: str, side: str, words: str, shown: str) -> None:
    assert prices.side(D(actual), D(target)) == side
    assert prices.reaches(D(actual), D(target)) == (side != "short")
    assert prices.distance_words(D(actual), D(target)) == words
    assert prices.margin_percent(D(actual), D(target)) == D(shown)


def test_distance_is_written_with_the_decimal_sign_of_the_place() -> None:
    assert prices.distance_words(D("0.438"), D("0.45"), decimal_sign=",") == "1,2 points short"


# --- working back ----------------------------------------------------------------------------------------------------


def test_a_price_says_what_the_jar_may_cost_and_what_an_hour_may() -> None:
    stall = terms("stall", tax="in", tax_rate=D(20), share_paid=D(10), pitch=D(20), jars_a_day=D(20))
    # 24 / 1.2 = 20 net; 20 x (1 - 0.4 - 0.12) - 1 = 8.60
    assert prices.highest_cost(D(24), D("0.4"), stall) == D("8.60")
    # 60 x (8.60 - 5) / 15 minutes = 14.40; with 20 % on it 12.00
    assert prices.wage_for(D("8.60"), D(5), D(15)) == D("14.4")
    assert prices.wage_for(D("8.60"), D(5), D(15), D("0.2")) == D(12)
    assert "No hours" in missing(prices.wage_for(D("8.60"), D(5), D(0))).reason


MONEY = st.decimals(D("0.01"), D(5000), places=2)
FRACTION = st.decimals(D(0), D("0.45"), places=4)
TAXES = st.sampled_from([("none", D(0)), ("in", D(20)), ("in", D("25.5")), ("added", D("8.875")), ("in", D(7))])
ENDINGS = st.sampled_from(
    [endings(""), endings(".00 .50 .95 .99"), endings(".95"), endings("9.99 .50"), endings("", step="0.05"),
     endings("", "JPY"), endings("80 98", "JPY"), endings("", "KWD"), endings(".950", "KWD")]
)  # fmt: skip


@st.composite
def channels(draw: st.DrawFn) -> PriceTerms:
    tax, rate = draw(TAXES)
    return PriceTerms(
        tax=tax,
        rate=rate.scaleb(-2),
        share_paid=draw(FRACTION) / 2,
        share_net=draw(FRACTION) / 2,
        extras=draw(MONEY) / draw(st.integers(1, 24)),
        endings=draw(ENDINGS),
        places=draw(st.sampled_from([0, 2, 3])),
    )


def exact_margin(price: F, cost: F, here: PriceTerms) -> F:
    """The margin in fractions, from the same typed figures."""
    v, extras = F(here.rate), F(known(here.extras))
    net = price / (1 + v) if here.tax == "in" else price
    return 1 - F(here.share_net) - F(here.share_paid) * (1 + v) - (cost + extras) / net


def one_ending_lower(price: D, allowed: Endings) -> F:
    """The highest allowed price below, found without next_ending."""
    below = [
        F(end) + floor((F(price) - F(end)) / F(every)) * F(every) for every, ends in allowed.allowed for end in ends
    ]
    stepped = [one if one < F(price) else one - F(every) for one, (every, _) in _paired(below, allowed)]
    return max(stepped)


def _paired(below: list[F], allowed: Endings) -> Iterator[tuple[F, tuple[D, tuple[D, ...]]]]:
    yield from zip(below, [group for group in allowed.allowed for _ in group[1]], strict=True)


@given(channels(), MONEY, st.decimals(D(0), D("0.5"), places=4))
def test_the_suggested_price_reaches_the_target_and_one_ending_lower_does_not(
    here: PriceTerms, cost: D, target: D
) -> None:
    assume(1 - target - here.share > D("0.001"))
    suggested = known(prices.suggest(cost, target, here))
    assert prices.reaches(margin_at(suggested, cost, here), target)
    assert isinstance(here.endings, Endings)
    lower = one_ending_lower(suggested, here.endings)
    assert lower <= 0 or exact_margin(lower, F(cost), here) < F(target)


@given(channels(), MONEY)
def test_the_floor_loses_nothing_and_one_unit_lower_loses(here: PriceTerms, cost: D) -> None:
    lowest = known(prices.floor(cost, here))
    assert exact_margin(F(lowest), F(cost), here) >= -F(1, 10**12)
    lower = F(lowest - unit_of(here.places))
    assert lower <= 0 or exact_margin(lower, F(cost), here) < 0


@given(channels(), MONEY, st.decimals(D(0), D("0.5"), places=4))
def test_working_back_from_a_price_gives_the_cost_again(here: PriceTerms, cost: D, target: D) -> None:
    price = known(prices.price_for(cost, target, here))
    assert snap(known(prices.highest_cost(price, target, here))) == cost


@given(channels(), MONEY, MONEY, st.decimals(D(0), D("0.5"), places=4))
def test_a_dearer_jar_is_never_suggested_cheaper(here: PriceTerms, cost: D, more: D, target: D) -> None:
    assert known(prices.suggest(cost + more, target, here)) >= known(prices.suggest(cost, target, here))


@given(MONEY, MONEY, st.decimals(D(0), D(50), places=2))
def test_margin_and_markup_say_the_same_thing(net: D, cost: D, fees: D) -> None:
    left = known(prices.margin(net, cost, fees))
    added = known(prices.markup(net, cost, fees))
    assert snap(left * net) == snap(added * (cost + fees)) == net - cost - fees


# --- against exact fractions -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Case:
    """A channel as typed; the cost is `over / under`, so that it need not end."""

    terms: PriceTerms
    extras: F
    over: D
    under: int
    target: D

    @property
    def cost(self) -> F:
        return F(self.over) / self.under


def exact_snap(value: F) -> F:
    return F(floor(abs(value) * 10**12 + F(1, 2)), 10**12) * (1 if value >= 0 else -1)


def exact_suggestion(case: Case) -> F:
    here, v = case.terms, F(case.terms.rate)
    share = F(here.share_net) + F(here.share_paid) * (1 + v)
    net = (case.cost + case.extras) / (1 - F(case.target) - share)
    price = exact_snap(net * (1 + v) if here.tax == "in" else net)
    assert isinstance(here.endings, Endings)
    found = []
    for every, ends in here.endings.allowed:
        for end in ends:
            moved = F(end) + ceil((price - F(end)) / F(every)) * F(every)
            found.append(moved if moved > 0 else moved + F(every))
    return min(found)


TYPED_ENDINGS = (
    ("", "EUR", ""), (".00 .50 .95 .99", "EUR", ""), (".95", "EUR", ""), ("", "EUR", "0.05"), ("4.99 9.99", "EUR", ""),
    ("", "JPY", ""), ("80", "JPY", ""), ("", "JPY", "50"), ("", "KWD", ""), (".250 .500", "KWD", ""),
)  # fmt: skip


def cases(count: int, seed: int) -> Iterator[Case]:
    """A third of them sit exactly on an ending, many of those through a cost and fees that do not end."""
    dice = random.Random(seed)
    for index in range(count):
        text, currency, step = dice.choice(TYPED_ENDINGS)
        tax, rate = dice.choice((("none", "0"), ("in", "0.2"), ("in", "0.25"), ("in", "0.07"), ("added", "0.08875")))
        orders = dice.choice((1, 2, 3, 6, 7, 12))
        k = D(dice.randrange(-200, 900)).scaleb(-2)
        allowed = endings(text, currency, step)
        here = PriceTerms(
            tax=tax, rate=D(rate), endings=allowed,
            share_paid=D(dice.choice((0, 0, 140, 1500, 1234))).scaleb(-4),
            share_net=D(dice.choice((0, 0, 500, 2000, 333))).scaleb(-4),
            extras=k / orders,
        )  # fmt: skip
        case = Case(here, F(k) / orders, D(dice.randrange(300, 99999)).scaleb(-2), dice.choice((1, 3, 7, 9, 48)),
                    D(dice.randrange(0, 55)).scaleb(-2))  # fmt: skip
        yield _on_an_ending(case, dice, k, orders) if index % 3 == 0 else case


def _on_an_ending(case: Case, dice: random.Random, k: D, orders: int) -> Case:
    """The same channel with a cost for which the price comes out exactly at an ending."""
    assert isinstance(case.terms.endings, Endings)
    every, ends = dice.choice(case.terms.endings.allowed)
    price = dice.choice(ends) + every * dice.randrange(2, 400)
    rate = D("0.25") if case.terms.tax == "in" else case.terms.rate  # 1.25 divides every price without a rest
    here = replace(case.terms, rate=rate)
    to_cover = prices.net_of(price, here) * (1 - case.target - here.share)
    return replace(case, terms=here, over=to_cover * orders - k, under=orders)


def test_no_price_and_no_verdict_differs_from_exact_fractions() -> None:
    seen = {"on an ending": 0, "on target": 0, "short": 0, "no end": 0}
    for case in cases(6000, 20261125):
        if case.cost + case.extras <= 0 or case.terms.share + case.target >= 1:
            continue
        cost = case.over / case.under
        suggested = known(prices.suggest(cost, case.target, case.terms))
        assert F(suggested) == exact_suggestion(case), case
        unmoved = known(prices.price_for(cost, case.target, case.terms))
        seen["on an ending"] += snap(unmoved) == suggested
        seen["no end"] += len(unmoved.as_tuple().digits) > 40
        for price in (suggested, suggested - unit_of(2), suggested + unit_of(2)):
            if price <= 0:
                continue
            v = F(case.terms.rate)
            net = F(price) / (1 + v) if case.terms.tax == "in" else F(price)
            share = F(case.terms.share_net) + F(case.terms.share_paid) * (1 + v)
            exact = exact_snap(1 - share - (case.cost + case.extras) / net)
            side = prices.side(margin_at(price, cost, case.terms), case.target)
            wanted = "short" if exact < F(case.target) else "at" if exact == F(case.target) else "above"
            assert side == wanted, (case, price)
            seen["on target"] += side == "at"
            seen["short"] += side == "short"
    print(seen)
    assert min(seen.values()) > 500, seen


@pytest.mark.parametrize(("currency", "example"), [("EUR", ".00 .50 .95"), ("JPY", "0 50 80")])
def test_endings_that_can_not_be_used_are_shown_as_the_currency_writes_them(currency: str, example: str) -> None:
    found = read_endings("x", None, currency)
    assert isinstance(found, Unusable)
    assert found.sentence.endswith(f"like this: {example}.")
