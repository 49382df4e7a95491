"""The data itself: where it is, its backups, everything out and in."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from webapp.pages import addresses, forms
from webapp.pages.data.backups import BackupRow, drill_words, row_of
from webapp.pages.data.outside import rest_words
from webapp.pages.drawn import Form
from webapp.pages.plates import database_words, whereabouts_of
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes
from webapp.store.backup_drill import last_drill

router = Routes()


@dataclass(frozen=True, slots=True)
class DataView:
    """Where the data is and whether it is as it was left, how many backups there are, the newest, how it was tried."""

    place: str
    many: int
    newest: BackupRow | None
    drill: str
    rest: str
    is_changed: bool
    meant: Form


@router.get(addresses.DATA)
def overview(desk: DeskNow) -> Response:
    """All that is about the data itself."""
    found = desk.store.shelf.all()
    view = DataView(
        _place(desk),
        len(found),
        row_of(desk, found[0]) if found else None,
        drill_words(desk, last_drill(desk.store.shelf)),
        rest_words(desk),
        desk.store.at_rest.is_changed,
        forms.press(desk, addresses.DATA_MEANT),
    )
    return show(desk, View("data/overview.html", "Your data", "settings", view))


def _place(desk: Desk) -> str:
    here = whereabouts_of(desk.request).here
    if not desk.store.is_file:
        return database_words(desk.request.app.state.settings, f"the PostgreSQL on {here}")
    return f"{desk.store.shelf.file.parent}, on {here}"


@router.post(addresses.DATA_MEANT)
def meant(desk: DeskNow) -> Response:
    """What was changed from outside was meant: it is not told any more."""
    desk.store.accept_change()
    return forms.redirect(desk, addresses.DATA)
