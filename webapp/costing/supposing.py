"""What can be supposed about a workshop: each kind with its fields, read from what was typed.

A supposition is one sentence of a what-if ("shea butter costs 10 % more"). It is a question, no fact: `whatif` turns it
into changes on the book as it stands then.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from webapp.costing import limits as lim
from webapp.costing.amounts import HUNDRED, JSON_NOTATION, Notation
from webapp.costing.book import Book, Id
from webapp.costing.describing import Field, Rows, Shape
from webapp.costing.entry import read, show
from webapp.costing.limits import Choice, Fault, Number, Reference
from webapp.costing.shapes import SHAPES
from webapp.costing.units import PURCHASE_UNITS

UP, DOWN = "up", "down"
REGISTERED, NOT_REGISTERED = "registered", "not registered"
#: how many can be supposed at once
MOST = 40


@dataclass(frozen=True, slots=True)
class Supposition:
    """One thing that is supposed. Which fields count is said by its `kind`; the others are left as they start.

    Money in home currency, `percent` in percent of what holds then. One that does not
    `count` is left out of all figures.
    """

    kind: str
    counts: bool = True
    product: Id | None = None
    channel: Id | None = None
    material: Id | None = None
    other: Id | None = None
    formula: Id | None = None
    group: Id | None = None
    person: Id | None = None
    bill: Id | None = None
    part: str = ""
    way: str = UP
    percent: Decimal | None = None
    amount: Decimal | None = None
    unit: str = ""
    endings: bool = False


class Kind(NamedTuple):
    """A kind of supposition: its fields, the field that its faults stand at, and which record's field `part` names."""

    fields: tuple[Field, ...]
    at: str
    parts: Mapping[str, Number] = {}


def _of(kind: str, ask: str) -> Field:
    return Field(kind, Reference(kind), True, ask)


def _any(kind: str) -> Field:
    return Field(kind, Reference(kind))


def _numbers(kind: str, *names: str) -> dict[str, Number]:
    """The fields of a record that can be supposed, with their limits."""
    return {name: SHAPES[kind].field(name).kind for name in names}  # type: ignore[misc]  # each of them is a number


_OVERFILL: Number = SHAPES["product"].field("fills").kind.shape.field("overfill").kind  # type: ignore[union-attr, assignment]
CHANNEL_PARTS = _numbers(
    "channel", "share_paid", "share_net", "fee", "pitch", "postage", "postage_charged", "carton", "tax_rate"
)
FORMULA_PARTS = _numbers("formula", "loss", "loss_grams", "batch_grams")
PRODUCT_PARTS = {"overfill": _OVERFILL, **_numbers("product", "set_aside")}
_WAY = Field("way", Choice((UP, DOWN)))
_PERCENT = Field("percent", lim.EXTRA, True, "Type how many percent.")


def _amount(kind: Number, ask: str) -> Field:
    return Field("amount", kind, True, ask)


def _part(parts: Mapping[str, Number]) -> Field:
    return Field("part", Choice(tuple(parts)), True, "Say what of it.")


KINDS: dict[str, Kind] = {
    "prices": Kind((_any("product"), _any("channel"), _WAY, _PERCENT, Field("endings", lim.FLAG)), "percent"),
    "price": Kind(
        (_of("product", "Say which product."), _of("channel", "Say where."), _amount(lim.MONEY, "Type the price.")),
        "amount",
    ),
    "cost": Kind((_of("material", "Say which material."), _WAY, _PERCENT), "percent"),
    "cost to": Kind(
        (
            _of("material", "Say which material."),
            _amount(lim.MONEY, "Type what it costs."),
            Field("unit", Choice(PURCHASE_UNITS), True, "Say for how much of it."),
        ),
        "amount",
    ),
    "wage": Kind(
        (_of("person", "Say who."), _amount(lim.MONEY, "Type what an hour is worth; 0 is an answer.")), "amount"
    ),
    "channel": Kind(
        (_of("channel", "Say which channel."), _part(CHANNEL_PARTS), _amount(lim.SIGNED_MONEY, "Type how much.")),
        "amount",
        CHANNEL_PARTS,
    ),
    "registered": Kind((Field("part", Choice((REGISTERED, NOT_REGISTERED)), True, "Say which."),), "part"),
    "formula": Kind(
        (_of("formula", "Say which formula."), _part(FORMULA_PARTS), _amount(lim.SIGNED_MONEY, "Type how much.")),
        "amount",
        FORMULA_PARTS,
    ),
    "product": Kind(
        (_of("product", "Say which product."), _part(PRODUCT_PARTS), _amount(lim.SIGNED_MONEY, "Type how much.")),
        "amount",
        PRODUCT_PARTS,
    ),
    "swap": Kind(
        (
            Field("material", Reference("material"), True, "Say instead of what."),
            Field("other", Reference("material"), True, "Say what is taken."),
            _any("formula"),
        ),
        "other",
    ),
    "pack": Kind(
        (
            Field("material", Reference("material"), True, "Say what is taken away."),
            Field("other", Reference("material"), True, "Say what takes its place."),
            _any("product"),
            _any("group"),
        ),
        "other",
    ),
    "bill": Kind((_of("bill", "Say which bill."), _amount(lim.MONEY, "Type what it costs a month.")), "amount"),
    "sold": Kind(
        (
            _of("product", "Say which product."),
            _of("channel", "Say where."),
            _amount(lim.JARS_A_MONTH, "Type how many jars; 0 is an answer."),
        ),
        "amount",
    ),
}
#: all fields of all kinds, for forms and for the description of the JSON interface
SUPPOSITION = Shape(
    Supposition,
    (
        Field("kind", Choice(tuple(KINDS)), True, "Say what kind of supposition it is."),
        Field("counts", lim.FLAG),
        *(_any(name) for name in ("product", "channel", "material")),
        Field("other", Reference("material")),
        *(_any(name) for name in ("formula", "group", "person", "bill")),
        Field(
            "part",
            Choice(("", *CHANNEL_PARTS, *FORMULA_PARTS, *PRODUCT_PARTS, REGISTERED, NOT_REGISTERED)),
        ),
        _WAY,
        Field("percent", lim.EXTRA),
        Field("amount", lim.SIGNED_MONEY),
        Field("unit", Choice(("", *PURCHASE_UNITS))),
        Field("endings", lim.FLAG),
    ),
)
SUPPOSITIONS = "suppositions"
LINES = Field(SUPPOSITIONS, Rows(SUPPOSITION, ("kind",), 0, MOST))


