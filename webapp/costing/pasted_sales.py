"""Jars sold a month from a pasted sheet: columns product, channel and jars, in any order where heads say so."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from webapp.costing.amounts import Unreadable
from webapp.costing.called import Names, or_meant
from webapp.costing.sheets import Line, Sheet, number_in, sign_of

PRODUCT, CHANNEL, JARS = ROLES = ("product", "channel", "jars")
#: the heads that say what a column holds
HEADS = {
    PRODUCT: "product, product name, item, name, article, what",
    CHANNEL: "channel, where, sold at, sold on, sold where, place",
    JARS: "jars, jars a month, jars sold, jars sold a month, quantity, qty, sold, a month, pieces, number",
}
ROLE_OF = {head: role for role, heads in HEADS.items() for head in heads.split(", ")}


class Row(NamedTuple):
    """One pasted row: its line, the cells as they stand there, what is meant by them, and what is wrong."""

    number: int
    cells: tuple[str, str, str]
    product: str = ""
    channel: str = ""
    jars: str = ""
    faults: tuple[str, ...] = ()


class Reading(NamedTuple):
    """A whole sheet; `fault` concerns all of it, `sign` is how its decimals are written ("" where it says not)."""

    rows: tuple[Row, ...] = ()
    fault: str = ""
    sign: str = ""

    @property
    def good(self) -> bool:
        """Whether every row can be kept."""
        return bool(self.rows) and not self.fault and not any(row.faults for row in self.rows)


def read_sales_sheet(sheet: Sheet, products: Names, channels: Names, sign: str = "") -> Reading:
    """The rows of a sheet, products and channels by their names. `sign` is what a person chose; "" leaves it to it."""
    if sheet.fault or not sheet.lines:
        return Reading(fault=sheet.fault or "Paste at least one line: product, channel, jars a month.")
    told = _roles(sheet.lines[0].cells)
    roles, lines = (told, sheet.lines[1:]) if told else (ROLES, sheet.lines)
    if missing := [role for role in ROLES if role not in roles]:
        return Reading(fault=f"No column says its {missing[0]}. Write product, channel and jars above the columns.")
    places = [roles.index(role) for role in ROLES]
    cells = [_cells(line, places) for line in lines]
    decimals = sign or sign_of(one[2] for one in cells).sign
    if not decimals:
        return Reading(fault="Numbers in this sheet can be read in two ways. Choose how its decimals are written.")
    if not lines:
        return Reading(fault="Below the heads stands nothing. Paste the lines too.", sign=decimals)
    found = [_row(line, one, decimals, products, channels) for line, one in zip(lines, cells, strict=True)]
    return Reading(_once_each(found), sign=decimals)


def _roles(cells: Sequence[str]) -> tuple[str, ...]:
    """What the heads say; nothing where the first row has none."""
    words = [" ".join(re.sub(r"[^a-z]+", " ", cell.casefold()).split()) for cell in cells]
    roles = tuple(ROLE_OF.get(word, "") for word in words)
    return roles if len({role for role in roles if role}) > 1 else ()


def _cells(line: Line, places: Sequence[int]) -> tuple[str, str, str]:
    product, channel, jars = (line.cells[place] if place < len(line.cells) else "" for place in places)
    return product, channel, jars


def _row(line: Line, cells: tuple[str, str, str], sign: str, products: Names, channels: Names) -> Row:
    faults: list[str] = []
    product, channel = (
        _meant(text, names, what, faults)
        for text, names, what in ((cells[0], products, PRODUCT), (cells[1], channels, CHANNEL))
    )
    try:
        jars = number_in(cells[2], sign) if cells[2] else ""
    except Unreadable as unreadable:
        jars = ""
        faults.append(unreadable.sentence)
    return Row(line.number, cells, product, channel, jars, tuple(faults))


def _meant(text: str, names: Names, what: str, faults: list[str]) -> str:
    found = names.meant(text)
    if not text:
        faults.append(f"No {what} stands here. Write one.")
    elif found.several:
        faults.append(f"Several are called {text[:60]}. Write the whole name.")
    elif not found.value:
        faults.append(f"No {what} is called {text[:60]}.{or_meant(found.near)}")
    return found.value


def _once_each(rows: Sequence[Row]) -> tuple[Row, ...]:
    """Each product on a channel once: of two rows the later one is at fault."""
    seen: set[tuple[str, str]] = set()
    found = []
    for row in rows:
        pair = (row.product, row.channel)
        again = all(pair) and pair in seen
        found.append(row._replace(faults=(*row.faults, "This stands on an earlier line already.")) if again else row)
        seen.add(pair)
    return tuple(found)
