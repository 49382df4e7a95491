"""The figures of another size opened to their working: the ladder's, prices, a size less.

What a row shows is opened in price_working.py, what a deal comes to in worth_working.py, orders and cases in rooms of
their own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, ZERO, percent
from webapp.costing.batch_working import declared_working
from webapp.costing.book import Id
from webapp.costing.candidate_prices import Beside, beside
from webapp.costing.channels import MINUTES_AN_HOUR
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.price_working import working as row_working
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.size_facts import DropAnswer, Rung, SizeAnswer
from webapp.costing.size_ladder import SHELF
from webapp.costing.suggestion_working import moved_up
from webapp.costing.working import Step, Working, come_to

#: what of a size on the ladder can be opened here, of a size less
RUNG_FIGURES = ("price_100", "cost_100", "stockist", "shelf")
DROP_FIGURES = ("lost", "regained", "stays")


def _name(known: Reckoning, row: Row) -> str:
    return f"{known.book.products[row.product].name}, {known.book.channels[row.channel].name}"


# --- the ladder


def rung_working(known: Reckoning, rung: Rung, figure: str) -> Working:
    """The sum behind one of RUNG_FIGURES of a size on the ladder. KeyError for another name."""
    return _RUNG[figure](known, rung)


def _price_100(known: Reckoning, rung: Rung) -> Working:
    return row_working(known, rung.row, "price_per_100_ml" if rung.unit == "mL" else "price_per_100_g")


def _cost_100(known: Reckoning, rung: Rung) -> Working:
    row, unit = rung.row, rung.unit
    steps = (
        Step("", row.cost, "money", "cost of a jar", working=row_working(known, row, "cost")),
        Step("÷", rung.declared, unit, "declared", working=declared_working(known, row.product, unit)),
        Step("×", HUNDRED, unit, "to speak of"),
    )
    return Working(f"Cost per 100 {unit}: {_name(known, row)}", steps, rung.cost_100, "money", unit=f"per 100 {unit}")


def _stockist(known: Reckoning, rung: Rung) -> Working:
    row = rung.row
    shelf = row.recommended_retail if row.recommended_retail is not None else ZERO
    first = Step("", shelf, "money", "recommended retail price", working=row_working(known, row, "recommended_retail"))
    taxed = Step("÷", ONE + row.terms.stockist_tax, "number", "tax inside it", _at(row, "stockist_tax"))
    paid = Step("-", row.net, "money", "what the shop pays", working=row_working(known, row, "net"))
    steps = (first, taxed, paid) if row.terms.stockist_tax else (first, paid)
    title = f"What the shop has of a jar: {_name(known, row)}"
    return Working(title, steps, ZERO if rung.stockist is None else rung.stockist, "money")


def _shelf(known: Reckoning, rung: Rung) -> Working:
    """Of the jars that stand side by side, once they are sold."""
    steps = (
        Step("", rung.stockist or ZERO, "money", "what the shop has of a jar", working=_stockist(known, rung)),
        Step("÷", rung.width or ZERO, "number", "width of the jar", unit="cm"),
        Step("×", SHELF, "number", "of the front of a shelf", unit="cm"),
    )
    title = f"What the shop has for 10 cm of shelf: {_name(known, rung.row)}"
    return Working(title, steps, ZERO if rung.shelf is None else rung.shelf, "money")


def _at(row: Row, field: str) -> Ref:
    return Ref("channel", row.channel, field)


_RUNG: dict[str, Callable[[Reckoning, Rung], Working]] = {
    "price_100": _price_100,
    "cost_100": _cost_100,
    "stockist": _stockist,
    "shelf": _shelf,
}


# --- a price


def price_working(answer: SizeAnswer, place: int) -> Working | None:
    """How a candidate's price came about; None where it was typed. KeyError where there is no such candidate."""
    one = {each.place: each for each in answer.candidates}[place]
    if answer.known is None or one.price_way == "typed":
        return None
    if one.price_way == "target":
        return row_working(answer.known, one.row, "suggested")
    known, row, small = answer.known, one.row, beside(answer.known, answer.question, answer.candidates)
    way = _by_the_hour if one.price_way == "hour" else _per_hundred
    steps = way(known, row, small, percent(answer.question.candidates[place].discount or ZERO))
    steps.append(Step("=", come_to(steps), "money", "before its ending"))
    steps.append(Step("+", one.price - steps[-1].amount, "money", "up to the next price that is allowed"))
    note = moved_up(known.book.channels[row.channel])
    return Working(f"Price of {_name(known, row)}", tuple(steps), one.price, "money", note=note)


