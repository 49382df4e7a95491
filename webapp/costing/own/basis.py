"""For one of what the prices of a sheet are, where neither they nor their head say it: a title, or a column "Per"."""

from __future__ import annotations

import re

from webapp.costing.own.columns import Layout, OwnTable, per_in, words_of
from webapp.costing.own.price_heads import packs_said, without_besides
from webapp.costing.own.rows import OwnRow

#: a column of what each price is for
_PER_HEADS = frozenset("per, pro, je, par, por, for, priced per, price per, cost per, price for".split(", "))
_PER = re.compile(r"(?:per|pro|je|par|por|for|the|le|la|an?)\s+(?=\S)", re.IGNORECASE)
#: what begins with a word for prices, or says that all of them are so
_OF_PRICES = re.compile(
    r"\W*(?:(?:all|our|my|unit|alle|tous les|todos los|tutti i) )?"
    r"(?:prices?|priced|costs?|costed|preise?|kosten|prix|precios?|prezz[io]|prijzen|prijs)\b",
    re.IGNORECASE,
)


def said_of_all(table: OwnTable, layout: Layout) -> str:
    """For one of what a line alone in its row says that all prices are: kg in "Prices per kg"; "" for nothing."""
    for number in (*range(1, layout.heads), *range(layout.heads + 1, len(table.rows) + 1)) if layout.heads else ():
        here = [text for place in range(table.width) if (text := table.cell(number, place))]
        if len(here) == 1 and _OF_PRICES.match(here[0]) and (unit := per_in(here[0].strip(" .:;*()"))):
            return unit
    return ""


def basis_of(row: OwnRow, role: str) -> str:
    """For one of what the price of a row is by a column "Per" beside its pack, else by the title; "" for that pack."""
    if packs_said(words_of(without_besides(row.head(role)))):
        return ""
    beside = row.text("unit") if words_of(row.head("unit")) in _PER_HEADS and row.text("pack") else ""
    return without_per(beside) or (row.told.basis if row.text("pack") else "")


def without_per(unit: str) -> str:
    """What a price is for without the word before it: "48" of "per 48"."""
    return _PER.sub("", unit, count=1) if _PER.match(unit) else unit
