"""Two orders of one supplier and day that a number parts: each has its own freight. Figures from fractions on paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_freight import charges
from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.book import Charge

F, D = Fraction, Decimal
ROWS = (
    "1001|Mill|2026-03-01|Shea|1 kg|10|5",
    "1002|Mill|2026-03-01|Wax|1 kg|30|2",
    "1002|Mill|2026-03-01|Oil|1 kg|10|2",
)


@pytest.mark.parametrize(
    "head", ["Order no", "Invoice", "Receipt #", "Trip", "Order number", "PO", "Bestell-Nr.", "Beleg"]
)
def test_freight_is_that_of_the_order_whose_number_stands_beside_it(head: str) -> None:
    """10 and 5 are 15; 2 over 30 and 10 are 1.50 and 0.50."""
    reading = read("\n".join((f"{head}|Supplier|Date|Item|Pack|Price|Shipping", *ROWS)))
    assert reading.good, sentences(reading)
    assert charges(reading) == [(Charge("freight", D(5)),), (Charge("freight", D(2)),)]
    found = costs(reading)
    assert near(found["Shea"], F(15, 1000))
    assert near(found["Wax"], F("31.50") / 1000)
    assert near(found["Oil"], F("10.50") / 1000)


def test_rows_of_freight_are_of_the_order_of_their_number_or_of_that_above() -> None:
    """5 on 10 are 15; 2 over 30 and 10 are 1.50 and 0.50."""
    rows = [one.rpartition("|")[0] for one in ROWS]
    for first, second in (
        ("1001|Mill|2026-03-01|Shipping||5", "1002|Mill|2026-03-01|Shipping||2"),
        ("|||Shipping||5", "|||Shipping||2"),
    ):
        reading = read("\n".join(("Order no|Supplier|Date|Item|Pack|Price", rows[0], first, *rows[1:], second)))
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Shea"], F(15, 1000))
        assert near(costs(reading)["Wax"], F("31.50") / 1000)


def test_a_number_that_stands_at_the_first_line_alone_is_that_of_the_order() -> None:
    """5 over 10, 30 and 10: 1, 3 and 1."""
    rows = (ROWS[0], "|Mill|2026-03-01|Wax|1 kg|30|", "|Mill|2026-03-01|Oil|1 kg|10|")
    reading = read("\n".join(("Order no|Supplier|Date|Item|Pack|Price|Shipping", *rows)))
    assert charges(reading) == [(Charge("freight", D(5)),)]
    assert near(costs(reading)["Wax"], F(33, 1000))


def test_where_no_freight_stands_numbers_part_nothing() -> None:
    rows = [one.rpartition("|")[0] for one in ROWS]
    assert len(charges(read("\n".join(("Order no|Supplier|Date|Item|Pack|Price", *rows))))) == 1
