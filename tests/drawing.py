"""How much is drawn at random: a third in a plain run, so that it ends while one waits; all of it by `.ci/run deep`."""

from __future__ import annotations

import os

ALL_OF_IT = os.environ.get("DRAW_ALL") == "1"
FEWEST = 5


def up_to(many: int) -> int:
    """So many where all is drawn, else a third of them and a few at least."""
    return many if ALL_OF_IT else max(min(many, FEWEST), many // 3)
