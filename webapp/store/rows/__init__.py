"""What a record looks like in its tables, one module a stem."""

from __future__ import annotations

from webapp.store.aspects import Aspect, Stored
from webapp.store.rows import batches, channels, formulas, materials, orders, prices, products, workshop

#: Every kind of record, in an order in which what is referred to comes before what refers.
STORED: dict[str, Stored] = {
    stored.kind: stored
    for module in (workshop, materials, orders, formulas, products, batches, channels, prices)
    for stored in module.STORED
}
#: Every table of a record once (that of retirement is shared by many kinds), by its name.
ASPECTS: dict[str, Aspect] = {aspect.table.name: aspect for stored in STORED.values() for aspect in stored.aspects}
