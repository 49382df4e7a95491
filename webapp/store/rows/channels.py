"""Channels: what selling there costs from a day on."""

from __future__ import annotations

from webapp.costing.book import Channel, SellingTime
from webapp.store.aspects import Aspect, Stored
from webapp.store.rows.retired import RETIRED
from webapp.store.selling_tables import ChannelContentRow, ChannelRow, ChannelWorkRow

STORED = (
    Stored(
        "channel",
        Channel,
        head=Aspect(ChannelRow),
        content=Aspect(ChannelContentRow),
        lines={"work": Aspect(ChannelWorkRow, SellingTime)},
        retired=RETIRED,
    ),
)
