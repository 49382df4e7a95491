"""The figures of a price list opened to their working, from the same rows that the list is made of."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE
from webapp.costing.channel_working import Told
from webapp.costing.gaps import Ref
from webapp.costing.price_lists import ListAsked, Listed, listed
from webapp.costing.rows import Row
from webapp.costing.suggestion_working import net_sum, recommended_sum, suggested_sum
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class _Told(NamedTuple):
    told: Told
    listed: Listed
    per: Decimal | None

    @property
    def name(self) -> str:
        return self.told.name


def working(known: Reckoning, row: Row, asked: ListAsked, figure: str) -> Working | None:
    """The sum behind one of FIGURES of a row whose price is known; None where the list does not say that figure."""
    channel = known.book.channels[row.channel]
    return _SUMS[figure](_Told(Told(known, row, channel), listed(known.book, row, asked), asked.per))


def _price(told: _Told) -> Working:
    row = told.told.row
    if not row.terms.retail and row.terms.marked != ONE:
        note = "On a list for shops prices are net of tax, to the smallest coin."
        title = f"Price on the list: {told.name}"
        return Working(title, net_sum(told.told).steps, told.listed.price, "money", note=note)
    words = "accepted price" if row.accepted else "suggested price"
    source = Ref("product", row.product, f"price-{row.channel}") if row.accepted else None
    opened = None if row.accepted else suggested_sum(told.told)
    step = Step("", row.price, "money", words, source, opened)
    return Working(f"Price on the list: {told.name}", (step,), told.listed.price, "money")


def _unit_price(told: _Told) -> Working | None:
    if told.per is None or told.listed.unit_price is None:
        return None
    fill = told.listed.declared[0]
    at = Ref("product", told.listed.product, "fills-0-declared")
    steps = (
        Step("", told.listed.price, "money", "price on the list", working=_price(told)),
        Step("÷", fill.declared, fill.unit, "declared", at),
        Step("×", told.per, fill.unit, "to speak of"),
    )
    note = "Rounded half-up to the smallest coin; below 1 to a tenth of it, where a coin has hundredths."
    return Working(f"Unit price: {told.name}", steps, told.listed.unit_price, "unit cost", note=note)


def _case_price(told: _Told) -> Working | None:
    if told.listed.case_jars is None or told.listed.case_price is None:
        return None
    at = Ref("product", told.listed.product, "case_jars")
    steps = (
        Step("", told.listed.price, "money", "price on the list", working=_price(told)),
        Step("×", told.listed.case_jars, "number", "jars in a case", at),
    )
    return Working(f"Price of a case: {told.name}", steps, told.listed.case_price, "money")


def _recommended(told: _Told) -> Working | None:
    return None if told.listed.recommended_retail is None else recommended_sum(told.told)


_SUMS: dict[str, Callable[[_Told], Working | None]] = {
    "price": _price,
    "unit_price": _unit_price,
    "case_price": _case_price,
    "recommended_retail": _recommended,
}
#: the figures of a list that can be opened
FIGURES: tuple[str, ...] = tuple(_SUMS)
