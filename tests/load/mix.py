"""What people look at and what they write: so much of each, in an order that a seed settles."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from random import Random

from webapp.costing.book import Book
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning

#: pages by how many of a hundred looks go to each; words in braces stand for a thing of the book
PAGES = {
    "/price": 20,
    "/price/products/{product}": 25,
    "/": 10,
    "/buy/materials": 8,
    "/buy/materials/{material}": 10,
    "/buy/orders": 8,
    "/buy/orders/new": 5,
    "/make/formulas/{formula}": 8,
    "/api/products/{product}/sheet": 6,
}
#: what is written, by how many of a hundred: an order moves costs, a supplier does not
WRITES = {"order": 60, "supplier": 40}


@dataclass(frozen=True, slots=True)
class Asked:
    """A question: a page, or with a body something that is entered."""

    what: str
    path: str
    body: bytes = b""
    token: str = ""

    @property
    def writes(self) -> bool:
        """Whether something is entered."""
        return bool(self.body)


class Mix:
    """Draws questions about a book."""

    def __init__(self, book: Book, seed: int) -> None:
        self._random = Random(seed)
        self._seed, self._written = seed, 0
        self._things: dict[str, Sequence[int]] = {
            "product": sorted(book.products),
            "material": sorted(one.id for one in book.materials.values() if one.kind == "ingredient"),
            "formula": sorted(book.formulas),
        }
        self._supplier = min(book.suppliers)
        reckoned = Reckoning(book)
        self._grams = {one: reckoned.material(one).unit_cost for one in self._things["material"]}
        self._day = book.day.isoformat()

    def look(self) -> Asked:
        """A page."""
        page = self._random.choices(list(PAGES), list(PAGES.values()))[0]
        return Asked(page, page.format(**{name: self._random.choice(ids) for name, ids in self._things.items()}))

    def write(self) -> Asked:
        """Something that is entered."""
        self._written += 1
        token = f"load-{self._seed}-{self._written:08}"
        if self._random.choices(list(WRITES), list(WRITES.values()))[0] == "supplier":
            body: dict[str, object] = {"name": f"Supplier {token}", "currency": "EUR"}
            return Asked("supplier", "/api/suppliers", json.dumps(body).encode(), token)
        material = self._random.choice(self._things["material"])
        lines = [{"material": material, "packs": "2", "size": "5", "unit": "kg", "price": self._price(material)}]
        body = {"supplier": self._supplier, "day": self._day, "currency": "EUR", "number": token, "lines": lines}
        return Asked("order", "/api/orders", json.dumps(body).encode(), token)

    def _price(self, material: int) -> str:
        """What 5 kg cost, a few percent more or less than before: any other price would be asked about."""
        gram = self._grams[material]
        if isinstance(gram, Gap):
            raise TypeError("a book whose materials all have a cost is wanted")
        return f"{max(gram * 50 * self._random.randint(95, 105), Decimal('0.01')):.2f}"


def mix_words() -> str:
    """The mix, in words."""
    return ", ".join(f"{page} {share}" for page, share in Counter(PAGES).most_common())
