"""One size less, and a case for shops: what each shows, every figure with where its sum is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from webapp.costing.amounts import rounded_up, snap
from webapp.costing.deal_facts import Deal
from webapp.costing.gaps import Figure, Gap
from webapp.costing.rows import Row
from webapp.costing.size_facts import CaseAnswer, DropAnswer, SizeAnswer
from webapp.pages import addresses
from webapp.pages.decide.size_form import Sizing
from webapp.pages.decide.size_views import Outcome, Told, opens_at, told_of
from webapp.pages.decide.size_words import Words
from webapp.pages.rendering import Desk

NO_PRICE = Gap("No price is asked.")
#: term, figure, how it is written, a word below it, where its sum is
Fact = tuple[str, Figure, str, str, str]


@dataclass(frozen=True, slots=True)
class RowShown:
    """A product where it is sold now: jars a month and what each contributes."""

    name: str
    href: str
    jars: Figure
    contribution: Figure
    how: str


@dataclass(frozen=True, slots=True)
class OtherShown:
    """An answer that has no candidate: what is said of it, its figures, and the rows that it stands on."""

    told: Told
    facts: tuple[Fact, ...]
    rows: tuple[RowShown, ...] = ()
    notes: tuple[str, ...] = ()
    name: str = ""
    place: int = 0


def drop_of(desk: Desk, sized: Sizing, answer: SizeAnswer) -> OtherShown | None:
    """A size less; None where something else is asked."""
    found = answer.drop
    if found is None:
        return None
    words = Words(desk.formats, "drop", desk.book.products[answer.question.product or 0].name, "")
    outcome = Outcome(found.verdict, found.grid, found.deal, found.gain, NO_PRICE, found.months)
    told = told_of(words, outcome, tuple(_drop_assumes(desk, found)), opens_at(desk, sized, 0))
    inside = [desk.book.products[one].name for one in found.inside]
    notes = (f"It is also in {', '.join(inside)}: a set needs another jar then, or goes too.",) if inside else ()
    rows = tuple(_row(desk, row) for row in (*found.rows, *found.taken))
    return OtherShown(told, tuple(_drop_facts(sized, words, found)), rows, notes)


def _drop_assumes(desk: Desk, found: DropAnswer) -> Iterator[str]:
    if isinstance(found.deal, Deal):
        saved = desk.formats.money(-found.deal.monthly) if found.deal.monthly else "Nothing"
        yield f"{saved} a month is saved without it. What you pay for materials and work goes with the jars."
    yield "The monthly bills stay: what it bore of them the others bear then, so that is no saving."
    yield "Those who don't take the other size buy nothing instead."


def _drop_facts(sized: Sizing, words: Words, found: DropAnswer) -> Iterator[Fact]:
    def how(figure: str) -> str:
        return sized.at(addresses.SIZE_HOW.format(place=0, figure=figure))

    yield "Gain a month without it", found.gain, "money", "", how("gain-0")
    yield "It contributes a month now", found.lost, "money", "lost if nobody takes another", how("lost")
    yield "Comes back if all take the other", found.regained, "money", "", how("regained")
    yield "Its share of the bills", found.stays, "money", "stays, and the others bear it", how("stays")
    lies = "" if isinstance(found.deal, Gap) else words.taken_lies(found.break_even_share)
    yield "Break-even share", found.break_even_share, "percent", lies, how("break_even_share-0")


def case_of(desk: Desk, sized: Sizing, answer: SizeAnswer) -> OtherShown | None:
    """A case for shops; None where something else is asked."""
    found = answer.case
    if found is None:
        return None
    product = desk.book.products[answer.question.product or 0]
    words = Words(desk.formats, "case", f"A case of {product.name}", desk.book.channels[found.row.channel].name)
    outcome = Outcome(found.verdict, found.grid, found.deal, found.gain, found.case_price, NO_PRICE)
    told = told_of(words, outcome, tuple(_case_assumes()), opens_at(desk, sized, 0))
    return OtherShown(told, tuple(_case_facts(desk, sized, found)))


def _case_assumes() -> Iterator[str]:
    yield "Carton, postage and minutes of an order are shared by all jars of the case where a usual order is smaller."
    yield "Shops that take a case now by the jar take it by the case then; what they take more is the share you typed."


def _case_facts(desk: Desk, sized: Sizing, found: CaseAnswer) -> Iterator[Fact]:
    def how(figure: str) -> str:
        return sized.at(addresses.SIZE_HOW.format(place=0, figure=figure))

    row = found.row
    now = desk.at(addresses.how_pair(row.product, row.channel, "contribution"))
    then = sized.at(addresses.SIZE_ROW.format(which="c0", channel=row.channel, figure="contribution"))
    yield "Gain a month", found.gain, "money", "", how("gain-0")
    typed = sized.form.value("case_price") != ""
    yield (
        "A case costs the shop",
        found.case_price,
        "money",
        "as you typed" if typed else "",
        "" if typed else how("case_price-0"),
    )
    by_jar = "" if isinstance(row.price, Gap) else f"{desk.formats.money(row.price)} by the jar now"
    yield "A jar in it", found.price, "money", by_jar, how("jar_price-0")
    yield "A jar contributes in a case", found.cased.contribution, "money", "", then
    yield "A jar contributes now", row.contribution, "money", "", now
    if isinstance(found.deal, Deal):
        yield "A case brings beside its jars now", found.deal.own, "money", "", how("case-0")
    under = "from there it brings what its jars bring now"
    yield "Lowest price of a case", found.lowest, "money", under, how("lowest-0")
    share = found.break_even_share
    share = share if isinstance(share, Gap) else rounded_up(snap(share), 3)  # on the side on which it still holds
    yield "Shops have to take more", share, "percent", "to break even", how("break_even_share-0")


def _row(desk: Desk, row: Row) -> RowShown:
    name = f"{desk.book.products[row.product].name}, {desk.book.channels[row.channel].name}"
    jars: Figure = Gap("Jars a month are not typed there.") if row.jars_a_month is None else row.jars_a_month
    href = f"{addresses.thing('product', row.product)}#c-{row.channel}"
    how = desk.at(addresses.how_pair(row.product, row.channel, "contribution"))
    return RowShown(name, href, jars, row.contribution, how)
