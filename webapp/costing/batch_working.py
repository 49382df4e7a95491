"""A batch and its jars opened to their working: what is weighed in, what comes out, what a jar takes and declares.

Masses are grams, volumes mL. Every sum repeats what batches.py reckons, step by step, from the same records.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.batches import FillSheet
from webapp.costing.book import Formula, Id, Product
from webapp.costing.formula_working import PER_GRAM
from webapp.costing.formula_working import working as formula_working
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.jars import CostSheet, own_sheet
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


#: one term of a sum: amount, words, where it was typed, its own working
Term: TypeAlias = "tuple[Figure, str, Ref | None, Working | None]"


class Told(NamedTuple):
    """What a sum is told about: the product, its sheet without members, and where the rest comes from."""

    known: Reckoning
    product: Product
    own: CostSheet

    @property
    def name(self) -> str:
        """The product's name, for a title."""
        return self.product.name

    def at(self, field: str) -> Ref:
        """The product, at one of its fields."""
        return Ref("product", self.product.id, field)

    def formula(self, fill: FillSheet) -> Formula:
        """What is filled in."""
        return self.known.book.formulas[fill.formula]


def added(terms: list[Term], kind: str = "money") -> list[Step]:
    """Terms as the steps of a sum."""
    return [
        Step("+" if place else "", amount, kind, words, source, below)
        for place, (amount, words, source, below) in enumerate(terms)
    ]


def filling(told: Told, fill: FillSheet) -> list[Step]:
    """From the cost of a gram to what a jar bears of its batch."""
    per_gram = told.known.formula(fill.formula).per_gram
    name = told.formula(fill).name
    return [
        Step("", per_gram, "unit cost", name, None, formula_working(told.known, fill.formula), PER_GRAM),
        Step("×", fill.batch_grams, "g", "weighed in for a batch", _batch_at(told, fill)),
        Step("÷", fill.jars, "pieces", "good jars", None, jars_working(told.known, told.product.id, fill.place)),
    ]


def _batch_at(told: Told, fill: FillSheet) -> Ref:
    return _typed_at(told, fill, "batch_grams")


def _typed_at(told: Told, fill: FillSheet, field: str) -> Ref:
    """Where a setting of the batch was typed: on the product where it has its own, else on the formula."""
    own = len(told.product.fills) == 1 and getattr(told.product, field) is not None
    return told.at(field) if own else Ref("formula", fill.formula, field)


def jars_working(known: Reckoning, product: Id, place: int = 0) -> Working:
    """How many good jars come of a batch: what comes out, over what a jar takes, in whole jars."""
    record = known.book.products[product]
    told = Told(known, record, own_sheet(known, record))
    fill = told.own.fills[place]
    steps = [
        Step("", fill.yield_grams, "g", "come out of a batch", None, _yield(told, fill)),
        Step("÷", fill.jar_grams, "g", "in a jar", None, _jar(told, fill)),
        Step("=", fill.filled, "pieces", "whole jars"),
    ]
    if record.set_aside and len(record.fills) == 1:
        steps.append(Step("-", record.set_aside, "pieces", "set aside", told.at("set_aside")))
    left = fill.left_grams
    note = "" if isinstance(left, Gap) or not left else "What is left over for a part of a jar is paid for too."
    return Working(f"Good jars of {record.name} in a batch", tuple(steps), fill.jars, "pieces", note=note)


def _yield(told: Told, fill: FillSheet) -> Working:
    fixed = told.formula(fill).loss_grams
    if len(told.product.fills) == 1 and told.product.loss_grams is not None:
        fixed = told.product.loss_grams
    steps = [Step("", fill.batch_grams, "g", "weighed in", _batch_at(told, fill))]
    share = from_known(lambda lost: lost - fixed, fill.loss_grams)
    if share:
        steps.append(Step("-", share, "g", "lost by the batch", _typed_at(told, fill, "loss")))
    if fixed:
        steps.append(Step("-", fixed, "g", "lost every time", _typed_at(told, fill, "loss_grams")))
    return Working(f"What comes out of a batch of {told.formula(fill).name}", tuple(steps), fill.yield_grams, "g")


def _jar(told: Told, fill: FillSheet) -> Working:
    typed = told.product.fills[fill.place]
    kind = typed.unit
    steps = [Step("", typed.declared, kind, "declared", told.at(f"fills-{fill.place}-declared"))]
    if typed.overfill:
        steps.append(Step("+", typed.overfill, kind, "overfill", told.at(f"fills-{fill.place}-overfill")))
    if fill.density is not None:
        at = Ref("formula", fill.formula, "density")
        steps.append(Step("×", fill.density, "number", "its density as filled", at, _density(told, fill), "g/mL"))
    return Working(f"What a jar of {told.name} takes", tuple(steps), fill.jar_grams, "g")


def _density(told: Told, fill: FillSheet) -> Working | None:
    formula = told.formula(fill)
    if not formula.air or formula.density is None or fill.density is None:
        return None
    steps = (
        Step("", formula.density, "number", "density of the melt", Ref("formula", formula.id, "density"), unit="g/mL"),
        Step("÷", 1 + formula.air / HUNDRED, "number", "with the air", Ref("formula", formula.id, "air")),
    )
    return Working(f"Density of {formula.name} as filled", steps, fill.density, "number", "g/mL")


# --- what is declared ----------------------------------------------------------------------------------------------


def declared_working(known: Reckoning, product: Id, unit: str) -> Working:
    """What the jars of a product declare together, in "g" or "mL"; a filling by volume weighs what its density says."""
    record, sheet = known.book.products[product], known.sheet(product)
    told = Told(known, record, own_sheet(known, record))
    terms: list[Term] = [
        (
            fill.declared_grams if unit == "g" else fill.declared_ml or ZERO,
            told.formula(fill).name,
            *_declared(told, fill, unit),
        )
        for fill in told.own.fills
    ]
    for place, member in enumerate(record.members):
        theirs, name = known.sheet(member.product), known.book.products[member.product].name
        each: Figure = theirs.declared_grams if unit == "g" else theirs.declared_ml or ZERO
        amount = from_known(lambda one, times=member.count: one * times, each)
        below = None if isinstance(each, Gap) else declared_working(known, member.product, unit)
        factors = (
            Step("", each, unit, name, None, below),
            Step("×", member.count, "pieces", "in the set", told.at(f"members-{place}-count")),
        )
        terms.append((amount, name, None, Working(f"{name} in the set", factors, amount, unit)))
    result: Figure = sheet.declared_grams if unit == "g" else sheet.declared_ml or ZERO
    return Working(f"Declared on {record.name}", tuple(added(terms, unit)), result, unit)


def _declared(told: Told, fill: FillSheet, unit: str) -> tuple[Ref, Working | None]:
    at = told.at(f"fills-{fill.place}-declared")
    if unit == "mL" or fill.declared_ml is None or fill.density is None:
        return at, None
    density = Ref("formula", fill.formula, "density")
    steps = (
        Step("", fill.declared_ml, "mL", "declared", at),
        Step("×", fill.density, "number", "its density as filled", density, _density(told, fill), "g/mL"),
    )
    return at, Working(f"Declared grams of {told.name}", steps, fill.declared_grams, "g")
