"""Formulas: what they are made of from a day on."""

from __future__ import annotations

from webapp.costing.book import Formula, FormulaLine, Work
from webapp.store.aspects import Aspect, Stored
from webapp.store.making_tables import FormulaContentRow, FormulaLineRow, FormulaRow, FormulaWorkRow
from webapp.store.rows.retired import RETIRED

STORED = (
    Stored(
        "formula",
        Formula,
        head=Aspect(FormulaRow),
        content=Aspect(FormulaContentRow),
        lines={"lines": Aspect(FormulaLineRow, FormulaLine), "work": Aspect(FormulaWorkRow, Work)},
        retired=RETIRED,
    ),
)
