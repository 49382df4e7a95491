"""The line in groups, and the parts of it that a product's name, formula and prices make. Figures from paper."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.books import example_book
from tests.costing.making import DAY, INFUSED, SET, TUB, D, fill, formula, line, product
from tests.costing.test_line import JARRED, SHOP, STALL, STALLED, channel, selling
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Member
from webapp.costing.leaning import uses
from webapp.costing.line_groups import CHANNEL, FORMULA, GROUPS, grouped
from webapp.costing.line_order import FIGURES, Wanted
from webapp.costing.reckoning import Reckoning

OTHER, BLENDED = 36, 37
OILY = formula(INFUSED, line(2, "100"), batch_grams="1000")
BLEND = formula(24, line(INFUSED, "50", blend=True), line(1, "50"), batch_grams="1000")
SHOPPED = channel(SHOP, "online")
#: a tub of butter, an oil, a balm with the oil in it, a gift set of a tub
FOUR = selling(
    JARRED,
    OILY,
    BLEND,
    product(OTHER, fill(INFUSED, "100")),
    product(BLENDED, fill(24, "100")),
    product(SET, members=(Member(TUB, D(1)),)),
    STALLED,
    SHOPPED,
    prices=[(TUB, STALL, "4"), (TUB, SHOP, "5")],
    sales=[(TUB, STALL, "10"), (TUB, SHOP, "30")],
)


def products(wanted: Wanted, book: Book = FOUR) -> set[int]:
    return {row.product for row in wanted.of(Reckoning(book))}


def test_a_group_has_what_its_rows_add_up_to() -> None:
    known = Reckoning(FOUR)
    found = {one.things: one for one in grouped(known, known.line(), FORMULA)}
    assert set(found) == {(21,), (INFUSED,), (24,), ()}
    tub = found[21,]
    # 10 x 4 + 30 x 5; 10 x 1.32 + 30 x 2.32
    assert (tub.totals.jars, tub.totals.net_sales, tub.totals.profit) == (D(40), D(190), D("82.8"))
    assert tub.totals.weighted_margin == D("82.8") / 190
    by_channel = grouped(known, known.line(), CHANNEL)
    assert [(one.things, len(one.rows), one.totals.net_sales) for one in by_channel] == [
        ((STALL,), 4, D(40)),
        ((SHOP,), 4, D(150)),
    ]


def test_what_has_no_formula_comes_last_and_order_within_stays() -> None:
    known = Reckoning(FOUR)
    down = Wanted("price", down=True).of(known)
    groups = grouped(known, down, FORMULA)
    assert groups[-1].things == ()
    tub = next(one for one in groups if one.things == (21,))
    assert [row.channel for row in tub.rows] == [SHOP, STALL]


def test_a_row_that_sells_and_is_not_known_is_counted_beside_the_others() -> None:
    unknown = replace(FOUR, channels={**FOUR.channels, SHOP: replace(FOUR.channels[SHOP], pitch=D(30))})
    known = Reckoning(unknown)
    (tub,) = (one for one in grouped(known, known.line(), FORMULA) if one.things == (21,))
    assert (tub.left_out, tub.totals.net_sales) == (1, D(40))


@pytest.mark.parametrize("by", GROUPS)
def test_groups_hold_every_row_once_and_add_up_to_the_whole(by: str) -> None:
    known = Reckoning(example_book(DAY)[0])
    groups = grouped(known, known.line(), by)
    assert sorted((row.product, row.channel) for one in groups for row in one.rows) == sorted(
        (row.product, row.channel) for row in known.line()
    )
    sums = [one.totals.net_sales for one in groups]
    assert snap(sum((one for one in sums if isinstance(one, Decimal)), D(0))) == snap(known.totals.net_sales)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Wanted(), {TUB, OTHER, BLENDED, SET}),
        (Wanted(formula=INFUSED), {OTHER, BLENDED}),
        (Wanted(formula=21), {TUB, SET}),
        (Wanted(formula=0), set()),
        (Wanted(find="  TUB "), {TUB}),
        (Wanted(find="set gift"), {SET}),
        (Wanted(find="gift tub"), set()),
        (Wanted(products=frozenset({SET, TUB}), channel=STALL), {SET, TUB}),
    ],
)
def test_parts_by_name_formula_and_product(wanted: Wanted, found: set[int]) -> None:
    assert products(wanted) == found


def test_parts_by_what_their_costs_rest_on() -> None:
    # starting prices have no day, so all rest on an old price; nothing rests on a quote
    assert products(Wanted(only="stale")) == {TUB, OTHER, BLENDED, SET}
    assert products(Wanted(only="quoted")) == set()
    book, _ = example_book(DAY)
    known = Reckoning(book)
    quoted = {row.product for row in Wanted(only="quoted").of(known)}
    named = {one.material for one in book.quotes.values() if known.material(one.material).quote is not None}
    inside = {row.product for row in known.line() for m in named if ("material", m) in _uses(known, row.product)}
    assert quoted == inside


def _uses(known: Reckoning, product: int) -> frozenset[tuple[str, int]]:
    return uses(known, ("product", product))


def test_figures_of_a_row_by_hand() -> None:
    row = Reckoning(FOUR).row(TUB, STALL)
    # 4.00 for 100 g at a cost of 2.68, 10 sold a month; the target keeps 1.60 of which 1.32 is left
    told = {key: FIGURES[key](row) for key in ("cost_hundred", "month", "net_month", "lost", "profit", "target")}
    assert told == {
        "cost_hundred": D("2.68"),
        "month": D("13.2"),
        "net_month": D(40),
        "lost": D("2.8"),
        "profit": D("1.32"),
        "target": D("0.4"),
    }
    unsold = Reckoning(FOUR).row(SET, STALL)
    assert [FIGURES[key](unsold) for key in ("month", "net_month", "lost", "jars")] == [None] * 4
