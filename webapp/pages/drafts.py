"""Half-entered forms: what is typed is kept while it is typed, and stands in the form again when its page is opened.

A script sends what is typed (`static/js/drafts.js`); without one, whatever is sent and not stored is kept. A page is
drawn again by its own way from what was typed to the form, as if more lines had been asked for.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from webapp.costing.book import KINDS, SHELVES
from webapp.errors import Fault, Problem, Unprocessable
from webapp.pages import addresses
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk, DeskNow, HalfEntered, View, show
from webapp.pages.typed import Typed, TypedNow, flat, nested
from webapp.routes import Routes
from webapp.store import arriving
from webapp.store.drafts import Draft, Turn

router = Routes()
#: the long forms, and what each is about in a sentence
NOUNS = {
    "order": "order",
    "material": "material",
    "quote": "quote",
    "formula": "formula",
    "product": "product",
    "batch": "batch",
    "channel": "channel",
    "group": "group of parts",
    "packs": "question which packs to buy",
    "check": "answers about old prices",
    "own": "sheet of your own",
    "size": "question about another size",
}
#: the forms that are a place of their own, and about no single thing
ROOMS = {addresses.PACKS: "packs", addresses.CHECK: "check", addresses.SIZE: "size"}
#: what the form is drawn again for: it is opened, or it is to be kept for later
AGAIN, KEEP = ONLY_KEPT = "again", "keep"
IT_IS_KEPT = "It is kept until you save it, and stands here again when you come back."
#: what an address may say that a new form starts from
STARTS = ("like", "material", "supplier", "formula")
NUMBER = re.compile(r"[1-9][0-9]{0,8}", re.ASCII)
EPOCH = re.compile(r"[0-9A-Za-z]{1,64}", re.ASCII)
MOST_VERSIONS = 10**9
TURN = re.compile(r"([0-9a-f]{24})-([1-9][0-9]{0,8})", re.ASCII)
PAGE = re.compile(
    r"(/[a-z]+){2}(/(?P<ident>[1-9][0-9]{0,8}))?/(?P<act>new|edit|copy|paste)"
    rf"(\?({'|'.join(STARTS)})=[1-9][0-9]{{0,8}})?",
    re.ASCII,
)
ROOM = re.compile(rf"(?P<path>{'|'.join(ROOMS)})(\?({'|'.join(STARTS)})=[1-9][0-9]{{0,8}})?", re.ASCII)
#: the page of a sheet that waits to be saved
SHEET = re.compile(addresses.own_sheet("[0-9a-f]{32}"), re.ASCII)
#: what of a half-entered form is called by name where it is offered: its own name, or what stands in its lines
CALLED = re.compile(r"name|[a-z]+-[0-9]+-material", re.ASCII)
MOST_CALLED = 3
#: how many sheets that were not looked through yet are offered
MOST_SHEETS = 3
SHEET_GOES = "It goes from here for good; your own file is not changed, nor anything that was saved."


def page_of(request: Request) -> str:
    """The address of the form that is open, the same however it was come to."""
    path = request.url.path
    if NUMBER.fullmatch(path.rpartition("/")[2]):
        path += "/edit"  # the page of a channel is its form
    for name in STARTS:
        text = request.query_params.get(name, "")
        if NUMBER.fullmatch(text):
            return f"{path}?{name}={text}"
    return path


def kind_of(page: str) -> str:
    """What the form of a page is about; "" where it is no page of ours whose typing is kept."""
    if SHEET.fullmatch(page):
        return "own"
    room = ROOM.fullmatch(page)
    kind = addresses.kind_at(page) if PAGE.fullmatch(page) else ROOMS[room["path"]] if room else ""
    return kind if kind in NOUNS else ""


def marked(desk: Desk, kind: str, form: Form) -> Form:
    """The form with a mark of its own, where what is typed in it is kept."""
    page = page_of(desk.request)
    if desk.read_only or kind not in NOUNS or kind_of(page) != kind:
        return form
    return replace(form, draft=new_token(), page=page)


# --- keeping


def _draft(typed: Typed, texts: Mapping[str, str]) -> Draft:
    """What is kept of a form. Unprocessable where it doesn't say what it is a form of."""
    kind, version = kind_of(typed.page), typed.version
    named = kind and typed.draft and typed.token and EPOCH.fullmatch(typed.epoch)
    if not named or version is None or version > MOST_VERSIONS:
        raise Unprocessable([Fault("", "no-form", "This is no form whose typing is kept. Open its page once more.")])
    return Draft(typed.draft, kind, typed.page, texts, datetime.now(UTC), typed.epoch, version)


