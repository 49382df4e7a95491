"""Half away from zero: against a computed table of rounding modes, and against what the tax office asks."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.buying import book, known, line, order
from tests.published.buying import table
from webapp.costing.amounts import half_up, to_minor
from webapp.costing.orders import landed

D = Decimal
ROWS = table("rounding_examples.csv")


@pytest.mark.parametrize("row", ROWS, ids=[row["value"] for row in ROWS])
def test_half_up_is_the_tables(row: dict[str, str]) -> None:
    """Computed with Python's decimal; 7.5, 4.5 and -4.5 also in a published table of modes. Standing: computed."""
    places = -int(D(row["step"]).as_tuple().exponent)
    assert half_up(D(row["value"]), places) == D(row["half_up"])
    if places == 2:
        assert to_minor(D(row["value"]), "EUR") == D(row["half_up"])


def test_the_table_tells_half_up_from_the_other_ways() -> None:
    """So that agreeing with it is no accident. Standing: computed."""
    for other in ("half_even", "toward_zero"):
        assert any(half_up(D(row["value"]), 2 if row["step"] == "0.01" else 0) != D(row[other]) for row in ROWS)


@pytest.mark.parametrize(
    ("gross", "tax"),
    [
        ("9.99", "1.67"),  # 1.665
        ("120.00", "20.00"),
        ("60.00", "10.00"),
    ],
)
def test_half_a_penny_of_tax_in_a_price_goes_up(gross: str, tax: str) -> None:
    """HMRC VATREC12030 (half a penny or more up) and the VAT fraction of 1/6 at 20 %. Standing: seen."""
    one = landed(book(), order(line(price=gross, tax_rate="20", tax_included=True))).lines[0]
    assert known(one.tax) == D(tax)
    assert known(one.net) + known(one.tax) == D(gross)


def test_us_sales_tax_is_carried_to_three_places_and_goes_up_above_four() -> None:
    """C13: 12.00 at 8.875 % is 1.065, so 1.07 (municipal codes after the Streamlined agreement). Standing: seen."""
    assert known(landed(book(), order(line(price="12.00", tax_rate="8.875"))).lines[0].tax) == D("1.07")


def test_tax_by_line_may_differ_from_tax_by_invoice() -> None:
    """Three lines of 4.17 at 20 %: 0.83 each is 2.49, on 12.51 it is 2.50 (support pages). Standing: seen."""
    result = landed(book(), order(*[line(price="4.17", tax_rate="20")] * 3, invoice_total="15.01"))
    assert result.tax == D("2.49")
    assert result.difference == D("0.01")
