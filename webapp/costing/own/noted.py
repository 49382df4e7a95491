"""Rows of prices with a note beside them that may change the price: what is asked of each, and what was answered."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.own.columns import BLANK, LOOKED_AT, MOST_COLUMNS, Layout, OwnTable, sort_of_most
from webapp.costing.own.heads import stands_beside
from webapp.costing.own.material_heads import NOTE_HEAD
from webapp.costing.own.material_row import MaterialRow, NoteAsked
from webapp.costing.own.notes import may_change_a_price, said_plainly
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT
from webapp.costing.own.rows import Noted, OwnRow, Wrong, mark_of, place_of, row_mark
from webapp.costing.own.taxes import TAX_NONE
from webapp.costing.units import MASS, PIECES, VOLUME

#: a price is right as it is read, or its note counts
AS_READ, COUNTS = "as", "so"
_STANDS = {TAX_IN: "tax is in the price", TAX_OUT: "tax comes on top of the price", TAX_NONE: "there is no tax on it"}
_TIMES = re.compile(r"([0-9]{1,4})\s*[x\u00d7*]\s*[0-9].*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Notes:
    """What was answered, by the mark of a note or of its row, and the rows of the sheet with a cell put right."""

    answers: Mapping[str, str] = field(default_factory=dict)
    mended: frozenset[int] = frozenset()


NO_NOTES = Notes()


def notes_of(answers: Mapping[str, str], fixes: Mapping[str, str], sheet: int) -> Notes:
    """What was answered of the notes of one sheet, and where its cells were put right."""
    places = [place for mark, text in fixes.items() if text.strip() and "_c" in mark and (place := place_of(mark))]
    return Notes(answers, frozenset(row for number, row, _ in places if number == sheet))


def with_notes(row: OwnRow, read: Callable[[OwnRow], MaterialRow], notes: Notes) -> MaterialRow:
    """The material of a row, as its note says where that is to count; a note that nobody answered is a fault.

    A row with other faults is asked about first, and one in which a cell was put right is right.
    """
    material = read(row)
    faulty = any(not one.choice for one in material.wrong)
    if material.price is None or not material.name or faulty or row.number in notes.mended:
        return material
    for place, text in _left_out(row):
        plain = _of_row(row, said_plainly(text), material)
        both = plain and plain.beside(row.noted)
        other = None if both is None else read(replace(row, wrong=[], remarks=[], noted=both))
        if other is not None and _comes_to_the_same(material, other, registered=row.told.registered):
            continue
        sound = other is not None and _is_sound(other)
        asked = _asked(row, place, text, plain if sound else None)
        if other is not None and sound and any(one.choice == "unit" for one in material.wrong):
            material = _as_it_says(other, material, asked)  # nothing else says what the price is for
            continue
        answer = notes.answers.get(asked.mark) or notes.answers.get(row_mark(row.sheet, row.number), "")
        if answer == COUNTS and other is not None and sound:
            row, material = replace(row, noted=both), _as_it_says(other, material, asked)
        elif answer != AS_READ:
            words = _question(row, material, asked)
            wrong = Wrong(row.sheet, row.number, place, text, words, asked.choice)
            material = replace(material, wrong=(*material.wrong, wrong))
        material = replace(material, notes=(*material.notes, asked))
    return material


def _as_it_says(other: MaterialRow, before: MaterialRow, note: NoteAsked) -> MaterialRow:
    """A row as its note says, which is said."""
    said = f"Read as its note says (\u201c{note.text[:60]}\u201d): {note.so}."
    return replace(other, remarks=(*other.remarks, said), notes=before.notes)


def _is_sound(row: MaterialRow) -> bool:
    """Whether a row can be read as its note says; freight in another money than its price can't."""
    in_its_money = row.freight is None or row.freight.unit == row.currency
    return in_its_money and not any(one.choice in ("", "unit") for one in row.wrong)


def _left_out(row: OwnRow) -> list[tuple[int, str]]:
    """The cells of columns that are left out whose words may change the price of their row."""
    found, dated = [], bool(row.text("day"))
    for place in range(min(row.table.width, MOST_COLUMNS)):
        text = row.table.cell(row.number, place)
        if text in BLANK or any(row.layout.roles[place : place + 1]) or not may_change_a_price(text, dated=dated):
            continue
        if _holds_notes(row.table, row.layout, place):
            found.append((place, text))
    return found


