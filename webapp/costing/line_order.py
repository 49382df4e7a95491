"""Parts of the product line, and the orders it can be looked at in: the same for the page and for JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.book import Id
from webapp.costing.dependence import rests_on_old
from webapp.costing.gaps import Figure, from_known
from webapp.costing.leaning import uses
from webapp.costing.limits import name_key
from webapp.costing.price_history import quoted_in
from webapp.costing.rows import Row, per_hundred

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

NAME, MARGIN, JARS = "name", "margin", "jars"


def left_a_month(row: Row) -> Figure | None:
    """What the row leaves a month, in home currency; None while its jars a month are not typed."""
    jars = row.jars_a_month
    return None if jars is None else from_known(lambda left: left * jars, row.profit)


def net_a_month(row: Row) -> Figure | None:
    """Its net sales a month, in home currency; None while its jars a month are not typed."""
    jars = row.jars_a_month
    return None if jars is None else from_known(lambda net: net * jars, row.net)


def cost_per_100_g(row: Row) -> Figure:
    """Its cost, as its margin bears it, per 100 g declared."""
    return per_hundred(row.cost, row.sheet.declared_grams)


#: what the line is sorted by, beside the name -> the figure of a row; a margin by its distance from the target.
#: Money is in home currency, margins and targets are fractions.
FIGURES: dict[str, Callable[[Row], Figure | None]] = {
    "price": lambda row: row.price,
    "net": lambda row: row.net,
    "cost": lambda row: row.cost,
    "fees": lambda row: row.fees,
    "profit": lambda row: row.profit,
    "left": lambda row: row.contribution,
    "hundred": lambda row: row.per_100_g,
    "hundred_ml": lambda row: row.per_100_ml,
    "hour": lambda row: row.per_labour_hour,
    MARGIN: lambda row: row.distance,
    "before_pay": lambda row: row.margin_before_own_pay,
    "target": lambda row: row.target,
    "markup": lambda row: row.markup,
    "price_hundred": lambda row: row.price_per_100_g,
    "cost_hundred": cost_per_100_g,
    JARS: lambda row: row.jars_a_month,
    "net_month": net_a_month,
    "month": left_a_month,
    "lost": lambda row: None if row.jars_a_month is None else row.lost_a_month,
}
SORTS = (NAME, *FIGURES)
#: a part of the line -> whether a row is in it
PARTS: dict[str, Callable[[Row], bool]] = {
    "below": lambda row: row.reaches is False,
    "unpriced": lambda row: not row.accepted,
    "missing": lambda row: row.gap is not None,
}
#: a part of the line by what its costs rest on -> whether a product is in it
RESTING: dict[str, Callable[[Reckoning, Id], bool]] = {
    "stale": rests_on_old,
    "quoted": lambda known, product: bool(quoted_in(known, product)),
}
ONLY = (*PARTS, *RESTING)


def part_of(rows: Sequence[Row], only: str = "", channel: Id | None = None) -> list[Row]:
    """The rows of one part (a key of `PARTS`; "" all of them) and of one channel."""
    inside = PARTS.get(only)
    return [row for row in rows if (channel is None or row.channel == channel) and (inside is None or inside(row))]


def sorted_by(rows: list[Row], sort: str = NAME, *, down: bool = False) -> list[Row]:
    """By one of `SORTS`; what is not known comes last either way. `rows` come by name already."""
    if sort == NAME:
        return rows[::-1] if down else rows
    figures = [(FIGURES[sort](row), row) for row in rows]
    known = [(figure, row) for figure, row in figures if isinstance(figure, Decimal)]
    missing = [row for figure, row in figures if not isinstance(figure, Decimal)]
    return [row for _, row in sorted(known, key=lambda pair: pair[0], reverse=down)] + missing


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which rows of the line are asked for, and in which order.

    `only` is one of `ONLY`; `formula` is anywhere in the product, within pre-blends and sets too; `find` are words that
    a product's name has in it. Nothing asked: all of it by name.
    """

    sort: str = NAME
    down: bool = False
    only: str = ""
    channel: Id | None = None
    formula: Id | None = None
    find: str = ""
    products: frozenset[Id] = frozenset()

    def of(self, known: Reckoning) -> list[Row]:
        """Those rows, in that order."""
        rows = part_of(known.line(), self.only, self.channel)
        if self.only in RESTING or self.formula is not None or self.find or self.products:
            fit = {product: self._has(known, product) for product in {row.product for row in rows}}
            rows = [row for row in rows if fit[row.product]]
        return sorted_by(rows, self.sort, down=self.down)

    def _has(self, known: Reckoning, product: Id) -> bool:
        resting = RESTING.get(self.only)
        name = name_key(known.book.products[product].name)
        return (
            (not self.products or product in self.products)
            and all(word in name for word in name_key(self.find).split())
            and (self.formula is None or ("formula", self.formula) in uses(known, ("product", product)))
            and (resting is None or resting(known, product))
        )
