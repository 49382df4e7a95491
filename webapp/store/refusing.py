"""Why a data file is not opened, in sentences that say what to do: it is never replaced by itself."""

from __future__ import annotations

import shlex
from pathlib import Path

from webapp.errors import CannotStart
from webapp.settings import default_data
from webapp.store.backups import Shelf


def damaged(path: Path) -> CannotStart:
    """It can't be read whole."""
    return CannotStart(f"{path} is damaged and was not touched. {instead(path)}")


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
