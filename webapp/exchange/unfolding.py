"""A packed file is unfolded once to count what is in it, before anything reads it: its own figures are not believed."""

from __future__ import annotations

import io
import re
import zlib
from zipfile import BadZipFile, LargeZipFile, ZipFile

from webapp.exchange.tables import MOST_ENTRIES, MOST_RATIO, MOST_UNFOLDED, RATIO_COUNTS_FROM, CannotRead

_CHUNK = 256 * 1024
#: how much of one chunk is looked at again with the next, so that nothing hides in the cut
_TAIL = 512
_DECLARED = re.compile(rb"<!(DOCTYPE|ENTITY)", re.IGNORECASE)
#: a formula without the value that it had: the end of <f> and no <v> with something in it before the cell ends
_VALUELESS = re.compile(rb"(</f>|<f(\s[^>]*)?/>)\s*(<v\s*/>|<v>\s*</v>)?\s*</c>")
BROKEN = "This file is damaged, or it was not saved to its end. Open it in your spreadsheet program and save it again."
FETCHING = "This file wants to fetch or repeat things while it is read, so it was not opened."
TOO_FULL = (
    "This file unfolds to far more than a sheet of a workshop holds, so it was not opened. Save the sheet that you "
    "need in a file of its own."
)


def looked_through(data: bytes) -> tuple[frozenset[str], frozenset[str]]:
    """All entries by name, and those with formulas that have no value. CannotRead where one is not to be read."""
    try:
        with ZipFile(io.BytesIO(data)) as packed:
            entries = packed.infolist()
            if len(entries) > MOST_ENTRIES:
                raise CannotRead(f"This file is made of more than {MOST_ENTRIES} parts, so it was not opened.")
            if any(entry.flag_bits & 1 for entry in entries):
                raise CannotRead("This file is locked by a password. Take the password off and save it again.")
            names = [entry.filename for entry in entries]
            if len(set(names)) != len(names):
                raise CannotRead(BROKEN)
            return frozenset(names), _counted(packed, names, len(data))
    except (BadZipFile, LargeZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError) as error:
        raise CannotRead(BROKEN) from error


def _counted(packed: ZipFile, names: list[str], size: int) -> frozenset[str]:
    """Every entry, read to its end in pieces that are thrown away."""
    unfolded, valueless = 0, set()
    for name in names:
        tail = b""
        with packed.open(name) as entry:
            while piece := entry.read(_CHUNK):
                unfolded += len(piece)
                if unfolded > MOST_UNFOLDED or unfolded > max(RATIO_COUNTS_FROM, MOST_RATIO * size):
                    raise CannotRead(TOO_FULL)
                here = tail + piece
                if _DECLARED.search(here.replace(b"\0", b"")):
                    raise CannotRead(FETCHING)
                if _VALUELESS.search(here):
                    valueless.add(name)
                tail = here[-_TAIL:]
    return frozenset(valueless)
