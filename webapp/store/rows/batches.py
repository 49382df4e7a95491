"""Batches that were made: what was weighed, what was filled, who worked at it."""

from __future__ import annotations

from webapp.costing.book import Filled, MadeBatch, Spent, Weighed
from webapp.store.aspects import Aspect, Stored
from webapp.store.making_tables import BatchFilledRow, BatchRow, BatchSpentRow, BatchWeighedRow

STORED = (
    Stored(
        "batch",
        MadeBatch,
        head=Aspect(BatchRow),
        lines={
            "lines": Aspect(BatchWeighedRow, Weighed),
            "filled": Aspect(BatchFilledRow, Filled),
            "spent": Aspect(BatchSpentRow, Spent),
        },
    ),
)
