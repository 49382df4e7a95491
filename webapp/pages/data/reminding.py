"""What the first page says of the data itself: a backup that failed, a copy elsewhere that is old."""

from __future__ import annotations

from datetime import date

from markupsafe import Markup

from webapp.pages import addresses
from webapp.pages.rendering import Desk
from webapp.store.backup_copying import elsewhere, is_old
from webapp.store.backup_drill import last_drill


def begun_on(desk: Desk) -> date | None:
    """The day of the first change; None where there is none yet."""
    text = desk.store.begun
    return date.fromisoformat(text[:10]) if text else None


def _failed_drill(desk: Desk) -> str:
    """That the last trial failed, until one succeeds: also after the program was started anew."""
    tried = last_drill(desk.store.shelf)
    return f"The newest backup was tried, and that failed. {tried.fault}" if tried and tried.fault else ""


def notices(desk: Desk) -> tuple[str, ...]:
    """Sentences with their way on."""
    if desk.read_only:
        return ()
    upkeep = desk.request.app.state.upkeep
    trouble = (upkeep.trouble if upkeep is not None else "") or _failed_drill(desk)
    way = Markup('<a href="{}">{}</a>')
    found = [Markup("{} {}").format(trouble, way.format(addresses.BACKUPS, "Look at the backups"))] if trouble else []
    known = elsewhere(desk.store.shelf)
    if is_old(known, begun_on(desk), desk.today):
        since = (
            f"The last copy of your data elsewhere is from {desk.formats.day(known.at.date())}."
            if known.at
            else ("Your data is on one computer only: there is no copy of it elsewhere yet.")
        )
        copy = way.format(f"{addresses.BACKUPS}#elsewhere", "Make one, or be reminded later")
        found.append(Markup("{} {}").format(since, copy))
    return tuple(found)
