"""The cost of a gram of a formula opened to its working, through every pre-blend down to the order lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.costing.amounts import HUNDRED
from webapp.costing.book import Formula, FormulaLine, Id
from webapp.costing.formulas import FormulaShare, out_cost
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.weighing import weighed_per_good
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

PER_GRAM = "per g"


def working(known: Reckoning, formula: Id) -> Working:
    """Cost per gram as weighed: the share of each line times what a gram of it costs."""
    record = known.book.formulas[formula]
    title = f"Ingredients of a gram of {record.name}"
    steps = tuple(_line(known, record, share) for share in known.shares(formula))
    return Working(title, steps, known.formula(formula).per_gram, "unit cost", PER_GRAM)


def good_working(known: Reckoning, formula: Id) -> Working:
    """Cost per gram that a formula using this one pays: loss divides where it is made ahead."""
    made_ahead = known.book.formulas[formula].made_ahead
    return out_working(known, formula) if made_ahead else working(known, formula)


def out_working(known: Reckoning, formula: Id) -> Working:
    """Cost per gram that comes out of a batch: loss divides."""
    record = known.book.formulas[formula]
    cost = known.formula(formula)
    out = weighed_per_good(record)
    part = out if isinstance(out, Gap) else out.under / out.over
    steps = (
        Step("", cost.per_gram, "unit cost", "ingredients as weighed", None, working(known, formula), PER_GRAM),
        Step("÷", part, "percent", "comes out of what is weighed in", Ref("formula", formula, "loss"), _out(record)),
    )
    result = out_cost(known, record)
    return Working(f"Ingredients of a good gram of {record.name}", steps, result, "unit cost", PER_GRAM)


def hundred(cost: Figure) -> Figure:
    """Home currency for 100 g, of a cost per gram."""
    return from_known(lambda per_gram: per_gram * HUNDRED, cost)


def of_hundred(one: Working, words: str) -> Working:
    """The sum behind the cost of 100 g, from the sum behind a gram's."""
    steps = (
        Step("", HUNDRED, "g", words),
        Step("×", one.result, "unit cost", "what a gram costs", None, one, PER_GRAM),
    )
    return Working(f"100 g {words}", steps, hundred(one.result), "money")


def _out(formula: Formula) -> Working | None:
    """How much of a batch comes out, where a fixed number of grams is lost as well."""
    out = weighed_per_good(formula)
    if isinstance(out, Gap) or not formula.loss_grams:
        return None
    steps = (
        Step("", out.over, "g", "one batch", Ref("formula", formula.id, "batch_grams")),
        Step("-", out.over * formula.loss / HUNDRED, "g", "lost by the batch", Ref("formula", formula.id, "loss")),
        Step("-", formula.loss_grams, "g", "lost every time", Ref("formula", formula.id, "loss_grams")),
        Step("÷", out.over, "g", "one batch", Ref("formula", formula.id, "batch_grams")),
    )
    return Working(f"What comes out of a batch of {formula.name}", steps, out.under / out.over, "percent")


def _line(known: Reckoning, formula: Formula, share: FormulaShare) -> Step:
    at = Ref("formula", formula.id, f"lines-{share.place}-amount")
    steps = (
        Step("", share.share, "percent", "of the mass", at),
        Step("×", share.unit_cost, "unit cost", share.name, None, _below(known, share.line), PER_GRAM),
    )
    opened = Working(f"{share.name} in a gram of {formula.name}", steps, share.cost, "unit cost", PER_GRAM)
    return Step("+" if share.place else "", share.cost, "unit cost", share.name, _itself(share.line), opened, PER_GRAM)


def _itself(line: FormulaLine) -> Ref | None:
    """What a line names: the material or the formula. How much of it there is, is opened at the amount."""
    if line.formula is not None:
        return Ref("formula", line.formula)
    return None if line.material is None else Ref("material", line.material)


def _below(known: Reckoning, line: FormulaLine) -> Working | None:
    """A gap inside a nest is shown where it is; a loop is not opened at all."""
    if line.formula is not None:
        broken = isinstance(known.formula(line.formula).whole, Gap)
        return None if broken else good_working(known, line.formula)
    return known.material_working(line.material) if line.material is not None else None
