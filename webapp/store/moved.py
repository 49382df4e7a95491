"""What was changed by somebody else after it was read."""

from __future__ import annotations

from typing import Any

from webapp import errors
from webapp.store.reading import Key


class Moved(errors.Stale):
    """409 with both records: `before` as it was when read, `after` as it is now; None where it is not there."""

    def __init__(self, key: Key, read_at: int, now: int, before: Any, after: Any) -> None:
        self.key, self.before, self.after = key, before, after
        super().__init__(read_at=read_at, now=now)
