"""Figures as texts: rounded half-up, in the signs of the locale; the side of a target is never rounded away.

The locales' signs are those of CLDR, asked from Babel's own formatting where that does not round.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from babel.localedata import locale_identifiers
from babel.numbers import format_currency, get_group_symbol
from hypothesis import given
from hypothesis import strategies as st

from webapp.costing.amounts import MINOR_UNITS, half_up, read_number
from webapp.costing.gaps import Gap
from webapp.costing.locales import LOCALES
from webapp.pages.formats import MINUS, UNKNOWN, age, formats_for
from webapp.pages.localities import OFFERED, suggested
from webapp.pages.symbols import NBSP
from webapp.pages.vessels import vessel

D = Decimal
BRITISH = formats_for("en_GB", "GBP", "kg")
GERMAN = formats_for("de_DE", "EUR", "lb")
GAP = Gap("Its price is not known yet. Enter an order.")


def test_a_decimal_sign_that_is_read_nowhere_is_shown_nowhere() -> None:
    """CLDR has U+066B beside Latin digits in one language; what is shown in a field has to be read again."""
    arabic = formats_for("bgn_PK", "PKR", "kg")
    assert (arabic.decimal_sign, arabic.fixed(D("1234.5"), 2)) == (".", "1,234.50")
    assert read_number("12.50", arabic.notation()) == D("12.50")


@pytest.mark.parametrize(
    ("value", "said"), [("36.8", "36,80 €"), ("0.0037", "0,0037 €"), ("1.24131944", "1,241319 €"), ("100", "100,00 €")]
)
def test_money_in_a_sentence_has_all_of_its_decimals_up_to_six(value: str, said: str) -> None:
    assert GERMAN.whole_money(D(value)).replace(NBSP, " ") == said


@pytest.mark.parametrize("locale", OFFERED)
@pytest.mark.parametrize("currency", ["EUR", "GBP", "JPY", "CHF", "KWD"])
def test_money_is_written_as_in_the_locale(locale: str, currency: str) -> None:
    """Against Babel's format_currency, at an amount that needs no rounding and groups in every locale.

    Spaces are left out of it: Babel sets none between letters and digits ("CHF1"), where CLDR wants one (UTS 35).
    """
    amount = D(1234567)
    wanted = format_currency(amount, currency, locale=locale, decimal_quantization=True)
    if get_group_symbol(locale) == "'":  # Babel 2.19 takes the Swiss group sign for a quotation mark and drops it
        wanted = wanted.replace("1234567", "1'234'567")
    told = formats_for(locale, currency, "kg").money(amount)
    assert "".join(told.split()) == "".join(wanted.split())
    assert not any(one.isalpha() and two.isdigit() for one, two in pairwise(told))


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        ("0", "£0.00"),
        ("0.005", "£0.01"),
        ("0.015", "£0.02"),
        ("2.675", "£2.68"),
        ("-0.005", f"{MINUS}£0.01"),
        ("-0.001", "£0.00"),
        ("999.995", "£1,000.00"),
        ("0.0049999999999999", "£0.01"),
    ],
)
def test_money_is_rounded_half_up_after_the_snap(amount: str, text: str) -> None:
    assert BRITISH.money(D(amount)) == text


@given(st.decimals(min_value=-10_000_000, max_value=10_000_000, places=6), st.sampled_from(OFFERED))
def test_what_is_shown_is_the_rounded_amount(amount: D, locale: str) -> None:
    formats = formats_for(locale, "EUR", "kg")
    back = formats.bare(amount).replace(formats.notation().decimal_sign, "|")
    digits = "".join(sign for sign in back if sign.isdigit() or sign == "|").replace("|", ".")
    assert D(digits) == abs(half_up(amount, 2))
    assert back.startswith(MINUS) == (half_up(amount, 2) < 0)


@given(st.decimals(min_value=D("0.000001"), max_value=1000, places=6))
def test_a_unit_cost_keeps_four_significant_digits(cost: D) -> None:
    text = BRITISH.per_gram(cost).split(NBSP)[0].removeprefix("£").replace(",", "")
    assert abs(D(text) - cost) <= cost / 2000
    assert len(text.partition(".")[2]) >= MINOR_UNITS["GBP"]


def test_a_unit_cost_is_shown_for_the_unit_that_the_workshop_likes() -> None:
    assert BRITISH.unit_cost(D("0.0089")) == f"£8.900{NBSP}per kg"
    assert GERMAN.unit_cost(D("0.01")) == f"4,536{NBSP}€{NBSP}per lb"
    assert BRITISH.unit_cost(D("0.8"), True) == f"£0.8000{NBSP}a piece"


@pytest.mark.parametrize(
    ("margin", "target", "text"),
    [
        ("0.44", "0.45", "44.0 %, 1 point short of 45"),
        ("0.412", "0.45", "41.2 %, 3.8 points short of 45"),
        ("0.44999", "0.45", "44.999 %, 0.001 points short of 45"),
        ("0.4499999", "0.45", "44.99999 %, 0.00001 points short of 45"),
        ("0.45", "0.45", "45 %, just at the target of 45"),
        ("0.4500000000000001", "0.45", "45 %, just at the target of 45"),
        ("0.45001", "0.45", "45.001 %, 0.001 points above 45"),
        ("0.481", "0.45", "48.1 %, 3.1 points above 45"),
        ("-0.052", "0.425", f"{MINUS}5.2 %, 47.7 points short of 42.5"),
    ],
)
def test_the_side_of_the_target_is_always_seen(margin: str, target: str, text: str) -> None:
    assert BRITISH.points(D(margin), D(target)).replace(NBSP, " ") == text


@pytest.mark.parametrize(
    ("margin", "target", "state", "fill"),
    [
        ("-0.01", "0.45", "loss", 0),
        ("0", "0.45", "short", 0),
        ("0.4499999", "0.45", "short", 99),
        ("0.45", "0.45", "at", 100),
        ("0.5", "0.45", "above", 100),
        ("0", "0", "at", 100),
    ],
)
def test_the_vessel_is_never_full_when_short(margin: str, target: str, state: str, fill: int) -> None:
    drawn = vessel(BRITISH, D(margin), D(target))
    assert (drawn.state, drawn.fill) == (state, fill)


def test_a_gap_is_never_a_number() -> None:
    for name in ("money", "bare", "unit_cost", "per_gram", "grams", "minutes", "percent", "number", "count"):
        assert getattr(BRITISH, name)(GAP) == UNKNOWN
        assert getattr(BRITISH, name)(None) == UNKNOWN
    assert BRITISH.points(GAP, D("0.45")) == UNKNOWN
    assert vessel(BRITISH, GAP, D("0.45")).state == "unknown"


def test_quantities_lose_no_small_amount() -> None:
    assert BRITISH.grams(D("0.00123456")) == f"0.001235{NBSP}g"
    assert BRITISH.grams(D(1250)) == f"1,250{NBSP}g"
    assert BRITISH.typed_percent(D("12.5")) == f"12.5{NBSP}%"
    assert BRITISH.shown(D("0.412"), "percent") == f"41.2{NBSP}%"


@pytest.mark.parametrize("locale", OFFERED)
def test_what_is_shown_can_be_typed_again(locale: str) -> None:
    formats = formats_for(locale, "EUR", "kg")
    assert read_number(f"12{formats.decimal_sign}5", formats.notation()) == D("12.5")
    assert read_number(f"12{formats.decimal_sign}50 €", formats.notation()) == D("12.5")


def test_a_locale_that_is_none_is_written_as_british() -> None:
    assert formats_for("zz_ZZ", "GBP", "kg").money(D("1234.5")) == "£1,234.50"


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 11, 25), "today"),
        (date(2026, 11, 24), "1 day old"),
        (date(2026, 10, 1), "55 days old"),
        (date(2026, 8, 26), "2 months old"),
        (date(2024, 11, 26), "23 months old"),
        (date(2024, 11, 25), "2 years old"),
        (date(2026, 11, 26), "in the future"),
    ],
)
def test_an_age_is_in_whole_units(day: date, words: str) -> None:
    assert age(day, date(2026, 11, 25)) == words


@pytest.mark.parametrize(
    ("spoken", "wanted"),
    [
        ("de", ("de_DE", "EUR")),
        ("en-US,en;q=0.9", ("en_US", "USD")),
        ("fr-CH, fr;q=0.9", ("fr_CH", "CHF")),
        ("xx, ja", ("ja_JP", "JPY")),
        ("", ("en_GB", "GBP")),
        ("*", ("en_GB", "GBP")),
        ("'; DROP TABLE--", ("en_GB", "GBP")),
        ("a" * 9000, ("en_GB", "GBP")),
    ],
)
def test_the_browser_s_language_suggests_locale_and_money(spoken: str, wanted: tuple[str, str]) -> None:
    assert suggested(spoken, date(2026, 11, 25)) == wanted


def test_every_locale_that_can_be_stored_is_one_that_is_written() -> None:
    """Against CLDR as Babel carries it: each name is one of its own, and money is written in it."""
    known = set(locale_identifiers())
    assert set(OFFERED) <= LOCALES
    assert known >= LOCALES
    some = sorted(LOCALES)[::40]
    assert [formats_for(name, "EUR", "kg").locale for name in some] == some


@pytest.mark.parametrize(
    ("value", "kind", "unit", "text"),
    [
        # 6.80 x 1000 / 9 and its like: two places more than a price has, so that 4.1234 / 0.5 is seen to be 8.2468
        ("4.1234", "money", "", "$4.1234"),
        ("4.12", "money", "", "$4.12"),
        ("4.1", "money", "", "$4.10"),
        ("4.12999999", "money", "", "$4.13"),
        ("412.3456", "money", "JPY", "\u00a5412.35"),
        ("0.0186543678", "unit cost", "per g", "$0.0186544 per g"),
        ("0.475", "percent", "", "47.5 %"),
        ("0.47256", "percent", "", "47.256 %"),
        ("1.842105263", "minutes", "", "1.8421 min"),
        ("1925", "g", "", "1,925 g"),
        # 231 cubic inches of 2.54 cm to the gallon, 128 fl oz in it (NIST Handbook 44, appendix C)
        ("29.5735295625", "number", "", "29.5735295625"),
        ("453.59237", "number", "", "453.59237"),
    ],
)
def test_a_step_of_a_sum_is_written_so_that_the_sum_adds_up(value: str, kind: str, unit: str, text: str) -> None:
    written = formats_for("en_US", "USD", "kg").in_sum(D(value), kind, unit)
    assert written.replace("\u00a0", " ") == text


def test_a_step_that_is_missing_is_no_number() -> None:
    assert formats_for("en_US", "USD", "kg").in_sum(Gap("Nobody knows."), "money") == "not known yet"
