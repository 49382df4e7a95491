"""What was found out about another size, kept as dated notes on its product: written, listed, thrown away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from starlette.responses import Response

from webapp.costing.size_asking import kept
from webapp.costing.size_figures import kept_figures
from webapp.errors import Problem, Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.decide.size import answer_of, page, told_in, view_in
from webapp.pages.decide.size_form import sizing
from webapp.pages.decide.size_words import WORTH
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, show
from webapp.routes import Routes
from webapp.store.verdicts import KeptVerdict

router = Routes()
#: before the place of the candidate whose verdict is kept
KEEP = "keep-"
AT = "#found-out"


@router.post(addresses.SIZE_KEEP)
def keep(desk: DeskNow, typed: TypedNow) -> Response:
    """Write the verdict as a note of today on the product."""
    sized = sizing(desk, typed)
    found, place = answer_of(desk, sized), typed.more.removeprefix(KEEP)
    if found is None or found.question.product is None or not place.isdigit():
        return show(desk, page(desk, sized), Unprocessable.status)
    told = told_in(view_in(page(desk, sized)), int(place))
    sentence = f"{told.heading} {told.sentence}".strip()
    question = kept(desk.book, sized.typed, desk.notation)
    product = found.question.product
    try:
        desk.store.keep_verdict(product, desk.today, sentence, question, kept_figures(found, int(place)))
    except Problem as problem:
        said = replace(sized, form=replace(sized.form, faults=(("", problem.sentence),)))
        return show(desk, page(desk, said), problem.status)
    return forms.redirect(desk, addresses.thing("product", product) + AT)


@router.post(addresses.SIZE_THROWN)
def throw_away(desk: DeskNow, ident: Ident) -> Response:
    """Throw a note away."""
    note = desk.store.verdict(ident)
    desk.store.drop_verdict(note.product, ident)
    return forms.redirect(desk, addresses.thing("product", note.product) + AT)


# --- on the product's page


@dataclass(frozen=True, slots=True)
class Note:
    """A note as it is listed: its day, what was found, where it is asked again, and its button."""

    day: date
    kind: str
    sentence: str
    href: str
    drop: Form


def notes_of(desk: Desk, product: int) -> tuple[Note, ...]:
    """The notes on a product, the newest first."""
    return tuple(_note(desk, one) for one in desk.store.verdicts(product))


def _note(desk: Desk, one: KeptVerdict) -> Note:
    drop = forms.press(desk, addresses.SIZE_THROWN.format(ident=one.ident))
    return Note(one.day, _kind(one.figures), one.sentence, addresses.kept_verdict(one.ident), drop)


def _kind(figures: Mapping[str, Any]) -> str:
    found = figures.get("verdict")
    return WORTH.get(found, "") if isinstance(found, str) else ""
