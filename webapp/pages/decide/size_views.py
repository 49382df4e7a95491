"""What an answer about another size shows: sentences, tables and drawings, each figure with where its sum is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from webapp.costing.amounts import ONE, ZERO, half_up, rounded_up, snap
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.size_facts import (
    CandidateAnswer,
    Cash,
    Deal,
    Grid,
    Rung,
    Shelf,
    SizeAnswer,
    SizePart,
    Swing,
    Trade,
    Verdict,
)
from webapp.pages import addresses, vessels
from webapp.pages.decide import size_plots
from webapp.pages.decide.size_form import Sizing
from webapp.pages.decide.size_words import REMARKS, TOLD, Words
from webapp.pages.plots import Plot
from webapp.pages.price import makeup
from webapp.pages.rendering import Desk


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure as it is shown, where its sum is, and a word below it."""

    value: Figure
    kind: str
    how: str = ""
    under: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of an answer: the verdict first, then what it rests on."""

    heading: str
    kind: str
    sentence: str
    more: tuple[str, ...] = ()
    flips: tuple[str, ...] = ()
    assumes: tuple[str, ...] = ()
    ranged: str = ""
    swings: tuple[tuple[str, str, str, Swing], ...] = ()
    gap: Gap | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """One answer to how many small jars one takes the place of."""

    words: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class PartShown:
    """A part as it is bought first."""

    name: str
    href: str
    part: SizePart
    needed: Figure
    lasts: str
    next: str


@dataclass(frozen=True, slots=True)
class CandidateShown:
    """A candidate with all that is said of it; `place` is its place in the question."""

    place: int
    name: str
    told: Told
    facts: tuple[tuple[str, Figure, str, str, str], ...]
    heads: tuple[str, ...]
    trades: tuple[Column, ...]
    remarks: tuple[str, ...]
    parts: tuple[PartShown, ...]
    tied_up: Figure
    shelf: str
    shelf_gap: Gap | None
    shelf_short: bool
    cash: Cash | Gap
    by_share: Plot | None
    over_months: Plot | None
    beside: bool
    """Whether it is only the jar that the others are set beside."""


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


TRADE_HEADS = ("Gain a month", "Break-even share", "Months to earn back", "Fair price")


def told_of(
    words: Words,
    verdict: Verdict | Gap,
    grid: Grid | Gap,
    deal: Deal | Gap,
    gain: Figure,
    price: Figure,
    months: Figure,
    assumes: Sequence[str],
) -> Told:
    """The verdict in words, or why there is none yet."""
    if isinstance(verdict, Gap) or isinstance(deal, Gap):
        gap = verdict if isinstance(verdict, Gap) else deal
        return Told("No verdict yet", "none", "", assumes=tuple(assumes), gap=gap if isinstance(gap, Gap) else None)
    points = 1 if isinstance(grid, Gap) else grid.points
    worth = isinstance(gain, Decimal) and _is_worth(deal, gain)
    more = (words.earned_back(deal, months), words.priced(verdict, points))
    return Told(
        words.heading(verdict),
        verdict.kind,
        words.sentence(deal, gain, price),
        tuple(one for one in more if one),
        tuple(words.turns(one, worth=worth) for one in verdict.flips[:TOLD]),
        tuple(assumes),
        "" if isinstance(grid, Gap) else words.ranged(grid),
        () if isinstance(grid, Gap) else tuple((*words.swing(one), one) for one in grid.swings if one.width),
    )


def _is_worth(deal: Deal, gain: Decimal) -> bool:
    """Whether it is worth it as expected: the side that "as long as" and "once" are chosen by."""
    return snap(gain) > ZERO and snap(gain * deal.within) >= snap(deal.one_off)


# --- a candidate


def candidate_of(desk: Desk, sized: Sizing, answer: SizeAnswer, one: CandidateAnswer) -> CandidateShown:
    """All that is said of one candidate."""
    words = words_of(desk, answer, one)
    likely = one.trades[0]
    named = [(trade_words(words, trade), trade) for trade in one.trades]
    told = told_of(
        words, one.verdict, one.grid, likely.deal, likely.gain, one.price, likely.months, _assumes(desk, words, one)
    )
    shelf = one.shelf
    return CandidateShown(
        one.place,
        one.product.name,
        told,
        tuple(_facts(desk, sized, answer, one)),
        TRADE_HEADS,
        tuple(
            Column(name, tuple(_trade_cells(sized, words, one, place, trade)))
            for place, (name, trade) in enumerate(named)
        ),
        tuple(REMARKS[code] for code in one.remarks if code in REMARKS),
        tuple(_part(desk, words, answer, part) for part in one.parts),
        one.tied_up,
        shelf_words(words, shelf),
        shelf.unsold if shelf is not None and isinstance(shelf.unsold, Gap) else None,
        shelf is not None and isinstance(shelf.unsold, Decimal) and snap(shelf.unsold) > ZERO,
        one.cash,
        size_plots.by_share(words, named),
        None if isinstance(one.cash, Gap) else size_plots.over_months(words, one.cash),
        answer.question.formula is not None and one.place == 0,
    )


def words_of(desk: Desk, answer: SizeAnswer, one: CandidateAnswer) -> Words:
    """The sentences about one candidate."""
    return Words(desk.formats, answer.question.ask, one.product.name, desk.book.channels[one.row.channel].name)


def trade_words(words: Words, trade: Trade) -> str:
    """An answer to how many jars one takes the place of, as the head of its column."""
    number = "" if isinstance(trade.times, Gap) else words.formats.number(half_up(snap(trade.times), 2))
    if words.ask == "set":
        shares = {"grams": "All that is in it", "visit": "One of its jars", "number": "So many jars as you typed"}
        return shares[trade.replaced]
    said = {"grams": "The same grams", "visit": "One jar a visit", "number": "As you typed"}[trade.replaced]
    return f"{said}: {number} for one" if number else said


def _trade_cells(sized: Sizing, words: Words, one: CandidateAnswer, place: int, trade: Trade) -> Iterator[Cell]:
    def how(figure: str) -> str:
        return sized.at(addresses.SIZE_HOW.format(place=one.place, figure=f"{figure}-{place}"))

    share = trade.break_even_share
    lies = "" if isinstance(trade.deal, Gap) else words.share_lies(share, trade.deal)
    yield Cell(trade.gain, "money", how("gain"))
    yield Cell(share, "percent", how("break_even_share"), lies)
    months = trade.months
    shown = months if isinstance(months, Gap) else rounded_up(snap(months), 1)
    yield Cell(shown, "number", how("months"))
    yield Cell(trade.fair_price, "money", how("fair_price"), "nothing is lost even if all trade up")


def _facts(
    desk: Desk, sized: Sizing, answer: SizeAnswer, one: CandidateAnswer
) -> Iterator[tuple[str, Figure, str, str, str]]:
    """What one is sold at, what that leaves, from which price it is worth it, and what the first orders take."""
    del desk

    def row(figure: str) -> str:
        return sized.at(addresses.SIZE_ROW.format(place=one.place, channel=one.row.channel, figure=figure))

    yield "Price", one.price, "money", _WAYS[one.price_way], row("suggested") if one.price_way == "target" else ""
    yield "Contributes a jar", one.row.contribution, "money", "after fees, materials and pay", row("contribution")
    if not isinstance(one.verdict, Gap):
        how = sized.at(addresses.SIZE_HOW.format(place=one.place, figure="worth_from-0"))
        yield "Worth it from", one.verdict.worth_from, "money", "a price, as you expect the rest", how
    if one.parts:
        yield "First orders", one.tied_up, "money", "of parts that nothing else uses", ""
    del answer


_WAYS = {
    "target": "suggested for its target",
    "typed": "as you typed",
    "per 100": "as the small jar per 100 g, less the discount",
    "hour": "an hour of yours brings the same",
}


def _assumes(desk: Desk, words: Words, one: CandidateAnswer) -> Iterator[str]:
    """What the verdict takes for granted."""
    likely = one.trades[0]
    if isinstance(likely.deal, Deal):
        deal = likely.deal
        yield (
            f"{words.many(deal.jars)}, of which {words.percent(deal.share)} take the place of what is sold now: "
            f"{trade_words(words, likely).lower()}."
        )
        monthly = desk.formats.money(deal.monthly) if deal.monthly else "nothing"
        once = desk.formats.money(deal.one_off) if deal.one_off else "nothing"
        yield f"Carrying it costs {monthly} a month, and starting it {once} once."
    yield "Your own pay counts as a cost. Monthly bills stay as they are, so none of them is counted."
    yield "Prices and sales of everything else stay as they are; what isn't typed here is as with the present jar."


def _part(desk: Desk, words: Words, answer: SizeAnswer, part: SizePart) -> PartShown:
    name = known_of(desk, answer).book.materials[part.material].name
    href = addresses.thing("material", part.material) if part.material > 0 else ""
    lasts = "" if isinstance(part.lasts, Gap) else words.months(part.lasts)
    needed = part.needed if isinstance(part.needed, Gap) else half_up(snap(part.needed), 1)
    return PartShown(name, href, part, needed, lasts, next_break(words, part))


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


# --- the ladder


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
    shop = any(one.stockist is not None for one in rungs)
    shown = tuple(_rung(desk, sized, answer, words, one, shop=shop) for one in rungs)
    named = [(one.name, rung) for one, rung in zip(shown, rungs, strict=True)]
    heads = (*(head.replace("100", f"100 {unit}") for head in LADDER), *(("A shop has of it",) if shop else ()))
    return LadderShown(name, heads, shown, size_plots.per_hundred(words, unit, named), str(channel))


def _rung(desk: Desk, sized: Sizing, answer: SizeAnswer, words: Words, one: Rung, *, shop: bool) -> RungShown:
    row, product = one.row, known_of(desk, answer).book.products[one.row.product]
    title = f"{product.name}, {words.where}"
    return RungShown(
        product.name,
        "" if one.candidate is not None else f"{addresses.thing('product', row.product)}#c-{row.channel}",
        one.candidate is not None,
        "" if isinstance(one.declared, Gap) else desk.formats.shown(one.declared, one.unit),
        makeup.small_bar(makeup.parts(desk.formats, row), title),
        vessels.vessel(desk.formats, row.margin, row.target),
        tuple(_rung_cells(desk, sized, one, shop=shop)),
        tuple(pointed_out(words, one)),
    )


def _rung_cells(desk: Desk, sized: Sizing, one: Rung, *, shop: bool) -> Iterator[Cell]:
    row = one.row

    def how(figure: str) -> str:
        if one.candidate is None:
            return desk.at(addresses.how_pair(row.product, row.channel, figure))
        return sized.at(addresses.SIZE_ROW.format(place=one.candidate, channel=row.channel, figure=figure))

    by_volume = one.unit == "mL"
    yield Cell(row.price, "money", how("suggested"), "" if row.accepted else "suggested")
    yield Cell(one.price_100, "money", how("price_per_100_ml" if by_volume else "price_per_100_g"))
    yield Cell(row.cost, "money", how("cost"))
    yield Cell(one.cost_100, "money", how("cost"))
    yield Cell(row.contribution, "money", how("contribution"))
    per_100 = row.per_100_ml if by_volume and row.per_100_ml is not None else row.per_100_g
    yield Cell(per_100, "money", how("per_100_ml" if by_volume else "per_100_g"))
    yield Cell(row.per_labour_hour, "money", how("per_labour_hour"))
    if shop:
        stockist = one.stockist
        yield Cell(Gap("No shop sells it.") if stockist is None else stockist, "money", how("recommended_retail"))


def pointed_out(words: Words, one: Rung) -> Iterator[str]:
    """What of a size on the ladder is to be looked at."""
    if one.dearer:
        yield "Dearer per 100 than the size before it: a bigger jar should be cheaper."
    if one.falls_faster and isinstance(one.price_fall, Decimal) and isinstance(one.cost_fall, Decimal):
        price, cost = words.percent(one.price_fall), words.percent(max(one.cost_fall, -ONE))
        fall = f"its cost only {cost}" if one.cost_fall >= 0 else "its cost rises"
        yield f"From the size before it the price per 100 falls by {price}, {fall}: less is left of it."


def row_working_of(answer: SizeAnswer, place: int, channel: int) -> Row | None:
    """The row of a candidate on a channel."""
    found = (one.row for rungs in answer.ladders.values() for one in rungs if one.candidate == place)
    own = (one.row for one in answer.candidates if one.place == place)
    return next((row for row in (*own, *found) if row.channel == channel), None)
