"""What if: suppositions typed one after another, the line before and after; accepted whole, in part, or not at all.

What is accepted are the suppositions that count, with the prices decided beside them: one save, one undo.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from webapp.costing.amounts import Unreadable
from webapp.costing.describing import Field, Shape
from webapp.costing.limits import NAME, Choice, name_key
from webapp.costing.month import Month, month
from webapp.costing.supposing import KINDS, LINES, SUPPOSITION, SUPPOSITIONS, again, kept, suppositions
from webapp.costing.whatif import WHY, Supposed, suppose
from webapp.errors import Fault, NotFound, Problem, Questions, Unprocessable
from webapp.pages import addresses, forms, impact
from webapp.pages.decide.what_if_words import TITLES
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed, flat
from webapp.routes import Routes
from webapp.store.what_ifs import MOST, KeptWhatIf
from webapp.store.writing import UNCHANGED

router = Routes()
PLACE = "decide"
KEPT_AT = addresses.KEPT_WHAT_IF
NAMELESS = "Give it a name to keep it under."
LIVE = f"{addresses.WHAT_IF}/live"
#: what the buttons ask for, beside those of the block that shows what a change does
ADD, ACCEPT, KEEP = "add", "accept", "keep"
ADDING, NAMED, KEPT = "adding", "name", "kept"
SHAPE = Shape(dict, (LINES, Field(ADDING, Choice(tuple(KINDS))), Field(NAMED, NAME)))
TEMPLATE, FORM, FOUND = (f"decide/what_if/{name}.html" for name in ("page", "_form", "_found"))
#: of a field in an address
LONGEST = 40
NOTHING = "Nothing is supposed yet. Choose what may change, and add it."
NONE_COUNTS = "None of this counts. Tick at least one supposition."


@dataclass(frozen=True, slots=True)
class KeptLine:
    """A what-if that is kept: where it is opened, whether it is the one that is open, and the forms of its acts."""

    ident: int
    name: str
    href: str
    day: date
    open: bool
    rename: Form
    drop: Form


@dataclass(frozen=True, slots=True)
class WhatIfView:
    """What stands on the page: `lines` by the names of their fields, the months where they could be worked out."""

    lines: tuple[str, ...]
    kinds: tuple[tuple[str, str], ...]
    now: Month | None
    then: Month | None
    kept: tuple[KeptLine, ...]
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


def form_of(desk: Desk, rows: Sequence[Any], typed: Typed | None = None, opened: KeptWhatIf | None = None) -> Form:
    """The form with these suppositions in it: as it was sent, or of one that is kept."""
    texts = flat({SUPPOSITIONS: list(rows)})
    if opened is not None:
        texts |= {NAMED: opened.name, KEPT: str(opened.ident)}
    if typed is None:
        return Form(addresses.WHAT_IF, SHAPE, texts, new_token(), desk.snapshot.epoch, str(desk.snapshot.version))
    texts = flat({name: typed.data.get(name, "") for name in (NAMED, KEPT)}) | texts
    version = "" if typed.version is None else str(typed.version)
    return Form(addresses.WHAT_IF, SHAPE, texts, typed.token or new_token(), typed.epoch, version, sure=typed.sure)


def worked_out(desk: Desk, rows: Sequence[Any], form: Form, typed: Typed | None = None) -> Sheet:
    """What the suppositions come to, or what is wrong with them at their fields."""
    answers = impact.parted(typed)[1] if typed else {}
    read = suppositions(desk.book, rows, desk.notation)
    desk.reckoning.line()  # what is known can be carried over
    supposed = suppose(desk.reckoning, read.found, why(form))
    faults = [(one.field, one.sentence) for one in (*read.faults, *supposed.faults)]
    if not faults and not supposed.changes:
        faults = [("", NONE_COUNTS if rows else NOTHING)]
    if faults:
        return Sheet(replace(form, faults=tuple(faults)), answers=answers)
    more, seen = (typed.more, typed.version) if typed else ("", None)
    found = impact.considered(desk, supposed.known, answers, more, seen)
    return Sheet(form, supposed, found, answers)


def why(form: Form) -> str:
    """What is kept as the reason of prices and quotes that it makes."""
    name = form.value(NAMED).strip()[: NAME.length]
    return f"After the what-if “{name}”" if name else WHY


# --- drawn


def options(desk: Desk, kind: str) -> list[tuple[str, str]]:
    """What can be chosen of a kind; of materials also only those that are weighed, or counted."""
    if kind not in ("ingredient", "piece"):
        return desk.options(kind)
    return [(str(one.id), one.name) for one in desk.things("material") if one.by_piece == (kind == "piece")]


def page(desk: Desk, sheet: Sheet, fragment: str = FORM) -> View:
    """The page, or the part of it that htmx asked for."""
    texts = sheet.form.texts
    many = sheet.form.typed_rows(SUPPOSITIONS)
    supposed = sheet.supposed
    view = WhatIfView(
        tuple(f"{SUPPOSITIONS}-{number}" for number in range(many)),
        tuple(TITLES.items()),
        month(desk.reckoning) if supposed else None,
        month(sheet.found.known if sheet.found else supposed.known) if supposed else None,
        () if fragment == FOUND else tuple(_kept(desk, one, texts.get(KEPT, "")) for one in desk.store.what_ifs()),
        bool(desk.book.products),
    )
    more = {"options": lambda kind: options(desk, kind), "title": lambda kind: TITLES.get(kind, "Not known")}
    shown = View(TEMPLATE, "What if…", PLACE, view, sheet.form, fragment, more=more)
    drawn = impact.drawn(shown, sheet.found, sheet.answers)
    return replace(drawn, more={**shown.more, **drawn.more})


def _kept(desk: Desk, one: KeptWhatIf, opened: str) -> KeptLine:
    at, there = KEPT_AT.format(ident=one.ident), addresses.kept_what_if(one.ident)
    rename, drop = forms.press(desk, f"{at}/rename"), forms.press(desk, f"{at}/drop")
    return KeptLine(one.ident, one.name, there, one.when.date(), str(one.ident) == opened, rename, drop)


@router.get(addresses.WHAT_IF)
def what_if(desk: DeskNow, number: Annotated[str, Query(alias="kept")] = "") -> Response:
    """An empty sheet to suppose something on, one that an address begins, or one that was kept, on today's book."""
    if not number:
        rows = _begun(desk)
        form = form_of(desk, rows)
        return show(desk, page(desk, worked_out(desk, rows, form) if rows else Sheet(form)))
    opened = kept_one(desk, number)
    rows = again(opened.rows, desk.notation)
    form = form_of(desk, rows, opened=opened)
    counting = any(row.get("counts") == "yes" for row in rows)
    return show(desk, page(desk, worked_out(desk, rows, form) if counting else Sheet(form)))


