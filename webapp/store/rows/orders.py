"""Supplier orders: what stands on the invoice."""

from __future__ import annotations

from webapp.costing.book import Charge, Exchange, Order, OrderLine
from webapp.store.aspects import Aspect, Stored
from webapp.store.buying_tables import OrderChargeRow, OrderLineRow, SupplierOrderRow

STORED = (
    Stored(
        "order",
        Order,
        head=Aspect(SupplierOrderRow, within={"exchange": Exchange}),
        lines={"lines": Aspect(OrderLineRow, OrderLine), "charges": Aspect(OrderChargeRow, Charge)},
    ),
)
