"""What can be wrong with a record beside the rest of the book: references, sums, loops, depth, names, units.

Faults are errors at a field. Questions are things that are possible but rare: the person says that she is sure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from webapp.costing import book as b
from webapp.costing.amounts import HUNDRED, MINOR_UNITS, ONE, ZERO, half_up, percent, plain
from webapp.costing.book import Book, Id
from webapp.costing.limits import NESTING, Fault, Reference, name_key
from webapp.costing.shapes import SHAPES, Many, Part, Rows, Shape
from webapp.costing.units import MASS, PIECES, VOLUME


@dataclass(frozen=True, slots=True)
class Question:
    """Something to be sure of: a code to answer with, the field it is about, and a sentence."""

    code: str
    field: str
    sentence: str


Faults = tuple[Fault, ...]
Found = Iterator[Fault]


def faults_of(book: Book, record: b.Record) -> Faults:
    """Every fault of `record` beside `book`; empty when it can be kept."""
    references = tuple(_missing_references(book, record, SHAPES[_kind(record)], ""))
    if references:
        return references
    return tuple(_CHECKS[type(record)](book, record))


def questions_of(book: Book, record: b.Record) -> tuple[Question, ...]:
    """What must be confirmed before `record` is kept."""
    ask = _QUESTIONS.get(type(record))
    return tuple(ask(book, record)) if ask else ()


def _kind(record: Any) -> str:
    return (b.SHELVES.get(type(record)) or b.PAIRS[type(record)])[0]


# --- references and names ---


def _missing_references(book: Book, record: Any, shape: Shape, path: str) -> Found:
    for field in shape.fields:
        value = getattr(record, field.name)
        at = f"{path}{field.name}"
        if value is None:
            continue
        if isinstance(field.kind, Reference):
            yield from _reference(book, field.kind, value, at)
        elif isinstance(field.kind, Many):
            for index, one in enumerate(value):
                yield from _reference(book, field.kind.kind, one, f"{at}-{index}")
        elif isinstance(field.kind, Part):
            yield from _missing_references(book, value, field.kind.shape, f"{at}-")
        elif isinstance(field.kind, Rows):
            for index, row in enumerate(value):
                yield from _missing_references(book, row, field.kind.shape, f"{at}-{index}-")
    if path == "" and type(record) in b.PAIRS:
        yield from _reference(book, Reference("product"), record.product, "product")
        yield from _reference(book, Reference("channel"), record.channel, "channel")


def _reference(book: Book, kind: Reference, value: Id, at: str) -> Found:
    shelf = b.SHELVES[b.KINDS[kind.kind]][1]
    if value not in getattr(book, shelf):
        yield Fault(at, "reference", "Choose one from the list; this one isn't there.")


def _name(held: Mapping[Id, Any], record: Any) -> Found:
    key = name_key(record.name)
    for other in held.values():
        if other.id != record.id and name_key(other.name) == key:
            where = " It is retired; bring it back instead." if other.retired else ""
            yield Fault("name", "duplicate", f"There is already one called {other.name}. Choose another name.{where}")
            return


def _minor(amount: Decimal | None, currency: str, at: str) -> Found:
    places = MINOR_UNITS[currency]
    if amount is not None and half_up(amount, places) != amount:
        many = {0: "no decimals", 2: "two decimals", 3: "three decimals"}[places]
        yield Fault(at, "number-decimals", f"An amount in {currency} has {many}. Round it as the invoice does.")


def _people_once(work: Iterable[Any], at: str) -> Found:
    seen: set[Id] = set()
    for index, entry in enumerate(work):
        if entry.person in seen:
            yield Fault(
                f"{at}-{index}-person",
                "twice",
                "This person stands here already. Put the minutes on one line.",
            )
        seen.add(entry.person)


# --- workshop, people, suppliers ---


def _workshop(book: Book, workshop: b.Workshop) -> Found:
    kept = book.orders or book.prices or book.bills or any(person.wage for person in book.people.values())
    if workshop.currency != book.workshop.currency and kept:
        yield Fault(
            "currency",
            "in-use",
            f"Amounts are already kept in {book.workshop.currency}; they can't be turned into another currency. "
            "Start a new data folder for it.",
        )


def _terms(book: Book, terms: b.Terms) -> Found:
    del book
    if terms.overhead == "jars" and terms.planned_jars is None:
        yield Fault("planned_jars", "required", "Type how many jars you plan a month, or share overhead by hours.")


def _person(book: Book, person: b.Person) -> Found:
    yield from _name(book.people, person)


def _bill(book: Book, bill: b.Bill) -> Found:
    yield from _name(book.bills, bill)


def _supplier(book: Book, supplier: b.Supplier) -> Found:
    yield from _name(book.suppliers, supplier)


# --- materials and quotes ---


def _unit_fault(material: b.Material, unit: str, at: str) -> Found:
    if material.by_piece and unit != PIECES:
        yield Fault(at, "unit", f"{material.name} is counted in pieces. Choose pieces.")
    if not material.by_piece and unit == PIECES:
        yield Fault(at, "unit", f"{material.name} is weighed. Choose a unit of mass or volume.")


def _material(book: Book, material: b.Material) -> Found:
    yield from _name(book.materials, material)
    if material.starting is not None:
        yield from _unit_fault(material, material.starting.unit, "starting-unit")
    if material.quote is not None and book.quotes[material.quote].material != material.id:
        yield Fault("quote", "reference", "This quote is for something else. Choose one of this material.")
    held = book.materials.get(material.id)
    if held is not None and held.by_piece != material.by_piece:
        users = _users_of_material(book, material.id)
        if users:
            yield Fault(
                "kind",
                "in-use",
                f"It is used as it is in {_named(users)}. Enter the other one as a new material.",
            )


def _foreign(book: Book, currency: str, exchange: b.Exchange | None) -> Found:
    home = book.workshop.currency
    if currency != home and exchange is None:
        yield Fault(
            "exchange-amount",
            "currency-mismatch",
            f"This is in {currency} and you reckon in {home}. Type the rate, or what you really paid in {home}.",
        )
    if currency == home and exchange is not None:
        yield Fault("exchange-amount", "currency-mismatch", f"{currency} is your own currency. Leave the rate empty.")


def _quote(book: Book, quote: b.Quote) -> Found:
    yield from _unit_fault(book.materials[quote.material], quote.unit, "unit")
    yield from _foreign(book, quote.currency, quote.exchange)
    if quote.until < quote.since:
        yield Fault("until", "date-range", "The last day lies before the first. Change one of them.")
    if quote.exchange is not None and quote.exchange.way == "paid":
        yield Fault("exchange-way", "choice", "Nothing is paid for a quote. Give the rate instead.")


# --- orders ---


def _order(book: Book, order: b.Order) -> Found:
    yield from _foreign(book, order.currency, order.exchange)
    for index, line in enumerate(order.lines):
        yield from _order_line(book, order, line, f"lines-{index}")
    for index, charge in enumerate(order.charges):
        currency = order.currency if charge.money == "order" else book.workshop.currency
        yield from _minor(charge.amount, currency, f"charges-{index}-amount")
        if charge.share == "mass":
            yield from _massless(book, order, f"charges-{index}-share")
    yield from _minor(order.tax_total, order.currency, "tax_total")
    yield from _minor(order.invoice_total, order.currency, "invoice_total")
    if order.exchange is not None and order.exchange.way == "paid":
        yield from _minor(order.exchange.amount, book.workshop.currency, "exchange-amount")
    rated = any(line.tax_rate for line in order.lines) or any(charge.tax_rate for charge in order.charges)
    if order.tax_total is not None and rated:
        yield Fault("tax_total", "tax-twice", "Tax stands on the lines already. Leave the lump sum empty.")


def _order_line(book: Book, order: b.Order, line: b.OrderLine, at: str) -> Found:
    yield from _unit_fault(book.materials[line.material], line.unit, f"{at}-unit")
    yield from _minor(line.total, order.currency, f"{at}-total")
    if line.price is None and line.total is None:
        yield Fault(f"{at}-price", "required", "Type the price of a pack, or the total of the line.")
        return
    if line.discount is None or line.price is None or line.total is not None:
        return
    if line.discount_in == "percent" and line.discount > HUNDRED:
        yield Fault(f"{at}-discount", "number-range", "A discount is at most 100 %.")
    if line.discount_in == "money" and line.discount > line.packs * line.price:
        yield Fault(
            f"{at}-discount",
            "goods-below-zero",
            "The discount is more than the goods. Enter a credit as a charge.",
        )


def _massless(book: Book, order: b.Order, at: str) -> Found:
    names = []
    for line in order.lines:
        material = book.materials[line.material]
        known = line.unit in MASS or (line.unit in VOLUME and material.density is not None)
        if not known and not (line.unit == PIECES and material.piece_grams is not None):
            names.append(material.name)
    if names:
        yield Fault(
            at,
            "mass-missing",
            f"The mass of {_named(names)} is not known. Share this by value, or add the mass.",
        )


def _order_questions(book: Book, order: b.Order) -> Iterator[Question]:
    if order.day > book.day:
        yield Question("future-day", "day", f"{order.day} lies ahead. Is the day right?")
    for index, line in enumerate(order.lines):
        name = book.materials[line.material].name
        free = line.total == ZERO or (line.total is None and line.price == ZERO)
        if free and not line.not_priced:
            yield Question("zero-price", f"lines-{index}-price", f"{name} costs nothing here. Is that right?")
        if line.arrived is not None and line.arrived > line.packs * line.size:
            yield Question(
                "arrived-more",
                f"lines-{index}-arrived",
                f"More of {name} arrived than was billed. Is that right?",
            )


# --- formulas ---

_UNIT_OF_WAY = {"percent": ("percent",), "parts": ("part",), "grams": ("g", "mL", "drops")}


def _formula(book: Book, formula: b.Formula) -> Found:
    yield from _name(book.formulas, formula)
    for index, line in enumerate(formula.lines):
        yield from _formula_line(book, formula, line, f"lines-{index}")
    yield from _formula_sum(formula)
    yield from _people_once(formula.work, "work")
    if formula.batch_grams is not None:
        yield from _all_lost(formula.batch_grams, formula.loss, formula.loss_grams, "loss_grams")
    yield from _loops(book, formula)


def _formula_line(book: Book, formula: b.Formula, line: b.FormulaLine, at: str) -> Found:
    if (line.material is None) == (line.formula is None):
        yield Fault(f"{at}-material", "required", "Choose an ingredient or a formula for this line, not both.")
    elif line.material is not None and book.materials[line.material].by_piece:
        yield Fault(f"{at}-material", "reference", "This is counted in pieces. Add it to the product instead.")
    if line.rest and line.amount is not None:
        yield Fault(f"{at}-amount", "rest", "This line takes the rest. Leave its amount empty.")
    if not line.rest and line.amount is None:
        yield Fault(f"{at}-amount", "required", "Type how much, or let this line take the rest.")
    if not line.rest and line.unit not in _UNIT_OF_WAY[formula.way]:
        units = ", ".join(_UNIT_OF_WAY[formula.way])
        yield Fault(f"{at}-unit", "unit", f"A formula in {formula.way} is written in {units}. Choose one of these.")
    if line.unit == "percent" and line.amount is not None and line.amount > HUNDRED:
        yield Fault(f"{at}-amount", "number-range", "A line is at most 100 %.")


def _formula_sum(formula: b.Formula) -> Found:
    rests = [index for index, line in enumerate(formula.lines) if line.rest]
    if rests and formula.way != "percent":
        yield Fault(f"lines-{rests[0]}-rest", "rest", "Only a formula in percent has a line that takes the rest.")
        return
    if len(rests) > 1:
        yield Fault(f"lines-{rests[1]}-rest", "rest", "Only one line can take the rest.")
        return
    if formula.way != "percent" or any(line.amount is None and not line.rest for line in formula.lines):
        return
    total = sum((line.amount for line in formula.lines if line.amount is not None), ZERO)
    if rests and total >= HUNDRED:
        yield Fault("lines", "formula-sum", f"The lines add up to {plain(total)} %, so nothing is left for the rest.")
    if not rests and total != HUNDRED:
        away = abs(HUNDRED - total)
        word = "short of" if total < HUNDRED else "more than"
        yield Fault("lines", "formula-sum", f"The lines add up to {plain(total)} %: {plain(away)} {word} 100.")


def _all_lost(batch: Decimal, loss: Decimal, loss_grams: Decimal, at: str) -> Found:
    if batch * (ONE - percent(loss)) <= loss_grams:
        yield Fault(at, "all-lost", "More is lost than the batch holds. Make the loss smaller or the batch bigger.")


def _loops(book: Book, formula: b.Formula) -> Found:
    formulas = {**book.formulas, formula.id: formula}

    def inner(one: Id) -> Iterator[Id]:
        return (line.formula for line in formulas[one].lines if line.formula is not None)

    yield from _nesting(formula.id, formulas, inner, "lines", "formula")


def _nesting(start: Id, things: Mapping[Id, Any], inner: Callable[[Id], Iterable[Id]], at: str, word: str) -> Found:
    """A loop through `start`, or a chain deeper than allowed anywhere that `start` is part of."""
    depths: dict[Id, int] = {}
    trail: list[Id] = []

    def depth(one: Id) -> int:
        if one in trail:
            raise _Loop([*trail[trail.index(one) :], one])
        if one not in depths:
            trail.append(one)
            depths[one] = 1 + max((depth(other) for other in inner(one)), default=0)
            trail.pop()
        return depths[one]

    try:
        depth(start)
        for one in things:
            depth(one)
    except _Loop as loop:
        names = " → ".join(things[one].name for one in loop.trail)
        yield Fault(at, "cycle", f"This {word} would contain itself: {names}. Take one of these out.")
        return
    deepest = max(depths, key=lambda one: depths[one])
    if depths[deepest] > NESTING:
        name = things[deepest].name
        yield Fault(at, "too-deep", f"{name} would be nested deeper than {NESTING}. Join some of them into one.")


class _Loop(Exception):
    def __init__(self, trail: list[Id]) -> None:
        super().__init__()
        self.trail = trail


# --- products ---


def _group(book: Book, group: b.PartGroup) -> Found:
    yield from _name(book.groups, group)
    for index, part in enumerate(group.parts):
        yield from _weighed_part(book, part, f"parts-{index}-material")


def _weighed_part(book: Book, part: b.Part, at: str) -> Found:
    if part.material is not None and not book.materials[part.material].by_piece:
        yield Fault(at, "reference", "This is weighed, not counted. Put it into a formula.")


def _product(book: Book, product: b.Product) -> Found:
    yield from _name(book.products, product)
    if not product.fills and not product.members:
        yield Fault("fills", "required", "Say what goes in: a formula with its amount, or other products.")
    for index, part in enumerate(product.parts):
        if (part.material is None) == (part.group is None):
            yield Fault(f"parts-{index}-material", "required", "Choose a part or a group of parts, not both.")
        yield from _weighed_part(book, part, f"parts-{index}-material")
    yield from _people_once(product.work, "work")
    yield from _one_fill_only(product)
    yield from _product_batch(book, product)
    products = {**book.products, product.id: product}
    yield from _nesting(
        product.id,
        products,
        lambda one: (member.product for member in products[one].members),
        "members",
        "set",
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
    lost = tuple(_all_lost(batch, loss, loss_grams, "batch_grams"))
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


def _product_questions(book: Book, product: b.Product) -> Iterator[Question]:
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


def _holds(book: Book, product: b.Product) -> Iterator[Decimal]:
    for part in product.parts:
        group = book.groups.get(part.group) if part.group is not None else None
        inside = group.parts if group else (part,)
        for one in inside:
            material = book.materials.get(one.material) if one.material is not None else None
            if material is not None and material.holds_ml is not None:
                yield material.holds_ml


# --- channels and prices ---


def endings_of(channel: b.Channel) -> tuple[Decimal, ...]:
    """The allowed endings of a price, as parts of one unit of money, lowest first. ValueError if unreadable."""
    return tuple(sorted({_ending(word) for word in channel.endings.split()}))


def _ending(word: str) -> Decimal:
    digits = word[1:] if word[:1] in (".", ",") else ""
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 3):
        raise ValueError(word)
    return Decimal(f"0.{digits}")


def _channel(book: Book, channel: b.Channel) -> Found:
    yield from _name(book.channels, channel)
    yield from _people_once(channel.work, "work")
    yield from _endings(book, channel)
    days = channel.pitch or any(entry.per_day for entry in channel.work)
    if days and channel.jars_a_day is None:
        yield Fault("jars_a_day", "required", "Type how many jars you sell on such a day, to share its cost.")
    paid = percent(channel.share_paid) * (ONE + (percent(channel.tax_rate) if channel.tax != "none" else ZERO))
    if paid + percent(channel.share_net) >= ONE:
        yield Fault("share_paid", "number-range", "The shares take the whole price. Make them smaller.")


def _endings(book: Book, channel: b.Channel) -> Found:
    places = MINOR_UNITS[book.workshop.currency]
    try:
        endings = endings_of(channel)
    except ValueError:
        yield Fault("endings", "endings", "Write the endings like this: .00 .50 .95 .99")
        return
    if any(half_up(ending, places) != ending for ending in endings):
        yield Fault("endings", "number-decimals", f"{book.workshop.currency} has no such ending.")
    if endings and channel.step is not None:
        yield Fault("step", "choice", "Choose endings or a step, not both.")
    yield from _minor(channel.step, book.workshop.currency, "step")


def _price(book: Book, price: b.Price) -> Found:
    yield from _minor(price.amount, book.workshop.currency, "amount")


def _price_questions(book: Book, price: b.Price) -> Iterator[Question]:
    if price.amount == ZERO:
        name = book.products[price.product].name
        yield Question("zero-price", "amount", f"{name} would be given away. Is a price of 0 right?")


def _nothing(book: Book, record: Any) -> Found:
    del book, record
    return iter(())


# --- in use ---


def _named(names: Iterable[str]) -> str:
    every = sorted(set(names))
    if len(every) > 3:
        return ", ".join(every[:3]) + f" and {len(every) - 3} more"
    return ", ".join(every[:-1]) + " and " + every[-1] if len(every) > 1 else every[0]


def _users_of_material(book: Book, material: Id) -> list[str]:
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
    "material": _users_of_material,
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
    return (Question("in-use", "", f"It is used in {_named(users)}, which go on using it. Retire it all the same?"),)


_CHECKS: dict[type[Any], Callable[[Book, Any], Found]] = {
    b.Workshop: _workshop,
    b.Terms: _terms,
    b.Person: _person,
    b.Bill: _bill,
    b.Supplier: _supplier,
    b.Material: _material,
    b.Quote: _quote,
    b.Order: _order,
    b.Formula: _formula,
    b.PartGroup: _group,
    b.Product: _product,
    b.Channel: _channel,
    b.Price: _price,
    b.Target: _nothing,
    b.Sales: _nothing,
}
_QUESTIONS: dict[type[Any], Callable[[Book, Any], Iterator[Question]]] = {
    b.Order: _order_questions,
    b.Product: _product_questions,
    b.Price: _price_questions,
}
