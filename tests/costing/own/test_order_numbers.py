"""Two orders of one supplier and day that a number parts: each has its own freight. Figures from fractions on paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_freight import charges
from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.book import Charge
from webapp.costing.own.order_numbers import ANOTHER
from webapp.costing.own.told import OfSheet

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


HEAD = "Date|Vendor|Item|Size|Price|Shipping"


def sheet(*cells: str, more: str = "") -> str:
    """Rows of one supplier and day, each with its price and freight."""
    names = ("Argan oil", "Cocoa butter", "Beeswax", "Mango butter", "Clay")
    rows = [f"2026-03-01|Oxbow|{name}|1kg|{cell}" for name, cell in zip(names, cells, strict=False)]
    return "\n".join((HEAD + more, *rows))


def test_freight_at_the_first_row_and_again_below_a_blank_is_that_of_two_orders() -> None:
    """6 over 50 and 10 are 5 and 1, 4 over 10 and 10 are 2 and 2."""
    reading = read(sheet("50|6", "10|", "10|4", "10|"))
    assert reading.good, sentences(reading)
    assert charges(reading) == [(Charge("freight", D(6)),), (Charge("freight", D(4)),)]
    found = costs(reading)
    assert near(found["Argan oil"], F(55, 1000))
    assert near(found["Cocoa butter"], F(11, 1000))
    assert near(found["Beeswax"], F(12, 1000))
    assert near(found["Mango butter"], F(12, 1000))
    assert [ANOTHER in one.said.remarks for one in reading.materials] == [False, False, True, False]


@pytest.mark.parametrize(
    ("cells", "freights"),
    [
        (("50|6", "10|4", "10|", "10|"), [10]),
        (("50|", "10|6", "10|", "10|4"), [10]),
        (("50|6", "10|", "10|6", "10|"), [6]),
        (("50|6", "10|2", "10|4", "10|1"), [13]),
        (("50|6", "10|", "10|4", "10|", "8|3"), [6, 4, 3]),
        (("50|6", "10|", "10|6", "10|", "8|3"), [6, 6, 3]),
    ],
)
def test_freight_without_blanks_between_or_that_says_the_same_is_that_of_one(
    cells: tuple[str, ...], freights: list[int]
) -> None:
    assert charges(read(sheet(*cells))) == [(Charge("freight", D(one)),) for one in freights]


@pytest.mark.parametrize(
    ("text", "freights"),
    [
        (f"{sheet('50|6|A1', '10||A1', '10|4|A1', '10||A1', more='|Order no')}", [10]),
        (sheet("50|6", "10|", "10|4", "10|").replace("Oxbow|B", "Barn|B").replace("Oxbow|M", "Barn|M"), [6, 4]),
        (sheet("50|6|€5", "10||", "10|4|", "10||", more="|Tax"), [10]),
        (sheet("50|6|€5", "10||", "10|4|€2", "10||", more="|Tax"), [6, 4]),
    ],
)
def test_a_number_another_supplier_or_tax_that_is_said_once_part_orders_as_they_do(
    text: str, freights: list[int]
) -> None:
    found = charges(read(text, of_sheets={0: OfSheet(order_tax="top")}))
    assert found == [(Charge("freight", D(one)),) for one in freights]


def test_freight_in_a_row_of_its_own_beside_a_column_of_it_parts_nothing() -> None:
    text = f"{sheet('50|6', '10|', '10|4', '10|')}\n2026-03-01|Oxbow|Freight||3|"
    assert charges(read(text)) == [(Charge("freight", D(10)),)]