def _begun(desk: Desk) -> list[dict[str, str]]:
    """The one supposition that another page leads here with, its fields in the address; none where it names no kind."""
    names = {field.name for field in SUPPOSITION.fields} - {"counts"}
    asked = {name: text[:LONGEST] for name, text in desk.request.query_params.items() if name in names}
    return [{**asked, "counts": "yes"}] if asked.get("kind") in KINDS else []


def kept_one(desk: Desk, number: str) -> KeptWhatIf:
    """One that is kept; NotFound where it is not."""
    found = next((one for one in desk.store.what_ifs() if str(one.ident) == number), None)
    if found is None:
        raise NotFound("This what-if isn't kept any more.")
    return found


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
    if typed.more == KEEP:
        return keep(desk, typed, rows)
    sheet = worked_out(desk, rows, form_of(desk, rows, typed), typed)
    if typed.more == ACCEPT and sheet.wrong and (before := _sent_before(desk, typed)):
        return before
    if typed.more == ACCEPT and not sheet.wrong and (full := _no_room(desk, typed, rows)):
        form = replace(sheet.form, faults=(("", full),))
        return show(desk, page(desk, replace(sheet, form=form)), Unprocessable.status)
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
    changes = (*supposed.together, *found.kept(desk, why(sheet.form))) if supposed and found else ()
    try:
        saved = desk.store.save(changes, forms.intent(desk, typed, _said(sheet) + impact.also(found)), desk.today)
    except Questions as asked:
        return show(desk, draw(desk, forms.asking(sheet.form, asked)))
    except Problem as problem:
        return forms.not_saved(desk, typed, draw, sheet.form, problem)
    return forms.go_on(desk, _after(desk, typed, rows), saved.change)


