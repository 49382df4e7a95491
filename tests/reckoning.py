"""The workshop reckoned a second time, in exact fractions, from the paper that says how (not from the program).

Imports the standard library and its own tests.reckoning_* only, nothing of webapp.
`python -m tests.reckoning` writes seed_data/expected.csv: every figure to 12 places, half-up; a gap with its code.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial
from math import ceil
from pathlib import Path
from typing import Any

from tests.reckoning_buying import MINOR, F, Gap, Record, half_up, n, pct, remembered, snap
from tests.reckoning_jars import Books

SEED = Path(__file__).parent.parent / "seed_data"


@dataclass(frozen=True)
class Selling:
    """What a channel takes: `share` of the net price in all, `each` per jar, and minutes by person."""

    gross: F  # 1 + v
    share: F  # b + a (1 + v)
    each: F  # e
    minutes: dict[Any, F]


class Line(Books):
    """Prices and the line, on top of what a jar costs."""

    @remembered
    def selling(self, channel: Any) -> Selling:
        record = self.shelf["channel"][channel]
        v = F(0) if record.get("tax", "none") == "none" else pct(record.get("tax_rate"))
        taxed = F(1) if self.registered(self.today) else 1 + pct(record.get("fee_tax"))
        a, b = pct(record.get("share_paid")) * taxed, pct(record.get("share_net")) * taxed
        charged, q = n(record.get("postage_charged")), n(record.get("jars_per_order"), "1")
        order = n(record.get("fee")) * taxed + n(record.get("carton")) + n(record.get("postage"))
        order += -charged / (1 + v) + a * charged + b * charged / (1 + v)
        minutes: dict[Any, F] = {}
        for work in record.get("work") or []:
            spent = n(work.get("per_order")) / q + 60 * self._a_jar(record, n(work.get("per_day")))
            minutes[work["person"]] = minutes.get(work["person"], F(0)) + spent
        return Selling(1 + v, b + a * (1 + v), order / q + self._a_jar(record, n(record.get("pitch"))), minutes)

    @staticmethod
    def _a_jar(record: Record, a_day: F) -> F:
        """A selling day's cost or time, per jar sold on it."""
        return a_day / n(record.get("jars_a_day"), None) if a_day else F(0)

    def own_pay(self, product: Any, channel: Any) -> F:
        return self.own(product) + self.labour(self.selling(channel).minutes, "own")

    def own_hours(self, product: Any, channel: Any) -> F:
        both = (self.minutes(product), self.selling(channel).minutes)
        return sum((spent for each in both for p, spent in each.items() if self.whose(p) == "own"), F(0)) / 60

    def direct_here(self, product: Any, channel: Any) -> F:
        """Direct cost, with the labour of selling it on the channel."""
        return self.direct(product) + self._selling_labour(channel)

    def cost(self, product: Any, channel: Any) -> F:
        cost = self.direct(product) if self.terms.get("cost") == "direct" else self.full(product)
        return cost + self._selling_labour(channel)

    def _selling_labour(self, channel: Any) -> F:
        minutes = self.selling(channel).minutes
        return self.labour(minutes, "own") + self.labour(minutes, "hired")

    def target(self, product: Any, channel: Any) -> F:
        own = self.shelf.get("target", {}).get((product, channel), {}).get("margin")
        of_channel = self.shelf["channel"][channel].get("target")
        return pct(next(one for one in (own, of_channel, self.terms.get("target"), "40") if one not in (None, "")))

    def net_at(self, product: Any, channel: Any, margin: F) -> F:
        """The net price that leaves `margin`."""
        selling = self.selling(channel)
        needed = self.cost(product, channel) + selling.each
        left = 1 - margin - selling.share
        if left <= 0 or needed <= 0:
            raise Gap("no price reaches it" if left <= 0 else "nothing to cover")
        return needed / left

    def marked(self, channel: Any, net: F) -> F:
        """The price on the label for a net price."""
        return net * self.selling(channel).gross if self.shelf["channel"][channel].get("tax") == "in" else net

    def net(self, channel: Any, marked: F) -> F:
        return marked / self.selling(channel).gross if self.shelf["channel"][channel].get("tax") == "in" else marked

    def up_to_ending(self, channel: Any, marked: F) -> F:
        record = self.shelf["channel"][channel]
        marked = snap(marked)
        minor = F(1, 10 ** MINOR.get(self.home, 2))
        if not record.get("endings"):
            step = n(record.get("step")) or minor
            return max(ceil(marked / step), 1) * step
        found = []
        for ending in record["endings"].split():
            # "9.99": every ten, "80" every hundred, ".95" every one
            whole = ending.partition(".")[0]
            every = F(10 ** len(whole))
            times = max(ceil((marked - F(ending)) / every), 0)
            found.append(F(ending) + times * every or every)
        return min(found)

    def sold_on(self, product: Any) -> list[Any]:
        named = self.shelf["product"][product].get("channels") or list(self.shelf["channel"])
        return [channel for channel in named if not self.shelf["channel"][channel].get("retired")]

    @remembered
    def recommended(self, product: Any) -> F | None:
        """The recommended retail price, tax included; None where no shop is supplied."""
        found = []
        for channel in self.sold_on(product):
            record = self.shelf["channel"][channel]
            if record["kind"] == "wholesale":
                net = self.net(channel, self.price(product, channel))
                found.append(
                    net * (1 + pct(record.get("stockist_tax"))) / (1 - pct(record.get("stockist_margin"), "50"))
                )
        return max(found) if found else None

    @remembered
    def suggested(self, product: Any, channel: Any) -> F:
        net = self.net_at(product, channel, self.target(product, channel))
        if self.shelf["channel"][channel]["kind"] != "wholesale":
            recommended = self.recommended(product)
            if recommended is not None:
                net = max(net, recommended / self.selling(channel).gross)
        return self.up_to_ending(channel, self.marked(channel, net))

    @remembered
    def price(self, product: Any, channel: Any) -> F:
        """The accepted price, else the suggested one."""
        accepted = self.shelf.get("price", {}).get((product, channel))
        return n(accepted["amount"]) if accepted else self.suggested(product, channel)

    def fees(self, product: Any, channel: Any) -> F:
        selling = self.selling(channel)
        return self.net(channel, self.price(product, channel)) * selling.share + selling.each

    def profit(self, product: Any, channel: Any) -> F:
        net = self.net(channel, self.price(product, channel))
        return net - self.cost(product, channel) - self.fees(product, channel)

    def margin(self, product: Any, channel: Any) -> F:
        net = self.net(channel, self.price(product, channel))
        if not net:
            raise Gap("price of nothing")
        return self.profit(product, channel) / net

    def markup(self, product: Any, channel: Any) -> F:
        spent = self.cost(product, channel) + self.fees(product, channel)
        if not spent:
            raise Gap("cost of nothing")
        return self.profit(product, channel) / spent

    def contribution(self, product: Any, channel: Any) -> F:
        net = self.net(channel, self.price(product, channel))
        return net - self.fees(product, channel) - self.direct_here(product, channel)

    def per_hour(self, product: Any, channel: Any) -> F:
        hours = self.own_hours(product, channel)
        if not hours:
            raise Gap("no own hours")
        return (self.contribution(product, channel) + self.own_pay(product, channel)) / hours

    def jars_a_month(self, product: Any, channel: Any) -> F:
        sales = self.shelf.get("sales", {}).get((product, channel), {})
        return n(sales.get("jars"), None)

    def lost(self, product: Any, channel: Any) -> F:
        net, jars = self.net(channel, self.price(product, channel)), self.jars_a_month(product, channel)
        return max((self.target(product, channel) * net - self.profit(product, channel)) * jars, F(0))

    def headroom(self, product: Any, channel: Any, material: Any) -> F:
        """By how much a gram may rise before the target is missed."""
        net = self.net(channel, self.price(product, channel))
        room = net * (1 - self.target(product, channel)) - self.fees(product, channel) - self.cost(product, channel)
        return room / self.charged(product, material)

    def highest_cost(self, product: Any, channel: Any) -> F:
        selling, net = self.selling(channel), self.net(channel, self.price(product, channel))
        return net * (1 - self.target(product, channel) - selling.share) - selling.each

    def weighted_margin(self) -> F:
        profit = sales = F(0)
        for product, channel in self.pairs():
            if self.shelf.get("sales", {}).get((product, channel), {}).get("jars") not in (None, "", "0"):
                jars = self.jars_a_month(product, channel)
                profit += self.profit(product, channel) * jars
                sales += self.net(channel, self.price(product, channel)) * jars
        if not sales:
            raise Gap("no sales")
        return profit / sales

    def pairs(self) -> Iterator[tuple[Any, Any]]:
        for product, record in self.shelf["product"].items():
            for channel in self.sold_on(product) if not record.get("retired") else ():
                yield product, channel

    # --- every figure, by name ------------------------------------------------------------------------------------

    def materials_figures(self, key: Any) -> dict[str, Callable[[], F]]:
        return {"unit_cost": lambda: self.material(key)[0]}

    def order_figures(self, key: Any) -> dict[str, Callable[[], F]]:
        lines = self.shelf["order"][key]["lines"]
        figures = {f"landed-{i}": partial(self.landed_line, key, i) for i in range(len(lines))}
        return {**figures, "total": partial(self.invoice_total, key)}

    def invoice_total(self, key: Any) -> F:
        """What the invoice says, in its own currency: known even where there is no rate to bring it home."""
        try:
            self.landed(key)
        except Gap:
            if ("total", key) not in self.memory:
                raise
        return F(self.memory["total", key])

    def formula_figures(self, key: Any) -> dict[str, Callable[[], F]]:
        return {
            "per_gram": lambda: self.per_gram(key),
            "good_per_gram": lambda: self.per_gram(key) * self.swell(key),
            "out_cost": lambda: self.per_gram(key) * self.weighed_for_one(key),
        }

    def product_figures(self, key: Any) -> dict[str, Callable[[], F]]:
        fills = self.shelf["product"][key].get("fills") or []
        figures = {f"jars-{i}": partial(self.jars, key, i) for i in range(len(fills))}
        return figures | {
            "ingredients": lambda: self.ingredients(key),
            "packaging": lambda: self.packaging(key),
            "minutes": lambda: sum(self.minutes(key).values(), F(0)),
            "labour_own": lambda: self.own(key),
            "labour_hired": lambda: self.hired(key),
            "overhead": lambda: self.overhead(key),
            "one_offs": lambda: self.one_offs(key),
            "materials": lambda: self.materials(key),
            "direct": lambda: self.direct(key),
            "full": lambda: self.full(key),
            "declared_grams": lambda: self.declared(key, "g"),
        }

    def row_figures(self, p: Any, c: Any) -> dict[str, Callable[[], F]]:
        minor = MINOR.get(self.home, 2)
        return {
            "price": lambda: self.price(p, c),
            "net": lambda: self.net(c, self.price(p, c)),
            "fees": lambda: self.fees(p, c),
            "cost": lambda: self.cost(p, c),
            "profit": lambda: self.profit(p, c),
            "margin": lambda: self.margin(p, c),
            "markup": lambda: self.markup(p, c),
            "target": lambda: self.target(p, c),
            "distance": lambda: self.margin(p, c) - self.target(p, c),
            "floor": lambda: F(ceil(snap(self.marked(c, self.net_at(p, c, F(0)))) * 10**minor), 10**minor),
            "suggested": lambda: self.suggested(p, c),
            "recommended_retail": lambda: _known(self.recommended(p)),
            "contribution": lambda: self.contribution(p, c),
            "contribution_before_own_pay": lambda: self.contribution(p, c) + self.own_pay(p, c),
            "per_100_g": lambda: self.contribution(p, c) / self.declared(p, "g") * 100,
            "per_labour_hour": lambda: self.per_hour(p, c),
            "lost_a_month": lambda: self.lost(p, c),
            "highest_cost": lambda: self.highest_cost(p, c),
        }

    def figures(self) -> Iterator[tuple[str, str, str, Callable[[], F]]]:
        """Every figure: what it is of, on which channel, its name, and how to get it."""
        of: tuple[tuple[str, Callable[[Any], dict[str, Callable[[], F]]]], ...] = (
            ("material", self.materials_figures), ("order", self.order_figures),
            ("formula", self.formula_figures), ("product", self.product_figures),
        )  # fmt: skip
        for kind, ask in of:
            for key in self.shelf[kind]:
                for name, figure in ask(key).items():
                    yield f"{kind} {key}", "", name, figure
        for product, channel in self.pairs():
            for name, figure in self.row_figures(product, channel).items():
                yield f"product {product}", str(channel), name, figure
            for material in sorted({m for m in self.shelf["material"] if self._charges(product, m)}):
                ask_room = partial(self.headroom, product, channel, material)
                yield f"product {product}", str(channel), f"headroom {material}", ask_room
        yield "line", "", "weighted_margin", self.weighted_margin

    def _charges(self, product: Any, material: Any) -> bool:
        try:
            return bool(self.charged(product, material))
        except Gap:
            return False


def _known(figure: F | None) -> F:
    if figure is None:
        raise Gap("no shop is supplied")
    return figure


def written(ask: Callable[[], F]) -> str:
    """A figure as it stands in expected.csv: a decimal of at most 12 places, or the gap."""
    try:
        figure = half_up(ask(), 12)
    except Gap as gap:
        return f"gap: {gap}"
    whole = f"{abs(figure.numerator) * (10**12 // figure.denominator):013d}"
    text = f"{whole[:-12]}.{whole[-12:]}".rstrip("0").rstrip(".")
    return f"-{text}" if figure < 0 else text


def seed() -> dict[str, list[Record]]:
    read: dict[str, list[Record]] = json.loads((SEED / "workshop.json").read_text("utf-8"))
    return read


def expected(today: date) -> list[tuple[str, str, str, str]]:
    """Every figure of the example as opened on `today`."""
    return [(of, channel, name, written(ask)) for of, channel, name, ask in Line(seed(), today).figures()]


def main() -> None:
    """Write seed_data/expected.csv. The day doesn't matter; a test holds that."""
    with (SEED / "expected.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("of", "channel", "figure", "value"))
        writer.writerows(expected(date(2027, 1, 31)))


if __name__ == "__main__":
    main()
