"""Why a data file is not opened, in sentences that say what to do: it is never replaced by itself."""

from __future__ import annotations

import shlex
from pathlib import Path

from webapp.errors import CannotStart
from webapp.settings import default_data
from webapp.store.at_rest import SAME, AtRest
from webapp.store.backup_telling import when_words
from webapp.store.backups import Shelf


def damaged(path: Path) -> CannotStart:
    """It can't be read whole."""
    return CannotStart(f"{path} is damaged and was not touched. {instead(path)}")


def missing(path: Path) -> CannotStart:
    """It is not there, but backups of it are: nobody would begin anew by accident."""
    newest = Shelf(path).newest_whole()
    if newest is not None:
        found = (
            f"but backups of it are. The newest whole one is of {when_words(newest)}. To bring it back, type: "
            f"{command('restore', newest.name, path)}"
        )
    else:
        found = (
            "but backups of it are, and none of them is whole. If you keep a copy elsewhere, type: "
            f"{command('restore', 'FILE', path)}"
        )
    return CannotStart(
        f"{path} is not there, {found} To begin anew on purpose, type: {command('serve', '--anew', path)}"
    )


def absent(path: Path, otherwise: str) -> CannotStart:
    """It is not there: with the backups that are, or where none are, `otherwise`."""
    return missing(path) if Shelf(path).all() else CannotStart(otherwise)


def rest_line(found: AtRest, path: Path) -> str:
    """Whether the file is as it was left, for the command line."""
    if found.state == SAME:
        return "It is as Brimful left it, by its checksum."
    if not found.is_changed:
        return (
            "Whether it was changed from outside can't be told: there is no checksum of it. That is so while Brimful "
            "runs, and after it was not closed (as in a power cut); only the database's own check was made."
        )
    compared = f" Compare it with the backup {found.before} on the page Your data." if found.before else ""
    return (
        f"It was changed by something other than Brimful after it was last closed{_at(found)}.{compared} To go back, "
        f"type: {command('restore', found.before or 'FILE', path)} If it was you, type: "
        f"{command('check', '--accept', path)}"
    )


def _at(found: AtRest) -> str:
    return f" ({found.closed.astimezone():%Y-%m-%d %H:%M})" if found.closed else ""


def instead(path: Path) -> str:
    """What to do about a file that cannot be read: how the newest whole backup is put back, where there is one."""
    newest = Shelf(path).newest_whole()
    if newest is not None:
        return f"To go back to the newest whole backup, type: {command('restore', newest.name, path)}"
    return (
        "There is no whole backup of it here. If you keep a copy elsewhere, type: "
        f"{command('restore', 'FILE', path)} If there is none, move the file away to start anew."
    )


def command(word: str, what: str, path: Path) -> str:
    """A command as it is typed, with the folder of the data where that is not the usual one."""
    usual = path.parent == default_data()
    return f"brimful {word} {what}" + ("" if usual else f" --data {shlex.quote(str(path.parent))}")


def newer(where: str, path: Path | None = None) -> CannotStart:
    """It was written by a later version of the program."""
    return CannotStart(
        f"{where} was written by a newer Brimful. Update the program, then start it again. Nothing was touched."
        + (f" {instead(path)}" if path else "")
    )
