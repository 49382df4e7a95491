"""Names in a maker's own sheets: those that have to be answered, those that may be what is there, and the answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from webapp.costing.own.names import FILLING, FORMULA, NameAsked
from webapp.costing.own.prices import NEW
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import OwnRow, mark_of
from webapp.costing.own.seen import ProductSeen
from webapp.pages.data.own_shown import MOST_WRONG, NameView, Read

#: what a name that is asked may be besides what is offered, and how it is asked: of an ingredient, of a product
_NONE = "none of them: leave this row out"
NEW_AS = {"": "something new, without a price yet", FORMULA: _NONE, FILLING: _NONE}
NAMED_AS = {"": "“{}” is", FORMULA: "In “{}” is", FILLING: "The formula “{}” is"}


LIKELY = "likely"
_LIKELY = "{} names are likely one thing each. Look at them, then say yes to all of them, or answer one by one."


def asked(reading: OwnReading) -> tuple[NameView, ...]:
    """What may be a slip and has to be answered before anything is saved."""
    return tuple(
        _view(reading, one, (("", "choose"), *_named(one.near), (NEW, NEW_AS[one.of]), *_named(one.others)))
        for one in reading.names[:MOST_WRONG]
    )


def likely_in(names: Sequence[NameView]) -> tuple[NameView, ...]:
    """Those of the names that are likely one thing each, where there are several: yes can be said to all at once."""
    found = tuple(one for one in names if one.likely)
    return found if len(found) > 1 else ()


def agreed(data: Mapping[str, Any]) -> dict[str, Any]:
    """What was sent, with yes said to all names that stood there as likely one thing; other answers stay."""
    stood, told = (found if isinstance(found := data.get(one), Mapping) else {} for one in ("likely", "means"))
    return {**data, "means": {**stood, **{mark: text for mark, text in told.items() if text}}}


def maybe_the_same(reading: OwnReading) -> tuple[NameView, ...]:
    """New names in formulas, and new materials that are called like one of the book: each may be what is there."""
    found = {
        one.mark: _view(reading, one, (("", NEW_AS[""]), *_named((*one.near, *one.others)))) for one in reading.offered
    }
    waiting = {one.mark for one in reading.names}
    for seen in reading.materials:
        row, near, mark = seen.said.row, seen.said.near, mark_of(seen.said.row.name)
        if near and mark not in waiting:
            one = NameAsked(mark, row.name, near, "", (row.sheet, row.row))
            found.setdefault(mark, _view(reading, one, (("", "something new"), *_named(near))))
    return tuple(found.values())


def answered(read: Read, shown: Sequence[NameView]) -> tuple[NameView, ...]:
    """Names that were answered: as what each is taken, and a way to be asked again."""
    reading, fields = read.reading, {one.field for one in shown}
    places = {
        mark_of(line.ingredient): (line.ingredient, one.said.rows.sheet, line.name_row)
        for one in reversed(reading.formulas)
        for line in reversed(one.said.rows.lines)
    }
    sold = {mark_of(name): (name, row) for one in reading.products for name, row in _filled(one) if name}
    places = {mark: (name, row.sheet, row.number) for mark, (name, row) in sold.items()} | places
    found = []
    for mark, told in read.choices.how.means.items():
        if told and f"means-{mark}" not in fields and mark in places:
            (name, sheet, row), of = places[mark], FORMULA if mark in sold else ""
            options = (("", "ask again"), (told, NEW_AS[of] if told == NEW else told))
            found.append(_view(reading, NameAsked(mark, name, (), told, (sheet, row), of), options))
    return tuple(found)


def _filled(one: ProductSeen) -> Iterator[tuple[str, OwnRow]]:
    """What a product says of each formula in it, and in which row: its name where nothing else does."""
    for filling in one.said.row.fillings:
        yield filling.formula or one.said.row.name, filling.row


def unanswered(reading: OwnReading, shown: Sequence[NameView]) -> tuple[tuple[str, str], ...]:
    """Of each name that has to be answered its field, and what is asked there; of those that are likely one once."""
    likely = {one.field for one in likely_in(shown)}
    fields = {one.field for one in shown} - likely
    once = ((LIKELY, _LIKELY.format(len(likely))),) if likely else ()
    return once + tuple((field, _sentence(one)) for one in reading.names if (field := f"means-{one.mark}") in fields)


def _sentence(one: NameAsked) -> str:
    if one.of:
        return f"No formula is called {one.name}. Choose the one in it."
    return f"{' or '.join(one.near)}, or something new? Choose which."


def _view(reading: OwnReading, one: NameAsked, options: tuple[tuple[str, str], ...]) -> NameView:
    where = f"{reading.tables[one.where[0]].title}, row {one.where[1]}"
    also = f" (also “{'”, “'.join(one.spelled[1:])}”)" if one.spelled[1:] else ""
    label = NAMED_AS[one.of].format(one.name)
    likely = "" if one.chosen else one.best
    return NameView(f"means-{one.mark}", one.name, where, options, label.replace("” is", f"”{also} is"), likely)


def _named(names: Sequence[str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, name) for name in names)
