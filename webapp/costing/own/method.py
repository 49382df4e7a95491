"""Words alone between the lines of a maker's own formula: what to do there, or the name of the one that begins.

A total tells it where it is that of all lines, or of those below the words only; else the words do, else it is asked.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import AMOUNTS, words_of
from webapp.costing.own.heads import is_amount
from webapp.costing.own.lines import STAGE, FormulaRows, Gap
from webapp.costing.own.more_heads import heads_here, titled_heads
from webapp.costing.own.parted import is_whole
from webapp.costing.own.rows import OwnRow, filled
from webapp.costing.own.stages import is_group, says_amount
from webapp.costing.own.titles import is_labelled
from webapp.costing.own.totals import amount_in, comes_to, sums_by_name

#: what words between lines are, as a person says it once for a sheet: notes, or names of formulas
NOTE, NAMES = "note", "names"
#: how many words a title seldom has
_MANY = 5
#: up to how many letters a word in a title may begin without a capital
_SHORT_WORD = 3
#: at how many words what ends as a sentence does is one
_SENTENCE = 3
_WORD = re.compile(r"[^\W\d_]+")
#: what is done, by the word that a step begins with
_DO = (
    r"melt|stir|pour|add|combine|shake|store|keep|weigh|sift|sieve|sprinkle|dissolve|bring|take|remove|wait|"
    r"leave(?![- ]?in\b(?! (?:the|a|an|its?|your)\b))|"
    r"let|allow|do not|don['\u2019]t|set aside|fold|drip|drizzle|when|then|once|below|while|as the|after|beat|cover|"
    r"strain|slowly|gently|schmelzen|mischen|r\u00fchren|erw\u00e4rmen|abk\u00fchlen|zugeben|einr\u00fchren|"
    r"m\u00e9langer|fondre|chauffer|ajouter|verser|mezclar|fundir|a\u00f1adir|mescolare|sciogliere|aggiungere|"
    r"smelten|roeren|verwarmen|toevoegen"
)
#: what is done, or what a formula is called: "Whip at 40", "Whip for ends"
_DO_OR_NAME = r"whip|mix|blend|cool|heat|warm|fill|whisk|use|apply|set|boil|steam|chill|freeze"
_BEGINS = re.compile(rf"(?:{_DO})\b.*", re.IGNORECASE)
_MAY_BEGIN = re.compile(rf"(?:{_DO_OR_NAME})\b.*", re.IGNORECASE)
#: how long, or how warm; 4C is a sort of hair
_HOW = re.compile(
    r".*(?:[0-9]{2}\s*[cf]\b|[0-9]\s*(?:\u00b0|deg(?:rees)?\b|mins?\b|minut\w*|secs?\b|seconds?\b|hours?\b|hrs?\b|stunden?\b|"
    r"heures?\b|horas?\b|ore\b|grad\b)).*",
    re.IGNORECASE,
)
#: what ends as a sentence does, or holds one: "Pour at 70.", "as before. Below 40 add"
_ENDS = re.compile(r".*(?:[.!]|(?:\w{3}|[0-9])[.!;]\s+\w.*)")
_SHORT = re.compile(r".*\b(?:no|nr|vol|st|ltd|co|inc|[a-z])\.", re.IGNORECASE)


def is_step(text: str) -> bool:
    """Whether words can be nothing but what to do: a sentence, or one that begins so and says how warm or how long."""
    many = len(_WORD.findall(text))
    begins, may, how = (bool(one.fullmatch(text)) for one in (_BEGINS, _MAY_BEGIN, _HOW))
    if _ENDS.fullmatch(text) and not _SHORT.fullmatch(text):
        return many >= _SENTENCE or begins or (many > 1 and (may or how))
    return (how and (begins or may or many >= _MANY)) or (begins and many >= _MANY)


def is_step_above_heads(text: str) -> bool:
    """The same of words where a title may stand: it is none where they are written as one, and no sentence."""
    long = [one for one in _WORD.findall(text) if len(one) > _SHORT_WORD]
    as_title = len(long) > 1 and all(one[0].isupper() for one in long)
    return is_step(text) and (not as_title or bool(_ENDS.fullmatch(text)))


def may_be_step(text: str) -> bool:
    """Whether words may be what to do; written as a title is, with capitals, they are one."""
    found = _WORD.findall(text)
    if len(found) < 2 or all(one[0].isupper() for one in found if len(one) > _SHORT_WORD):
        return False
    return len(found) > _MANY or any(one.fullmatch(text) for one in (_BEGINS, _MAY_BEGIN, _HOW))


def is_between(row: OwnRow, formula: FormulaRows | None, gap: Gap, titles: Collection[int]) -> bool:
    """Whether words between lines are a note; where nothing tells, that is asked once for the sheet."""
    here = filled(row)
    if formula is None or formula.total or gap.total:
        return False
    if len(set(here)) != 1 or is_labelled(here[0]) or is_group(here[0]):
        return False
    if not formula.lines or gap.heads:
        return is_step(here[0])
    by_total = _by_total(row, formula, titles)
    below = _below(row)
    heads = below is not None and _are_heads(below)
    step = is_step_above_heads(here[0]) if heads else is_step(here[0])
    if heads and gap.blank and by_total and not may_be_step(here[0]):
        return step  # a name below a gap and above heads; the total is of several
    if by_total is not None or step:
        return by_total is not False
    return _may_be_between(row, formula, gap)


def is_part(row: OwnRow, formula: FormulaRows | None, titles: Collection[int]) -> bool:
    """Whether words among heads over ingredients are a phase of the formula above: they say it, or a total does."""
    name = row.text("ingredient")
    if STAGE.fullmatch(name) or formula is None:
        return bool(STAGE.fullmatch(name))
    proved = formula.lines and not formula.total and _by_total(row, formula, titles)
    return bool(proved) or (is_group(name) and not is_whole(formula))


def _may_be_between(row: OwnRow, formula: FormulaRows, gap: Gap) -> bool:
    """The same of words that may be either."""
    here, below = filled(row), _below(row)
    if gap.blank or "formula" in row.layout.roles or below is None:
        return False
    if not (may_be_step(here[0]) if _are_heads(below) else says_amount(below)):  # right above heads others are titles
        return False
    formula.parted = True
    if not row.told.method and may_be_step(here[0]):
        words = f"Is “{here[0][:60]}” a step in {formula.name}, or the name of a formula that begins here? "
        place = next(at for at in range(row.table.width) if row.table.cell(row.number, at))
        formula.fault(f"{words}Choose it once for this sheet.", "method", row.number, place, here[0])
        return True
    return row.told.method == NOTE


def _below(row: OwnRow) -> OwnRow | None:
    """The row below another; None where there is none."""
    below = OwnRow(row.sheet, row.number + 1, row.table, row.layout, row.told)
    return below if row.number < len(row.table.rows) else None


def _are_heads(row: OwnRow) -> bool:
    """Whether a row is heads once more, also with a name over its ingredients."""
    return bool(filled(row)) and bool(heads_here(row) or titled_heads(row))


def _by_total(row: OwnRow, formula: FormulaRows, titles: Collection[int]) -> bool | None:
    """What the next total says: that of all lines (a note stands between), or of those below; None where neither.

    Words further below may begin another formula, whose total says nothing of this one; nor does one below a gap or
    below heads, unless it is that of all.
    """
    parts: list[list[OwnRow]] = [[]]
    far = False
    for number in range(row.number + 1, len(row.table.rows) + 1):
        one = OwnRow(row.sheet, number, row.table, row.layout, row.told)
        if number in titles:
            return None
        if not filled(one) or _are_heads(one):
            far = True
            parts.append([])
        elif sums_by_name(one) and any(parts):
            found = _is_of(one, _above(row, formula), parts)
            return None if far and (not found or is_grand(one)) else found
        elif says_amount(one):
            parts[-1].append(one)
        else:
            parts.append([])
    return None


def is_grand(row: OwnRow) -> bool:
    """Whether a total may be that of several formulas, by its name."""
    return words_of(next(filter(words_of, filled(row)), "")).startswith("grand ")


def _above(row: OwnRow, formula: FormulaRows) -> list[OwnRow]:
    return [OwnRow(row.sheet, one.row, row.table, row.layout, row.told) for one in formula.lines]


def _is_of(total: OwnRow, above: Sequence[OwnRow], parts: Sequence[Sequence[OwnRow]]) -> bool | None:
    """Whether a total is that of all lines; False where it is that of the lines below some words, None of neither."""
    for role in (one for one in AMOUNTS if is_amount(total.text(one))):
        own = amount_in(total, role)
        read = [[amount_in(one, role) for one in part] for part in (above, *parts)]
        known = [[one for one in part if one is not None] for part in read]
        if own is None or list(map(len, read)) != list(map(len, known)):
            continue
        if comes_to(own, [one for part in known for one in part]):
            return True
        tails = ([one for part in known[start:] for one in part] for start in range(1, len(known)))
        if any(tail and comes_to(own, tail) and _sum(tail) > ZERO for tail in tails):
            return False
    return None


def _sum(read: Sequence[Read]) -> Decimal:
    return sum((one.value for one in read), ZERO)
