"""How tax stands in the prices of single rows and of whole sheets: costs in fractions of what is written."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, costs, near, read, sentences
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.own.told import OfSheet

F = Fraction
TWENTY = {0: OfSheet(rate=Decimal(20))}
RECLAIMS = Book(day=DAY, terms=b.Terms(registered=True))
BY_ROW = "Item|Pack|Price|VAT\nOil|1 kg|12|inc\nWax|1 kg|12|ex\nGel|1 kg|12|zero"


def test_words_below_a_head_of_tax_are_read_row_by_row_and_the_rate_is_asked_once() -> None:
    """It was “inc is no number. Type digits” at each row before."""
    reading = read(BY_ROW)
    assert reading.layouts[0].roles == ("name", "pack", "price", "taxed")
    assert [(one.row, one.choice) for one in reading.wrong] == [(3, "sheets-0-rate")]
    told = read(BY_ROW, of_sheets=TWENTY)
    assert told.good, sentences(told)
    assert costs(told) == {"Oil": Decimal("0.012"), "Wax": Decimal("0.0144"), "Gel": Decimal("0.012")}


def test_who_reclaims_tax_is_asked_for_the_rate_of_what_is_in_the_price() -> None:
    """12 with a fifth in it are 10 without; what is without tax stays 12."""
    reading = read(BY_ROW, book=RECLAIMS)
    assert [(one.row, one.choice) for one in reading.wrong] == [(2, "sheets-0-rate")]
    assert costs(read(BY_ROW, book=RECLAIMS, of_sheets=TWENTY)) == {
        "Oil": Decimal("0.01"), "Wax": Decimal("0.012"), "Gel": Decimal("0.012"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("head", "cell", "cost"),
    [
        *(("VAT", one, "12") for one in ("incl.", "included", "inc VAT", "VAT included", "gross", "GST incl", "TTC")),
        *(("MwSt", one, "14.4") for one in ("netto", "zzgl.", "exkl. MwSt", "zzgl. 20 % MwSt")),
        *(("VAT", one, "14.4") for one in ("excl", "+ VAT", "+VAT", "plus VAT", "20% extra", "not included", "HT")),
        *(("VAT", one, "12") for one in ("no VAT", "zero-rated", "exempt", "none", "VAT free", "not VAT registered")),
        ("Taxe", "HT", "14.4"),
        ("HT/TTC", "TTC", "12"),
        ("inc/ex", "ex", "14.4"),
    ],
)
def test_the_words_of_a_column_of_tax(head: str, cell: str, cost: str) -> None:
    reading = read(f"Item|Pack|Price|{head}\nOil|1 kg|12|{cell}\nWax|1 kg|12|{cell}", of_sheets=TWENTY)
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Oil"], F(cost) / 1000)


YES = "Item|Pack|Price|VAT?\nOil|1 kg|12|Y\nWax|1 kg|12|N\nGel|1 kg|12|N"


def test_what_yes_means_is_asked_once_for_its_sheet() -> None:
    reading = read(YES)
    assert {one.choice for one in reading.wrong} == {"sheets-0-yes"}
    assert reading.wrong[0].sentence == (
        "Sheet 1, rows 2, 3, 4: What does Y below “VAT?” mean: is tax in the price, or does it come on top of it? "
        "Say it below."
    )


@pytest.mark.parametrize(
    ("yes", "oil", "wax"),
    [("in_out", "12", "14.4"), ("in_none", "12", "12"), ("out_none", "14.4", "12"), ("out_in", "14.4", "12")],
)
def test_yes_and_no_as_they_were_said_to_mean(yes: str, oil: str, wax: str) -> None:
    found = costs(read(YES, of_sheets={0: OfSheet(yes=yes, rate=Decimal(20))}))
    assert near(found["Oil"], F(oil) / 1000)
    assert near(found["Wax"], F(wax) / 1000)
    nothing = costs(read(YES.replace("|N", "|"), of_sheets={0: OfSheet(yes=yes, rate=Decimal(20))}))
    assert nothing == found  # an empty cell beside yes is no


def test_a_head_says_what_yes_means_and_is_no_price() -> None:
    reading = read("Item|Pack|VAT inc?|Price\nOil|1 kg|Y|12\nWax|1 kg|N|12", of_sheets=TWENTY)
    assert reading.layouts[0].roles == ("name", "pack", "taxed", "price")
    assert costs(reading) == {"Oil": Decimal("0.012"), "Wax": Decimal("0.0144")}


def test_a_row_that_says_nothing_among_others_is_asked_once_for_all() -> None:
    text = "Item|Pack|Price|VAT\nOil|1 kg|12|ex\nWax|1 kg|12|\nGel|1 kg|12|"
    assert [(one.row, one.choice) for one in read(text, of_sheets=TWENTY).wrong] == [
        (3, "sheets-0-tax"),
        (4, "sheets-0-tax"),
    ]
    assert costs(read(text, of_sheets={0: OfSheet(tax="in", rate=Decimal(20))}))["Wax"] == Decimal("0.012")
    assert costs(read(text, of_sheets={0: OfSheet(tax="out", rate=Decimal(20))}))["Wax"] == Decimal("0.0144")


def test_rates_stay_rates_and_may_stand_beside_words() -> None:
    rates = read("Item|Pack|Price|VAT\nOil|1 kg|12|20%\nWax|1 kg|12|0\nGel|1 kg|12|exempt")
    assert rates.layouts[0].roles[-1] == "tax_rate"
    assert costs(rates) == {"Oil": Decimal("0.0144"), "Wax": Decimal("0.012"), "Gel": Decimal("0.012")}
    both = read("Item|Pack|Price|VAT|VAT rate\nOil|1 kg|12|ex|5%\nWax|1 kg|12|inc|5%")
    assert both.layouts[0].roles == ("name", "pack", "price", "taxed", "tax_rate")
    assert costs(both) == {"Oil": Decimal("0.0126"), "Wax": Decimal("0.012")}


def test_words_for_tax_that_nobody_knows_or_that_contradict_are_wrong_at_their_row() -> None:
    unknown = read("Item|Pack|Price|VAT\nOil|1 kg|12|inc\nWax|1 kg|12|ex\nTin|1 kg|12|inc\nGel|1 kg|12|ex\nA|1 kg|9|Z9")
    assert ("D6", "Z9 says nothing of tax that is known here. Write inc, ex, none, or its rate: 20 %.") in sentences(
        unknown
    )
    both = read("Item|Pack|Price|VAT\nOil|1 kg|12 + VAT|inc\nWax|1 kg|12|inc")
    assert sentences(both)[0][1].startswith("+ VAT and inc stand in this row: tax comes on top of it, or tax is in the")


@pytest.mark.parametrize(
    ("price", "cost"),
    [
        ("14.20 + VAT", "17.04"),
        ("10 ex VAT", "12"),
        ("10.00 inc VAT", "10"),
        ("€10 (excl. VAT)", "12"),
        ("10 + 5% VAT", "10.5"),
        ("10/kg + VAT", "12"),
        ("12,50 € zzgl. MwSt", "15"),
        ("10 TTC", "10"),
        ("10 no VAT", "10"),
    ],
)
def test_a_price_says_in_its_cell_how_tax_stands(price: str, cost: str) -> None:
    reading = read(f"Item|Pack|Price\nOil|1 kg|{price}", of_sheets=TWENTY)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Oil"], F(cost) / 1000)


@pytest.mark.parametrize(
    ("title", "how", "cost"),
    [
        ("All prices inc VAT unless noted", "in", "10"),
        ("Prices ex VAT", "out", "12"),
        ("Preise zzgl. MwSt.", "out", "12"),
        ("Preise zzgl. 19 % MwSt", "out", "11.9"),
        ("Tarif HT", "out", "12"),
        ("Prices are as paid, INC VAT where it says", "", "10"),
        ("Net weights, July", "", "10"),
        ("Price list 2026", "", "10"),
    ],
)
def test_a_title_or_a_note_says_it_of_its_sheet(title: str, how: str, cost: str) -> None:
    of = {} if "19" in title else TWENTY
    above = read(f"{title}\nItem|Pack|Price\nOil|1 kg|10", of_sheets=of)
    below = read(f"Item|Pack|Price\nOil|1 kg|10\n\n* {title}", of_sheets=of)
    for reading in (above, below) if how else (above,):
        assert {number: one.how for number, one in reading.taxes.items()} == ({0: how} if how else {})
        assert near(costs(reading)["Oil"], F(cost) / 1000), sentences(reading)


def test_a_title_gives_way_to_a_row_to_a_head_and_to_a_choice() -> None:
    title = "All prices ex VAT\n"
    assert costs(read(f"{title}Item|Pack|Price\nOil|1 kg|10 inc VAT"))["Oil"] == Decimal("0.01")
    assert costs(read(f"{title}Item|Pack|Price inc VAT\nOil|1 kg|10"))["Oil"] == Decimal("0.01")
    assert costs(read(f"{title}Item|Pack|Price\nOil|1 kg|10", of_sheets={0: OfSheet(tax="in")}))["Oil"] == Decimal(
        "0.01"
    )
    asked = read(f"{title}Item|Pack|Price\nOil|1 kg|10")
    assert [one.choice for one in asked.wrong] == ["sheets-0-rate"]
    assert "sheets-0-tax" in asked.asks  # in sight, to be changed


def test_a_list_of_formulas_says_nothing_of_tax() -> None:
    assert read("Preise zzgl. 19 % MwSt\nItem|Pack|Price\nOil|1 kg|10").layouts[0].holds == "materials"
    assert not read("Made with tax free oil\nIngredient|%\nOil|100").taxes


@pytest.mark.parametrize("head", ["VAT exempt?", "Exempt from VAT", "VAT free", "Zero-rated VAT"])
def test_yes_below_exempt_means_no_tax_and_no_that_it_is_as_elsewhere(head: str) -> None:
    """10.00 without tax, and 10.00 with 20 % on top of it: 12.00."""
    text = f"Item|Pack|Price ex VAT|{head}|VAT %\nShea|1 kg|10|Y|\nWax|1 kg|10|N|20"
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], F(10, 1000))
    assert near(costs(reading)["Wax"], F(12, 1000))


def test_a_row_with_one_of_two_prices_has_the_rate_that_all_others_show() -> None:
    """60.00 and 15 % are 69.00, as 100 and 115, 20 and 23 are; where tax is reclaimed 69.00 are 60.00."""
    text = "Item|Pack|Excl|Incl\nShea|5 kg|100|115\nOil|1 kg|60|\nWax|1 kg|20|23"
    reading = read(text)
    assert near(costs(reading)["Oil"], F(69, 1000))
    said = "Only one of its two prices is there, so tax is reckoned at 15 %, as in the other rows."
    assert said in reading.materials[1].said.remarks
    back = read(text.replace("60|", "|69"), book=RECLAIMS)
    assert near(costs(back)["Oil"], F(60, 1000))


@pytest.mark.parametrize("wax", ["20|20", "20|"])
def test_where_the_others_show_no_one_rate_it_is_asked(wax: str) -> None:
    """At 15 % 60.00 are 69.00."""
    text = f"Item|Pack|Excl|Incl\nShea|5 kg|100|115\nOil|1 kg|60|\nWax|1 kg|{wax}"
    assert {one.choice for one in read(text).wrong} == {"sheets-0-rate"}
    reading = read(text, of_sheets={0: OfSheet(rate=Decimal(15))})
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Oil"], F(69, 1000))


def test_a_plain_number_that_would_be_a_rate_as_no_country_has_it_is_asked_at_its_cell() -> None:
    """0.60 beside 10.00 is money: it was 60 percent, at 16.00."""
    rows = "Item|Pack|Price|Sales tax\nShea|1 kg|10|0.60\nWax|1 kg|5|0\nGum|1 kg|8|0.60"
    asked = read(rows)
    assert [one.cell for one in asked.wrong] == ["D2", "D4"]
    assert "0.60 would be a rate of 60 %." in asked.wrong[0].sentence
    assert read("Item|Pack|Price|Sales tax\nShea|1 kg|10|0.2\nWax|1 kg|5|60%").good
