"""Forms: what a template draws, and one flow from what was typed to what is stored.

Read, say the faults at their fields, ask what must be asked, store once, go on. Whatever was typed is kept until then.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from starlette.responses import RedirectResponse, Response

from webapp.costing import limits
from webapp.costing.book import EVENTS, KINDS, SHELVES
from webapp.costing.changes import Change, Put, Restore, Retire, affected
from webapp.costing.checks import Question
from webapp.costing.describing import Many, Shape
from webapp.costing.entry import read as read_entry
from webapp.costing.entry import show as show_record
from webapp.costing.shapes import SHAPES
from webapp.door.asking import visitor_of
from webapp.errors import Conflict, MissingPrecondition, Problem, Questions, Stale, Unprocessable
from webapp.pages import addresses, drafts
from webapp.pages.dated import as_held
from webapp.pages.done import new_token
from webapp.pages.drawn import Form, defaults, field_at
from webapp.pages.rendering import VARY, Desk, View, show
from webapp.pages.typed import Typed, TypedNow, closed_up, flat
from webapp.store.moved import Moved
from webapp.store.writing import UNCHANGED, Intent

__all__ = [
    "Form",
    "Reading",
    "Typed",
    "TypedNow",
    "act",
    "blank",
    "filled",
    "press",
    "putting_away",
    "read",
    "save",
    "with_lines",
]

NEW_ID = -1
#: what a kind is called in a sentence
WORDS = {
    "workshop": "The workshop",
    "terms": "How we reckon",
    "person": "Who works",
    "bill": "Monthly bill",
    "supplier": "Supplier",
    "material": "Material",
    "order": "Order",
    "quote": "Quote",
    "formula": "Formula",
    "group": "Parts that go together",
    "product": "Product",
    "batch": "Batch",
    "channel": "Channel",
    "price": "Price",
    "target": "Target",
    "sales": "Jars a month",
    "review": "Price found still right",
}


# --- forms to start from


def blank(desk: Desk, kind: str, /, action: str = "", **values: Any) -> Form:
    """A form of a new thing; `values` are what its fields start with, as texts or nested texts."""
    shape = SHAPES[kind]
    texts = defaults(shape)
    if "currency" in texts:
        texts["currency"] = desk.book.workshop.currency
    if "since" in texts:
        texts["since"] = desk.today.isoformat()
    return _form(desk, kind, {**texts, **flat(values)}, action)


def filled(desk: Desk, kind: str, record: Any, action: str = "") -> Form:
    """A form with a record in it, its amounts as they are typed here."""
    return _form(
        desk, kind, _texts(desk, SHAPES[kind], record), action or addresses.thing(kind, getattr(record, "id", 0))
    )


def _texts(desk: Desk, shape: Shape, record: Any) -> dict[str, str]:
    """What stands in the fields of a record; money with the decimals of its own currency."""
    return flat(show_record(shape, record, desk.formats.notation(getattr(record, "currency", ""))))


def press(desk: Desk, action: str) -> Form:
    """A form without fields, for one button (retire, bring back, undo)."""
    return _form(desk, "", {}, action)


def putting_away(desk: Desk, kind: str, ident: int) -> tuple[Form, Form]:
    """The two buttons beside a thing: put it away, bring it back."""
    return (
        press(desk, addresses.thing(kind, ident, "retire")),
        press(desk, addresses.thing(kind, ident, "restore")),
    )


def _form(desk: Desk, kind: str, texts: Mapping[str, str], action: str) -> Form:
    shape = SHAPES[kind] if kind else Shape(object, ())
    where = action or addresses.create(kind)
    form = Form(where, shape, texts, new_token(), desk.snapshot.epoch, str(desk.snapshot.version))
    return drafts.marked(desk, kind, form)


# --- from typed to stored

Draw = Callable[[Desk, Form], View]


@dataclass(frozen=True, slots=True)
class Reading:
    """What reading a form gave: the record, None where it has faults, and the form to be drawn again."""

    record: Any
    form: Form


def read(
    desk: Desk,
    typed: Typed,
    kind: str,
    ident: int | None = None,
    given: Mapping[str, Any] | None = None,
    *,
    beside: Sequence[str] = (),
    action: str = "",
) -> Reading:
    """The record that was typed. `beside` are fields of the form that are not the record's. Nothing is stored."""
    shape = SHAPES[kind]
    data = closed_up(shape, typed.data)
    own = {name: value for name, value in data.items() if name not in beside}
    entry = read_entry(shape, own, desk.notation, today=desk.today, given=given or _identity(shape, ident))
    where = action or (addresses.create(kind) if ident is None else addresses.thing(kind, ident))
    form = Form(
        where,
        shape,
        flat(data),
        typed.token or new_token(),
        typed.epoch or desk.snapshot.epoch,
        "" if typed.version is None else str(typed.version),
        tuple((fault.field, fault.sentence) for fault in entry.faults),
        sure=typed.sure,
        draft=typed.draft,
        page=typed.page,
    )
    record = entry.record if entry.record is None else as_held(desk, kind, ident, entry.record)
    return Reading(record, form)


