"""From a price that the market will bear back to what may be spent: on the jar, on its ingredients, on an own hour.

Method.md section 5, working back. Money is in home currency and per jar; all of it is shown rounded down.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.channels import MINUTES_AN_HOUR
from webapp.costing.gaps import Figure, Ref, from_known
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.line import wage, wage_parts
from webapp.costing.price_working import working as row_working
from webapp.costing.rows import Row
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

FIGURES = ("highest_cost", "ingredients", "wage")


class WorkedBack(NamedTuple):
    """What a row's price leaves for the jar, for its ingredients with all else as it is, and for an hour of one's own.

    Below zero: the rest costs more than the price can bear.
    """

    highest_cost: Figure
    ingredients: Figure
    wage: Figure


def worked_back(known: Reckoning, row: Row) -> WorkedBack:
    """From the row's price and target."""
    ingredients = from_known(lambda most, rest: most - rest, row.highest_cost, _rest(row))
    return WorkedBack(row.highest_cost, ingredients, wage(known.book, row))


def _rest(row: Row) -> Figure:
    """What the jar costs beside its ingredients."""
    return from_known(lambda cost, inside: cost - inside, row.cost, row.sheet.ingredients)


def working(known: Reckoning, row: Row, figure: str) -> Working:
    """The sum behind one of FIGURES. KeyError for another name."""
    most = row_working(known, row, "highest_cost")
    if figure == "highest_cost":
        return most
    first = Step("", row.highest_cost, "money", "that the jar may cost at most", working=most)
    return {"ingredients": _ingredients, "wage": _wage}[figure](known, row, first)


def _ingredients(known: Reckoning, row: Row, first: Step) -> Working:
    inside = sheet_working(known, row.product, "ingredients")
    rest = (
        Step("", row.cost, "money", "cost", working=row_working(known, row, "cost")),
        Step("-", row.sheet.ingredients, "money", "ingredients in it", working=inside),
    )
    below = Working("What the jar costs beside its ingredients", rest, _rest(row), "money")
    steps = (first, Step("-", _rest(row), "money", "all else in it, as it is", working=below))
    return Working("What its ingredients may cost", steps, worked_back(known, row).ingredients, "money")


def _wage(known: Reckoning, row: Row, first: Step) -> Working:
    _, without, minutes = wage_parts(known.book, row)
    at = Ref("product", row.product, "work")
    steps = (
        first,
        Step("-", without, "money", "cost without own pay"),
        Step("÷", minutes, "minutes", "own work in a jar, with the employer's extra on it", at),
        Step("×", MINUTES_AN_HOUR, "number", "minutes in an hour"),
    )
    return Working("What an own hour then pays", steps, wage(known.book, row), "money", unit="per hour")
