"""The page of long work: how far it is, a stop, how it ended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from starlette.responses import Response

from webapp.jobs import DONE, STORED_ALL_THE_SAME, Job, Jobs, Progress, known_afterwards
from webapp.pages import addresses, forms
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes

router = Routes()
SOON = 1.0
"""Seconds that an answer waits for the end of long work, so that what is quick needs no page of its own."""


@dataclass(frozen=True, slots=True)
class WorkView:
    """Some long work: how far it is, where the page asks again, and the button that stops it."""

    progress: Progress
    again: str
    stop: Form

    @property
    def is_stored(self) -> bool:
        """Whether it was broken off only after all of it was stored."""
        return self.progress.sentence == STORED_ALL_THE_SAME


def begin(desk: Desk, title: str, back: str, work: Callable[[Job], str], stores: str = "") -> Response:
    """Start long work and go to where it is seen. Raises Busy while other work runs; all is as `Jobs.start` says."""
    return seen_soon(desk, jobs_of(desk).start(title, back, work, stores))


def seen_soon(desk: Desk, job: Job) -> Response:
    """To what it made where it is done soon, else to its own page."""
    seen = job.wait(SOON)
    return forms.redirect(desk, seen.goes_to if seen.state == DONE else addresses.work(job.token))


def jobs_of(desk: Desk) -> Jobs:
    """The long work of this program."""
    found: Jobs = desk.request.app.state.jobs
    return found


@router.get(addresses.WORK)
def work(desk: DeskNow, token: str) -> Response:
    """How far it is; once it is done, on to what it made."""
    progress = as_it_went(desk, jobs_of(desk).find(token).progress)
    if progress.state == DONE:
        return forms.redirect(desk, progress.goes_to)
    again = addresses.work(token)
    view = WorkView(progress, again, forms.press(desk, f"{again}/stop"))
    return show(desk, View("data/work.html", progress.title, "settings", view, fragment="data/_work.html"))


def as_it_went(desk: Desk, progress: Progress) -> Progress:
    """What was broken off while it stored, with what is known of it: its change is there whole, or it is not."""
    known, change = known_afterwards(progress, desk.store.change_of)
    return known if change is None else replace(known, goes_to=f"{addresses.LINE}?done={change}")


@router.post(addresses.WORK_STOPPED)
def stop(desk: DeskNow, token: str) -> Response:
    """Ask it to stop. It does so between two steps, unless it is storing already."""
    job = jobs_of(desk).find(token)
    job.stop()
    job.wait(SOON)
    return forms.redirect(desk, addresses.work(token))
