"""The tables of the files that were read last, so that a file that is looked at again is not read anew.

Known by the digest of name and bytes; few files and few cells are kept, and what can't be read is tried again.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from threading import Lock

from webapp.exchange.reading import Table, read_tables

#: how many files are kept, and how many cells of all of them
MOST_FILES, MOST_CELLS = 4, 200_000


class Remembered:
    """Files as tables; one for all requests of a process."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, tuple[Table, ...]] = OrderedDict()
        self._lock = Lock()

    def tables(self, name: str, data: bytes) -> tuple[Table, ...]:
        """As `read_tables` gives them; CannotRead as there."""
        key = hashlib.sha256(name.encode() + b"\0" + data).hexdigest()
        with self._lock:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
                return found
        found = read_tables(name, data)
        with self._lock:
            self._kept[key] = found
            while len(self._kept) > MOST_FILES or sum(map(_cells, self._kept.values())) > MOST_CELLS:
                self._kept.popitem(last=False)
        return found


def _cells(tables: tuple[Table, ...]) -> int:
    return sum(len(row) for table in tables for row in table.rows)
