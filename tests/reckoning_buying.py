"""The workshop reckoned a second time in exact fractions, from orders to a cost per gram: see tests/reckoning.py.

Imports the standard library only and nothing of webapp. Reads dicts of texts as they stand in
seed_data/workshop.json; a day is written as a date, or counted from the asked day ("-37 d").
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from functools import partial, wraps
from math import floor
from typing import Any, TypeVar

F = Fraction
#: by definition: Weights and Measures Act 1985 (UK), NIST Handbook 44 App. C
GRAMS = {"g": F(1), "kg": F(1000), "mg": F(1, 1000), "oz": F("28.349523125"), "lb": F("453.59237")}
_US, _IMP = F("3785.411784"), F("4546.09")  # the gallons, mL
MILLILITRES = {
    "mL": F(1), "L": F(1000), "US fl oz": _US / 128, "US pint": _US / 8, "US quart": _US / 4, "US gallon": _US,
    "imp fl oz": _IMP / 160, "imp pint": _IMP / 8, "imp quart": _IMP / 4, "imp gallon": _IMP,
}  # fmt: skip
#: ISO 4217; every other currency here has two
MINOR = {"JPY": 0, "KRW": 0, "ISK": 0, "KWD": 3, "BHD": 3, "TND": 3}
Record = dict[str, Any]
T = TypeVar("T")


class Gap(Exception):  # a figure that cannot be worked out, with a short code of the reason
    pass


def n(value: Any, empty: str | None = "0") -> F:
    """A typed number; an empty one is `empty`, or a gap where that is None."""
    if value in (None, ""):
        if empty is None:
            raise Gap("not typed")
        return F(empty)
    return F(value)


def pct(value: Any, empty: str = "0") -> F:
    return n(value, empty) / 100


def half_up(value: F, places: int) -> F:
    """Half away from zero."""
    size = floor(abs(value) * 10**places + F(1, 2))
    return F(size if value >= 0 else -size, 10**places)


def snap(value: F) -> F:
    return half_up(value, 12)


def share_out(total: F, weights: Sequence[F], places: int) -> list[F]:
    """By largest remainder in the minor unit, ties to the earlier line; all weights zero: equally."""
    used = list(weights) if sum(weights) else [F(1)] * len(weights)
    units = abs(total) * 10**places
    exact = [units * weight / sum(used) for weight in used]
    parts = [floor(one) for one in exact]
    by_remainder = sorted(range(len(used)), key=lambda i: (parts[i] - exact[i], i))
    for index in by_remainder[: int(units) - sum(parts)]:
        parts[index] += 1
    return [F(part if total >= 0 else -part, 10**places) for part in parts]


def months_before(day: date, months: int) -> date:
    """A missing day becomes the month's last."""
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def remembered(method: Callable[..., T]) -> Callable[..., T]:
    """Worked out once; a gap is remembered as well."""

    @wraps(method)
    def once(self: Buying, *key: Any) -> T:
        at = (method.__name__, *key)
        if at not in self.memory:
            try:
                self.memory[at] = method(self, *key)
            except Gap as gap:
                self.memory[at] = gap
        found = self.memory[at]
        if isinstance(found, Gap):
            raise found
        return found  # type: ignore[no-any-return]

    return once


@dataclass(frozen=True)
class Bought:
    """One line of an order, landed."""

    order: Any
    index: int
    day: date
    material: Any
    priced: bool
    landed: F | Gap  # home currency
    quantity: F | Gap  # grams or pieces that arrived usable

    def known(self) -> tuple[F, F]:
        """Landed cost and quantity, or the gap of either."""
        if isinstance(self.landed, Gap):
            raise self.landed
        if isinstance(self.quantity, Gap):
            raise self.quantity
        return self.landed, self.quantity


