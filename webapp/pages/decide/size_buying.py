"""What a size that is thought of has to have bought first, and whether a batch of it sells while it keeps."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import ZERO, half_up, rounded_down, rounded_up, snap
from webapp.costing.first_order_working import PART_FIGURES
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_facts import CandidateAnswer, Shelf, SizeAnswer, SizePart
from webapp.pages import addresses
from webapp.pages.decide.size_form import Sizing
from webapp.pages.decide.size_words import Words
from webapp.pages.rendering import Desk


@dataclass(frozen=True, slots=True)
class PartShown:
    """A part as it is bought first."""

    name: str
    href: str
    part: SizePart
    needed: Figure
    lasts: Figure
    next: str
    how: dict[str, str]


def words_of(desk: Desk, answer: SizeAnswer, one: CandidateAnswer) -> Words:
    """The sentences about one candidate."""
    question, where = answer.question, desk.book.channels[one.row.channel].name
    new = question.formula is not None
    if question.ask == "set":
        return Words(desk.formats, question.ask, one.product.name, where)
    other = answer.candidates[0].product if new else desk.book.products[question.product or 0]
    return Words(desk.formats, question.ask, one.product.name, where, other=other.name, new=new)


def part_of(desk: Desk, sized: Sizing, answer: SizeAnswer, one: CandidateAnswer, number: int) -> PartShown:
    """A part as it is bought first, each figure with where its sum is."""
    part, words = one.parts[number], words_of(desk, answer, one)
    name = known_of(desk, answer).book.materials[part.material].name
    href = addresses.thing("material", part.material) if part.material > 0 else ""
    how = {
        figure: sized.at(addresses.SIZE_HOW.format(place=one.place, figure=f"part-{number}-{figure}"))
        for figure in PART_FIGURES
    }
    lasts = part.lasts if isinstance(part.lasts, Gap) else rounded_down(snap(part.lasts), 1)
    needed = part.needed if isinstance(part.needed, Gap) else half_up(snap(part.needed), 1)
    return PartShown(name, href, part, needed, lasts, next_break(words, part), how)


def next_break(words: Words, part: SizePart) -> str:
    """What the next price break would change; "" where there is none."""
    if part.next_from is None or part.next_price is None:
        return ""
    pieces, price = words.formats.count(part.next_from), words.formats.fine_money(part.next_price)
    said = f"From {pieces}: {price} each"
    if isinstance(part.next_cash, Decimal) and isinstance(part.next_lasts, Decimal):
        said += f", {words.formats.money(part.next_cash)} that last {words.months(part.next_lasts)}"
    if isinstance(part.saves, Decimal):
        said += f"; saves {words.formats.fine_money(part.saves)} a jar"
    return said + "."


def shelf_words(words: Words, shelf: Shelf | None) -> str:
    """Whether what a batch makes sells while it keeps."""
    if shelf is None or isinstance(shelf.unsold, Gap) or isinstance(shelf.batch_jars, Gap) or shelf.months is None:
        return ""
    batch, keeps = words.formats.count(shelf.batch_jars), words.months(shelf.months)
    if snap(shelf.unsold) <= ZERO:
        return f"A batch makes {batch} jars and keeps {keeps}: all of it sells in time."
    left = words.formats.count(rounded_up(snap(shelf.unsold), 0))
    return f"A batch makes {batch} jars and keeps {keeps}: {left} of them would not sell in time. Make less at once."


def known_of(desk: Desk, answer: SizeAnswer) -> Reckoning:
    """The answers of the core about the book with what is thought of in it."""
    return answer.known or desk.reckoning