def _identity(shape: Shape, ident: int | None) -> dict[str, int]:
    return {"id": NEW_ID if ident is None else ident} if "id" in shape.given else {}


def save(
    desk: Desk,
    typed: Typed,
    kind: str,
    draw: Draw,
    ident: int | None = None,
    *,
    given: Mapping[str, Any] | None = None,
    changes: Callable[[Any], Sequence[Change]] | None = None,
    to: Callable[[int], str] | None = None,
    beside: Sequence[str] = (),
    action: str = "",
    why: str = "",
    sent: Typed | None = None,
    also: str = "",
    quiet: bool = False,
) -> Response:
    """Store what was typed and go on, or show the same form with what is wrong, and all that was typed still in it.

    `sent` is the form as it came, where `typed` was made from it: a second sending is known by all that it holds.
    `also` is what the history says of what else is stored with it; `quiet` says nothing where nothing was changed.
    """
    if ident is not None:
        desk.thing(kind, ident)
    reading = read(desk, typed, kind, ident, given, beside=beside, action=action)
    if typed.more or typed.less:
        return drafts.shown_again(desk, typed, draw(desk, with_lines(reading.form, typed)))
    if reading.record is None:
        return drafts.shown_again(desk, typed, draw(desk, reading.form), Unprocessable.status)
    wanted = tuple(changes(reading.record)) if changes else (Put(reading.record),)
    said = f"{WORDS[kind]} saved{_named(reading.record)}{also}"
    try:
        saved = desk.store.save(wanted, intent(desk, sent or typed, said, why), desk.today)
    except Questions as asked:
        return drafts.shown_again(desk, typed, draw(desk, asking(reading.form, asked)))
    except Problem as problem:
        return not_saved(desk, typed, draw, reading.form, problem)
    if saved.change == UNCHANGED:
        drafts.forget(desk, typed)
    number = saved.real(getattr(reading.record, "id", 0)) if ident is None else ident
    where = to(number) if to else addresses.thing(kind, number)
    return redirect(desk, where) if quiet and saved.change == UNCHANGED else go_on(desk, where, saved.change)


def asking(form: Form, asked: Questions) -> Form:
    """The form with what it has to be asked before it is saved."""
    found = tuple(Question(one.code, one.field, one.sentence, one.answer, one.pair) for one in asked.questions)
    return replace(form, questions=found, stopped=True)


def _named(record: Any) -> str:
    name = getattr(record, "name", "")
    return f": {name}" if name else ""


def intent(desk: Desk, typed: Typed, said: str, why: str = "") -> Intent:
    """What a save is sent with. MissingPrecondition where the form did not say what it was made from."""
    if typed.version is None or not typed.epoch or not typed.token:
        raise MissingPrecondition("This page did not say when it was opened. Look at it once more, then save again.")
    content = json.dumps([desk.request.url.path, flat(typed.data)], sort_keys=True)
    return Intent(
        said,
        why,
        visitor_of(desk.request.scope).mark,
        typed.token,
        hashlib.sha256(content.encode()).hexdigest(),
        typed.epoch,
        typed.version,
        typed.sure,
        typed.draft,
    )


def go_on(desk: Desk, where: str, change: int) -> Response:
    """To the page that shows what was done; it says so and offers to undo it, or that nothing was changed."""
    path, mark, anchor = where.partition("#")
    return redirect(desk, f"{path}{'&' if '?' in path else '?'}done={change}{mark}{anchor}")


def redirect(desk: Desk, href: str) -> Response:
    """To another page, in the way that the browser or htmx asked."""
    if desk.partial:
        return Response(status_code=200, headers={"HX-Redirect": href, **VARY})
    return RedirectResponse(href, 303, headers=VARY)


