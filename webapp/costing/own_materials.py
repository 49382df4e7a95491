"""Rows of a maker's own price sheet as materials: pack and price exactly, what else is said, what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing import own_cells as cells
from webapp.costing.amounts import ONE
from webapp.costing.called import nature_of
from webapp.costing.limits import name_key
from webapp.costing.own_cells import Told
from webapp.costing.own_columns import Layout, OwnTable
from webapp.costing.own_kinds import first_kind, kind_of, kind_of_sheet
from webapp.costing.own_packs import priced
from webapp.costing.own_rows import (
    COMMENT,
    HEADING,
    HEADS,
    TOTAL,
    OwnRow,
    Skipped,
    Wrong,
    filled,
    is_heads,
    is_total,
    mentioned,
    rows_of,
    skipped,
)
from webapp.costing.units import PIECES


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """What one row says of a material. `price` is that of a pack of `size` `unit`; None where it says none."""

    sheet: int
    row: int
    name: str
    kind: str
    inci: str = ""
    supplier: str = ""
    code: str = ""
    day: date | None = None
    density: Decimal | None = None
    tax_rate: Decimal | None = None
    packs: Decimal = ONE
    size: Decimal | None = None
    unit: str = ""
    price: Decimal | None = None
    currency: str = ""
    tax_in: bool | None = None
    """Whether tax is in its price, where its column says so; None where what was chosen for all counts."""
    remarks: tuple[str, ...] = ()
    wrong: tuple[Wrong, ...] = ()

    @property
    def nature(self) -> str:
        """What its name says of its nature, for the cautions."""
        return nature_of(self.name) if self.kind == "ingredient" else ""


def materials_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str]
) -> tuple[list[MaterialRow], list[Skipped]]:
    """The materials of a sheet, and the rows that were passed over."""
    found: list[MaterialRow] = []
    passed: list[Skipped] = []
    kind = kind_of_sheet(table, layout)
    for row in rows_of(sheet, table, layout, told, left_out):
        if is_heads(row) or is_total(row):
            passed.append(skipped(row, TOTAL if is_total(row) else HEADS))
        elif _is_heading(row):
            passed.append(skipped(row, HEADING))
            kind = kind_of(filled(row)[0])
        elif not mentioned(row):
            passed.append(skipped(row, COMMENT))
        else:
            found.append(_material(row, kind))
    return _once_each(found), passed


def material_in(row: OwnRow) -> MaterialRow:
    """The material of one row by itself."""
    return _material(row, "")


def _is_heading(row: OwnRow) -> bool:
    """Whether a row is only a word above others: one cell that names a kind, ends with a colon or is in capitals."""
    here = filled(row)
    if len(here) != 1 or not here[0][:1].isalpha():
        return False
    return bool(kind_of(here[0])) or here[0].endswith(":") or (here[0].isupper() and len(here[0]) > 3)


def _material(row: OwnRow, under: str) -> MaterialRow:
    role = "name" if row.text("name") else "inci"
    name = row.words(role)
    if not name and not row.wrong:
        row.fault("name", "Name the material, or leave this row out.", "", "inci")
    said = row.text("kind")
    kind = kind_of(said) or (first_kind(said) or under)
    paid = priced(row, kind)
    pack = paid.pack
    if not kind:
        kind = "packaging" if pack and pack.unit == PIECES else "ingredient"
    if pack and kind == "ingredient" and pack.unit == PIECES:
        kind = "packaging"
        row.remarks.append("It is bought by the piece, so it is read as packaging.")
    inci = row.words("inci") if role == "name" else ""
    supplier, code = row.words("supplier"), row.words("code", lim.SHORT)
    currency = row.read("currency", _currency) or paid.currency
    day, density, tax = row.read("day", cells.day), row.read("density", cells.density), row.read("tax_rate", cells.rate)
    row.remarks += [said for role in ("pack", "price", "net_price", "unit_price") if (said := _doubt(row, role))]
    return MaterialRow(
        row.sheet,
        row.number,
        name,
        kind,
        inci,
        supplier,
        code,
        day,
        density,
        tax,
        paid.packs,
        pack.value if pack else None,
        pack.unit if pack else "",
        paid.price,
        currency,
        paid.tax_in,
        tuple(row.remarks),
        tuple(row.wrong),
    )


def _doubt(row: OwnRow, role: str) -> str:
    text = row.text(role)
    return cells.doubtful(text, row.told_of(role)) if text else ""


def _currency(text: str, told: Told) -> str:
    return cells.currency_of(text.strip().upper() if len(text) == 3 else text.strip(), told)


# --- rows that say the same


def _once_each(rows: Sequence[MaterialRow]) -> list[MaterialRow]:
    """A row that says what an earlier one said is at fault: it is left out, or its name is changed."""
    seen: dict[tuple[object, ...], MaterialRow] = {}
    found = []
    for row in rows:
        key = (name_key(row.name), name_key(row.supplier), row.day)
        before = seen.setdefault(key, row)
        if before is not row and row.name:
            at = f"row {before.row}" if before.sheet == row.sheet else "an earlier sheet"
            same = (before.price, before.size, before.unit) == (row.price, row.size, row.unit)
            words = (
                f"{row.name} stands in {at} already, with {'the same' if same else 'another'} pack and price. "
                "Leave one of them out, or call it something else."
            )
            found.append(_with_wrong(row, words))
        else:
            found.append(row)
    return found


def _with_wrong(row: MaterialRow, sentence: str, column: int = 0) -> MaterialRow:
    return replace(row, wrong=(*row.wrong, Wrong(row.sheet, row.row, column, row.name, sentence)))
