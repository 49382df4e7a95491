"""What a title of a formula says in a maker's own sheet: the name, and what a batch of it weighs."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

from webapp.costing.amounts import Unreadable
from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.columns import sort_of, unit_in
from webapp.costing.own.heads import is_amount, is_mass, unit_alone
from webapp.costing.own.lines import STAGE, FormulaRows, batch_grams
from webapp.costing.own.lost import LEFT, kind_of
from webapp.costing.own.made import is_count, is_things, weighed_jars
from webapp.costing.own.rows import OwnRow

_SAYS = (
    r"batch(?: size| weight)?(?: of)?|makes|yields?|total(?: batch| weight)?|ansatz(?:gr\u00f6\u00dfe)?|charge|ergibt|"
    r"lot|taille du lot|lote|lotto|resa|rendement|batchgrootte|totale?|gesamt"
)
#: a title that says the batch: "Spray, makes 500 g"
_MAKES = re.compile(
    r"(.*[^\s,;:(])[\s,;:(]+(?:makes|batch(?: size)?(?: of)?|yields?|for)\b[\s:]*([0-9][^()]*)\)?", re.IGNORECASE
)
_NAMED = re.compile(r"(?:formula|recipe|product|rezept|recette|receta|ricetta)\s*[:\-\u2013#]\s*(.+)", re.IGNORECASE)
#: a sort of hair, which is none: "Cream for 4C hair"
_HAIR = re.compile(r"[1-4][a-c](?:\W*[1-4]?[a-c])*(?:\s+\D*)?", re.IGNORECASE)
#: a weight behind a name: "Balm - 500g", "Balm (1 kg)"
_SIZED = re.compile(
    r"(.*?[^\s,;:(\[|\-\u2013\u2014])\s*(?:\s[-\u2013\u2014]|[,;:|(\[\u2013\u2014])\s*([0-9][^()\[\]]*)[)\]]?"
)
_TAIL = re.compile(
    r"(.*\S)\s*(?:\s[-\u2013\u2014]|[,:|(\u2013\u2014])\s*(?:(?:master )?(?:recipe|formula)(?: (?:card|sheet))?|"
    r"rezept(?:ur|karte|blatt)?|(?:fiche )?recette|receta|ricetta|recept)\)?",
    re.IGNORECASE,
)
#: what joins a name to what stands behind it
_ROUND = " :,;|-\u2013\u2014"
#: a word that says a batch, alone, before its amount, or behind it
_WORD = re.compile(rf"(?:{_SAYS})\s*[:=]?", re.IGNORECASE)
_BEFORE = re.compile(rf"(?:{_SAYS})\b[\s:=]*([0-9].*)", re.IGNORECASE)
_BEHIND = re.compile(rf"([0-9].*?)\s*(?:{_SAYS})", re.IGNORECASE)
#: what stands beside a name and is none: "Recipe | Balm", "Formula no. 2 | Balm"
_LABEL = re.compile(
    r"(?:formula|recipe|product|rezept|recette|receta|ricetta|recept|name|title)(?: name)?\s*(?:no\.?|nr\.?|#)?"
    r"\s*[0-9]*[:.]?",
    re.IGNORECASE,
)
#: what is said of jars too: "makes 6"
_COUNTS = re.compile(r"makes|yields?|ergibt|resa|rendement", re.IGNORECASE)
#: how a batch may be told by a cell: by its word, by a unit behind a number or beside it, by nothing
BY_WORD, BY_AMOUNT, BY_UNIT, BY_SUM = "word", "amount", "unit", "sum"


@dataclass(frozen=True, slots=True)
class Batch:
    """What a batch weighs: the column of its cell, what it says, the unit that stands beside it; `by` what tells."""

    column: int
    text: str
    beside: str
    by: str = ""
    at: int = 0
    """The column of what tells that it is a batch."""


@dataclass(frozen=True, slots=True)
class Title:
    """What a row of a title says: the formula's name and its column ("" where it says only the batch, or a note)."""

    name: str
    column: int
    batch: Batch | None = None
    notes: tuple[str, ...] = ()
    """The lines beside it that are read as notes."""
    asks: tuple[str, ...] = ()
    """The lines of which each may be the name, where nothing tells."""


def titled_in(texts: Sequence[tuple[int, str]]) -> Title:
    """The first words of a row that are no batch, unit or stage, and its batch: where a word or a unit says it."""
    names = [(place, text) for place, text in texts if is_name(text)]
    names = [one for one in names if not _LABEL.fullmatch(one[1])] or names
    found = [one for at in range(len(texts)) if (one := _batch_at(texts, at))]
    found.sort(key=lambda one: (BY_WORD, BY_AMOUNT, BY_UNIT).index(one.by))
    place, name = names[0] if names else (0, "")
    return Title(name, place, found[0] if found else None)


def is_labelled(text: str) -> bool:
    """Whether words say by themselves that they name a formula: "Recipe: Balm"."""
    return _NAMED.fullmatch(text) is not None


