"""Prices as they stand in cells besides plain numbers: with a word for tax, in pence, several for one sum, as noted."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE
from webapp.costing.own import cells
from webapp.costing.own.cells import MONEY_PLACES, Read
from webapp.costing.own.columns import BLANK, PRICES, Layout, OwnTable
from webapp.costing.own.pack_prices import packs_at
from webapp.costing.own.pence import pence_in
from webapp.costing.own.rows import OwnRow, Wrong, place_of, row_mark
from webapp.costing.own.taxes import without_phrase
from webapp.costing.own.told import Told

_BUNDLE = re.compile(
    r"(?P<many>[1-9][0-9]{0,2})\s?(?:for|f\u00fcr|pour|por|per|voor)\s+(?P<price>[^0-9]{0,4}[0-9].*)", re.IGNORECASE
)


def money_in(text: str, told: Told) -> tuple[Read, str]:
    """A price, whatever its cell says of tax, which is read by itself; 95p is 0.95 pounds."""
    text = without_phrase(text)
    if (found := pence_in(text)) is None:
        return cells.money(text, told)
    read, unit = cells.money(found.plainly, told)
    if not found.hundredths:
        return read, unit
    exact = read.whole / HUNDRED
    kept = cells.rounded(exact, MONEY_PLACES)
    return replace(read, value=kept, exact=None if kept == exact else exact, remark=""), unit


def price_in(text: str, told: Told) -> tuple[Read, str]:
    """The same of a price of packs, which may be for several: 16 of "2 for £16", and 4.50 of "2 @ £4.50"."""
    found = _BUNDLE.fullmatch(text)
    return money_in(found["price"] if found else packs_at(text)[1], told)


def bundle_in(text: str) -> Decimal:
    """For how many packs together a cell says that its price is: 2 of "2 for £16"; 1 where it says none."""
    found = _BUNDLE.fullmatch(text)
    return Decimal(found["many"]) if found else ONE


def counts_lost(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], fixes: Mapping[str, str], left_out: Collection[str]
) -> Iterator[Wrong]:
    """Prices that said of how many packs they are, and were corrected without it: nobody knows for how many it is."""
    for mark, text in fixes.items():
        place = place_of(mark)
        if place is None or "_c" not in mark or not text.strip() or place[0] >= len(tables):
            continue
        sheet, row, column = place
        before, role = tables[sheet].cell(row, column), layouts[sheet].roles[column : column + 1]
        is_price = role and role[0] in PRICES and row_mark(sheet, row) not in left_out
        if is_price and _says_many(before) and not _says_many(text.strip()):
            many = packs_at(before)[0] if packs_at(before)[0] != ONE else bundle_in(before)
            words = (
                f"The sheet says {before[:24]}, and {text.strip()[:24]} does not say for how many it is. Type it as "
                f"\u201c{many} @ \u2026\u201d with the price of one, or \u201c{many} for \u2026\u201d with that of all."
            )
            yield Wrong(sheet, row, column, text.strip(), words)


def _says_many(text: str) -> bool:
    return bool(_BUNDLE.fullmatch(text)) or packs_at(text)[1] != text


def bundled(row: OwnRow, role: str, packs: Decimal, *, per: str) -> Decimal:
    """How many packs the price of a row is for, where its cell says that it is for several; else as many as it was."""
    at = packs_at(row.text(role))[0]
    if at != ONE and packs == ONE and row.text("packs") not in BLANK:
        row.fault(role, f"{row.text(role)[:24]}, and {row.text('packs')} was bought: correct one of them.")
        return packs
    many = at if at != ONE else bundle_in(row.text(role))
    if many == ONE or (packs in (ONE, many) and not per):
        return many if packs == ONE else packs
    other = f"it is for one {per}" if per else f"{row.text('packs')} were bought"
    row.fault(role, f"{row.text(role)[:24]}, and {other}: type what one of them costs.")
    return packs


def as_noted(row: OwnRow, paid: tuple[Read, str] | None) -> tuple[Read, str] | None:
    """A price for one of what the note beside it says, or of as many as it says that it is for one of."""
    if paid is None or row.noted is None:
        return paid
    if row.noted.per:
        return paid[0], row.noted.per
    if row.noted.of is None or row.noted.of == ONE or paid[1]:
        return paid
    kept = cells.rounded(paid[0].whole * row.noted.of, MONEY_PLACES)
    return replace(paid[0], value=kept, exact=None), ""
