"""Formulas: cost per gram, pre-blends and what travels with them, shares (method.md section 3).

Home currency per gram. Amounts stay undivided as long as can be: `cost` is the sum of amount x unit cost, `whole` what
the amounts add up to, so that a jar divides once. Workings are in formula_working.py.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from webapp.costing.amounts import ONE, ZERO, Ratio
from webapp.costing.book import Book, Formula, FormulaLine, Id
from webapp.costing.gaps import Figure, Gap, Ref, first_gap, from_known
from webapp.costing.labour import KG
from webapp.costing.limits import NESTING
from webapp.costing.weighing import amounts_of, batch_of, weighed_per_good, yield_grams

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: (person, minutes per gram), by person
Minutes: TypeAlias = "tuple[tuple[Id, Decimal], ...] | Gap"


class FormulaCost(NamedTuple):
    """What a gram of a formula costs.

    `cost` / `whole` is `per_gram`, as weighed in. `good_cost` and `minutes` are what travels with a gram into another
    formula: per good gram that came out where it is made ahead, else as weighed in. `carried` are the minutes that the
    made-ahead blends among its lines bring with them, per gram weighed in; its own work is not in it.
    """

    formula: Id
    whole: Figure
    cost: Figure
    per_gram: Figure
    good_cost: Figure
    minutes: Minutes
    carried: Minutes
    batch_grams: Figure
    yield_grams: Figure
    depth: int


class FormulaShare(NamedTuple):
    """One line of a formula, the one at `place` from 0.

    `share` is its fraction of the mass, `cost` share x unit cost (home currency per gram of the formula), `cost_share`
    its fraction of the formula's cost, `grams` what goes into the formula's own batch.
    """

    place: int
    line: FormulaLine
    name: str
    amount: Figure
    share: Figure
    grams: Figure
    unit_cost: Figure
    cost: Figure
    cost_share: Figure


# --- what a gram costs ---------------------------------------------------------------------------------------------


def formula_cost(known: Reckoning, formula: Formula) -> FormulaCost:
    """Ingredient cost per gram, and the minutes that travel with it. Missing prices are gaps with their own reason."""
    amounts, whole = amounts_of(known.book, formula)
    total: Figure = ZERO
    depth = 0
    blends: list[tuple[Figure, FormulaCost]] = []
    for line, amount in zip(formula.lines, amounts, strict=True):
        if line.formula is not None:
            inner = known.formula(line.formula)
            unit_cost = inner.good_cost
            depth = max(depth, inner.depth)
            if inner.minutes:  # one that brings no minutes leaves them known, whatever its amount
                blends.append((amount, inner))
        elif line.material is not None:
            unit_cost = known.unit_costs[line.material]
        else:
            unit_cost = _unchosen(formula)
        total += amount * unit_cost
    if depth >= NESTING:
        return without_cost(formula, _too_deep(formula), depth + 1)
    cost = whole if isinstance(whole, Gap) else total
    return _finished(formula, whole, cost, _carried(blends, whole) if blends else (), depth + 1)


def _finished(formula: Formula, whole: Figure, cost: Figure, carried: Minutes, depth: int) -> FormulaCost:
    batch = batch_of(formula)
    good = yield_grams(formula, batch)
    per_gram = cost / whole
    good_cost, minutes = per_gram, carried
    if formula.made_ahead:
        good_cost = _good_cost(cost, whole, weighed_per_good(formula))
        minutes = _made_ahead_minutes(formula, carried)
    return FormulaCost(formula.id, whole, cost, per_gram, good_cost, minutes, carried, batch, good, depth)


def _good_cost(cost: Figure, whole: Figure, swell: Ratio | Gap) -> Figure:
    """Loss divides: what went in is paid by what came out."""
    if isinstance(swell, Gap):
        return first_gap((cost, whole)) or swell
    return cost * swell.over / (whole * swell.under)


def out_cost(known: Reckoning, formula: Formula) -> Figure:
    """Home currency per gram that comes out of a batch, what is lost paid for by the rest, made ahead or not.

    A gap that asks for the batch size where a fixed number of grams is lost and it is not known.
    """
    cost = known.formula(formula.id)
    return _good_cost(cost.cost, cost.whole, weighed_per_good(formula))


def _carried(blends: Iterable[tuple[Figure, FormulaCost]], whole: Figure) -> Minutes:
    if isinstance(whole, Gap):
        return whole
    total: dict[Id, Decimal] = {}
    for amount, inner in blends:
        if isinstance(inner.minutes, Gap):
            return inner.minutes
        for person, minutes in inner.minutes:
            total[person] = total.get(person, ZERO) + amount * minutes  # type: ignore[assignment]  # known with the whole
    return tuple((person, minutes / whole) for person, minutes in sorted(total.items()))


def _made_ahead_minutes(formula: Formula, carried: Minutes) -> Minutes:
    """Minutes per good gram; the batch size counts only where a batch has a set-up or a fixed loss."""
    if isinstance(carried, Gap):
        return carried
    if not carried and not any(work.per_kg or work.per_batch for work in formula.work):
        return ()
    swell = weighed_per_good(formula)
    if isinstance(swell, Gap):
        return swell
    weighed = dict(carried)
    for work in formula.work:
        per_gram = (work.per_kg or ZERO) / KG
        if work.per_batch:
            batch = batch_of(formula)
            if isinstance(batch, Gap):
                return batch
            per_gram += work.per_batch / batch
        weighed[work.person] = weighed.get(work.person, ZERO) + per_gram
    return tuple((person, minutes * swell.over / swell.under) for person, minutes in sorted(weighed.items()))


def _unchosen(formula: Formula) -> Gap:
    return Gap(f"A line of “{formula.name}” has no ingredient yet. Choose one.", Ref("formula", formula.id, "lines"))


def without_cost(formula: Formula, gap: Gap, depth: int = 1) -> FormulaCost:
    """The cost of a formula that cannot be worked out at all: every figure is `gap`."""
    return FormulaCost(formula.id, gap, gap, gap, gap, gap, gap, batch_of(formula), gap, depth)


def _too_deep(formula: Formula) -> Gap:
    return Gap(
        f"“{formula.name}” is a blend of blends more than {NESTING} deep. Write one of them with its ingredients.",
        Ref("formula", formula.id, "lines"),
    )


# --- formulas inside formulas --------------------------------------------------------------------------------------


def nested(formula: Formula) -> tuple[Id, ...]:
    """The formulas named in its lines."""
    return tuple(line.formula for line in formula.lines if line.formula is not None)


def inner_first(
    top: Id, inside: Callable[[Id], Iterable[Id]], done: Collection[Id]
) -> tuple[list[Id], dict[Id, tuple[Id, ...]]]:
    """Everything inside `top` that is not `done`, each after what it holds; and the loops met, by their last: the way.

    Nothing calls itself, so neither a loop nor a deep nest can run away.
    """
    order: list[Id] = []
    loops: dict[Id, tuple[Id, ...]] = {}
    seen = {top}
    way = [top]
    waiting = [iter(inside(top))]
    while way:
        for inner in waiting[-1]:
            if inner in way:
                loops[way[-1]] = (*way[way.index(inner) :], inner)
            elif inner not in seen and inner not in done:
                seen.add(inner)
                way.append(inner)
                waiting.append(iter(inside(inner)))
                break
        else:
            order.append(way.pop())
            waiting.pop()
    return order, loops


def loop_gap(kind: str, names: Iterable[str], at: Ref) -> Gap:
    """The gap of a formula or set that holds itself, the way round named."""
    return Gap(f"This {kind} holds itself: " + " → ".join(f"“{name}”" for name in names) + ". Take one out.", at)


def leaves_of(known: Reckoning, formula: Formula) -> Mapping[Id, Decimal] | Gap:
    """Grams of each bought material per gram weighed in, through every pre-blend, for headroom.

    A made-ahead one takes more than its own grams: what goes into it over what comes out.
    """
    amounts, whole = amounts_of(known.book, formula)
    if isinstance(whole, Gap):
        return whole
    total: dict[Id, Decimal] = {}
    for line, amount in zip(formula.lines, amounts, strict=True):
        share: Decimal = amount / whole  # type: ignore[assignment]  # no gap among the amounts where whole is known
        if line.material is not None:
            total[line.material] = total.get(line.material, ZERO) + share
        elif line.formula is not None:
            inner = leaves_out(known, line.formula)
            if isinstance(inner, Gap):
                return inner
            for material, part in inner.items():
                total[material] = total.get(material, ZERO) + share * part
    return total


def leaves_out(known: Reckoning, formula: Id) -> Mapping[Id, Decimal] | Gap:
    """Grams of each material per gram that comes out of a pre-blend."""
    leaves = known.leaves(formula)
    if isinstance(leaves, Gap) or not known.book.formulas[formula].made_ahead:
        return leaves
    swell = weighed_per_good(known.book.formulas[formula])
    if isinstance(swell, Gap):
        return swell
    return {material: part * swell.over / swell.under for material, part in leaves.items()}


# --- shown when asked ----------------------------------------------------------------------------------------------


def line_name(book: Book, line: FormulaLine) -> str:
    """What a line is called."""
    if line.formula is not None:
        return book.formulas[line.formula].name
    return book.materials[line.material].name if line.material is not None else ""


def formula_shares(known: Reckoning, formula: Formula) -> tuple[FormulaShare, ...]:
    """Every line with its share of mass and of cost."""
    amounts, _ = amounts_of(known.book, formula)
    cost = known.formula(formula.id)
    return tuple(_share(known, cost, place, line, amounts[place]) for place, line in enumerate(formula.lines))


def _share(known: Reckoning, cost: FormulaCost, place: int, line: FormulaLine, amount: Figure) -> FormulaShare:
    whole, each = cost.whole, unit_cost_of(known, line)
    share = from_known(lambda part, all_of_it: part / all_of_it, amount, whole)
    in_batch = from_known(lambda part, batch, all_of_it: part * batch / all_of_it, amount, cost.batch_grams, whole)
    money = from_known(lambda part, unit_cost, all_of_it: part * unit_cost / all_of_it, amount, each, whole)
    of_cost = from_known(lambda part, unit_cost, total: part * unit_cost / (total or ONE), amount, each, cost.cost)
    name = line_name(known.book, line)
    return FormulaShare(place, line, name, amount, share, in_batch, each, money, of_cost)


def unit_cost_of(known: Reckoning, line: FormulaLine) -> Figure:
    """Home currency per gram of what a line names."""
    if line.formula is not None:
        return known.formula(line.formula).good_cost
    if line.material is not None:
        return known.material(line.material).unit_cost
    return Gap("This line has no ingredient yet. Choose one.")
