"""Notes beside prices that may change them: each is asked, what says nothing of a price is not."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.noted import AS_READ, COUNTS
from webapp.costing.own.notes import may_change_a_price
from webapp.costing.own.told import OfSheet

F = Fraction
TWENTY = {0: OfSheet(rate=Decimal(20))}


@pytest.mark.parametrize(
    ("rows", "said", "read_as", "counts"),
    [
        ("Item|Pack|Price|Notes\nOil|1 kg|10|+ VAT", "tax comes on top of the price", "10", "12"),
        ("Prices inc VAT unless noted\nItem|Pack|Price|Notes\nOil|1 kg|10|+ VAT", "tax comes on top of the price",
         "10", "12"),
        ("Item|Price per kg|Notes\nLavender EO|12|per 100 g", "the price is for 100 g", "12", "120"),
        ("Item|Pack|Price|Notes\nShea|5 kg|4|price is per kg", "the price is for 1 kg", "0.8", "4"),
        ("Item|Pack|Price|Notes\nShea|6 x 1 kg|3.60|price is per bottle", "the price is for one of 6", "0.6", "3.6"),
        ("Item|Pack|Price|Remarks\nShea|6 x 1 kg|3.60|each", "the price is for one of 6", "0.6", "3.6"),
    ],
)  # fmt: skip
def test_a_note_that_says_one_thing_is_asked_and_counts_where_it_is_to(
    rows: str, said: str, read_as: str, counts: str
) -> None:
    """The note was left out without a word before: 120 a kg cost 12."""
    at = rows.count("\n") + 1
    asked = read(rows, of_sheets=TWENTY)
    assert [one.choice.partition("-")[0] for one in asked.wrong] == ["note"]
    assert asked.wrong[0].sentence.endswith(f"Is that right, or does it count: {said}?")
    for answer, cost in ((AS_READ, read_as), (COUNTS, counts)):
        told = read(rows, of_sheets=TWENTY, notes={f"s0_r{at}": answer})
        assert told.good, sentences(told)
        (found,) = costs(told).values()
        assert near(found, F(cost) / 1000)
    by_mark = read(rows, of_sheets=TWENTY, notes={asked.wrong[0].choice.removeprefix("note-"): COUNTS})
    assert by_mark.good
    assert "Read as its note says" in " ".join(by_mark.materials[0].said.remarks)


@pytest.mark.parametrize(
    "note",
    [
        "old price", "price old, check", "don't use!", "Do not use", "discontinued", "no longer sold", "10% off",
        "sale price", "was 12.50", "now £9", "£4.20/100g", "price for 3", "case of 6", "by the case", "per case",
        "VAT to be added on top", "price gone up", "special offer", "per 100", "plus delivery", "3 for 2 promo",
        "Preis je 100 g, alt", "replaced by the organic one",
    ],
)  # fmt: skip
def test_other_words_that_may_change_a_price_are_asked_and_the_row_is_put_right(note: str) -> None:
    text = f"Item|Pack|Price|Notes\nShea|5 kg|30|{note}\nWax|1 kg|10|smells lovely"
    asked = read(text)
    assert [(one.cell, one.choice.partition("-")[0]) for one in asked.wrong] == [("D2", "note")]
    assert read(text, notes={"s0_r2": AS_READ}).good
    assert read(text, left_out=frozenset(("s0_r2",))).good
    mended = read(text, fixes={"s0_r2_c2": "36", "s0_r3_c2": "10"})
    assert mended.good
    assert costs(mended) == {"Shea": Decimal("0.0072"), "Wax": Decimal("0.01")}
    assert not read(text, fixes={"s0_r2_c2": "30"}).good  # sent back as it stands


@pytest.mark.parametrize(
    "note",
    [
        "smells lovely", "from Oak Supply", "best before 2027", "do not use above 2%", "don't use on skin",
        "20 drops per 100 g", "just in case", "each batch differs", "max 3 % per batch", "Old Mill Supply",
        "free delivery over £40", "min. order £25", "price checked 12/03/2026", "in a brown bottle", "use in 6 bars",
        "net weight on the label", "organic, cold pressed", "24/7", "and/or lanolin", "ISO 9001", "6 months old",
    ],
)  # fmt: skip
def test_notes_that_say_nothing_of_a_price_ask_nothing(note: str) -> None:
    assert not may_change_a_price(note)
    assert read(f"Item|Pack|Price|Notes\nShea|5 kg|30|{note}\nWax|1 kg|10|").good


@pytest.mark.parametrize(
    "rows",
    [
        "Item|Pack|Price|Notes\nShea|1 kg|30|per kg",  # as it is read
        "Item|Pack|Price|Notes\nShea|1 kg|30|per bottle",
        "Item|Pack|Price|Notes\nShea|1 kg|30|inc VAT",
        "Prices ex VAT\nItem|Pack|Price|Notes\nShea|1 kg|30|+ VAT",
        "Item|Pack|Price|Notes\nShea|6 x 1 kg|30|price is for the case",
        "Item|Pack|Price|Notes\nAmber jar|48 pcs|30|case price",
        "Item|Pack|Price|Date|Notes\nShea|1 kg|30|2026-03-01|price gone up!",
        "Item|Pack|Price|Old price\nShea|1 kg|30|£25.00",  # another column of prices
        "Item|Pack|Price|Stock\nShea|1 kg|30|2 cases",
        "Item|Pack|Price|Notes\nShea|1 kg||discontinued",  # no price to be wrong
    ],
)
def test_what_comes_to_the_same_or_is_no_note_asks_nothing(rows: str) -> None:
    assert read(rows, of_sheets=TWENTY).good


def test_the_only_words_for_what_a_price_is_for_are_read() -> None:
    reading = read("Item|Price|Notes\nShea|3|per kg!")
    assert reading.good, sentences(reading)
    assert costs(reading) == {"Shea": Decimal("0.003")}


def test_the_same_words_in_many_rows_are_asked_once_and_a_corrected_row_is_none_of_them() -> None:
    text = "Item|Pack|Price|Notes\nShea|1 kg|10|+ VAT\nWax|1 kg|20|+ VAT\nGel|1 kg|30|"
    asked = read(text, of_sheets=TWENTY)
    assert len({one.choice for one in asked.wrong}) == 1
    mark = asked.wrong[0].choice.removeprefix("note-")
    told = read(text, of_sheets=TWENTY, notes={mark: COUNTS}, fixes={"s0_r3_c2": "21"})
    assert costs(told) == {"Shea": Decimal("0.012"), "Wax": Decimal("0.021"), "Gel": Decimal("0.03")}


def test_where_the_note_counts_its_rate_is_asked() -> None:
    text = "Item|Pack|Price|Notes\nShea|1 kg|10|+ VAT"
    assert [one.choice for one in read(text, notes={"s0_r2": COUNTS}).wrong] == ["sheets-0-rate"]


def test_a_note_in_another_unit_than_its_pack_can_not_count() -> None:
    reading = read("Item|Pack|Price|Notes\nAloe|1 L|10|per 100 g")
    assert reading.wrong[0].sentence.endswith("Is that right? Else correct the row, or leave it out.")
