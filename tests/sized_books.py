"""Workshops of the bench's sizes, all from one seed: S a maker, M a busy workshop, L a studio, with nothing missing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import NamedTuple

from webapp.costing import book as b

D = Decimal
DAY = date(2026, 11, 25)
LINES_AN_ORDER = 20
DAYS_BACK = 1_095


class Size(NamedTuple):
    """How many of each. Parts are packaging; order lines are shared between ingredients and parts."""

    products: int
    order_lines: int
    ingredients: int
    parts: int


SIZES = {"S": Size(40, 300, 30, 20), "M": Size(1_000, 20_000, 300, 60), "L": Size(10_000, 200_000, 2_000, 200)}


def sized(name: str, seed: int = 1) -> b.Book:
    """The workshop of size `name`; the same for the same seed."""
    rng, size = Random(seed), SIZES[name]
    ingredients = list(range(1_000, 1_000 + size.ingredients))
    parts = list(range(1_000 + size.ingredients, 1_000 + size.ingredients + size.parts))
    first_order = parts[-1] + 1
    orders = _orders(rng, [*ingredients, *parts], set(parts), size.order_lines, first_order)
    first_formula = first_order + len(orders)
    formulas = _formulas(rng, ingredients, max(8, size.products // 4), first_formula)
    first_product = first_formula + len(formulas)
    products = [
        _product(rng, first_product + place, list(formulas), parts, size.products) for place in range(size.products)
    ]
    pairs = [(one.id, channel) for one in products for channel in (6, 7)]
    sold = [pair for pair in pairs if rng.random() < 0.8]
    return b.Book(
        day=DAY,
        terms=b.Terms(since=date(2020, 1, 1), making_hours=D(120)),
        people={
            2: b.Person(2, "Own", "own", b.Wage(date(2020, 1, 1), D(15))),
            3: b.Person(3, "Hired", "hired", b.Wage(date(2020, 1, 1), D(12), D(21))),
        },
        bills={4: b.Bill(4, "Rent", date(2020, 1, 1), D(300))},
        suppliers={5: b.Supplier(5, "Supplier")},
        materials={
            **{one: _ingredient(rng, one) for one in ingredients},
            **{one: b.Material(one, f"Part {one}", "packaging", piece_grams=D(rng.randint(5, 200))) for one in parts},
        },
        orders=orders,
        formulas=formulas,
        products={one.id: one for one in products},
        channels={one.id: one for one in _channels()},
        prices={pair: b.Price(*pair, date(2026, 1, 1), D(rng.randint(10, 60)) / 2) for pair in sold},
        sales={pair: b.Sales(*pair, date(2026, 1, 1), D(rng.randint(1, 60))) for pair in sold},
    )


def _ingredient(rng: Random, number: int) -> b.Material:
    density = b.Density(date(2020, 1, 1), D(rng.randint(860, 970)) / 1000)
    return b.Material(number, f"Ingredient {number}", density=density)


def _orders(rng: Random, materials: Sequence[int], parts: set[int], lines: int, first: int) -> dict[int, b.Order]:
    # each material once before any comes twice, so that nothing lacks a price
    wanted = [*materials, *rng.choices(materials, k=max(lines - len(materials), 0))][:lines]
    orders = {}
    for place in range(0, len(wanted), LINES_AN_ORDER):
        number = first + place // LINES_AN_ORDER
        foreign = rng.random() < 0.1
        day = DAY - timedelta(DAYS_BACK if place < len(materials) else rng.randint(0, DAYS_BACK))
        orders[number] = b.Order(
            number,
            5,
            day,
            tuple(_line(rng, one, one in parts) for one in wanted[place : place + LINES_AN_ORDER]),
            (b.Charge("freight", D(rng.randint(400, 4_000)) / 100, share=rng.choice(("value", "mass"))),),
            "USD" if foreign else "EUR",
            b.Exchange("home per unit", D("0.92")) if foreign else None,
        )
    return orders


def _line(rng: Random, material: int, is_part: bool) -> b.OrderLine:
    unit = "pieces" if is_part else rng.choice(("kg", "kg", "kg", "lb", "L", "US fl oz"))
    size = D(rng.choice((48, 96, 100)) if is_part else rng.choice((1, 2, 5, 10)))
    packs, price = D(rng.randint(1, 4)), D(rng.randint(300, 6_000)) / 100
    return b.OrderLine(material, packs, size, unit, price, tax_rate=D(20))


def _formulas(rng: Random, ingredients: Sequence[int], many: int, first: int) -> dict[int, b.Formula]:
    """A fifth are pre-blends of ingredients, a fifth hold one of those, and the rest may hold either: three levels."""
    found: dict[int, b.Formula] = {}
    fifth = max(many // 5, 1)
    for place in range(many):
        number = first + place
        inner = range(first, first + min(place // fifth, 2) * fifth)
        found[number] = _formula(rng, number, ingredients, inner if rng.random() < 0.5 else ())
    return found


def _formula(rng: Random, number: int, ingredients: Sequence[int], inner: Sequence[int]) -> b.Formula:
    lines = [b.FormulaLine(one, None, D(rng.randint(2, 8))) for one in rng.sample(ingredients, rng.randint(3, 11))]
    if inner:
        lines.append(b.FormulaLine(None, rng.choice(inner), D(rng.randint(2, 8))))
    else:
        lines.append(b.FormulaLine(lines[0].material, None, D(2)))
    lines[0] = b.FormulaLine(lines[0].material, None, None, rest=True)
    return b.Formula(
        number,
        f"Formula {number}",
        date(2021, 1, 1),
        tuple(lines),
        batch_grams=D(rng.randint(10, 60) * 100),
        loss=D(rng.randint(1, 6)),
        work=(b.Work(2, D(rng.randint(20, 60)), D(rng.randint(2, 9))),),
        made_ahead=rng.random() < 0.2,
        density=D("0.92"),
        air=D(rng.choice((0, 0, 0, 45))),
    )


def _product(rng: Random, number: int, formulas: Sequence[int], parts: Sequence[int], many: int) -> b.Product:
    used = rng.sample(parts, rng.randint(3, 6))
    return b.Product(
        number,
        f"Product {number % many}",
        date(2022, 1, 1),
        fills=(b.Fill(rng.choice(formulas), D(rng.choice((50, 100, 200))), rng.choice(("g", "g", "mL")), D(1)),),
        parts=tuple(b.Part(one, spoiled=D(rng.randint(0, 4))) for one in used),
        work=(b.Work(3, per_jar=D(rng.randint(10, 30)) / 10),),
    )


def _channels() -> tuple[b.Channel, b.Channel]:
    since = date(2020, 1, 1)
    own = b.Channel(
        6, "Own shop", since, "web shop", "in", D(20), share_paid=D("1.9"), fee=D("0.25"), jars_per_order=D(2),
        carton=D("0.6"), postage=D("3.5"), postage_charged=D("3.9"), endings=".00 .50 .95 .99",
    )  # fmt: skip
    shops = b.Channel(
        7, "Shops", since, "wholesale", "added", D(20), jars_per_order=D(24), postage=D(9), step=D("0.05"),
        target=D(20), stockist_tax=D(20),
    )  # fmt: skip
    return own, shops
