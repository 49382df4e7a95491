"""How many examples a property is tried on: a third in a run that somebody waits for, all in `.ci/run deep`."""

from __future__ import annotations

import os

#: set by `.ci/run deep`
IN_FULL = "EXAMPLES_IN_FULL"
#: so many requests are sent at random to each operation of the interface, where it is set
AN_OPERATION = "FUZZED_AN_OPERATION"


def of(full: int) -> int:
    """So many with EXAMPLES_IN_FULL set; else a third, though never fewer than 4."""
    return full if os.environ.get(IN_FULL) else max(full // 3, 4)
