"""A size that is thought of, as records of the book: a product like the present jar's, with its new parts.

What is not typed is as the present jar has it: overfill, batch, losses, jars set aside, parts, minutes, channels. Its
one-off costs are its own and stay with it. A set has its members and a box; the first size of a new formula has what
was typed for it and nothing else. A change from book to book (method.md section 7) is all that this makes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import chain, count
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, plain, share_out
from webapp.costing.book import Book, Fill, Id, Material, Product, Work
from webapp.costing.candidate_parts import Numbers, part_faults, same_faults, typed_parts, with_parts
from webapp.costing.changes import Put, apply
from webapp.costing.limits import MINUTES, NAME_LENGTH, Fault, name_key
from webapp.costing.overhead import is_living
from webapp.costing.size_facts import Candidate, SizeQuestion

ROOM = 30  #: letters that are left in a name for what the label declares


class Made(NamedTuple):
    """The candidate at `place` as records: its new parts by what they are (jar, lid), and its product."""

    place: int
    product: Product
    new: dict[str, Material]
    asked: tuple[Id, ...]  # its jar and its lid, known or new, where one was asked for

    @property
    def puts(self) -> tuple[Put, ...]:
        """What enters it into the book, whichever other candidates there are."""
        materials = {one.id: one for one in self.new.values()}
        return *(Put(one) for one in materials.values()), Put(self.product)


def made(book: Book, question: SizeQuestion) -> tuple[Made, ...] | tuple[Fault, ...]:
    """Every candidate of a question whose product, formula, channel and members are in the book, or all faults.

    Faults stand at "candidates-0-declared" and so on, by the candidate's place in the question.
    """
    numbers, now = Numbers(book), book
    found: list[Made] = []
    faults: list[Fault] = []
    for place, one in enumerate(question.candidates):
        present = _present(book, question, one, found)
        wrong = list(_faults(now, present, one)) + list(same_faults(numbers, one))
        if not wrong:
            candidate = _made(now, numbers, present, place, one)
            after = _applied(now, candidate)
            if isinstance(after, Book):
                now = after
                found.append(candidate)
            else:
                wrong += after
        faults += [Fault(_at(place, fault.field), fault.code, fault.sentence) for fault in wrong]
        if wrong and question.formula is not None and place == 0:
            break  # there is no present jar for the others
    return tuple(faults) if faults else tuple(found)


def _at(place: int, field: str) -> str:
    return field if field.startswith("members") else f"candidates-{place}-{field}"


def _present(book: Book, question: SizeQuestion, one: Candidate, found: list[Made]) -> Product:
    """The jar that a candidate is like."""
    sold = () if question.channel is None else (question.channel,)
    if question.ask == "set":
        return Product(0, "", book.day, members=question.members, channels=sold)
    if question.formula is None:
        return book.products[question.product or 0]
    if found:
        return found[0].product
    return Product(0, "", book.day, (Fill(question.formula, ONE, one.unit),), channels=sold)


def _made(book: Book, numbers: Numbers, present: Product, place: int, one: Candidate) -> Made:
    new = {typed.which: numbers.material(typed) for typed in typed_parts(one) if typed.is_new}
    asked = {
        typed: new[typed.which].id if typed.is_new else typed.material or 0
        for typed in typed_parts(one)
        if typed.is_asked
    }
    fills = tuple(_fill(fill, one) for fill in present.fills)
    product = replace(
        present,
        id=numbers.next(),
        name=_name(book, present, one),
        since=book.day,
        fills=fills,
        parts=with_parts(book, present.parts, asked),
        work=_work(book, present, one.minutes),
        one_offs=(),
        note="",
        retired=None,
    )
    return Made(place, product, new, tuple(asked.values()))


def _fill(present: Fill, one: Candidate) -> Fill:
    kept = present.overfill if present.unit == one.unit else ZERO
    return Fill(present.formula, one.declared or ZERO, one.unit, kept if one.overfill is None else one.overfill)


def _name(book: Book, present: Product, one: Candidate) -> str:
    """As typed; else the formula with what the label declares, numbered where that is taken."""
    if one.name:
        return one.name
    if present.fills:
        made_of = book.formulas[present.fills[0].formula].name[: NAME_LENGTH - ROOM].rstrip()
        name = f"{made_of} {plain(one.declared or ZERO)} {one.unit}"
    else:
        name = f"Set of {plain(sum((member.count for member in present.members), ZERO))}"
    taken = {name_key(product.name) for product in book.products.values()}
    tries = chain((name,), (f"{name} ({number})" for number in count(2)))
    return next(one for one in tries if name_key(one) not in taken)


# --- minutes


def _work(book: Book, present: Product, minutes: Decimal | None) -> tuple[Work, ...]:
    """The minutes a jar, shared among those who work on a jar now, as they share them now."""
    if minutes is None:
        return present.work
    timed = [one for one in present.work if one.per_jar]
    if timed:
        shares = share_out(minutes, [one.per_jar or ZERO for one in timed], MINUTES.places)
        spent = dict(zip((one.person for one in timed), shares, strict=True))
    else:
        spent = {_worker(book, present) or 0: minutes}
    kept = [replace(one, per_jar=spent.pop(one.person, one.per_jar)) for one in present.work]
    return *kept, *(Work(person, per_jar=each) for person, each in spent.items())


def _worker(book: Book, present: Product) -> Id | None:
    """Who works on a jar where nobody does yet: who makes it, else who is there, own people first."""
    formulas = [book.formulas[fill.formula] for fill in present.fills]
    working = [one.person for one in (*present.work, *(work for formula in formulas for work in formula.work))]
    there = sorted((one for one in book.people.values() if is_living(book, one)), key=lambda one: one.whose != "own")
    return next(iter((*working, *(one.id for one in there))), None)


# --- what is wrong with it


def _faults(book: Book, present: Product, one: Candidate) -> Iterator[Fault]:
    yield from part_faults(book, present.parts, one)
    if present.fills and one.declared is None:
        yield Fault("declared", "required", "Type what the label of this size declares.")
    if any(fill.unit != one.unit and fill.overfill for fill in present.fills) and one.overfill is None:
        words = "The present jar is declared in another unit. Type the overfill in this one; 0 is an answer."
        yield Fault("overfill", "required", words)
    if one.minutes is not None and not present.work and _worker(book, present) is None:
        yield Fault("minutes", "reference", "Nobody works here yet who could take these minutes. Add a person first.")


def _applied(book: Book, candidate: Made) -> Book | list[Fault]:
    """The book with it, or the faults at the fields of the candidate where they can be put right."""
    for which, material in candidate.new.items():
        after = apply(book, Put(material))
        if not isinstance(after, Book):
            return [Fault(f"{which}_name", fault.code, fault.sentence) for fault in after]
        book = after
    after = apply(book, Put(candidate.product))
    if isinstance(after, Book):
        return after
    return [Fault(_field(fault.field), fault.code, fault.sentence) for fault in after]


#: where a fault of the product is put right in the question, by how its field begins
_FIELDS = {"name": "name", "parts": "jar", "work": "minutes"}


def _field(at: str) -> str:
    return at if at.startswith("members") else _FIELDS.get(at.partition("-")[0], "declared")