class Buying:
    """All facts of a workshop as they hold on `today`, and every figure that follows."""

    def __init__(self, data: dict[str, list[Record]], today: date) -> None:
        self.today = today
        self.memory: dict[Any, Any] = {}
        self.data = data
        self.shelf: dict[str, dict[Any, Record]] = {}
        for kind, records in data.items():
            if kind != "about":
                self.shelf[kind] = self._standing(records)
        self.workshop = next(iter(self.shelf["workshop"].values()))
        self.terms = next(iter(self.shelf["terms"].values()))
        self.home = str(self.workshop["currency"])

    def day(self, text: str) -> date:
        return self.today + timedelta(int(text[:-2])) if text.endswith(" d") else date.fromisoformat(text)

    def _standing(self, records: Iterable[Record]) -> dict[Any, Record]:
        """The newest version that holds on the asked day, of each."""
        kept: dict[Any, tuple[date, Record]] = {}
        for record in records:
            inner = record.get("wage") or {}
            since = self.day(record.get("since") or inner.get("since") or record.get("day") or "0001-01-01")
            key = record.get("key", (record.get("product"), record.get("channel")))
            if since <= self.today and (key not in kept or since >= kept[key][0]):
                kept[key] = (since, record)
        return {key: record for key, (_, record) in kept.items()}

    def registered(self, day: date) -> bool:
        entries = [(self.day(one["since"]), bool(one.get("registered"))) for one in self.data["terms"]]
        return [is_so for since, is_so in sorted(entries, key=lambda entry: entry[0]) if since <= day][-1:] == [True]

    def quantity(self, material: Any, amount: F, unit: str) -> F:
        """Grams of an ingredient, pieces of anything else."""
        record = self.shelf["material"][material]
        if record.get("kind", "ingredient") != "ingredient":
            return amount
        if unit in GRAMS:
            return amount * GRAMS[unit]
        return amount * MILLILITRES[unit] * self.density(material)

    def landed_line(self, key: Any, index: int) -> F:
        return self.landed(key)[index]

    def density(self, material: Any) -> F:
        density = self.shelf["material"][material].get("density")
        if not density:
            raise Gap("no density")
        return F(density["value"])

    def _mass(self, line: Record) -> F:
        record = self.shelf["material"][line["material"]]
        amount = n(line["packs"]) * n(line["size"])
        if record.get("kind", "ingredient") == "ingredient":
            return self.quantity(line["material"], amount, line["unit"])
        if not record.get("piece_grams"):
            raise Gap("no piece weight")
        return amount * n(record["piece_grams"])

    def _goods(self, line: Record, places: int) -> F:
        if line.get("total") not in (None, ""):
            return half_up(n(line["total"]), places)
        if line.get("price") in (None, ""):
            raise Gap("no amount")
        before = n(line["packs"]) * n(line["price"])
        if line.get("discount_in", "money") == "percent":
            return half_up(before * (1 - pct(line.get("discount"))), places)
        return half_up(before - n(line.get("discount")), places)

    @staticmethod
    def _taxed(amount: F, record: Record, places: int) -> tuple[F, F]:
        """Net of tax, and the tax as an invoice amount."""
        rate = pct(record.get("tax_rate"))
        if record.get("tax_included"):
            tax = half_up(amount * rate / (1 + rate), places)
            return amount - tax, tax
        return amount, half_up(amount * rate, places)

    @remembered
    def landed(self, key: Any) -> list[F]:
        """The landed cost of each line, in home currency."""
        order = self.shelf["order"][key]
        places = MINOR.get(order["currency"], 2)
        reclaimed = self.registered(self.day(order["day"]))
        lines = [self._taxed(self._goods(line, places), line, places) for line in order["lines"]]
        total = sum((net + tax for net, tax in lines), F(0))
        foreign = [net + (F(0) if reclaimed else tax) for net, tax in lines]
        home = [F(0)] * len(lines)
        for charge in order.get("charges") or []:
            in_order = charge.get("money", "order") == "order"
            money = MINOR.get(order["currency"] if in_order else self.home, 2)
            net, tax = self._taxed(half_up(n(charge["amount"]), money), charge, money)
            sign = -1 if charge["kind"] in ("discount", "credit") else 1
            cost = sign * (net + (F(0) if reclaimed else tax))
            total += sign * (net + tax) if in_order else F(0)
            into = foreign if in_order else home
            for index, share in enumerate(share_out(cost, self._weights(order, charge, lines), money)):
                into[index] += share
        lump = half_up(n(order.get("tax_total")), places)
        total += lump
        if lump and not reclaimed:
            foreign = [a + s for a, s in zip(foreign, share_out(lump, [net for net, _ in lines], places), strict=True)]
        self.memory["total", key] = total
        rate = self._rate(order, total)
        return [amount * rate + at_home for amount, at_home in zip(foreign, home, strict=True)]

    def _weights(self, order: Record, charge: Record, lines: Sequence[tuple[F, F]]) -> list[F]:
        how = charge.get("share", "value")
        if how == "value":
            return [net for net, _ in lines]
        return [self._mass(line) if how == "mass" else F(1) for line in order["lines"]]

    def _rate(self, record: Record, total: F) -> F:
        """Home currency per unit of the record's currency."""
        exchange = record.get("exchange")
        if record["currency"] == self.home:
            return F(1)
        if not exchange:
            raise Gap("no exchange rate")
        amount = n(exchange["amount"])
        if exchange["way"] == "paid":
            if not total:
                raise Gap("nothing to share what was paid over")
            return amount / total
        return amount if exchange["way"] == "home per unit" else 1 / amount

    @remembered
    def purchases(self, material: Any) -> list[Bought]:
        found = []
        for key, order in self.shelf["order"].items():
            for index, line in enumerate(order["lines"]):
                if line["material"] == material:
                    found.append(self._bought(key, index, order, line))
        return found

    def _bought(self, key: Any, index: int, order: Record, line: Record) -> Bought:
        arrived = line.get("arrived")
        usable = n(line["packs"]) * n(line["size"]) if arrived in (None, "") else n(arrived)
        return Bought(
            key, index, self.day(order["day"]), line["material"], not line.get("not_priced"),
            _or_gap(partial(self.landed_line, key, index)),
            _or_gap(lambda: self.quantity(line["material"], usable, line["unit"])),
        )  # fmt: skip

    @remembered
    def material(self, material: Any) -> tuple[F, str, bool]:
        """Cost per gram or piece, the rule it came by, and whether it is stale."""
        record = self.shelf["material"][material]
        quote = self.shelf["quote"].get(record.get("quote"))
        if quote and self.day(quote["since"]) <= self.today <= self.day(quote["until"]):
            price = n(quote["price"])
            cost = price * self._rate(quote, price)
            return cost / self.quantity(material, n(quote["size"]), quote["unit"]), "quote", False
        bought = [one for one in self.purchases(material) if one.priced]
        if not bought:
            start = record.get("starting")
            if not start:
                raise Gap("no price")
            return n(start["amount"]) / self.quantity(material, F(1), start["unit"]), "starting price", False
        # a chosen quote that is not valid gives way to the latest price, whatever the basis
        rule = "latest" if quote else record.get("basis") or self.workshop.get("basis", "latest")
        used = self._window(bought, rule, record)
        stale = months_before(self.today, int(self.workshop.get("stale_months") or 12))
        old = max(one.day for one in used) <= stale
        known = [one.known() for one in used]  # a line without a unit cost makes the whole missing
        if rule == "dearest":
            return max(landed / quantity for landed, quantity in known), rule, old
        return sum(one for one, _ in known) / sum((one for _, one in known), F(0)), rule, old

    def _window(self, bought: list[Bought], rule: str, record: Record) -> list[Bought]:
        if rule != "latest":
            months = record.get("basis_months") or self.workshop.get("basis_months") or "12"
            opened = months_before(self.today, int(months))
            inside = [one for one in bought if opened < one.day <= self.today]
            if inside:
                return inside
        newest = max(one.day for one in bought)
        return [one for one in bought if one.day == newest]


def _or_gap(ask: Callable[[], F]) -> F | Gap:
    try:
        return ask()
    except Gap as gap:
        return gap
