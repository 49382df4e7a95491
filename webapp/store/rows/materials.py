"""Suppliers, materials and what suppliers ask for them."""

from __future__ import annotations

from webapp.costing.book import Density, Exchange, Material, Quote, Review, StartingPrice, Supplier
from webapp.store.aspects import Aspect, Stored
from webapp.store.buying_tables import DensityRow, MaterialRow, QuoteRow, ReviewRow, SupplierRow
from webapp.store.rows.retired import RETIRED

STORED = (
    Stored("supplier", Supplier, head=Aspect(SupplierRow), retired=RETIRED),
    Stored(
        "material",
        Material,
        head=Aspect(MaterialRow, within={"starting": StartingPrice}),
        parts={"density": Aspect(DensityRow, Density)},
        retired=RETIRED,
    ),
    Stored("quote", Quote, head=Aspect(QuoteRow, within={"exchange": Exchange})),
    Stored("review", Review, content=Aspect(ReviewRow), about="material"),
)
