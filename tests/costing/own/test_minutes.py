"""Minutes of a jar and of a batch in a maker's own list of products. 90 minutes for 18 jars are 5 a jar."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.costing.own.test_parts import made
from tests.costing.own.test_sheets import sentences
from tests.costing.own.test_sold_columns import sold
from webapp.costing.own.columns import PRODUCTS, Layout
from webapp.costing.own.reading import OwnReading

D = Decimal


def listed(heads: str, row: str, **choices: Any) -> OwnReading:
    return sold(f"Product|Formula|Fill|Jar|{heads}|Market\nA1|Butter|100 g|Jar 100|{row}|12", **choices)


@pytest.mark.parametrize(
    ("heads", "row", "minutes"),
    [
        ("Minutes (batch)|Makes", "90|18", 5),
        ("Minutes per batch|Jars per batch", "90|18 jars", 5),
        ("Batch minutes|Yield (jars)", "90 min|about 18", 5),
        ("Labour per batch (h)|Jars per batch", "1.5|18 x 100 g", 5),
        ("Minuten pro Charge|St\u00fcck pro Charge", "90|18", 5),
        ("Minutes|Makes", "90 a batch|18", 5),
        ("Minutes|Makes", "90 per 18 jars|", 5),
        ("Minutes|Makes", "90/18|", 5),
        ("Minutes for batch|Jars from a batch", "90|18", 5),
        ("Time (batch of 18)", "90 min", 5),
        ("Time (batch of 1000 g)|Makes", "90 min|18", 5),
        ("Minutes per batch|Batch", "90|18 jars", 5),
        ("Minutes per jar|Batch size", "5|18", 5),
        ("Minutes|Batch size", "5|1800 g", 5),
        ("Minutes|Makes", "2 each|18", 2),
        ("Minutes per jar|Makes", "5|18", 5),
        ("Minutes (batch)|Makes", "2 min per jar|18", 2),
        ("Minutes", "90 a batch of 18", 5),
        ("Batch minutes", "90 for 18 jars", 5),
        ("Minutes per jar|Batch minutes|Makes", "5|90|18", 5),
        ("Minutes per jar|Batch minutes|Makes", "|90|18", 5),
        ("Time per batch (min)|Makes", "|18", None),
    ],
)
def test_minutes_of_a_batch_are_shared_by_its_jars(heads: str, row: str, minutes: int | None) -> None:
    reading = listed(heads, row)
    assert reading.good, sentences(reading)
    (pot,) = made(reading)
    assert [one.per_jar for one in pot.work] == ([] if minutes is None else [D(minutes)])


def test_what_minutes_of_a_batch_come_to_is_said() -> None:
    """100 / 18 is 5.5555… and is kept as 5.5556."""
    reading = listed("Minutes (batch)|Makes", "100|18")
    assert "100 minutes for a batch of 18 jars are 5.5556 a jar." in reading.products[0].said.remarks


@pytest.mark.parametrize(
    ("heads", "row", "cell", "words"),
    [
        ("Minutes (batch)", "90", "E2", "90 for a batch of how many jars? Type it behind, such as 90 for 18, or"),
        ("Minutes (batch)|Makes", "90|", "E2", "90 for a batch of how many jars?"),
        ("Minutes", "90 a batch", "E2", "90 for a batch of how many jars?"),
        ("Minutes (batch)|Makes", "90|0", "F2", "Type their number, such as 18."),
        ("Minutes (batch)|Makes", "90|1 kg", "F2", "1 kg: how many jars does a batch make?"),
        ("Minutes (batch)|Makes", "90 for 0|", "E2", "0: how many jars does a batch make?"),
        (
            "Minutes per jar|Batch minutes|Makes",
            "2|90|18",
            "F2",
            "2 minutes a jar, and 5 a jar beside it: which counts",
        ),
    ],
)
def test_minutes_of_a_batch_that_cannot_be_shared_are_asked(heads: str, row: str, cell: str, words: str) -> None:
    reading = listed(heads, row)
    assert [(at, words in said) for at, said in sentences(reading)][:1] == [(cell, True)], sentences(reading)
    assert not reading.good


def test_minutes_that_say_neither_beside_how_many_a_batch_makes_are_asked_once_for_their_column() -> None:
    beside = listed("Minutes|Batch", "90|18 jars")
    assert [(one.cell, one.choice) for one in beside.wrong] == [("E2", "sheets-2-columns-4")]
    reading = listed("Minutes|Makes", "90|18")
    assert [(one.cell, one.choice) for one in reading.wrong] == [("E2", "sheets-2-columns-4")]
    for role, minutes in (("batch_minutes", 5), ("minutes", 90)):
        layout = Layout(PRODUCTS, 1, ("name", "formula", "size", "part", role, "makes", "price"))
        (pot,) = made(listed("Minutes|Makes", "90|18", layouts={2: layout}))
        assert [one.per_jar for one in pot.work] == [D(minutes)]
