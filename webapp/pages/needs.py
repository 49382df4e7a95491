"""What needs the maker now, as sentences with their acts, most costly first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.book import KINDS, SHELVES, Order, Price
from webapp.costing.checks.found import in_words
from webapp.costing.gaps import Gap, Ref
from webapp.costing.kept import kept_knowingly
from webapp.costing.line import Row
from webapp.costing.price_history import quoted_in
from webapp.costing.reckoning import Reckoning
from webapp.pages import addresses
from webapp.pages.rendering import Desk

MOST = 12
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Need:
    """One sentence, the act that answers it, and what waiting costs a month (0 where that is not known).

    `why` leads to what moved a margin that is below its target.
    """

    sentence: str
    act: str
    href: str
    rank: int
    cost: Decimal = ZERO
    why: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """A price that is kept knowingly, and where it stands."""

    name: str
    href: str
    price: Price


def needs(desk: Desk) -> tuple[Need, ...]:
    """What needs the maker now; what loses money first, then what cannot be reckoned, then what is old."""
    return desk.snapshot.once(needs, lambda: _needs(desk))


def _needs(desk: Desk) -> tuple[Need, ...]:
    rows = desk.reckoning.line()
    found = [*below_target(desk, rows), *missing(desk, rows), *unpriced(desk, rows), *stale(desk)]
    found += [*not_costed(desk), *beginnings(desk)]
    return tuple(sorted(found, key=lambda need: (need.rank, -need.cost, need.sentence)))


def beginnings(desk: Desk) -> Iterator[Need]:
    """What a new book still needs before a price comes of it, in the order in which it is wanted."""
    book, new = desk.book, addresses.new
    steps = (
        (book.orders or book.materials, "Every cost starts with what you paid.", "Enter an order", new("order")),
        (book.formulas, "No formula is written yet: what goes in, and how much.", "Write a formula", new("formula")),
        (
            book.products,
            "No product is defined yet: its filling, its jar, the minutes.",
            "Define a product",
            new("product"),
        ),
        (book.people, "Nobody works here yet, so no jar bears working time.", "Add yourself", _where_minutes(desk)),
        (book.channels, "It is not said yet where you sell, so no price comes of it.", "Say where", new("channel")),
    )
    for number, (held, sentence, act, href) in enumerate(steps):
        if not held:
            yield Need(sentence, act, href, 6, Decimal(-number))
        if number == 1:
            yield from _minutes(desk)


def _where_minutes(desk: Desk) -> str:
    """Where the first who works is made together with the minutes: at the product, at the formula, else alone."""
    for kind in ("product", "formula"):
        for one in desk.things(kind)[:1]:
            return f"{addresses.thing(kind, one.id, 'edit')}#f-work"
    return addresses.new("person")


def _minutes(desk: Desk) -> Iterator[Need]:
    """Who was added can say how long the formula takes, where nobody did and no product stands yet."""
    book = desk.book
    if book.people and not book.products and not any(formula.work for formula in book.formulas.values()):
        for formula in desk.things("formula")[:1]:
            sentence = f"How long {formula.name} takes is not said yet. Say it here, or later with the product."
            yield Need(sentence, "Say the minutes", f"{addresses.thing('formula', formula.id, 'edit')}#f-work", 6)


def not_costed(desk: Desk) -> Iterator[Need]:
    """What was bought and has no cost, as long as no product waits for it and says so itself."""
    for material in desk.things("material") if not desk.book.products else ():
        cost = desk.reckoning.material(material.id).unit_cost
        if isinstance(cost, Gap) and desk.reckoning.purchases(material.id):
            led = cost.reason if cost.reason.startswith(material.name) else f"{material.name}: {cost.reason}"
            href = addresses.href(cost.cure) or addresses.thing("material", material.id)
            yield Need(f"The cost of {material.name} is not known yet. {led}", "Put it right", href, 1)


def next_step(desk: Desk) -> Need | None:
    """The next thing that a new book needs, up to the first price that is decided; None from then on."""
    return next(beginnings(desk), None) or _first_price(desk)


def _first_price(desk: Desk) -> Need | None:
    """What stands between all that was entered and the first price: a figure that is missing, or only the decision."""
    rows = () if desk.book.prices else desk.reckoning.line()
    for row in rows:
        if isinstance(row.suggested, Decimal):
            sentence = f"{name_of(desk, row)}: {desk.formats.money(row.suggested)} is suggested."
            href = f"{addresses.thing('product', row.product)}#c-{row.channel}"
            return Need(sentence, "See how it comes about and decide", href, 6)
    return next(missing(desk, rows), None)


def below_target(desk: Desk, rows: tuple[Row, ...]) -> Iterator[Need]:
    """Accepted prices that do not reach their target, by how much, and what that loses a month; none kept knowingly."""
    for row in rows:
        if not row.accepted or row.reaches is not False or kept_knowingly(desk.book, row):
            continue
        short = desk.formats.points(row.margin, row.target)
        lost = row.lost_a_month
        known = lost if isinstance(lost, Decimal) else ZERO
        month = f" That is {desk.formats.money(known)} a month." if known > 0 else ""
        gap = row.target - row.margin if isinstance(row.margin, Decimal) else ZERO
        yield Need(
            f"{name_of(desk, row)}: margin {short} %.{month}{_on_a_quote(desk, row)}",
            "Look at its price",
            addresses.thing("product", row.product),
            0,
            known if known > 0 else gap.scaleb(-6),
            addresses.why(row.product, row.channel),
        )


def kept(desk: Desk) -> tuple[Kept, ...]:
    """Prices below their target that are kept knowingly, those that were decided last first."""
    return desk.snapshot.once(kept, lambda: _kept(desk))


def _kept(desk: Desk) -> tuple[Kept, ...]:
    pairs = [(kept_knowingly(desk.book, row), row) for row in desk.reckoning.line()]
    found = [(price, row) for price, row in pairs if price is not None]
    found.sort(key=lambda pair: pair[0].since, reverse=True)
    return tuple(
        Kept(name_of(desk, row), f"{addresses.thing('product', row.product)}#c-{row.channel}", price)
        for price, row in found
    )


def missing(desk: Desk, rows: tuple[Row, ...]) -> Iterator[Need]:
    """What stands in the way of a cost or a price: each reason once, with the field that cures it."""
    waiting: dict[tuple[str, Ref | None], list[str]] = {}
    for row in rows:
        gap = row.sheet.gap or row.gap
        if isinstance(gap, Gap):
            names = waiting.setdefault((gap.reason, gap.cure), [])
            name = desk.book.products[row.product].name
            if name not in names:
                names.append(name)
    for (reason, cure), names in waiting.items():
        more = f" and {len(names) - 1} more" if len(names) > 1 else ""
        about = named(desk, cure)
        led = f"{about}: {reason}" if about and not reason.startswith(about) else reason
        yield Need(
            f"{names[0]}{more} can't be reckoned yet. {led}",
            "Put it right",
            addresses.href(cure) or addresses.LINE,
            1,
            Decimal(len(names)),
        )


def unpriced(desk: Desk, rows: tuple[Row, ...]) -> Iterator[Need]:
    """Products that have no accepted price where they are sold."""
    waiting = [row for row in rows if not row.accepted and isinstance(row.suggested, Decimal)]
    for row in waiting[:3]:
        suggested = f"{desk.formats.money(row.suggested)} is suggested.{_on_a_quote(desk, row)}"
        yield Need(
            f"{name_of(desk, row)} has no price yet; {suggested}",
            "Decide its price",
            addresses.thing("product", row.product),
            2,
        )
    if len(waiting) > 3:
        yield Need(f"{len(waiting) - 3} more prices are not decided yet.", "See the line", addresses.LINE, 3)


def stale(desk: Desk) -> Iterator[Need]:
    """Materials in use whose price is older than the workshop wants."""
    old = []
    for material in desk.things("material"):
        cost = desk.reckoning.material(material.id)
        if cost.stale and cost.day:
            old.append((cost.day, material))
    for day, material in sorted(old, key=lambda one: (one[0], one[1].name))[:3]:
        sentence = f"The price of {material.name} is from {desk.formats.day(day)}."
        yield Need(sentence, "Check this price", addresses.checked(material.id), 4)
    if len(old) > 3:
        sentence = f"The prices of {len(old) - 3} more materials are old as well."
        yield Need(sentence, "Check these prices", addresses.CHECK, 5)


def last_order(desk: Desk) -> Order | None:
    """The newest order."""
    return next(iter(desk.things("order")), None)


def quotes_in(known: Reckoning, product: int) -> str:
    """That a cost rests on a quote, for which materials; "" where all of it was bought or is not known."""
    names = [known.book.materials[one].name for one in quoted_in(known, product)]
    return f"rests on a quote: {in_words(names)}" if names else ""


def _on_a_quote(desk: Desk, row: Row) -> str:
    words = quotes_in(desk.reckoning, row.product)
    return f" Its cost {words}." if words else ""


def name_of(desk: Desk, row: Row) -> str:
    """A product and where it is sold."""
    return f"{desk.book.products[row.product].name}, {desk.book.channels[row.channel].name}"


def named(desk: Desk, ref: Ref | None) -> str:
    """The name of the thing that a gap is cured at."""
    if ref is None or ref.kind not in addresses.LIST:
        return ""
    held = getattr(desk.book, SHELVES[KINDS[ref.kind]][1]).get(ref.id)
    return str(getattr(held, "name", ""))
