"""Which price counts: latest, averaged, dearest, a quote, a starting price; on any day, whatever was typed first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing import buying
from tests.costing.buying import (
    JAR,
    JOJOBA,
    MATERIALS,
    SHEA,
    D,
    book,
    charge,
    exchange,
    known,
    line,
    order,
    reason,
    starting,
)
from webapp.costing.amounts import snap
from webapp.costing.basis import (
    LAPSED,
    OLDER,
    STARTING,
    MaterialCost,
    by_material,
    material_cost,
    working,
)
from webapp.costing.book import Book, Id, Material, Order, Quote, StartingPrice, Workshop
from webapp.costing.gaps import Gap, Ref
from webapp.costing.orders import Landed, LandedLine, landed
from webapp.costing.purchases import months_before


def cost(*orders: Order, material: Id = SHEA, like: Book | None = None) -> MaterialCost:
    """What `material` costs when these are all the orders."""
    held = like or book()
    lines = by_material(landed(held, one) for one in orders)
    return material_cost(held, held.materials[material], lines.get(material, ()))


def bought(day: str, price: str, packs: str = "1", number: int = 1, **typed: Any) -> Order:
    """So many kilos of shea butter, at `price` each."""
    return order(line(packs=packs, price=price, **typed), day=date.fromisoformat(day), number=number)


def by(basis: str, **facts: Any) -> Book:
    return book(workshop=Workshop(basis=basis), **facts)


def per_kg(result: MaterialCost) -> Decimal:
    return known(result.unit_cost) * 1000


# --- latest --------------------------------------------------------------------------------------------------------


def test_latest_takes_all_lines_of_the_newest_day_together() -> None:
    result = cost(
        bought("2026-03-01", "9.00"),
        bought("2026-05-01", "10.00", number=2),
        bought("2026-05-01", "16.00", packs="3", number=3),
    )
    assert per_kg(result) == D("14.50")
    assert (result.landed, result.quantity) == (D(58), D(4000))
    assert (result.rule, result.used, result.day) == ("latest", ((2, 0), (3, 0)), date(2026, 5, 1))


def test_a_purchase_on_the_day_counts_and_one_after_it_does_not() -> None:
    orders = (bought("2026-06-30", "10.00"), bought("2026-07-01", "99.00", number=2))
    assert per_kg(cost(*orders)) == 10
    assert per_kg(cost(*orders, like=book(day=date(2026, 7, 1)))) == 99


@pytest.mark.parametrize("why", ["sample", "emergency", "replacement", "credit"])
def test_a_line_that_does_not_set_the_price_is_passed_over(why: str) -> None:
    assert per_kg(cost(bought("2026-05-01", "10.00"), bought("2026-06-01", "0", number=2, not_priced=why))) == 10


@pytest.mark.parametrize("basis", ["latest", "averaged", "dearest"])
def test_the_order_of_typing_changes_nothing(basis: str) -> None:
    orders = [
        bought("2026-05-01", "10.10", packs="3", number=1),
        bought("2026-05-01", "12.30", packs="7", number=2),
        bought("2026-02-01", "11.70", packs="2", number=3),
    ]
    results = {cost(*each, like=by(basis)) for each in permutations(orders)}
    assert len(results) == 1


def test_what_is_landed_counts_not_what_the_shelf_said() -> None:
    freighted = order(line(price="10"), line(JAR, size="10", unit="pieces", price="10"), charges=(charge("5"),))
    assert per_kg(cost(freighted)) == D("12.50")
    assert known(cost(freighted, material=JAR).unit_cost) == D("1.25")


# --- averaged and dearest ------------------------------------------------------------------------------------------

WINDOW = (
    bought("2025-06-30", "99.00", number=1),  # just outside twelve months
    bought("2025-07-01", "10.00", packs="3", number=2),
    bought("2026-01-15", "14.00", number=3),
    bought("2026-06-30", "12.00", packs="2", number=4),
)


def test_averaged_is_total_landed_over_total_quantity_in_the_window() -> None:
    result = cost(*WINDOW, like=by("averaged"))
    assert per_kg(result) == D(68) / 6
    assert result.used == ((2, 0), (3, 0), (4, 0))
    assert (result.rule, result.day, result.marks) == ("averaged", date(2026, 6, 30), ())


def test_dearest_is_the_highest_unit_cost_of_one_line_in_the_window() -> None:
    result = cost(*WINDOW, like=by("dearest"))
    assert (per_kg(result), result.used, result.day) == (D("14.00"), ((3, 0),), date(2026, 1, 15))


def test_the_window_can_be_the_materials_own() -> None:
    material = replace(MATERIALS[SHEA], basis="averaged", basis_months=D(2))
    assert per_kg(cost(*WINDOW, like=book(materials=[material]))) == 12
    longer = replace(material, basis_months=D(13))
    assert per_kg(cost(*WINDOW, like=book(materials=[longer]))) == D(167) / 7


def test_a_materials_own_basis_goes_before_the_workshops() -> None:
    held = by("averaged", materials=[replace(MATERIALS[SHEA], basis="latest")])
    assert per_kg(cost(*WINDOW, like=held)) == 12


@pytest.mark.parametrize(("basis", "wanted"), [("averaged", "12.00"), ("dearest", "14.00")])
def test_an_empty_window_takes_the_newest_day_before_it_and_says_so(basis: str, wanted: str) -> None:
    old = (
        bought("2025-01-01", "99.00", number=1),
        bought("2025-06-30", "14.00", number=2),
        bought("2025-06-30", "10.00", number=3),
    )
    result = cost(*old, like=by(basis))
    assert per_kg(result) == D(wanted)
    assert (result.rule, result.marks, result.stale) == (basis, (OLDER,), False)


def test_latest_has_no_window() -> None:
    assert cost(bought("2019-01-01", "7.00")).marks == ()


@pytest.mark.parametrize(
    ("day", "months", "wanted"),
    [
        ("2026-06-30", "12", "2025-06-30"),
        ("2026-03-31", "1", "2026-02-28"),
        ("2024-03-31", "1", "2024-02-29"),
        ("2024-02-29", "12", "2023-02-28"),
        ("2026-01-15", "1", "2025-12-15"),
        ("2026-12-31", "1", "2026-11-30"),
        ("2026-05-31", "240", "2006-05-31"),
    ],
)
def test_a_missing_day_becomes_the_months_last(day: str, months: str, wanted: str) -> None:
    assert months_before(date.fromisoformat(day), D(months)) == date.fromisoformat(wanted)


def test_a_purchase_on_the_last_day_of_february_is_outside_a_window_that_opens_there() -> None:
    held = replace(by("averaged"), day=date(2026, 3, 31))
    own = replace(held.materials[SHEA], basis_months=D(1))
    held = replace(held, materials={**held.materials, SHEA: own})
    orders = (bought("2026-02-28", "50.00"), bought("2026-03-01", "10.00", number=2))
    assert per_kg(cost(*orders, like=held)) == 10


# --- missing -------------------------------------------------------------------------------------------------------


def test_a_line_without_a_unit_cost_makes_the_material_missing_with_that_reason() -> None:
    unpriced = order(line(), day=date(2026, 6, 1), number=2)
    for basis in ("latest", "averaged", "dearest"):
        result = cost(bought("2026-06-01", "10.00"), unpriced, like=by(basis))
        assert reason(result.unit_cost) == (
            "On the order of 2026-06-01, Shea butter has no price. Type its price per pack or the line total."
        )
        assert result.unit_cost == result.exact == result.landed == result.quantity
        assert (result.rule, result.used) == ("", ((2, 0),))


def test_a_missing_line_that_the_basis_does_not_use_changes_nothing() -> None:
    old = order(line(), day=date(2026, 1, 1), number=2)
    assert per_kg(cost(bought("2026-06-01", "10.00"), old)) == 10


def test_no_price_at_all_is_a_gap_that_a_starting_price_cures() -> None:
    result = cost()
    assert result.unit_cost == Gap(
        "Shea butter has no price yet. Enter an order, or a starting price.", Ref("material", SHEA, "starting")
    )
    assert (result.rule, result.stale) == ("", False)


def test_only_lines_that_set_no_price_are_no_price() -> None:
    assert isinstance(cost(bought("2026-06-01", "5", not_priced="sample")).unit_cost, Gap)


# --- quotes --------------------------------------------------------------------------------------------------------


def quoting(
    since: str = "2026-06-01",
    until: str = "2026-06-30",
    basis: str = "",
    about: StartingPrice | None = None,
    **typed: Any,
) -> Book:
    """A book in which shea butter follows a quote of 30 for 2 kg."""
    quote = Quote(
        id=7,
        material=SHEA,
        supplier=1,
        since=date.fromisoformat(since),
        until=date.fromisoformat(until),
        **{"size": D(2), "unit": "kg", "price": D("30"), **typed},
    )
    chosen = replace(MATERIALS[SHEA], quote=7, basis=basis, starting=about)
    return book(materials=[chosen], quotes={7: quote})


@pytest.mark.parametrize(
    ("since", "until", "valid"),
    [
        ("2026-06-01", "2026-06-30", True),
        ("2026-06-30", "2026-06-30", True),
        ("2026-06-01", "2026-06-29", False),
        ("2026-07-01", "2026-12-31", False),
    ],
)
def test_a_chosen_quote_counts_while_it_is_valid_both_days_included(since: str, until: str, *, valid: bool) -> None:
    result = cost(bought("2026-06-20", "10.00"), like=quoting(since, until))
    assert per_kg(result) == (15 if valid else 10)
    assert (result.rule, result.quote) == (("quote", 7) if valid else ("latest", None))
    assert result.marks == (() if valid else (LAPSED,))


def test_a_quote_that_has_lapsed_gives_way_to_the_latest_price_whatever_the_basis() -> None:
    lapsed = quoting(until="2026-06-02", basis="averaged")
    result = cost(bought("2026-05-01", "20.00"), bought("2026-06-01", "10.00", number=2), like=lapsed)
    assert (per_kg(result), result.rule) == (D(10), "latest")


def test_a_quote_nobody_chose_changes_nothing() -> None:
    held = quoting()
    held = replace(held, materials=MATERIALS)
    assert per_kg(cost(bought("2026-06-01", "10.00"), like=held)) == 10


@pytest.mark.parametrize(
    ("way", "amount", "wanted"),
    [("home per unit", "0.9", "13.50"), ("units per home", "1.2", "12.5"), ("paid", "28", "14")],
)
def test_a_quote_is_converted_and_taken_as_landed(way: str, amount: str, wanted: str) -> None:
    result = cost(like=quoting(currency="USD", exchange=exchange(way, amount)))
    assert per_kg(result) == D(wanted)
    assert result.quantity == D(2000)


def test_a_quote_without_a_rate_is_missing_and_says_where_it_is_cured() -> None:
    result = cost(bought("2026-06-01", "10.00"), like=quoting(currency="USD"))
    assert isinstance(result.unit_cost, Gap)
    assert result.unit_cost.cure == Ref("quote", 7, "exchange-amount")
    by_piece = cost(like=quoting(unit="pieces", size=D(3)))
    assert "What one piece of Shea butter weighs" in reason(by_piece.unit_cost)


# --- starting prices -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("material", "amount", "unit", "wanted"),
    [
        (SHEA, "12", "kg", D("0.012")),
        (SHEA, "5.50", "lb", D("5.50") / D("453.59237")),
        (JOJOBA, "30", "L", D(30) / D("864.2")),
        (JAR, "0.80", "pieces", D("0.80")),
    ],
)
def test_a_starting_price_stands_in_marked_and_stale(material: Id, amount: str, unit: str, wanted: Decimal) -> None:
    held = book(materials=[replace(MATERIALS[material], starting=starting(amount, unit))])
    result = cost(material=material, like=held)
    assert known(result.unit_cost) == wanted
    assert (result.rule, result.marks, result.stale, result.day) == ("starting price", (STARTING,), True, None)


def test_a_starting_price_gives_way_to_the_first_purchase_that_sets_a_price() -> None:
    held = book(materials=[replace(MATERIALS[SHEA], starting=starting("12", "kg"))])
    assert per_kg(cost(bought("2026-06-01", "1", not_priced="sample"), like=held)) == 12
    assert per_kg(cost(bought("2026-07-01", "10"), like=held)) == 12
    assert per_kg(cost(bought("2020-06-01", "10"), like=held)) == 10


def test_a_lapsed_quote_without_a_purchase_falls_to_the_starting_price() -> None:
    result = cost(like=quoting(until="2026-06-02", about=starting("12", "kg")))
    assert (per_kg(result), result.marks) == (D(12), (STARTING, LAPSED))


def test_a_starting_price_in_a_unit_that_cannot_be_converted_is_missing() -> None:
    held = book(materials=[replace(MATERIALS[buying.ROSE_WATER], starting=starting("6", "L"))])
    assert "density is not known" in reason(cost(material=buying.ROSE_WATER, like=held).unit_cost)


# --- stale ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("day", "stale"), [("2025-06-30", False), ("2025-06-29", True), ("2026-06-30", False)])
def test_a_price_older_than_the_workshop_looks_back_is_stale(day: str, *, stale: bool) -> None:
    assert cost(bought(day, "10.00")).stale is stale
    assert cost(bought(day, "10.00"), like=by("dearest")).stale is stale


def test_a_newer_purchase_keeps_a_dearest_price_from_being_stale() -> None:
    held = book(workshop=Workshop(basis="dearest", basis_months=D(60)))
    result = cost(bought("2024-01-01", "20.00"), bought("2026-06-01", "10.00", number=2), like=held)
    assert (per_kg(result), result.stale) == (D(20), False)


# --- foreign money -------------------------------------------------------------------------------------------------


def test_purchases_at_several_rates_average_exactly() -> None:
    """1 kg for 10 USD at 3 USD a euro, 2 kg for 20 USD at 7, 1 kg for 5 EUR: (10/3 + 20/7 + 5) / 4 = 235/84."""
    orders = (
        replace(bought("2026-06-01", "10", number=1), currency="USD", exchange=exchange("units per home", "3")),
        replace(bought("2026-06-02", "10", "2", number=2), currency="USD", exchange=exchange("units per home", "7")),
        bought("2026-06-03", "5", number=3),
    )
    result = cost(*orders, like=by("averaged"))
    assert snap(per_kg(result)) == snap(D(235) / D(84))
    assert not isinstance(result.exact, Gap)
    assert result.exact.over * 84 == result.exact.under * D("0.235")


amounts = st.lists(
    st.tuples(st.integers(0, 700), st.decimals("0.01", 90, places=2), st.decimals("0.5", 40, places=1)),
    min_size=1,
    max_size=6,
)


@settings(max_examples=examples.of(200))
@given(amounts, st.sampled_from(["latest", "averaged", "dearest"]))
def test_no_basis_leaves_the_range_of_what_was_paid(rows: Sequence[tuple[int, Decimal, Decimal]], basis: str) -> None:
    orders = [
        order(line(packs=str(packs), total=str(total)), number=place + 1, day=date.fromordinal(739_797 - back))
        for place, (back, total, packs) in enumerate(rows)
    ]
    held = by(basis, day=date.fromordinal(739_797))
    result = known(cost(*orders, like=held).unit_cost)
    each = [known(known_line.unit_cost) for one in orders for known_line in landed(held, one).lines]
    assert min(each) <= snap(result) + D("1e-12")
    assert snap(result) <= max(each) + D("1e-12")
    if basis == "averaged":
        assert result <= known(cost(*orders, like=by("dearest", day=held.day)).unit_cost) + D("1e-40")


# --- opened --------------------------------------------------------------------------------------------------------


def opened(result: MaterialCost, *orders: Order, like: Book | None = None) -> Any:
    held = like or book()
    all_landed: dict[Id, Landed] = {one.id: landed(held, one) for one in orders}

    def line_of(number: Id, index: int) -> tuple[Landed, LandedLine]:
        return all_landed[number], all_landed[number].lines[index]

    return working(held, result, line_of)


def test_one_purchase_opens_down_to_packs_times_price() -> None:
    one = order(
        line(
            JOJOBA,
            packs="2",
            size="16",
            unit="US fl oz",
            price="20",
            discount="10",
            discount_in="percent",
            tax_rate="20",
        ),
        line(price="36"),
        charges=(charge("9"), charge("3", "discount", share="equally"), charge("4", "duty", money="home")),
        tax_total="0.50",
        currency="USD",
        exchange=exchange("home per unit", "0.9"),
    )
    result = cost(one, material=JOJOBA)
    sum_ = opened(result, one)
    assert (sum_.result, sum_.kind, sum_.unit) == (result.unit_cost, "unit cost", "per g")
    money, quantity = sum_.steps
    assert (money.amount, quantity.sign, quantity.amount) == (result.landed, "÷", result.quantity)
    assert [(step.sign, str(step.amount), step.words) for step in money.working.steps] == [
        ("", "2", "packs"),
        ("×", "20", "price per pack"),
        ("-", "4.00", "discount of 10 %"),
        ("=", "36.00", "goods, rounded once"),
        ("+", "7.20", "sales tax at 20 %, not reclaimed"),
        ("+", "4.50", "share of freight, by value"),
        ("-", "1.50", "share of discount, equally"),
        ("+", "0.25", "share of the order's sales tax, by value"),
        ("×", "0.9", "for one USD"),
        ("+", "2.00", "share of duty, by value"),
    ]
    # on paper: (36 + 7.20 + 4.50 - 1.50 + 0.25) x 0.9 + 2 = 43.805
    assert money.working.result == D("43.805")
    assert [str(step.amount) for step in quantity.working.steps] == ["2", "16", "29.5735295625", "0.8642"]
    assert {step.source.field for step in money.working.steps if step.source} >= {
        "lines-0-price",
        "charges-0",
        "tax_total",
    }


def test_a_sum_as_it_is_read_gives_the_figure_it_stands_over() -> None:
    """Follow the signs of every step: each sum on show must come to its own result."""
    one = order(
        line(JOJOBA, packs="3", size="1", unit="L", price="20", discount="1.10", tax_rate="20", tax_included=True),
        charges=(charge("9"),),
        currency="USD",
        exchange=exchange("paid", "50"),
    )
    for registered in (False, True):
        held = book(registered=registered)
        result = cost(one, material=JOJOBA, like=held)
        check(opened(result, one, like=held))


def check(sum_: Any) -> None:
    run = D(0)
    signs = {"+": lambda a, b: a + b, "-": lambda a, b: a - b, "×": lambda a, b: a * b, "÷": lambda a, b: a / b}
    for step in sum_.steps:
        run = step.amount if step.sign in ("", "=") else signs[step.sign](run, step.amount)
        if step.working:
            assert snap(step.working.result) == snap(step.amount)
            check(step.working)
    assert snap(run) == snap(sum_.result)


def test_several_purchases_open_to_their_sums() -> None:
    orders = (bought("2026-06-01", "10", "3", number=1), bought("2026-06-01", "11", number=2, arrived="0.9"))
    result = cost(*orders)
    sum_ = opened(result, *orders)
    assert [(step.sign, step.amount) for step in sum_.steps] == [("", 30), ("+", 11), ("=", 41), ("÷", 3900)]
    assert [step.source for step in sum_.steps[:2]] == [Ref("order", 1, "lines-0"), Ref("order", 2, "lines-0")]
    check(sum_)


def test_a_quote_and_a_starting_price_open_too() -> None:
    held = quoting(currency="USD", exchange=exchange("units per home", "1.2"))
    sum_ = opened(cost(like=held), like=held)
    assert (sum_.title, sum_.steps[0].source) == ("Shea butter, as quoted", Ref("quote", 7, "price"))
    check(sum_)
    home = quoting()
    assert [step.amount for step in opened(cost(like=home), like=home).steps] == [30, 2000]
    started = book(materials=[replace(MATERIALS[JOJOBA], starting=starting("30", "US pint"))])
    sum_ = opened(cost(material=JOJOBA, like=started), like=started)
    assert sum_.note == "Starting price"
    check(sum_)
    pieces = book(materials=[replace(MATERIALS[JAR], starting=starting("0.80", "pieces"))])
    assert opened(cost(material=JAR, like=pieces), like=pieces).steps[1].working is None


def test_a_missing_cost_opens_to_where_it_is_missing() -> None:
    one = order(line(), currency="USD")
    result = cost(one)
    sum_ = opened(result, one)
    assert sum_.result == result.unit_cost
    assert isinstance(sum_.steps[0].amount, Gap)
    assert opened(cost()).steps == ()
    unquoted = quoting(currency="USD")
    assert isinstance(opened(cost(like=unquoted), like=unquoted).steps[1].amount, Gap)


def test_a_material_is_found_under_its_own_lines() -> None:
    one = landed(book(), order(line(price="1"), line(JAR, size="2", unit="pieces", price="1"), line(price="2")))
    found = by_material([one])
    assert {material: [each.index for each in lines] for material, lines in found.items()} == {SHEA: [0, 2], JAR: [1]}


def test_a_retired_material_keeps_its_cost() -> None:
    gone: Material = replace(MATERIALS[SHEA], retired=date(2026, 6, 2))
    assert per_kg(cost(bought("2026-06-01", "10"), like=book(materials=[gone]))) == 10
