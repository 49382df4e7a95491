"""The sum of a formula while it is typed: what the lines add up to, and what it would cost. Nothing is stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ZERO, Unreadable
from webapp.costing.book import Book, Formula
from webapp.costing.changes import Put, apply_all
from webapp.costing.formula_working import of_hundred, out_working, working
from webapp.costing.formulas import FormulaShare
from webapp.costing.gaps import Gap
from webapp.costing.limits import QUANTITY, Fault
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk

WAITING = "It can be reckoned from the first line on."
NOT_WHOLE = Gap("It can be reckoned when the lines add up to 100 %.")
SUM = "formula-sum"


@dataclass(frozen=True, slots=True)
class Hundred:
    """What 100 g cost, opened: as weighed in, and as they come out where something is lost. Results are home money."""

    weighed: Working
    out: Working | None


def hundred_of(known: Reckoning, formula: Formula) -> Hundred:
    """What 100 g of a formula cost, opened to the order lines."""
    weighed = of_hundred(working(known, formula.id), "as weighed in")
    lost = formula.loss or formula.loss_grams
    return Hundred(weighed, of_hundred(out_working(known, formula.id), "that come out") if lost else None)


@dataclass(frozen=True, slots=True)
class Waiting:
    """What a formula that can't be read yet waits for, and the field of the form that cures it."""

    reason: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Sum:
    """What stands in sight while a formula is typed."""

    words: str
    complete: bool
    missing: Gap | Waiting | None = None
    hundred: Hundred | None = None
    shares: tuple[FormulaShare, ...] = ()
    faults: tuple[str, ...] = ()


def of_form(desk: Desk, form: Form, record: Formula | None, new: Sequence[Put] = ()) -> Sum:
    """The sum of what is typed; with its cost as soon as the formula could be kept, `new` ingredients with it."""
    words, complete = in_words(desk, form)
    if record is None:
        return Sum(words, complete, waiting(form))
    after = apply_all(desk.book, (*new, Put(record)))
    if not isinstance(after, Book):
        return _refused(form, words, [fault for fault in after if fault.field])
    known = Reckoning(after, desk.reckoning)
    return Sum(words, True, None, hundred_of(known, record), known.shares(record.id))


def _refused(form: Form, words: str, faults: Sequence[Fault]) -> Sum:
    """By how much the lines miss 100 is said by the sum already; it is not said twice."""
    told = [_at(form, fault.field, fault.sentence) for fault in faults if fault.code != SUM]
    return Sum(words, False, told[0] if told else NOT_WHOLE, faults=tuple(one.reason for one in told[1:]))


def waiting(form: Form) -> Waiting:
    """The first thing that is wrong or missing, by the line that it stands in."""
    faults = [(at, words) for at, words in form.faults if at] if form.typed_rows("lines") else []
    if not faults:
        return Waiting(WAITING)
    return _at(form, *min(faults, key=lambda fault: not fault[0].startswith("lines-")))


def _at(form: Form, at: str, words: str) -> Waiting:
    """What is wrong at a field, with the line that it stands in."""
    prefix, _, rest = at.partition("-")
    row = rest.partition("-")[0]
    if prefix != "lines" or not row.isdigit():
        return Waiting(words, f"#f-{at}")
    name = form.value(f"lines-{row}-material").strip()
    return Waiting(f"Line {int(row) + 1}{f', {name}' if name else ''}: {words}", f"#f-{at}")


def in_words(desk: Desk, form: Form) -> tuple[str, bool]:
    """What the typed lines add up to, and whether that is whole."""
    way = form.value("way")
    total, rest, unread = ZERO, False, 0
    for index in range(form.typed_rows("lines")):
        row = f"lines-{index}"
        rest = rest or form.checked(f"{row}-rest", "yes")
        amount = _amount(desk, form.value(f"{row}-amount"))
        total += amount or ZERO
        unread += amount is None
    shown = desk.formats.number(total)
    if unread:
        without = "one amount that is" if unread == 1 else f"{unread} amounts that are"
        return f"{shown}{' %' if way == 'percent' else ''}, without {without} no number here", False
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


def _amount(desk: Desk, text: str) -> Decimal | None:
    """What was typed; nothing is zero, and what is no number is None."""
    try:
        return QUANTITY.read(text, desk.notation) if text.strip() else ZERO
    except Unreadable:
        return None
