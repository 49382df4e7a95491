"""A suggested price in words: how it comes about in one sentence; what stands against it, with its ways out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import rounded_down, rounded_up, snap
from webapp.costing.gaps import Gap
from webapp.costing.rows import Row
from webapp.costing.suggested import Explained, Lowered, OutOfReach, Undercuts
from webapp.costing.suggestion_working import moved_up
from webapp.pages import addresses
from webapp.pages.rendering import Desk

Way = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Conflict:
    """What stands against a price, and both ways out, each with where it is done."""

    words: str
    ways: tuple[Way, ...]


def sentence(desk: Desk, one: Explained) -> str:
    """How the suggestion comes about; nothing while it is not known."""
    if isinstance(one.suggested, Gap) or isinstance(one.exact, Gap):
        return ""
    money, percent = desk.formats.money, desk.formats.percent
    least = rounded_up(snap(one.exact), one.row.terms.places)
    words = [f"{money(least)} is the least for its target of {percent(one.row.target)}"]
    if one.held_up and isinstance(one.tag, Decimal):
        tag = rounded_up(snap(one.tag), one.row.terms.places)
        words.append(f"stockists are to ask {money(tag)}, so here it is no less")
    elif one.row.terms.retail and isinstance(one.tag, Decimal):
        words.append("that is no less than stockists are to ask")
    words.append(f"{money(one.suggested)} leaves {money(one.leaves)} a jar, {percent(one.margin_then)}")
    return f"{'; '.join(words)}. {moved_up(desk.book.channels[one.row.channel])}"


def conflict(desk: Desk, one: Explained) -> Conflict | None:
    """What stands against it, in words."""
    found = one.conflict
    if isinstance(found, OutOfReach):
        return _out_of_reach(desk, one.row, found)
    return _undercuts(desk, one.row, found) if isinstance(found, Undercuts) else None


def _out_of_reach(desk: Desk, row: Row, found: OutOfReach) -> Conflict:
    percent, name = desk.formats.percent, desk.book.channels[row.channel].name
    words = (
        f"No price reaches its target: selling on {name} takes {percent(found.share)} of the net price, "
        f"and {percent(found.target)} is to be left."
    )
    shares = (
        f"shares of {name} that come to less than {percent(found.share_below)}",
        addresses.edit("channel", row.channel, "share_paid"),
    )
    if found.target_below is None:
        return Conflict(words, (shares,))
    target = (f"a target below {percent(found.target_below)}", addresses.pair("target", row.product, row.channel))
    return Conflict(words, (target, shares))


def _undercuts(desk: Desk, row: Row, found: Undercuts) -> Conflict:
    money, places = desk.formats.money, row.terms.places
    words = (
        f"At {money(row.price)} a buyer pays {money(rounded_down(found.paid, places))} here; "
        f"stockists are to ask {money(rounded_up(snap(found.asked), places))}."
    )
    ways = [] if isinstance(found.raise_to, Gap) else [_raised(row, money(found.raise_to))]
    ways += [way for one in found.lowered for way in _lowered(desk, row, one)]
    return Conflict(words, tuple(ways))


def _raised(row: Row, price: str) -> Way:
    return f"raise it here to {price}", addresses.pair("price", row.product, row.channel)


def _lowered(desk: Desk, row: Row, one: Lowered) -> list[Way]:
    name, money, percent = desk.book.channels[one.channel].name, desk.formats.money, desk.formats.percent
    left = "" if isinstance(one.margin_there, Gap) else f", which leaves {percent(one.margin_there)} of it"
    from_now = "" if isinstance(one.price, Gap) else f" from {money(one.price)}"
    ways = [
        (
            f"lower the price of {name}{from_now} to {money(one.lower_to)}{left}",
            addresses.pair("price", row.product, one.channel),
        )
    ]
    if one.stockist_margin is not None:
        least = rounded_down(snap(one.stockist_margin), 3)
        words = f"agree with {name} on a margin of its own of at most {percent(least)}"
        ways.append((words, addresses.edit("channel", one.channel, "stockist_margin")))
    return ways
