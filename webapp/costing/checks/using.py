"""What uses a thing: for refusing and for asking before it is retired."""

from __future__ import annotations

from collections.abc import Callable

from webapp.costing.book import Book, Id
from webapp.costing.checks.found import Question, in_words


def users_of_material(book: Book, material: Id) -> list[str]:
    """The names of formulas, products and groups that use a material."""
    users = [f.name for f in book.formulas.values() if any(line.material == material for line in f.lines)]
    users += [p.name for p in book.products.values() if any(part.material == material for part in p.parts)]
    users += [g.name for g in book.groups.values() if any(part.material == material for part in g.parts)]
    return users


def _users_of_formula(book: Book, formula: Id) -> list[str]:
    users = [f.name for f in book.formulas.values() if any(line.formula == formula for line in f.lines)]
    return users + [p.name for p in book.products.values() if any(fill.formula == formula for fill in p.fills)]


def _users_of_group(book: Book, group: Id) -> list[str]:
    return [p.name for p in book.products.values() if any(part.group == group for part in p.parts)]


def _users_of_product(book: Book, product: Id) -> list[str]:
    return [p.name for p in book.products.values() if any(member.product == product for member in p.members)]


def _users_of_person(book: Book, person: Id) -> list[str]:
    workers: list[tuple[str, set[Id]]] = [
        *((thing.name, {entry.person for entry in thing.work}) for thing in book.formulas.values()),
        *((thing.name, {entry.person for entry in thing.work}) for thing in book.products.values()),
        *((thing.name, {entry.person for entry in thing.work}) for thing in book.channels.values()),
    ]
    return [name for name, people in workers if person in people]


_USERS: dict[str, Callable[[Book, Id], list[str]]] = {
    "material": users_of_material,
    "formula": _users_of_formula,
    "group": _users_of_group,
    "product": _users_of_product,
    "person": _users_of_person,
}


def users_of(book: Book, kind: str, one: Id) -> tuple[str, ...]:
    """The names of what uses a thing, in order and once each."""
    return tuple(dict.fromkeys(_USERS[kind](book, one))) if kind in _USERS else ()


def in_use(book: Book, kind: str, one: Id) -> tuple[Question, ...]:
    """A question where a thing to be retired is still used."""
    users = users_of(book, kind, one)
    if not users:
        return ()
    return (Question("in-use", "", f"It is used in {in_words(users)}, which go on using it. Retire it all the same?"),)
