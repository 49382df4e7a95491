"""The first orders of a size that is thought of, opened to their working: pieces, their cost, how long they last."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Figure
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_deals import NO_JARS
from webapp.costing.size_facts import CandidateAnswer, SizePart
from webapp.costing.working import Step, Working

#: what of an order of a part can be opened
PART_FIGURES = ("needed", "pieces", "price", "cash", "lasts")


def part_working(part: SizePart, jars: Decimal | None, figure: str) -> Working:
    """The sum behind one of PART_FIGURES of a part's order, at so many jars a month. KeyError for another name."""
    return _PART[figure](part, jars)


def tied_up_working(known: Reckoning, one: CandidateAnswer) -> Working:
    """The cash in the first orders of parts that nothing else uses."""
    names = [(known.book.materials[part.material].name, part) for part in one.parts if not part.used]
    steps = tuple(
        Step("+" if place else "", part.cash, "money", name, working=_cash(part, None))
        for place, (name, part) in enumerate(names)
    )
    nothing = (Step("", ZERO, "money", "no part that nothing else uses"),)
    return Working("First orders of parts that nothing else uses", steps or nothing, one.tied_up, "money")


def _needed(part: SizePart, jars: Decimal | None) -> Working:
    sold: Figure = NO_JARS if jars is None else jars
    steps = (
        Step("", sold, "pieces", "jars a month"),
        Step("×", part.a_jar, "pieces", "pieces a jar, spoiled ones in it"),
    )
    return Working("Pieces used a month", steps, part.needed, "pieces")


def _pieces(part: SizePart, _: Decimal | None) -> Working:
    """Those of the first batch, and what has to be bought beyond them."""
    exact = part.jars * part.a_jar
    steps = [
        Step("", part.jars, "pieces", "jars that are made first"),
        Step("×", part.a_jar, "pieces", "pieces a jar, spoiled ones in it"),
    ]
    beyond = "up to whole packs" if part.packs else "up to the least order, or to a price break that costs less"
    for more, words in ((part.batch - exact, "up to whole pieces"), (part.pieces - part.batch, beyond)):
        if more:
            steps.append(Step("+", more, "pieces", words))
    return Working("Pieces in the first order", tuple(steps), part.pieces, "pieces")


def _price(part: SizePart, _: Decimal | None) -> Working:
    steps: tuple[Step, ...]
    if part.packs:
        steps = (
            Step("", part.cash, "money", "the order", working=_cash(part, None)),
            Step("÷", part.pieces, "pieces", "pieces in it", working=_pieces(part, None)),
        )
    else:
        steps = (Step("", part.price, "unit cost", "where so many are bought at once", unit="per piece"),)
    return Working("Price of a piece in that order", steps, part.price, "unit cost", unit="per piece")


def _cash(part: SizePart, _: Decimal | None) -> Working:
    """The packs and their freight; where it comes by the piece, so many at so much."""
    steps = tuple(_packs(part)) or (
        Step("", part.pieces, "pieces", "pieces in the order", working=_pieces(part, None)),
        Step("×", part.price, "unit cost", "each", unit="per piece"),
    )
    return Working("What the first order costs", steps, part.cash, "money")


def _packs(part: SizePart) -> Iterator[Step]:
    for place, pack in enumerate(part.packs):
        inside = (Step("", pack.packs, "pieces", "packs"), Step("×", pack.price, "money", "a pack"))
        cost, words = pack.packs * pack.price, f"packs of {pack.pieces:f} pieces"
        yield Step("+" if place else "", cost, "money", words, working=Working(words, inside, cost, "money"))
    if part.freight:
        yield Step("+", part.freight, "money", "freight of that order")


def _lasts(part: SizePart, jars: Decimal | None) -> Working:
    steps = (
        Step("", part.pieces, "pieces", "pieces in the order", working=_pieces(part, None)),
        Step("÷", part.needed, "pieces", "used a month", working=_needed(part, jars)),
    )
    return Working("Months the order lasts", steps, part.lasts, "number", unit="months")


_PART: dict[str, Callable[[SizePart, Decimal | None], Working]] = {
    "needed": _needed,
    "pieces": _pieces,
    "price": _price,
    "cash": _cash,
    "lasts": _lasts,
}
