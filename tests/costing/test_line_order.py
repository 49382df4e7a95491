"""Parts and orders of the line. Rows are as much of one as is looked at."""

from __future__ import annotations

from decimal import Decimal
from types import SimpleNamespace
from typing import Any, cast

import pytest

from webapp.costing.gaps import Gap
from webapp.costing.line_order import SORTS, part_of, sorted_by
from webapp.costing.rows import Row

D = Decimal
GAP = Gap("not known")


def row(product: int, **more: Any) -> Row:
    """By its product; a row that reaches its target, priced and costed, where nothing else is said."""
    told = {"channel": 1, "reaches": True, "accepted": True, "gap": None, "cost": D(1), "jars_a_month": D(1), **more}
    return cast("Row", SimpleNamespace(product=product, **told))


ROWS = [
    row(1, cost=D(3), jars_a_month=None),
    row(2, cost=GAP, gap=GAP, reaches=None, accepted=False),
    row(3, cost=D(1), reaches=False, channel=2, jars_a_month=D(0)),
    row(4, cost=D(2), accepted=False, jars_a_month=D(9)),
]


@pytest.mark.parametrize(
    ("sort", "down", "order"),
    [
        ("name", False, [1, 2, 3, 4]),
        ("name", True, [4, 3, 2, 1]),
        ("cost", False, [3, 4, 1, 2]),
        ("cost", True, [1, 4, 3, 2]),
        ("jars", True, [4, 2, 3, 1]),
    ],
)
def test_what_is_not_known_comes_last_either_way(sort: str, *, down: bool, order: list[int]) -> None:
    assert sort in SORTS
    assert [one.product for one in sorted_by(list(ROWS), sort, down=down)] == order


@pytest.mark.parametrize(
    ("only", "channel", "products"),
    [
        ("", None, [1, 2, 3, 4]),
        ("below", None, [3]),
        ("unpriced", None, [2, 4]),
        ("missing", None, [2]),
        ("", 2, [3]),
        ("unpriced", 2, []),
        ("", 99, []),
    ],
)
def test_a_part_of_the_line(only: str, channel: int | None, products: list[int]) -> None:
    assert [one.product for one in part_of(ROWS, only, channel)] == products
