"""The sum of a formula while it is typed: what the lines add up to, and what it would cost. Nothing is stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ZERO, Unreadable
from webapp.costing.book import Book, Formula
from webapp.costing.changes import Put, apply_all
from webapp.costing.formulas import FormulaCost, FormulaShare
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import QUANTITY
from webapp.costing.reckoning import Reckoning
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk

WAITING = Gap("It can be reckoned when every line has what it needs.")


@dataclass(frozen=True, slots=True)
class Sum:
    """What stands in sight while a formula is typed."""

    words: str
    complete: bool
    hundred_grams: Figure
    shares: tuple[FormulaShare, ...] = ()
    faults: tuple[str, ...] = ()


def of_form(desk: Desk, form: Form, record: Formula | None, new: Sequence[Put] = ()) -> Sum:
    """The sum of what is typed; with its cost as soon as the formula could be kept, `new` ingredients with it."""
    words, complete = in_words(desk, form)
    if record is None:
        return Sum(words, complete, WAITING)
    after = apply_all(desk.book, (*new, Put(record)))
    if not isinstance(after, Book):
        return Sum(words, False, WAITING, faults=tuple(fault.sentence for fault in after if fault.field))
    known = Reckoning(after, desk.reckoning)
    return Sum(words, True, hundred(known.formula(record.id)), known.shares(record.id))


def hundred(cost: FormulaCost) -> Figure:
    """The ingredient cost of 100 g as weighed in."""
    if isinstance(cost.cost, Gap) or isinstance(cost.whole, Gap):
        return cost.per_gram
    return cost.cost * HUNDRED / cost.whole


def in_words(desk: Desk, form: Form) -> tuple[str, bool]:
    """What the typed lines add up to, and whether that is whole."""
    way = form.value("way")
    total, rest = ZERO, False
    for index in range(form.typed_rows("lines")):
        row = f"lines-{index}"
        rest = rest or form.checked(f"{row}-rest", "yes")
        total += _amount(desk, form.value(f"{row}-amount"))
    shown = desk.formats.number(total)
    if way != "percent":
        return (f"{shown} parts" if way == "parts" else f"{shown} in all, in the units of the lines"), total > 0
    return _percent_words(desk, total, shown, rest)


def _percent_words(desk: Desk, total: Decimal, shown: str, rest: bool) -> tuple[str, bool]:
    away = desk.formats.number(abs(HUNDRED - total))
    if rest and total < HUNDRED:
        return f"{shown} %, and {away} % for the line that takes the rest", True
    if rest:
        return f"{shown} %: nothing is left for the line that takes the rest", False
    if total == HUNDRED:
        return "100 %", True
    return f"{shown} %: {away} {'short of' if total < HUNDRED else 'more than'} 100", False


def _amount(desk: Desk, text: str) -> Decimal:
    try:
        return QUANTITY.read(text, desk.notation) if text.strip() else ZERO
    except Unreadable:
        return ZERO
