"""Largest remainder: shares that add up, against worked examples."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.buying import BOUGHT, book, charge, known, line, order
from tests.published.buying import table
from webapp.costing.amounts import half_up, share_out
from webapp.costing.orders import landed

D = Decimal
ROWS = table("allocation_examples.csv")


def numbers(text: str) -> list[Decimal]:
    return [D(one) for one in text.split("|")]


@pytest.mark.parametrize("row", ROWS, ids=[row["weights"] for row in ROWS])
def test_largest_remainder_gives_the_worked_shares(row: dict[str, str]) -> None:
    """Questions on rounded percentages and on a coin too many (seen), and a postage split (computed)."""
    total, weights, wanted = D(row["total_in_minor_units"]), numbers(row["weights"]), numbers(row["expected"])
    assert list(share_out(total, weights, 0)) == wanted
    assert list(share_out(total.scaleb(-2), weights, 2)) == [one.scaleb(-2) for one in wanted]
    assert sum(wanted) == total


@pytest.mark.parametrize("row", ROWS, ids=[row["weights"] for row in ROWS])
def test_rounding_each_share_alone_misses_by_what_the_row_says(row: dict[str, str]) -> None:
    """The reason for the method. Standing: each row's own."""
    total, weights = D(row["total_in_minor_units"]), numbers(row["weights"])
    alone = sum(half_up(total * weight / sum(weights), 0) for weight in weights)
    assert alone == D(row["naive_rounding_sum"])


def test_postage_over_three_parcels_by_mass() -> None:
    """13.00 over 250, 500 and 1000 g is 1.86, 3.71 and 7.43. Standing: computed."""
    (row,) = (one for one in ROWS if one["weights"] == "250|500|1000")
    lines = [line(size=str(grams), unit="g", price="5") for grams in numbers(row["weights"])]
    result = landed(book(), order(*lines, charges=(charge("13.00", share="mass"),)))
    assert [known(one.shares[0].amount) for one in result.lines] == [one.scaleb(-2) for one in numbers(row["expected"])]
    assert result.order.day == BOUGHT
