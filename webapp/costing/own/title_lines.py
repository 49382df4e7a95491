"""Several lines of words above what is in a formula of a maker's own: which of them is its name.

A jar, how many it makes, what to do and the title of the whole sheet are none. Where two may be it, that is asked.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own.lines import FormulaRows
from webapp.costing.own.pack_words import is_counted
from webapp.costing.own.rows import OwnRow, is_note
from webapp.costing.own.titles import BY_WORD, Batch, Title, is_labelled, parted_title

#: which of several lines a person said to be the names on a sheet
FIRST, LAST = "first", "last"
#: how many something makes, or how much is in one, before what it is filled into: "for 12 jars", "in a 60ml tin"
_MADE = re.compile(
    r"(?:for|makes?|fills?|yields?|ergibt|f\u00fcr|pour)\s+(?:about\s+|approx\.?\s+|ca\.?\s+)?[0-9].*", re.IGNORECASE
)
_FILLED = re.compile(r"(?:in(?:to)?\s+)?(?:an?\s+|the\s+|each\s+)?[0-9][^,(\u2013]*", re.IGNORECASE)
#: how large something is: "100g size", "50 ml each"
_SIZE = re.compile(r"[0-9].*\b(?:size|each|approx|net|finished)\b.*", re.IGNORECASE)
#: what is done, by the word that such a line begins with
_DONE = re.compile(
    r"(?:melt|mix|stir|heat|warm|blend|whisk|whip|pour|add|combine|cool|shake|fill|store|keep|use|apply|weigh|sift|"
    r"do not|don\u2019t|don't|let|leave|set aside|makes|schmelzen|mischen|r\u00fchren|erw\u00e4rmen|m\u00e9langer|"
    r"fondre|chauffer|mezclar|fundir|mescolare|sciogliere)\b.*",
    re.IGNORECASE,
)
#: what is said of a formula beside its name: "Code: B12", "Version 2"
_SAID = re.compile(r"[^\W\d][\w .]{1,20}:\s*\S.*|(?:version|batch no|code|date|rev(?:ision)?)\b.*", re.IGNORECASE)
#: the title of a sheet with all of them
_OF_ALL = re.compile(
    r"(?:(?:my|our|all|the|meine|unsere|alle|mes|nos|mis|le mie)\s+)*(?:recipes|formulas|formulae|formulations|rezepte|"
    r"rezepturen|recettes|formules|recetas|f\u00f3rmulas|ricette|formule|recepten)\b.*",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of words above what is in a formula, by its row."""

    number: int
    title: Title

    @property
    def text(self) -> str:
        """What it says."""
        return self.title.name


@dataclass(frozen=True, slots=True)
class Naming:
    """What tells which of several lines is a name: names that are known, what was said, lines that stand again."""

    known: Names
    sheet: str
    told: str
    again: Collection[str]
    """The lines that stand in the sheet more than once, by their keys."""
    left_out: Collection[int]
    """The rows that are left out: none of them is a name where another line is there."""


def says_jar(text: str) -> bool:
    """Whether a line says what a formula is filled into, how much of it, or how many that makes."""
    if _MADE.fullmatch(text) or _SIZE.fullmatch(text):
        return True
    found = _FILLED.match(text)
    return found is not None and is_counted(found[0].split()[-1])


def is_of_all(text: str) -> bool:
    """Whether a line is the title of a sheet with all of its formulas."""
    return bool(_OF_ALL.fullmatch(text))


def named_by(lines: Sequence[Line], naming: Naming) -> dict[int, Title]:
    """The rows of a block of lines: the one that names what stands below, and the others as notes."""
    there = [one for one in lines if one.number not in naming.left_out] or list(lines[-1:])
    may_be = _may_be(there, naming)
    shared = naming.told != FIRST and name_key(may_be[0].text) in naming.again  # no two formulas are called the same
    chosen = may_be[-1] if naming.told == LAST or shared else may_be[0]
    notes = tuple(one.text for one in there if one is not chosen)
    asks = tuple(one.text for one in may_be) if len(may_be) > 1 and not naming.told else ()
    found = {one.number: _as_note(one) for one in lines if one is not chosen}
    return {**found, chosen.number: replace(chosen.title, notes=notes if not asks else (), asks=asks)}


def _may_be(lines: Sequence[Line], naming: Naming) -> list[Line]:
    """The lines that may be the name; several where nothing tells."""
    named = [one for one in lines if not says_jar(one.text) and not is_of_all(one.text)] or list(lines)
    sure = [one for one in named if is_labelled(one.text) or _is_known(one, naming)]
    if len(sure) == 1:
        return sure
    first = named[0]
    return [one for one in named if one is first or not (_is_aside(one.text) or name_key(one.text) in naming.again)]


def _is_known(line: Line, naming: Naming) -> bool:
    """Whether a line is what the sheet is called, or the name of a formula of the book."""
    called = parted_title(line.text).name
    return name_key(called) == name_key(naming.sheet) or naming.known.meant(called).value.startswith("formula")


def _is_aside(text: str) -> bool:
    """Whether a line below another is a note on it: what to do, a jar, a code."""
    return (
        bool(_DONE.fullmatch(text) or _SAID.fullmatch(text)) or is_note(text) or is_counted(text.rsplit(maxsplit=1)[-1])
    )


def _as_note(line: Line) -> Title:
    """A line that is no name: what it says of the batch is read all the same."""
    batch, said = line.title.batch, parted_title(line.text).batch
    return Title("", 0, batch or (Batch(line.title.column, said, "", BY_WORD, line.title.column) if said else None))


def say_lines(formula: FormulaRows, title: Title, row: OwnRow) -> None:
    """Say which lines beside a title are notes, or ask which of them is the name."""
    if title.notes:
        formula.remarks.append(f"Read as {'a note' if len(title.notes) == 1 else 'notes'}: {', '.join(title.notes)}.")
    if title.asks:
        first, last = title.asks[0][:60], title.asks[-1][:60]
        words = f"Is “{first}” the name of a formula, or “{last}”? Choose which line is; the other is a note."
        formula.fault(words, "titles", row.number, title.column, title.name)
