"""Where materials are used: formulas, parts that go together, products; counted for all, or named for one."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.costing.book import Book
from webapp.pages import addresses


def _users(book: Book) -> Iterator[tuple[str, int, str, set[int | None]]]:
    """Kind, number and name of everything that uses materials, with those it uses."""
    for formula in book.formulas.values():
        yield "formula", formula.id, formula.name, {line.material for line in formula.lines}
    for group in book.groups.values():
        yield "group", group.id, group.name, {part.material for part in group.parts}
    for product in book.products.values():
        yield "product", product.id, product.name, {part.material for part in product.parts}


def uses_of(book: Book) -> Iterator[int]:
    """Each material as often as something uses it, in one walk over the book."""
    for _, _, _, used in _users(book):
        yield from (one for one in used if one is not None)


def users_of(book: Book, material: int) -> tuple[tuple[str, str], ...]:
    """Name and address of everything that uses one material, by name."""
    return tuple(
        sorted((name, addresses.thing(kind, one)) for kind, one, name, used in _users(book) if material in used)
    )
