"""Everything in: a file of ours is chosen, what it would change is shown, and all of it is saved as one change."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from webapp import importing
from webapp.costing.describing import Shape
from webapp.errors import Fault, Unprocessable
from webapp.exchange import book_files
from webapp.exchange.tables import CannotRead
from webapp.jobs import Job
from webapp.pages import addresses, forms
from webapp.pages.data.import_views import view_of
from webapp.pages.data.work import begin
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.pages.uploads import UploadNow
from webapp.routes import Routes
from webapp.settings import Settings
from webapp.store import arriving

router = Routes()
PLACE, TITLE = "settings", "Import"
NO_SHAPE = Shape(object, ())
SIGN, DOUBTS = "sign", "doubts"


@router.get(addresses.IMPORT)
def choose(desk: DeskNow) -> Response:
    """Choose a file."""
    return show(desk, _choosing(forms.press(desk, addresses.IMPORT)))


def _choosing(form: Form) -> View:
    return View("data/import.html", TITLE, PLACE, form=form)


@router.post(addresses.IMPORT)
def take(desk: DeskNow, sent: UploadNow) -> Response:
    """Keep the file for a day, and go on to what it would change. Nothing of the book is changed."""
    try:
        if not sent.data:
            raise CannotRead("Choose the file first.")
        book_files.read(sent.name, sent.data)
    except CannotRead as error:
        form = replace(forms.press(desk, addresses.IMPORT), faults=(("file", error.sentence),))
        return show(desk, _choosing(form), Unprocessable.status)
    return forms.redirect(desk, addresses.import_shown(arriving.keep(_settings(desk).data, sent.name, sent.data)))


@router.get(addresses.IMPORT_SHOWN)
def look(desk: DeskNow, token: str) -> Response:
    """What it would change."""
    return _shown(desk, Typed({}), token)


@router.post(addresses.IMPORT_SHOWN)
def keep(desk: DeskNow, typed: TypedNow, token: str) -> Response:
    """Look again with another decimal sign, or save all of it in one change."""
    if typed.more:
        return _shown(desk, typed, token)
    arrived, brought = _brought(desk, typed, token)
    found = importing.look(desk.store, brought.document, desk.today, brought.notation)
    if found.faults or (found.doubts and not typed.data.get(DOUBTS)):
        return _shown(desk, typed, token, Unprocessable.status)
    intent = forms.intent(desk, typed, "Import", arrived.name[:200])
    store, settings, today = desk.store, _settings(desk), desk.today

    def work(job: Job) -> str:
        looked = importing.look(store, brought.document, today, brought.notation, job.say)
        job.store()
        saved = importing.take(store, settings, looked, intent, today)
        arriving.forget(settings.data, token)
        return f"{addresses.LINE}?done={saved.change}"

    return begin(desk, f"Import of {brought.document.rows} rows", addresses.import_shown(token), work)


def _settings(desk: Desk) -> Settings:
    found: Settings = desk.request.app.state.settings
    return found


def _brought(desk: Desk, typed: Typed, token: str) -> tuple[arriving.Arrived, book_files.Brought]:
    """The file that was kept; it was read before, so what cannot be read any more is said as it is."""
    arrived = arriving.of(_settings(desk).data, token)
    try:
        return arrived, book_files.read(arrived.name, arrived.data, str(typed.data.get(SIGN, "")))
    except CannotRead as error:
        raise Unprocessable([Fault("", "file", error.sentence)], error.sentence) from error


def _shown(desk: Desk, typed: Typed, token: str, status: int = 200) -> Response:
    arrived, brought = _brought(desk, typed, token)
    looked = importing.look(desk.store, brought.document, desk.today, brought.notation)
    view = view_of(desk, arrived.name, looked, brought.remarks, asks_sign=brought.asks)
    unsure = status != 200 and not looked.faults
    form = replace(
        forms.press(desk, addresses.import_shown(token)),
        texts={SIGN: brought.notation.decimal_sign, DOUBTS: str(typed.data.get(DOUBTS, ""))},
        faults=((DOUBTS, "Say that these are right, or correct the file."),) if unsure else (),
    )
    return show(desk, View("data/import_shown.html", TITLE, PLACE, view, form), status)
