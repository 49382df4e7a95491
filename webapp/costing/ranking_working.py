"""A week's hours opened: what fills them, and what that contributes."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Ref
from webapp.costing.pay_working import MOST_OPENED
from webapp.costing.price_working import working as row_working
from webapp.costing.ranking import Demand, Filled, Week
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


def _name(known: Reckoning, one: Demand) -> str:
    return f"{known.book.products[one.product].name}, {known.book.channels[one.channel].name}"


def contribution_working(known: Reckoning, week: Week) -> Working:
    """What the week contributes before own pay: jars x contribution of each that is made."""
    made = [one for one in (*week.ranked, *week.without_hours) if one.jars]
    deep = len(made) <= MOST_OPENED
    steps = [_contributes(known, one, first=not n, deep=deep) for n, one in enumerate(made)]
    note = "Jars of a week, parts of one too, so that the hours are filled exactly."
    title = "What the week contributes before own pay"
    return Working(title, tuple(steps) or _nothing("money"), week.contribution, "money", note=note)


def _contributes(known: Reckoning, one: Filled, *, first: bool, deep: bool) -> Step:
    demand = one.demand
    row = known.row(demand.product, demand.channel)
    inner = row_working(known, row, "contribution_before_own_pay") if deep else None
    steps = (
        Step("", demand.contribution, "money", "contribution before own pay of a jar", working=inner),
        Step("×", one.jars, "number", "jars a week"),
    )
    made = Working(_name(known, demand), steps, one.contribution, "money")
    return Step("" if first else "+", one.contribution, "money", made.title, working=made)


def hours_working(known: Reckoning, week: Week) -> Working:
    """The hours that are used: jars x own hours of each that is made."""
    steps = [_takes(known, one, first=not n) for n, one in enumerate(one for one in week.ranked if one.jars)]
    return Working("Own hours used in the week", tuple(steps) or _nothing("number"), week.used, "number", unit="h")


def _takes(known: Reckoning, one: Filled, *, first: bool) -> Step:
    demand = one.demand
    steps = (
        Step("", demand.hours, "number", "own hours a jar, of making and of selling", Ref("product", demand.product)),
        Step("×", one.jars, "number", "jars a week"),
    )
    made = Working(_name(known, demand), steps, one.hours, "number", unit="h")
    return Step("" if first else "+", one.hours, "number", made.title, working=made, unit="h")


def one_more_working(known: Reckoning, week: Week, more: Week) -> Working:
    """What another hour would bring: the week with it less the week as it is. `more` is filled with an hour more."""
    steps = (
        Step("", more.contribution, "money", "with an hour more", working=contribution_working(known, more)),
        Step("-", week.contribution, "money", "as it is", working=contribution_working(known, week)),
    )
    return Working("What another hour would bring", steps, week.one_more, "money")


def _nothing(kind: str) -> tuple[Step, ...]:
    nothing: Decimal = ZERO
    return (Step("", nothing, kind, "nothing is made"),)


#: the figures of a week that are opened
FIGURES: dict[str, Callable[[Reckoning, Week], Working]] = {"contribution": contribution_working, "used": hours_working}
