"""Which packs to buy, timed: ten materials, eight pack sizes, four suppliers, drawn like a workshop's price lists."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from statistics import median

from tests.bench.measuring import MILLI, spent
from tests.costing.packing import Case, found
from webapp.costing.pack_facts import Break, Freight, Need, Offer

MATERIALS, SUPPLIERS = 10, 4
SIZES = (100, 250, 500, 1000, 2500, 5000, 10_000, 25_000)
CASES = 12


def workshop(seed: int, *, everywhere: bool) -> Case:
    """A case: every size from one supplier, or `everywhere` from all of them at prices that are close together."""
    random = Random(seed)
    offers = []
    for material in range(1, MATERIALS + 1):
        dear = random.randint(500, 4000)
        for size in SIZES:
            sellers = range(1, SUPPLIERS + 1) if everywhere else [random.randint(1, SUPPLIERS)]
            small = 250 - 15 * SIZES.index(size)
            offers += [Offer(material, one, Decimal(size), *_prices(random, dear * size * small)) for one in sellers]
    needs = tuple(Need(one, Decimal(random.randint(300, 15_000))) for one in range(1, MATERIALS + 1))
    freights = tuple(
        Freight(
            one,
            Decimal(random.choice([490, 690, 950, 1490])) / 100,
            random.choice([None, Decimal(50), Decimal(100), Decimal(150), Decimal(250)]),
            random.choice([None, None, Decimal(25), Decimal(50)]),
        )
        for one in range(1, SUPPLIERS + 1)
    )
    return Case(needs, tuple(offers), freights)


def _prices(random: Random, about: int) -> tuple[Decimal, tuple[Break, ...]]:
    """A price in cents, about so much in hundredths of thousandths, and up to three breaks."""
    cents, packs = max(50, about * random.randint(85, 115) // 10_000_000), 1
    breaks: list[Break] = []
    price = cents
    while random.random() < 0.5 and len(breaks) < 3:
        packs, price = packs + random.choice([2, 3, 5, 10]), price * random.randint(88, 98) // 100
        breaks.append(Break(Decimal(packs), Decimal(price) / 100))
    return Decimal(cents) / 100, tuple(breaks)


def seconds(*, everywhere: bool) -> tuple[float, float]:
    """The middle and the longest time of a plan with two next best ones."""
    cases = [workshop(seed, everywhere=everywhere) for seed in range(CASES)]
    times = [spent(lambda one=case: found(one)) / MILLI for case in cases]  # type: ignore[misc]
    return median(times), max(times)
