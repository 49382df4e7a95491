"""Price history of a material: figures by hand, a euro a piece so that they can be read off."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from tests.costing.buying import JAR, SHEA, book, known, line, order
from webapp.costing.book import Book, Material, Quote, Supplier, Workshop
from webapp.costing.gaps import Gap
from webapp.costing.material_history import (
    CHEAPER,
    COUNTS,
    HELD_BACK,
    MOST_DAYS,
    NEWER,
    NOT_PRICED,
    OUTSIDE,
    QUOTE_COUNTS,
    MaterialHistory,
    material_history,
    thin,
)
from webapp.costing.reckoning import Reckoning

D = Decimal


def day(text: str) -> date:
    return date.fromisoformat(text)


def bought(*events: tuple[str, str], basis: str = "latest") -> Book:
    """Ten jars on each day at so much each."""
    orders = {
        place: order(line(JAR, packs="10", size="1", unit="pieces", price=each), number=place, day=day(when))
        for place, (when, each) in enumerate(events, 1)
    }
    return book(workshop=Workshop(currency="EUR", basis=basis, basis_months=D(3)), orders=orders)


def told(held: Book) -> MaterialHistory:
    return material_history(Reckoning(held), JAR)


def whys(held: Book) -> list[str]:
    return [one.why for one in told(held).bought]


def steps(held: Book) -> list[tuple[str, Decimal]]:
    return [(one.day.isoformat(), known(one.unit_cost)) for one in told(held).steps]


def test_the_latest_price_makes_a_step_at_every_purchase() -> None:
    held = bought(("2026-01-10", "1"), ("2026-03-10", "1"), ("2026-05-10", "1.5"))
    assert steps(held) == [("2026-01-10", D(1)), ("2026-05-10", D("1.5"))]
    assert whys(held) == [COUNTS, NEWER, NEWER]


def test_an_average_moves_when_a_purchase_comes_and_when_one_is_too_old() -> None:
    """1; (1 + 2) / 2 = 1.5; three months after 10 January the first is out: 2; (2 + 4) / 2 = 3; then 4."""
    held = bought(("2026-01-10", "1"), ("2026-02-15", "2"), ("2026-05-10", "4"), basis="averaged")
    assert steps(held) == [
        ("2026-01-10", D(1)),
        ("2026-02-15", D("1.5")),
        ("2026-04-10", D(2)),
        ("2026-05-10", D(3)),
        ("2026-05-15", D(4)),
    ]
    assert whys(held) == [COUNTS, OUTSIDE, OUTSIDE]


def test_what_was_bought_on_a_day_that_a_shorter_month_has_not_leaves_on_the_first_of_the_next() -> None:
    """A month before 28 February is 28 January: the 31st is after it. A month before 1 March it is not."""
    held = bought(("2026-01-31", "1"), ("2026-02-10", "2"), basis="averaged")
    held = replace(held, workshop=replace(held.workshop, basis_months=D(1)))
    assert steps(held) == [("2026-01-31", D(1)), ("2026-02-10", D("1.5")), ("2026-03-01", D(2))]


def test_of_the_dearest_the_others_say_why_they_do_not_count() -> None:
    held = bought(("2026-01-10", "9"), ("2026-05-10", "4"), ("2026-06-10", "3"), basis="dearest")
    assert whys(held) == [CHEAPER, COUNTS, OUTSIDE]


def test_a_purchase_without_a_cost_is_a_gap_and_holds_the_others_back() -> None:
    """Jars by the kilo: what one weighs is known, what a lid weighs is not."""
    held = bought(("2026-05-10", "1"), basis="averaged")
    odd = order(line(JAR, unit="mL", price="5"), number=7, day=day("2026-06-01"))
    held = replace(held, orders={**held.orders, 7: odd})
    found = told(held)
    assert [one.why for one in found.bought] == [COUNTS, HELD_BACK]
    assert isinstance(found.bought[0].line.unit_cost, Gap)
    assert isinstance(found.steps[-1].unit_cost, Gap)


def test_a_sample_is_told_but_sets_no_price() -> None:
    held = bought(("2026-05-10", "1"))
    free = order(line(JAR, unit="pieces", price="0", not_priced="sample"), number=7, day=day("2026-06-01"))
    held = replace(held, orders={**held.orders, 7: free})
    assert whys(held) == [NOT_PRICED, COUNTS]
    assert steps(held) == [("2026-05-10", D(1))]
    assert len(told(held).offers) == 1


def quoting(held: Book, *, chosen: bool, until: str = "2026-12-31", price: str = "8") -> Book:
    """Ten jars quoted from 1 June."""
    quote = Quote(30, JAR, 2, day("2026-06-01"), day(until), D(10), "pieces", D(price))
    jar: Material = replace(held.materials[JAR], quote=30 if chosen else None)
    others = {**held.suppliers, 2: Supplier(2, "The mill")}
    return replace(held, quotes={30: quote}, materials={**held.materials, JAR: jar}, suppliers=others)


def test_a_chosen_quote_counts_while_it_is_valid_and_is_marked() -> None:
    held = quoting(bought(("2026-05-10", "1")), chosen=True)
    found = told(held)
    assert (found.quotes[0].valid, found.quotes[0].counts) == (True, True)
    assert [(one.day, one.unit_cost, one.quote) for one in found.steps] == [
        (day("2026-05-10"), D(1), None),
        (day("2026-06-01"), D("0.8"), 30),
    ]
    assert whys(held) == [QUOTE_COUNTS]


def test_a_quote_that_lapsed_gives_way_to_the_latest_on_the_day_after() -> None:
    held = quoting(bought(("2026-05-10", "1")), chosen=True, until="2026-06-20")
    assert steps(held)[-1] == ("2026-06-21", D(1))
    assert not told(held).quotes[0].counts
    assert [one.quote for one in told(held).offers] == [None]


def test_offers_stand_side_by_side_cheapest_first_the_newest_of_each_pack() -> None:
    """0.80 quoted; 1.00 paid last, a quarter more. The older 9.00 for the same pack is not shown."""
    held = quoting(bought(("2026-05-10", "9"), ("2026-06-10", "1")), chosen=False)
    found = told(held).offers
    assert [(one.supplier, one.unit_cost, one.dearer, one.quote) for one in found] == [
        (2, D("0.8"), D(0), 30),
        (1, D(1), D("0.25"), None),
    ]
    assert [one.counts for one in found] == [False, True]


def test_what_was_never_bought_has_an_empty_history() -> None:
    found = material_history(Reckoning(book()), SHEA)
    assert (found.bought, found.quotes, found.steps, found.offers) == ((), (), (), ())


def test_a_long_history_is_thinned_with_its_first_and_last_kept_and_says_so() -> None:
    days = [date(2020 + n // 12, n % 12 + 1, 3) for n in range(75)]
    found = told(bought(*((one.isoformat(), str(n + 1)) for n, one in enumerate(days))))
    assert (len(found.steps), found.thinned) == (MOST_DAYS, True)
    assert (found.steps[0].unit_cost, found.steps[-1].unit_cost) == (D(1), D(75))
    assert len(found.bought) == 75


@pytest.mark.parametrize(("count", "kept"), [(3, [0, 1, 2]), (4, [0, 1, 2, 3]), (7, [0, 2, 4, 6])])
def test_thinning_keeps_the_ends(count: int, kept: list[int]) -> None:
    assert thin(range(count), 4) == (kept, count > 4)
