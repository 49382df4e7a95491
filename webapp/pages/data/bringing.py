"""Everything in: a file of ours is chosen, what it would change is shown, and all of it is saved as one change."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from webapp import importing
from webapp.costing.describing import Shape
from webapp.errors import Unprocessable
from webapp.jobs import FAILED, Job
from webapp.pages import addresses, forms
from webapp.pages.data.import_looking import Seen, brought_in, folder_of, look_at, note_saving, seen_in
from webapp.pages.data.work import SOON, begin, seen_soon
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.pages.uploads import UploadNow
from webapp.routes import Routes
from webapp.store import arriving
from webapp.store.writing import UNCHANGED

router = Routes()
PLACE, TITLE = "settings", "Import"
NO_SHAPE = Shape(object, ())
SIGN, DOUBTS = "sign", "doubts"
CHOOSE = "Choose the file first."
UNSURE = "Say that these are right, or correct the file."


@router.get(addresses.IMPORT)
def choose(desk: DeskNow) -> Response:
    """Choose a file."""
    return show(desk, _choosing(desk))


def _choosing(desk: Desk, sentence: str = "") -> View:
    faults = (("file", sentence),) if sentence else ()
    form = replace(forms.press(desk, addresses.IMPORT), faults=faults)
    return View("data/import.html", TITLE, PLACE, form=form)


@router.post(addresses.IMPORT)
def take(desk: DeskNow, sent: UploadNow) -> Response:
    """Keep the file for a day, and look at what it would change. Nothing of the book is changed."""
    if not sent.data:
        return show(desk, _choosing(desk, CHOOSE), Unprocessable.status)
    folder = folder_of(desk)
    token = arriving.keep(folder, sent.name, sent.data)
    job = look_at(desk, sent.name[:200], token, "")
    if (told := job.wait(SOON)).state == FAILED:
        arriving.forget(folder, token)
        return show(desk, _choosing(desk, told.sentence), Unprocessable.status)
    return seen_soon(desk, job)


@router.get(addresses.IMPORT_SHOWN)
def look(desk: DeskNow, token: str) -> Response:
    """What it would change."""
    return _shown(desk, Typed({}), token)


@router.post(addresses.IMPORT_SHOWN)
def keep(desk: DeskNow, typed: TypedNow, token: str) -> Response:
    """Look again, as with another decimal sign, or save all of it in one change."""
    arrived, found = arriving.of(folder_of(desk), token), seen_in(desk, token)
    sign = str(typed.data.get(SIGN, "")) or found.sign
    if typed.more or found.view is None or sign != found.sign:
        return seen_soon(desk, look_at(desk, arrived.name, token, sign))
    if found.view.faults or (found.view.doubts and not typed.data.get(DOUBTS)):
        return _shown(desk, typed, token, Unprocessable.status)
    return _begin_saving(desk, typed, token, found)


def _begin_saving(desk: Desk, typed: Typed, token: str, found: Seen) -> Response:
    """Read and look once more, and store all of it: what others saved meanwhile is not overlooked."""
    store, folder, today = desk.store, folder_of(desk), desk.today
    arrived = arriving.of(folder, token)
    intent = forms.intent(desk, typed, TITLE, arrived.name)
    note_saving(desk, token, intent.token)

    def work(job: Job) -> str:
        job.say("Reading the file.")
        _, brought = brought_in(folder, token, found.sign)
        looked = importing.look(store, brought.document, today, brought.notation, job.say)
        if looked.doubts and not typed.data.get(DOUBTS):
            raise Unprocessable([], UNSURE)
        job.store()
        saved = importing.take(store, looked, intent, today)
        arriving.forget(folder, token)
        beside = addresses.WHAT_IF if looked.back.beside.what_ifs else addresses.LINE
        return beside if saved.change == UNCHANGED else f"{addresses.LINE}?done={saved.change}"

    return begin(desk, f"Import of {found.rows} rows", addresses.import_shown(token), work, intent.token)


def _shown(desk: Desk, typed: Typed, token: str, status: int = 200) -> Response:
    arrived, found = arriving.of(folder_of(desk), token), seen_in(desk, token)
    unsure = status != 200 and found.view is not None and not found.view.faults
    form = replace(
        forms.press(desk, addresses.import_shown(token)),
        texts={SIGN: found.sign, DOUBTS: str(typed.data.get(DOUBTS, ""))},
        faults=((DOUBTS, UNSURE),) if unsure else (),
    )
    if found.view is None:
        return show(desk, View("data/import_again.html", arrived.name, PLACE, found, form))
    return show(desk, View("data/import_shown.html", TITLE, PLACE, found.view, form), status)
