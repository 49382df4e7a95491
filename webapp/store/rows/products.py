"""Parts that go together, and products."""

from __future__ import annotations

from webapp.costing.book import Fill, Member, OneOff, Part, PartGroup, Product, Work
from webapp.store import making_tables as t
from webapp.store.aspects import Aspect, Stored
from webapp.store.rows.retired import RETIRED

STORED = (
    Stored(
        "group",
        PartGroup,
        head=Aspect(t.PartGroupRow),
        content=Aspect(t.PartGroupContentRow),
        lines={"parts": Aspect(t.PartGroupPartRow, Part)},
        retired=RETIRED,
    ),
    Stored(
        "product",
        Product,
        head=Aspect(t.ProductRow),
        content=Aspect(t.ProductContentRow),
        lines={
            "fills": Aspect(t.ProductFillRow, Fill),
            "parts": Aspect(t.ProductPartRow, Part),
            "members": Aspect(t.ProductMemberRow, Member),
            "work": Aspect(t.ProductWorkRow, Work),
            "one_offs": Aspect(t.ProductOneOffRow, OneOff),
            "channels": Aspect(t.ProductChannelRow, int),
        },
        retired=RETIRED,
    ),
)
