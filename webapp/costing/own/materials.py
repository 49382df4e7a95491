"""Rows of a maker's own price sheet as materials: pack and price exactly, what else is said, what is wrong."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import partial

from webapp.costing import limits as lim
from webapp.costing.called import nature_of
from webapp.costing.own import cells, days
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import (
    MATERIALS,
    Layout,
    OwnTable,
    roles_in,
    sort_of,
    words_of,
)
from webapp.costing.own.counts import holds_tax
from webapp.costing.own.currencies import currency_of, without_money
from webapp.costing.own.densities import density, density_beside
from webapp.costing.own.freight import FREE, INSIDE, NOT_TAKEN
from webapp.costing.own.heads import tells_figures
from webapp.costing.own.heads_again import is_heads
from webapp.costing.own.kinds import first_kind, kind_of, kind_of_sheet
from webapp.costing.own.landed import with_freight
from webapp.costing.own.material_heads import DAY_FIRST
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.money_rows import (
    DISCOUNT,
    FREIGHT,
    NO_AMOUNT_OF_TAX,
    TAX,
    besides_in,
    pack_beside,
    place_of_amount,
    supplier_of,
)
from webapp.costing.own.named_packs import pack_in_name
from webapp.costing.own.noted import NO_NOTES, Notes, with_notes
from webapp.costing.own.order_numbers import order_number
from webapp.costing.own.packs import priced
from webapp.costing.own.paid import paid_for_all
from webapp.costing.own.price_heads import currency_said
from webapp.costing.own.rows import (
    COMMENT,
    FIGURES,
    FOOTNOTE,
    HEADING,
    HEADS,
    TOTAL,
    UNITS,
    OwnRow,
    Skipped,
    filled,
    is_footnote,
    is_total,
    is_units,
    mentioned,
    rows_of,
    skipped,
)
from webapp.costing.own.settled import settled
from webapp.costing.own.shown_rates import shown_rate
from webapp.costing.own.taxed import with_sheet
from webapp.costing.own.taxes import without_phrase
from webapp.costing.own.told import Told
from webapp.costing.units import PIECES

_FOR_ONE = "Type the freight of the order as an amount of money, not for one of something."
#: what is said of a weight beside a volume, which says the density instead
_NOT_READ = "beside it is not."
PERCENT = "%"
_PERCENT = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?%", re.ASCII)
_BELOW_ZERO = re.compile(r"[^0-9]*[-\u2212\u2010-\u2015(]")
#: natures whose packs are sold by weight and by volume; what says by itself that ounces are of weight
_LIQUID = ("essential oil", "oil", "water")
_SAYS_WEIGHT = re.compile(r"w(?:eigh)?t\b|\blbs?\b|\bpounds?\b|\bgr?\b|\bgrams?\b|\bkg\b|\bavdp\b")
_BY_WEIGHT = "Its ounces are read as weight: write fl oz where it is sold by volume."
#: how many characters of notes are said
_NOTES = 60
#: of a sheet whose freight was said not to come on top of its prices
_NOT_ADDED = {INSIDE: "is in the prices already, as was chosen", NOT_TAKEN: "is not counted, as was chosen"}


def materials_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str], *, notes: Notes = NO_NOTES
) -> tuple[list[MaterialRow], list[Skipped]]:
    """The materials of a sheet, and the rows that were passed over."""
    found: list[MaterialRow] = []
    passed: list[Skipped] = []
    kind = kind_of_sheet(table, layout)
    told = replace(told, taxed=holds_tax(table, layout), priced=told.priced or paid_for_all(table, layout))
    told = replace(told, shown=shown_rate(table, layout))
    now, told = layout, with_sheet(told, table, layout)
    for row in rows_of(sheet, table, layout, told, left_out):
        row.layout = now
        if is_units(row):
            passed.append(skipped(row, UNITS))
        elif is_heads(row) or is_total(row):
            now = now if is_total(row) else _below(row)
            passed.append(skipped(row, TOTAL if is_total(row) else HEADS))
        elif is_title(row) or is_heading(row):
            passed.append(skipped(row, HEADING))
            kind = kind_of(filled(row)[0])
        elif what := besides_in(row):
            one = _besides(row, what)
            found += [one] if isinstance(one, MaterialRow) else []
            passed += [one] if isinstance(one, Skipped) else []
        elif not mentioned(row):
            passed.append(skipped(row, COMMENT))
        elif is_footnote(row):
            passed.append(skipped(row, FOOTNOTE))
        elif mentioned(row) == ["name"] and tells_figures(row.text("name")):
            passed.append(skipped(row, FIGURES))
        else:
            found.append(with_notes(row, partial(_material, under=kind), notes))
    return found, passed


def _below(row: OwnRow) -> Layout:
    """What the columns hold below heads that stand there once more: as before, where they are the same ones."""
    heads = row.table.rows[row.number - 1]
    if not row.layout.heads or heads == row.table.rows[row.layout.heads - 1]:
        return row.layout
    rows = row.table.rows
    ends = next((place for place in range(row.number, len(rows)) if not any(map(str.strip, rows[place]))), None)
    below = Layout(MATERIALS, row.number, roles_in(heads, MATERIALS))
    return settled(replace(row.table, rows=rows[:ends]), below)


def is_title(row: OwnRow) -> bool:
    """Whether a row is only what stands above other heads: a supplier, or a word for all below."""
    return len(filled(row)) == 1 and row.number < len(row.table.rows) and is_heads(replace(row, number=row.number + 1))


def _day(row: OwnRow) -> date | None:
    """The day of a row; where no month stands first in the language of its head, day and month can't change places."""

    def how(text: str, told: Told) -> date:
        if told.exact and (counted := days.counted_day(text)):
            row.remarks.append(f"{text} is read as {counted}, as spreadsheets count days.")
            return counted
        try:
            return days.day(text, told)
        except cells.Doubt:
            if words_of(row.head("day")) not in DAY_FIRST:
                raise
            row.remarks.append(f"{text} is read with the day first.")
            return days.day(text, replace(told, days="day first"))

    return row.read("day", how)


