"""The backups: listed with what they hold, made, checked, tried, copied elsewhere, and put in the place of the data."""

from __future__ import annotations

from dataclasses import dataclass, replace

from starlette.responses import Response

from webapp.costing.describing import Shape
from webapp.errors import Unprocessable
from webapp.jobs import Job
from webapp.pages import addresses, forms
from webapp.pages.changes import moment
from webapp.pages.data.reminding import begun_on
from webapp.pages.data.restore_views import Differences, differences
from webapp.pages.data.work import begin
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes
from webapp.store import backup_copying as copying
from webapp.store import backup_drill as drills
from webapp.store import backup_notes as notes
from webapp.store.backup_telling import held_words, why_words
from webapp.store.backups import ASKED, Backup

router = Routes()
PLACE = "settings"
NO_SHAPE = Shape(object, ())
DONE = {
    "made": "A backup was made and checked.",
    "copied": "A copy was written there, read back and compared.",
    "later": "You will be reminded again in a week.",
    "tried": "The newest backup was tried.",
    "checked": "It was read whole and checked.",
    "restored": "The data is now as in that backup. What was there before is the newest backup in this list.",
}


@dataclass(frozen=True, slots=True)
class BackupRow:
    """One backup in the list."""

    name: str
    href: str
    when: str
    why: str
    holds: str
    size: str
    state: str
    is_whole: bool


@dataclass(frozen=True, slots=True)
class BackupsView:
    """The list, how the last drill went, what is known of copies elsewhere, and the buttons."""

    rows: tuple[BackupRow, ...]
    said: str
    folder: str
    drill: str
    drill_failed: bool
    copied: str
    copy_is_old: bool
    make: Form
    try_newest: Form
    later: Form


@dataclass(frozen=True, slots=True)
class BackupView:
    """One backup, and what putting it in the place of the data would change."""

    row: BackupRow
    said: str
    changed_last: str
    costs: str
    differences: Differences | None
    check: Form
    restore: Form


def row_of(desk: Desk, one: Backup) -> BackupRow:
    """A backup in words."""
    checked = f"whole, checked {moment(desk, one.checked)}" if one.checked else "not checked yet"
    size = f"{max(1, one.size // 1024)} KiB"
    where = addresses.backup(one.name)
    state = one.fault or checked
    return BackupRow(
        one.name, where, moment(desk, one.when), why_words(one), held_words(one), size, state, is_whole=one.is_whole
    )


@router.get(addresses.BACKUPS)
def listed(desk: DeskNow, did: str = "") -> Response:
    """All backups, the newest first."""
    return show(desk, _listed(desk, copy_form(desk), did))


def copy_form(desk: Desk) -> Form:
    """Where the newest backup is copied to, and after how many days to remind."""
    known = copying.elsewhere(desk.store.shelf)
    texts = {copying.FIELD: known.folder, copying.DAYS_FIELD: str(known.days)}
    return replace(forms.press(desk, addresses.BACKUP_COPY), texts=texts)


def _listed(desk: Desk, form: Form, did: str = "") -> View:
    rows = tuple(row_of(desk, one) for one in desk.store.shelf.all())
    drill = drills.last_drill(desk.store.shelf)
    copied, old = _copied(desk)
    view = BackupsView(
        rows,
        DONE.get(did, ""),
        str(desk.store.shelf.folder),
        drill_words(desk, drill),
        drill is not None and bool(drill.fault),
        copied,
        old,
        forms.press(desk, addresses.BACKUPS),
        forms.press(desk, addresses.DRILL),
        forms.press(desk, addresses.BACKUP_LATER),
    )
    return View("data/backups.html", "Backups", PLACE, view, form)


def drill_words(desk: Desk, done: drills.Drill | None) -> str:
    """How the last drill went."""
    if done is None:
        return "Not tried yet."
    if done.fault:
        return f"Tried on {moment(desk, done.at)}, and it failed. {done.fault}"
    many = f"{done.products} {'product was' if done.products == 1 else 'products were'} costed"
    same = ", and every cost was as it was noted when the backup was made" if done.same else ""
    return f"Tried on {moment(desk, done.at)}: it was restored into a temporary place, {many}{same}."


