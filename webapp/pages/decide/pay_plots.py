"""Net sales against costs, drawn: where they meet, the month breaks even."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.pay import Covering
from webapp.pages.formats import Formats
from webapp.pages.plots import Plot, Point, Series, amounts, plot

TITLE = "A month's net sales against its costs, your own pay among them"


def sales_and_costs(formats: Formats, month: Covering, fixed: Decimal) -> Plot | None:
    """Both over the net sales, the mix as it is: where they meet it breaks even. None where they never do."""
    now, even, ratio = month.mix.net_sales, month.even.net_sales, month.mix.ratio
    if not (isinstance(now, Decimal) and isinstance(even, Decimal) and isinstance(ratio, Decimal)):
        return None

    def costs(sales: Decimal) -> Decimal:
        return fixed + sales * (ONE - ratio)

    across = amounts([ZERO, now, even], formats.count)
    top = across.high
    told = f"Break-even at net sales of {formats.money(even)}"
    now_told = f"Now: net sales of {formats.money(now)}, costs of {formats.money(costs(now))}"
    series = (
        Series("Net sales", "first", (Point(ZERO, ZERO), Point(now, now, now_told), Point(top, top))),
        Series("Costs: monthly bills, and what each jar costs", "second", (Point(ZERO, fixed), Point(top, costs(top)))),
        Series("Break-even", "aim", (Point(even, even, told, marked=True),), loose=True),
    )
    up = amounts([ZERO, top, costs(top), costs(ZERO)], formats.count)
    return plot(
        f"{TITLE}, in {formats.currency}", f"{told}. {now_told}. The figures stand in the table.", series, across, up
    )