def _said(sheet: Sheet) -> str:
    many = len(sheet.supposed.changes) if sheet.supposed else 0
    name = sheet.form.value(NAMED).strip()[: NAME.length]
    counted = "one supposition" if many == 1 else f"{many} suppositions"
    return f"What-if accepted: {name + ', ' if name else ''}{counted}"


def _sent_before(desk: Desk, typed: Typed) -> Response | None:
    """Sent twice it fits no more, since it holds by now: on to where the first sending led."""
    saved = desk.store.save((), forms.intent(desk, typed, ""), desk.today)
    return None if saved.change == UNCHANGED else forms.go_on(desk, addresses.WHAT_IF, saved.change)


def _after(desk: Desk, typed: Typed, rows: Sequence[Any]) -> str:
    """Where to go once it is accepted: what did not count is kept, and counts from now on; what did, does no more."""
    opened = _opened(desk, typed)
    if not _left(rows) and opened is None:
        return addresses.WHAT_IF
    turned = [{**row, "counts": "" if row.get("counts") == "yes" else "yes"} for row in rows]
    name = opened.name if opened else _left_over(desk)
    try:
        number = desk.store.keep_what_if(name, kept(desk.book, turned, desk.notation), opened.ident if opened else None)
    except Problem:  # somebody else filled it meanwhile: what counts is saved all the same
        return addresses.WHAT_IF
    return addresses.kept_what_if(number)


def _opened(desk: Desk, typed: Typed) -> KeptWhatIf | None:
    return next((one for one in desk.store.what_ifs() if str(one.ident) == typed.data.get(KEPT)), None)


def _left(rows: Sequence[Any]) -> list[Any]:
    return [row for row in rows if row.get("counts") != "yes"]


def _left_over(desk: Desk) -> str:
    """A name that no other has: of two that are left over on one day the second is not lost."""
    name, taken = f"Left over on {desk.formats.day(desk.today)}", {name_key(one.name) for one in desk.store.what_ifs()}
    return next(one for one in (name, *(f"{name}, {n}" for n in range(2, MOST + 2))) if name_key(one) not in taken)


def _no_room(desk: Desk, typed: Typed, rows: Sequence[Any]) -> str:
    """Why what does not count could not be kept, asked before the rest is saved; "" where it can."""
    if not _left(rows) or _opened(desk, typed) or len(desk.store.what_ifs()) < MOST:
        return ""
    return f"{MOST} what-ifs are kept already, so what doesn't count would be lost. Throw one away, or take it out."


# --- kept


def keep(desk: Desk, typed: Typed, rows: Sequence[Any]) -> Response:
    """Keep it under its name: in place of the one that is open where the name is the same, else as another."""
    form = form_of(desk, rows, typed)
    try:
        name = name_typed(desk, typed.data.get(NAMED))
        if not rows:
            raise Unprocessable([Fault(ADDING, "required", NOTHING)])
        same = next((one for one in desk.store.what_ifs() if name_key(one.name) == name_key(name)), None)
        mine = same.ident if same and str(same.ident) == typed.data.get(KEPT) else None
        number = desk.store.keep_what_if(name, kept(desk.book, rows, desk.notation), mine)
    except Unprocessable as wrong:
        form = replace(form, faults=tuple((one.field, one.sentence) for one in wrong.faults))
        return show(desk, page(desk, Sheet(form, answers=impact.parted(typed)[1])), wrong.status)
    return forms.redirect(desk, addresses.kept_what_if(number))


def name_typed(desk: Desk, typed: Any) -> str:
    """A name as it was typed. Unprocessable where it is none."""
    try:
        name = NAME.read(typed if isinstance(typed, str) else "", desk.notation)
    except Unreadable as unreadable:
        raise Unprocessable([Fault(NAMED, unreadable.code, unreadable.sentence)]) from None
    if not name:
        raise Unprocessable([Fault(NAMED, "required", NAMELESS)])
    return name