def _copied(desk: Desk) -> tuple[str, bool]:
    known = copying.elsewhere(desk.store.shelf)
    words = f"Copied to {known.folder} on {moment(desk, known.at)}." if known.at else "Not copied anywhere yet."
    return words, copying.is_old(known, begun_on(desk), desk.today)


@router.post(addresses.BACKUPS)
def make(desk: DeskNow) -> Response:
    """Make a backup now."""
    desk.store.shelf.make(ASKED, desk.today)
    return forms.redirect(desk, f"{addresses.BACKUPS}?did=made")


@router.post(addresses.DRILL)
def try_newest(desk: DeskNow) -> Response:
    """Restore the newest into a temporary place and cost every product there."""
    drills.drill(desk.store.shelf)
    return forms.redirect(desk, f"{addresses.BACKUPS}?did=tried#drill")


@router.post(addresses.BACKUP_COPY)
def copy(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep the limit, and copy the newest whole backup to a folder."""
    form = replace(copy_form(desk), texts=_texts(typed))
    try:
        copying.remind_after(desk.store.shelf, form.texts[copying.DAYS_FIELD])
        copying.copy_to(desk.store.shelf, form.texts[copying.FIELD])
    except Unprocessable as problem:
        faults = tuple((fault.field, fault.sentence) for fault in problem.faults)
        return show(desk, _listed(desk, replace(form, faults=faults)), problem.status)
    return forms.redirect(desk, f"{addresses.BACKUPS}?did=copied#elsewhere")


def _texts(typed: Typed) -> dict[str, str]:
    return {name: str(typed.data.get(name, "")) for name in (copying.FIELD, copying.DAYS_FIELD)}


@router.post(addresses.BACKUP_LATER)
def later(desk: DeskNow) -> Response:
    """Remind again in a week."""
    copying.put_off(desk.store.shelf, desk.today)
    return forms.redirect(desk, f"{addresses.BACKUPS}?did=later#elsewhere")


# --- one of them


@router.get(addresses.BACKUP)
def one(desk: DeskNow, name: str, did: str = "") -> Response:
    """What a backup holds, whether it is whole, and what restoring it would change."""
    return show(desk, _one(desk, _found(desk, name), did))


def _found(desk: Desk, name: str) -> Backup:
    return desk.store.shelf.check(desk.store.shelf.find(name))


def _one(desk: Desk, backup: Backup, did: str = "") -> View:
    where = addresses.backup(backup.name)
    noted = backup.costs
    view = BackupView(
        row_of(desk, backup),
        DONE.get(did, ""),
        _changed_last(desk, backup),
        f"{noted['products']} products costed then" if noted.get("products") else "",
        differences(desk, backup) if backup.is_whole else None,
        forms.press(desk, f"{where}/check"),
        forms.press(desk, f"{where}/restore"),
    )
    return View("data/backup.html", f"Backup of {moment(desk, backup.when)}", PLACE, view)


def _changed_last(desk: Desk, backup: Backup) -> str:
    told = notes.under(backup.facts, "last_change")
    at = notes.moment(told.get("at"))
    return f"{told.get('what', '')}, {desk.formats.day(at.astimezone().date())}" if at else ""


@router.post(addresses.BACKUP_CHECKED)
def check(desk: DeskNow, name: str) -> Response:
    """Check it bit by bit."""
    found = _found(desk, name)
    return forms.redirect(desk, f"{addresses.backup(found.name)}?did=checked")


@router.post(addresses.BACKUP_RESTORED)
def restore(desk: DeskNow, typed: TypedNow, name: str) -> Response:
    """Put it in the place of the data, unless something was saved after it was looked at."""
    backup, store, today = _found(desk, name), desk.store, desk.today
    read_at = (typed.epoch or "", typed.version if typed.version is not None else -1)

    def work(job: Job) -> str:
        job.say("Checking the backup.")
        job.store("Putting it in the place of the data.")
        store.restore(backup.path, today, read_at)
        return f"{addresses.BACKUPS}?did=restored"

    return begin(desk, f"Restore of the backup of {moment(desk, backup.when)}", addresses.backup(backup.name), work)
