"""What a title of a formula says in a maker's own sheet: the name, and what a batch of it weighs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from webapp.costing import own_cells as cells
from webapp.costing.own_columns import sort_of, unit_in
from webapp.costing.own_heads import is_amount, is_mass, unit_alone
from webapp.costing.own_lines import STAGE, FormulaRows
from webapp.costing.own_rows import OwnRow

_SAYS = (
    r"batch(?: size| weight)?(?: of)?|makes|yields?|total(?: batch| weight)?|ansatz(?:gr\u00f6\u00dfe)?|charge|ergibt|"
    r"lot|taille du lot|lote|lotto|resa|rendement|batchgrootte|totale?|gesamt"
)
#: a title that says the batch: "Spray, makes 500 g"
_MAKES = re.compile(
    r"(.*[^\s,;:(])[\s,;:(]+(?:makes|batch(?: size)?(?: of)?|yields?|for)\b[\s:]*([0-9][^()]*)\)?", re.IGNORECASE
)
_NAMED = re.compile(r"(?:formula|recipe|product|rezept|recette|receta|ricetta)\s*[:\-\u2013#]\s*(.+)", re.IGNORECASE)
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
#: what is said of jars too: "makes 6"; without a unit so few are no grams (common practice, no source)
_COUNTS = re.compile(r"makes|yields?|ergibt|resa|rendement", re.IGNORECASE)
_FEW = 50
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


def parted_title(text: str) -> tuple[str, str]:
    """The name of a formula in its title, and what its batch is said to be there; "" where it says none."""
    named, made = _NAMED.fullmatch(text), _MAKES.fullmatch(text)
    title = (made[1] if made else named[1] if named else text).strip(" :")
    batch = made[2].strip() if made and cells.sort_is_amount(made[2].strip()) and not is_count(made[2]) else ""
    return title, batch


def is_name(text: str) -> bool:
    """Whether words are no batch, unit, stage, price or day, so that they may be the name of a formula."""
    said = _WORD.fullmatch(text) or _BEFORE.fullmatch(text) or _BEHIND.fullmatch(text) or STAGE.fullmatch(text)
    return not (said or unit_alone(text) or is_amount(text) or sort_of(text) in ("money", "day"))


def is_count(text: str) -> bool:
    """Whether what is made is said in jars: a small number without a unit."""
    return bool(re.fullmatch(r"[0-9]{1,2}", text.strip(), re.ASCII)) and int(text) < _FEW


def _batch_at(texts: Sequence[tuple[int, str]], at: int) -> Batch | None:
    """The batch that a cell says: by itself, by the word before it, or by the unit behind it."""
    place, text = texts[at]
    said = _BEFORE.fullmatch(text) or _BEHIND.fullmatch(text)
    if said:
        counted = bool(_COUNTS.match(text)) and is_count(said[1])
        return Batch(place, said[1], "", BY_WORD, place) if cells.sort_is_amount(said[1]) and not counted else None
    if sort_of(text) not in ("number", "amount"):
        return None
    unit = unit_alone(texts[at + 1][1]) if at + 1 < len(texts) else ""
    unit = unit if is_mass(unit) else ""
    if at and _WORD.fullmatch(texts[at - 1][1]):
        if _COUNTS.match(texts[at - 1][1]) and not unit and is_count(text):
            return None
        return Batch(place, text, unit, BY_WORD, texts[at - 1][0])
    if sort_of(text) == "amount":
        return Batch(place, text, "", BY_AMOUNT, place) if cells.sort_is_amount(text) else None
    return Batch(place, text, unit, BY_UNIT, texts[at + 1][0]) if unit else None


def read_title_batch(formula: FormulaRows, row: OwnRow, batch: Batch) -> None:
    """Take the batch of a formula from the cell that says it."""
    beside = batch.beside or unit_in(row.head("batch"))
    formula.read_batch(batch.text, row.told_at(batch.column), beside, (row.number, batch.column))
