"""A price list as a sheet: the same columns and figures on the page, in CSV and in XLSX."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import minor_places, plain
from webapp.costing.gaps import Gap
from webapp.costing.price_lists import Listed, PriceList
from webapp.exchange.sheets import DAY, NUMBER, Cell, Column, Sheet

RETAIL, CASE = "retail", "case"
#: what a list for shops may also say
PARTS = (RETAIL, CASE)
#: columns that only a file has: a page says the same at its head or beside the price
FILE_ONLY = ("standing", "from")


@dataclass(frozen=True, slots=True)
class Words:
    """What a list says around its prices, and how its numbers and its paper are."""

    title: str
    above: tuple[str, ...]
    below: tuple[str, ...]
    sign: str
    paper: str


def sheet_of(found: PriceList, parts: Collection[str], words: Words) -> Sheet:
    """The list with those of PARTS that are wanted. What is not known is an empty cell."""
    chosen = [(column, cell) for column, cell, wanted in _columns(found, parts, words.sign) if wanted]
    rows = tuple(tuple(cell(one) for _, cell in chosen) for one in found.rows)
    columns = tuple(column for column, _ in chosen)
    return Sheet(words.title, columns, rows, words.above, words.below, found.day, words.paper)


def _columns(
    found: PriceList, parts: Collection[str], sign: str
) -> list[tuple[Column, Callable[[Listed], Cell], bool]]:
    """Every column there is, what stands in it, and whether it is wanted."""
    places, money = minor_places(found.currency), found.currency
    cases = CASE in parts and any(one.case_jars is not None for one in found.rows)
    per = "" if found.per is None else _PER[found.per]
    some_suggested = any(not one.accepted for one in found.rows)
    jar = "Price each" if found.wholesale else "Price"
    return [
        (Column("name", "Product", width=34), lambda one: one.name, True),
        (Column("contents", "Net contents", width=14), lambda one: contents(one, sign), True),
        (Column("price", jar, NUMBER, money, places), lambda one: one.price, True),
        (Column("standing", "Standing"), lambda one: "accepted" if one.accepted else "suggested", some_suggested),
        (Column("unit_price", per, NUMBER, money, places), lambda one: one.unit_price, bool(per)),
        (Column("case_jars", "In a case", NUMBER), lambda one: one.case_jars, cases),
        (Column("case_price", "Price a case", NUMBER, money, places), lambda one: one.case_price, cases),
        (
            Column("recommended_retail", "Recommended retail", NUMBER, money, places),
            _recommended,
            RETAIL in parts and found.wholesale,
        ),
        (Column("from", "Valid from", DAY), lambda _: found.day, True),
    ]


_PER = {Decimal(1000): "Per kg or L", Decimal(100): "Per 100 g or 100 mL"}


def _recommended(one: Listed) -> Cell:
    return None if isinstance(one.recommended_retail, Gap) else one.recommended_retail


def contents(one: Listed, sign: str) -> str:
    """What the label declares: "50 g", of two fillings "40 g + 40 g", of products together "set"."""
    filled = " + ".join(f"{plain(fill.declared, sign)} {fill.unit}" for fill in one.declared)
    return filled or "set"
