"""Materials, formulas and products from a spreadsheet of the maker's own: say what its columns hold, save."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from starlette.responses import Response

from webapp.costing.describing import Shape
from webapp.costing.own.beside import parted
from webapp.costing.own.columns import OwnTable
from webapp.costing.own.counted import saved as saved_of
from webapp.costing.own.sheets import read_own
from webapp.errors import Fault, Problem, Questions, Unprocessable
from webapp.exchange.reading import CannotRead, Table, cells_pasted, read_tables
from webapp.exchange.remembered import Remembered
from webapp.pages import addresses, drafts, forms
from webapp.pages.data import own_choices, own_costs, own_named, own_ours
from webapp.pages.data.own_shown import Read
from webapp.pages.data.own_views import PLACE, TITLE, page
from webapp.pages.done import BROUGHT, new_token
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.pages.uploads import Upload, UploadNow
from webapp.routes import Routes
from webapp.store import arriving

router = Routes()
NO_SHAPE = Shape(object, ())
PASTED = "Pasted cells"
WAITING = Remembered()
"""The files that wait here, as they were read last: each look needs them anew."""


@router.get(addresses.OWN)
def bring(desk: DeskNow) -> Response:
    """Choose a file, or paste cells."""
    form = replace(forms.press(desk, addresses.OWN), texts={"cells": ""})
    return show(desk, bring_page(desk, form))


@router.post(addresses.OWN)
def take(desk: DeskNow, sent: UploadNow) -> Response:
    """Keep what was chosen or pasted for a day, and go on to its columns. Nothing of the book is changed."""
    text = str(sent.typed.data.get("cells", ""))
    try:
        name, data = _taken(sent, text)
    except CannotRead as error:
        form = replace(forms.press(desk, addresses.OWN), texts={"cells": text}, faults=(_at(sent, error),))
        return show(desk, bring_page(desk, form), Unprocessable.status)
    token = arriving.keep(desk.request.app.state.settings.data, name, data, arriving.SHEET)
    return forms.redirect(desk, addresses.own_sheet(token))


def _taken(sent: Upload, text: str) -> tuple[str, bytes]:
    """The name and the bytes of what was sent, read once to see that they can be."""
    if sent.data or sent.name:
        read_tables(sent.name, sent.data)
        return sent.name, sent.data
    cells_pasted(text)
    return PASTED, text.encode()


def _at(sent: Upload, error: CannotRead) -> tuple[str, str]:
    pasted = str(sent.typed.data.get("cells", "")).strip() and not sent.data
    return ("cells" if pasted else "file"), error.sentence


def bring_page(desk: Desk, form: Form) -> View:
    """The page that takes a file."""
    return View("data/own.html", TITLE, PLACE, form=form, more=drafts.half_entered(desk, "own"))


# --- what the columns hold


@router.get(addresses.OWN_SHEET)
def look(desk: DeskNow, token: str) -> Response:
    """What was understood so far: as it was left, else as it is guessed."""
    arrived = arriving.of(desk.request.app.state.settings.data, token)
    found = drafts.again(desk, keep, token)
    if found:
        return found
    typed = Typed(own_choices.chosen_before(desk, _tables(arrived)))
    read = _read(desk, typed.data, arrived)
    return _shown(desk, typed, token, arrived, replace(read, as_before=own_choices.met_before(desk, read.tables)))


@router.post(addresses.OWN_SHEET)
def keep(desk: DeskNow, typed: TypedNow, token: str) -> Response:
    """Look again, or save all of it in one change."""
    arrived = arriving.of(desk.request.app.state.settings.data, token)
    if typed.more == own_named.LIKELY:
        typed = replace(typed, data=own_named.agreed(typed.data))
    typed = replace(typed, data=own_costs.pressed(own_ours.pressed(typed.data, typed.more), typed.more))
    read = _read(desk, typed.data, arrived)
    reading = read.reading
    if typed.more not in drafts.ONLY_KEPT:
        own_choices.remember(desk, reading, typed.data)
    if typed.more:
        return _shown(desk, typed, token, arrived, read)
    if not reading.good or own_choices.faults_of(desk, typed.data, reading):
        return _shown(desk, typed, token, arrived, read, status=Unprocessable.status)
    try:
        said = f"From {arrived.name[:60]}: {saved_of(reading)}" if saved_of(reading) else f"From {arrived.name[:60]}"
        saved = desk.store.save(reading.changes, forms.intent(desk, typed, said), desk.today)
    except Questions as asked:
        return _shown(desk, typed, token, arrived, read, asked=asked)
    except Problem as problem:
        return _shown(desk, typed, token, arrived, status=problem.status, problem=problem)
    arriving.forget(desk.request.app.state.settings.data, token)
    kind = "product" if reading.products else "formula" if reading.formulas else "material"
    return forms.redirect(desk, f"{addresses.listing(kind)}?done={saved.change}&{BROUGHT}=1")


def _tables(arrived: arriving.Arrived) -> tuple[OwnTable, ...]:
    """The sheets that were kept; they were read before, so what cannot be read any more is said as it is."""
    try:
        found: tuple[Table, ...] = WAITING.tables(arrived.name, arrived.data)
    except CannotRead as error:
        raise Unprocessable([Fault("", "file", error.sentence)], error.sentence) from error
    return parted(map(own_table, found))


def own_table(table: Table) -> OwnTable:
    """A sheet as its program shows it: an amount with the currency or the unit of its format."""
    return OwnTable(table.title, table.as_shown(), table.exact, table.hidden, table.remarks, table.typed, table.struck)


def _read(desk: Desk, data: Mapping[str, Any], arrived: arriving.Arrived) -> Read:
    tables = _tables(arrived)
    choices = own_choices.choices_of(desk, data, tables)
    return Read(arrived.name, tables, choices, read_own(desk.book, tables, choices))


def _shown(
    desk: Desk,
    typed: Typed,
    token: str,
    arrived: arriving.Arrived,
    read: Read | None = None,
    *,
    status: int = 200,
    asked: Questions | None = None,
    problem: Problem | None = None,
) -> Response:
    """The page with what was read, what was typed still in it."""
    if problem is not None:  # what was sent is spent: the next sending is another one, on the data as it is now
        desk = replace(desk, snapshot=desk.store.snapshot(desk.today))
        typed = replace(typed, token="", epoch="", version=None)
    read = read or _read(desk, typed.data, arrived)
    fresh = drafts.marked(desk, "own", forms.press(desk, addresses.own_sheet(token)))
    form = Form(
        fresh.action,
        NO_SHAPE,
        {**own_choices.texts_of(desk, typed.data, read.reading), "file": arrived.name},
        typed.token or new_token(),
        typed.epoch or fresh.epoch,
        fresh.version if typed.version is None else str(typed.version),
        ((("", problem.sentence),) if problem else ()) + own_choices.faults_of(desk, typed.data, read.reading),
        sure=typed.sure,
        draft=typed.draft or fresh.draft,
        page=fresh.page or typed.page,
    )
    form = forms.asking(form, asked) if asked else form
    view = page(desk, form, read)
    return drafts.shown_again(own_ours.with_its_money(desk, read.choices), typed, view, status)
