"""The one generator of books: the example, small hostile ones, exact ties, and workshops of the bench's sizes.

`python -m tests.books` prints what the small ones reach.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from random import Random

from hypothesis import strategies as st

from tests.agreement import empty_book
from tests.sized_books import SIZES, sized
from tests.small_books import small
from tests.tied_books import Tied, tied
from webapp import example
from webapp.costing.amounts import minor_places
from webapp.costing.book import Book, Formula, Order
from webapp.costing.changes import apply_all
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning

__all__ = ["SIZES", "Tied", "example_book", "reach", "sized", "small", "small_books", "tied", "ties"]

#: small hostile books, drawn so that hypothesis can make a failing one smaller
small_books: st.SearchStrategy[Book] = st.randoms(use_true_random=False).map(small)


def example_book(day: date) -> tuple[Book, dict[str, int]]:
    """The example as opened on `day`, without a store; its things have negative numbers, by key."""
    ids: dict[str, int] = {}
    book = empty_book(day)
    for wave in example.waves(example.seed()):
        after = apply_all(book, example.puts(wave, ids, day))
        assert isinstance(after, Book), after
        book = after
    return book, ids


def ties(first: int, many: int) -> Iterator[Tied]:
    """`many` books with exact ties, from the seeds after `first`."""
    seed = first
    while many:
        seed += 1
        if (found := tied(Random(seed))) is not None:
            many -= 1
            yield found


def reach(book: Book) -> Counter[str]:
    """How often the book holds what could go wrong."""
    found: Counter[str] = Counter()
    for formula in book.formulas.values():
        found.update(_of_formula(formula))
    for order in book.orders.values():
        found.update(_of_order(book, order))
    for product in book.products.values():
        found.update(
            {
                "set": bool(product.members),
                "two fillings": len(product.fills) > 1,
                "by volume": any(fill.unit == "mL" for fill in product.fills),
                "set aside": bool(product.set_aside),
                "one-off": bool(product.one_offs),
            }
        )
    found[f"home currency of {minor_places(book.workshop.currency)} places"] += 1
    found["quote chosen"] += sum(one.quote is not None for one in book.materials.values())
    found["zero price"] += sum(price.amount == 0 for price in book.prices.values())
    found.update(_of_rows(book))
    return +found


def _of_formula(formula: Formula) -> dict[str, int]:
    inner = any(line.formula for line in formula.lines)
    return {
        "nested": inner,
        "nested and made ahead": inner and formula.made_ahead,
        "made ahead": formula.made_ahead,
        "whipped": bool(formula.air),
        "rest": any(line.rest for line in formula.lines),
        "drops": any(line.unit == "drops" for line in formula.lines),
        f"formula in {formula.way}": 1,
    }


def _of_order(book: Book, order: Order) -> dict[str, int]:
    return {
        "foreign": order.exchange is not None,
        f"order in a currency of {minor_places(order.currency)} places": 1,
        "tax as one sum": order.tax_total is not None,
        "tax reclaimed": book.registered_on(order.day),
        "discount on the order": any(one.kind in ("discount", "credit") for one in order.charges),
        "shared by mass": any(one.share == "mass" for one in order.charges),
        "charge in home money": any(one.money == "home" for one in order.charges) and order.exchange is not None,
        "breakage": any(line.arrived is not None for line in order.lines),
        "line that sets no price": any(line.not_priced for line in order.lines),
        "line of nothing": any(line.price == 0 and line.total is None for line in order.lines),
    }


def _of_rows(book: Book) -> Counter[str]:
    found: Counter[str] = Counter()
    for row in Reckoning(book).line():
        found["row"] += 1
        found["row with a gap"] += row.gap is not None
        found["row with a price"] += not isinstance(row.price, Gap)
        found["row below its target"] += row.reaches is False
        found["row held up by the recommended retail"] += "recommended retail" in row.marks
        found["price that can't be reached"] += isinstance(row.suggested, Gap) and not isinstance(row.cost, Gap)
    return found


def main(many: int = 500) -> None:
    """Print the reach of the first small books and how many draws a tie takes."""
    total: Counter[str] = Counter()
    for seed in range(many):
        total.update(reach(small(Random(seed))))
    for what, times in sorted(total.items(), key=lambda one: -one[1]):
        print(f"{times:7,}  {what}")
    found = sum(tied(Random(seed)) is not None for seed in range(many))
    print(f"{found:7,}  books with exact ties, of {many:,} drawn")


if __name__ == "__main__":
    main()
