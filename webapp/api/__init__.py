"""The JSON interface: everything that a page can do and show, by the same stems. It asks and shows, as pages do."""

from __future__ import annotations

from webapp.api import (
    changes,
    docs,
    line,
    lists,
    lowering,
    materials,
    needs,
    orders,
    packs,
    previews,
    price_lists,
    products,
    reviews,
    rises,
    settings,
    things,
    waterfall,
    what_ifs,
)
from webapp.api.asking import STEMS
from webapp.api.interface import PREFIX

__all__ = ["PARTS", "PREFIX", "STEMS"]

#: fixed addresses stand before those with a variable
PARTS = (
    settings,
    orders,
    lists,
    materials,
    packs,
    what_ifs,
    previews,
    waterfall,
    rises,
    lowering,
    products,
    reviews,
    line,
    price_lists,
    needs,
    changes,
    docs,
    things,
)
