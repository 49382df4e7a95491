"""What a change does: costs before and after, the worst rows first, and what was costed again. Figures by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from tests.costing.making import DAY, JAR, OIL, SHEA, costing, fill, formula, gap, line, product, room
from webapp.costing.book import Book, Channel, Part, Price, Sales, StartingPrice
from webapp.costing.difference import (
    costed_again,
    lost_more,
    moved_materials,
    moved_rows,
)
from webapp.costing.reckoning import Reckoning

D = Decimal
STALL = 51
BUTTER, SOAP = 21, 22
SMALL, LARGE, OTHER = 31, 32, 33


def workshop() -> Book:
    """Two jars of shea butter at 10.00 a kg, 100 g and 200 g, and one of oil; a stall that wants 50 %.

    A jar costs 0.50. 100 g: 1.00 + 0.50 = 1.50; 200 g: 2.00 + 0.50 = 2.50; the oil's 100 g at 4.00 a kg: 0.90.
    """
    things = (
        costing(SHEA, "Shea", "10"),
        costing(OIL, "Oil", "4"),
        costing(JAR, "Jar", "0.50", "pieces"),
        formula(BUTTER, line(SHEA, "100"), batch_grams="1000"),
        formula(SOAP, line(OIL, "100"), batch_grams="1000"),
        product(SMALL, fill(BUTTER, "100"), parts=(Part(JAR),)),
        product(LARGE, fill(BUTTER, "200"), parts=(Part(JAR),)),
        product(OTHER, fill(SOAP, "100"), parts=(Part(JAR),)),
    )
    book = room(*things)
    channel = Channel(STALL, "Stall", DAY, target=D(50))
    prices = {SMALL: "3.00", LARGE: "6.00", OTHER: "2.00"}
    return replace(
        book,
        channels={STALL: channel},
        prices={(one, STALL): Price(one, STALL, DAY, D(amount)) for one, amount in prices.items()},
        sales={(SMALL, STALL): Sales(SMALL, STALL, DAY, D(40))},
    )


def dearer(book: Book, price: str) -> Book:
    """Shea at another price a kg."""
    shea = replace(book.materials[SHEA], starting=StartingPrice(D(price), "kg"))
    return replace(book, materials={**book.materials, SHEA: shea})


def both(price: str) -> tuple[Reckoning, Reckoning]:
    before = Reckoning(workshop())
    before.line()
    return before, Reckoning(dearer(before.book, price), before)


def test_the_same_book_moves_nothing() -> None:
    before = Reckoning(workshop())
    before.line()
    after = Reckoning(replace(before.book), before)
    assert moved_materials(before, after) == ()
    assert moved_rows(before, after) == ()
    assert costed_again(before, after).products == 0


def test_a_material_moves_by_so_much_and_so_many_percent() -> None:
    before, after = both("12.50")
    (moved,) = moved_materials(before, after)
    assert moved.material == SHEA
    assert moved.change == D("0.0025")  # 2.50 a kg
    assert moved.change_share == D("0.25")


def test_a_material_that_cost_nothing_has_no_change_in_percent() -> None:
    before = Reckoning(dearer(workshop(), "0"))
    after = Reckoning(workshop(), before)
    (moved,) = moved_materials(before, after)
    assert moved.change == D("0.01")
    assert "no share" in gap(moved.change_share).reason


def test_only_what_depends_on_it_is_costed_again() -> None:
    before, after = both("12.50")
    assert costed_again(before, after) == (2, 3)


def test_what_falls_below_stands_first_with_what_it_loses_a_month() -> None:
    before, after = both("15")
    first, second = moved_rows(before, after)
    # 100 g: cost 1.50 + 0.50 = 2.00 of 3.00 leaves 33.3 %, it was 50 %; half of 3.00 less 1.00 is 0.50, 40 times.
    assert (first.after.product, first.falls_below) == (SMALL, True)
    assert first.lost_more == D(20)
    # 200 g: cost 3.00 + 0.50 = 3.50 of 6.00 leaves 41.7 %; it was 58.3 %.
    assert (second.after.product, second.falls_below) == (LARGE, True)
    assert "not known yet" in gap(second.lost_more).reason
    assert lost_more((first, second)) == (D(20), 1)


def test_what_was_below_already_comes_after_what_falls() -> None:
    book = workshop()
    book = replace(book, prices={**book.prices, (SMALL, STALL): Price(SMALL, STALL, DAY, D("2.80"))})
    before = Reckoning(book)
    after = Reckoning(dearer(book, "15"), before)
    assert [(one.after.product, one.falls_below) for one in moved_rows(before, after)] == [
        (LARGE, True),
        (SMALL, False),
    ]


def test_what_stays_at_its_target_comes_last() -> None:
    book = workshop()
    high, low = Price(SMALL, STALL, DAY, D("9.00")), Price(LARGE, STALL, DAY, D("4.50"))
    book = replace(book, prices={**book.prices, (SMALL, STALL): high, (LARGE, STALL): low})
    before = Reckoning(book)
    after = Reckoning(dearer(book, "15"), before)
    # Butter 100 g costs 2.00 of 9.00 and stays above 50 %; 200 g was below already at 2.50 of 4.50.
    assert [(one.after.product, one.after.reaches) for one in moved_rows(before, after)] == [
        (LARGE, False),
        (SMALL, True),
    ]


def test_a_cheaper_material_loses_less_a_month() -> None:
    before = Reckoning(dearer(workshop(), "15"))
    after = Reckoning(workshop(), before)
    moved = {one.after.product: one for one in moved_rows(before, after)}
    assert moved[SMALL].lost_more == D(-20)
    assert not moved[SMALL].falls_below


def test_the_suggested_price_and_what_it_leaves() -> None:
    before, after = both("15")
    first = moved_rows(before, after)[0]
    assert first.after.suggested == D("4.00")  # 2.00 / (1 - 0.5)
    assert first.margin_suggested == D("0.5")
    assert first.asks_for_price
    assert first.after.margin_at(D("5.00")) == D("0.6")


def test_a_row_without_a_price_asks_for_one() -> None:
    book = workshop()
    book = replace(book, prices={})
    before = Reckoning(book)
    after = Reckoning(dearer(book, "15"), before)
    assert all(one.asks_for_price for one in moved_rows(before, after))


def test_a_new_product_has_no_before() -> None:
    book = workshop()
    without = replace(book, products={one: kept for one, kept in book.products.items() if one != LARGE})
    before, after = Reckoning(without), Reckoning(book)
    (new,) = [one for one in moved_rows(before, after) if one.before is None]
    assert new.after.product == LARGE
    assert "not known yet" in gap(new.lost_more).reason
