"""The changes that a maker's own sheets come to, placed one after another; what is refused is said at its row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from webapp.costing import book as b
from webapp.costing.book import Book, Id
from webapp.costing.changes import Change, Placing, Put
from webapp.costing.limits import Fault
from webapp.costing.own.freights import charges_of
from webapp.costing.own.lines import LineRow
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.order_taxes import taken_out, tax_total_of
from webapp.costing.own.planned import FormulaSaid
from webapp.costing.own.prices import SOURCE, Plan, Planned, exchange_of
from webapp.costing.own.rows import Wrong


def applied(
    book: Book, planned: Sequence[Planned], said: Sequence[FormulaSaid]
) -> tuple[Book, list[Wrong], list[Change]]:
    """The book after all of it, what was refused at its row, and the changes that hold."""
    refused: list[Wrong] = []
    kept: list[Change] = []
    formulas = {one.formula: one.rows.lines for one in said}
    placing = Placing(book)
    for one in planned:
        if faults := placing.place((one.change,)):
            refused.append(_refused(one, faults[0], formulas))
        else:
            kept.append(one.change)
    return placing.book, refused, kept


def _refused(one: Planned, fault: Fault, formulas: Mapping[Id, Sequence[LineRow]]) -> Wrong:
    """What is wrong with a record, at the row that it comes from; with a line of a formula at its own."""
    record = one.change.record if isinstance(one.change, Put) else None
    lines, step = formulas.get(getattr(record, "id", 0), ()), fault.field.split("-")[1:]
    line = next((line for place, line in enumerate(lines) if step[:1] == [str(place)]), None)
    row, column = (one.row, one.column) if line is None else (line.name_row, line.at)
    if line is not None and step[1:] in (["rest"], ["amount"]):
        row, column = line.row, line.column
    return Wrong(one.sheet, row, column, getattr(record, "name", ""), fault.sentence)


def changes_of(plan: Plan) -> Iterator[Planned]:
    """Suppliers, materials, orders, quotes, and the materials once more whose price a quote is from now on."""
    first = next(iter(plan.sources.values()), None)
    for made in plan.suppliers.values():
        yield Planned(Put(made), first.sheet if first else 0, first.row if first else 0)
    for ident, material in plan.materials.items():
        if material != plan.book.materials.get(ident):
            yield Planned(Put(material), *_from(plan.sources.get(ident)))
    for key, lines in plan.orders.items():
        supplier, day, currency, _ = key
        order = b.Order(
            plan.numbers.new(), supplier, day, tuple(line for _, line in lines),
            (*charges_of(plan, key), *taken_out(plan, key)), currency, exchange_of(plan, currency),
            tax_total_of(plan, key), note=f"From {SOURCE}.",
        )  # fmt: skip
        yield Planned(Put(order), *_from(lines[0][0]))
    for row, quote in plan.quotes:
        yield Planned(Put(quote), *_from(row))
    for ident, (_, quote) in plan.quoted.items():
        yield Planned(Put(replace(plan.materials[ident], quote=quote.id)), *_from(plan.sources.get(ident)))


def _from(row: MaterialRow | None) -> tuple[int, int]:
    return (row.sheet, row.row) if row else (0, 0)
