"""Sales tax in a price, added to one, and rounded to what can be paid."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.published.selling import example, fraction, rows
from webapp.costing.amounts import to_minor
from webapp.costing.channels import PriceTerms
from webapp.costing.prices import net_of, paid


def added(rate: str) -> PriceTerms:
    return PriceTerms(tax="added", rate=fraction(rate))


def contained(rate: str) -> PriceTerms:
    return PriceTerms(tax="in", rate=fraction(rate))


def test_tax_is_added_to_a_net_price() -> None:
    """M16: HMRC, calculating VAT for inclusive and exclusive prices (archived guide). Standing: see the data file."""
    given, answers = example("M16")
    net = Decimal(given["net"])
    assert paid(net, added(given["std_pct"])) == Decimal(answers["gross"])
    assert paid(net, added(given["std_pct"])) - net == Decimal(answers["vat"])
    assert paid(net, added(given["reduced_pct"])) == Decimal(answers["gross_reduced"])


@pytest.mark.parametrize("row", rows("vat_examples.csv"), ids=lambda row: f"{row['gross']} at {row['rate_percent']}")
def test_the_tax_in_a_price_is_its_vat_fraction(row: dict[str, str]) -> None:
    """HMRC's VAT fraction (1/6 at 20 %), half a penny up (VATREC12030). Standing: each row, seen or computed."""
    gross, terms = Decimal(row["gross"]), contained(row["rate_percent"])
    tax = to_minor(gross - net_of(gross, terms), "GBP")
    assert tax == Decimal(row["vat_half_up"])
    assert gross - tax == Decimal(row["net_from_half_up"])


def test_three_lines_and_their_sum_may_differ_by_a_penny() -> None:
    """Three lines of 4.17 at 20 %: 0.83 each is 2.49, on the sum 2.50. Accounting support page, seen in a copy."""
    line, terms = Decimal("4.17"), added("20")
    assert to_minor(paid(line, terms) - line, "GBP") * 3 == Decimal("2.49")
    assert to_minor(paid(line * 3, terms) - line * 3, "GBP") == Decimal("2.50")


def test_tax_at_the_till_goes_up_over_four_tenths_of_a_cent() -> None:
    """C13: 12.00 at 8.875 % is 13.065: 13.07, half-even would say 13.06. US municipal codes, seen in a copy."""
    assert to_minor(paid(Decimal("12.00"), added("8.875")), "USD") == Decimal("13.07")
