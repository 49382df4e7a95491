"""One door for numbers, rounding named at its place, and shares that add up."""

from __future__ import annotations

import decimal
import threading
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing import amounts
from webapp.costing.amounts import (
    JSON_NOTATION,
    Notation,
    Ratio,
    Unreadable,
    half_up,
    percent,
    plain,
    read_number,
    rounded_down,
    rounded_up,
    share_out,
    snap,
    to_minor,
    whole,
)

D = Decimal
POINT = Notation(".", ("EUR", "€"))
COMMA = Notation(",", ("EUR", "€"))
NOTATIONS = (POINT, COMMA, JSON_NOTATION)

# --- reading and showing -------------------------------------------------------------------------------------------

readable = st.decimals(min_value=D("-9999999.999999"), max_value=D("9999999.999999"), places=6) | st.decimals(
    min_value=0, max_value=D("9999999.999"), places=3
)


@settings(max_examples=examples.of(2_000))
@given(readable)
@example(D("1.234"))
@example(D("0.125"))
@example(D("1234.567"))
@example(D("-0.00"))
@example(D("1E+3"))
def test_what_is_shown_reads_back_equal_in_every_notation(value: Decimal) -> None:
    for notation in NOTATIONS:
        assert read_number(plain(value, notation.decimal_sign), notation) == value


@pytest.mark.parametrize(
    ("text", "point", "comma"),
    [
        ("1,234.56", "1234.56", "1234.56"),  # both signs: the last one is the decimal sign
        ("1.234,56", "1234.56", "1234.56"),
        ("12,345,678.9", "12345678.9", "12345678.9"),
        ("1.234", "1.234", None),  # one sign, three after: decimal only if it is the locale's
        ("1,234", None, "1.234"),
        ("123,456", None, "123.456"),
        ("0,125", "0.125", "0.125"),  # a lone 0 before it: decimal
        ("0.125", "0.125", "0.125"),
        ("12,5", "12.5", "12.5"),  # any other shape: decimal
        ("1234.567", "1234.567", "1234.567"),
        ("1234,567", "1234.567", "1234.567"),
        (",5", "0.5", "0.5"),
        (".125", "0.125", "0.125"),
        ("1.234.567", "1234567", "1234567"),  # the same sign twice: groups
        ("1,234,567", "1234567", "1234567"),
        ("1 234,56", "1234.56", "1234.56"),  # spaces group too
        ("1\u00a0234.56", "1234.56", "1234.56"),
        ("1\u202f234", "1234", "1234"),
        ("12", "12", "12"),
        ("007", "7", "7"),
        (" 12.50 ", "12.50", "12.50"),
        ("€ 12.50", "12.50", "12.50"),
        ("12,50 eur", "12.50", "12.50"),
        ("-3", "-3", "-3"),
        ("\u22123.5", "-3.5", "-3.5"),
    ],
)
def test_a_number_reads_by_the_table(text: str, point: str | None, comma: str | None) -> None:
    for notation, wanted in ((POINT, point), (COMMA, comma)):
        if wanted is None:
            with pytest.raises(Unreadable) as caught:
                read_number(text, notation)
            assert caught.value.code == "number-ambiguous"
        else:
            assert read_number(text, notation) == D(wanted)


def test_an_ambiguous_number_offers_both_readings_and_each_reads_as_said() -> None:
    with pytest.raises(Unreadable) as caught:
        read_number("1,234", POINT)
    assert str(caught.value) == "This can be read in two ways. Type 1234 or 1.2340."
    assert read_number("1234", POINT) == 1234
    assert read_number("1.2340", POINT) == D("1.234")


@pytest.mark.parametrize("notation", NOTATIONS)
@pytest.mark.parametrize(
    "text",
    [
        "abc",
        "NaN",
        "sNaN",
        "Infinity",
        "-inf",
        "1e5",
        "1E+999999",
        "1e-999999",
        "--5",
        "+5",
        "1_000",
        "１２.５",
        "٣",
        "1/3",
        "5kg",
        "=1+1",
        "0x10",
        "1.23.456",
        "1,23,456",
        "1,234.567,8",
        "1.234,567.8",
        "1’234.50",
        "1 23",
        "12 3456",
        "1234 567",
        "1 234 5",
        ".",
        ",",
        "-",
        "- ",
        "€",
        "",
        " ",
        "1.",
        "1,",
        "12.5 usd",
        "1\u200b2",
        "1\n2",
    ],
)
def test_what_is_no_number_is_refused_in_a_sentence(text: str, notation: Notation) -> None:
    with pytest.raises(Unreadable) as caught:
        read_number(text, notation)
    assert caught.value.code == "number-format"
    assert caught.value.sentence.endswith((".", '".'))


