"""What can be wrong with a formula: sums, the line that takes the rest, loops and depth."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from webapp.costing import book as b
from webapp.costing.amounts import HUNDRED, ONE, ZERO, percent, plain
from webapp.costing.book import Book, Id
from webapp.costing.checks.found import Found, name_taken, people_once
from webapp.costing.limits import NESTING, Fault

_UNIT_OF_WAY = {"percent": ("percent",), "parts": ("part",), "grams": ("g", "mL", "drops")}


def formula(book: Book, formula: b.Formula) -> Found:
    """A formula: its lines, their sum, its losses, loops and depth."""
    yield from name_taken(book.formulas, formula)
    for index, line in enumerate(formula.lines):
        yield from _formula_line(book, formula, line, f"lines-{index}")
    yield from _formula_sum(formula)
    yield from people_once(formula.work, "work")
    if formula.batch_grams is not None:
        yield from all_lost(formula.batch_grams, formula.loss, formula.loss_grams, "loss_grams")
    yield from _loops(book, formula)


def _formula_line(book: Book, formula: b.Formula, line: b.FormulaLine, at: str) -> Found:
    if (line.material is None) == (line.formula is None):
        yield Fault(f"{at}-material", "required", "Choose an ingredient or a formula for this line, not both.")
    elif line.material is not None and book.materials[line.material].by_piece:
        yield Fault(f"{at}-material", "reference", "This is counted in pieces. Add it to the product instead.")
    if line.rest and line.amount is not None:
        yield Fault(f"{at}-amount", "rest", "This line takes the rest. Leave its amount empty.")
    if not line.rest and line.amount is None:
        yield Fault(f"{at}-amount", "required", "Type how much, or let this line take the rest.")
    if not line.rest and line.unit not in _UNIT_OF_WAY[formula.way]:
        units = ", ".join(_UNIT_OF_WAY[formula.way])
        yield Fault(f"{at}-unit", "unit", f"A formula in {formula.way} is written in {units}. Choose one of these.")
    if line.unit == "percent" and line.amount is not None and line.amount > HUNDRED:
        yield Fault(f"{at}-amount", "number-range", "A line is at most 100 %.")


def _formula_sum(formula: b.Formula) -> Found:
    rests = [index for index, line in enumerate(formula.lines) if line.rest]
    if rests and formula.way != "percent":
        yield Fault(f"lines-{rests[0]}-rest", "rest", "Only a formula in percent has a line that takes the rest.")
        return
    if len(rests) > 1:
        yield Fault(f"lines-{rests[1]}-rest", "rest", "Only one line can take the rest.")
        return
    if formula.way != "percent" or any(line.amount is None and not line.rest for line in formula.lines):
        return
    total = sum((line.amount for line in formula.lines if line.amount is not None), ZERO)
    if rests and total >= HUNDRED:
        yield Fault("lines", "formula-sum", f"The lines add up to {plain(total)} %, so nothing is left for the rest.")
    if not rests and total != HUNDRED:
        away = abs(HUNDRED - total)
        word = "short of" if total < HUNDRED else "more than"
        yield Fault("lines", "formula-sum", f"The lines add up to {plain(total)} %: {plain(away)} {word} 100.")


def all_lost(batch: Decimal, loss: Decimal, loss_grams: Decimal, at: str) -> Found:
    """A batch of which nothing is left."""
    left = batch * (ONE - percent(loss)) - loss_grams
    if left <= 0:
        lost = "More is lost than the batch holds." if left < 0 else "All of the batch is lost."
        yield Fault(at, "all-lost", f"{lost} Make the loss smaller or the batch bigger.")


def _loops(book: Book, formula: b.Formula) -> Found:
    formulas = {**book.formulas, formula.id: formula}
    others = book.formulas if formula.id in book.formulas else ()  # nothing can hold what is new

    def inner(one: Id) -> Iterator[Id]:
        return (line.formula for line in formulas[one].lines if line.formula is not None)

    places = {line.formula: f"lines-{index}-formula" for index, line in reversed([*enumerate(formula.lines)])}
    yield from nesting(formula.id, formulas, inner, places, "formula", others=others)


def nesting(
    start: Id,
    things: Mapping[Id, Any],
    inner: Callable[[Id], Iterable[Id]],
    places: Mapping[Id | None, str],
    word: str,
    *,
    others: Iterable[Id],
) -> Found:
    """A loop through `start`, or a chain deeper than allowed anywhere that `start` is part of.

    It is said at the line of `start` that makes it; `places` has the field of each thing that `start` holds, `others`
    are those that may hold `start`.
    """
    depths: dict[Id, int] = {}
    trail: list[Id] = []

    def depth(one: Id) -> int:
        if one in trail:
            raise _Loop([*trail[trail.index(one) :], one])
        if one not in depths:
            trail.append(one)
            depths[one] = 1 + max((depth(other) for other in inner(one)), default=0)
            trail.pop()
        return depths[one]

    try:
        depth(start)
        for one in others:
            depth(one)
    except _Loop as loop:
        names = " → ".join(things[one].name for one in loop.trail)
        yield Fault(
            places[loop.trail[1]], "cycle", f"This {word} would contain itself: {names}. Take one of these out."
        )
        return
    deepest = max(depths, key=lambda one: depths[one])
    if depths[deepest] > NESTING:
        name = things[deepest].name
        at = places.get(max(inner(start), key=lambda one: depths[one], default=None), "name")
        yield Fault(at, "too-deep", f"{name} would be nested deeper than {NESTING}. Join some of them into one.")


class _Loop(Exception):
    def __init__(self, trail: list[Id]) -> None:
        super().__init__()
        self.trail = trail
