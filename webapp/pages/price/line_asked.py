"""What the address of the line asks for: rows, order, groups, columns. The same for all pages about the line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import Depends, Query

from webapp.costing.line_groups import GROUPS
from webapp.costing.line_order import NAME, ONLY, SORTS, Wanted
from webapp.costing.rows import Row
from webapp.pages import addresses
from webapp.pages.rendering import Desk

#: so many signs of a name are looked for
LONGEST = 80
MOST_PRODUCTS = 50
Text = Annotated[str, Query()]
Texts = Annotated[list[str], Query()]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for, as texts; what there is not is as if it were not asked."""

    sort: str = NAME
    down: bool = False
    only: str = ""
    channel: str = ""
    formula: str = ""
    find: str = ""
    group: str = ""
    show: tuple[str, ...] = ()
    products: tuple[str, ...] = ()
    page: str = ""

    def words(self, **other: Any) -> dict[str, Any]:
        """The words of the address of the same view with something else, from its first page."""
        mine = {
            "find": self.find,
            "only": self.only,
            "channel": self.channel,
            "formula": self.formula,
            "group": self.group,
            "sort": self.sort,
            "down": "1" if self.down else "",
            "show": self.show,
            "product": self.products,
        }
        asked = {**mine, **other}
        return {name: text for name, text in asked.items() if text and (name, text) != ("sort", NAME)}

    def href(self, desk: Desk, to: str = addresses.LINE, **other: Any) -> str:
        """The address of the same view with something else, on the day that is looked at."""
        query = urlencode(self.words(**other, on=str(desk.on or "")), doseq=True)
        return f"{to}?{query}" if query else to

    def wanted(self, desk: Desk) -> Wanted:
        """The same as the core is asked; a channel or formula that there is not has no rows."""
        return Wanted(
            self.sort,
            self.down,
            self.only,
            _number(self.channel, desk.book.channels),
            _number(self.formula, desk.book.formulas),
            self.find,
            frozenset(_number(one, desk.book.products) or 0 for one in self.products),
        )

    def rows(self, desk: Desk) -> list[Row]:
        """The rows that are asked for, in their order."""
        return self.wanted(desk).of(desk.reckoning)


def _number(text: str, held: Any) -> int | None:
    """A number in an address, if it is one of those held; 0, which nothing has, for what is none."""
    return next((one for one in held if str(one) == text), 0) if text else None


async def asked_now(  # noqa: PLR0917 - one argument a word of the address
    sort: Text = NAME,
    down: Text = "",
    only: Text = "",
    channel: Text = "",
    formula: Text = "",
    find: Text = "",
    group: Text = "",
    show: Texts = [],  # noqa: B006 - never written to
    product: Texts = [],  # noqa: B006
    page: Text = "",
) -> Asked:
    """What this address asks for."""
    return Asked(
        sort if sort in SORTS else NAME,
        bool(down),
        only if only in ONLY else "",
        channel,
        formula,
        " ".join(find.split())[:LONGEST],
        group if group in GROUPS else "",
        tuple(dict.fromkeys(show)),
        tuple(dict.fromkeys(product))[:MOST_PRODUCTS],
        page,
    )


AskedNow = Annotated[Asked, Depends(asked_now)]


def paged(rows: Sequence[Row], page: str, most: int) -> tuple[int, int]:
    """Which page of how many; a number that is none is taken for the first or the last."""
    many = max(1, -(-len(rows) // most))
    number = int(page) if page.isascii() and page.isdigit() and len(page) < 10 else 1
    return min(max(number, 1), many), many
