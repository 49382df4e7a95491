"""What a price is made of, as a bar: its parts fill it, a loss stands beyond what the price pays, a gap draws none."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from types import SimpleNamespace
from typing import cast

import pytest

from tests.books import small
from webapp.costing.gaps import Gap
from webapp.costing.line import Row
from webapp.costing.reckoning import Reckoning
from webapp.pages.formats import formats_for
from webapp.pages.price.makeup import parts, small_bar

FORMATS = formats_for("en_GB", "GBP", "kg")


@pytest.mark.parametrize("seed", range(40))
def test_the_parts_fill_the_bar_and_none_is_below_zero(seed: int) -> None:
    for one in Reckoning(small(Random(seed))).line():  # a test wants the same books again
        drawn = parts(FORMATS, one)
        wide = [width for _, _, _, width in drawn]
        assert all(width >= 0 for width in wide)
        if isinstance(one.margin, Gap):
            continue
        # Each width is rounded to a hundredth of a percent.
        assert not drawn or abs(sum(wide, Decimal(-100))) <= Decimal("0.005") * len(wide)
        assert [key for key, _, _, _ in drawn][-1:] in ([], ["left"], ["loss"])


def row(price: str | Gap, net: str, *, fees: str = "0", **sheet: str | Gap) -> Row:
    """As much of a row as the bar looks at; a part that is not named costs nothing."""
    names = ("ingredients", "packaging", "labour_hired", "overhead", "one_offs")
    costs = {name: sheet.get(name, "0") for name in names}
    figures = {name: one if isinstance(one, Gap) else Decimal(one) for name, one in costs.items()}
    nothing = SimpleNamespace(labour_hired=Decimal(0))
    marked = price if isinstance(price, Gap) else Decimal(price)
    told = SimpleNamespace(
        price=marked,
        net=price if isinstance(price, Gap) else Decimal(net),
        fees=Decimal(fees),
        own_pay=Decimal(0),
        sheet=SimpleNamespace(**figures),
        terms=nothing,
    )
    return cast("Row", told)


def widths(of: Row) -> list[tuple[str, str]]:
    return [(key, f"{width.normalize():f}") for key, _, _, width in parts(FORMATS, of)]


def test_each_part_is_as_wide_as_its_share_of_the_price() -> None:
    # 12.00 with 2.00 tax in it; 3.00 + 1.50 cost, 0.90 fees: 4.60 left.
    of = row("12", "10", fees="0.90", ingredients="3", packaging="1.50")
    found = widths(of)
    assert found == [("ingredients", "25"), ("packaging", "12.5"), ("fees", "7.5"), ("tax", "16.67"), ("left", "38.33")]


def test_a_loss_stands_beyond_what_the_price_pays() -> None:
    # 5.00 for 8.00 of cost: what is paid is 62.5 % of the bar, 5 / 8 of each part.
    assert widths(row("5", "5", ingredients="6", packaging="2")) == [
        ("ingredients", "46.88"),
        ("packaging", "15.63"),
        ("loss", "37.5"),
    ]


def test_what_costs_nothing_is_not_drawn() -> None:
    assert widths(row("5", "5")) == [("left", "100")]
    assert widths(row("0", "0")) == []
    assert widths(row("0", "0", ingredients="2")) == [("ingredients", "0"), ("loss", "100")]


def test_fees_below_zero_are_not_drawn_as_a_part() -> None:
    # The buyer pays 0.50 more postage than it takes: it is no cost, and no width is below zero.
    found = widths(row("5", "5", fees="-0.50", ingredients="2"))
    assert found == [("ingredients", "36.36"), ("left", "63.64")]  # 2.00 and 3.50 of 5.50


def test_nothing_is_drawn_while_a_part_is_not_known() -> None:
    unknown = Gap("Tin has no price yet. Enter an order, or a starting price.")
    assert parts(FORMATS, row("5", "5", packaging=unknown)) == ()
    assert parts(FORMATS, row(unknown, "5", ingredients="2")) == ()


def test_a_name_in_the_title_of_a_small_bar_stays_words() -> None:
    drawn = small_bar(parts(FORMATS, row("5", "5")), '<script>"x"</script>')
    assert "<script>" not in drawn
    assert "&lt;script&gt;&#34;x&#34;" in drawn
    assert not small_bar((), "x")
