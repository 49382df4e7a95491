"""What if: suppositions typed one after another, the line before and after; accepted whole, in part, or not at all.

What is accepted are the suppositions that count, with the prices decided beside them: one save, one undo.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from starlette.responses import Response

from webapp.costing.limits import NAME, Choice
from webapp.costing.month import Month, month
from webapp.costing.shapes import Field, Shape
from webapp.costing.supposing import KINDS, LINES, SUPPOSITIONS, suppositions
from webapp.costing.whatif import Supposed, suppose
from webapp.errors import Problem, Questions, Unprocessable
from webapp.pages import addresses, forms, impact
from webapp.pages.decide.what_if_words import TITLES
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed, flat
from webapp.routes import Routes

router = Routes()
PLACE = "decide"
LIVE = f"{addresses.WHAT_IF}/live"
#: what the buttons ask for, beside those of the block that shows what a change does
ADD, ACCEPT = "add", "accept"
ADDING, NAMED = "adding", "name"
SHAPE = Shape(dict, (LINES, Field(ADDING, Choice(tuple(KINDS))), Field(NAMED, NAME)))
TEMPLATE, FORM, FOUND = (f"decide/what_if/{name}.html" for name in ("page", "_form", "_found"))
NOTHING = "Nothing is supposed yet. Choose what may change, and add it."
NONE_COUNTS = "None of this counts. Tick at least one supposition."


@dataclass(frozen=True, slots=True)
class Line:
    """One supposition as it is drawn: the name of its fields and its kind."""

    at: str
    kind: str
    title: str


@dataclass(frozen=True, slots=True)
class WhatIfView:
    """What stands on the page; the months before and after where they could be worked out."""

    lines: tuple[Line, ...]
    kinds: tuple[tuple[str, str], ...]
    now: Month | None
    then: Month | None
    any: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """A what-if as it was typed: its form, and what it comes to where it is in order."""

    form: Form
    supposed: Supposed | None = None
    found: impact.Considered | None = None
    answers: Mapping[str, Any] | None = None

    @property
    def wrong(self) -> bool:
        """Whether something has to be put right first."""
        return bool(self.form.faults or (self.found and self.found.faults))


# --- read


def rows_of(typed: Typed) -> list[Any]:
    """The suppositions as they were sent, closed up where one was taken out."""
    rows = typed.data.get(SUPPOSITIONS)
    return [row for row in rows if isinstance(row, Mapping)] if isinstance(rows, list) else []


def form_of(desk: Desk, rows: Sequence[Any], typed: Typed | None = None) -> Form:
    """The form with these suppositions in it."""
    texts = flat({SUPPOSITIONS: list(rows)})
    if typed is None:
        return Form(addresses.WHAT_IF, SHAPE, texts, new_token(), desk.snapshot.epoch, str(desk.snapshot.version))
    texts |= flat({NAMED: typed.data.get(NAMED, "")})
    version = "" if typed.version is None else str(typed.version)
    return Form(addresses.WHAT_IF, SHAPE, texts, typed.token or new_token(), typed.epoch, version, sure=typed.sure)


def worked_out(desk: Desk, rows: Sequence[Any], form: Form, typed: Typed | None = None) -> Sheet:
    """What the suppositions come to, or what is wrong with them at their fields."""
    answers = impact.parted(typed)[1] if typed else {}
    read = suppositions(desk.book, rows, desk.notation)
    desk.reckoning.line()  # what is known can be carried over
    supposed = suppose(desk.reckoning, read.found)
    faults = [(one.field, one.sentence) for one in (*read.faults, *supposed.faults)]
    if not faults and not supposed.changes:
        faults = [("", NONE_COUNTS if rows else NOTHING)]
    if faults:
        return Sheet(replace(form, faults=tuple(faults)), answers=answers)
    more, seen = (typed.more, typed.version) if typed else ("", None)
    found = impact.considered(desk, supposed.known, answers, more, seen)
    return Sheet(form, supposed, found, answers)


# --- drawn


def options(desk: Desk, kind: str) -> list[tuple[str, str]]:
    """What can be chosen of a kind; of materials also only those that are weighed, or counted."""
    if kind not in ("ingredient", "piece"):
        return desk.options(kind)
    return [(str(one.id), one.name) for one in desk.things("material") if one.by_piece == (kind == "piece")]


def page(desk: Desk, sheet: Sheet, fragment: str = FORM) -> View:
    """The page, or the part of it that htmx asked for."""
    texts = sheet.form.texts
    lines = []
    for number in range(sheet.form.typed_rows(SUPPOSITIONS)):
        at = f"{SUPPOSITIONS}-{number}"
        kind = texts.get(f"{at}-kind", "")
        lines.append(Line(at, kind, TITLES.get(kind, "")))
    supposed = sheet.supposed
    view = WhatIfView(
        tuple(lines),
        tuple(TITLES.items()),
        month(desk.reckoning) if supposed else None,
        month(supposed.known) if supposed else None,
        bool(desk.book.products),
    )
    shown = View(
        TEMPLATE, "What if…", PLACE, view, sheet.form, fragment, more={"options": lambda kind: options(desk, kind)}
    )
    drawn = impact.drawn(shown, sheet.found, sheet.answers)
    return replace(drawn, more={**shown.more, **drawn.more})


@router.get(addresses.WHAT_IF)
def what_if(desk: DeskNow) -> Response:
    """An empty sheet to suppose something on."""
    return show(desk, page(desk, Sheet(form_of(desk, []))))


@router.post(LIVE)
def live(desk: DeskNow, typed: TypedNow) -> Response:
    """What it comes to, as it is typed."""
    rows = rows_of(typed)
    sheet = worked_out(desk, rows, form_of(desk, rows, typed), typed)
    return show(desk, page(desk, sheet, FOUND))


@router.post(addresses.WHAT_IF)
def ask(desk: DeskNow, typed: TypedNow) -> Response:
    """One line more or fewer, the line before and after, or what counts is accepted."""
    rows = rows_of(typed)
    if typed.more == ADD or typed.less:
        return show(desk, page(desk, Sheet(_with_lines(desk, rows, typed), answers=impact.parted(typed)[1])))
    sheet = worked_out(desk, rows, form_of(desk, rows, typed), typed)
    if typed.more == ACCEPT and not sheet.wrong:
        return accept(desk, typed, rows, sheet)
    if sheet.found is not None and sheet.supposed is not None:
        changes = (*sheet.supposed.together, *sheet.found.kept(desk))
        sheet = replace(sheet, form=impact.doubting(desk, sheet.form, changes))
    return show(desk, page(desk, sheet), Unprocessable.status if sheet.wrong else 200)


def _with_lines(desk: Desk, rows: list[Any], typed: Typed) -> Form:
    """The form with a new line of the kind that was chosen, or without one."""
    kind = typed.data.get(ADDING)
    if typed.more == ADD and kind in KINDS:
        rows = [*rows, {"kind": kind, "counts": "yes"}]
    number = typed.less.removeprefix(f"{SUPPOSITIONS}-")
    if number.isdigit() and int(number) < len(rows):
        rows = [row for place, row in enumerate(rows) if place != int(number)]
    form = form_of(desk, rows, typed)
    return form if kind in KINDS or typed.less else replace(form, faults=((ADDING, "Choose what may change."),))


def accept(desk: Desk, typed: Typed, rows: Sequence[Any], sheet: Sheet) -> Response:
    """Save the changes of what counts, with the prices decided beside them."""

    def draw(there: Desk, form: Form) -> View:
        again = sheet if there.snapshot is desk.snapshot else worked_out(there, rows, form, typed)
        return page(there, replace(again, form=form))

    found, supposed = sheet.found, sheet.supposed
    changes = (*supposed.together, *found.kept(desk)) if supposed and found else ()
    counted = len(supposed.changes) if supposed else 0
    said = f"What-if accepted: {'one supposition' if counted == 1 else f'{counted} suppositions'}"
    try:
        saved = desk.store.save(changes, forms.intent(desk, typed, said + impact.also(found)), desk.today)
    except Questions as asked:
        return show(desk, draw(desk, forms.asking(sheet.form, asked)))
    except Problem as problem:
        return forms.not_saved(desk, typed, draw, sheet.form, problem)
    return forms.go_on(desk, addresses.WHAT_IF, saved.change)
