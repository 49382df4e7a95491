"""Retirement, the same for everything that can retire."""

from __future__ import annotations

from webapp.store.aspects import Aspect
from webapp.store.tables import RetiredRow

RETIRED = Aspect(RetiredRow)
