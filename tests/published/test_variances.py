"""Standard cost variances: what a price, and what an amount, moved away from what was planned.

The plan is the book of then, what came about the book of now; the whole output is one jar. A step of the waterfall is
what is left more, so that a favourable variance is above zero.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

from tests.costing.making import ANNA, DAY, OIL, SHEA, TUB, WATER, costing, fill, formula, line, product, room, work
from tests.published.making import example, near
from webapp.costing.book import Book, Channel, Person, Price, Terms, Wage
from webapp.costing.reckoning import Reckoning
from webapp.costing.waterfall import FORMULA, JAR, MATERIAL, WAGE, Waterfall, waterfall

THERE, MADE = 51, 24
D = Decimal


def sold(*things: Any) -> Book:
    """All of it in one jar, sold for a price that the variances don't depend on."""
    price = Price(TUB, THERE, DAY, D("9000000"))
    book = room(*things, terms=Terms(overhead="left out"))
    return replace(book, channels={THERE: Channel(THERE, "Sold", DAY)}, prices={(TUB, THERE): price})


def of_material(used: str, price: str) -> Book:
    """So many grams of one material at so much a gram."""
    batch = formula(MADE, line(SHEA, "100"), batch_grams=used)
    return sold(costing(SHEA, "Stuff", price, "g"), batch, product(TUB, fill(MADE, used)))


def of_labour(hours: str, rate: str) -> Book:
    """So many hours of one person at so much each."""
    batch = formula(MADE, line(SHEA, "100"), batch_grams="1")
    minutes = str(D(hours) * 60)
    hired = Person(ANNA, "Anna", "hired", Wage(DAY, D(rate)))
    return sold(
        costing(SHEA, "Stuff", "0", "g"), hired, batch, product(TUB, fill(MADE, "1"), work=(work(ANNA, minutes),))
    )


def moves(planned: Book, came: Book) -> dict[str, Decimal]:
    """What a jar leaves more for each kind."""
    found = waterfall(Reckoning(replace(planned, day=DAY - timedelta(1))), Reckoning(came), TUB, THERE)
    assert isinstance(found, Waterfall), found
    return {move.causes[0].kind: move.profit for move in found.moves}


def test_price_and_usage_of_a_material() -> None:
    """V01: Heisinger & Hoyle (2012), 10.3, ice cream. Standing: see the data file.

    The textbook takes the price variance on what was bought, the usage variance on what was used: one fall for each.
    """
    given, answers = example("V01")
    planned = of_material(str(D(given["std_per_unit"]) * D(given["units"])), given["std_price"])
    used = moves(planned, of_material(given["used"], given["actual_price"]))
    assert near(-used[JAR], answers["quantity"])
    bought = moves(planned, of_material(given["bought"], given["actual_price"]))
    assert near(-bought[MATERIAL], answers["price"])


def test_rate_and_efficiency_of_labour() -> None:
    """V03: Heisinger & Hoyle (2012), 10.4, ice cream. Standing: see the data file."""
    given, answers = example("V03")
    planned = of_labour(str(D(given["std_hours_per_unit"]) * D(given["units"])), given["std_rate"])
    found = moves(planned, of_labour(given["hours"], given["actual_rate"]))
    assert near(-found[JAR], answers["efficiency"])
    assert near(-found[WAGE], answers["rate"])


def test_mix_and_yield_of_a_blend() -> None:
    """V05: Horngren, Bhimani and others, cider mill. Standing: see the data file.

    The planned shares make the formula of then, the actual ones that of now; the yield is the grams that the jar takes.
    The mix is on the actual total: planned with it, only the formula moves; the yield at the planned mix.
    """
    given, answers = example("V05")
    priced = [
        costing(one, f"Apple {one}", price, "g") for one, price in zip((SHEA, OIL, WATER), given["prices"], strict=True)
    ]

    def made(grams: list[Decimal]) -> Book:
        total = sum(grams, D(0))
        lines = [line(one, str(amount), "g") for one, amount in zip((SHEA, OIL, WATER), grams, strict=True)]
        batch = replace(formula(MADE, *lines, way="grams"), batch_grams=total)
        return sold(*priced, batch, product(TUB, fill(MADE, str(total))))

    actual = [D(one) for one in given["actual"]]
    shares, allowed = [D(one) for one in given["shares"]], D(given["allowed_total"])
    total = sum(actual, D(0))
    planned = made([share * allowed for share in shares])
    mixed_as_planned = made([share * total for share in shares])
    found = moves(planned, mixed_as_planned)
    assert near(-found[JAR], answers["yield_var"])
    mix = moves(mixed_as_planned, made(actual))
    assert near(-mix[FORMULA], str(D(answers["actual_mix_cost"]) - D(answers["std_mix_actual_total"])))
    whole = moves(planned, made(actual))
    assert near(-sum(whole.values(), D(0)), answers["efficiency"])


def test_the_whole_is_price_and_usage_together() -> None:
    """V08: Institute of Cost Accountants of India, revisionary test paper (2012). Standing: see the data file.

    Any plan of which the price moves by 150 for the better and the amount by 700 for the worse is short of it by 550.
    """
    given, answers = example("V08")
    # 100 g at 100 planned; of 107 g each is cheaper by 150 / 107
    price = D(100) - D(given["price_variance"]) / 107
    found = moves(of_material("100", "100"), of_material("107", str(round(price, 24))))
    assert near(found[MATERIAL], given["price_variance"])
    assert near(found[JAR], answers["usage"])
    assert near(sum(found.values(), D(0)), given["cost_variance"])
