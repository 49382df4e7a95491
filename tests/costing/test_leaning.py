"""What a record names itself, of every kind that names others."""

from __future__ import annotations

from tests.costing.making import BUTTER, DAY, LID, PLAIN_TUB, SHEA, D
from webapp.costing.book import Formula, FormulaLine, Part, PartGroup
from webapp.costing.leaning import named_by


def test_what_a_record_names_is_what_stands_in_it() -> None:
    inside = (FormulaLine(SHEA, amount=D(60)), FormulaLine(formula=BUTTER, amount=D(40)))
    assert set(named_by(Formula(-1, "Of both", DAY, inside))) == {("material", SHEA), ("formula", BUTTER)}
    assert set(named_by(PartGroup(-1, "Lid in a group", DAY, (Part(LID), Part(group=7))))) == {
        ("material", LID),
        ("group", 7),
    }
    assert set(named_by(PLAIN_TUB)) == {("formula", BUTTER)}
