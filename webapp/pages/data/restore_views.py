"""What a restore would change, as a page says it: counts and names by kind, and costs and prices that move."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.costing.difference import MovedRow
from webapp.costing.gaps import Figure
from webapp.costing.two_books import KindCompared
from webapp.pages.rendering import Desk
from webapp.store.backup_preview import Preview, preview_beside
from webapp.store.backups import Backup

MOST = 50
#: kind -> what several of it are called
WORDS = {
    "workshop": "the workshop",
    "terms": "how we reckon",
    "person": "who works",
    "bill": "monthly bills",
    "sales": "jars sold a month",
    "review": "prices checked",
    "group": "groups of parts",
}


@dataclass(frozen=True, slots=True)
class KindRow:
    """The things of one kind: how many now and there, and the names of those that differ."""

    kind: str
    now: int
    then: int
    only_now: str
    only_then: str
    changed: str


@dataclass(frozen=True, slots=True)
class PriceRow:
    """A product on a channel whose figures would move; None where it is not there now."""

    name: str
    cost_now: Figure | None
    cost_then: Figure
    price_now: Figure | None
    price_then: Figure


@dataclass(frozen=True, slots=True)
class Differences:
    """All that would be otherwise; `other` where the backup is of other data altogether."""

    kinds: tuple[KindRow, ...]
    rows: tuple[PriceRow, ...]
    more: int
    other: bool

    @property
    def none(self) -> bool:
        """Whether it says the same as the data that is there now."""
        return not (self.kinds or self.rows or self.other)


def differences(desk: Desk, backup: Backup) -> Differences:
    """What restoring `backup` would change of today's book."""
    told = preview_beside(desk.reckoning, desk.store.begun, backup.path)
    if told.compared is None:
        return Differences((), (), 0, other=True)
    rows = told.compared.rows
    return Differences(
        tuple(_kind(one, told) for one in told.compared.kinds if one.differs),
        tuple(_price(one, told) for one in rows[:MOST]),
        max(0, len(rows) - MOST),
        other=False,
    )


def _kind(one: KindCompared, told: Preview) -> KindRow:
    return KindRow(
        WORDS.get(one.kind, f"{one.kind}s"),
        one.now,
        one.then,
        _names(one.only_now, told),
        _names(one.only_then, told),
        _names(tuple(pair.now for pair in one.changed), told),
    )


def _names(things: tuple[Any, ...], told: Preview) -> str:
    """Their names, or how many they are where they have none or are many."""
    names = [_name(one, told) for one in things]
    known = [name for name in names if name]
    if len(known) < len(names) or len(names) > MOST:
        return str(len(names)) if names else ""
    return ", ".join(known)


def _name(thing: Any, told: Preview) -> str:
    if name := getattr(thing, "name", ""):
        return str(name)
    product = getattr(thing, "product", None)
    for book in (told.now.book, told.then.book):
        if product is not None and product in book.products:
            channel = book.channels.get(getattr(thing, "channel", 0))
            return book.products[product].name + (f" at {channel.name}" if channel else "")
    return ""


def _price(one: MovedRow, told: Preview) -> PriceRow:
    row = one.after
    books = (told.then.book, told.now.book)
    product = next(book.products[row.product].name for book in books if row.product in book.products)
    channel = next(book.channels[row.channel].name for book in books if row.channel in book.channels)
    before, after = one.before, one.after
    return PriceRow(
        f"{product}, {channel}",
        before.cost if before else None,
        after.cost,
        before.price if before else None,
        after.price,
    )
