"""How tax stands in the price of a row: as its own cells say, its head, what stands above or below the table."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing.amounts import ZERO, Unreadable, plain
from webapp.costing.own import cells
from webapp.costing.own.columns import BLANK, LOOKED_AT, MATERIALS, PRICES, Layout, OwnTable, role_of
from webapp.costing.own.currencies import without_money
from webapp.costing.own.paid import is_net_of_discount
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT, tax_said
from webapp.costing.own.rows import OwnRow, is_note
from webapp.costing.own.shown_rates import stand_beside
from webapp.costing.own.taxes import (
    MEANINGS,
    NO,
    TAX_NONE,
    YES,
    TaxSaid,
    cell_said,
    is_about_tax,
    is_of_exempt,
    phrase_in,
    yes_by_head,
)
from webapp.costing.own.told import Told

#: the columns that say it of each row
COLUMNS = ("taxed", "tax_rate")
_STANDS = {TAX_IN: "tax is in the price", TAX_OUT: "tax comes on top of it", TAX_NONE: "there is no tax"}
_OF_PRICES = re.compile(r"\b(?:price|cost|preis|prix|precio|prezz|prijs|tarif)", re.IGNORECASE)


#: what holds only of rows that say so: "inc VAT where it says"
_WHERE_SAID = re.compile(
    r"\b(?:where|if|when) (?:it |they |i )?(?:is |are )?(?:says?|said|noted|stated|marked|shown|given)\b|"
    r"\b(?:wo|wenn|falls) (?:es )?(?:angegeben|vermerkt|dabei ?steht)\b|\bsome\b|\bmarked\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Tax:
    """Whether tax is in a price (None: as was chosen for all), and its rate in percent (None: nobody says it)."""

    inside: bool | None = None
    rate: Decimal | None = None


NO_TAX_SAID = Tax()


def tax_of(row: OwnRow, role: str) -> Tax:
    """How tax stands in the price of a row; where its rate is wanted, and neither said nor chosen, it is asked."""
    said = _said(row, role)
    inside = _by_head(row, role) if not said.how else None if said.how == TAX_NONE else said.how == TAX_IN
    told = not said.how and inside is None and row.told.tax
    if told:
        inside = None if told == TAX_NONE else told == TAX_IN
    if TAX_NONE in (said.how, told):
        return Tax(False, ZERO)
    rate = said.rate if said.rate is not None or inside is None else row.told.rate
    alone = not said.how and rate is None and inside == row.told.registered and _stands_alone(row, role)
    rate = row.told.rate if alone else rate
    if alone and rate is None and (rate := row.told.shown) is not None:
        shown = f"{row.told.written.number(rate)} %"
        row.remarks.append(f"Only one of its two prices is there, so tax is reckoned at {shown}, as in the other rows.")
    if (said.how or told or alone) and rate is None and inside == row.told.registered:
        words = "Tax is in these prices and reclaimed" if inside else "Tax comes on top of these prices"
        row.fault(role, f"{words}, and its rate is not said. Type it below, such as 20, or 0 for none.", "rate")
    return Tax(inside, rate)


def _stands_alone(row: OwnRow, role: str) -> bool:
    """Whether a row leaves out one of two prices that stand side by side, with tax and without."""
    other = "price" if role == "net_price" else "net_price"
    return role in ("price", "net_price") and stand_beside(row.layout) and row.text(other) in BLANK


def _said(row: OwnRow, role: str) -> TaxSaid:
    """What the cells of a row say of its tax; what contradicts itself is a fault."""
    every = [phrase_in(row.text(role)), *(_of_column(row, one) for one in COLUMNS)]
    if row.noted is not None and row.noted.tax.how:
        every = [row.noted.tax, *(replace(one, how="") for one in every)]
    found = [one for one in every if one.how]
    rate = next((one.rate for one in every if one.rate is not None), None)
    if len({one.how for one in found}) > 1:
        first, other = found[0], next(one for one in found if one.how != found[0].how)
        row.fault(role, f"{first.words} and {other.words} stand in this row: {_STANDS[first.how]}, or "
                  f"{_STANDS[other.how]}? Correct one of them.")  # fmt: skip
    return TaxSaid(found[0].how if found else "", rate, found[0].words if found else "")


def _of_column(row: OwnRow, role: str) -> TaxSaid:
    """What a column of tax says in a row. Yes, no and an empty cell mean what their head says, or was chosen."""
    place, text = row.layout.place(role), row.text(role)
    if place is None:
        return TaxSaid()
    if text in BLANK:
        return _blank(row, place) if role == "taxed" else TaxSaid()
    said = cell_said(text)
    if said is None and role == "tax_rate":
        return TaxSaid("", row.read(role, rate))
    if said is None:
        row.fault(role, f"{text[:24]} says nothing of tax that is known here. Write inc, ex, none, or its rate: 20 %.")
        return TaxSaid()
    if said.how in (YES, NO):
        return replace(said, how=_meant(row, place, said.how))
    return said if said.how else TaxSaid("", row.read(role, rate))


def _meant(row: OwnRow, place: int, answer: str) -> str:
    """What yes or no of a column means."""
    head = row.table.cell(row.layout.heads, place) if row.layout.heads else ""
    if is_of_exempt(head):
        return TAX_NONE if answer == YES else ""
    meaning = row.told.yes or yes_by_head(head)
    if meaning not in MEANINGS:
        text = row.table.cell(row.number, place)
        words = f"What does {text[:12]} below “{head[:40]}” mean: is tax in the price, or does it come on top of it?"
        row.fault_at(place, f"{words} Say it below.", "yes")
        return ""
    return MEANINGS[meaning][answer == NO]


def _blank(row: OwnRow, place: int) -> TaxSaid:
    """What an empty cell among words for tax means: no, where the others say yes; else as was chosen."""
    rows = range(row.layout.heads + 1, min(len(row.table.rows), row.layout.heads + LOOKED_AT) + 1)
    others = {said.how for one in rows if (said := cell_said(row.table.cell(one, place)))}
    if others == {YES}:
        return TaxSaid(_meant(row, place, NO), None, "nothing")
    if row.told.tax:
        return TaxSaid(row.told.tax, None, "nothing")
    words = "Nothing is said of tax here, and it is in other rows. Is it in the price, on top of it, or is there none?"
    row.fault_at(place, f"{words} Say it below for all such rows.", "tax")
    return TaxSaid()


def _by_head(row: OwnRow, role: str) -> bool | None:
    """Whether tax is in the prices of a column, by its head, one without it beside it, or its rates."""
    if role == "net_price":
        return False
    place = row.layout.place(role)
    net = place is not None and is_net_of_discount(row.table, row.layout, place)
    said = "" if net else tax_said(row.head(role))
    if role == "price" and not said and (row.told.taxed or row.layout.place("net_price") is not None):
        return True
    return said == TAX_IN if said else None


#: no rate of sales tax is higher anywhere (common practice, no source): a plain number above it is money, or a slip
_MOST = Decimal(30)


def rate(text: str, told: Told) -> Decimal:
    """A rate in percent: "20 %", "20", and 0.2 too, as spreadsheets keep a fifth. Unreadable where it is money."""
    if without_money(text)[1]:
        raise Unreadable("rate", f"{text[:24]} is an amount of money: type the rate of tax in percent, such as 20 %.")
    value = cells.number(text.removesuffix("%").strip(), told)
    bare = not text.endswith("%")
    found = cells.fitting(value * 100 if bare and 0 < value < 1 else value, lim.TAX_RATE, text)
    if bare and found > _MOST:
        words = f"{text[:24]} would be a rate of {plain(found)} %. Type the rate, such as 20 %; or say in its columns"
        raise Unreadable("rate", f"{words} that it is the sales tax of its order in money.")
    return found


# --- what holds for a whole sheet


def said_of_sheet(table: OwnTable, layout: Layout) -> TaxSaid:
    """What the title of a sheet, or a note above or below its table, says of the tax in its prices.

    Nothing where they contradict each other, or no sheet of prices is there.
    """
    if layout.holds != MATERIALS or not {*PRICES} & {*layout.roles}:
        return TaxSaid()
    texts = [table.title]
    for number, row in enumerate(table.rows, 1):
        cells_there = [" ".join(cell.split()) for cell in row if cell.strip()]
        if number < layout.heads:
            texts += [text for text in cells_there if not role_of(text, MATERIALS) or len(cells_there) == 1]
        elif len(cells_there) == 1 and is_note(cells_there[0]):
            texts += cells_there
    found = [said for text in texts if (said := _of_text(text)).how]
    return found[0] if len({one.how for one in found}) == 1 else TaxSaid()


def taxes_of(tables: Sequence[OwnTable], layouts: Sequence[Layout]) -> dict[int, TaxSaid]:
    """What each sheet says so, by its number."""
    every = enumerate(zip(tables, layouts, strict=True))
    return {number: said for number, one in every if (said := said_of_sheet(*one)).how}


def _of_text(text: str) -> TaxSaid:
    """What a title or a note says of the tax in all prices: "net weight" says nothing of it."""
    said = phrase_in(text)
    if _WHERE_SAID.search(text):
        return TaxSaid()
    if said.how:
        return replace(said, words=text)
    how = tax_said(text) if _OF_PRICES.search(text) and is_about_tax(text) else ""
    return TaxSaid(how, None, text) if how else TaxSaid()


def with_sheet(told: Told, table: OwnTable, layout: Layout) -> Told:
    """What was said, with what the sheet says of tax where nobody chose it."""
    said = said_of_sheet(table, layout)
    rate = said.rate if told.rate is None and said.how != TAX_NONE else told.rate
    return replace(told, tax=told.tax or said.how, rate=rate)
