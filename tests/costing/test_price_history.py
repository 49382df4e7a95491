"""Price and cost of a product over time: a jar of one gram, figures in the head."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from webapp.costing.book import (
    Book,
    Channel,
    Fill,
    Formula,
    FormulaLine,
    Material,
    Order,
    OrderLine,
    Price,
    Product,
    Quote,
    Supplier,
    Workshop,
)
from webapp.costing.gaps import Gap
from webapp.costing.price_history import PriceOn, changes, leaning, quoted_in
from webapp.costing.price_history import held as held_on
from webapp.costing.reckoning import Reckoning

D = Decimal
MILL, OIL, MELT, JAR, STALL = 1, 2, 3, 4, 5
FIRST, BOUGHT, DEARER, RAISED = date(2026, 1, 1), date(2026, 2, 1), date(2026, 3, 1), date(2026, 4, 1)


def order(number: int, day: date, each: str) -> Order:
    return Order(number, MILL, day, (OrderLine(OIL, D(1), D(1000), "g", D(each)),))


def held(day: date) -> Book:
    """Oil at 1000 for 1000 g, later 2000; a jar of 1 g out of batches of 100 g; sold for 4, later for 8, no tax."""
    orders = {10: order(10, BOUGHT, "1000"), 11: order(11, DEARER, "2000")}
    price = Price(JAR, STALL, FIRST if day < RAISED else RAISED, D(4) if day < RAISED else D(8))
    return Book(
        day,
        Workshop(currency="EUR"),
        suppliers={MILL: Supplier(MILL, "The mill")},
        materials={OIL: Material(OIL, "Oil")},
        orders={key: one for key, one in orders.items() if one.day <= day},
        formulas={MELT: Formula(MELT, "Melt", FIRST, (FormulaLine(OIL, amount=D(100)),), batch_grams=D(100))},
        products={JAR: Product(JAR, "Jar", FIRST, (Fill(MELT, D(1)),))},
        channels={STALL: Channel(STALL, "Stall", FIRST, tax="none")},
        prices={(JAR, STALL): price},
    )


def history(books: Iterable[Book], *channels: int) -> tuple[PriceOn, ...]:
    """What changed on the last of these channels, asked together with the others."""
    days = [held_on(Reckoning(book), JAR, channels or (STALL,)) for book in books]
    asked = (channels or (STALL,))[-1]
    return changes([day[asked] for day in days if asked in day])


def test_the_margin_closes_as_oil_gets_dearer_and_opens_with_the_price() -> None:
    """4 - 1 = 3 of 4: 75 %; 4 - 2 = 2 of 4: 50 %; 8 - 2 = 6 of 8: 75 %. A day without a change is no point."""
    days = (BOUGHT, date(2026, 2, 20), DEARER, RAISED)
    found = history(held(day) for day in days)
    assert [(one.day, one.net, one.outlay, one.margin) for one in found] == [
        (BOUGHT, D(4), D(1), D("0.75")),
        (DEARER, D(4), D(2), D("0.5")),
        (RAISED, D(8), D(2), D("0.75")),
    ]
    assert all(one.accepted and not one.quoted for one in found)


def test_before_the_oil_was_bought_the_cost_is_missing_and_never_zero() -> None:
    (found,) = history([held(FIRST)])
    assert isinstance(found.outlay, Gap)
    assert isinstance(found.margin, Gap)
    assert found.net == D(4)


def test_days_before_the_product_was_there_are_left_out() -> None:
    early = replace(held(FIRST), products={})
    found = history([early, held(BOUGHT)])
    assert [one.day for one in found] == [BOUGHT]


def test_days_before_the_channel_was_there_are_left_out_on_it_alone() -> None:
    """The fair began two months after the stall, which has both days."""
    fair = 6
    later = replace(held(BOUGHT), day=DEARER, channels={**held(BOUGHT).channels, fair: Channel(fair, "Fair", DEARER)})
    later = replace(later, prices={**later.prices, (JAR, fair): Price(JAR, fair, DEARER, D(5))})
    found = {one: history([held(FIRST), later], STALL, fair, one) for one in (STALL, fair)}
    assert {channel: [one.day for one in days] for channel, days in found.items()} == {
        STALL: [FIRST, DEARER],
        fair: [DEARER],
    }
    assert [(one.net, one.outlay, one.margin) for one in found[fair]] == [(D(5), D(1), D("0.8"))]  # (5 - 1) / 5


def test_a_cost_that_rests_on_a_quote_says_so() -> None:
    book = held(RAISED)
    quote = Quote(20, OIL, MILL, FIRST, date(2026, 12, 31), D(1000), "g", D(3000))
    book = replace(book, quotes={20: quote}, materials={OIL: Material(OIL, "Oil", quote=20)})
    (found,) = history([book])
    assert (found.outlay, found.quoted) == (D(3), True)
    assert quoted_in(Reckoning(book), JAR) == (OIL,)
    assert quoted_in(Reckoning(held(RAISED)), JAR) == ()


def test_what_it_leans_on_is_all_that_is_in_it_and_what_sells_it() -> None:
    keys = leaning(Reckoning(held(RAISED)), JAR, (STALL,))
    wanted = {("material", OIL), ("formula", MELT), ("product", JAR), ("channel", STALL), ("price", (JAR, STALL))}
    assert wanted <= keys
    assert {("terms", 1), ("workshop", 1)} <= keys
    assert leaning(Reckoning(replace(held(FIRST), products={})), JAR, (STALL,)) == {("product", JAR)}


def test_the_histories_of_several_channels_are_those_of_each_day_by_itself() -> None:
    """The shop keeps a tenth of the price: 0.40 of 4 and 0.80 of 8 beside the cost of 1 and later 2."""
    shop = Channel(6, "Shop", FIRST, tax="none", share_net=D(10))
    books = []
    for day in (BOUGHT, DEARER, RAISED):
        book = held(day)
        price = replace(book.prices[JAR, STALL], channel=shop.id)
        channels, prices = {**book.channels, shop.id: shop}, {**book.prices, (JAR, shop.id): price}
        books.append(replace(book, channels=channels, prices=prices))
    told = {one: history(books, STALL, shop.id, one) for one in (STALL, shop.id)}
    assert {channel: [(one.day, one.net, one.outlay) for one in days] for channel, days in told.items()} == {
        STALL: [(BOUGHT, D(4), D(1)), (DEARER, D(4), D(2)), (RAISED, D(8), D(2))],
        shop.id: [(BOUGHT, D(4), D("1.4")), (DEARER, D(4), D("2.4")), (RAISED, D(8), D("2.8"))],
    }
    assert changes([]) == ()