def material_in(row: OwnRow) -> MaterialRow:
    """The material of one row by itself."""
    return _material(row, "")


def is_heading(row: OwnRow) -> bool:
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
    pack, (short, named) = paid.pack, pack_in_name(row, kind)
    row.remarks += _weighed_ounces(row, pack, name)
    kind = _kind(row, kind, pieces=pack is not None and pack.unit == PIECES)
    inci = row.words("inci") if role == "name" else ""
    supplier, code = row.words("supplier"), row.words("code", lim.SHORT)
    currency = row.read("currency", _currency) or paid.currency
    day, dense, freight = _day(row), _density(row, pack), _freight(row, currency)
    price = with_freight(row, paid, currency)
    row.remarks += [said for role in ("pack", "price", "net_price", "unit_price") if (said := _doubt(row, role))]
    number, tax = order_number(row), _order_tax(row, currency)
    return MaterialRow(
        row.sheet, row.number, short or name, kind, inci, supplier, code, day,
        density=dense, weighs=paid.weighs,
        packs=paid.packs, size=pack.value if pack else None, unit=pack.unit if pack else "", named=named,
        price=price, currency=currency, tax_rate=paid.tax.rate, tax_in=paid.tax.inside,
        order=number, freight=freight, order_tax=tax,
        beside=_beside(row), remarks=tuple(row.remarks), wrong=tuple(row.wrong),
    )  # fmt: skip


def _weighed_ounces(row: OwnRow, pack: Read | None, name: str) -> list[str]:
    """That bare ounces of what is liquid are read as its weight: they are fluid ounces on many a bottle."""
    texts = (name, *(f"{row.head(role)} {row.text(role)}" for role in ("pack", "unit")))
    liquid = pack is not None and pack.unit == "oz" and nature_of(name) in _LIQUID
    said = _SAYS_WEIGHT.search(" ".join(texts).casefold()) if liquid else None
    return [_BY_WEIGHT] if liquid and not said else []


def _kind(row: OwnRow, said: str, *, pieces: bool) -> str:
    """Ingredient or packaging: as is said, but what is bought by the piece is no ingredient."""
    if pieces and said == "ingredient":
        row.remarks.append("It is bought by the piece, so it is read as packaging.")
        return "packaging"
    return said or ("packaging" if pieces else "ingredient")


def _density(row: OwnRow, pack: Read | None) -> Decimal | None:
    """What one mL weighs in g: by its own column, else by a weight that stands beside a volume; said."""
    dense = row.read("density", lambda text, told: density(text, told, row.head("density")))
    if dense is None and pack and (dense := density_beside(row.text("pack"), row.told_of("pack"))):
        row.remarks = [one for one in row.remarks if one != pack.remark and not one.endswith(_NOT_READ)]
    row.remarks += [dense.remark] if dense and dense.remark else []
    return dense.value if dense else None


def _beside(row: OwnRow) -> str:
    """Words in columns that are left out, which may say which of two rows counts, and that a row is struck out."""
    places = (place for place in range(row.table.width) if not any(row.layout.roles[place : place + 1]))
    texts = [text for place in places if sort_of(text := row.table.cell(row.number, place)) == "text" and text]
    struck = ["struck out"] if row.number in row.table.struck else []
    return ", ".join([*struck, *texts])[:_NOTES]


