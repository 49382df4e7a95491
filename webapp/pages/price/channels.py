"""Channels and what selling there costs, with a worked jar beside the form that moves as the settings move."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp.costing import price_working
from webapp.costing.book import Book, Channel
from webapp.costing.changes import Put, Restore, Retire, apply
from webapp.costing.gaps import Figure
from webapp.costing.line import Row
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import HELD_UP
from webapp.costing.working import Working
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.dated import from_today
from webapp.pages.drawn import Form
from webapp.pages.filled_in import Fill
from webapp.pages.forms import TypedNow
from webapp.pages.needs import Need, next_step
from webapp.pages.opened_sums import opened_elsewhere
from webapp.pages.price import channel_names, channel_past
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "price"
WORKED = f"{addresses.LIST['channel']}/worked"
WORKED_ONE = f"{addresses.ONE['channel']}/worked"
KINDS, TAXES = list(channel_past.KINDS.items()), list(channel_past.TAXES.items())
STARTS = {"jars_per_order": "1"}
#: what a channel is called beside its form until its name is typed
UNNAMED = "this channel"
#: the figures of the worked jar
OPENED = ("suggested", "cost", "fees")


@dataclass(frozen=True, slots=True)
class ChannelsView:
    """What stands on the list of channels."""

    rows: tuple[Channel, ...]
    retired: tuple[Channel, ...]
    words: dict[str, str]
    next_step: Need | None


@dataclass(frozen=True, slots=True)
class HeldUp:
    """A channel whose suggestion is above what its target alone would ask, so that no stockist is undercut there."""

    name: str
    alone: Figure
    suggested: Figure
    here: bool


@dataclass(frozen=True, slots=True)
class WorkedJar:
    """A jar priced by what is typed."""

    product: str
    row: Row
    hows: dict[str, Working]
    held_up: tuple[HeldUp, ...] = ()


@dataclass(frozen=True, slots=True)
class ChannelView:
    """What stands beside the form of a channel."""

    kinds: list[tuple[str, str]]
    taxes: list[tuple[str, str]]
    people: list[tuple[str, str]]
    jar: WorkedJar | None
    target: Decimal
    products: bool
    worked_href: str = WORKED
    record: Channel | None = None
    past: tuple[channel_past.Day, ...] = ()
    retire: Form | None = None
    restore: Form | None = None
    fills: tuple[Fill, ...] = ()

    def used(self, form: Form, *names: str) -> bool:
        """Whether one of these fields says anything but what it starts with: 0, nothing, one jar."""
        return any(form.value(name).strip("0.,") not in ("", STARTS.get(name)) for name in names)


@router.get(addresses.LIST["channel"])
def channels(desk: DeskNow) -> Response:
    """Where jars are sold; a sheet of the maker's own that waits for it is gone on with from here."""
    view = ChannelsView(
        desk.things("channel"), desk.things("channel", retired=True), channel_past.KINDS, next_step(desk)
    )
    half = drafts.half_entered(desk, "channel", "own")
    return show(desk, View("price/channels/list.html", "Channels", PLACE, view, more=half))


def form_page(
    desk: Desk, form: Form, record: Channel | None = None, read: Channel | None = None, fills: tuple[Fill, ...] = ()
) -> View:
    """The form of a channel; `read` is what was typed, where it could be read, and `fills` what the answer adds."""
    people = desk.options("person", *(work.person for work in record.work)) if record else desk.options("person")
    view = ChannelView(
        KINDS,
        TAXES,
        people,
        worked(desk, read or record),
        desk.book.terms.target,
        bool(desk.things("product")),
        _worked_href(record),
        record,
        fills=fills,
    )
    if record is not None:
        retire, restore = forms.putting_away(desk, "channel", record.id)
        facts = [fact for fact in desk.store.facts("channel", record.id) if isinstance(fact, Channel)]
        past = channel_past.days(desk.formats, desk.book.people, facts)
        view = replace(view, past=past, retire=retire, restore=restore)
    title = record.name if record else "A new channel"
    return View("price/channels/form.html", title, PLACE, view, form, "price/channels/_form.html")


def _worked_href(record: Channel | None) -> str:
    return WORKED if record is None else WORKED_ONE.format(ident=record.id)