def _per_hundred(known: Reckoning, row: Row, small: Beside, discount: Decimal) -> list[Step]:
    steps = [*_together(known, small, lambda each: each.price, "price now")]
    if not small.is_set:
        present = small.rows[0][0]
        unit = "g" if present.sheet.declared_ml is None or row.sheet.declared_ml is None else "mL"
        for sign, each, words in (("÷", present, "declared on it"), ("×", row, "declared on this size")):
            figure: Figure = (each.sheet.declared_ml or ZERO) if unit == "mL" else each.sheet.declared_grams
            steps.append(Step(sign, figure, unit, words, working=declared_working(known, each.product, unit)))
    if discount:
        steps.append(Step("×", ONE - discount, "percent", "left by the discount"))
    return steps


def _by_the_hour(known: Reckoning, row: Row, small: Beside, _: Decimal) -> list[Step]:
    hours = small.together(lambda each: each.own_hours)
    steps = [
        *_together(known, small, _before, "contributed now before own pay", "contribution_before_own_pay"),
        Step("÷", hours * MINUTES_AN_HOUR, "minutes", "own work in it"),
        Step("×", row.own_hours * MINUTES_AN_HOUR, "minutes", "own work in this size"),
    ]
    steps.append(Step("=", come_to(steps), "money", "to be contributed before own pay"))
    steps += [
        Step("-", row.own_pay, "money", "own pay", working=row_working(known, row, "own_pay")),
        Step("+", row.direct, "money", "direct cost, with the work of selling it"),
        Step("+", row.terms.extras, "money", "what selling costs per jar"),
    ]
    steps += [
        Step("=", come_to(steps), "money", "together"),
        Step("÷", ONE - row.terms.share, "percent", "of the net price left for them"),
    ]
    if row.terms.tax == "in":
        steps.append(Step("×", row.terms.marked, "number", "sales tax in it", _at(row, "tax_rate")))
    return steps


def _before(row: Row) -> Figure:
    return row.contribution_before_own_pay


def _together(
    known: Reckoning, small: Beside, figure: Callable[[Row], Figure], words: str, opened: str = ""
) -> Iterator[Step]:
    """A figure of what the candidate is set beside: the present jar's, or those of all jars in a set."""
    signs = ["", *"+" * (len(small.rows) - 1)]
    for sign, (row, often) in zip(signs, small.rows, strict=True):
        name = known.book.products[row.product].name
        below = row_working(known, row, opened) if opened else None
        if often == ONE:
            yield Step(sign, figure(row), "money", f"{name}: {words}", working=below)
        else:
            inside = (
                Step("", figure(row), "money", words, working=below),
                Step("×", often, "pieces", "in the set"),
            )
            both = Working(f"{name} in the set", inside, figure(row) * often, "money")
            yield Step(sign, figure(row) * often, "money", f"{name} in the set: {words}", working=both)


# --- a size less


def drop_working(known: Reckoning, found: DropAnswer, figure: str) -> Working:
    """The sum behind one of DROP_FIGURES, channel by channel. KeyError for another name."""
    if figure not in DROP_FIGURES:
        raise KeyError(figure)
    if figure == "regained":
        sold = {row.channel: row.jars_a_month or ZERO for row in found.rows}
        rows = [(row, sold[row.channel]) for row in found.taken]
        steps = [*_by_channel(known, rows, lambda row: row.contribution, "contribution")]
        times: Figure = found.deal if isinstance(found.deal, Gap) else found.deal.times
        steps.append(Step("×", times, "pieces", "of them taken for one that goes"))
        return Working("What comes back a month if all take the other", tuple(steps), found.regained, "money")
    rows = [(row, row.jars_a_month or ZERO) for row in found.rows]
    if figure == "lost":
        steps = [*_by_channel(known, rows, lambda row: row.contribution, "contribution")]
        return Working("Contribution that goes a month", tuple(steps), found.lost, "money")
    steps = [*_by_channel(known, rows, lambda row: row.sheet.overhead, "")]
    return Working("Its share of the monthly bills, which stays", tuple(steps), found.stays, "money")


def _by_channel(
    known: Reckoning, rows: Sequence[tuple[Row, Decimal]], figure: Callable[[Row], Figure], opened: str
) -> Iterator[Step]:
    signs = ["", *"+" * (len(rows) - 1)]
    for sign, (row, jars) in zip(signs, rows, strict=False):
        each = figure(row)
        steps = (
            Step("", each, "money", "of a jar", working=row_working(known, row, opened) if opened else None),
            Step("×", jars, "pieces", "sold a month", _sold_at(row.product, row.channel)),
        )
        both = Working(_name(known, row), steps, each * jars, "money")
        yield Step(sign, each * jars, "money", known.book.channels[row.channel].name, working=both)


def _sold_at(product: Id, channel: Id) -> Ref:
    return Ref("product", product, f"sales-{channel}")
