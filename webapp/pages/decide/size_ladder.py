"""Sizes side by side on a channel: the ladder of price and cost, and what of it is to be looked at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Gap
from webapp.costing.size_facts import Rung, SizeAnswer
from webapp.pages import addresses, vessels
from webapp.pages.decide import size_plots
from webapp.pages.decide.size_buying import known_of
from webapp.pages.decide.size_form import Sizing
from webapp.pages.decide.size_views import Cell
from webapp.pages.decide.size_words import Words
from webapp.pages.plots import Plot
from webapp.pages.price import makeup
from webapp.pages.rendering import Desk

NO_SHOP = Gap("No shop sells it.")
NO_WIDTH = Gap("How wide the jar is isn't typed.")
SHOP, SHELF = "A shop has of it", "… for 10 cm of shelf"


@dataclass(frozen=True, slots=True)
class RungShown:
    """A size on the ladder of a channel."""

    name: str
    href: str
    new: bool
    size: str
    bar: Markup
    vessel: vessels.Vessel
    cells: tuple[Cell, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LadderShown:
    """The sizes of one channel side by side."""

    channel: str
    heads: tuple[str, ...]
    rungs: tuple[RungShown, ...]
    plot: Plot | None
    at: str


LADDER = ("Price", "Price per 100", "Cost", "Cost per 100", "Contributes", "Per 100", "For an hour of yours")


def ladders_of(desk: Desk, sized: Sizing, answer: SizeAnswer) -> tuple[LadderShown, ...]:
    """Sizes side by side, the channel that is asked about first."""
    asked = answer.question.channel
    return tuple(
        _ladder(desk, sized, answer, channel, rungs)
        for channel, rungs in sorted(answer.ladders.items(), key=lambda one: (one[0] != asked, one[0]))
    )


def _ladder(desk: Desk, sized: Sizing, answer: SizeAnswer, channel: int, rungs: Sequence[Rung]) -> LadderShown:
    name, unit = desk.book.channels[channel].name, rungs[0].unit
    words = Words(desk.formats, "size", name, name)
    more = _more_heads(rungs)
    shown = tuple(_rung(desk, sized, answer, one, more) for one in rungs)
    named = [(one.name, rung) for one, rung in zip(shown, rungs, strict=True)]
    heads = (*(head.replace("100", f"100 {unit}") for head in LADDER), *more)
    return LadderShown(name, heads, shown, size_plots.per_hundred(words, unit, named), str(channel))


def _more_heads(rungs: Sequence[Rung]) -> tuple[str, ...]:
    """What a shop has, where one sells it; for its shelf, where a width is typed."""
    shop = any(one.stockist is not None for one in rungs)
    shelf = any(one.shelf is not None for one in rungs)
    return (*((SHOP,) if shop else ()), *((SHELF,) if shelf else ()))


def _rung(desk: Desk, sized: Sizing, answer: SizeAnswer, one: Rung, more: Sequence[str]) -> RungShown:
    row, product = one.row, known_of(desk, answer).book.products[one.row.product]
    where = desk.book.channels[row.channel].name
    title, words = f"{product.name}, {where}", Words(desk.formats, "size", product.name, where)
    return RungShown(
        product.name,
        "" if one.candidate is not None else f"{addresses.thing('product', row.product)}#c-{row.channel}",
        one.candidate is not None,
        "" if isinstance(one.declared, Gap) else desk.formats.shown(one.declared, one.unit),
        makeup.small_bar(makeup.parts(desk.formats, row), title),
        vessels.vessel(desk.formats, row.margin, row.target),
        tuple(_rung_cells(desk, sized, answer, one, more)),
        tuple(pointed_out(words, one)),
    )


def _rung_cells(desk: Desk, sized: Sizing, answer: SizeAnswer, one: Rung, more: Sequence[str]) -> Iterator[Cell]:
    row, by_volume = one.row, one.unit == "mL" and one.row.per_100_ml is not None
    which = f"p{row.product}" if one.candidate is None else f"c{one.candidate}"

    def here(figure: str) -> str:
        return sized.at(addresses.SIZE_ROW.format(which=which, channel=row.channel, figure=figure))

    def how(figure: str) -> str:
        known = one.candidate is None
        return desk.at(addresses.how_pair(row.product, row.channel, figure)) if known else here(figure)

    at_place = sized.at(addresses.SIZE_HOW.format(place=one.candidate or 0, figure="price"))
    per_100 = row.per_100_ml if by_volume and row.per_100_ml is not None else row.per_100_g
    typed = row.accepted if one.candidate is None else answer.question.candidates[one.candidate].way == "typed"
    price = how("suggested") if one.candidate is None or row.channel != answer.question.channel else at_place
    yield Cell(row.price, "money", "" if typed and row.accepted else price, "" if row.accepted else "suggested")
    yield Cell(one.price_100, "money", here("price_100"))
    yield Cell(row.cost, "money", how("cost"))
    yield Cell(one.cost_100, "money", here("cost_100"))
    yield Cell(row.contribution, "money", how("contribution"))
    yield Cell(per_100, "money", how("per_100_ml" if by_volume else "per_100_g"))
    yield Cell(row.per_labour_hour, "money", how("per_labour_hour"))
    if SHOP in more:
        yield Cell(NO_SHOP if one.stockist is None else one.stockist, "money", here("stockist"))
    if SHELF in more:
        yield Cell(NO_WIDTH if one.shelf is None else one.shelf, "money", here("shelf"), "each time that it sells out")


def pointed_out(words: Words, one: Rung) -> Iterator[str]:
    """What of a size on the ladder is to be looked at."""
    if one.dearer:
        yield "Dearer per 100 than the size before it: a bigger jar should be cheaper."
    if one.falls_faster and isinstance(one.price_fall, Decimal) and isinstance(one.cost_fall, Decimal):
        price, cost = words.percent(one.price_fall), words.percent(one.cost_fall)
        fall = f"its cost only {cost}" if one.cost_fall >= ZERO else "its cost rises"
        yield f"From the size before it the price per 100 falls by {price}, {fall}: less is left of it."