def worked(desk: Desk, channel: Channel | None) -> WorkedJar | None:
    """A product as it would be priced there: the first that is sold there, else the first of all."""
    products = desk.things("product")
    if channel is None or not products:
        return None
    sold_there = [one for one in products if not one.channels or channel.id in one.channels]
    product = replace((sold_there or list(products))[0], channels=())
    after = apply(desk.book, Put(channel))
    if not isinstance(after, Book):
        return None
    after = replace(after, products={**after.products, product.id: product})
    if channel.id not in after.channels or after.channels[channel.id].retired is not None:
        return None
    known = Reckoning(after, desk.reckoning)
    row = known.row(product.id, channel.id)
    return WorkedJar(product.name, row, _hows(known, row), held_up(known, product.id, channel.id))


def _hows(known: Reckoning, row: Row) -> dict[str, Working]:
    """The figures of the worked jar, opened; what it costs only at its own figure, since the others are made of it."""
    suggested, cost, fees = (price_working.working(known, row, figure) for figure in OPENED)
    return {
        "suggested": opened_elsewhere(suggested, [cost], "opened below"),
        "cost": cost,
        "fees": opened_elsewhere(fees, [suggested, cost], "opened above"),
    }


def held_up(known: Reckoning, product: int, channel: int) -> tuple[HeldUp, ...]:
    """The product's channels that shops hold up: of a wholesale channel all of them, else that channel alone."""
    book = known.book
    shops = book.channels[channel].kind == "wholesale"
    return tuple(
        HeldUp(book.channels[row.channel].name, row.suggested_alone, row.suggested, row.channel == channel)
        for row in known.rows(product)
        if HELD_UP in row.marks and (shops or row.channel == channel)
    )


@router.get(addresses.NEW["channel"])
def new_channel(desk: DeskNow, kind: Annotated[str, Query()] = "") -> Response:
    """A form for another channel, of the kind that the address names."""
    read = Channel(forms.NEW_ID, UNNAMED, desk.today)
    if kind in channel_past.KINDS:
        read = replace(read, kind=kind)
    blank = channel_names.with_name(desk, forms.blank(desk, "channel", kind=read.kind))
    return drafts.again(desk, create_channel) or show(desk, form_page(desk, blank, read=read))


@router.post(WORKED)
def worked_jar(desk: DeskNow, typed: TypedNow) -> Response:
    """The worked jar for what is typed so far. Nothing is stored."""
    return _worked(desk, typed)


@router.post(WORKED_ONE)
def worked_jar_there(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """The same beside a channel that is kept already: its name is its own and not taken."""
    desk.thing("channel", ident)
    return _worked(desk, typed, ident)


def _worked(desk: Desk, typed: Typed, ident: int | None = None) -> Response:
    name = str(typed.data.get("name", ""))
    if not name.strip():  # a price does not wait for the name
        typed = replace(typed, data={**typed.data, "name": UNNAMED})
    reading = forms.read(desk, typed, "channel", ident)
    name_now = channel_names.proposed(desk, reading.form.value("kind"))
    is_new = ident is None and name != name_now and channel_names.as_proposed(desk, name)
    fills = (Fill("name", name_now, name),) if is_new else ()
    view = form_page(desk, reading.form, read=reading.record, fills=fills)
    return show(desk, replace(view, template="price/channels/_live.html", fragment="price/channels/_live.html"))


@router.post(addresses.LIST["channel"])
def create_channel(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new channel; without a name as its kind is called."""
    return forms.save(desk, channel_names.named(desk, typed), "channel", form_page, to=_to_channels, sent=typed)


@router.get(addresses.ONE["channel"])
@router.get(addresses.EDIT["channel"])
def edit_channel(desk: DeskNow, ident: Ident) -> Response:
    """The form of one channel."""
    channel = desk.thing("channel", ident)
    form = forms.filled(desk, "channel", from_today(desk, channel))
    return drafts.again(desk, change_channel, ident) or show(desk, form_page(desk, form, channel))


@router.post(addresses.ONE["channel"])
def change_channel(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a channel from its day on."""

    def draw(desk: Desk, form: Form) -> View:
        read = forms.read(desk, typed, "channel", ident).record
        return form_page(desk, form, desk.thing("channel", ident), read)

    return impact.save(desk, typed, "channel", draw, ident, why="After another channel", to=_to_channels)


@router.post(addresses.RETIRE["channel"])
def retire_channel(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a channel away; its rows leave the line."""
    return forms.act(desk, typed, Retire("channel", ident, desk.today), to=addresses.listing("channel"))


@router.post(addresses.RESTORE["channel"])
def restore_channel(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a channel back."""
    return forms.act(desk, typed, Restore("channel", ident))


def _to_channels(ident: int) -> str:
    del ident
    return addresses.listing("channel")
