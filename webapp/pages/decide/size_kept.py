"""What was found out about a size, kept as dated notes on its product or formula: written, listed, thrown away."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from starlette.responses import Response

from webapp.costing.size_asking import about, kept
from webapp.costing.size_figures import kept_figures
from webapp.errors import NotFound, Problem, Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.decide.size import answer_of, page, told_in, view_in
from webapp.pages.decide.size_form import sizing
from webapp.pages.decide.size_phrases import WORTH
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, show, whole_number
from webapp.routes import Routes
from webapp.store.verdicts import KeptVerdict

router = Routes()
#: before the place of the candidate whose verdict is kept
KEEP = "keep-"
AT, THROWN = "#found-out", "thrown"


@router.post(addresses.SIZE_KEEP)
def keep(desk: DeskNow, typed: TypedNow) -> Response:
    """Write the verdict as a note of today on the product, the first jar of a set, or the formula."""
    sized = sizing(desk, typed)
    found, place = answer_of(desk, sized), typed.more.removeprefix(KEEP)
    on = () if found is None else about(found.question)
    if found is None or not on or not place.isdigit():
        return show(desk, page(desk, sized), Unprocessable.status)
    told = told_in(view_in(page(desk, sized)), int(place))
    sentence = f"{told.heading} {told.sentence}".strip()
    question, (kind, thing) = kept(desk.book, sized.typed, desk.notation), on[0]
    try:
        desk.store.keep_verdict(thing, desk.today, sentence, question, kept_figures(found, int(place)))
    except Problem as problem:
        said = replace(sized, form=replace(sized.form, faults=(("", problem.sentence),)))
        return show(desk, page(desk, said), problem.status)
    return forms.redirect(desk, addresses.thing(kind, thing) + AT)


@router.post(addresses.SIZE_THROWN)
def throw_away(desk: DeskNow, ident: Ident) -> Response:
    """Throw a note away; the page that it stood on says so, with a way back."""
    note = desk.store.verdict(ident)
    desk.store.drop_verdict(note.thing, ident)
    return forms.redirect(desk, f"{addresses.thing(note.kind, note.thing)}?{THROWN}={ident}{AT}")


@router.post(addresses.SIZE_KEPT_AGAIN)
def keep_again(desk: DeskNow, ident: Ident) -> Response:
    """Keep a note again that was thrown away. Sent twice it is kept all the same."""
    with suppress(NotFound):
        thrown = desk.store.verdict(ident, thrown=True)
        desk.store.keep_verdict_again(thrown.thing, ident)
    note = desk.store.verdict(ident)
    return forms.redirect(desk, addresses.thing(note.kind, note.thing) + AT)


# --- on the page of what they are about


@dataclass(frozen=True, slots=True)
class Note:
    """A note as it is listed: its day, what was found, where it is asked again, and its button."""

    day: date
    kind: str
    sentence: str
    href: str
    press: Form


@dataclass(frozen=True, slots=True)
class FoundOut:
    """The notes on a thing, the newest first, and the one that was just thrown away."""

    notes: tuple[Note, ...]
    thrown: Note | None = None


def found_out(desk: Desk, thing: int) -> FoundOut:
    """What was found out about sizes of a product or a formula."""
    notes = tuple(_note(desk, one, addresses.SIZE_THROWN) for one in desk.store.verdicts(thing))
    return FoundOut(notes, _just_thrown(desk, thing))


def _just_thrown(desk: Desk, thing: int) -> Note | None:
    text = desk.request.query_params.get(THROWN, "")
    if not text:
        return None
    with suppress(NotFound):
        note = desk.store.verdict(whole_number(text), thrown=True)
        return _note(desk, note, addresses.SIZE_KEPT_AGAIN) if note.thing == thing else None
    return None


def _note(desk: Desk, one: KeptVerdict, act: str) -> Note:
    press = forms.press(desk, act.format(ident=one.ident))
    return Note(one.day, _kind(one.figures), one.sentence, addresses.kept_verdict(one.ident), press)


def _kind(figures: Mapping[str, Any]) -> str:
    found = figures.get("verdict")
    return WORTH.get(found, "") if isinstance(found, str) else ""
