"""Jars sold a month from pasted cells, and several of them as changes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.making import DAY, TUB, D
from tests.costing.test_line import JARRED, SHOP, STALL, channel, selling
from webapp.costing.amounts import JSON_NOTATION
from webapp.costing.book import Sales
from webapp.costing.called import Names, known
from webapp.costing.changes import Put
from webapp.costing.entry import read as read_record
from webapp.costing.monthly_sales import SHEET, read_sales
from webapp.costing.pasted_sales import Reading, read_sales_sheet
from webapp.costing.reckoning import Reckoning
from webapp.costing.sheets import cut

BOOK = selling(JARRED, channel(STALL), channel(SHOP), sales=[(TUB, STALL, "40")])
PRODUCTS, CHANNELS = Names(known(BOOK.products.values())), Names(known(BOOK.channels.values()))


def read(text: str, sign: str = "") -> Reading:
    return read_sales_sheet(cut(text), PRODUCTS, CHANNELS, sign)


@pytest.mark.parametrize(
    "text",
    [
        "tub\tchannel 51\t12,5",
        "Tub;Channel 51;12.5",
        "Jars a month;Where;Product\n12,5;Channel 51;Tub",
        'sep=;\n"Item";"Note";"Sold at";"Qty"\nTub;none;Channel 51;12.5',
    ],
)
def test_columns_are_known_by_their_heads_or_by_their_order(text: str) -> None:
    (row,) = read(text).rows
    assert (row.product, row.channel, row.jars, row.faults) == (str(TUB), str(STALL), "12.5", ())


def test_empty_jars_are_not_known_and_not_nothing() -> None:
    found = read("Tub;Channel 51;\nTub;Channel 52;0")
    assert [row.jars for row in found.rows] == ["", "0"]
    assert found.good


def test_a_row_says_all_that_is_wrong_with_it() -> None:
    found = read("Tb;Channel 53;many\nTub;Channel 51;1")
    assert len(found.rows[0].faults) == 3
    assert not found.good
    assert found.rows[1].faults == ()


def sent(*rows: tuple[int, int, str | None]) -> Any:
    typed = [{"product": str(product), "channel": str(on), "jars": jars} for product, on, jars in rows]
    return read_sales(Reckoning(BOOK), typed, DAY, JSON_NOTATION, DAY)


def test_only_what_differs_is_a_change() -> None:
    assert sent((TUB, STALL, "40.0"), (TUB, SHOP, None)) == ((), ())
    found = sent((TUB, STALL, None), (TUB, SHOP, "0"))
    assert found.puts == (Put(Sales(TUB, STALL, DAY, None)), Put(Sales(TUB, SHOP, DAY, D(0))))


def test_a_fault_stands_at_its_row_and_field() -> None:
    found = sent((TUB, STALL, "1"), (TUB, 99, "1"), (TUB, STALL, "2"), (TUB, SHOP, "-1"))
    assert [(one.field, one.code) for one in found.faults] == [
        ("sales-1-product", "reference"),
        ("sales-2-product", "repeated"),
        ("sales-3-jars", "number-range"),
    ]


def test_a_line_says_its_product_and_its_channel() -> None:
    found = read_sales(Reckoning(BOOK), [{"jars": "3"}], DAY, JSON_NOTATION, DAY)
    assert [(one.field, one.code) for one in found.faults] == [
        ("sales-0-product", "required"),
        ("sales-0-channel", "required"),
    ]


@pytest.mark.parametrize(("rows", "wanted"), [(0, False), (1, True)])
def test_one_line_is_enough_and_none_is_not(rows: int, *, wanted: bool) -> None:
    line = {"product": str(TUB), "channel": str(STALL), "jars": "5"}
    found = read_record(SHEET, {"since": DAY.isoformat(), "sales": [line] * rows}, JSON_NOTATION, today=DAY)
    assert (not found.faults) is wanted


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "Paste at least one line: product, channel, jars a month."),
        ("Product;Jars a month\nTub;3",
         "No column says its channel. Write product, channel and jars above the columns."),
        ("Product;Channel;Jars", "Below the heads stands nothing. Paste the lines too."),
        ("Tub;Channel 51;1,234\nTub;Channel 52;1.234",
         "Numbers in this sheet can be read in two ways. Choose how its decimals are written."),
    ],
)  # fmt: skip
def test_a_sheet_that_can_not_be_read_says_why(text: str, fault: str) -> None:
    assert (read(text).fault, read(text).good) == (fault, False)


def test_a_sign_that_is_chosen_settles_it_and_a_row_says_which_cell_is_empty() -> None:
    assert [row.jars for row in read("Tub;Channel 51;1,234", ",").rows] == ["1.234"]
    (row,) = read(";Channel 51;3").rows
    assert row.faults == ("No product stands here. Write one.",)


def test_the_same_product_on_the_same_channel_stands_once() -> None:
    found = read("Tub;Channel 51;3\nTub;Channel 52;3\ntub;channel 51;4")
    assert [row.faults for row in found.rows] == [(), (), ("This stands on an earlier line already.",)]


def test_several_of_one_name_are_to_be_told_apart() -> None:
    twins = replace(BOOK, products={**BOOK.products, 77: replace(BOOK.products[TUB], id=77)})
    found = read_sales_sheet(cut("Tub;Channel 51;3"), Names(known(twins.products.values())), CHANNELS)
    assert found.rows[0].faults == ("Several are called Tub. Write the whole name.",)
