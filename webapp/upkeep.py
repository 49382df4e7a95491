"""What is done by itself beside the requests: a backup at the first use of a day, a drill at the first of a month.

It runs in a thread, so that no page waits for it. What goes wrong is remembered and told on the first page.
"""

from __future__ import annotations

import logging
import threading
from datetime import date

from webapp.errors import Problem
from webapp.store.backup_drill import drill, is_due
from webapp.store.backups import DAILY, Shelf
from webapp.store.opening import Store

log = logging.getLogger("brimful")


class Upkeep:
    """The upkeep of one store. `trouble` is what went wrong with the latest; "" where nothing did."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.trouble = ""
        self._seen: date | None = None
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def used(self, today: date) -> None:
        """The program is used on a day: begin what is due, once a day. Nobody waits for it."""
        with self._lock:
            if self._seen == today:
                return
            self._seen = today
            self._thread = threading.Thread(target=self._work, args=(today,), name="upkeep")
            self._thread.start()

    def wait(self, seconds: float = 30) -> None:
        """Wait for the end of what was begun."""
        thread = self._thread
        if thread is not None:
            thread.join(seconds)

    def _work(self, today: date) -> None:
        try:
            if self.store.snapshot(today).version:
                _daily(self.store.shelf, today)
                if is_due(self.store.shelf, today):
                    drill(self.store.shelf)  # what it finds is noted beside the backups, and told from there
            self.trouble = ""
        except Problem as problem:
            self.trouble = f"Today's backup could not be made. {problem.sentence}"
        except Exception:
            log.exception("upkeep failed")
            self.trouble = "Today's backup could not be made: something went wrong inside the program."


def _daily(shelf: Shelf, today: date) -> None:
    """One a day, by the last that was made: one that a wrong clock made for this day beforehand does not count."""
    last = next((one for one in shelf.all() if one.why == DAILY), None)
    if last is None or last.when.astimezone().date() != today:
        shelf.make(DAILY, today)
