"""What can be supposed: read from rows as they are typed, kept, and typed again."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.costing.making import DAY, JAR, LID, OIL, PLAIN_BUTTER, PLAIN_TUB, SEALED, SHEA, TUB, D, room
from webapp.costing.amounts import JSON_NOTATION, Notation
from webapp.costing.supposing import KINDS, MOST, Read, Supposition, again, kept, shape_of, suppositions

BOOK = room(PLAIN_BUTTER, PLAIN_TUB)
COMMA = Notation(",")


def read(*rows: Any, notation: Notation = JSON_NOTATION) -> Read:
    return suppositions(BOOK, rows, notation)


def faults(*rows: Any) -> list[tuple[str, str]]:
    return [(one.field, one.code) for one in read(*rows).faults]


DEARER = {"kind": "cost", "material": SHEA, "way": "up", "percent": "10"}


def test_rows_are_read_each_with_its_place_and_what_does_not_count_is_asked_nothing() -> None:
    found = read(DEARER, {"kind": "?", "counts": False}, {"kind": "registered", "part": "registered"})
    assert found == Read(
        (
            (0, Supposition("cost", material=SHEA, way="up", percent=D(10))),
            (2, Supposition("registered", part="registered")),
        ),
        (),
    )


def test_in_a_form_a_row_counts_where_its_box_is_ticked() -> None:
    typed = {"kind": "cost", "material": str(SHEA), "way": "up", "percent": "2,5"}
    assert read(typed, notation=COMMA).found == ()
    (only,) = read({**typed, "counts": "yes"}, notation=COMMA).found
    assert only[1].percent == D("2.5")


def test_empty_fields_of_other_kinds_may_be_sent_along_and_filled_ones_may_not() -> None:
    assert faults({**DEARER, "part": "", "amount": None, "endings": False}) == []
    assert faults({**DEARER, "amount": "5"}) == [("suppositions-0-amount", "unknown-field")]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("words", [("suppositions-0", "shape")]),
        ({}, [("suppositions-0-kind", "choice")]),
        ({"kind": 7}, [("suppositions-0-kind", "choice")]),
        ({"kind": "cost", "material": SHEA}, [("suppositions-0-percent", "required")]),
        ({**DEARER, "way": "down", "percent": "100"}, [("suppositions-0-percent", "number-range")]),
        ({**DEARER, "way": "down", "percent": "99.99"}, []),
        ({**DEARER, "percent": "100"}, []),
        ({"kind": "swap", "material": SHEA, "other": SHEA}, [("suppositions-0-other", "choice")]),
        ({"kind": "swap", "material": SHEA, "other": OIL}, []),
        ({"kind": "pack", "material": JAR, "other": LID, "product": TUB, "group": SEALED},
         [("suppositions-0-group", "choice")]),
        ({"kind": "pack", "material": JAR, "other": LID, "group": SEALED}, []),
        # a part of a record has the limits that the record has: a loss is below 100 %, a batch above nothing
        ({"kind": "formula", "formula": 21, "part": "loss", "amount": "100"},
         [("suppositions-0-amount", "number-range")]),
        ({"kind": "formula", "formula": 21, "part": "loss", "amount": "99"}, []),
        ({"kind": "formula", "formula": 21, "part": "batch_grams", "amount": "0"},
         [("suppositions-0-amount", "number-range")]),
        ({"kind": "formula", "formula": 21, "part": 7, "amount": "1"}, [("suppositions-0-part", "text")]),
        ({"kind": "price", "product": TUB, "channel": 51}, [("suppositions-0-amount", "required")]),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_at_its_field(row: Any, expected: list[tuple[str, str]]) -> None:
    assert faults(row) == expected


def test_no_more_than_forty_are_supposed_at_once() -> None:
    assert faults(*[DEARER] * MOST) == []
    assert faults(*[DEARER] * (MOST + 1)) == [("suppositions", "too-many")]


def test_rows_are_kept_by_their_amounts_and_typed_again_in_another_notation() -> None:
    rows = kept(BOOK, [{**DEARER, "material": str(SHEA), "percent": "2,5", "counts": "yes"}, "no row"], COMMA)
    assert rows == [{"kind": "cost", "counts": True, "material": SHEA, "way": "up", "percent": "2.5"}]
    (typed,) = again(rows, COMMA)
    assert (typed["percent"], typed["kind"]) == ("2,5", "cost")
    assert kept(BOOK, [{**DEARER, "counts": False}]) == [{**DEARER, "counts": False}]
    assert suppositions(BOOK, rows).found[0][1].percent == D("2.5")


def test_a_row_that_cannot_be_read_is_kept_as_it_was_typed() -> None:
    row = {**DEARER, "percent": "a lot", "odd": ["x"]}
    rows = kept(BOOK, [row])
    assert rows == [{"typed": {"kind": "cost", "material": SHEA, "way": "up", "percent": "a lot"}}]
    assert again(rows, COMMA) == [rows[0]["typed"]]


def test_a_kept_row_that_no_longer_fits_its_kind_is_typed_as_it_was() -> None:
    row = {"kind": "cost", "material": SHEA, "way": "up", "percent": "2.55555"}
    assert again([row], COMMA) == [row]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_its_fields_and_each_of_its_parts_its_limits(kind: str) -> None:
    names = [one.name for one in shape_of(kind).fields]
    assert names[:2] == ["kind", "counts"]
    assert KINDS[kind].at in names
    for part, limits in KINDS[kind].parts.items():
        assert shape_of(kind, part).field("amount").kind == limits
    assert isinstance(DAY, date)