def _turn(typed: Typed) -> Turn | None:
    """Which word of its page this is; None where no script counted it."""
    found = TURN.fullmatch(typed.turn)
    return Turn(found[1], int(found[2])) if found else None


def _kept(desk: Desk, typed: Typed, texts: Mapping[str, str]) -> str:
    """Keep the texts of a form; "", or why that could not be done."""
    try:
        desk.store.keep_draft(_draft(typed, texts), typed.token, _turn(typed))
    except Problem as problem:
        return f"What you typed is still here, but it could not be kept for later. {problem.sentence}"
    return ""


def shown_again(desk: Desk, typed: Typed, view: View, status: int = 200, *, as_sent: bool = False) -> Response:
    """A form that comes back unsaved, what stands in it kept. Where it can't be kept it comes back all the same.

    `as_sent` keeps what was sent, where the form that is drawn holds more than anybody typed.
    """
    is_typed = kind_of(typed.page) != "own"  # of a sheet that was sent it is said at once what is wrong
    if typed.more in ONLY_KEPT and is_typed and isinstance(view.form, Form):
        view = replace(view, form=replace(view.form, faults=()))  # nobody has asked yet whether it is right
    if desk.draft is not None or not (typed.draft or typed.more == KEEP):
        return show(desk, view, status)
    trouble = _kept(desk, typed, flat(typed.data) if as_sent else _texts(view, typed))
    if typed.more == KEEP and trouble:
        view = replace(view, notices=(*view.notices, trouble))
    elif typed.more == KEEP:
        desk = replace(desk, draft=HalfEntered(typed.draft, typed.page, IT_IS_KEPT))
    return show(desk, view, status)


def _texts(view: View, typed: Typed) -> dict[str, str]:
    """What stands in a form that is drawn, and what it carries unseen (decisions about prices)."""
    if not isinstance(view.form, Form):
        return flat(typed.data)
    unseen: Any = view.more.get("answers", ())
    return {**dict(unseen), **view.form.texts}


def forget(desk: Desk, typed: Typed) -> None:
    """Nothing of this form is half entered any more. One that can't be forgotten goes by its age."""
    if typed.draft:
        with suppress(Problem):
            desk.store.drop_draft(typed.draft, _turn(typed))


