"""The JSON interface: everything that a page can do and show, by the same stems. It asks and shows, as pages do."""

from __future__ import annotations

from webapp.api import (
    backups,
    batches,
    cautions,
    changes,
    densities,
    devices,
    docs,
    hours,
    line,
    lists,
    lowering,
    materials,
    monthly_sales,
    needs,
    orders,
    own_sheets,
    packs,
    pay,
    previews,
    price_lists,
    products,
    reviews,
    rises,
    settings,
    sizes,
    things,
    verdicts,
    waterfall,
    what_ifs,
    whole_book,
)
from webapp.api.asking import STEMS
from webapp.api.interface import PREFIX

__all__ = ["PARTS", "PREFIX", "STEMS"]

#: fixed addresses stand before those with a variable
PARTS = (
    settings,
    whole_book,
    backups,
    devices,
    orders,
    batches,
    lists,
    materials,
    densities,
    cautions,
    packs,
    pay,
    hours,
    monthly_sales,
    own_sheets,
    what_ifs,
    sizes,
    verdicts,
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
