"""Landed cost against a reckoning of its own, in exact fractions: a second pair of eyes that shares no code."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing import buying
from tests.costing.buying import D, book, exchange, known, line, order
from webapp.costing.amounts import Ratio, half_up, snap
from webapp.costing.book import Charge, Exchange, Order, OrderLine
from webapp.costing.gaps import Gap
from webapp.costing.orders import landed
from webapp.costing.units import MASS, VOLUME

MINOR = {"EUR": 2, "USD": 2, "JPY": 0, "KWD": 3}
GRAMS = {name: Fraction(value) for name, value in MASS.items()}
MILLILITRES = {name: Fraction(value) for name, value in VOLUME.items()}


def cents(value: Fraction, currency: str) -> int:
    """An invoice amount in whole minor units, half away from zero."""
    size: int = floor(abs(value) * Fraction(10 ** MINOR[currency]) + Fraction(1, 2))
    return size if value >= 0 else -size


def spread(total: int, weights: list[Fraction]) -> list[int]:
    """Largest remainder in whole units, by handing out one unit after the other."""
    if not sum(weights):
        weights = [Fraction(1)] * len(weights)
    due = [abs(total) * weight / sum(weights) for weight in weights]
    got = [floor(one) for one in due]
    while sum(got) < abs(total):
        neediest = max(range(len(due)), key=lambda i: (due[i] - got[i] if got[i] == floor(due[i]) else -1, -i))
        got[neediest] += 1
    return got if total >= 0 else [-one for one in got]


@dataclass
class Reckoned:
    """The same order on paper. None stands for what can't be known."""

    landed: list[Fraction | None]
    unit: list[Fraction | None]
    total: Fraction


def weight_of(one: OrderLine, amount: Fraction) -> Fraction | None:
    held = buying.MATERIALS[one.material]
    if one.unit == "pieces":
        return amount * Fraction(held.piece_grams) if held.piece_grams else None
    if one.unit in GRAMS:
        return amount * GRAMS[one.unit]
    return amount * MILLILITRES[one.unit] * Fraction(held.density.value) if held.density else None


def split(amount: int, one: OrderLine | Charge, currency: str) -> tuple[int, int]:
    """Net and tax in minor units."""
    scale, rate = Fraction(1, 10 ** MINOR[currency]), Fraction(one.tax_rate)
    if one.tax_included:
        tax = cents(amount * scale * rate / (100 + rate), currency)
        return amount - tax, tax
    return amount, cents(amount * scale * rate / 100, currency)


def on_paper(bought: Order, *, reclaimed: bool) -> Reckoned:
    money = bought.currency
    scale = Fraction(1, 10 ** MINOR[money])
    split_lines = [split(goods_on_paper(one, money), one, money) for one in bought.lines]
    net = [Fraction(n) for n, _ in split_lines]
    abroad: list[Fraction | None] = [(n + (0 if reclaimed else t)) * scale for n, t in split_lines]
    home = [Fraction(0)] * len(net)
    total = sum(n + t for n, t in split_lines) * scale
    for one in bought.charges:
        in_order = one.money == "order"
        unit = scale if in_order else Fraction(1, 100)
        n, t = charged(one, money if in_order else "EUR")
        total += (n + t) * unit if in_order else 0
        parts = parts_of(bought, one, n + (0 if reclaimed else t), net)
        if parts is None:
            abroad = [None] * len(net)
        elif in_order:
            abroad = plus(abroad, parts, unit)
        else:
            home = [before + part * unit for before, part in zip(home, parts, strict=True)]
    if bought.tax_total is not None:
        lump = cents(Fraction(bought.tax_total), money)
        total += lump * scale
        abroad = plus(abroad, spread(0 if reclaimed else lump, net), scale)
    rate = rate_on_paper(bought, total)
    costs = [None if a is None or rate is None else a * rate + h for a, h in zip(abroad, home, strict=True)]
    costs = [None if cost is not None and cost < 0 else cost for cost in costs]
    return Reckoned(costs, [per_unit(cost, one) for cost, one in zip(costs, bought.lines, strict=True)], total)


def goods_on_paper(one: OrderLine, currency: str) -> int:
    full = Fraction(one.packs) * Fraction(one.price or 0)
    off = Fraction(one.discount or 0)
    after = full * (1 - off / 100) if one.discount_in == "percent" else full - off
    return cents(after if one.total is None else Fraction(one.total), currency)


def charged(one: Charge, currency: str) -> tuple[int, int]:
    sign = -1 if one.kind in ("discount", "credit") else 1
    return split(sign * cents(Fraction(one.amount), currency), one, currency)


def parts_of(bought: Order, one: Charge, cost: int, net: list[Fraction]) -> list[int] | None:
    if not cost or one.share == "value":
        return spread(cost, net)
    if one.share == "equally":
        return spread(cost, [Fraction(1)] * len(net))
    masses = [weight_of(item, Fraction(item.packs) * Fraction(item.size)) for item in bought.lines]
    known_masses = [mass for mass in masses if mass is not None]
    return spread(cost, known_masses) if len(known_masses) == len(masses) else None


def plus(amounts: list[Fraction | None], parts: list[int], unit: Fraction) -> list[Fraction | None]:
    return [None if one is None else one + part * unit for one, part in zip(amounts, parts, strict=True)]


def rate_on_paper(bought: Order, total: Fraction) -> Fraction | None:
    if bought.currency == "EUR" or bought.exchange is None:
        return Fraction(1)
    amount = Fraction(bought.exchange.amount)
    if bought.exchange.way == "paid":
        return amount / total if total > 0 else None
    return amount if bought.exchange.way == "home per unit" else 1 / amount


