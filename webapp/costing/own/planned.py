"""Formulas of a maker's own sheets as changes: each ingredient by any of its names, slips asked, blends before use."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.book import Book, Id
from webapp.costing.called import Known, Meant, Names, keys_alike, known, nature_of, written_alike
from webapp.costing.changes import Put
from webapp.costing.limits import name_key
from webapp.costing.own.lines import FormulaRows, LineRow
from webapp.costing.own.losses import weigh, with_loss
from webapp.costing.own.names import MOST_OFFERED, MOST_RANKED, Likest, NameAsked, holders, is_blend
from webapp.costing.own.plan import NEW, Numbers, Plan, Planned, found_for
from webapp.costing.own.rows import Wrong, mark_of


@dataclass
class FormulaSaid:
    """What becomes of one formula: its number, whether it was there, what is said of it."""

    rows: FormulaRows
    formula: Id
    known: bool
    remarks: list[str] = field(default_factory=list)
    unsized: bool = False
    batch: Decimal | None = None
    """What a batch weighs: as the sheet says, else as was said for all; None where the book says it."""
    """Whether neither its rows nor the book say what a batch weighs."""


@dataclass
class Mixing:
    """What is gathered while formulas become changes."""

    plan: Plan
    names: Names
    means: Mapping[str, str]
    batch: Decimal | None = None
    said: list[FormulaSaid] = field(default_factory=list)
    spelled: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """How each ingredient is written, first as it stands first."""
    keys: Mapping[str, str] = field(default_factory=dict)
    """Of each ingredient what it has in common with those that are written alike."""
    asked: dict[str, NameAsked] = field(default_factory=dict)
    offered: dict[str, NameAsked] = field(default_factory=dict)
    """What is new, has no price, and may be something else: nothing waits for an answer."""
    used: dict[Id, set[Id]] = field(default_factory=dict)
    """Of each new material without a price the formulas that name it."""
    unpriced: dict[str, b.Material] = field(default_factory=dict)
    puts: list[tuple[FormulaSaid, b.Formula]] = field(default_factory=list)
    wrong: list[Wrong] = field(default_factory=list)
    blends: dict[Id, frozenset[Id]] = field(default_factory=dict)
    """Of each formula the formulas that its lines mean."""
    parts: dict[Id, frozenset[Id]] = field(default_factory=dict)
    used_in: frozenset[Id] = frozenset()
    """The formulas that others take of."""
    first: dict[Id, tuple[int, int, int]] = field(default_factory=dict)
    """Of each new material without a price the cell that names it first: sheet, row, column."""
    """Of each formula the materials that its lines mean."""

    _meant: dict[str, Meant] = field(default_factory=dict)

    def meant(self, text: str) -> Meant:
        """Which thing an ingredient means; it stands in many formulas, and is looked for once."""
        if text not in self._meant:
            self._meant[text] = found_for(self.names, self.told(text), text)
        return self._meant[text]

    def key(self, text: str) -> str:
        """What all ways have in common in which an ingredient is written, also with its words in another order."""
        return self.keys.get(text, written_alike(text))

    def told(self, text: str) -> str:
        """What was said of an ingredient, else of the first that is written so but for case, marks or a plural s."""
        every = (text, *self.spelled.get(self.key(text), ()))
        return next((told for one in every if (told := self.means.get(mark_of(one), ""))), "")

    @property
    def unsettled(self) -> frozenset[Id]:
        """What names stand for that have to be settled first."""
        return frozenset(one.id for one in self.unpriced.values() if mark_of(one.name) in self.asked)

    def holding(self, said: FormulaSaid) -> frozenset[Id]:
        """The materials in a formula, and in the formulas that are in it."""
        waiting, seen = [said.formula], set[Id]()
        while waiting:
            ident = waiting.pop()
            if ident not in seen:
                seen.add(ident)
                waiting += self.blends.get(ident, ())
        return frozenset(one for ident in seen for one in self.parts.get(ident, ()))


def names_with(book: Book, plan: Plan, formulas: Sequence[FormulaRows]) -> tuple[Names, dict[str, Id]]:
    """Everything that an ingredient can be called, in the book and in the sheets; and the number of each formula."""
    held = {name_key(one.name): one.id for one in book.formulas.values()}
    numbers = {name_key(one.name): held.get(name_key(one.name)) or plan.numbers.new() for one in formulas}
    things = [
        *known([one for one in plan.materials.values() if one.id < 0], "material"),
        *known(book.materials.values(), "material"),
        *known(book.formulas.values(), "formula"),
        *(
            Known(f"formula:{number}", one.name, (one.numbered,) if one.numbered else ())
            for one in formulas
            if (number := numbers[name_key(one.name)]) < 0
        ),
    ]
    return Names(tuple(things)), numbers


def counted_in(book: Book, plan: Plan) -> frozenset[str]:
    """What is counted and not weighed, as names give it, of the book and the sheets."""
    every = (*book.materials.values(), *plan.materials.values())
    return frozenset(f"material:{one.id}" for one in every if one.by_piece)


def plan_formulas(
    book: Book, plan: Plan, formulas: Sequence[FormulaRows], means: Mapping[str, str], batch: Decimal | None
) -> Mixing:
    """What the formulas make of the book; those with something wrong in them make nothing.

    A batch of each that says none weighs `batch`.
    """
    names, numbers = names_with(book, plan, formulas)
    spelled, keys = _spelled(formulas)
    mixing = Mixing(plan, names, means, batch, spelled=spelled, keys=keys)
    mixing.used_in = frozenset(_used(mixing, book, formulas, numbers))
    for rows in formulas:
        ident = numbers[name_key(rows.name)]
        if any(one.formula == ident and one.rows.sheet != rows.sheet for one in mixing.said):
            words = f"{rows.name} stands in an earlier sheet already. Leave one of them out, or call it something else."
            rows.fault(words)
        said = FormulaSaid(rows, ident, ident > 0, list(dict.fromkeys(rows.remarks)))
        mixing.said.append(said)
        if rows.lines:
            record = _formula(mixing, said, book)
            mixing.parts[ident] = frozenset(line.material for line in record.lines if line.material is not None)
            mixing.blends[ident] = frozenset(line.formula for line in record.lines if line.formula is not None)
            if not rows.wrong and record != book.formulas.get(ident):
                mixing.puts.append((said, record))
    _without_loops(mixing)
    return mixing


def _used(mixing: Mixing, book: Book, formulas: Sequence[FormulaRows], numbers: Mapping[str, Id]) -> Iterator[Id]:
    """The formulas that another of the sheets or of the book takes of."""
    for held in book.formulas.values():
        yield from _inside(held)
    for rows in formulas:
        meant = {mixing.meant(line.ingredient).value for line in rows.lines}
        own = f"formula:{numbers[name_key(rows.name)]}"
        yield from (int(one.removeprefix("formula:")) for one in meant if one.startswith("formula:") and one != own)


def _spelled(formulas: Sequence[FormulaRows]) -> tuple[dict[str, tuple[str, ...]], dict[str, str]]:
    """Of all ingredients that are written alike each way in which they are written; and what each has in common."""
    found: dict[str, dict[str, str]] = {}
    same: dict[str, str] = {}
    keys: dict[str, str] = {}
    for text in dict.fromkeys(line.ingredient for rows in formulas for line in rows.lines):
        every = keys_alike(text)
        keys[text] = next((same[one] for one in every if one in same), every[0])
        same |= {one: keys[text] for one in every if one not in same}
        found.setdefault(keys[text], {}).setdefault(name_key(text), text)
    return {key: tuple(ways.values()) for key, ways in found.items()}, keys


def _without_loops(mixing: Mixing) -> None:
    """What each name may be besides something new: nothing in which it is, or that is counted and not weighed."""
    book, plan = mixing.plan.book, mixing.plan
    inside = {ident: _inside(one) for ident, one in book.formulas.items()} | mixing.blends
    pieces = counted_in(book, plan)
    weighed = [one for one in mixing.names.offered if one.value not in pieces]
    ranked = Likest(weighed)
    for number, material in enumerate(mixing.unpriced.values()):
        mark = mark_of(material.name)
        barred = {f"formula:{one}" for one in holders(mixing.used[material.id], inside)}
        there = [one for one in weighed if one.value not in barred]
        may_be = ranked.names(material.name, barred)[:MOST_OFFERED] if number < MOST_RANKED else ()
        asked = mixing.asked.pop(mark, None)
        blends = {one.name: is_blend(one, material.name) for one in there}
        near = tuple(sorted((one for one in asked.near if one in blends), key=lambda one: blends[one])) if asked else ()
        best = ranked.best(material.name, near, barred) if number < MOST_RANKED else ""
        if best and not asked:  # far likelier than anything else: it is asked as a slip is
            near = (best,)
        others = tuple(one for one in may_be if one not in near)
        spelled = mixing.spelled[mixing.key(material.name)]
        told, where = mixing.told(material.name), mixing.first[material.id][:2]
        one = NameAsked(mark, material.name, near, told, where, others=others, spelled=spelled, best=best)
        if near and (asked or told != NEW):
            mixing.asked[mark] = one
        elif told != NEW:
            mixing.offered[mark] = one


def _formula(mixing: Mixing, said: FormulaSaid, book: Book) -> b.Formula:
    rows = said.rows
    lines = tuple(_line(mixing, said, line) for line in rows.lines)
    said.remarks += weigh(rows, lines, {**book.materials, **mixing.plan.materials}, book.day)
    used = said.formula in mixing.used_in
    sized = rows.batch is not None or (said.known and book.formulas[said.formula].batch_grams is not None)
    said.unsized = not sized
    said.batch = rows.batch if sized else mixing.batch
    if not said.known:
        record = b.Formula(said.formula, rows.name, book.day, lines, rows.way or "percent", _batch(mixing, rows))
        return with_loss(record, rows, used=used)
    held = book.formulas[said.formula]
    batch = rows.batch or held.batch_grams or _batch(mixing, rows)
    record = with_loss(replace(held, lines=lines, way=rows.way or held.way, batch_grams=batch), rows, used=used)
    if record == held:
        said.remarks.append("It stands in the book just so.")
        return held
    said.remarks.append("The book has it already: what it is made of changes from today on.")
    return replace(record, since=book.day)


def _batch(mixing: Mixing, rows: FormulaRows) -> Decimal | None:
    """The batch of a formula; one that says none weighs what was said for all of them."""
    return rows.batch or mixing.batch


def _line(mixing: Mixing, said: FormulaSaid, line: LineRow) -> b.FormulaLine:
    kind, ident = _meant(mixing, said, line)
    numbers = {"material": ident} if kind == "material" else {"formula": ident}
    return b.FormulaLine(
        **numbers, amount=line.amount, unit=line.unit or "percent", rest=line.amount is None, stage=line.stage
    )


def _meant(mixing: Mixing, said: FormulaSaid, line: LineRow) -> tuple[str, Id]:
    """Which material or formula an ingredient is; a new material without a price where nothing is called so."""
    key = mixing.key(line.ingredient)
    first = mixing.spelled[key][0]
    mark, told = mark_of(first), mixing.told(line.ingredient)
    found = mixing.meant(line.ingredient)
    if found.value == f"formula:{said.formula}":  # no formula is in itself
        others = Names(tuple(one for one in mixing.names.all if one.value != found.value))
        found = others.meant_alike(line.ingredient)
    if found.value:
        kind, _, number = found.value.partition(":")
        own = mixing.names.name_of(found.value)
        if name_key(own) != name_key(line.ingredient):
            said.remarks.append(f"{line.ingredient} is {own} here.")
        return kind, int(number)
    if found.near and (told or mark not in mixing.asked):
        mixing.asked[mark] = NameAsked(mark, first, found.near, told, (said.rows.sheet, line.name_row))
    if key not in mixing.unpriced:
        made = b.Material(mixing.plan.numbers.new(), line.ingredient, "ingredient", nature_of(line.ingredient))
        mixing.unpriced[key], mixing.first[made.id] = made, (said.rows.sheet, line.name_row, line.at)
    made = mixing.unpriced[key]
    if name_key(made.name) != name_key(line.ingredient):
        said.remarks.append(f"{line.ingredient} is {made.name} here.")
    mixing.used.setdefault(made.id, set()).add(said.formula)
    return "material", made.id


def asked_names(mixing: Mixing) -> tuple[NameAsked, ...]:
    """The names that have to be settled before anything is saved."""
    return tuple(mixing.asked.values())


def formula_changes(mixing: Mixing) -> Iterator[Planned]:
    """New materials without a price, then each formula after those that are in it; loops are noted as wrong."""
    for material in mixing.unpriced.values():
        yield Planned(Put(material), *mixing.first[material.id])
    waiting = {record.id: (said, record) for said, record in mixing.puts}
    done = {one for one in mixing.names.all if one.value.startswith("formula:") and "-" not in one.value}
    placed = {int(one.value.removeprefix("formula:")) for one in done}
    while ready := [one for one, (_, record) in waiting.items() if _inside(record) <= placed]:
        for one in ready:
            said, record = waiting.pop(one)
            placed.add(one)
            yield Planned(Put(record), said.rows.sheet, said.rows.row)
    _say_loops(mixing, waiting)


def _say_loops(mixing: Mixing, waiting: Mapping[Id, tuple[FormulaSaid, b.Formula]]) -> None:
    """What is left waits for itself, or for one that something else is wrong with: the first is said."""
    for said, record in waiting.values():
        inside = _inside(record)
        while more := {part for one in inside if one in waiting for part in _inside(waiting[one][1])} - inside:
            inside |= more
        if record.id in inside:
            names = [one.rows.name for one, other in waiting.values() if other.id in inside]
            words = f"{record.name} would contain itself, by way of {' and '.join(names)}. Correct an ingredient."
            place = next(n for n, one in enumerate(record.lines) if one.formula in waiting)
            line = said.rows.lines[place]
            mixing.wrong.append(Wrong(said.rows.sheet, line.name_row, line.at, line.ingredient, words))


def _inside(record: b.Formula) -> set[Id]:
    return {line.formula for line in record.lines if line.formula is not None}


__all__ = ["FormulaSaid", "Mixing", "NameAsked", "Numbers", "asked_names", "formula_changes", "plan_formulas"]
