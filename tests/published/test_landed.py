"""Unit cost from a pack's price, and freight in, as textbooks print them."""

from __future__ import annotations

from decimal import Decimal

from tests.costing.buying import JAR, D, book, charge, known, line, order
from tests.published.buying import example, near
from webapp.costing.basis import by_material, material_cost
from webapp.costing.orders import landed
from webapp.costing.units import MASS


def test_a_unit_cost_is_the_packs_price_over_what_is_in_it() -> None:
    """U01: Gisslen, Professional Baking (5th ed., 2008), ingredient unit costs. Standing: see the data file."""
    given, answers = example("U01")
    bought = landed(book(), order(line(size=given["pack_qty"], unit=given["unit"], price=given["pack_price"]))).lines[0]
    assert near(known(bought.unit_cost) * MASS[given["unit"]], answers["unit_cost"])


def test_a_unit_cost_of_pieces() -> None:
    """U03: Restaurant Business magazine, kitchen calculations. Standing: see the data file."""
    given, answers = example("U03")
    one = landed(book(), order(line(JAR, size=given["pack_qty"], unit="pieces", price=given["pack_price"])))
    cost = material_cost(book(), book().materials[JAR], by_material([one])[JAR])
    assert near(cost.unit_cost, answers["unit_cost"])


def _freight(share: str) -> tuple[Decimal, Decimal]:
    """U08's invoice: goods of 600 weighing 1700, of which one item weighs 300; its share of freight, and its goods."""
    given, _ = example("U08")
    rest = str(D(given["total_weight"]) - D(given["item_weight"]))
    lines = (line(size=given["item_weight"], price="100"), line(size=rest, price=str(D(given["goods_value"]) - 100)))
    result = landed(book(), order(*lines, charges=(charge(given["freight"], share=share),)))
    assert known(result.home_total) == D(given["goods_value"]) + D(given["freight"])
    return known(result.lines[0].shares[0].amount), known(result.lines[0].goods)


def test_freight_by_weight() -> None:
    """U08: cost-accounting textbook excerpt on freight-in; attribution from memory. Standing: see the data file."""
    share, _ = _freight("mass")
    assert near(share, example("U08")[1]["by_weight_amount"])


def test_freight_by_value_is_a_rate_on_the_goods() -> None:
    """U08: the same, value basis: 48 on 600 is 8 %. Standing: see the data file."""
    share, goods = _freight("value")
    assert near(share / goods * 100, example("U08")[1]["by_value_pct"])
