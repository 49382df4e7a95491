"""One material in several rows or sheets: which price counts is said by a day, or asked, never by the last row."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored, table
from webapp.costing.book import StartingPrice
from webapp.costing.own.columns import NOTHING, Layout
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own

F = Fraction
OLD = "Ingredient|Pack|Price\nShea butter|1 kg|14\nOlive oil|1 kg|9.40\nWax|500 g|8.50"
NEW = "Ingredient|Pack|Price\nShea butter|1 kg|15.40\nOlive oil|1 kg|10.34\nWax|500 g|8.50"
BALM = "Ingredient|%\nShea butter|60\nOlive oil|40"


def test_two_sheets_that_contradict_each_other_are_asked_which_counts() -> None:
    """15.40 and 10.34 make 60/40 of 13.376 a kg; by the older sheet it would be 12.16, taken in silence before."""
    asked = read(NEW, OLD, BALM)
    assert (asked.good, asked.wrong) == (False, ())
    ((field, words),) = asked.faults
    assert field == "sheets-1-holds"
    assert words.startswith(
        "2 materials stand in Sheet 1 and in Sheet 2 with other prices or packs (Shea butter: row 2 there, row 2 here)."
    )
    assert [(one.sheet, one.row, one.what) for one in asked.skipped] == [(1, 4, "the same as in Sheet 1, row 4")]
    settled = read(NEW, OLD, BALM, layouts={1: Layout(NOTHING)})
    assert settled.good, sentences(settled)
    assert near(costs(settled)["Sheet 3"], F("13.376") / 1000)


def test_a_row_alone_that_contradicts_an_earlier_sheet_is_wrong_at_its_place() -> None:
    asked = read(NEW, "Ingredient|Pack|Price\nShea butter|1 kg|14\nClay|1 kg|4\nSalt|1 kg|2")
    assert [cell for cell, _ in sentences(asked)] == ["A2"]
    assert asked.wrong[0].sheet == 1
    assert "Shea butter stands in Sheet 1, row 2, already, with another pack and price." in asked.wrong[0].sentence
    assert not asked.faults


def test_the_same_purchase_in_two_sheets_is_one_and_a_name_alone_adds_nothing() -> None:
    text = "Item|Supplier|Date|Pack|Price\nShea butter|Mill|2026-03-01|1 kg|14"
    reading = read(text, text, prices=PAID)
    assert reading.good
    assert [len(one.lines) for one in reading.after.orders.values()] == [1]  # type: ignore[union-attr]
    listed = read(OLD, "Ingredient|Pack|Price\nShea butter||\nSalt|1 kg|2")
    assert (listed.good, len(listed.skipped)) == (True, 1)


def test_of_about_what_it_costs_the_later_day_counts_in_either_order() -> None:
    """15.40 of May counts, wherever it stands."""
    heads, old, new = "Item|Pack|Price|Date", "Shea|1 kg|14|2026-03-01", "Shea|1 kg|15.40|2026-05-01"
    for rows in ((old, new), (new, old)):
        reading = read("\n".join((heads, *rows)), prices=ABOUT)
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Shea"], F("15.40") / 1000)
        said = {one.said.row.price: one.said.remarks for one in reading.materials}
        assert said[Decimal(14)] == ["The later price counts, that of 2026-05-01."]
        assert said[Decimal("15.4")] == []


def test_two_suppliers_without_days_leave_open_what_it_costs_about() -> None:
    text = "Item|Supplier|Pack|Price\nShea|Mill|1 kg|14\nShea|Yard|5 kg|55"
    asked = read(text, prices=ABOUT, how=How(prices=ABOUT))
    assert [cell for cell, _ in sentences(asked)] == ["A3"]
    assert "Shea has another price in row 2, and no days say which is the later one." in asked.wrong[0].sentence
    same = read(text.replace("5 kg|55", "5 kg|70"), prices=ABOUT)  # 14.00 a kg from both: nothing is open
    assert same.good, sentences(same)
    apart = read(
        "Item|Supplier|Pack|Price\nShea|Mill|1 kg|14", "Item|Supplier|Pack|Price\nShea|Yard|5 kg|55", prices=ABOUT
    )
    assert "has another price in an earlier sheet" in apart.wrong[0].sentence


def test_of_list_prices_the_later_one_counts_where_days_say_it_else_the_first() -> None:
    heads, old, new = "Item|Supplier|Pack|Price|Date", "Shea|Mill|1 kg|14|2026-03-01", "Shea|Yard|1 kg|15.40|2026-05-01"
    for rows in ((old, new), (new, old)):
        reading = read("\n".join((heads, *rows)), prices=LIST, how=How(prices=LIST))
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Shea"], F("15.40") / 1000)
        said = {one.said.row.price: " ".join(one.said.remarks) for one in reading.materials}
        assert "It is kept beside the later one" in said[Decimal(14)]
    held = stored(read("Item|Pack|Price\nShea|1 kg|9"))
    quoted = read(f"{heads}\n{old}\n{new}", book=held, prices=LIST, how=How(prices=LIST))
    assert near(costs(quoted)["Shea"], F("15.40") / 1000)
    assert quoted.after is not None
    (kept,) = quoted.after.materials.values()
    assert kept.starting == StartingPrice(Decimal(9), "kg")  # what the book says of it stays
    plain = read("Item|Supplier|Pack|Price\nShea|Mill|1 kg|14\nShea|Yard|1 kg|15.40", prices=LIST, how=How(prices=LIST))
    assert near(costs(plain)["Shea"], F(14) / 1000)
    assert "It is kept beside the first one, which counts." in plain.materials[1].said.remarks


def test_either_of_two_rows_can_be_left_out_and_what_stands_beside_them_is_said() -> None:
    """56 for 5 kg is 11.20 a kg: the row that its notes call old goes."""
    text = "Ingredient|Pack|Price|Notes\nCocoa butter|1 kg|14|OLD - don\u2019t use\nCocoa butter|5 kg box|56|"
    asked = read(text)
    assert [(one.row, one.other) for one in asked.wrong] == [(3, (0, 2))]
    assert "stands in row 2 (\u201cOLD - don\u2019t use\u201d) already" in asked.wrong[0].sentence
    settled = read(text, left_out=frozenset({"s0_r2"}))
    assert settled.good, sentences(settled)
    assert near(costs(settled)["Cocoa butter"], F("11.20") / 1000)
    sources = read("Item|Supplier|Pack|Price|Notes\nShea|Mill|1 kg|14|closed\nShea|Yard|5 kg|55|", prices=ABOUT)
    assert [(one.row, one.other) for one in sources.wrong] == [(3, (0, 2))]
    assert "in row 2 (\u201cclosed\u201d)" in sources.wrong[0].sentence


ORDER = "Date|Supplier|Item|Pack|Price\n13/03/2025|Mere|Argan oil|500g|24.00\n13/03/2025|Mere|Argan oil|500g|{}"


def test_a_second_bottle_of_one_order_is_one_pack_more() -> None:
    """24.00 for each of two bottles of 500 g are 0.048 a gram, and what came on top for both, 2.40, is 0.0024 of it."""
    text = ORDER.format("24.00")
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Argan oil"], F(24, 500))
    assert [one.said.remarks for one in reading.materials] == [
        [],
        ["The same stands in row 2: read as one more that was bought with it. Leave it out if it is not."],
    ]
    assert [len(one.lines) for one in reading.after.orders.values()] == [2]  # type: ignore[union-attr]
    assert read(text, book=stored(reading)).changes == ()
    assert read(text, left_out=frozenset({"s0_r3"})).good
    freight = f"{text}\n13/03/2025|Mere|Postage||2.40"
    assert near(costs(read(freight))["Argan oil"], F("50.40") / 1000)
    assert read(f"{text}\n14/03/2025|Mere|Argan oil|500g|24.00").good


def test_another_price_list_prices_and_a_whole_order_written_twice_are_asked_as_ever() -> None:
    other = read(ORDER.format("26.00"))
    assert [cell for cell, _ in sentences(other)] == ["A3"]
    for prices in (LIST, ABOUT):
        assert [cell for cell, _ in sentences(read(ORDER.format("24.00"), prices=prices))] == ["A3"]
    lines = "13/03/2025|Mere|Argan oil|500g|24.00\n13/03/2025|Mere|Shea|1 kg|12"
    whole = read(f"Date|Supplier|Item|Pack|Price\n{lines}\n{lines}")
    assert [cell for cell, _ in sentences(whole)] == ["A4", "A5"]
    one = read(f"Date|Supplier|Item|Pack|Price\n{lines}\n13/03/2025|Mere|Shea|1 kg|12")
    assert one.good, sentences(one)
    assert near(costs(one)["Shea"], F(12, 1000))
    taxed = read("Date|Supplier|Item|Pack|Price|VAT\n13/03/2025|Mere|Shea|1 kg|12|20%\n13/03/2025|Mere|Shea|1 kg|12|0%")
    assert [cell for cell, _ in sentences(taxed)] == ["A3"]


def test_a_row_that_is_struck_out_is_no_second_bottle() -> None:
    struck = replace(table(ORDER.format("24.00")), struck=frozenset({3}))
    reading = read_own(EMPTY, [struck], Choices())
    assert [cell for cell, _ in sentences(reading)] == ["A3"]
