"""What is said on every page about the data: it was changed from outside, its disk is read-only, the clock is wrong."""

from __future__ import annotations

import os
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from markupsafe import Markup

from webapp.pages import addresses
from webapp.store.at_rest import CHANGED, SAME, UNKNOWN

if TYPE_CHECKING:
    from webapp.pages.rendering import Desk


A_LITTLE = timedelta(minutes=10)
READ_ONLY = (
    "The disk that your data is on is read-only just now: you can look at everything, but nothing can be saved. See "
    "that it can be written to; what you have typed stays on its page until then."
)


def about_the_data(desk: Desk) -> tuple[str, ...]:
    """What there is to say of it; nothing where all is as it should be."""
    return (*changed_outside(desk), *([READ_ONLY] if _is_read_only(desk) else []), *behind_the_newest(desk))


def behind_the_newest(desk: Desk) -> tuple[str, ...]:
    """That the clock lies before what was saved last; nothing where it does not, or only by what clocks are set by."""
    newest = desk.snapshot.once("newest", lambda: desk.store.changes(1))
    if not newest or newest[0].when <= datetime.now(UTC) + A_LITTLE:
        return ()
    said = (
        f"What was saved last is of {_moment(desk, newest[0].when)}, and the clock of this computer is before that: it "
        "is wrong now, or was then. Nothing is lost, and changes keep their order. But what is entered holds from the "
        "day that the clock says, so set it right before you go on, and see that nothing holds from a wrong day."
    )
    way = Markup('<a href="{}">{}</a>').format(addresses.CHANGES, "What was saved lately")
    return (Markup("{} {}").format(said, way),)


def _is_read_only(desk: Desk) -> bool:
    """As the system says of the disk: nothing is written to find out, and a database sees to itself."""
    look = getattr(os, "statvfs", None)  # not every system has it
    if look is None or not desk.store.is_file:
        return False
    with suppress(OSError):
        return bool(look(desk.store.shelf.file.parent).f_flag & os.ST_RDONLY)
    return False


def changed_outside(desk: Desk) -> tuple[str, ...]:
    """The sentence with its ways on; none where the data is as it was left."""
    found = desk.store.at_rest
    if not found.is_changed:
        return ()
    way = Markup('<a href="{}">{}</a>')
    when = f" on {_moment(desk, found.closed)}" if found.closed else ""
    compare = (
        Markup(" {}, and go back to it if anything is wrong.").format(
            way.format(addresses.backup(found.before), "See how it differs from the newest backup of then")
        )
        if found.before
        else Markup(" There was no backup to compare it with.")
    )
    mine = Markup(" If it was you, {}.").format(way.format(f"{addresses.DATA}#outside", "say so"))
    said = f"The file of your data was changed by something other than Brimful after it was last closed{when}."
    more = " It can be read whole, but a figure in it may not be what you entered."
    return (Markup("{}{}{}{}").format(said, more, compare, mine),)


def rest_words(desk: Desk) -> str:
    """Whether the data was as it had been left, in words; "" where there is nothing to say."""
    found = desk.store.at_rest
    when = f" on {_moment(desk, found.closed)}" if found.closed else ""
    return {
        SAME: f"At its last start it was as Brimful had left it{when}, by its checksum.",
        CHANGED: f"At its last start it was not as Brimful had left it{when}.",
        UNKNOWN: (
            "There was no checksum to compare with at its last start: Brimful was not closed the time before (as in a "
            "power cut). The database's own check found it whole, but that does not notice every change."
        ),
    }.get(found.state, "")


def _moment(desk: Desk, when: datetime) -> str:
    there = when.astimezone()
    return f"{desk.formats.day(there.date())}, {there:%H:%M}"