class Read(NamedTuple):
    """The suppositions that could be read, each with its place among what was typed, and the faults of the others."""

    found: tuple[tuple[int, Supposition], ...]
    faults: tuple[Fault, ...]


def shape_of(kind: str, part: str = "") -> Shape:
    """The fields of one kind; where `part` names a field of a record, the amount has its limits."""
    fields = KINDS[kind].fields
    if (limits := KINDS[kind].parts.get(part)) is not None:
        fields = tuple(_amount(limits, one.ask) if one.name == "amount" else one for one in fields)
    return Shape(Supposition, (*SUPPOSITION.fields[:2], *fields))


def suppositions(book: Book, typed: Sequence[Any], notation: Notation = JSON_NOTATION) -> Read:
    """What was typed and counts, one a row, in its order; of a row that does not count nothing is asked."""
    found: list[tuple[int, Supposition]] = []
    faults: list[Fault] = []
    for place, row in enumerate(typed):
        if isinstance(row, Mapping) and _left_out(row, notation):
            continue
        record, wrong = _one(book, row, notation)
        faults += [Fault(_at(place, fault.field), fault.code, fault.sentence) for fault in wrong]
        if record is not None:
            found.append((place, record))
    if len(typed) > MOST:
        faults.append(Fault(SUPPOSITIONS, "too-many", f"At most {MOST} things can be supposed at once."))
    return Read(tuple(found), tuple(faults))


def _left_out(row: Mapping[str, Any], notation: Notation) -> bool:
    """Whether a row does not count: an empty box is not sent by a form; a program says so."""
    return row.get("counts") is False if notation.strict else row.get("counts") != "yes"


def _at(place: int, field: str) -> str:
    return f"{SUPPOSITIONS}-{place}" + (f"-{field}" if field else "")


def _one(book: Book, row: Any, notation: Notation) -> tuple[Supposition | None, Sequence[Fault]]:
    if not isinstance(row, Mapping):
        return None, (Fault("", "shape", "This must be an object with named fields."),)
    kind, part = row.get("kind"), row.get("part")
    if not isinstance(kind, str) or kind not in KINDS:
        return None, (Fault("kind", "choice", "Choose one of: " + ", ".join(KINDS) + "."),)
    own = shape_of(kind, part if isinstance(part, str) else "")
    known = {field.name for field in own.fields}
    # Empty fields of other kinds may be sent along: a program that knows the record whole sends them all.
    data = {name: one for name, one in row.items() if name in known or one not in (None, "", False, UP)}
    entry = read(own, data, notation, today=book.day)
    if entry.record is None:
        return None, entry.faults
    wrong = tuple(_beside(entry.record))
    return (None if wrong else entry.record), wrong


def _beside(one: Supposition) -> Iterator[Fault]:
    if one.percent is not None and one.way == DOWN and one.percent >= HUNDRED:
        yield Fault("percent", "number-range", "Nothing can go down by that much. Type less than 100.")
    if one.other is not None and one.other == one.material:
        yield Fault("other", "choice", "That is the same one. Choose another to take its place.")
    if one.kind == "pack" and one.product is not None and one.group is not None:
        yield Fault("group", "choice", "Choose a product or parts that go together, not both.")


# --- kept


def kept(book: Book, typed: Sequence[Any], notation: Notation = JSON_NOTATION) -> list[dict[str, Any]]:
    """Rows as they are kept: what can be read by its amounts, in whatever notation; the rest as it was typed."""
    return [_kept(book, row, notation) for row in typed if isinstance(row, Mapping)]


def _kept(book: Book, row: Mapping[str, Any], notation: Notation) -> dict[str, Any]:
    record, _ = _one(book, {**row, "counts": True if notation.strict else "yes"}, notation)
    if record is None:
        return {"typed": {name: one for name, one in row.items() if isinstance(one, str | int | bool)}}
    told = show(shape_of(record.kind, record.part), record)
    return {**{name: one for name, one in told.items() if one is not None}, "counts": not _left_out(row, notation)}


def again(rows: Sequence[Mapping[str, Any]], notation: Notation) -> list[dict[str, Any]]:
    """Kept rows as they are typed in a form, by its notation."""
    return [_again(row, notation) for row in rows]


def _again(row: Mapping[str, Any], notation: Notation) -> dict[str, Any]:
    if isinstance(typed := row.get("typed"), Mapping):
        return dict(typed)
    shape = shape_of(row["kind"], row.get("part") or "")
    entry = read(shape, row, JSON_NOTATION, today=date.min)
    return dict(row) if entry.record is None else show(shape, entry.record, notation)
