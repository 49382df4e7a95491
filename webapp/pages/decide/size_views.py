"""What an answer about another size shows: sentences, tables and drawings, each figure with where its sum is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ZERO, half_up, rounded_up, snap
from webapp.costing.deal_facts import Cash, Deal, Grid, Swing, Verdict
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import JARS_A_MONTH, MONEY, PERCENT
from webapp.costing.rows import Row
from webapp.costing.size_answers import NO_PARTS, UNDERCUTS
from webapp.costing.size_deals import asked_of
from webapp.costing.size_facts import CandidateAnswer, SizeAnswer, Trade
from webapp.costing.size_ladder import others_sold
from webapp.pages import addresses
from webapp.pages.decide import size_plots
from webapp.pages.decide.size_buying import PartShown, part_of, shelf_words, words_of
from webapp.pages.decide.size_form import Sizing
from webapp.pages.decide.size_phrases import NO_JAR, REMARKS
from webapp.pages.decide.size_words import Words
from webapp.pages.plots import Plot
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
    swings: tuple[tuple[str, str, str, Swing, str, str], ...] = ()
    gap: Gap | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """One answer to how many jars one takes the place of."""

    words: str
    cells: tuple[Cell, ...]


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
    cash_hows: tuple[str, ...]
    """Where the sum of each month is."""
    by_share: Plot | None
    over_months: Plot | None
    beside: bool
    """Whether it is only the jar that the others are set beside."""
    other: str = ""
    """What it is set beside."""
    jars: Figure | None = None
    """Jars a month that are expected; None where that is not typed."""


TRADE_HEADS = ("Gain a month", "Break-even share", "Months to earn back", "Fair price")


class Outcome(NamedTuple):
    """What of any answer a verdict is told from."""

    verdict: Verdict | Gap
    grid: Grid | Gap
    deal: Deal | Gap
    gain: Figure
    price: Figure
    months: Figure


def told_of(words: Words, found: Outcome, assumes: Sequence[str], opens: Callable[[str, Decimal], str]) -> Told:
    """The verdict in words, or why there is none yet."""
    verdict, grid, deal, gain = found.verdict, found.grid, found.deal, found.gain
    if isinstance(verdict, Gap) or isinstance(deal, Gap):
        gap = verdict if isinstance(verdict, Gap) else deal
        return Told("No verdict yet", "none", "", assumes=tuple(assumes), gap=gap if isinstance(gap, Gap) else None)
    worth = isinstance(gain, Decimal) and _is_worth(deal, gain)
    more = (words.earned_back(deal, found.months), words.priced(verdict, grid))
    return Told(
        words.heading(verdict, worth=worth),
        verdict.kind,
        words.sentence(deal, gain, found.price),
        tuple(one for one in more if one),
        tuple(words.turns(one, verdict.worth_from, worth=worth) for one in words.first_turns(verdict)),
        tuple(assumes),
        "" if isinstance(grid, Gap) else words.ranged(grid),
        ()
        if isinstance(grid, Gap)
        else tuple(
            (*words.swing(one), one, opens(one.what, one.low), opens(one.what, one.high))
            for one in grid.swings
            if one.width
        ),
    )


def _is_worth(deal: Deal, gain: Decimal) -> bool:
    """Whether it is worth it as expected: the side that "as long as" and "once" are chosen by."""
    return snap(gain) > ZERO and snap(gain * deal.within) >= snap(deal.one_off)


def opens_at(desk: Desk, sized: Sizing, place: int, trades: Sequence[Trade] = ()) -> Callable[[str, Decimal], str]:
    """Where the gain with one thing at its low or high end opens: the same question with that typed for likely."""

    def there(what: str, value: Decimal) -> str:
        if what == "times":
            found = [number for number, one in enumerate(trades) if one.times == value]
            return sized.at(addresses.SIZE_HOW.format(place=place, figure=f"gain-{found[0]}")) if found else ""
        kind, typed = {
            "share": (PERCENT, value.scaleb(2)),
            "jars": (JARS_A_MONTH, value),
            "monthly": (MONEY, abs(value)),
        }[what]
        text = kind.show(typed, desk.notation)
        at = f"candidates-{place}-{what}"  # where it has its own, those count
        named = at if sized.form.value(at) else what
        return sized.at(addresses.SIZE_HOW.format(place=place, figure="gain-0"), **{named: text})

    return there


# --- a candidate


def candidate_of(desk: Desk, sized: Sizing, answer: SizeAnswer, one: CandidateAnswer) -> CandidateShown:
    """All that is said of one candidate."""
    words = words_of(desk, answer, one)
    likely = one.trades[0]
    named = [(trade_words(words, trade), trade) for trade in one.trades]
    outcome = Outcome(one.verdict, one.grid, likely.deal, likely.gain, one.price, likely.months)
    opens = opens_at(desk, sized, one.place, one.trades)
    told = told_of(words, outcome, tuple(_assumes(desk, words, one)), opens)
    shelf = one.shelf
    return CandidateShown(
        one.place,
        one.product.name,
        told,
        tuple(_facts(sized, words, one)),
        TRADE_HEADS,
        tuple(
            Column(name, tuple(_trade_cells(sized, words, one, place, trade)))
            for place, (name, trade) in enumerate(named)
        ),
        (
            *(_remark(desk, answer, one, code) for code in one.remarks if code in REMARKS),
            *_others_there(desk, answer, one),
        ),
        tuple(part_of(desk, sized, answer, one, number) for number in range(len(one.parts))),
        one.tied_up,
        shelf_words(words, shelf),
        shelf.unsold if shelf is not None and isinstance(shelf.unsold, Gap) else None,
        shelf is not None and isinstance(shelf.unsold, Decimal) and snap(shelf.unsold) > ZERO,
        one.cash,
        tuple(sized.at(addresses.SIZE_HOW.format(place=one.place, figure=f"cash-{n}")) for n in range(_months(one))),
        size_plots.by_share(words, named),
        None if isinstance(one.cash, Gap) else size_plots.over_months(words, one.cash),
        answer.question.formula is not None and one.place == 0,
        words.other,
        asked_of(answer.question, one.place).jars,
    )


def _others_there(desk: Desk, answer: SizeAnswer, one: CandidateAnswer) -> Iterator[str]:
    """Other sizes that are sold there, whose buyers are not counted on."""
    sold = others_sold(answer, one)
    if sold:
        names = " and ".join(_at_its_price(desk, row) for row in sold)
        yield f"Sold there too: {names}. Buyers that these would lose are not counted; ask beside each of them as well."


def _at_its_price(desk: Desk, row: Row) -> str:
    name = desk.book.products[row.product].name
    return name if isinstance(row.price, Gap) else f"{name} at {desk.formats.money(row.price)}"


def _months(one: CandidateAnswer) -> int:
    return 0 if isinstance(one.cash, Gap) else len(one.cash.months)


def _remark(desk: Desk, answer: SizeAnswer, one: CandidateAnswer, code: str) -> str:
    """A remark in words; of a new formula there is no present jar that it could be reckoned in."""
    if code == UNDERCUTS and one.row.undercuts is not None:
        paid, asked = (desk.formats.money(amount) for amount in one.row.undercuts)
        return f"Buyers pay {paid} here, and shops that buy it wholesale are to ask {asked}: this undercuts them."
    return NO_JAR if code == NO_PARTS and answer.question.formula is not None else REMARKS[code]


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

    share, come = trade.break_even_share, "" if words.ask == "set" else words.other
    lies = "" if isinstance(trade.deal, Gap) else words.share_lies(share, trade.deal)
    yield Cell(trade.gain, "money", how("gain"))
    yield Cell(words.shown_share(share, trade.deal), "percent", how("break_even_share"), lies)
    months = trade.months
    shown = months if isinstance(months, Gap) else rounded_up(snap(months), 1)
    yield Cell(shown, "number", how("months"), "" if shown else "nothing is paid once")
    yield Cell(
        trade.fair_price, "money", how("fair_price"), f"nothing is lost even if all of them {_WOULD[words.ask]}{come}"
    )


def _facts(sized: Sizing, words: Words, one: CandidateAnswer) -> Iterator[tuple[str, Figure, str, str, str]]:
    """What one is sold at, what that leaves, from which price it is worth it, and what the first orders take."""

    def how(figure: str) -> str:
        return sized.at(addresses.SIZE_HOW.format(place=one.place, figure=figure))

    opens = "" if one.price_way == "typed" else how("price")
    contributes = addresses.SIZE_ROW.format(which=f"c{one.place}", channel=one.row.channel, figure="contribution")
    way = _WAYS["set" if words.ask == "set" and one.price_way == "per 100" else one.price_way]
    yield "Price", one.price, "money", way.format(other=words.other), opens
    yield "Contributes a jar", one.row.contribution, "money", "after fees, materials and pay", sized.at(contributes)
    if not isinstance(one.verdict, Gap):
        yield "Worth it from", one.verdict.worth_from, "money", "a price, the rest as you expect", how("worth_from-0")
    if one.parts:
        yield "First orders", one.tied_up, "money", "of parts that nothing else uses", how("tied_up")


#: what all of its buyers do at the fair price
_WOULD = {"size": "come from ", "set": "would have bought its jars singly"}
_WAYS = {
    "target": "suggested for its target",
    "typed": "as you typed",
    "per 100": "per 100 as {other}, less the discount",
    "set": "its jars together, less the discount",
    "hour": "an hour of yours brings the same",
}


def _assumes(desk: Desk, words: Words, one: CandidateAnswer) -> Iterator[str]:
    """What the verdict takes for granted."""
    likely = one.trades[0]
    if isinstance(likely.deal, Deal):
        deal = likely.deal
        yield (
            f"{words.many(deal.jars)}, of which {words.percent(deal.share)} take the place of "
            f"{f'{words.other}' if words.new else 'what is sold now'}: "
            f"{trade_words(words, likely).lower()}."
        )
        monthly = desk.formats.money(deal.monthly) if deal.monthly else "nothing"
        once = desk.formats.money(deal.one_off) if deal.one_off else "nothing"
        yield f"Carrying it costs {monthly} a month, and starting it {once} once."
    yield "Your own pay counts as a cost. Monthly bills stay as they are, so none of them is counted."
    like = words.other if words.new else "the present jar"
    yield f"Prices and sales of everything else stay as they are; what isn't typed here is as with {like}."
