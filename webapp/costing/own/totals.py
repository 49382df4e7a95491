"""A total that the lines of a maker's own formula come to: it ends them, and what stands below it is none of them.

Jars, losses, costs and notes follow there in whatever words. Only what is known as a material is asked about, once.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from webapp.costing.amounts import HUNDRED, ZERO, Unreadable
from webapp.costing.own import cells
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import AMOUNTS, sort_of, words_of
from webapp.costing.own.heads import is_amount, is_cost, tells_figures
from webapp.costing.own.lines import BATCH, STAGE, FormulaRows, measured
from webapp.costing.own.more_heads import heads_here
from webapp.costing.own.rows import OwnRow, filled, is_total, row_mark
from webapp.costing.own.stages import says_amount
from webapp.costing.own.whole import ROUNDED_AWAY

#: a total by its name where its figure is one: "Batch total", "Gesamtgewicht", "Summe Charge"
_NAMED = re.compile(r"(?:.* )?(?:totals?|totale|totaal|sum|summe|somme|suma)|gesamt.*|(?:totals?|summe|somme) .*")
#: words that stand over what is below a formula, and name none: "Packaging", "Costs", "Notes"
_ASIDE = re.compile(
    r"(?:packaging|packing|containers?|jars?|labels?|costs?|costing|pricing|prices?|notes?|yield|labou?r|summary|"
    r"verpackung|kosten|preise?|kalkulation|notizen?|hinweise?|bemerkung(?:en)?|ausbeute|abfullung|arbeit|"
    r"emballages?|couts?|prix|remarques?|rendement|conditionnement|envases?|costes?|costos?|notas?|precios?|"
    r"imballaggi[oi]?|costi|note|prezzi)(?: (?:and|und|et|y|e|per|pro|je|par) .*)?"
)
#: what one jar comes to, by its words
_EACH = re.compile(r"(?:cost |price |total )?(?:per|pro|je|par|por|each) .*|each")
#: what a person said of all that stands below totals: it is in none of the formulas, or in them
OUT, IN = "out", "in"
PACKAGING = "Packaging below its total is in no formula: add it at its product."
#: how many names are said
_NAMED_AT_MOST = 3

#: a total of no more than what stands above it: "Total oils" is of a part, "Total cost" and "Total jars" of others
_OF_ALL = re.compile(
    r"(?!total |sub ?total|zwischensumme|subtotaal).*|"
    r"total (?:(?:in )?(?:g|gr|kg|oz|lb|grams?)|(?:batch )?weight|batch)"
)


def ends(row: OwnRow, formula: FormulaRows | None, titles: Collection[int]) -> bool:
    """Whether a row is a total, or has no name, and says what the lines above it come to, within their rounding.

    Where another total stands below more amounts it may be that of a part, and ends nothing. `titles` are rows that
    begin another formula.
    """
    if formula is None or not formula.lines or not sums_by_name(row):
        return False
    sums = any(_is_sum(row, formula, role) for role in AMOUNTS if is_amount(row.text(role)))
    return sums and not _is_of_a_part(row, titles)


def is_of_all(row: OwnRow) -> bool:
    """Whether a total, by its name, is one of all that stands above it."""
    return bool(_OF_ALL.fullmatch(words_of(next(filter(words_of, filled(row)), ""))))


def is_aside(text: str) -> bool:
    """Whether words alone below a total stand over figures or packaging, so that they name no formula."""
    return bool(_ASIDE.fullmatch(words_of(text)))


def is_below(row: OwnRow, formula: FormulaRows | None, known: bool) -> bool:
    """Whether a row stands below the total of a formula, so that it is none of its lines; a material is noted."""
    if formula is None or not formula.total or row.text("formula") or row.text("stage") or not says_amount(row):
        return False
    if known:
        formula.below.append((row.number, row.layout.place("ingredient") or 0, row.text("ingredient")))
    return True


def is_figure_of_all(row: OwnRow, formula: FormulaRows | None) -> bool:
    """Whether words with nothing but money beside them are a figure below a formula: "Packaging total", "per jar".

    Other words are one below its total only, where no amount stands right below them.
    """
    first, *others = filled(row)
    money = bool(others) and all(sort_of(text) in ("money", "number") for text in others)
    if formula is None or not formula.lines or not money:
        return False
    if _EACH.fullmatch(words_of(first)) or _NAMED.fullmatch(words_of(first)):
        return True
    below = OwnRow(row.sheet, row.number + 1, row.table, row.layout, row.told)
    ends_here = row.number >= len(row.table.rows) or not filled(below)
    return bool(formula.total) and (ends_here or not says_amount(below))


def ask_of_below(
    formulas: Sequence[FormulaRows], left_out: frozenset[str], told: str, is_counted: Callable[[str], bool]
) -> None:
    """Ask whether what stands below the totals and is weighed is in the formulas: once, where it is of several.

    None is where one of it is left out, or was said to be in none (`told`). What is counted is packaging.
    """
    open_ones = []
    for one in formulas:
        names = ", ".join(dict.fromkeys(name for _, _, name in one.below))
        if one.below and all(is_counted(name) for _, _, name in one.below):
            one.remarks.append(PACKAGING)
        elif one.below and (told == OUT or any(row_mark(one.sheet, row) in left_out for row, _, _ in one.below)):
            one.remarks.append(f"Below its total, and not in it: {names}.")
        elif one.below:
            open_ones.append(one)
    for one in open_ones:
        row, column, name = one.below[0]
        if len(open_ones) > 1:
            one.fault(_of_several(open_ones), "below", row, column, name)
        else:
            one.fault(_of_one(one), "", row, column, name)


def _of_one(formula: FormulaRows) -> str:
    names = ", ".join(dict.fromkeys(name for _, _, name in formula.below))
    words = f"{formula.name}: the lines above come to its total in row {formula.total}, and below it stand: {names}."
    cure = f"Leave this row out where they are not in it, or row {formula.total} where they are; where another formula"
    return f"{words} {cure} begins, write its name above it in your sheet."


def _of_several(formulas: Sequence[FormulaRows]) -> str:
    called = _some(one.name for one in formulas)
    names = _some(name for one in formulas for _, _, name in one.below)
    return f"Below the totals of {called} stand: {names}. Are they in these formulas? Choose it below, once for all."


def _some(names: Iterable[str]) -> str:
    """The first of several names, and how many there are besides."""
    found = list(dict.fromkeys(names))
    more = f" and {len(found) - _NAMED_AT_MOST} more" if len(found) > _NAMED_AT_MOST else ""
    return f"{', '.join(found[:_NAMED_AT_MOST])}{more}"


def _is_unnamed(row: OwnRow) -> bool:
    """Whether nothing but amounts and money stand in a row."""
    return all(is_amount(text) or sort_of(text) == "money" for text in filled(row))


def _is_named(row: OwnRow) -> bool:
    """Whether a row is called a total, with more words."""
    words = words_of(row.text("ingredient"))
    return bool(_NAMED.fullmatch(words)) and not is_cost(words)


def _is_sum(row: OwnRow, formula: FormulaRows, role: str) -> bool:
    """Whether an amount is the sum of those of the lines; with one that takes the rest it is at least what they say."""
    own = amount_in(row, role)
    rests = [line for line in formula.lines if line.amount is None]
    others = [line for line in formula.lines if line.amount is not None]
    found = [amount_in(OwnRow(row.sheet, one.row, row.table, row.layout, row.told), role) for one in others]
    read = [one for one in found if one is not None]
    if own is None or not read or len(read) < len(found) or (_is_unnamed(row) and len(formula.lines) == 1):
        return False
    total = sum((one.value for one in read), ZERO)
    if rests:
        return own.value > total
    unit = "percent" if role == "percent" else "g"
    return comes_to(own, read) or comes_to(own, [*read, *taken_off(formula, unit)])


def taken_off(formula: FormulaRows, unit: str) -> list[Read]:
    """What its rows say to be lost in a unit, as less than nothing: a total may have taken that off."""
    lost = [one for one in formula.lost if not one.is_left and one.unit == unit]
    return [Read(-one.value, one.unit, slack=one.slack) for one in lost]


def comes_to(own: Read, lines: Sequence[Read]) -> bool:
    """Whether a total is the sum of amounts, within their rounding."""
    total = sum((one.value for one in lines), ZERO)
    rounding = own.slack + sum((one.slack for one in lines), ZERO)
    return abs(own.value - total) <= min(rounding, total * ROUNDED_AWAY / HUNDRED)


def sums_by_name(row: OwnRow) -> bool:
    """Whether a row is a total by what it is called, or has no name beside its figure."""
    return is_total(row) or _is_unnamed(row) or _is_named(row)


def _is_of_a_part(row: OwnRow, titles: Collection[int]) -> bool:
    """Whether amounts and one more total follow, before anything else begins."""
    amounts = False
    for number in range(row.number + 1, len(row.table.rows) + 1):
        one = OwnRow(row.sheet, number, row.table, row.layout, row.told)
        name = one.text("ingredient")
        if not filled(one) or BATCH.fullmatch(name) or is_cost(words_of(name)):
            continue
        if number in titles or heads_here(one) or STAGE.fullmatch(name) or not says_amount(one):
            return False
        if sums_by_name(one):
            return amounts
        amounts = amounts or not tells_figures(name)
    return False


def amount_in(row: OwnRow, role: str) -> Read | None:
    """The amount of a cell, in grams where it says a mass; None where it is none."""
    try:
        return measured(row.text(role), row.told_of(role), "g")
    except (cells.Doubt, Unreadable):
        return None
