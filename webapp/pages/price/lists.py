"""Price lists: for shops and for a stall, chosen by the address, to print and to take along as a file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Depends, Query
from starlette.responses import Response

from webapp.costing import cautions, limits
from webapp.costing.amounts import Notation, Unreadable
from webapp.costing.book import Channel
from webapp.costing.price_list_working import FIGURES, working
from webapp.costing.price_lists import FORMULA, NAME, ORDERS, PER, ListAsked, price_list
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working
from webapp.errors import NotFound
from webapp.exchange.price_list_sheet import PARTS, sheet_of
from webapp.pages import addresses, files, filled_sheets
from webapp.pages.price import list_words
from webapp.pages.rendering import Desk, DeskNow, ProductIdent, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"
TITLE = "Price lists"
PERS = (("", "not on it"), ("1000", "per kilogram or litre"), ("100", "per 100 g or 100 mL"))
ORDER_WORDS = {NAME: "by name", FORMULA: "by formula and size"}
PART_WORDS = {"retail": "recommended retail prices", "case": "jars in a case and the price of one"}


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for, as text. Ticks are of the channel that they were drawn for (`ticked`)."""

    channel: str = ""
    day: str = ""
    parts: tuple[str, ...] = ()
    ticked: str = ""
    per: str = ""
    order: str = NAME
    suggested: bool = False

    def query(self) -> str:
        """The same, behind the question mark of an address."""
        one = {"channel": self.channel, "from": self.day, "ticked": self.ticked, "per": self.per, "order": self.order}
        pairs = [*one.items(), ("suggested", "1" if self.suggested else ""), *(("with", part) for part in self.parts)]
        return urlencode([(name, text) for name, text in pairs if text])


def asked_now(
    *,
    channel: Annotated[str, Query()] = "",
    day: Annotated[str, Query(alias="from")] = "",
    parts: Annotated[list[str] | None, Query(alias="with")] = None,
    ticked: Annotated[str, Query()] = "",
    per: Annotated[str, Query()] = "",
    order: Annotated[str, Query()] = "",
    suggested: Annotated[str, Query()] = "",
) -> Asked:
    """What the address asks for; words that it does not know are passed over."""
    kept = tuple(one for one in PARTS if one in (parts or ()))
    per = per if per in dict(PERS) else ""
    return Asked(channel, day, kept, ticked, per, order if order in ORDERS else NAME, bool(suggested))


AskedNow = Annotated[Asked, Depends(asked_now)]


@dataclass(frozen=True, slots=True)
class LeftOff:
    """A product that is not on the list, why not, and where that is put right."""

    name: str
    href: str
    reason: str
    cure: str


@dataclass(frozen=True, slots=True)
class ListsView:
    """What stands on the page: what is asked for, the list drawn, what is left off. No list: no channel is there.

    `later`: there are channels, but none on that day.
    """

    asked: Asked
    channels: tuple[tuple[str, str], ...]
    later: bool = False
    pers: tuple[tuple[str, str], ...] = PERS
    orders: tuple[tuple[str, str], ...] = tuple(ORDER_WORDS.items())
    parts: tuple[tuple[str, str], ...] = ()
    fault: str = ""
    drawn: filled_sheets.Drawn | None = None
    left_off: tuple[LeftOff, ...] = ()
    files: files.FileLinks | None = None
    channel: str = ""
    contact_href: str = ""
    terms_href: str = ""
    cautions: tuple[str, ...] = cautions.OF_PRICE_LIST


@router.get(addresses.PRICE_LISTS)
def lists(desk: DeskNow, asked: AskedNow, kind: Annotated[str, Query(alias="as")] = "") -> Response:
    """The price list that is asked for, or the same as a file."""
    try:
        made = Made.of(desk, asked)
    except Unreadable as unreadable:
        view = ListsView(asked, _channels(desk.book.channels.values()), fault=unreadable.sentence)
        return show(desk, View("price/lists/page.html", TITLE, PLACE, view), 422)
    if kind in files.KINDS and made.channel is not None:
        return files.answer(made.sheet(), kind, ("price list", made.channel.name), desk.formats)
    return show(desk, View("price/lists/page.html", TITLE, PLACE, made.view()))


