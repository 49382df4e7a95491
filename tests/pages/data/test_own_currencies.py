"""What the program prints as money can be pasted back into a sheet, in every locale and currency that it offers."""

from __future__ import annotations

from decimal import Decimal

import pytest

from webapp.costing.amounts import MINOR_UNITS
from webapp.costing.locales import LOCALES
from webapp.costing.own.cells import money
from webapp.costing.own.told import Told
from webapp.costing.own.written import Written
from webapp.pages.formats import formats_for
from webapp.pages.symbols import signs_of

VALUE = Decimal("1234.56")


@pytest.mark.parametrize("part", range(6))
def test_money_is_read_as_it_is_printed(part: int) -> None:
    """In each workshop's own currency."""
    wrong = []
    for locale in sorted(LOCALES)[part::6]:
        formats, signs = formats_for(locale, "EUR", "g"), signs_of(locale)
        for code in MINOR_UNITS:
            told = Told(home=code, sign=formats.decimal_sign, written=Written(signs=signs))
            text = " ".join(formats.whole_money(VALUE, code).split())
            found, per = money(text, told)
            if (found.value, found.unit, per) != (VALUE, code, ""):
                wrong.append((locale, code, text))
    assert wrong == []
