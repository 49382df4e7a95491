"""What a change does before it is stored: materials and rows that move, and the prices that are decided beside them.

One block for every form and act that changes costs (templates/parts/impact.html). The form's own fields and the answers
about prices travel in one form and are stored by one save, or nothing is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from starlette.responses import Response

from webapp.costing.book import Book
from webapp.costing.changes import Change, Put, apply_all, questions
from webapp.costing.reckoning import Reckoning
from webapp.errors import Fault, Questions, Unprocessable
from webapp.pages import drafts, forms
from webapp.pages.drawn import Form
from webapp.pages.offers import PRICES, REST, Considered, Faults, considered, only_looks
from webapp.pages.rendering import Desk, View, show
from webapp.pages.typed import Typed, flat

__all__ = [
    "Act",
    "Considered",
    "act",
    "act_page",
    "after_changes",
    "also",
    "considered",
    "doubting",
    "drawn",
    "only_looks",
    "parted",
    "save",
    "then",
]


def parted(typed: Typed) -> tuple[Typed, dict[str, Any]]:
    """The form's own fields, and apart from them the answers about prices."""
    answers = {name: typed.data[name] for name in (PRICES, REST) if name in typed.data}
    own = {name: one for name, one in typed.data.items() if name not in answers}
    return replace(typed, data=own), answers


def then(desk: Desk, book: Book) -> Reckoning:
    """The answers about a book that differs from the desk's: only what leans on the difference is costed again."""
    desk.reckoning.line()  # what is known can be carried over
    return Reckoning(book, desk.reckoning)


def after_changes(desk: Desk, changes: Iterable[Change], book: Book | None = None) -> Book | Faults:
    """The book as the changes would make it, or what they are refused for, at its fields."""
    completed = [desk.store.completed(change, desk.today) for change in changes]
    after = apply_all(book or desk.book, completed)
    return after if isinstance(after, Book) else tuple((fault.field, fault.sentence) for fault in after)


def doubting(desk: Desk, form: Form, changes: Iterable[Change]) -> Form:
    """The form with what there is to be sure of in the changes, said already where they are looked at."""
    completed = [desk.store.completed(change, desk.today) for change in changes]
    return replace(form, questions=questions(desk.book, completed))


# --- a form whose save keeps prices too


def drawn(view: View, found: Considered | None, answers: Mapping[str, Any] | None = None) -> View:
    """The view with what the change does and the answers in its form; where that can't be said, with the answers."""
    form = view.form
    if not isinstance(form, Form):
        return view
    if found is not None:
        return replace(view, form=found.shown(form), more={"impact": found})
    kept = tuple(flat(answers or {}).items())
    return replace(view, more={"answers": kept})


def also(found: Considered | None) -> str:
    """What the change is called beside its own name: how many prices it took, and how many it kept knowingly."""
    if found is None:
        return ""
    counted = ((found.taken, "new price"), (found.held, "price kept"))
    words = [f"one {what}" if many == 1 else f"{many} {_many(what)}" for many, what in counted if many]
    return f", with {' and '.join(words)}" if words else ""


def _many(what: str) -> str:
    return what.replace("price", "prices")


def save(
    desk: Desk,
    sent: Typed,
    kind: str,
    draw: forms.Draw,
    ident: int | None = None,
    *,
    changes: Callable[[Any], Sequence[Change]] = lambda record: (Put(record),),
    beside: Sequence[str] = (),
    why: str = "",
    read_as: Typed | None = None,
    **flow: Any,
) -> Response:
    """`forms.save` of a form that shows what it changes: prices decided there are kept with it. `flow` goes there.

    `read_as` is the form as it is read, where that was made from what was sent.
    """
    typed, answers = parted(read_as or sent)
    reading = forms.read(desk, typed, kind, ident, beside=beside)
    found, refused = _looked_at(desk, reading, changes, answers, typed)

    def with_it(desk: Desk, form: Form) -> View:
        return drawn(draw(desk, form), found, answers)

    asked = only_looks(typed.more)
    if asked or (found is not None and found.faults and not typed.more and not typed.less):
        form = replace(reading.form, faults=(*reading.form.faults, *refused))
        right = asked and found is not None and not found.faults
        if found is not None:
            form = doubting(desk, form, (*changes(reading.record), *found.kept(desk, why)))
        return drafts.shown_again(desk, sent, with_it(desk, form), 200 if right else Unprocessable.status)

    def wanted(record: Any) -> Sequence[Change]:
        return (*changes(record), *(found.kept(desk, why) if found else ()))

    return forms.save(
        desk, typed, kind, with_it, ident, changes=wanted, beside=beside, sent=sent, also=also(found), **flow
    )


def _looked_at(
    desk: Desk,
    reading: forms.Reading,
    changes: Callable[[Any], Sequence[Change]],
    answers: Mapping[str, Any],
    typed: Typed,
) -> tuple[Considered | None, Faults]:
    """What the record changes, where that is asked or prices were decided; or what it is refused for."""
    if reading.record is None or not (only_looks(typed.more) or answers):
        return None, ()
    after = after_changes(desk, changes(reading.record))
    if not isinstance(after, Book):
        return None, after
    return considered(desk, then(desk, after), answers, typed.more, typed.version), ()


# --- an act of one button, looked at first


@dataclass(frozen=True, slots=True)
class Act:
    """An act that changes costs: what it is called, what it says, and where it is done and left."""

    title: str
    words: str
    label: str
    action: str
    back: str
    place: str


def act_page(desk: Desk, act: Act, changes: Sequence[Change], *, status: int = 200, **more: Any) -> Response:
    """What an act would change, the prices to decide with it, and its button. `more`: answers, asked, form."""
    after = after_changes(desk, changes)
    form = more.get("form") or forms.press(desk, act.action)
    if not isinstance(after, Book):
        return show(desk, View("home/act.html", act.title, act.place, act, replace(form, faults=after)), 422)
    found = considered(desk, then(desk, after), more.get("answers", {}), more.get("asked", ""))
    if not form.stopped:
        form = doubting(desk, form, (*changes, *found.kept(desk)))
    view = View("home/act.html", act.title, act.place, act, form)
    return show(desk, drawn(view, found), status)


def act(
    desk: Desk, typed: Typed, done: Act, changes: Sequence[Change], *, to: str, said: str, why: str = ""
) -> Response:
    """Do it with the prices that were decided, or show its page again."""
    _, answers = parted(typed)
    after = after_changes(desk, changes)
    if not isinstance(after, Book):
        raise Unprocessable([Fault(at, "", words) for at, words in after])
    found = considered(desk, then(desk, after), answers, seen=typed.version)
    form = replace(forms.press(desk, done.action), sure=typed.sure)
    if only_looks(typed.more):
        return act_page(desk, done, changes, form=form, answers=answers, asked=typed.more)
    if found.faults:
        return act_page(desk, done, changes, status=Unprocessable.status, form=form, answers=answers)
    intent = forms.intent(desk, typed, said + also(found), why)
    try:
        saved = desk.store.save((*changes, *found.kept(desk, why)), intent, desk.today)
    except Questions as asked:
        form = replace(forms.asking(form, asked), token=typed.token)
        return act_page(desk, done, changes, form=form, answers=answers)
    return forms.go_on(desk, to, saved.change)