def test_a_number_in_json_is_digits_with_a_point() -> None:
    assert read_number("-12.50") == D("-12.50")
    for text in ("1,5", "1 234", "12.5 EUR", " 1", "1.", ".5", "+1", "1e3"):
        with pytest.raises(Unreadable):
            read_number(text)


def test_at_most_24_characters_are_looked_at() -> None:
    assert read_number("0" * 23 + "7") == 7
    for text in ("0" * 25, "9" * 5_000, "1" * 10_000_000):
        with pytest.raises(Unreadable) as caught:
            read_number(text, POINT)
        assert caught.value.code == "number-too-long"


def test_a_unit_that_belongs_to_the_field_may_stand_beside() -> None:
    assert read_number("12.5 g", POINT, ("g",)) == D("12.5")
    assert read_number("G 12.5", POINT, ("g",)) == D("12.5")
    with pytest.raises(Unreadable):
        read_number("12.5 kg", POINT, ("g",))


@settings(max_examples=examples.of(2_000))
@given(st.text(max_size=26) | st.text("0123456789.,- \u202fe+_€", max_size=26))
def test_any_text_gives_a_finite_number_or_a_refusal(text: str) -> None:
    for notation in NOTATIONS:
        try:
            value = read_number(text, notation)
        except Unreadable as unreadable:
            assert unreadable.code in ("number-format", "number-ambiguous", "number-too-long")  # noqa: PT017
        else:
            assert value.is_finite()


# --- rounding ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "places", "wanted"),
    [("0.005", 2, "0.01"), ("-0.005", 2, "-0.01"), ("2.5", 0, "3"), ("0.00499999", 2, "0.00"), ("1.2345", 3, "1.235")],
)
def test_half_goes_away_from_zero(value: str, places: int, wanted: str) -> None:
    assert half_up(D(value), places) == D(wanted)


def test_safe_sides() -> None:
    assert rounded_up(D("1.001"), 2) == D("1.01")
    assert rounded_up(D("-1.009"), 2) == D("-1.00")
    assert rounded_down(D("1.009"), 2) == D("1.00")
    assert rounded_down(D("-1.001"), 2) == D("-1.01")


def test_the_snap_mends_what_a_division_left_and_keeps_twelve_places() -> None:
    assert D(1) / D(3) * D(3) != 1
    assert snap(D(1) / D(3) * D(3)) == 1
    assert snap(D("0.0000000000005")) == D("0.000000000001")
    assert snap(D("0.0000000000004999")) == 0
    assert whole(D(1) / D(3) * D(9)) == 3
    assert whole(D("2.999999999999")) == 2


@given(st.fractions(min_value=0, max_value=10**6, max_denominator=10**6))
def test_whole_jars_are_the_whole_part_of_the_exact_fraction(fraction: Fraction) -> None:
    assert whole(D(fraction.numerator) / D(fraction.denominator)) == fraction.numerator // fraction.denominator


@pytest.mark.parametrize(
    ("value", "currency", "wanted"),
    [("1.005", "EUR", "1.01"), ("1.5", "JPY", "2"), ("1.0005", "KWD", "1.001"), ("-1.005", "EUR", "-1.01")],
)
def test_an_invoice_amount_rounds_to_its_currencys_minor_unit(value: str, currency: str, wanted: str) -> None:
    assert to_minor(D(value), currency) == D(wanted)


def test_an_invoice_amount_is_not_rounded_twice() -> None:
    assert to_minor(D("0.0049999999999999"), "EUR") == 0


def test_an_invoice_amount_of_nothing_has_no_sign() -> None:
    assert not to_minor(D("-0.004"), "EUR").is_signed()


def test_a_percentage_is_exact() -> None:
    assert percent(D("45")) == D("0.45")
    assert percent(D("0.0001")) == D("0.000001")


