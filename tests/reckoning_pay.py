"""Break-even, pay and a week's hours reckoned a second time, in exact fractions, on top of the line.

Imports the standard library and its own tests.reckoning_* only, nothing of webapp.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from typing import Any

from tests.reckoning import Line
from tests.reckoning_buying import F, n, snap

Pair = tuple[Any, Any]
NOTHING = F(0)


class Month(Line):
    """A month of what is sold."""

    def sold(self) -> dict[Pair, F]:
        """Jars a month where there are any."""
        found = {}
        for pair in self.pairs():
            jars = self.shelf.get("sales", {}).get(pair, {}).get("jars")
            if jars not in (None, "", "0"):
                found[pair] = n(jars)
        return found

    def bills(self) -> F:
        """The bills of a month, whether jars bear them or not."""
        return sum((n(one["a_month"]) for one in self.shelf["bill"].values() if not one.get("retired")), F(0))

    def net_here(self, p: Any, c: Any) -> F:
        return self.net(c, self.price(p, c))

    def before(self, p: Any, c: Any) -> F:
        return self.contribution(p, c) + self.own_pay(p, c)

    def over(self, figure: Callable[[Any, Any], F]) -> F:
        return sum((figure(*pair) * jars for pair, jars in self.sold().items()), F(0))

    def times(self, figure: Callable[[Any, Any], F], income: F = NOTHING) -> F:
        """As a part of the present sales: what is to be covered / what they contribute."""
        return (self.bills() + income) / self.over(figure)

    def whole_jars(self, times: F) -> int:
        """Each product's channels together, rounded up, then added."""
        products: dict[Any, F] = {}
        for (product, _), jars in self.sold().items():
            products[product] = products.get(product, F(0)) + jars
        return sum(ceil(snap(jars * times)) for jars in products.values())

    def making(self, p: Any) -> F:
        """Everybody's hours of making in a jar."""
        return sum(self.minutes(p).values(), F(0)) / 60

    def an_hour(self, product: Any) -> F:
        """What an hour pays in one product, its share of all bills by hours of making."""
        mine = {pair: jars for pair, jars in self.sold().items() if pair[0] == product}
        making = sum((self.making(p) * jars for (p, _), jars in mine.items()), F(0))
        bills = self.bills() * making / self.over(lambda p, _: self.making(p))
        before = sum((self.before(*pair) * jars for pair, jars in mine.items()), F(0))
        return (before - bills) / sum((self.own_hours(*pair) * jars for pair, jars in mine.items()), F(0))
