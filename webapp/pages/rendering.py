"""The one template environment, what every page is given, and the answer that a page becomes.

A route opens a `Desk` (the book as it holds on a day, and how the workshop writes), makes a `View` and shows it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from contextvars import ContextVar
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache
from typing import Annotated, Any

from fastapi import Depends
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse

from webapp import STATIC, resource_dir
from webapp.costing import limits
from webapp.costing.amounts import Notation, Unreadable
from webapp.costing.book import EVENTS, KINDS, SHELVES, Book
from webapp.costing.reckoning import Reckoning
from webapp.errors import Busy, Fault, NotFound, Unprocessable
from webapp.pages import addresses
from webapp.pages.allowed import as_allowed
from webapp.pages.as_of import AsOf, as_of, has_days, stay_on
from webapp.pages.compiled import CompiledTemplates
from webapp.pages.data.outside import about_the_data
from webapp.pages.done import NOTHING_DONE, Done, what_was_done
from webapp.pages.formats import FILTERS, Formats, age, current, formats_of
from webapp.pages.plates import AT_HOME, Plate, Whereabouts, plate_of, whereabouts_of
from webapp.pages.sums import set_out
from webapp.store.opening import Store
from webapp.store.snapshots import Snapshot

#: whether the page that is being rendered shows another day: then no act is offered, wherever it is written
looking_back: ContextVar[bool] = ContextVar("looking_back", default=False)
VARY = {"Vary": "HX-Request, HX-Request-Type"}


def whole_number(text: str) -> int:
    """An identity in an address; anything but 1 to 9 digits without a leading zero is no page."""
    if not (text.isascii() and text.isdigit() and len(text) <= 9 and text[0] != "0"):
        raise NotFound
    return int(text)


# Taken from the path by hand: a parameter that is declared costs a validator for each of a hundred routes. What waits
# for nothing is `async`: anything else is asked in a thread, and on a busy machine each way there and back takes long.
async def _ident(request: Request) -> int:
    return whole_number(request.path_params["ident"])


async def _product(request: Request) -> int:
    return whole_number(request.path_params["product"])


async def _channel(request: Request) -> int:
    return whole_number(request.path_params["channel"])


Ident = Annotated[int, Depends(_ident)]
ProductIdent = Annotated[int, Depends(_product)]
ChannelIdent = Annotated[int, Depends(_channel)]


# --- the desk


@dataclass(frozen=True, slots=True)
class HalfEntered:
    """What is said of what was typed on this page and not saved. `others` are half entered there too."""

    form: str
    page: str
    words: str
    others: tuple[tuple[str, str], ...] = ()
    anew: str = addresses.ANEW


@dataclass(frozen=True)
class Desk:
    """What a route works with: one snapshot of the data, the day it shows, and how the workshop writes."""

    request: Request
    store: Store
    snapshot: Snapshot
    today: date
    on: date | None
    formats: Formats
    draft: HalfEntered | None = None

    @property
    def book(self) -> Book:
        """All facts as they hold on `day`."""
        return self.snapshot.book

    @property
    def reckoning(self) -> Reckoning:
        """The answers of the core about that book."""
        return self.snapshot.reckoning

    @property
    def day(self) -> date:
        """The day that is shown."""
        return self.on or self.today

    @property
    def read_only(self) -> bool:
        """Whether another day than today is looked at: nothing can be changed there."""
        return self.on is not None

    def at(self, href: str) -> str:
        """The address, on the day that is looked at."""
        path, mark, anchor = href.partition("#")
        return f"{path}{'&' if '?' in path else '?'}on={self.on}{mark}{anchor}" if self.on else href

    @property
    def notation(self) -> Notation:
        """How numbers are typed."""
        return self.formats.notation()

    @property
    def partial(self) -> bool:
        """Whether a part of the page is wanted and not the whole (the back button asks for the whole)."""
        headers = self.request.headers
        return headers.get("HX-Request") == "true" and headers.get("HX-Request-Type") == "partial"

    def thing(self, kind: str, ident: int = 1) -> Any:
        """The record of that kind and number; NotFound where there is none."""
        shelf = getattr(self.book, SHELVES[KINDS[kind]][1])
        if not isinstance(shelf, Mapping):
            return shelf
        if ident not in shelf:
            raise NotFound
        return shelf[ident]

    def things(self, kind: str, *, retired: bool = False) -> tuple[Any, ...]:
        """The things of a kind by name (those without one: newest first); without the retired ones, or only those."""
        found = getattr(self.book, SHELVES[KINDS[kind]][1]).values()
        if kind in EVENTS:
            return tuple(sorted(found, key=lambda one: (getattr(one, "day", None) or one.since, one.id), reverse=True))
        kept = (one for one in found if (one.retired is not None) == retired)
        return tuple(sorted(kept, key=lambda one: limits.name_key(one.name)))

    def options(self, kind: str, *chosen: int | None) -> list[tuple[str, str]]:
        """The things of a kind as a chooser offers them; a retired one only where it is `chosen` already."""
        shelf = getattr(self.book, SHELVES[KINDS[kind]][1])
        old = [shelf[one] for one in chosen if one in shelf and shelf[one].retired is not None]
        return [(str(one.id), one.name) for one in (*self.things(kind), *dict.fromkeys(old))]


def open_desk(request: Request) -> Desk:
    """The desk of this request. `?on=` shows another day, for reading only."""
    store = request.app.state.store
    if store is None:
        raise Busy
    today = request.app.state.today()
    on = asked_day(request) if has_days(request) else None
    snapshot = store.snapshot(on or today)
    if request.app.state.upkeep is not None:
        request.app.state.upkeep.used(today)
    return Desk(request, store, snapshot, today, on, formats_of(snapshot.book.workshop))


DeskNow = Annotated[Desk, Depends(open_desk)]


def asked_day(request: Request) -> date | None:
    """The day of `?on=`, if it is named."""
    text = request.query_params.get("on", "")
    if not text:
        return None
    try:
        return limits.DAY.read(text, Notation())
    except Unreadable as unreadable:
        raise Unprocessable([Fault("on", unreadable.code, unreadable.sentence)]) from None


# --- what a template is given


@dataclass(frozen=True, slots=True)
class View:
    """A page to show: its template, what is on it, and the fragment that htmx swaps."""

    template: str
    title: str
    place: str = ""
    view: object = None
    form: object = None
    fragment: str = ""
    notices: tuple[str, ...] = ()
    more: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PageFrame:
    """What stands on every page."""

    title: str
    place: str
    workshop_name: str = ""
    notices: tuple[str, ...] = ()
    done: Done = NOTHING_DONE
    on_day: str = ""
    draft: HalfEntered | None = None
    as_of: AsOf | None = None
    places: tuple[tuple[str, str, str], ...] = addresses.PLACES
    lang: str = "en"
    day: str = ""
    plate: Plate | None = None
    where: Whereabouts = AT_HOME


@lru_cache(maxsize=128)
def asset(path: str) -> str:
    """The address of a static file, with a mark of its content so that a browser may keep it."""
    content = (resource_dir("static") / path).read_bytes()
    return f"{STATIC}{path}?v={hashlib.sha256(content).hexdigest()[:12]}"


def _filter(name: str) -> Any:
    def formatted(*args: Any) -> str:
        return str(getattr(current.get(), name)(*args))

    return formatted


@lru_cache(maxsize=1)
def environment() -> Environment:
    """Our own: everything is escaped, whatever a file is called, and a name that is missing is an error."""
    folder = resource_dir("templates")
    made = Environment(
        loader=FileSystemLoader(folder),
        bytecode_cache=CompiledTemplates(folder),
        autoescape=True,
        undefined=StrictUndefined,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(asset=asset, where=addresses.href, href=addresses.link, set_out=set_out)
    made.globals.update(looking_back=looking_back.get)
    made.filters.update({name: _filter(name) for name in FILTERS}, age=age)
    return made


def render(formats: Formats, template: str, **context: object) -> str:
    """A template as text, its figures as `formats` writes them."""
    token, past = current.set(formats), looking_back.set(bool(getattr(context.get("page"), "on_day", "")))
    try:
        return environment().get_template(template).render(**context)
    finally:
        current.reset(token)
        looking_back.reset(past)


def show(desk: Desk, view: View, status: int = 200) -> HTMLResponse:
    """The answer: the whole page, or the fragment where htmx asks for part of it."""
    if desk.on is not None and getattr(view.form, "action", desk.request.url.path) != desk.request.url.path:
        view = View("home/only_today.html", view.title, view.place)
    frame = frame_of(desk, view)
    context = {**view.more, "page": frame, "view": view.view, "form": view.form}
    template = view.fragment if desk.partial and view.fragment else view.template
    text = as_allowed(render(desk.formats, template, **context), desk.request, desk.store)
    return HTMLResponse(stay_on(text, desk.on) if desk.on else text, status, headers=VARY)


def frame_of(desk: Desk, view: View) -> PageFrame:
    """What stands round a view: the place it is in, what was just done, the day that is shown."""
    done = NOTHING_DONE if desk.partial else what_was_done(desk)
    on_day = f"As it was on {desk.formats.day(desk.on)}." if desk.on else ""
    asked, day = as_of(desk.request, desk.on), desk.formats.day(desk.day)
    name, places = desk.book.workshop.name, places_of(desk)
    notices, request = (*about_the_data(desk), *view.notices), desk.request
    return replace(
        PageFrame(view.title, view.place, name, notices, done, on_day, desk.draft, asked, places, day=day),
        plate=plate_of(request),
        where=whereabouts_of(request),
    )


def places_of(desk: Desk) -> tuple[tuple[str, str, str], ...]:
    """The places; while another day is looked at they stay on that day."""
    if desk.on is None:
        return addresses.PLACES
    return tuple((key, label, f"{href}?on={desk.on}") for key, label, href in addresses.PLACES)
