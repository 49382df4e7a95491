"""What has to be chosen of a maker's own sheets: for all of them, for one formula, for a column of prices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import mark_of
from webapp.costing.own.taxes import TAX_NONE
from webapp.costing.own.told import OfSheet
from webapp.pages.buy.by_volume import as_typed
from webapp.pages.data.own_questions import CHOICES, OF_SHEET
from webapp.pages.data.own_shown import shortened
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk

#: where a density is found that nobody published here
SAYS_IT = "Its supplier’s data sheet says it: density, or specific gravity."
#: how tax stands in prices, as a sentence goes on
_STAND = {
    TAX_IN: "tax is read as in its prices",
    TAX_OUT: "tax is read as on top of its prices",
    TAX_NONE: "no tax is added",
}
Choice = tuple[str, str, tuple[tuple[str, str], ...]]
"""A field, its label, and what can be chosen."""


def choices(desk: Desk, reading: OwnReading) -> tuple[Choice, ...]:
    """What is asked, or was answered and may be changed."""
    for_all = ((key, *CHOICES[key]) for key in CHOICES if _is_asked(key, reading))
    return (*for_all, *_currency(desk, reading), *_of_sheets(reading), *_kinds(reading))


def _currency(desk: Desk, reading: OwnReading) -> Iterator[Choice]:
    """What prices are in that say no currency, where others of their column do."""
    if "currency" in reading.asks:
        codes = dict.fromkeys((desk.book.workshop.currency, *reading.currencies))
        yield "currency", "Prices without a currency are in", (("", "choose"), *((one, one) for one in codes))


def _of_sheets(reading: OwnReading) -> Iterator[Choice]:
    """The choices of single sheets that have to be made, or were made."""
    open_still = {field for field, _ in reading.faults} | {one.choice for one in reading.wrong}
    wanted = {*reading.asks, *open_still}
    for number, table in enumerate(reading.tables):
        for name, (label, options) in OF_SHEET.items():
            field = f"sheets-{number}-{name}"
            if field in wanted:
                as_read = () if field in open_still or name not in ("orders", "method") else (("", "as it is read"),)
                yield field, f"In {shortened(table.title, 40)}, {label}", (*as_read, *options[len(as_read) :])


def tax_rates(reading: OwnReading) -> tuple[tuple[str, str], ...]:
    """The sheets of which the rate of tax is asked, or was typed: the field, and its label."""
    return tuple(
        (f"sheets-{number}-rate", f"In {shortened(table.title, 40)}, the rate of sales tax where a row says none")
        for number, table in enumerate(reading.tables)
        if f"sheets-{number}-rate" in reading.asks
    )


def said_of_sheets(reading: OwnReading) -> str:
    """What titles and notes of sheets say of tax, in their words, and whose packs stand in names."""
    quoted = (
        f"{shortened(reading.tables[number].title, 40)} says “{shortened(said.words, 60)}”: {_STAND[said.how]}."
        for number, said in reading.taxes.items()
        if not reading.of_sheets.get(number, OfSheet()).tax
    )
    return " ".join((*quoted, *_packs_named(reading)))


def _packs_named(reading: OwnReading) -> Iterator[str]:
    """Of each sheet whose packs are read from names that, with the first of them."""
    first: dict[int, MaterialRow] = {}
    for one in reading.materials:
        if one.said.row.named and "pack" not in reading.layouts[one.said.row.sheet].roles:
            first.setdefault(one.said.row.sheet, one.said.row)
    for number, row in first.items():
        title = shortened(reading.tables[number].title, 40)
        words = f"No column of {title} holds the pack, so it is read from the names"
        yield f"{words}: {row.named} of {shortened(row.name, 40)}."


def _kinds(reading: OwnReading) -> Iterator[Choice]:
    """What the amounts of one formula are, where that is asked or was answered."""
    for one in reading.formulas:
        field, (_, options) = f"kind-{one.said.rows.mark}", CHOICES["amounts"]
        if field in reading.asks:
            yield field, f"The amounts of “{shortened(one.said.rows.name, 40)}” are", options


def _is_asked(choice: str, reading: OwnReading) -> bool:
    return choice in reading.asks or (choice == "sign" and bool(reading.sign.because))


def densities(desk: Desk, reading: OwnReading, form: Form) -> tuple[tuple[str, str, str], ...]:
    """What one mL weighs may be typed for: the field, the name, and where there is a published one what that is."""
    taken = bool(form.texts.get("published"))
    found = [(f"density-{mark_of(name)}", name, SAYS_IT if not n else "") for n, name in enumerate(reading.undense)]
    for name, one in reading.published:
        said = as_typed(desk, one)
        how = "counts until you type your own" if taken else "is published; it counts where that is taken above"
        found.append((f"density-{mark_of(name)}", name, f"{said['value']} {how}: {said['source']}."))
    return tuple(found)


def has_prices(reading: OwnReading) -> bool:
    """Whether any product comes with a selling price."""
    return any(one.said.row.prices for one in reading.products)


def still_open(things: Mapping[int, Any]) -> list[str]:
    """The names of what was not put away."""
    return [one.name for one in things.values() if one.retired is None]


def channels(desk: Desk, reading: OwnReading) -> tuple[Choice, ...]:
    """For each column of prices the field of its channel, and what it can be; none where there is no channel."""
    there = still_open(desk.book.channels)
    used = {(one.said.row.row.sheet, price.column) for one in reading.products for price in one.said.row.prices}
    options = (("", "choose"), *((name, name) for name in there))
    return tuple(
        (one.choice, f"“{shortened(one.head, 40)}” is for" if one.head else "Selling prices are for", options)
        for one in reading.selling
        if there and (one.sheet, one.column) in used
    )


def people(desk: Desk, reading: OwnReading) -> tuple[tuple[str, str], ...] | None:
    """Who the minutes can be of: nobody yet where that is empty; None where it is known, or there are no minutes."""
    if all(one.said.row.minutes is None for one in reading.products):
        return None
    there = still_open(desk.book.people)
    return None if len(there) == 1 else (("", "choose"), *((name, name) for name in there)) if there else ()
