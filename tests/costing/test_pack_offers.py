"""What the book knows of offers and freight. Expected figures are from paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from tests.costing.buying import BOUGHT, JOJOBA, ROSE_WATER, SHEA, TODAY, D, book, charge, exchange, line, order, reason
from webapp.costing.book import Book, Order, Quote, Registration, Supplier
from webapp.costing.gaps import Ref
from webapp.costing.pack_offers import Known, last_freight, offers_of
from webapp.costing.reckoning import Reckoning
from webapp.costing.tax_in_cost import TaxChange

LATER = BOUGHT + timedelta(days=10)
YARD = 2


def holding(*orders: Order, quotes: tuple[Quote, ...] = (), **more: Any) -> Book:
    held = book(orders={one.id: one for one in orders}, quotes={one.id: one for one in quotes}, **more)
    return replace(held, suppliers={**held.suppliers, YARD: Supplier(YARD, "The yard")})


def offers(held: Book, material: int = SHEA) -> tuple[Known, ...]:
    return offers_of(Reckoning(held), material)


def quote(number: int, price: str, since: date = BOUGHT, until: date = TODAY, **more: Any) -> Quote:
    return Quote(number, SHEA, 1, since, until, D("5"), "kg", D(price), **more)


def test_the_newest_price_of_each_pack_and_supplier_is_taken() -> None:
    held = holding(
        order(line(packs="2", size="5", price="40"), number=1),
        order(line(packs="3", size="5", price="42"), line(size="1", price="9"), number=2, day=LATER),
        replace(order(line(size="5", price="44"), number=3), supplier=YARD),
    )
    assert [(one.supplier, one.size, one.price, one.quantity) for one in offers(held)] == [
        (1, D(1), D(9), D(1000)),
        (1, D(5), D(42), D(5000)),
        (YARD, D(5), D(44), D(5000)),
    ]
    assert offers(held)[1].source == Ref("order", 2, "lines-0")


def test_a_price_is_net_of_the_tax_that_is_reclaimed_and_bears_that_which_is_not() -> None:
    taxed = order(line(packs="2", price="10", tax_rate="20"), number=1)
    assert offers(holding(taxed, registered=True))[0].price == D(10)
    assert offers(holding(taxed))[0].price == D(12)


def test_a_discount_is_in_the_price_and_freight_is_not() -> None:
    cheaper = order(line(packs="4", price="10", discount="4"), number=1, charges=(charge("7"),))
    assert offers(holding(cheaper))[0].price == D(9)


def test_another_currency_is_turned_into_ours_at_its_order() -> None:
    abroad = order(line(price="30"), number=1, currency="USD", exchange=exchange("units per home", "1.07"))
    # 30 / 1.07 = 28.03738…
    assert offers(holding(abroad))[0].price == D("28.0374")
    unknown = order(line(price="30"), number=1, currency="USD")
    assert "exchange rate" in reason(offers(holding(unknown))[0].price)


def test_a_line_without_a_price_offers_none_and_says_why() -> None:
    unpriced = order(line(price=None), number=1)
    assert "has no price. Type it" in reason(offers(holding(unpriced))[0].price)


def test_a_quote_that_holds_counts_before_a_purchase_of_the_same_pack() -> None:
    bought = order(line(size="5", price="42"), number=1)
    assert offers(holding(bought, quotes=(quote(7, "39"),)))[0].price == D(39)
    newer = (quote(7, "39"), quote(8, "38", since=LATER))
    assert offers(holding(bought, quotes=newer))[0].source == Ref("quote", 8)
    lapsed = quote(7, "39", until=TODAY - timedelta(days=1))
    assert offers(holding(bought, quotes=(lapsed,)))[0].price == D(42)


def test_samples_and_days_ahead_and_suppliers_put_away_are_no_offers() -> None:
    sample = order(line(price="1", not_priced="sample"), number=1)
    ahead = order(line(price="2"), number=2, day=TODAY + timedelta(days=1))
    assert offers(holding(sample, ahead)) == ()
    held = holding(order(line(price="9"), number=1))
    away = replace(held, suppliers={1: replace(held.suppliers[1], retired=TODAY)})
    assert offers(away) == ()


def test_a_volume_without_a_density_says_what_is_missing() -> None:
    held = holding(order(line(ROSE_WATER, size="5", unit="L", price="20"), number=1))
    assert "density" in reason(offers(held, ROSE_WATER)[0].quantity)
    known = holding(order(line(JOJOBA, size="5", unit="L", price="20"), number=1))
    assert offers(known, JOJOBA)[0].quantity == D("4321.0")


def test_freight_is_that_of_the_newest_order_with_any() -> None:
    held = holding(
        order(line(price="9"), number=1, charges=(charge("6"), charge("2", "handling"))),
        order(line(price="9"), number=2, day=LATER, charges=(charge("7.50", tax_rate="20"), charge("1"))),
        order(line(price="9"), number=3, day=LATER + timedelta(days=1)),
    )
    known = Reckoning(held)
    found = last_freight(known, held.suppliers[1])
    # 7.50 + 1.50 of tax that is not reclaimed + 1
    assert (found.amount, found.day, found.source) == (D("10.00"), LATER, Ref("order", 2))
    assert "Nothing was bought from The yard" in reason(last_freight(known, held.suppliers[YARD]).amount)
    without = holding(order(line(price="9"), number=1))
    assert last_freight(Reckoning(without), without.suppliers[1]) == (Decimal(0), None, None)


def test_freight_abroad_is_ours_to_the_cent() -> None:
    abroad = order(
        line(price="30"), number=1, currency="USD", exchange=exchange("home per unit", "0.923"),
        charges=(charge("10"), charge("3", money="home")),
    )  # fmt: skip
    held = holding(abroad)
    assert last_freight(Reckoning(held), held.suppliers[1]).amount == D("12.23")
    unknown = holding(replace(abroad, exchange=None))
    assert "exchange rate" in reason(last_freight(Reckoning(unknown), held.suppliers[1]).amount)
    at_home = holding(replace(abroad, exchange=None, charges=(charge("3", money="home"),)))
    assert last_freight(Reckoning(at_home), held.suppliers[1]).amount == D(3)


def test_a_price_is_what_it_would_cost_today_with_or_without_its_tax() -> None:
    """10 and 20 % tax, 5 freight and 20 % on it: 12 and 6 to one who is not registered, 10 and 5 to one who is."""
    taxed = order(line(price="10", tax_rate="20"), number=1, charges=(charge("5", tax_rate="20"),))
    since = BOUGHT + timedelta(days=5)
    registered = replace(holding(taxed), registrations=(Registration(since, registered=True),))
    (now,) = offers(registered)
    assert (now.price, now.tax) == (D(10), TaxChange(since, in_cost=False))
    assert last_freight(Reckoning(registered), registered.suppliers[1]).amount == D(5)
    left = (Registration(date(2020, 1, 1), registered=True), Registration(since, registered=False))
    (then,) = offers(replace(holding(taxed), registrations=left))
    assert (then.price, then.tax) == (D(12), TaxChange(since, in_cost=True))
    free = replace(holding(order(line(price="10"), number=1)), registrations=registered.registrations)
    assert (offers(free)[0].price, offers(free)[0].tax) == (D(10), None)


def test_a_price_is_old_once_the_workshop_does_not_look_back_so_far() -> None:
    """Twelve months before 30 June 2026 is 30 June 2025."""
    days = (date(2025, 6, 29), date(2025, 6, 30))
    found = [offers(holding(order(line(price="10"), number=1, day=day)))[0] for day in days]
    assert [(one.day, one.stale) for one in found] == [(days[0], True), (days[1], False)]
    assert not offers(holding(quotes=(quote(1, "40", since=date(2020, 1, 1)),)))[0].stale