class Parted(NamedTuple):
    """A title as its parts: the name, the batch that a word says, the weight that only stands behind the name.

    `whole` is the name with that weight.
    """

    name: str
    batch: str
    size: str
    whole: str


def parted_title(text: str) -> Parted:
    """The name of a formula in its title, without words for a recipe, and its batch; "" for what it does not say."""
    bare = without_tail(text)
    named, made = _NAMED.fullmatch(bare), _MAKES.fullmatch(bare)
    made = None if made and _HAIR.fullmatch(made[2]) else made
    title = (made[1] if made else named[1] if named else bare).strip(_ROUND)
    batch = made[2].strip() if made and cells.sort_is_amount(made[2].strip()) and not is_count(made[2]) else ""
    sized = None if made else _SIZED.fullmatch(title)
    if sized is None or not (sort_of(sized[2].strip()) == "amount" and cells.sort_is_amount(sized[2].strip())):
        return Parted(title, batch, "", title)
    return Parted(sized[1].strip(_ROUND), batch, sized[2].strip(), title)


def without_tail(text: str) -> str:
    """A title without the word for a recipe behind it: "Balm - recipe card"."""
    found = _TAIL.fullmatch(text)
    return found[1] if found else text


def told_apart(formulas: Sequence[FormulaRows]) -> None:
    """Call formulas of several sheets that only the weight in their titles tells apart by their whole titles."""
    names = [name_key(one.name) for one in formulas]
    for one in [one for one in formulas if one.titled and names.count(name_key(one.name)) > 1]:
        one.name = one.titled


def is_name(text: str) -> bool:
    """Whether words are no batch, unit, stage, price or day, so that they may be the name of a formula."""
    return not (
        speaks_of_batch(text)
        or STAGE.fullmatch(text)
        or unit_alone(text)
        or is_amount(text)
        or sort_of(text) in ("money", "day")
    )


def speaks_of_batch(text: str) -> bool:
    """Whether words say a batch, or how many it makes, or stand before that."""
    return bool(_is_word(text) or _BEFORE.fullmatch(text) or _BEHIND.fullmatch(text))


def _is_word(text: str) -> bool:
    """Whether words say a batch, or what is left of one."""
    return bool(_WORD.fullmatch(text)) or kind_of(text) == LEFT


def _batch_at(texts: Sequence[tuple[int, str]], at: int) -> Batch | None:
    """The batch that a cell says: by itself, by the word before it, or by the unit behind it."""
    place, text = texts[at]
    said = _BEFORE.fullmatch(text) or _BEHIND.fullmatch(text)
    if said:
        counted = bool(_COUNTS.match(text)) and is_count(said[1])
        sound = weighed_jars(said[1]) or (cells.sort_is_amount(said[1]) and not counted)
        return Batch(place, said[1], "", BY_WORD, place) if sound else None
    behind = texts[at + 1][1] if at + 1 < len(texts) else ""
    if sort_of(text) not in ("number", "amount") or is_things(behind):
        return None
    unit = unit_alone(behind)
    unit = unit if is_mass(unit) else ""
    if at and _is_word(texts[at - 1][1]):
        if _COUNTS.match(texts[at - 1][1]) and not unit and is_count(text):
            return None
        return Batch(place, text, unit, BY_WORD, texts[at - 1][0])
    if sort_of(text) == "amount":
        return Batch(place, text, "", BY_AMOUNT, place) if cells.sort_is_amount(text) else None
    return Batch(place, text, unit, BY_UNIT, texts[at + 1][0]) if unit else None


def read_title_batch(formula: FormulaRows, row: OwnRow, batch: Batch) -> None:
    """Take the batch of a formula from the cell that says it."""
    beside = batch.beside or unit_in(row.head("batch"))
    says = re.split("[0-9]", row.table.cell(row.number, batch.at), maxsplit=1)[0]
    formula.read_batch(batch.text, row.told_at(batch.column), beside, (row.number, batch.column), says)


def name_of(text: str, found: Collection[str], known: Names) -> str:
    """What a formula is called by its title: with its weight where the name is `found` already, else without.

    One that the book has under its whole title keeps that.
    """
    parts = parted_title(text)
    before = next((one for one in (text, parts.whole) if known.meant(one).value.startswith("formula")), "")
    return before or (parts.whole if parts.size and name_key(parts.name) in found else parts.name)


def read_titled(formula: FormulaRows, row: OwnRow, place: int, text: str) -> None:
    """Take the batch that a title says; a weight behind the name is one where nothing else says it."""
    parts = parted_title(text)
    if parts.batch:
        said = re.search(r"\W(?:makes|yields?)\b", text, re.IGNORECASE)
        formula.read_batch(parts.batch, row.told, "", (row.number, place), said[0] if said else "")
    if parts.size and formula.name == parts.name:
        formula.titled = parts.whole
    with suppress(cells.Doubt, Unreadable):
        formula.sized = batch_grams(parts.size, row.told, "") if parts.size else None