@router.get(addresses.PRICE_LIST_HOW)
def how(desk: DeskNow, asked: AskedNow, product: ProductIdent, figure: str) -> Response:
    """The sum behind a figure of a list."""
    try:
        made = Made.of(desk, asked)
    except Unreadable:
        raise NotFound from None
    found = made.working(product, figure)
    view = HowView(made.address, found)
    return show(desk, View("price/lists/how.html", found.title, PLACE, view))


@dataclass(frozen=True, slots=True)
class HowView:
    """A figure's sum, and the list that it is from."""

    href: str
    working: Working


@dataclass(frozen=True, slots=True)
class Made:
    """A list as it is asked for, what was left open filled in: the book of its day, a channel if any is there."""

    desk: Desk
    asked: Asked
    day: date
    known: Reckoning
    channel: Channel | None

    @classmethod
    def of(cls, desk: Desk, asked: Asked) -> Made:
        """Unreadable where the day is none."""
        day = limits.DAY.read(asked.day, Notation()) if asked.day else desk.day
        known = desk.reckoning if day == desk.book.day else desk.store.snapshot(day).reckoning
        channel = _chosen(known, asked.channel)
        ident = str(channel.id) if channel else ""
        parts = asked.parts if asked.ticked == ident else PARTS
        if channel is None or channel.kind != "wholesale":
            parts = ()
        return cls(
            desk, replace(asked, channel=ident, day=day.isoformat(), parts=parts, ticked=ident), day, known, channel
        )

    @property
    def of_core(self) -> ListAsked:
        """The same as the core is asked."""
        ident = self.channel.id if self.channel else 0
        per = Decimal(self.asked.per) if self.asked.per else None
        return ListAsked(ident, self.asked.order, self.asked.suggested, per if per in PER else None)

    @property
    def address(self) -> str:
        """Where this list is."""
        return f"{addresses.PRICE_LISTS}?{self.asked.query()}"

    def sheet(self) -> filled_sheets.Sheet:
        """The list as a sheet."""
        found = price_list(self.known, self.of_core)
        return sheet_of(found, self.asked.parts, list_words.of(self.desk.formats, self.known.book, found))

    def working(self, product: int, figure: str) -> Working:
        """The sum behind a figure; NotFound where the list does not say it."""
        rows = self.known.rows(product) if product in self.known.book.products else ()
        row = next((one for one in rows if one.channel == self.of_core.channel), None)
        if row is None or figure not in FIGURES or not isinstance(row.price, Decimal):
            raise NotFound
        found = working(self.known, row, self.of_core, figure)
        if found is None:
            raise NotFound
        return found

    def view(self) -> ListsView:
        """What stands on the page."""
        channels = _channels(self.known.book.channels.values())
        if self.channel is None:
            return ListsView(self.asked, channels, bool(self.desk.things("channel")))
        found, sheet = price_list(self.known, self.of_core), self.sheet()
        hrefs = [self._hrefs(one.product) for one in found.rows]
        return ListsView(
            self.asked,
            channels,
            parts=tuple(PART_WORDS.items()) if found.wholesale else (),
            drawn=filled_sheets.drawn(self.desk.formats, found, sheet, hrefs),
            left_off=tuple(
                LeftOff(one.name, addresses.thing("product", one.product), one.gap.reason, addresses.href(one.gap.cure))
                for one in found.left_off
            ),
            files=files.links(self.address, self.desk.formats),
            channel=self.channel.name,
            contact_href=addresses.edit("workshop", 1, "contact"),
            terms_href=addresses.edit("channel", self.channel.id, "list_terms"),
        )

    def _hrefs(self, product: int) -> dict[str, str]:
        query = self.asked.query()
        return {one: f"{addresses.PRICE_LIST_HOW.format(product=product, figure=one)}?{query}" for one in FIGURES}


def _chosen(known: Reckoning, asked: str) -> Channel | None:
    """The channel of that number; else the first for shops, else the first of all."""
    there = [one for one in known.book.channels.values() if one.retired is None]
    there.sort(key=lambda one: (one.kind != "wholesale", limits.name_key(one.name)))
    return next((one for one in there if str(one.id) == asked), there[0] if there else None)


def _channels(channels: Iterable[Channel]) -> tuple[tuple[str, str], ...]:
    there = [one for one in channels if one.retired is None]
    return tuple((str(one.id), one.name) for one in sorted(there, key=lambda one: limits.name_key(one.name)))
