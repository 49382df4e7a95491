"""Looking at a file that arrived: long work, which notes beside the file what it saw, so that its page can show it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from webapp import importing
from webapp.costing.reckoning import Reckoning
from webapp.errors import Fault, Unprocessable
from webapp.exchange import book_files
from webapp.exchange.tables import CannotRead
from webapp.jobs import Job
from webapp.pages import addresses
from webapp.pages.data.import_views import ImportView, noted, seen, view_of
from webapp.pages.data.work import jobs_of
from webapp.pages.rendering import Desk
from webapp.settings import Settings
from webapp.store import arriving

NOT_TO_ITS_END = "It was not looked at to its end, and nothing was changed."
MOVED_ON = "Something was saved after it was looked at, or another day has begun. Look at it once more."
STORED = "All of it was stored. It stands under what was saved lately."


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen in a file: its page, how many rows it has, its decimal sign, or the sentence why there is none."""

    view: ImportView | None = None
    rows: int = 0
    sign: str = ""
    sentence: str = NOT_TO_ITS_END


def folder_of(desk: Desk) -> Any:
    """Where files are kept between their arriving and their saving."""
    settings: Settings = desk.request.app.state.settings
    return settings.data


def seen_in(desk: Desk, token: str) -> Seen:
    """What was seen in a file when it was looked at last, if the book is still the one of then."""
    told = arriving.noted(folder_of(desk), token)
    if told is None:
        return Seen()
    if told.get("saving") and desk.store.change_of(told["saving"]) is not None:
        return Seen(sign=told["sign"], sentence=STORED)
    if told["of"] != _of(desk):
        return Seen(sign=told["sign"], sentence=MOVED_ON)
    return Seen(seen(told["view"]), told["rows"], told["sign"])


def _of(desk: Desk) -> list[Any]:
    return [desk.snapshot.epoch, desk.snapshot.version, desk.today.isoformat()]


def note_saving(desk: Desk, token: str, change: str) -> None:
    """Note by which token it is going to be stored, so that its page says so even where the program is ended then."""
    folder = folder_of(desk)
    arriving.note(folder, token, {**(arriving.noted(folder, token) or {}), "saving": change})


def look_at(desk: Desk, name: str, token: str, sign: str) -> Job:
    """Begin to look at a file. Busy while other long work runs."""
    return jobs_of(desk).start(f"Looking at {name}", addresses.import_shown(token), _looking(desk, token, sign))


def _looking(desk: Desk, token: str, sign: str) -> Callable[[Job], str]:
    store, folder, today = desk.store, folder_of(desk), desk.today

    def work(job: Job) -> str:
        job.say("Reading the file.")
        arrived, brought = brought_in(folder, token, sign)
        looked = importing.look(store, brought.document, today, brought.notation, job.say)
        job.say("Working out costs and margins.")
        before = desk.reckoning if looked.before is desk.book else Reckoning(looked.before)
        view = view_of(before, arrived.name, looked, brought.remarks, asks_sign=brought.asks)
        of = [looked.epoch, looked.version, today.isoformat()]
        told = {"of": of, "rows": brought.document.rows, "sign": brought.notation.decimal_sign, "view": noted(view)}
        arriving.note(folder, token, told)
        return addresses.import_shown(token)

    return work


def brought_in(folder: Any, token: str, sign: str) -> tuple[arriving.Arrived, book_files.Brought]:
    """The file that was kept, read. Unprocessable, with its sentence, where it can't be."""
    arrived = arriving.of(folder, token)
    try:
        return arrived, book_files.read(arrived.name, arrived.data, sign)
    except CannotRead as error:
        raise Unprocessable([Fault("", "file", error.sentence)], error.sentence) from error
