"""Costs from before and after the maker registered for sales tax. Figures by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from tests.costing.buying import SHEA, book, charge, line, order
from webapp.costing.book import Book, Order, Quote, Registration, Workshop
from webapp.costing.difference import MovedMaterial, moved_materials
from webapp.costing.material_history import material_history
from webapp.costing.reckoning import Reckoning
from webapp.costing.tax_in_cost import TaxChange, TaxSide, last_change, tax_change

D = Decimal
REGISTERED = date(2026, 3, 1)
CHANGE = TaxChange(REGISTERED, in_cost=False)


def held(*orders: Order, basis: str = "latest", registrations: tuple[Registration, ...] | None = None) -> Book:
    """Registered from 1 March 2026 on, unless it is said otherwise."""
    known = {one.id: one for one in orders}
    made = book(orders=known, workshop=Workshop(currency="EUR", basis=basis))
    first = (Registration(REGISTERED, registered=True),)
    return replace(made, registrations=first if registrations is None else registrations)


def bought(number: int, day: str, price: str, rate: str = "20") -> Order:
    return order(line(price=price, tax_rate=rate), number=number, day=date.fromisoformat(day))


def moved(before: Book, after: Book) -> tuple[MovedMaterial, TaxChange | None]:
    old, new = Reckoning(before), Reckoning(after)
    (found,) = moved_materials(old, new)
    return found, found.tax(old, new)


# 10.00 and 20 % tax that was not reclaimed were 12.00; 11.00 net is 11.00: a rise of the price that looks like a fall
OLD, NEW = bought(1, "2025-11-10", "10"), bought(2, "2026-06-10", "11")


def test_an_order_after_the_registration_says_that_tax_was_in_the_cost_before() -> None:
    found, tax = moved(held(OLD), held(OLD, NEW))
    assert (found.before and found.before.unit_cost, found.after.unit_cost) == (D("0.012"), D("0.011"))
    assert tax == CHANGE


def test_orders_on_one_side_of_it_are_alike() -> None:
    assert moved(held(OLD), held(OLD, bought(2, "2026-02-10", "11")))[1] is None
    later = bought(3, "2026-06-20", "12")
    assert moved(held(NEW), held(NEW, later))[1] is None


def test_what_is_held_against_an_older_day_is_compared_with_that_day_too() -> None:
    """12.00 in November (10 and its tax), 11.00 and now 11.50 afterwards: the highest since November, with its tax."""
    before, after = held(OLD, NEW), held(OLD, NEW, bought(3, "2026-06-20", "11.50"))
    found, tax = moved(before, after)
    standing = found.standing(Reckoning(before), after)
    assert standing is not None
    assert (standing.side, standing.since) == ("highest", OLD.day)
    assert tax == CHANGE


def test_without_any_tax_there_is_nothing_to_say() -> None:
    free = [bought(1, "2025-11-10", "10", "0"), bought(2, "2026-06-10", "11", "0")]
    assert moved(held(*free[:1]), held(*free))[1] is None


def test_a_material_that_is_new_has_nothing_to_be_compared_with() -> None:
    after = held(OLD)
    others = {number: one for number, one in after.materials.items() if number != SHEA}
    found, tax = moved(replace(after, materials=others, orders={}), after)
    assert (found.material, found.before, tax) == (SHEA, None, None)


@pytest.mark.parametrize(
    "typed",
    [
        {"tax_total": "2"},
        {"charges": (charge("5", tax_rate="20"),)},
    ],
)
def test_tax_as_a_lump_or_on_freight_is_in_the_cost_as_well(typed: dict[str, object]) -> None:
    first = order(line(price="10"), number=1, day=date(2025, 11, 10), **typed)
    assert moved(held(first), held(first, bought(2, "2026-06-10", "11", "0")))[1] == CHANGE


def test_who_leaves_the_register_has_tax_in_the_cost_from_then_on() -> None:
    """Registered since 2020 (said twice), and from 1 March on not."""
    said = (
        Registration(date(2020, 1, 1), registered=True),
        Registration(date(2021, 1, 1), registered=True),
        Registration(REGISTERED, registered=False),
    )
    tax = moved(held(OLD, registrations=said), held(OLD, NEW, registrations=said))[1]
    assert tax == TaxChange(REGISTERED, in_cost=True)
    known = held(registrations=said)
    assert last_change(known, date(2025, 1, 1)) == date(2020, 1, 1)
    assert last_change(known, date(2019, 1, 1)) is None


def test_a_registration_that_is_entered_late_moves_the_cost_of_an_order_by_its_tax() -> None:
    tax = moved(held(NEW, registrations=()), held(NEW))[1]
    assert tax == CHANGE
    left = (Registration(date(2020, 1, 1), registered=True), Registration(REGISTERED, registered=False))
    assert moved(held(NEW, registrations=left[:1]), held(NEW, registrations=left))[1] == TaxChange(REGISTERED, True)


def test_the_history_says_it_of_the_step_the_purchase_and_the_offer() -> None:
    """2 kg packs at 10 net are 5 a kilogram: the cheapest; the 1 kg pack of November held 2.00 of tax."""
    two = order(line(packs="1", size="2", price="20", tax_rate="20"), number=2, day=date(2026, 6, 10))
    last = bought(3, "2026-06-20", "11")
    found = material_history(Reckoning(held(OLD, two, last)), SHEA)
    assert [(one.day, one.tax) for one in found.steps] == [
        (OLD.day, None),
        (two.day, CHANGE),
        (last.day, None),
    ]
    assert [(one.line.order, one.tax_in_cost) for one in found.bought] == [(3, False), (2, False), (1, True)]
    assert found.tax == CHANGE
    old_pack = material_history(Reckoning(held(OLD, two)), SHEA)
    # 20 / 2000 g is below 12 / 1000 g
    assert [(one.size, one.tax) for one in old_pack.offers] == [(D(2), None), (D(1), CHANGE)]


def test_an_average_over_both_says_it_as_long_as_both_are_in_it() -> None:
    """A year is looked at: (12 + 11) / 2000 g from June on."""
    found = material_history(Reckoning(held(OLD, NEW, basis="averaged")), SHEA)
    assert [(one.unit_cost, one.tax) for one in found.steps] == [(D("0.012"), None), (D("0.0115"), CHANGE)]


def test_a_quote_says_nothing_of_its_tax() -> None:
    quote = Quote(1, SHEA, 1, date(2026, 1, 1), date(2026, 12, 31), D(1), "kg", D(9))
    found = material_history(Reckoning(replace(held(OLD), quotes={1: quote})), SHEA)
    assert [one.tax for one in found.offers] == [None, None]


def test_the_newest_change_is_the_one_that_is_said() -> None:
    said = (Registration(date(2024, 1, 1), registered=True), Registration(date(2025, 1, 1), registered=False))
    known = held(registrations=(*said, Registration(REGISTERED, registered=True)))
    sides = [TaxSide(date(2025, 6, 1), False, True), TaxSide(date(2026, 6, 1), True, True)]
    assert tax_change(known, sides) == CHANGE