def not_saved(desk: Desk, typed: Typed, draw: Draw, form: Form, problem: Problem) -> Response:
    """The same form with what stood in the way. Where htmx asked, a trouble of the machine leaves the form alone."""
    if desk.partial and problem.status not in (409, 422, 428):
        raise problem
    faults = tuple((fault.field, fault.sentence) for fault in problem.faults) or (("", problem.sentence),)
    status = problem.status
    if isinstance(problem, Unprocessable) and all(fault.code == "duplicate" for fault in problem.faults):
        status = Conflict.status
    if isinstance(problem, Conflict | MissingPrecondition):
        desk = replace(desk, snapshot=desk.store.snapshot(desk.today))
        form = replace(form, token=new_token(), epoch=desk.snapshot.epoch, version=str(desk.snapshot.version))
    if isinstance(problem, Stale):
        faults = (("", f"{problem.sentence} At each field stands what it says now."), *_meanwhile(desk, form, problem))
    return drafts.shown_again(desk, typed, draw(desk, replace(form, faults=faults)), status)


def _meanwhile(desk: Desk, form: Form, stale: Stale) -> tuple[tuple[str, str], ...]:
    """At each field that differs, what was stored meanwhile: both versions stand side by side."""
    now = stale.after if isinstance(stale, Moved) else None
    if now is None or type(now) is not form.shape.record:
        return (("", "It is not there any more."),) if isinstance(stale, Moved) and now is None else ()
    stored = _texts(desk, form.shape, now)
    names = [*form.texts, *(name for name in stored if name not in form.texts)]
    return tuple(
        (name, f"It now says: {_readable(desk, form, name, stored.get(name, '')) or 'nothing'}.")
        for name in names
        if stored.get(name, "") != form.texts.get(name, "") and field_at(form.shape, name)
    )


def _readable(desk: Desk, form: Form, path: str, text: str) -> str:
    """A stored text as a person reads it: a thing by its name."""
    kind = getattr(field_at(form.shape, path), "kind", None)
    kind = kind.kind if isinstance(kind, Many) else kind
    if not isinstance(kind, limits.Reference) or not text:
        return text
    held = getattr(desk.book, SHELVES[KINDS[kind.kind]][1]).get(int(text))
    return getattr(held, "name", text)


def with_lines(form: Form, typed: Typed) -> Form:
    """The same form without faults, with more blank lines or one line fewer."""
    extra = {typed.more: 2} if typed.more else {}
    prefix, _, number = typed.less.rpartition("-")
    texts = form.texts
    if number.isdigit() and prefix:
        texts = _without_line(form.texts, prefix, int(number))
    return replace(form, texts=texts, faults=(), extra=extra)


def _without_line(texts: Mapping[str, str], prefix: str, gone: int) -> dict[str, str]:
    kept: dict[str, str] = {}
    for name, text in texts.items():
        number, _, rest = name[len(prefix) + 1 :].partition("-")
        if not name.startswith(f"{prefix}-") or not number.isdigit():
            kept[name] = text
        elif int(number) != gone:
            kept[f"{prefix}-{int(number) - (int(number) > gone)}" + (f"-{rest}" if rest else "")] = text
    return kept


def _ask(desk: Desk, typed: Typed, asked: Questions) -> Response:
    """A page with nothing but the questions: a button has no form of its own to ask in."""
    form = replace(asking(press(desk, desk.request.url.path), asked), token=typed.token, sure=typed.sure)
    return show(desk, View("home/sure.html", "Before it is done", form=form))


def _not_yet(desk: Desk, kind: str, ident: int) -> Response | None:
    """Why a thing of a day ahead can't be put away, with the button that takes it back; None where it is of today."""
    held = getattr(desk.book, SHELVES[KINDS[kind]][1])
    ahead = desk.store.not_yet(kind, ident, desk.today) if ident not in held else None
    if ahead is None:
        return None
    undo = press(desk, addresses.undo(ahead.made, kind))
    return show(desk, View("home/not_yet.html", "Not there yet", view=(ahead.sentence, undo)), ahead.status)


def act(desk: Desk, typed: Typed, *changes: Change, to: str = "", why: str = "", said: str = "") -> Response:
    """Store one act of a button (retire, bring back, withdraw) and go on. What stands against it is an error page."""
    kind, key = affected(changes[0])
    if isinstance(changes[0], Retire | Restore) and (ahead := _not_yet(desk, kind, changes[0].id)):
        return ahead
    words = {"Retire": "put away", "Restore": "brought back", "Withdraw": "taken back"}
    done = said or f"{WORDS[kind]} {words.get(type(changes[0]).__name__, 'saved')}"
    try:
        saved = desk.store.save(changes, intent(desk, typed, done, why), desk.today)
    except Questions as asked:
        return _ask(desk, typed, asked)
    if to:
        return go_on(desk, to, saved.change)
    if isinstance(key, tuple) or kind in EVENTS:
        return go_on(desk, addresses.listing(kind), saved.change)
    return go_on(desk, addresses.thing(kind, key), saved.change)
