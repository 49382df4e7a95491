"""Facts about a product on a channel: the accepted price, the target margin, jars sold a month."""

from __future__ import annotations

from webapp.costing.book import Price, Sales, Target
from webapp.store.aspects import Aspect, Stored
from webapp.store.selling_tables import PriceRow, SalesRow, TargetRow

STORED = (
    Stored("price", Price, content=Aspect(PriceRow)),
    Stored("target", Target, content=Aspect(TargetRow)),
    Stored("sales", Sales, content=Aspect(SalesRow)),
)
