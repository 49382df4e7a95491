"""Why a product is weak, opened: from the margin of the day or of the others to its own, part by part.

Every line is a difference of two shares of the price net of tax; together they are the difference of the two margins.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.amounts import ZERO, snap
from webapp.costing.price_working import working as row_working
from webapp.costing.rows import Row
from webapp.costing.weakest import MOVED, PARTS, TARGET_ROSE, Others, Shares, Weak, amounts_of
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: what the parts are called in a sum
WORDS = {
    "ingredients": "ingredients",
    "packaging": "packaging",
    "labour_own": "own pay",
    "labour_hired": "hired work",
    "overhead": "share of the monthly bills",
    "one_offs": "share of one-off costs",
    "fees": "what selling costs",
}


def working(known: Reckoning, weak: Weak) -> Working | None:
    """The sum behind one cause; its result is the row's margin. None where there is nothing to compare it with."""
    book, row = known.book, weak.row
    name = f"{book.products[row.product].name}, {book.channels[row.channel].name}"
    if weak.cause.kind in (MOVED, TARGET_ROSE) and weak.then is not None and weak.then_shares is not None:
        first = Step("", weak.then.margin, "percent", "margin when its price was accepted", day=weak.since)
        steps = (first, *_differences(known, weak, weak.then_shares, since=weak.since))
        return Working(f"What moved its margin: {name}", steps, row.margin, "percent")
    if weak.others is None:
        return None
    first = Step("", weak.others.margin, "percent", f"margin {_of(known, weak.others)}")
    steps = (first, *_differences(known, weak, weak.others.shares))
    by = "counted by the jars that they sell a month" if weak.others.by_jars else "one jar of each"
    return Working(f"Why it is weak: {name}", steps, row.margin, "percent", note=f"The others are {by}.")


def _of(known: Reckoning, others: Others) -> str:
    where = "in the rest of the line" if others.channel is None else f"on {known.book.channels[others.channel].name}"
    return f"over the {others.rows} others {where}" if others.rows > 1 else f"of the only other {where}"


def _differences(known: Reckoning, weak: Weak, than: Shares, since: date | None = None) -> tuple[Step, ...]:
    more = {part: weak.shares[part] - than[part] for part in PARTS}
    return tuple(
        Step(
            "-" if more[part] > ZERO else "+",
            abs(more[part]),
            "percent",
            f"{WORDS[part]} take{'' if part == 'ingredients' else 's'} {'more' if more[part] > ZERO else 'less'}"
            f"{' than then' if since else ''}",
            working=_share(known, weak.row, part, own=weak.shares[part], other=than[part], since=since),
        )
        for part in PARTS
        if snap(more[part])
    )


def _share(known: Reckoning, row: Row, part: str, *, own: Decimal, other: Decimal, since: date | None) -> Working:
    """The difference of a part's share of the net price and of the one beside it: the larger less the smaller."""
    amount = amounts_of(known.book, row)[part]
    sum_of = (
        Step("", amount, "money", f"{WORDS[part]} in a jar"),
        Step("÷", row.net, "money", "price net of sales tax", working=row_working(known, row, "net")),
    )
    title = f"{WORDS[part].capitalize()}: share of the price"
    mine = ("of its price", own, None, Working(title, sum_of, own, "percent"))
    beside = (
        ("when its price was accepted", other, since, None)
        if since
        else ("of the price of the others", other, None, None)
    )
    first, second = (mine, beside) if own > other else (beside, mine)
    steps = tuple(
        Step(sign, share, "percent", words, working=inner, day=day)
        for sign, (words, share, day, inner) in (("", first), ("-", second))
    )
    return Working(title, steps, abs(own - other), "percent")