@router.post(addresses.DRAFTS)
def keep(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep what is typed so far. Nothing of the book is changed."""
    desk.store.keep_draft(_draft(typed, flat(typed.data)), typed.token, _turn(typed))
    return Response(status_code=204)


@router.post(addresses.ANEW)
def start_anew(desk: DeskNow, typed: TypedNow) -> Response:
    """Forget what was half entered, and show its page without it."""
    if typed.draft:
        desk.store.drop_draft(typed.draft, _turn(typed))
    return RedirectResponse(typed.page if kind_of(typed.page) else addresses.HOME, 303)


@router.post(addresses.THROWN)
def throw_away(desk: DeskNow, typed: TypedNow) -> Response:
    """Forget what was half entered, and show the list again that offered it."""
    if typed.draft:
        desk.store.drop_draft(typed.draft, _turn(typed))
    sheet = str(typed.data.get("sheet", ""))
    if SHEET.fullmatch(addresses.own_sheet(sheet)):
        arriving.forget(desk.request.app.state.settings.data, sheet)
    there = (*addresses.LIST.values(), addresses.OWN, addresses.SETTINGS)
    listed = typed.page if typed.page in there else addresses.HOME
    return RedirectResponse(listed, 303)


# --- coming back


def again(desk: Desk, then: Callable[..., Response], *more: object) -> Response | None:
    """The page with what was half entered on it, as `then` draws what was typed; None where there is nothing."""
    page = page_of(desk.request)
    found = desk.store.drafts(page=page) if kind_of(page) and not desk.read_only else ()
    if not found:
        return None
    named = desk.request.query_params.get("draft", "")
    draft = next((one for one in found if one.form == named), found[0])
    others = tuple((_day_and_time(desk, one), _href(one)) for one in found if one is not draft)
    note = HalfEntered(draft.form, page, _left(desk, draft), others)
    return then(replace(desk, draft=note), _typed(draft), *more)


def _typed(draft: Draft) -> Typed:
    """The draft as if it was just sent. It has no token yet: one that was used would not save it."""
    texts = nested(draft.texts)
    return Typed(texts, "", draft.epoch, draft.version, more=AGAIN, draft=draft.form, page=draft.page)


def _left(desk: Desk, draft: Draft) -> str:
    """When it was left, and whether what it is about was changed after it was opened."""
    day, time = _moment(desk, draft)
    yet = "asked" if draft.kind == "size" else "saved"
    words = f"You were typing this {f'on {day} ' if day else ''}at {time}. It is in the form again, not {yet} yet."
    found = PAGE.fullmatch(draft.page)
    ident = int(found["ident"] or 0) if found and found["act"] == "edit" else 0
    if desk.snapshot.moved.get((draft.kind, ident), 0) <= draft.version:
        return words
    return f"{words} What it changes was changed elsewhere since; saving shows both."


@dataclass(frozen=True, slots=True)
class Waiting:
    """A form that was not saved, where it is offered: what it is, its address, and what throwing it away takes."""

    words: str
    href: str
    form: str
    goes: str
    listed: str
    thrown: str = addresses.THROWN
    sheet: str = ""
    """The token of a file that goes with it."""
    what: str = ""
    """What is gone on with, where it has a name."""


def half_entered(desk: Desk, *kinds: str) -> dict[str, tuple[Waiting, ...]]:
    """What is said of forms of these kinds, or of any, that were not saved, the newest first; as `half`."""
    found = () if desk.read_only else desk.store.drafts(kinds=kinds or tuple(NOUNS))
    told = ((_words(desk, one), one) for one in found)
    half = tuple(_waiting(desk, words, one) for words, one in told if words)
    return {"half": (*half, *(_unread(desk, {one.sheet for one in half}) if not kinds or "own" in kinds else ()))}


def _unread(desk: Desk, begun: Collection[str]) -> Iterator[Waiting]:
    """Sheets of the maker's own that came and of which nothing was answered yet."""
    every = () if desk.read_only else arriving.waiting(desk.request.app.state.settings.data, arriving.SHEET)
    for one in [one for one in every if one.token not in begun][:MOST_SHEETS]:
        there = one.when.astimezone()
        day = "" if there.date() == desk.today else f"{desk.formats.day(there.date())}, "
        words, href = f"A sheet of yours waits, from {day}{there:%H:%M}", addresses.own_sheet(one.token)
        yield Waiting(words, href, "", SHEET_GOES, desk.request.url.path, sheet=one.token, what=one.name)


def _waiting(desk: Desk, words: str, draft: Draft) -> Waiting:
    said = f"{words}, from {_day_and_time(desk, draft)}"
    sheet = draft.page.rpartition("/")[2] if SHEET.fullmatch(draft.page) else ""
    return Waiting(said, _href(draft), draft.form, _goes(draft), desk.request.url.path, sheet=sheet)


def _goes(draft: Draft) -> str:
    """What is thrown away with it, in a sentence: by the names that were typed where there are any."""
    called = [text.strip() for at, text in draft.texts.items() if CALLED.fullmatch(at) and not text.strip().isdigit()]
    names = list(dict.fromkeys(name for name in called if name))
    more = len(names) - MOST_CALLED
    words = ", ".join(names[:MOST_CALLED]) + (f" and {more} more" if more > 0 else "")
    return f"What was typed here{f' ({words})' if words else ''} goes for good; nothing that was saved changes."


def _words(desk: Desk, draft: Draft) -> str:
    """What is half entered; "" where the thing that it is about is not there any more."""
    found = PAGE.fullmatch(draft.page)
    noun = NOUNS[draft.kind]
    if draft.kind == "own":
        waits = (datetime.now(UTC) - draft.when).total_seconds() < arriving.MOST_SECONDS
        name = draft.texts.get("file", "")
        return f"A half-read {noun}{f' ({name})' if name else ''}" if waits else ""
    if draft.kind in ROOMS.values():
        return f"{'Half-entered' if draft.kind == 'check' else 'A half-entered'} {noun}"
    if found is None or found["act"] == "paste":
        return "One half-entered list of starting prices"
    if found["ident"] is None:
        return f"One half-entered {noun}"
    ident = int(found["ident"])
    held = getattr(desk.book, SHELVES[KINDS[draft.kind]][1]).get(ident)
    if held is None and not desk.store.facts(draft.kind, ident):
        return ""
    day = getattr(held, "day", None)
    name = getattr(held, "name", f"the {noun} of {desk.formats.day(day)}" if day else f"one {noun}")
    return f"One half-entered {noun} like {name}" if found["act"] == "copy" else f"Half-entered changes to {name}"


def _moment(desk: Desk, draft: Draft) -> tuple[str, str]:
    """Day and time when it was typed last, by the clock of this computer; "" for today."""
    there = draft.when.astimezone()
    return "" if there.date() == desk.today else desk.formats.day(there.date()), there.strftime("%H:%M")


def _day_and_time(desk: Desk, draft: Draft) -> str:
    return ", ".join(part for part in _moment(desk, draft) if part)


def _href(draft: Draft) -> str:
    return f"{draft.page}{'&' if '?' in draft.page else '?'}draft={draft.form}"
