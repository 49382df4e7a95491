"""Every address is made in one place, and a Ref of the core leads to the very field that it means."""

from __future__ import annotations

import pytest

from webapp.costing.gaps import Ref
from webapp.pages import addresses


@pytest.mark.parametrize(
    ("ref", "href"),
    [
        (None, ""),
        (Ref("material", 5), "/buy/materials/5"),
        (Ref("material", 5, "density-value"), "/buy/materials/5/edit#f-density-value"),
        (Ref("order", 7, "lines-3-price"), "/buy/orders/7/edit#f-lines-3-price"),
        (Ref("terms", 1, "making_hours"), "/settings/terms#f-making_hours"),
        (Ref("workshop", 1), "/settings/workshop"),
        (Ref("product", 4, "sales-9"), "/price/products/4/9/sales"),
        (Ref("product", 4, "fills"), "/price/products/4/edit#f-fills"),
        (Ref("channel", -1, "target"), "/price/channels/new"),
        (Ref("nothing of ours", 1), ""),
    ],
)
def test_a_ref_leads_to_its_field(ref: Ref | None, href: str) -> None:
    assert addresses.href(ref) == href


@pytest.mark.parametrize("kind", addresses.THINGS)
def test_a_thing_is_below_its_list(kind: str) -> None:
    assert addresses.thing(kind, 3) == addresses.ONE[kind].format(ident=3)
    assert addresses.thing(kind, 3, "retire") == addresses.RETIRE[kind].format(ident=3)
    assert addresses.kind_at(addresses.thing(kind, 3, "edit")) == kind
    assert addresses.create(kind) == addresses.listing(kind) == addresses.LIST[kind]


def test_a_likely_beginning_is_not_enough() -> None:
    assert addresses.kind_at("/buy/orders-of-others/1") == ""
    assert addresses.kind_at("/") == ""


def test_the_undo_names_where_to_go_afterwards() -> None:
    assert addresses.undo(12, "bill") == "/undo/12?kind=bill"
    assert addresses.undo(12) == "/undo/12"


def test_a_sum_leads_to_the_line_of_an_order_as_it_was_kept() -> None:
    assert addresses.looked_at(Ref("order", 7, "lines-3-price")) == "/buy/orders/7#line-3"
    assert addresses.looked_at(Ref("order", 7, "lines-3")) == "/buy/orders/7#line-3"
    assert addresses.looked_at(Ref("order", 7, "charges-0-amount")) == "/buy/orders/7"
