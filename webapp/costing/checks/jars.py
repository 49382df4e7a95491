"""What can be wrong with a group of parts or a product: batches that leave no jar, sets, jars too full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.amounts import HUNDRED, ONE, half_up, percent, plain
from webapp.costing.book import Book
from webapp.costing.checks.found import Found, Question, name_taken, people_once
from webapp.costing.checks.making import all_lost, nesting
from webapp.costing.labour import time_is_said
from webapp.costing.limits import Fault

MUCH_SPOILED = Decimal(50)  #: per 100 used well; asked about from here on


def group(book: Book, group: b.PartGroup) -> Found:
    """A group of parts: its name, and only what is counted."""
    yield from name_taken(book.groups, group)
    for index, part in enumerate(group.parts):
        yield from weighed_part(book, part, f"parts-{index}-material")


def weighed_part(book: Book, part: b.Part, at: str) -> Found:
    """A part that is weighed belongs into a formula."""
    if part.material is not None and not book.materials[part.material].by_piece:
        yield Fault(at, "reference", "This is weighed, not counted. Put it into a formula.")


def product(book: Book, product: b.Product) -> Found:
    """A product: something in it, parts that are counted, a batch that leaves a jar, sets without loops."""
    yield from name_taken(book.products, product)
    if not product.fills and not product.members:
        yield Fault("fills", "required", "Say what goes in: a formula with its amount, or other products.")
    for index, part in enumerate(product.parts):
        if (part.material is None) == (part.group is None):
            way = "or take this line out" if part.group is None else "not both"
            yield Fault(f"parts-{index}-material", "required", f"Choose a part or a group of parts, {way}.")
        yield from weighed_part(book, part, f"parts-{index}-material")
    yield from people_once(product.work, "work")
    yield from _one_fill_only(product)
    yield from _product_batch(book, product)
    products = {**book.products, product.id: product}
    yield from nesting(
        product.id,
        products,
        lambda one: (member.product for member in products[one].members),
        {member.product: f"members-{index}-product" for index, member in reversed([*enumerate(product.members)])},
        "set",
        others=book.products if product.id in book.products else (),  # nothing can hold what is new
    )


def _one_fill_only(product: b.Product) -> Found:
    if len(product.fills) == 1:
        return
    for name in ("batch_grams", "loss", "loss_grams"):
        if getattr(product, name) is not None:
            yield Fault(
                name,
                "one-fill",
                "This can be set only for a product with one filling. Set it on the formulas.",
            )
    if product.set_aside:
        yield Fault("set_aside", "one-fill", "Jars are set aside only for a product with one filling.")
    for index, entry in enumerate(product.work):
        for name in ("per_batch", "per_kg"):
            if getattr(entry, name) is not None:
                yield Fault(
                    f"work-{index}-{name}",
                    "one-fill",
                    "With several fillings, set these minutes on the formulas.",
                )


def _product_batch(book: Book, product: b.Product) -> Found:
    """The batch must leave something, and at least one jar to sell where it is filled by mass."""
    if len(product.fills) != 1:
        return
    fill = product.fills[0]
    formula = book.formulas[fill.formula]
    batch = product.batch_grams if product.batch_grams is not None else formula.batch_grams
    if batch is None:
        return
    loss = product.loss if product.loss is not None else formula.loss
    loss_grams = product.loss_grams if product.loss_grams is not None else formula.loss_grams
    lost = tuple(all_lost(batch, loss, loss_grams, "batch_grams"))
    yield from lost
    grams = _grams_in(fill, formula)
    if lost or grams is None:
        return
    left = batch * (ONE - percent(loss)) - loss_grams
    if (product.set_aside + 1) * grams > left:
        yield Fault(
            "set_aside" if product.set_aside else "fills-0-declared",
            "no-jar",
            f"A batch leaves {plain(half_up(left, 1))} g, too little for one jar to sell. "
            "Make the batch bigger, the jar smaller, or set fewer jars aside.",
        )


def _grams_in(fill: b.Fill, formula: b.Formula) -> Decimal | None:
    taken = fill.declared + fill.overfill
    if fill.unit == "g":
        return taken
    if formula.density is None:
        return None
    return taken * formula.density / (ONE + percent(formula.air))


def product_questions(book: Book, product: b.Product) -> Iterator[Question]:
    """A filling that is more than the jar holds; no working time, though somebody works here."""
    yield from _untimed(book, product)
    yield from _much_spoiled(product.parts)
    holds = max(_holds(book, product), default=None)
    for index, fill in enumerate(product.fills):
        formula = book.formulas.get(fill.formula)
        if holds is None or formula is None:
            continue
        taken = fill.declared + fill.overfill
        if fill.unit == "g":
            if formula.density is None:
                continue
            taken = taken * (ONE + percent(formula.air)) / formula.density
        if taken > holds:
            yield Question(
                "overfull",
                f"fills-{index}-declared",
                f"This fills {plain(half_up(taken, 1))} mL into a jar that holds {plain(holds)} mL. Is that right?",
            )


def group_questions(book: Book, group: b.PartGroup) -> Iterator[Question]:
    """Parts of which very many are spoiled."""
    del book
    yield from _much_spoiled(group.parts)


def _much_spoiled(parts: Sequence[b.Part]) -> Iterator[Question]:
    """As many spoiled as one for every two used well: more often a share of all pieces was meant, or a slip."""
    for index, part in enumerate(parts):
        if part.spoiled >= MUCH_SPOILED:
            yield Question(
                "much-spoiled",
                f"parts-{index}-spoiled",
                f"{plain(part.spoiled)} spoiled on top of every 100 used well: "
                f"{plain(part.spoiled + HUNDRED)} are paid for. Is that right?",
            )


def _untimed(book: Book, product: b.Product) -> Iterator[Question]:
    """Work that nobody thought of is no work of 0 minutes: a jar without it looks cheaper than it is."""
    working = any(person.retired is None for person in book.people.values())
    if working and not time_is_said(book, product):
        yield Question(
            "no-minutes",
            "work",
            "No working time is said, so a jar bears no pay. Type the minutes; 0 is an answer. Does it take none?",
        )


def _holds(book: Book, product: b.Product) -> Iterator[Decimal]:
    for part in product.parts:
        group = book.groups.get(part.group) if part.group is not None else None
        inside = group.parts if group else (part,)
        for one in inside:
            material = book.materials.get(one.material) if one.material is not None else None
            if material is not None and material.holds_ml is not None:
                yield material.holds_ml
