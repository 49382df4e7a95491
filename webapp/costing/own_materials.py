"""Rows of a maker's own price sheet as materials: pack and price exactly, what else is said, what is wrong."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing import own_cells as cells
from webapp.costing.amounts import ONE, Unreadable, plain
from webapp.costing.called import nature_of
from webapp.costing.limits import name_key
from webapp.costing.own_cells import Read, Told
from webapp.costing.own_columns import Layout, OwnTable, per_in, unit_in, words_of
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
from webapp.costing.units import MASS, PIECES, VOLUME


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
    kind = ""
    for row in rows_of(sheet, table, layout, told, left_out):
        if is_heads(row) or is_total(row):
            passed.append(skipped(row, TOTAL if is_total(row) else HEADS))
        elif _is_heading(row):
            passed.append(skipped(row, HEADING))
            kind = _kind_of(filled(row)[0])
        elif not mentioned(row):
            passed.append(skipped(row, COMMENT))
        else:
            found.append(_material(row, kind))
    return _once_each(found), passed


def _is_heading(row: OwnRow) -> bool:
    """Whether a row is only a word above others: one cell that names a kind, ends with a colon or is in capitals."""
    here = filled(row)
    if len(here) != 1 or not here[0][:1].isalpha():
        return False
    return bool(_kind_of(here[0])) or here[0].endswith(":") or (here[0].isupper() and len(here[0]) > 3)


def _kind_of(text: str) -> str:
    """The kind that every word of a text names; "" where one of them names none."""
    said = {
        cells.kinds().get(word, "")
        for word in words_of(text).split()
        if word not in ("raw", "materials", "and", "other")
    }
    return said.pop() if len(said) == 1 else ""


def _material(row: OwnRow, under: str) -> MaterialRow:
    role = "name" if row.text("name") else "inci"
    name = row.words(role)
    if not name and not row.wrong:
        row.fault("name", "Name the material, or leave this row out.", "", "inci")
    price, pack, currency = _priced(row)
    said = row.text("kind")
    kind = _kind_of(said) or (_first_kind(said) or under)
    if not kind:
        kind = "packaging" if pack and pack.unit == PIECES else "ingredient"
    if pack and kind == "ingredient" and pack.unit == PIECES:
        kind = "packaging"
        row.remarks.append("It is bought by the piece, so it is read as packaging.")
    packs = row.read("packs", lambda text, told: cells.fitting(cells.number(text, told), lim.QUANTITY, text))
    inci = row.words("inci") if role == "name" else ""
    supplier, code = row.words("supplier"), row.words("code", lim.SHORT)
    currency = row.read("currency", _currency) or currency
    day, density, tax = row.read("day", cells.day), row.read("density", cells.density), row.read("tax_rate", cells.rate)
    row.remarks += [said for role in ("pack", "price", "unit_price") if (said := _doubt(row, role))]
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
        packs or ONE,
        pack.value if pack else None,
        pack.unit if pack else "",
        price,
        currency,
        tuple(row.remarks),
        tuple(row.wrong),
    )


def _first_kind(text: str) -> str:
    return next((kind for word in words_of(text).split() if (kind := cells.kinds().get(word, ""))), "")


def _doubt(row: OwnRow, role: str) -> str:
    text = row.text(role)
    return cells.doubtful(text, row.told) if text else ""


def _currency(text: str, told: Told) -> str:
    return cells.currency_of(text.strip().upper() if len(text) == 3 else text.strip(), told)


# --- pack and price


def _priced(row: OwnRow) -> tuple[Decimal | None, Read | None, str]:
    """The price of a pack, the pack, and the currency. A price for one of something is multiplied by the pack."""
    pack = row.read("pack", lambda text, told: cells.amount(text, told, row.text("unit") or unit_in(row.head("pack"))))
    paid, single = row.read("price", cells.money), row.read("unit_price", cells.money)
    _remember(row, pack, *(one[0] for one in (paid, single) if one))
    if pack and not pack.unit:
        pack = _with_unit(row, pack)
    if paid is not None and not paid[1]:
        if pack is None and not row.text("pack"):
            pack = _one_of(row, row.text("unit") or unit_in(row.head("pack")) or row.told.unit)
        return paid[0].value, pack, paid[0].unit
    price = paid or single
    if price is None:
        return None, pack, ""
    role = "price" if paid else "unit_price"
    each = _one_of(row, price[1] or per_in(row.head(role)) or row.text("unit") or row.told.unit, role)
    if each is None:
        return price[0].value, None, price[0].unit
    if pack is None or not pack.unit:
        return price[0].value, each, price[0].unit
    return _for_pack(row, price[0], each, pack), pack, price[0].unit


def _remember(row: OwnRow, *reads: Read | None) -> None:
    row.remarks += [read.remark for read in reads if read is not None and read.remark]


def _with_unit(row: OwnRow, pack: Read) -> Read:
    """A pack whose unit nobody wrote: the one that was chosen for all sheets, else that is asked for."""
    said = cells.kinds().get(words_of(row.text("kind")), "")
    if said == "packaging":
        return Read(pack.value, PIECES)
    if row.told.unit:
        return Read(pack.value, row.told.unit)
    words = f"{row.text('pack')[:24]} of what? Write the unit behind it (1 kg), or choose one for all that have none."
    row.fault("pack", words, "unit")
    return pack


def _one_of(row: OwnRow, unit: str, role: str = "price") -> Read | None:
    """One of what a price is for: "kg", "100 g"; None where nobody says, which is a fault."""
    if unit in ("", "each"):
        if unit or _first_kind(row.text("kind")) == "packaging":
            return Read(ONE, PIECES)
        row.fault(role, "Say how much this price is for: write it behind the price, such as 12.50/kg.", "unit")
        return None
    try:
        return cells.amount(unit if re.match("[0-9]", unit) else f"1 {unit}", row.told)
    except cells.Doubt as doubt:
        row.fault(role, doubt.sentence, doubt.choice)
    except Unreadable as unreadable:
        row.fault(role, unreadable.sentence)
    return None


def _for_pack(row: OwnRow, price: Read, each: Read, pack: Read) -> Decimal | None:
    """The price of a pack from that of one of something; exact but for the last of four decimals, which is said."""
    factor = next((table for table in (MASS, VOLUME) if pack.unit in table and each.unit in table), None)
    if factor is None and pack.unit != each.unit:
        row.fault(
            "unit_price",
            f"The pack is in {pack.unit} and its price for one {each.unit}: correct one of them.",
            "",
            "price",
        )
        return None
    turned = ONE if factor is None else factor[pack.unit] / factor[each.unit]
    share = pack.value * turned / each.value
    exact = price.value * share
    try:
        kept = cells.fitting(exact, lim.MONEY, plain(exact))
    except Unreadable as unreadable:
        row.fault("unit_price", unreadable.sentence, "", "price")
        return None
    one, whole = f"{plain(each.value)} {each.unit}", f"{plain(pack.value)} {pack.unit}"
    row.remarks.append(f"{plain(price.value)} for {one} makes {plain(kept)} for {whole}.")
    return kept


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