def _besides(row: OwnRow, what: str) -> MaterialRow | Skipped:
    """A row that is named for money: freight as a row without a name, anything else is passed over."""
    if pack := pack_beside(row):
        words = (
            f"{row.text('name')} is no material, and {pack[:24]} stands beside it as its pack. Leave this row out, or "
        )
        row.fault("name", f"{words}say more in its name, where it is something that is bought.")
    elif what == DISCOUNT:
        return _discount(row)
    elif what not in (FREIGHT, TAX):
        return skipped(row, what)
    elif what == TAX and _BELOW_ZERO.match(row.table.cell(row.number, place_of_amount(row) or 0)):
        return skipped(row, "sales tax below zero, not taken")
    found = None if row.wrong else _amount_of_freight(row)
    currency, day = row.read("currency", _currency) or "", _day(row)
    if found is None and not row.wrong:
        return skipped(row, f"{what} without an amount in a column of prices" if what == FREIGHT else NO_AMOUNT_OF_TAX)
    if not row.wrong and what == FREIGHT and row.told.freight in _NOT_ADDED:
        return skipped(row, f"{FREIGHT}, which {_NOT_ADDED[row.told.freight]}")
    said = found and replace(found, unit=found.unit or currency)
    freight, tax = (said, None) if what == FREIGHT else (None, said)
    return MaterialRow(
        row.sheet, row.number, "", "", supplier=supplier_of(row), day=day, freight=freight, order_tax=tax,
        order=order_number(row), besides=", ".join(filled(row))[:60], wrong=tuple(row.wrong),
    )  # fmt: skip


def _discount(row: OwnRow) -> MaterialRow | Skipped:
    """A row that is named for a discount: the amount, or the percent of it or of its name, for the rows above it."""
    place = place_of_amount(row)
    text = "" if place is None else re.sub(r"[-\u2010-\u2015\u2212()]", "", row.table.cell(row.number, place)).strip()
    share = _PERCENT.fullmatch(text) or ("" if text else _PERCENT.search(row.text("name")))
    if share:
        read = row.read_at(place or 0, lambda _, told: Read(cells.number(share[1], told), PERCENT), share[0])
    else:
        found = row.read_at(place or 0, cells.money, text) if text else None
        read = found and found[0]
        said = without_money(text)[1] or currency_said(row.table.cell(row.layout.heads, place or 0))
        read = read and replace(read, unit=read.unit if said else "")
    if row.told.discount == NOT_TAKEN or (not row.wrong and (read is None or not read.value)):
        how = "which is not taken off, as was chosen" if row.told.discount == NOT_TAKEN else "without an amount"
        return skipped(row, f"a discount, {how}")
    return MaterialRow(
        row.sheet, row.number, "", "", supplier=supplier_of(row), day=_day(row), discount=read,
        besides=", ".join(filled(row))[:60], wrong=tuple(row.wrong),
    )  # fmt: skip


def _amount_of_freight(row: OwnRow) -> Read | None:
    """The amount of a row that is freight, in the column of a price or of freight; its currency where that is said."""
    place = place_of_amount(row)
    text = "" if place is None else row.table.cell(row.number, place)
    if place is None or text.casefold().strip(" .") in FREE:
        return None
    found = row.read_at(place, cells.money)
    if found is not None and found[1]:
        row.fault_at(place, _FOR_ONE)
    head = row.table.cell(row.layout.heads, place)
    said = without_money(text)[1] or currency_said(head)
    return replace(found[0], unit=found[0].unit if said else "") if found and found[0].value else None


def _freight(row: OwnRow, currency: str) -> Read | None:
    """The freight of a row that comes on top of its price, in its own currency or that of the price."""
    noted = row.noted.freight if row.noted else ""
    if row.text("freight").casefold().strip(" .") in FREE:
        return None
    found = row.read_at(0, cells.money, noted) if noted else row.read("freight", cells.money)
    if found is None or not found[0].value:
        return None
    if found[1]:
        row.fault("freight", _FOR_ONE)
    if row.told.freight in (INSIDE, NOT_TAKEN) and not noted:
        how = "is in its price already" if row.told.freight == INSIDE else _NOT_ADDED[NOT_TAKEN]
        row.remarks.append(f"Its freight, {row.told.written.number(found[0].value)}, {how}.")
        return None
    said = without_money(noted or row.text("freight"))[1] or currency_said(row.head("freight"))
    return found[0] if said or not currency else replace(found[0], unit=currency)


def _order_tax(row: OwnRow, currency: str) -> Read | None:
    """The sales tax in money of a row, in its own currency or that of the price."""
    found = row.read("order_tax", cells.money)
    if found is None or not found[0].value:
        return None
    said = without_money(row.text("order_tax"))[1] or currency_said(row.head("order_tax"))
    return replace(found[0], unit=found[0].unit if said else currency)


def _doubt(row: OwnRow, role: str) -> str:
    text = row.text(role)
    return cells.doubtful(without_phrase(text), row.told_of(role)) if text else ""


def _currency(text: str, told: Told) -> str:
    said = text.strip().upper() if len(text) == 3 else text.strip()
    return currency_of(said, told.home, told.currency)
