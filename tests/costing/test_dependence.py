"""What depends on a material, and which share of a jar's cost hangs on it. Figures by hand, and by taking it away.

A tub of 100 g of butter: 60 g of shea at 8.00 a kg is 0.48, 40 g of oil at 5.00 is 0.20, a jar 0.50, a lid 0.20 of
which 10 are spoiled for 100 used well 0.22: together 1.40. A set of two tubs under one more lid: 2.80 + 0.20 = 3.00.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import (
    BUTTER,
    DAY,
    INFUSED,
    JAR,
    LID,
    OIL,
    PLAIN_BUTTER,
    PLAIN_TUB,
    SEALED,
    SET,
    SHEA,
    TUB,
    WATER,
    changed,
    formula,
    gap,
    line,
    product,
    room,
)
from tests.small_books import small
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Channel, Id, Member, Part, Quote, Supplier
from webapp.costing.dependence import Dependence, charged_costs, dependents, shares_of
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning

D = Decimal
STALL, SHOP = 51, 52


def workshop() -> Book:
    tub = changed(PLAIN_TUB, parts=(Part(None, SEALED),), channels=(STALL,))
    both = product(SET, members=(Member(TUB, D(2)),), parts=(Part(LID),))
    channels = {one: Channel(one, f"Channel {one}", DAY) for one in (STALL, SHOP)}
    return replace(room(PLAIN_BUTTER, tub, both), channels=channels)


def one(of: Reckoning, material: Id) -> Dependence:
    return dependents(of, [material])[material]


@pytest.mark.parametrize(
    ("material", "share", "most"),
    [(SHEA, D("0.48") / D("1.40"), TUB), (JAR, D("0.50") / D("1.40"), TUB), (LID, D("0.64") / D(3), SET)],
)
def test_the_largest_share_of_a_jar_hangs_on_it(material: Id, share: Decimal, most: Id) -> None:
    found = one(Reckoning(workshop()), material)
    assert isinstance(found.share, Decimal)
    assert (snap(found.share), found.most) == (snap(share), most)


def test_everything_that_has_it_depends_on_it_through_blends_groups_and_sets() -> None:
    blend = formula(INFUSED, line(OIL, "100"), batch_grams="1000")
    butter = changed(PLAIN_BUTTER, lines=(line(SHEA, "60"), line(INFUSED, "40", blend=True)))
    book = replace(workshop(), formulas={INFUSED: blend, BUTTER: butter})
    found = one(Reckoning(book), OIL)
    assert set(found.formulas) == {INFUSED, BUTTER}
    assert set(found.products) == {TUB, SET}
    assert found.prices == 3  # the tub at the stall, the set everywhere
    lid = one(Reckoning(book), LID)
    assert (lid.formulas, set(lid.products)) == ((), {TUB, SET})


def test_nothing_depends_on_what_is_in_nothing_or_only_in_what_is_put_away() -> None:
    book = workshop()
    assert one(Reckoning(book), WATER) == Dependence(WATER, (), (), 0)
    gone = {key: replace(held, retired=DAY) for key, held in book.products.items()}
    found = one(Reckoning(replace(book, products=gone)), SHEA)
    assert (found.formulas, found.products, found.prices, found.share) == ((BUTTER,), (), 0, None)


def test_where_no_cost_is_known_the_share_is_the_gap() -> None:
    book = workshop()
    unknown = replace(book.materials[OIL], starting=None)
    found = one(Reckoning(replace(book, materials={**book.materials, OIL: unknown})), SHEA)
    assert gap(found.share).reason.startswith("Oil has no price yet")
    assert found.prices == 3


def for_nothing(book: Book, material: Id) -> Book:
    """The book with a quote of nothing for the material."""
    held = book.materials[material]
    unit = "pieces" if held.by_piece else "g"
    quote = Quote(999, material, 998, book.day, book.day, D(1), unit, D(0), book.workshop.currency)
    return replace(
        book,
        suppliers={**book.suppliers, 998: Supplier(998, "Nobody")},
        quotes={**book.quotes, 999: quote},
        materials={**book.materials, material: replace(held, quote=999)},
    )


@settings(max_examples=examples.of(20), deadline=None)
@given(seed=st.integers(0, 5_000))
def test_what_hangs_on_a_material_is_what_a_jar_would_cost_less_without_it(seed: int) -> None:
    book = small(Random(seed))
    known = Reckoning(book)
    for key in book.products:
        sheet, charged = known.sheet(key), charged_costs(known, key)
        if isinstance(sheet.full, Gap):
            assert isinstance(shares_of(known, key), Gap)
            continue
        assert not isinstance(charged, Gap)
        assert snap(sum(charged.values(), D(0))) == snap(sheet.materials)  # type: ignore[arg-type]
        for material in list(charged)[:3]:
            free = Reckoning(for_nothing(book, material), known).sheet(key).full
            assert isinstance(free, Decimal)
            assert snap(sheet.full - free) == snap(charged[material])