def _holds_notes(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether a column that is left out has words in it, and is not of stock, figures or other prices."""
    head = table.cell(layout.heads, place) if layout.heads else ""
    if NOTE_HEAD.search(head):
        return True
    rows = range(layout.heads + 1, min(len(table.rows), layout.heads + LOOKED_AT) + 1)
    cells = [text for one in rows if (text := table.cell(one, place)) not in BLANK]
    return not stands_beside(head) and sort_of_most(cells) == "text"


def _of_row(row: OwnRow, said: Noted | None, material: MaterialRow) -> Noted | None:
    """What a note says of the price of its row; a price "each" is for one of several packs or pieces in its pack."""
    if said is not None and said.freight:  # a price of no order has no freight, and a column of it says that of its row
        return said if row.text("supplier") and row.text("day") and not row.text("freight") else None
    if said is None or not (said.each or said.whole):
        return said
    if material.packs != ONE:
        return None
    times = _TIMES.fullmatch(row.text("pack"))
    if said.whole:  # a case of 6 x 1 L is what is read; of anything else nobody knows what is in it
        several = times or (material.unit == PIECES and material.size not in (None, ONE))
        return replace(said, of=ONE) if several else None
    if times:
        return replace(said, of=Decimal(times[1]))
    return replace(said, of=material.size if material.unit == PIECES and material.size else ONE)


def _comes_to_the_same(one: MaterialRow, other: MaterialRow, *, registered: bool) -> bool:
    """Whether two readings of a row cost the same."""
    return not other.wrong and _cost(one, registered=registered) == _cost(other, registered=registered)


def _cost(row: MaterialRow, *, registered: bool) -> tuple[object, ...]:
    """What one of its unit costs, and of what; how tax stands where only what was chosen for all says it."""
    factor = MASS.get(row.unit) or VOLUME.get(row.unit) or ONE
    dimension = "g" if row.unit in MASS else "mL" if row.unit in VOLUME else row.unit
    share = Fraction(row.tax_rate or ZERO) / 100 + 1
    taxed = 1 / share if registered and row.tax_in else share if row.tax_in is False and not registered else 1
    each = None if row.price is None or not row.size else Fraction(row.price) / Fraction(row.size * factor) * taxed
    return each, dimension, row.tax_rate if row.tax_in is None else None, row.freight


def _asked(row: OwnRow, place: int, text: str, plain: Noted | None) -> NoteAsked:
    head = row.table.cell(row.layout.heads, place) if row.layout.heads else ""
    return NoteAsked(_mark(row, place, text), row.sheet, row.number, place, text, head, _in_words(plain))


def _mark(row: OwnRow, place: int, text: str) -> str:
    """One mark for all rows of a sheet beside which the same words stand, and for the same rows when sent anew."""
    rows = range(row.layout.heads + 1, len(row.table.rows) + 1)
    name = row.layout.place("name") or 0
    alike = [row.table.cell(one, name) for one in rows if row.table.cell(one, place) == text]
    return f"s{row.sheet}_{mark_of('|'.join((text, *alike)))}"


def _in_words(plain: Noted | None) -> str:
    if plain is None:
        return ""
    if plain.freight:
        return f"{plain.freight} is the freight of its order, for all of its lines"
    if plain.per:
        return f"the price is for {plain.per if plain.per[0].isdigit() else f'1 {plain.per}'}"
    return _STANDS[plain.tax.how] if plain.tax.how else f"the price is for one of {plain.of}"


def _question(row: OwnRow, material: MaterialRow, asked: NoteAsked) -> str:
    written = row.told.written
    price = written.money(material.price or ZERO, material.currency or row.told.home)
    pack = f" for {written.number(material.size)} {material.unit}" if material.size else ""
    words = f"\u201c{asked.text[:80]}\u201d stands beside {material.name}, and {price}{pack} is read without it."
    return f"{words} Is that right, or does it count: {asked.so}?" if asked.so else (
        f"{words} Is that right? Else correct the row, or leave it out."
    )  # fmt: skip
