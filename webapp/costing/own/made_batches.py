"""The batch of a formula by the one product that is filled of it: how many jars it makes, times what is in one."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from webapp.costing import limits as lim
from webapp.costing.amounts import Unreadable
from webapp.costing.book import Book
from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.lines import FormulaRows
from webapp.costing.own.products import ProductRow
from webapp.costing.own.written import Written


def with_made_batches(
    book: Book, formulas: Sequence[FormulaRows], sold: Sequence[ProductRow], written: Written
) -> None:
    """Give each formula without a batch that of its product's row; none where several products are of one formula."""
    sized = {name_key(one.name) for one in book.formulas.values() if one.batch_grams is not None}
    rows: dict[str, list[ProductRow]] = {}
    for one in sold:
        for filling in one.fillings:
            rows.setdefault(name_key(filling.formula or one.name), []).append(one)
    for formula in formulas:
        of = rows.get(name_key(formula.name), [])
        if formula.batch is None and name_key(formula.name) not in sized and len(of) == 1:
            _size(formula, of[0], written)


def _size(formula: FormulaRows, row: ProductRow, written: Written) -> None:
    if row.makes is None or row.size is None or row.unit != "g" or len(row.fillings) > 1:
        return
    with suppress(Unreadable):  # more than a batch may weigh
        formula.batch = cells.fitting(row.makes * row.size, lim.GRAMS, "")
        jars, each, all_of = map(written.number, (row.makes, row.size, formula.batch))
        formula.remarks.append(f"A batch weighs {all_of} g: the {jars} jars of {each} g that {row.name} says it makes.")
