"""A maker's own sheets as a program sends them: read by one shape, and turned into the choices they are read by."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from tests.costing.own.test_sheets import DAY, EMPTY, costs, near
from webapp.costing.amounts import JSON_NOTATION
from webapp.costing.entry import read
from webapp.costing.everything import Everything, dated_parts
from webapp.costing.own.columns import FORMULAS, MATERIALS, NOTHING, Layout, OwnTable, role_of
from webapp.costing.own.layouts import laid_out_at
from webapp.costing.own.prices import LIST, How
from webapp.costing.own.reading import Choices
from webapp.costing.own.rows import cell_mark, mark_of, row_mark
from webapp.costing.own.shapes import MOST_CHARACTERS, OWN_SHEETS, OwnSheets, choices_from
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import Told
from webapp.costing.sheets import cut
from webapp.costing.written_units import parted, unit_of

TEXT = "Material\tPack\tPrice\nShea butter\t5 kg\t41.00\nBeeswax\t1 kg\t9.00\n"


def sent(*sheets: dict[str, Any], **more: Any) -> OwnSheets:
    entry = read(OWN_SHEETS, {"sheets": list(sheets), **more}, JSON_NOTATION, today=DAY)
    assert entry.record is not None, entry.faults
    found: OwnSheets = entry.record
    return found


def faults(data: dict[str, Any]) -> list[tuple[str, str]]:
    return [(one.field, one.code) for one in read(OWN_SHEETS, data, JSON_NOTATION, today=DAY).faults]


def test_nothing_chosen_leaves_everything_to_the_sheets() -> None:
    assert choices_from(sent({"text": TEXT}), (OwnTable("Sheet", ()),)) == Choices(how=How(prices=""))


def test_what_is_sent_are_the_choices_that_the_sheets_are_read_by() -> None:
    table = OwnTable("Prices", tuple(tuple(line.cells) for line in cut(TEXT).lines))
    told = sent(
        {"text": TEXT, "holds": MATERIALS, "heads": "1",
         "columns": [{"holds": "name"}, {"holds": "pack"}, {"holds": ""}]},
        {"text": TEXT, "holds": MATERIALS},
        {"text": TEXT},
        sign=",", days="day first", system="US", unit="kg", currency="GBP", amounts="grams", prices=LIST,
        supplier="Hollow Lane Oils", day="2026-11-02", tax_included=True, published=True,
        rates=[{"currency": "GBP", "amount": "1.2"}],
        fixes=[{"row": "2", "column": "2", "text": "42.00"}],
        left_out=[{"row": "3", "sheet": "1"}],
        names=[{"name": "Shea  Butter", "means": "new"}],
    )  # fmt: skip
    found = choices_from(told, (table, table, table))
    assert found.layouts == {
        0: Layout(MATERIALS, 1, ("name", "pack", "")),
        1: Layout(MATERIALS, 1, ("name", "pack", "price")),
    }
    assert found.told == Told(",", "day first", "US", "GBP", unit="kg")
    rates = {"GBP": Decimal("1.2")}
    assert found.how == How(
        LIST,
        "Hollow Lane Oils",
        date(2026, 11, 2),
        True,
        rates,
        True,
        {mark_of("shea butter"): "new"},
    )
    assert (found.fixes, found.left_out) == ({cell_mark(0, 2, 2): "42.00"}, frozenset([row_mark(1, 3)]))
    assert (found.amounts, found.prices) == ("grams", LIST)


def test_heads_below_the_last_row_are_the_last_row() -> None:
    told = sent({"text": TEXT, "holds": MATERIALS, "heads": "99", "columns": [{"holds": "name"}]})
    assert choices_from(told, (OwnTable("x", (("a",), ("b",))),)).layouts[0].heads == 2


def test_a_correction_that_was_sent_counts() -> None:
    table = OwnTable("Prices", tuple(tuple(line.cells) for line in cut(TEXT).lines))
    told = sent({"text": TEXT}, fixes=[{"row": "2", "column": "2", "text": "42.00"}], left_out=[{"row": "3"}])
    found = costs(read_own(EMPTY, [table], choices_from(told, (table,))))
    assert set(found) == {"Shea butter"}
    assert near(found["Shea butter"], Fraction(42, 5000))


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        ({}, [("sheets", "required")]),
        ({"sheets": [{"title": "x"}]}, [("sheets-0-text", "required")]),
        ({"sheets": [{"text": "x" * (MOST_CHARACTERS + 1)}]}, [("sheets-0-text", "text-too-long")]),
        ({"sheets": [{"text": TEXT, "holds": "recipes"}]}, [("sheets-0-holds", "choice")]),
        ({"sheets": [{"text": TEXT}], "rates": [{"currency": "GBP", "amount": "0"}]},
         [("rates-0-amount", "number-range")]),
        ({"sheets": [{"text": TEXT}], "fixes": [{"text": "42"}]}, [("fixes-0-row", "required")]),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_at_its_field(data: dict[str, Any], expected: list[tuple[str, str]]) -> None:
    assert faults(data) == expected


def test_a_sheet_keeps_the_empty_cell_that_it_begins_with() -> None:
    assert sent({"text": "\tPrice\nShea\t3"}).sheets[0].text.startswith("\t")


@pytest.mark.parametrize(
    ("holds", "heads", "layout"),
    [
        (MATERIALS, 2, Layout(MATERIALS, 2, ("name", "pack", "price"))),
        (MATERIALS, 9, Layout(MATERIALS, 9, ("",))),
        (MATERIALS, 0, Layout(MATERIALS, 0, ("name", "pack", "price"))),
        (NOTHING, 0, Layout(NOTHING)),
        (NOTHING, 2, Layout(NOTHING)),
    ],
)
def test_a_person_may_say_where_the_heads_stand(holds: str, heads: int, layout: Layout) -> None:
    table = OwnTable("x", (("Shea butter", "1 kg", "€12.40"), ("Material", "Pack", "Price"), ("Wax", "500 g", "€9")))
    assert laid_out_at(table, holds, heads) == layout


def test_an_amount_is_no_head() -> None:
    assert (role_of("500 g", FORMULAS), role_of("g", FORMULAS)) == ("", "grams")


@pytest.mark.parametrize(
    ("text", "expected"),
    [("500 g", ("500", "g")), ("1.5kg", ("1.5", "kg")), ("2 gallons", ("2 gallons", "")), ("some", ("some", ""))],
)
def test_an_amount_and_the_unit_behind_it(text: str, expected: tuple[str, str]) -> None:
    assert parted(text) == expected
    assert unit_of("fl oz") == ""


def test_wages_and_densities_have_days_of_their_own_and_what_never_changed_has_no_versions() -> None:
    assert [field.name for field, _ in dated_parts("person")] == ["wage"]
    assert [field.name for field, _ in dated_parts("material")] == ["density"]
    assert [*dated_parts("channel")] == []
    told = Everything({"channel": {51: ("first",)}}, {("person", "wage"): {11: ("first",)}})
    assert (told.of("channel"), told.of("bill")) == ({51: ("first",)}, {})
    assert (told.part("person", "wage"), told.part("material", "density")) == ({11: ("first",)}, {})
