"""What is left in a data file: which suppliers, whether it is whole."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from webapp.store.opening import FILE

#: rows that only make sense together: a change, what it made, and the ledger that counts it
_SOUND = {
    "the ledger counts the changes": "SELECT count(*) - (SELECT version FROM ledger) FROM change",
    "no change has a number that is none": "SELECT count(*) FROM change WHERE id > (SELECT version FROM ledger)",
    "what was made is there": (
        "SELECT count(*) FROM thing WHERE kind = 'supplier' AND id NOT IN (SELECT thing FROM supplier)"
    ),
    "nothing is there twice": "SELECT count(*) - count(DISTINCT name_key) FROM supplier WHERE ended_in IS NULL",
}


class Torn(Exception):
    """The file does not hold what belongs together."""


def names_in(folder: Path) -> set[str]:
    """The names of all suppliers in a data folder. Torn where the file is not whole; a journal is taken back first."""
    return names_of(folder / FILE)


def names_of(file: Path) -> set[str]:
    """The same for a file."""
    try:
        with closing(sqlite3.connect(file, timeout=5)) as connection:
            if (told := connection.execute("PRAGMA integrity_check").fetchall()) != [("ok",)]:
                raise Torn(str(told)[:200])
            if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
                raise Torn("references")
            for what, query in _SOUND.items():
                if connection.execute(query).fetchone() != (0,):
                    raise Torn(f"not so: {what}")
            return {name for (name,) in connection.execute("SELECT name FROM supplier WHERE ended_in IS NULL")}
    except sqlite3.Error as error:
        raise Torn(str(error)) from error
