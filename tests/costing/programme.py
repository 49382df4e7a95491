"""The cheapest packs as a mixed-integer programme, solved by scipy (HiGHS): the measure from outside."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from tests.costing.packing import Case
from webapp.costing.pack_facts import Freight, Offer


def cents(amount: Decimal | None) -> int:
    found = (amount or Decimal(0)) * 100
    assert found == int(found), "the programme reckons in whole cents"
    return int(found)


def tiers(one: Offer, most: int) -> list[tuple[int, int, int]]:
    """From how many packs to how many, and what each costs, in cents."""
    starts = [(1, one.price), *((int(each.packs), each.price) for each in one.breaks)]
    ends = [start - 1 for start, _ in starts[1:]] + [most]
    return [(start, end, cents(price)) for (start, price), end in zip(starts, ends, strict=True)]


def cheapest_by_programme(case: Case) -> int:
    """The least in cents.

    Of each tier of an offer a number of packs n and whether it is used, z: start z <= n <= end z, at most one tier of
    an offer. Of each supplier whether an order bears freight, p, or is free, f; at most one of them; packs only where
    one is; goods at least the smallest order where one is, and at least the threshold where free.
    """
    most = 5000
    terms = {one.supplier: one for one in case.freights}
    suppliers = sorted({one.supplier for one in case.offers})
    columns = [(place, *tier) for place, one in enumerate(case.offers) for tier in tiers(one, most)]
    size, count = len(columns), len(suppliers)
    width = 2 * size + 2 * count  # n of every tier, z of every tier, p and f of every supplier
    rows: list[tuple[dict[int, float], float, float]] = []
    rows += [({at: 1, size + at: -start}, 0, np.inf) for at, (_, start, _, _) in enumerate(columns)]
    rows += [({at: 1, size + at: -end}, -np.inf, 0) for at, (_, _, end, _) in enumerate(columns)]
    for place in range(len(case.offers)):
        rows.append(({size + at: 1 for at, column in enumerate(columns) if column[0] == place}, 0, 1))
    for wanted in case.needs:
        own = [at for at, column in enumerate(columns) if case.offers[column[0]].material == wanted.material]
        rows.append(({at: float(case.offers[columns[at][0]].quantity) for at in own}, float(wanted.amount), np.inf))
    for number, supplier in enumerate(suppliers):
        one = terms.get(supplier, Freight(supplier))
        paid, free = 2 * size + number, 2 * size + count + number
        own = [at for at, column in enumerate(columns) if case.offers[column[0]].supplier == supplier]
        goods = {at: float(columns[at][3]) for at in own}
        least = cents(one.least)
        rows.append(({paid: 1, free: 1}, 0, 1))
        rows += [({size + at: 1, paid: -1, free: -1}, -np.inf, 0) for at in own]
        rows.append(({**goods, paid: -least, free: -max(least, cents(one.free_from))}, 0, np.inf))
        if one.free_from is None:
            rows.append(({free: 1}, 0, 0))
    matrix = np.zeros((len(rows), width))
    for row, (found, _, _) in enumerate(rows):
        for at, value in found.items():
            matrix[row, at] = value
    freights = [cents(terms.get(one, Freight(one)).amount) for one in suppliers]
    costs = np.array([*(column[3] for column in columns), *[0] * size, *freights, *[0] * count])
    upper = np.array([*(column[2] for column in columns), *[1] * (size + 2 * count)])
    answer = milp(
        costs,
        constraints=LinearConstraint(matrix, [low for _, low, _ in rows], [high for _, _, high in rows]),
        integrality=np.ones(width),
        bounds=Bounds(np.zeros(width), upper),
        options={"mip_rel_gap": 0},
    )
    assert answer.success, answer.message
    found_cents: int = round(answer.fun)
    return found_cents
