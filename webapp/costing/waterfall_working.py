"""The steps of a margin's move opened: each to the sums of both of its sides, the whole to all steps."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Gap, Ref, surely
from webapp.costing.jars import charged_grams
from webapp.costing.parts import charged_pieces
from webapp.costing.price_working import working as row_working
from webapp.costing.quantities import per_one, reckoned_in
from webapp.costing.waterfall import (
    FORMULA,
    JAR,
    MATERIAL,
    OVERHEAD,
    PRICE,
    SELLING,
    WAGE,
    Cause,
    Move,
    Side,
    Waterfall,
)
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.book import Book, Id

#: what each kind is called in a sum and on a page
WORDS = {
    FORMULA: "what the formula takes",
    JAR: "batch and jar",
    WAGE: "wages",
    OVERHEAD: "monthly bills and how they are shared",
    SELLING: "fees and tax",
    PRICE: "its own price",
}


def words(book: Book, move: Move) -> str:
    """What moved, in words: one kind, or the few that could not be told apart."""
    return " and ".join(_cause(book, one) for one in move.causes)


def _cause(book: Book, cause: Cause) -> str:
    if cause.kind == MATERIAL and cause.material is not None:
        return f"price of {book.materials[cause.material].name}"
    return WORDS[cause.kind]


def working(fall: Waterfall) -> Working:
    """From the margin of then to that of now, step by step."""
    book = fall.now.known.book
    steps = [Step("", fall.then.margin, "percent", "margin on that day", working=_of_side(fall.then))]
    steps += [
        Step(
            "-" if move.margin < ZERO else "+",
            abs(move.margin),
            "percent",
            words(book, move),
            working=move_working(fall, move),
        )
        for move in fall.moves
    ]
    name = f"{book.products[fall.product].name}, {book.channels[fall.channel].name}"
    note = "Each step takes over one kind of fact from now, in this order, everything before it being as now already."
    return Working(f"Why its margin moved: {name}", tuple(steps), fall.now.margin, "percent", note=note)


def _of_side(side: Side) -> Working:
    return row_working(side.known, side.row, "margin")


def move_working(fall: Waterfall, move: Move) -> Working:
    """What a jar leaves after the step less what it left before; of a material its two prices on the amount of now."""
    title = f"{capital(words(fall.now.known.book, move))}: what a jar leaves for it"
    material = move.causes[0].material if len(move.causes) == 1 else None
    charged = None if material is None else _charged(fall, material)
    if material is not None and charged is not None:
        return _of_material(fall, move, material, charged, title)
    after, before = (row_working(side.known, side.row, "profit") for side in (move.after, move.before))
    steps = (
        Step("", move.after.profit, "money", "left of a jar after it", working=after),
        Step("-", move.before.profit, "money", "left of a jar before it", working=before),
    )
    return Working(title, steps, move.profit, "money")


def capital(text: str) -> str:
    """With a capital at the head, the rest as it is: a material keeps its name."""
    return text[:1].upper() + text[1:]


def _charged(fall: Waterfall, material: Id) -> Decimal | None:
    """Grams or pieces of it that a jar of now pays for; None for one that is both weighed and counted there."""
    grams, pieces = charged_grams(fall.now.known, fall.product), charged_pieces(fall.now.known, fall.product)
    found = [one[material] for one in (grams, pieces) if not isinstance(one, Gap) and one.get(material)]
    return found[0] if len(found) == 1 else None


def _of_material(fall: Waterfall, move: Move, material: Id, charged: Decimal, title: str) -> Working:
    then, now = fall.then.known, fall.now.known
    held = now.book.materials[material]
    per, one = per_one(held), reckoned_in(held)
    was, costs = then.material(material).unit_cost, now.material(material).unit_cost
    steps = (
        Step("", was, "unit cost", "it cost on that day", working=then.material_working(material), unit=per),
        Step("-", costs, "unit cost", "it costs now", working=now.material_working(material), unit=per),
        Step(
            "=",
            was - costs,
            "unit cost",
            "less for each" if surely(costs) > surely(was) else "gained on each",
            unit=per,
        ),
        Step(
            "×", charged, one, f"of {held.name} that a jar of now pays for, losses in it", Ref("product", fall.product)
        ),
    )
    return Working(title, steps, move.profit, "money")
