"""How a channel was at other times: for every day from which it held anew, all that was different from then on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from webapp.costing.book import Channel, SellingTime
from webapp.pages.formats import Formats

#: nothing is said in words where a field is empty or 0
NOTHING = "none"
KINDS = {
    "stall": "a stall or market",
    "web shop": "our own web shop",
    "marketplace": "somebody else's marketplace",
    "wholesale": "wholesale, to stockists",
    "consignment": "on consignment: paid when it is sold",
}
#: what a channel of a kind is called until somebody calls it otherwise
NAMES = {
    "stall": "Stall",
    "web shop": "Own web shop",
    "marketplace": "Marketplace",
    "wholesale": "Shops",
    "consignment": "On consignment",
}
TAXES = {"in": "it is in the price", "added": "it is added to the price", "none": "none is charged"}
#: field -> its label on the form, and how its value is written; in the form's order. Name and note are not dated.
FIELDS: tuple[tuple[str, str, str], ...] = (
    ("kind", "What it is", "kind"),
    ("target", "Target margin", "percent"),
    ("tax", "Sales tax", "tax"),
    ("tax_rate", "Rate of sales tax", "percent"),
    ("share_paid", "Takes of what the buyer pays", "percent"),
    ("share_net", "Takes of the price without tax", "percent"),
    ("fee", "Fixed fee on an order", "money"),
    ("fee_tax", "Tax on these fees", "percent"),
    ("jars_per_order", "Jars in a usual order", "number"),
    ("carton", "Carton and filling", "money"),
    ("postage", "Postage you pay", "money"),
    ("postage_charged", "Postage you charge", "money"),
    ("pitch", "Pitch for a day", "money"),
    ("jars_a_day", "Jars sold on such a day", "number"),
    ("work", "Who sells", "work"),
    ("endings", "Endings of prices", "text"),
    ("step", "Steps of prices", "money"),
    ("stockist_margin", "Stockist's own margin", "percent"),
    ("stockist_tax", "Tax in the stockist's shelf price", "percent"),
    ("least_order", "Least order", "money"),
    ("list_terms", "Terms on the price list", "text"),
)


@dataclass(frozen=True, slots=True)
class Changed:
    """One field from a day on: its label, what it is from then on, and what it was before ("" on the first day)."""

    label: str
    now: str
    before: str


@dataclass(frozen=True, slots=True)
class Day:
    """What was different from a day on."""

    since: date
    changed: tuple[Changed, ...]


def days(formats: Formats, people: Mapping[int, Any], facts: Iterable[Channel]) -> tuple[Day, ...]:
    """All days from which a channel held anew, the newest first; the first of all says everything that was set."""
    told: list[Day] = []
    before: Channel | None = None
    for fact in sorted(facts, key=lambda one: one.since):
        told.insert(0, Day(fact.since, tuple(_changed(formats, people, fact, before))))
        before = fact
    return tuple(told)


def _changed(formats: Formats, people: Mapping[int, Any], fact: Channel, before: Channel | None) -> Iterable[Changed]:
    for name, label, kind in FIELDS:
        now = getattr(fact, name)
        if before is None:
            if now:
                yield Changed(label, _written(formats, people, kind, now), "")
        elif now != getattr(before, name):
            was = _written(formats, people, kind, getattr(before, name))
            yield Changed(label, _written(formats, people, kind, now), was)


def _written(formats: Formats, people: Mapping[int, Any], kind: str, value: Any) -> str:
    if not value:
        return NOTHING if value is None or value in ("", ()) else _WAYS[kind](formats, value)
    if kind == "work":
        return "; ".join(_selling(formats, people, one) for one in value)
    return _WAYS[kind](formats, value)


def _selling(formats: Formats, people: Mapping[int, Any], one: SellingTime) -> str:
    spent = [f"{formats.minutes(one.per_order)} an order"] if one.per_order else []
    spent += [f"{formats.hours(one.per_day)} a day"] if one.per_day else []
    return f"{people[one.person].name}, {' and '.join(spent) or 'no time'}"


_WAYS: dict[str, Callable[[Formats, Any], str]] = {
    "text": lambda _, value: str(value),
    "kind": lambda _, value: KINDS[value],
    "tax": lambda _, value: TAXES[value],
    "percent": lambda formats, value: formats.typed_percent(value),
    "money": lambda formats, value: formats.money(value),
    "number": lambda formats, value: formats.number(value),
}
