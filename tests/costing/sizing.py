"""Another size of the example workshop's pomade: as a question to the program, and on paper as fractions.

What it costs on paper is reckoned by tests/reckoning.py from records that are written here by hand, as a product of the
seed is, so that nothing of what the program makes of a candidate is in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

from tests.books import example_book
from tests.reckoning import Line, seed
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_facts import Candidate, SizeQuestion

DAY = date(2026, 6, 30)
D, F = Decimal, Fraction
BOOK, IDS = example_book(DAY)
KNOWN = Reckoning(BOOK)
CHANNELS = ["stall", "web", "market", "shops", "salon"]

#: 100 g of it in a tin at 0.62, all else as the tin of 50 g has it
TIN = {"key": "new-tin", "name": "Tin 110 mL", "kind": "packaging", "starting": {"amount": "0.62", "unit": "pieces"}}
BIG = {
    "key": "big",
    "name": "Firm pomade 100 g",
    "since": "-1 d",
    "fills": [{"formula": "pomade", "declared": "100", "overfill": "0.5"}],
    "parts": [{"material": "new-tin", "spoiled": "1"}, {"material": "label", "pieces": "2", "spoiled": "5"}],
    "work": [{"person": "osk", "per_jar": "1.5"}],
    "channels": CHANNELS,
}


def on_paper(price: str | None = None, channel: str = "stall", **changed: Any) -> Line:
    """The seed with the big tin in it, by hand, at a price on a channel."""
    data = seed()
    data["material"] = [*data["material"], TIN]
    data["product"] = [*data["product"], {**BIG, **changed}]
    if price is not None:
        data["price"] = [*data["price"], {"product": "big", "channel": channel, "since": "-1 d", "amount": price}]
    return Line(data, DAY)


@cache
def present() -> Line:
    """The seed as it is."""
    return Line(seed(), DAY)


def big(**more: Any) -> Candidate:
    """The same as it is asked about."""
    typed: dict[str, Any] = {"declared": "100", "jar_name": "Tin 110 mL", "jar_price": "0.62", **more}
    return Candidate(**{name: _amount(name, one) for name, one in typed.items()})


_WORDS = ("name", "unit", "jar_name", "lid_name", "way", "ask", "replaced")


def _amount(name: str, one: Any) -> Any:
    return D(one) if isinstance(one, str) and name not in _WORDS else one


def asked(*candidates: Candidate, **more: Any) -> SizeQuestion:
    """About the tin of 50 g at the stall: ten a month, half of whose buyers would have bought the small one."""
    typed: dict[str, Any] = {
        "product": IDS["pomade-50"], "channel": IDS["stall"], "jars": "10", "share": "50", "one_off": "60", **more,
    }  # fmt: skip
    return SizeQuestion(candidates=candidates, **{name: _amount(name, one) for name, one in typed.items()})


def same(figure: Any, expected: Fraction, places: int = 12) -> bool:
    """Whether a figure is the fraction, both half-up to 12 places; a gap never is."""
    if not isinstance(figure, Decimal):
        return False
    return abs(Fraction(figure) - expected) <= F(1, 2 * 10**places)


def rounded(figure: Figure, places: int = 2) -> str:
    """As it is written on paper."""
    return figure.reason if isinstance(figure, Gap) else f"{figure:.{places}f}"


def gaps_in(thing: Any) -> Iterator[Gap]:
    """Every gap in a tree of tuples."""
    if isinstance(thing, Gap):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from gaps_in(one)