def per_unit(cost: Fraction | None, one: OrderLine) -> Fraction | None:
    arrived = Fraction(one.packs) * Fraction(one.size) if one.arrived is None else Fraction(one.arrived)
    many = arrived if buying.MATERIALS[one.material].by_piece else weight_of(one, arrived)
    return None if cost is None or many is None else cost / many


def decimals(low: str, high: str, places: int) -> st.SearchStrategy[Decimal]:
    return st.decimals(min_value=D(low), max_value=D(high), places=places)


money = decimals("0", "400", 4) | decimals("0", "90", 2) | st.sampled_from([D(0), D("9.995"), D("0.005"), D(100)])
rates = st.sampled_from([D(0), D(20), D("5.5"), D("19"), D("8.875")])


@st.composite
def lines_bought(draw: st.DrawFn) -> OrderLine:
    material = draw(st.sampled_from(sorted(buying.MATERIALS)))
    piecewise = buying.MATERIALS[material].by_piece or material == buying.VANILLA
    unit = "pieces" if piecewise else draw(st.sampled_from([*MASS, *VOLUME]))
    percentage = draw(st.booleans())
    price = draw(money)
    packs = draw(decimals("0.01", "60", 2))
    most = D(100) if percentage else packs * price
    discount = draw(
        st.none() | decimals("0", "1", 4).map(lambda part: (part * most).quantize(D("0.0001"), "ROUND_FLOOR"))
    )
    return OrderLine(
        material=material,
        packs=packs,
        size=draw(decimals("0.001", "900", 3)),
        unit=unit,
        price=price,
        discount=discount,
        discount_in="percent" if percentage else "money",
        total=draw(st.none() | st.none() | money),
        tax_rate=draw(rates),
        tax_included=draw(st.booleans()),
        arrived=draw(st.none() | decimals("0.001", "900", 3)),
    )


@st.composite
def orders(draw: st.DrawFn) -> Order:
    currency = draw(st.sampled_from(["EUR", "EUR", *MINOR]))
    charges = st.builds(
        Charge,
        kind=st.sampled_from(["freight", "freight", "duty", "handling", "discount", "credit"]),
        amount=money,
        money=st.sampled_from(["order", "order", "home"]),
        share=st.sampled_from(["value", "value", "mass", "equally"]),
        tax_rate=rates,
        tax_included=st.booleans(),
    )
    ways = st.builds(
        Exchange, st.sampled_from(["home per unit", "units per home", "paid"]), decimals("0.000001", "900", 6)
    )
    return Order(
        id=1,
        supplier=1,
        day=buying.BOUGHT,
        lines=tuple(draw(st.lists(lines_bought(), min_size=1, max_size=5))),
        charges=tuple(draw(st.lists(charges, max_size=3))),
        currency=currency,
        exchange=None if currency == "EUR" else draw(ways),
        tax_total=draw(st.none() | money),
    )


def exactly(ratio: Ratio | Gap) -> Fraction | None:
    return None if isinstance(ratio, Gap) else Fraction(ratio.over) / Fraction(ratio.under)


@settings(max_examples=examples.of(150))
@given(orders(), st.booleans())
def test_every_line_agrees_with_the_reckoning_on_paper(bought: Order, registered: bool) -> None:
    paper = on_paper(bought, reclaimed=registered)
    result = landed(book(registered=registered), bought)
    assert Fraction(known(result.total)) == paper.total
    assert [exactly(one.home) for one in result.lines] == paper.landed
    assert [exactly(one.exact) for one in result.lines] == paper.unit
    for one, wanted in zip(result.lines, paper.unit, strict=True):
        if wanted is not None:
            assert snap(known(one.unit_cost)) == half_up(D(wanted.numerator) / D(wanted.denominator), 12)


@settings(max_examples=examples.of(80))
@given(orders(), st.booleans())
def test_landed_costs_add_up_to_the_order_exactly(bought: Order, registered: bool) -> None:
    result = landed(book(registered=registered), bought)
    for one in result.charges:
        if not any(isinstance(share, Gap) for share in one.shares):
            assert sum(one.shares) == one.shared  # type: ignore[arg-type]
    costs = [exactly(one.home) for one in result.lines]
    if None not in costs:
        together = sum((one for one in costs if one is not None), Fraction(0))
        assert snap(known(result.home_total)) == half_up(D(together.numerator) / D(together.denominator), 12)


@settings(max_examples=examples.of(60))
@given(orders())
def test_unregistered_the_lines_cost_what_the_invoice_says(bought: Order) -> None:
    result = landed(book(), replace(bought, charges=tuple(one for one in bought.charges if one.money == "order")))
    costs = [exactly(one.home) for one in result.lines]
    if None not in costs:
        rate = exactly(result.rate)
        assert rate is not None
        assert sum(one for one in costs if one is not None) == Fraction(known(result.total)) * rate


@pytest.mark.parametrize("packs", ["10000000", "0.000001"])
def test_limits_do_not_break_the_sum(packs: str) -> None:
    big = line(
        buying.JOJOBA, packs=packs, size="9999999.999999", unit="imp gallon", price="9999999.9999", tax_rate="99.9999"
    )
    result = landed(book(), order(big, currency="USD", exchange=exchange("units per home", "9999999.999999")))
    wanted = on_paper(
        order(big, currency="USD", exchange=exchange("units per home", "9999999.999999")), reclaimed=False
    )
    unit = wanted.unit[0]
    assert unit is not None
    assert snap(known(result.lines[0].unit_cost)) == half_up(D(unit.numerator) / D(unit.denominator), 12)
