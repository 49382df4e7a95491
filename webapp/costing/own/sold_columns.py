"""Columns of money in a maker's own list of products that no head names: prices, and what is left out and said."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from webapp.costing.book import Book
from webapp.costing.own.columns import (
    BLANK,
    MOST_COLUMNS,
    Layout,
    OwnTable,
    per_in,
    sort_of,
    unit_in,
)
from webapp.costing.own.currencies import bare_number, without_money
from webapp.costing.own.price_heads import TAX_OUT, currency_said, plain_words, tax_said
from webapp.costing.own.rows import column_letters
from webapp.costing.own.selling import named_in
from webapp.costing.own.sold_heads import PRICE_WORDS
from webapp.costing.units import MASS, VOLUME
from webapp.costing.written_units import unit_of

#: what money in a list of products is besides a selling price
_OTHER_MONEY = re.compile(
    r"\b(?:costs?|kosten|.*kosten|couts?|costes?|costos?|costi|ek|profits?|gewinn|benefice|beneficio|utile|winst|"
    r"margins?|margen?|margine|mark ?up|aufschlag|contribution|deckungsbeitrag|fees?|gebuhr(?:en)?|commission|"
    r"provision|vat|tax(?:es)?|gst|mwst|ust|tva|iva|btw|totals?|sums?|summe|revenue|turnover|umsatz|earn\w*|income|"
    r"takings|sold|sales|labour|labor|wages?|lohn|ingredients?|materials?|packaging|postage|shipping|versand|"
    r"deposit|discount|rabatt|stock|value|wert)\b"
)
#: what numbers beside prices are that are no money
_NO_MONEY = re.compile(
    r"\b(?:stock|hand|qty|quantity|menge|anzahl|number|no|nr|sku|code|ean|gtin|barcode|batch|min|max|moq|units?|jars?|"
    r"pieces?|pcs|orders?|months?|weeks?|years?|days?|shelf|life|weight|size|pack|case|left|age|rank\w*|rating|sold|sales|"
    r"bestand|lager|id|page|reviews?|votes?|sort|priority|ph|%)\b|%"
)
#: what has decimals and is no money
_OTHER_NUMBERS = re.compile(
    r"\b(?:ph|weight|gewicht|poids|peso|height|width|diameter|density|dichte|rating|hours?|stunden|heures|minutes?|"
    r"mins?|minuten|loss|waste|schwund|overfill|oz)\b"
)


def with_prices(book: Book, table: OwnTable, layout: Layout) -> tuple[OwnTable, Layout]:
    """The layout of a list of products with each column of money that is left out as one of prices.

    A head that is a channel's name says it, whatever stands below; what is no selling price by its head is said.
    """
    width = min(max(table.width, len(layout.roles)), MOST_COLUMNS)
    roles = [*layout.roles, *[""] * (width - len(layout.roles))]
    left: list[int] = []
    numbers: list[int] = []
    for place in [place for place, role in enumerate(roles) if role in ("", "part")]:
        head = table.cell(layout.heads, place) if layout.heads else ""
        cells = _cells(table, layout, place)
        if not cells or sum(map(_is_amount, cells)) * 2 < len(cells) or (roles[place] and not currency_said(head)):
            continue
        beside = "price" in roles[max(place - 1, 0) : place + 2]
        if roles[place]:  # "Jar €" is what one costs
            roles[place] = ""
            left.append(place)
        elif head and named_in(book, head) is not None and tax_said(head) != TAX_OUT:
            roles[place] = "price"
        elif _is_money(head, cells, beside=beside or place - 1 in left):
            if _OTHER_MONEY.search(plain_words(head)) or tax_said(head) == TAX_OUT or _is_of_weight(head):
                left.append(place)
            else:
                roles[place] = "price"
        elif beside and head and not _NO_MONEY.search(plain_words(head)):
            numbers.append(place)
    said = [f"{_columns(table, layout, left)} left out: by the head it is no selling price."] if left else []
    said += [f"{_columns(table, layout, numbers)} left out. If prices stand there, choose that."] if numbers else []
    table = replace(table, remarks=(*table.remarks, *said)) if said else table
    return table, layout if "".join(roles) == "".join(layout.roles) else replace(layout, roles=tuple(roles))


def with_named_said(book: Book, table: OwnTable, layout: Layout) -> OwnTable:
    """A sheet whose columns were chosen, with a word of each that is left out though a channel is called so."""
    free = [place for place in range(min(table.width, MOST_COLUMNS)) if "".join(layout.roles[place : place + 1]) == ""]
    named = [place for place in free if layout.heads and named_in(book, table.cell(layout.heads, place)) is not None]
    if not named:
        return table
    said = f"{_columns(table, layout, named)} left out, though a channel is called so."
    return replace(table, remarks=(*table.remarks, said))


def _columns(table: OwnTable, layout: Layout, places: Sequence[int]) -> str:
    named = [f"{column_letters(at)} ({table.cell(layout.heads, at)[:40]})" for at in places]
    return f"Columns {', '.join(named)} are" if len(named) > 1 else f"Column {named[0]} is"


def _is_of_weight(head: str) -> bool:
    """Whether prices are those of so many g or mL: "Price/100 g"."""
    return unit_of(per_in(head).lstrip("0123456789 ")) in {*MASS, *VOLUME}


def _cells(table: OwnTable, layout: Layout, place: int) -> list[str]:
    below = (table.cell(row, place) for row in range(layout.heads + 1, len(table.rows) + 1))
    return [text for text in below if text not in BLANK]


def _is_amount(cell: str) -> bool:
    return sort_of(cell) == "money" or bool(bare_number(without_money(cell)[0]))


def _is_money(head: str, cells: Sequence[str], *, beside: bool) -> bool:
    """Whether numbers are money: by their signs, by their head, or with two decimals `beside` a column of prices."""
    by_head = bool(currency_said(head) or {*plain_words(head).replace("/", " ").split()} & {*PRICE_WORDS})
    if not by_head and (unit_in(head) in {*MASS, *VOLUME} or "%" in head):
        return False
    beside = beside or bool(_OTHER_MONEY.search(plain_words(head)))
    cents = any(re.fullmatch(r"[0-9]+[.,][0-9]{1,2}", cell) for cell in cells)
    return (
        by_head
        or any(sort_of(cell) == "money" for cell in cells)
        or (beside and cents and not _OTHER_NUMBERS.search(plain_words(head)))
    )