def test_threads_reckon_with_fifty_digits_too() -> None:
    seen: list[int] = []
    thread = threading.Thread(target=lambda: seen.append(decimal.getcontext().prec))
    thread.start()
    thread.join()
    assert seen == [amounts.PRECISION]


# --- sharing out ---------------------------------------------------------------------------------------------------

weights = st.lists(
    st.decimals(min_value=0, max_value=D("9999999.999999"), places=6)
    | st.sampled_from([D(0), D(1), D("1E+7"), D("453.59237") * D("9999999.999999") * D("0.8642")]),
    min_size=1,
    max_size=12,
)


@settings(max_examples=examples.of(1_000))
@given(st.integers(-(10**11), 10**11), weights, st.integers(0, 3))
def test_shares_add_up_and_none_is_a_whole_unit_off(units: int, weights: list[Decimal], places: int) -> None:
    total = D(units).scaleb(-places)
    shares = share_out(total, weights, places)
    assert sum(shares) == total
    exact = [Fraction(weight) for weight in weights] if any(weights) else [Fraction(1)] * len(weights)
    for share, weight in zip(shares, exact, strict=True):
        assert abs(Fraction(share) - Fraction(total) * weight / sum(exact)) < Fraction(1, 10**places)
    assert share_out(-total, weights, places) == tuple(-share for share in shares)


@given(st.integers(0, 10**6), st.integers(1, 50))
def test_equal_weights_give_the_odd_units_to_the_earlier_lines(units: int, lines: int) -> None:
    shares = share_out(D(units), [D(7)] * lines, 0)
    assert list(shares) == sorted(shares, reverse=True)
    assert max(shares) - min(shares) <= 1


def test_the_larger_remainder_is_served_first() -> None:
    assert share_out(D("0.05"), [D(1), D(3)], 2) == (D("0.01"), D("0.04"))
    assert share_out(D("0.03"), [D(1), D(1)], 2) == (D("0.02"), D("0.01"))
    assert share_out(D("-0.03"), [D(1), D(1)], 2) == (D("-0.02"), D("-0.01"))


def test_weights_of_nothing_share_equally_and_a_line_alone_takes_all() -> None:
    assert share_out(D("1.00"), [D(0)] * 3, 2) == (D("0.34"), D("0.33"), D("0.33"))
    assert share_out(D("1.00"), [D(0), D(2)], 2) == (D(0), D("1.00"))


def test_a_share_of_nothing_has_no_sign() -> None:
    assert not any(share.is_signed() for share in share_out(D("-0.01"), [D(1), D(1)], 2)[1:])


@pytest.mark.parametrize(
    ("total", "weights", "sentence"),
    [
        ("1.00", [], "nothing to share"),
        ("1.00", ["1", "-1"], "negative weight"),
        ("1.005", ["1"], "finer than its smallest unit"),
    ],
)
def test_what_cannot_be_shared_is_refused(total: str, weights: list[str], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        share_out(D(total), [D(weight) for weight in weights], 2)


# --- a division not yet done ---------------------------------------------------------------------------------------

parts = st.tuples(st.integers(-(10**9), 10**9), st.integers(1, 10**9))


def _fraction(ratio: Ratio) -> Fraction:
    return Fraction(ratio.over) / Fraction(ratio.under)


@given(parts, parts, st.integers(1, 10**6))
def test_ratios_add_and_scale_exactly(first: tuple[int, int], second: tuple[int, int], factor: int) -> None:
    one, two = Ratio(D(first[0]), D(first[1])), Ratio(D(second[0]), D(second[1]))
    assert _fraction(one.plus(two)) == _fraction(one) + _fraction(two)
    assert _fraction(one.plus(one)) == 2 * _fraction(one)
    assert _fraction(one.times(D(factor)).per(D(7))) == _fraction(one) * factor / 7
    assert snap(one.value) == half_up(D(first[0]) / D(first[1]), 12)


@pytest.mark.parametrize("nothing", ["-0", "-0.00", "0E-12", "0.000"])
def test_nothing_is_written_as_0_whatever_its_sign_and_places(nothing: str) -> None:
    assert plain(D(nothing)) == "0"


def test_the_first_group_is_of_at_most_three_digits() -> None:
    assert read_number("123,567,890", POINT) == D(123_567_890)
    with pytest.raises(Unreadable):
        read_number("1234,567,890", POINT)
