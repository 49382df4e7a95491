"""Every kind of field at its limits and one past them, and back again as it is shown."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.costing import limits
from webapp.costing.amounts import JSON_NOTATION, MINOR_UNITS, Notation, Unreadable, plain
from webapp.costing.limits import MINUTES, Number, name_key

D = Decimal
POINT = Notation(".", ("€",))
COMMA = Notation(",", ("€",))
NUMBERS = {name: kind for name, kind in vars(limits).items() if isinstance(kind, Number)}


def code(kind: Any, text: str, notation: Notation = POINT) -> str:
    """What a refused text is called; "" where it is taken."""
    try:
        kind.read(text, notation)
    except Unreadable as unreadable:
        return unreadable.code if unreadable.sentence.endswith(".") else "no sentence"
    return ""


#: as they were laid down: least, most, places, and which end is open. What is stored is whole millionths.
LAID_DOWN = {
    "MONEY": ("0", "9999999.9999", 4, ""),
    "SIGNED_MONEY": ("-9999999.9999", "9999999.9999", 4, ""),
    "QUANTITY": ("0", "10000000", 6, "above"),
    "QUANTITY_OR_NONE": ("0", "10000000", 6, ""),
    "GRAMS": ("0", "10000000", 6, "above"),
    "GRAMS_OR_NONE": ("0", "10000000", 6, ""),
    "DENSITY": ("0.1", "5", 4, ""),
    "TEMPERATURE": ("-50", "250", 1, ""),
    "PERCENT": ("0", "100", 4, ""),
    "SHARE": ("0", "100", 4, "above"),
    "LOSS": ("0", "100", 4, "below"),
    "TARGET": ("0", "100", 4, "below"),
    "TAX_RATE": ("0", "100", 4, ""),
    "FEE": ("0", "100", 4, "below"),
    "EXTRA": ("0", "1000", 4, ""),
    "AIR": ("0", "1000", 4, ""),
    "RATE": ("0", "10000000", 6, "above"),
    "PRICE_CHANGE": ("-100", "1000", 4, "above"),
    "MINUTES": ("0", "100000", 4, ""),
    "HOURS": ("0", "10000", 4, ""),
    "COUNT": ("1", "1000000", 0, ""),
    "COUNT_OR_NONE": ("0", "1000000", 0, ""),
    "JARS_A_MONTH": ("0", "1000000", 4, ""),
    "PIECES": ("0", "1000000", 4, "above"),
    "SPOILED": ("0", "1000", 4, ""),
    "DROPS": ("0", "200", 4, "above"),
    "WIDTH": ("0", "200", 2, "above"),
    "MONTHS": ("1", "240", 0, ""),
}


def test_every_number_has_the_limits_that_were_laid_down_for_it() -> None:
    """A limit that is moved here is moved knowingly: what was stored within the old one has to fit the new one."""
    ends = {(True, False): "above", (False, True): "below", (False, False): ""}
    kinds = NUMBERS.items()
    assert {n: (plain(k.low), plain(k.high), k.places, ends[k.above, k.below]) for n, k in kinds} == LAID_DOWN


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_is_taken_at_its_limit_and_refused_one_past_it(name: str) -> None:
    kind = NUMBERS[name]
    step = D(1).scaleb(-kind.places)
    for limit, open_, past in ((kind.low, kind.above, -step), (kind.high, kind.below, step)):
        at_limit, inside, outside = (plain(one) for one in (limit, limit - past, limit + past))
        assert code(kind, at_limit) == ("number-range" if open_ else "")
        assert code(kind, inside) == ""
        assert code(kind, outside) == "number-range"


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_keeps_its_places_and_refuses_one_more(name: str) -> None:
    kind = NUMBERS[name]
    value = kind.high - D(1).scaleb(-kind.places)
    assert kind.read(plain(value), POINT) == value
    assert code(kind, plain(value - D(1).scaleb(-kind.places - 1))) == "number-decimals"
    assert code(kind, "1.0000000000") == ("" if kind.low <= 1 <= kind.high else "number-range")


@pytest.mark.parametrize("name", NUMBERS)
@given(data=st.data())
def test_a_number_reads_back_as_it_is_shown(name: str, data: st.DataObject) -> None:
    kind = NUMBERS[name]
    value = data.draw(st.decimals(kind.low, kind.high, places=kind.places))
    for notation in (POINT, COMMA, JSON_NOTATION):
        if not (kind.above and value == kind.low) and not (kind.below and value == kind.high):
            assert kind.read(kind.show(value, notation), notation) == value


def test_a_currency_sign_stands_only_beside_money() -> None:
    assert limits.MONEY.read("€ 5", POINT) == 5
    assert code(limits.PERCENT, "€ 5") == "number-format"
    assert limits.PERCENT.read("5 %", POINT) == 5
    assert limits.GRAMS.read("5g", POINT) == 5


def test_a_range_is_said_in_the_persons_own_notation() -> None:
    with pytest.raises(Unreadable) as caught:
        limits.MONEY.read("10000000", COMMA)
    assert str(caught.value) == "This must be 0 or more, and at most 9999999,9999."
    with pytest.raises(Unreadable) as caught:
        limits.LOSS.read("100", POINT)
    assert str(caught.value) == "This must be 0 or more, and below 100."
    with pytest.raises(Unreadable) as caught:
        limits.QUANTITY.read("0", POINT)
    assert str(caught.value) == "This must be above 0, and at most 10000000."


def test_too_many_decimals_are_said_not_cut_off() -> None:
    with pytest.raises(Unreadable) as caught:
        limits.COUNT.read("1.5", POINT)
    assert str(caught.value) == "Type a whole number."
    with pytest.raises(Unreadable) as caught:
        limits.MONEY.read("1.00001", POINT)
    assert str(caught.value) == "This keeps at most 4 decimals. Shorten the number."


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("  Shea   butter ", "Shea butter"),
        ("Karite\u0301", "Karit\u00e9"),
        ("a" * 120, "a" * 120),
        ("\u0634\u064a\u0627", "\u0634\u064a\u0627"),
        ("\U0001f9f4 Balm", "\U0001f9f4 Balm"),
        ("q" + "\u0301" * 8, "q" + "\u0301" * 8),  # as many marks as a letter may carry
        ('"><b>', '"><b>'),
        ("", ""),
    ],
)
def test_a_name_is_trimmed_collapsed_and_composed(text: str, wanted: str) -> None:
    assert limits.NAME.read(text, POINT) == wanted
    assert limits.NAME.read(limits.NAME.show(wanted, POINT), POINT) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a" * 121, "text-too-long"),
        ("a\x00b", "text-control"),
        ("a\r\nb", "text-control"),
        ("a\ud800", "text-control"),
        ("Shea \u202eesrever", "text-bidi-control"),
        ("\u200b\u200d", "text-invisible"),
        ("e" + "\u0301" * 9, "text-combining"),
    ],
)
def test_a_name_that_would_deceive_is_refused(text: str, wanted: str) -> None:
    assert code(limits.NAME, text) == wanted


def test_a_note_keeps_its_lines_and_a_name_has_none() -> None:
    assert limits.NOTE.read("one  \r\ntwo\n\n", POINT) == "one\ntwo"
    assert code(limits.NOTE, "a" * 4_001) == "text-too-long"
    assert code(limits.NOTE, "a" * 4_000) == ""
    assert code(limits.NOTE, "a\x07b") == "text-control"
    assert limits.NOTE.show("one\ntwo", POINT) == "one\ntwo"


def test_names_are_the_same_without_regard_to_case_spaces_and_composition() -> None:
    assert name_key("KARIT\u00c9  butter") == name_key("karite\u0301 Butter ")
    assert name_key("Shea") != name_key("Shea butter")


@given(st.text(max_size=40))
def test_any_text_is_refused_or_reads_the_same_again(text: str) -> None:
    for kind in (limits.NAME, limits.NOTE):
        try:
            kept = kind.read(text, POINT)
        except Unreadable:
            continue
        assert kind.read(kind.show(kept, POINT), POINT) == kept


@pytest.mark.parametrize("text", ["https://example.org/shea?x=1", "http://169.254.169.254/", "HTTPS://example.org"])
def test_a_link_is_a_web_address(text: str) -> None:
    assert limits.LINK.read(text, POINT) == text


@pytest.mark.parametrize("text", ["javascript:alert(1)", "example.org", "https://", "ftp://example.org", "https://a b"])
def test_another_link_is_refused(text: str) -> None:
    assert code(limits.LINK, text) == "url-scheme"
    assert code(limits.LINK, "") == ""


@pytest.mark.parametrize(
    "text", ["2026-02-30", "0000-00-00", "2026-6-1", "01/06/2026", "20260601", "", "2026-06-01T00:00"]
)
def test_a_day_that_is_none_is_refused(text: str) -> None:
    assert code(limits.DAY, text) == "date-format"


def test_a_day_lies_between_the_first_and_the_last() -> None:
    assert limits.DAY.read(" 2024-02-29 ", POINT) == date(2024, 2, 29)
    assert limits.DAY.show(date(2024, 2, 29), POINT) == "2024-02-29"
    for text, wanted in (
        ("1990-01-01", ""),
        ("1989-12-31", "date-range"),
        ("2199-12-31", ""),
        ("2200-01-01", "date-range"),
    ):
        assert code(limits.DAY, text) == wanted


def test_a_currency_is_one_of_the_list() -> None:
    assert limits.CURRENCY.read(" eur ", POINT) == "EUR"
    assert limits.CURRENCY.show("EUR", POINT) == "EUR"
    for text in ("XXX", "EURO", "€", "XAU"):
        assert code(limits.CURRENCY, text) == "currency"
    assert "XAU" not in MINOR_UNITS


def test_a_flag_is_ticked_or_not() -> None:
    assert [limits.FLAG.read(text, POINT) for text in ("", "no", "yes")] == [False, False, True]
    assert [limits.FLAG.show(value, POINT) for value in (False, True)] == ["", "yes"]
    assert code(limits.FLAG, "on") == "choice"


def test_a_choice_is_one_of_its_words() -> None:
    kind = limits.Choice(("g", "mL"))
    assert kind.read("mL", POINT) == kind.show("mL", POINT) == "mL"
    assert code(kind, "ml") == "choice"


@pytest.mark.parametrize(("text", "taken"), [("1", True), ("-1", True), ("999999999", True), ("0", False)])
def test_a_reference_is_a_number_of_at_most_nine_digits(text: str, *, taken: bool) -> None:
    kind = limits.Reference("material")
    assert (code(kind, text) == "") is taken
    if taken:
        assert kind.show(kind.read(text, POINT), POINT) == text


@pytest.mark.parametrize("text", ["1000000000", "9223372036854775808", "01", "+1", "１", "1.0", "", "a"])
def test_anything_else_is_no_reference(text: str) -> None:
    assert code(limits.Reference("material"), text) == "reference"


def test_the_browser_is_told_the_same_limits() -> None:
    assert limits.attributes(limits.COUNT)["inputmode"] == "numeric"
    assert limits.attributes(limits.MONEY) == {"inputmode": "decimal", "maxlength": 24, "autocomplete": "off"}
    assert limits.attributes(limits.NAME) == {"maxlength": 120}
    assert limits.attributes(limits.DAY) == {}


def test_a_locale_is_a_language_and_its_country_as_cldr_names_them() -> None:
    kind = limits.Locale()
    for typed, kept in (("en_GB", "en_GB"), (" de-AT ", "de_AT"), ("zh_Hant_TW", "zh_Hant_TW")):
        assert kind.read(typed, POINT) == kept
    for typed in ("zz_ZZ", "en", "en_ZZ", "EN_gb", "de_DE_xx", "C", "../en_GB", "en_US_POSIX", "en_001"):
        assert code(kind, typed) == "locale"
    assert code(kind, "x" * 20) == "locale"
    assert code(kind, "x" * 21) == "text-too-long"


@pytest.mark.parametrize(
    ("places", "typed", "shown"),
    [(2, "12.4", "12.40"), (2, "90", "90.00"), (2, "0.0125", "0.0125"), (0, "90", "90"), (3, "1.5", "1.500")],
)
def test_money_shows_the_decimals_of_its_currency_and_all_that_were_typed(places: int, typed: str, shown: str) -> None:
    notation = Notation(",", money_places=places)
    assert limits.MONEY.show(D(typed), notation) == shown.replace(".", ",")
    assert limits.MONEY.read(shown.replace(".", ","), notation) == D(typed)
    assert limits.QUANTITY.show(D(typed), notation) == typed.replace(".", ",")


@pytest.mark.parametrize("kind", [limits.COUNT, limits.COUNT_OR_NONE, limits.MONTHS])
def test_what_is_counted_is_whole(kind: Number) -> None:
    assert kind.read("12", POINT) == 12
    with pytest.raises(Unreadable):
        kind.read("1.5", POINT)


def test_minutes_go_up_to_a_hundred_thousand_which_is_more_than_two_months() -> None:
    """69 days and nights: no batch takes longer. What is longer is a slip of the comma."""
    assert MINUTES.read("100000", JSON_NOTATION) == Decimal(100_000)
    with pytest.raises(Unreadable):
        MINUTES.read("100000.0001", JSON_NOTATION)


@pytest.mark.parametrize("text", ["Oil\ufdd0", "Oil\ufdef", "Oil\uffff", "\U0001fffeOil", "\U0010ffff"])
def test_what_unicode_keeps_out_of_texts_for_good_is_refused(text: str) -> None:
    """Its noncharacters: U+FDD0 to U+FDEF and the last two of every plane (Unicode, section 23.7)."""
    assert code(limits.NAME, text) == "text-control"
    assert code(limits.NAME, "Oil \ufdcf\ufdf0\ufffd") == ""
