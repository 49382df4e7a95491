"""Free samples beside the price that was paid for the same material; figures from paper."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.told import OfSheet

F = Fraction
FREE = {0: OfSheet(zero="free")}


@pytest.mark.parametrize("cell", ["0.00", "free sample"])
@pytest.mark.parametrize("day", ["2025-03-03", "2025-04-04"])
@pytest.mark.parametrize("first", [True, False])
def test_a_free_sample_does_not_take_the_place_of_a_price(cell: str, day: str, *, first: bool) -> None:
    """11.20 for 1 kg, whenever 50 g came free; what has no other price is free."""
    bought, sample = "2025-03-03|Mere|Cetyl alcohol|1kg|11.20", f"{day}|Mere|cetyl alcohol|50g|{cell}"
    rows = [sample, bought] if first else [bought, sample]
    text = "\n".join(["Date|Supplier|What|Pack|Paid", *rows, "2025-03-03|Mere|Clay|1kg|0.00"])
    at = 2 if first else 3
    said = {one.row: one.sentence for one in read(text).wrong if one.choice == "sheets-0-zero"}
    more = f" Cetyl alcohol has another price in row {5 - at}, so this row may be left out."
    assert said[at].endswith(f"or type the price.{more}")
    assert said[4].endswith("or type the price.")
    reading = read(text, of_sheets=FREE)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Cetyl alcohol"], F("11.20") / 1000)
    assert costs(reading)["Clay"] == 0
    words = f"free, and Cetyl alcohol has a price in row {5 - at}, which counts"
    assert [(one.row, one.what) for one in reading.skipped] == [(at, words)]


def test_a_free_sample_that_brought_freight_is_kept_and_another_sheet_is_not_looked_at() -> None:
    heads = "Date|Supplier|What|Pack|Paid|Shipping"
    text = (
        f"{heads}\n2025-03-03|Mere|Clay|1kg|10.00|2\n2025-03-04|Mere|Silk|1kg|10.00|\n2025-03-04|Mere|Clay|50g|0.00|4"
    )
    reading = read(text, of_sheets=FREE)
    assert len(reading.materials) == 3
    other = read("Item|Pack|Price\nClay|1 kg|10", "Item|Pack|Price\nClay|50 g|0", of_sheets={1: OfSheet(zero="free")})
    assert [(one.sheet, one.row) for one in other.wrong] == [(1, 2)]
