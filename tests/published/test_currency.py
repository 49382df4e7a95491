"""Minor units of currencies: ISO 4217, and where CLDR (by Babel) says otherwise."""

from __future__ import annotations

from decimal import Decimal

import pytest
from babel.core import get_global
from babel.numbers import get_currency_precision

from tests.published.buying import table
from webapp.costing.amounts import JSON_NOTATION, MINOR_UNITS, Unreadable, minor_places, to_minor
from webapp.costing.limits import CURRENCY

ROWS = table("currency_minor_units.csv")
#: units of account with four decimals, in which no supplier's invoice is written: not to be typed here
OF_ACCOUNT = {"CLF", "UYW"}
PAID_IN = [row for row in ROWS if row["code"] not in OF_ACCOUNT]


@pytest.mark.parametrize("row", PAID_IN, ids=[row["code"] for row in PAID_IN])
def test_a_currency_has_the_minor_unit_of_iso_4217(row: dict[str, str]) -> None:
    """ISO 4217, list of 2026-01-01, as packaged in a library. Standing: seen (library data)."""
    assert minor_places(row["code"]) == int(row["iso_minor_units"])
    assert get_currency_precision(row["code"]) in (int(row["cldr_digits"]), int(row["iso_minor_units"]), 0)


def test_where_iso_and_cldr_differ_the_invoice_follows_iso() -> None:
    """IQD: ISO 4217 says 3 decimals, CLDR says 0. Standing: seen (library data)."""
    differing = {row["code"] for row in ROWS if row["iso_minor_units"] != row["cldr_digits"]}
    assert "IQD" in differing
    assert to_minor(Decimal("1.2345"), "IQD") == Decimal("1.235")


def test_every_currency_that_can_be_typed_agrees_with_cldr_or_is_known_to_differ() -> None:
    """CLDR currency fractions as packaged in Babel. Standing: seen (library data).

    Which currencies have no coins left moves with CLDR's releases (HUF is among them from Babel 2.19 on, RSD no more);
    that CLDR differs only there, and then gives no decimals, does not.
    """
    known_to_babel = get_global("all_currencies")
    differing = {code for code, places in MINOR_UNITS.items() if get_currency_precision(code) != places}
    assert not set(MINOR_UNITS) - set(known_to_babel)
    assert {"IQD", "LBP"} <= differing
    assert all(get_currency_precision(code) == 0 for code in differing)


def test_a_unit_of_account_is_no_currency_to_pay_in() -> None:
    """CLF and UYW have four decimals in ISO 4217. Standing: seen (library data)."""
    assert {row["code"] for row in ROWS if row["iso_minor_units"] == "4"} == OF_ACCOUNT
    for code in OF_ACCOUNT:
        with pytest.raises(Unreadable):
            CURRENCY.read(code, JSON_NOTATION)


@pytest.mark.parametrize(("code", "wanted"), [("JPY", "1235"), ("EUR", "1234.57"), ("KWD", "1234.568")])
def test_an_amount_in_none_two_or_three_places(code: str, wanted: str) -> None:
    """ISO 4217 exponents 0, 2 and 3. Standing: seen (library data)."""
    assert to_minor(Decimal("1234.5675"), code) == Decimal(wanted)
