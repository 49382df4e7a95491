"""Rows of a maker's own formulas that are no line of it: what is left of its batch or lost, how it is made or kept."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace

from webapp.costing.amounts import HUNDRED, Unreadable
from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import AMOUNTS, unit_in
from webapp.costing.own.heads import is_amount, unit_alone
from webapp.costing.own.lines import BATCH, Amounts, FormulaRows, figure
from webapp.costing.own.lost import LEFT_PERCENT, LOSS, MAKES, Lost, kind_of
from webapp.costing.own.made import says_count, times
from webapp.costing.own.making_words import NO_INGREDIENT, is_no_ingredient
from webapp.costing.own.rows import OwnRow, filled
from webapp.costing.own.stages import filled_at, says_amount
from webapp.costing.own.titles import titled_in
from webapp.costing.own.told import Told
from webapp.costing.own.totals import amount_in, comes_to, sums_by_name

SAID = "what is left or lost of the batch"
_ROLES = {"percent": "%", "grams": "g", "parts": "parts"}
#: words and their amount in one cell: "Yield after straining: 900 g"
_TOGETHER = re.compile(r"([^\d(\[]*[^\W\d_][^\d]*?)\s*[:=]?\s*([0-9][0-9.,]*\s*[^\s\d]{0,5})")
#: what stands around an amount and says that it is not exact, or what share it is
_ABOUT = re.compile(r"^(?:~|\u2248|(?:ca|c|approx|about|around|circa|roughly)\b\.?)\s*|\s*\([^()]*\)$", re.IGNORECASE)


def not_a_line(
    row: OwnRow, found: Mapping[str, FormulaRows], here: FormulaRows | None, amounts: Amounts, known: Names
) -> str:
    """What a row is that names no ingredient though it says a number; what it says of a loss is taken. "" for none."""
    name, of = row.text("ingredient"), row.text("formula")
    if name and says_amount(row) and is_no_ingredient(name) and not known.meant(name).value:
        return NO_INGREDIENT
    formula = found.get(name_key(of)) if of else here
    said = None if formula is None else _lost_in(row, formula, amounts, known)
    if formula is None or said is None:
        return ""
    formula.lost.append(said)
    return SAID


def not_lines(
    row: OwnRow, here: Mapping[int, str], side: Mapping[int, tuple[FormulaRows, str]], known: Names, *, below: bool
) -> str:
    """The same of a row with amounts in the columns of formulas side by side, each with its unit."""
    name = row.text("ingredient")
    kind = kind_of(name)
    if not here or known.meant(name).value:
        return ""
    if is_no_ingredient(name):
        return NO_INGREDIENT
    said, found = _unit_of(name), list[tuple[FormulaRows, Lost]]()
    for at, text in here.items() if kind else ():
        formula, unit = side[at]
        one = _lost(kind, name, (row, at, text), row.told, said or unit, bare=not said)
        if one is None:
            return ""
        found.append((formula, one._replace(below=below)))
    for formula, one in found:
        formula.lost.append(one)
    return SAID if found else ""


def _lost_in(row: OwnRow, formula: FormulaRows, amounts: Amounts, known: Names) -> Lost | None:
    """What a row says of what is left or lost; None for any other, as for what is known by its name."""
    place = row.layout.place("ingredient") or 0
    named = [(at, text) for at, text in filled_at(row) if at <= place and at != row.layout.place("formula")]
    for at, text in named:
        together = _TOGETHER.fullmatch(text) if len(filled(row)) == 1 else None
        kind = kind_of(together[1] if together else text)
        if not kind and at == place and row.text("ingredient") and _is_taken_off(row, formula):
            kind = LOSS
        if kind and not known.meant(text).value:
            found = _amount(row, kind, (at, text), amounts) if together is None else _in(row, kind, at, together)
            return None if found is None else found._replace(below=bool(formula.total))
    return None


def _in(row: OwnRow, kind: str, at: int, together: re.Match[str]) -> Lost | None:
    """What one cell says with its words."""
    return _lost(kind, together[1], (row, at, together[2]), row.told_at(at), "", bare=True)


def _amount(row: OwnRow, kind: str, named: tuple[int, str], amounts: Amounts) -> Lost | None:
    """What stands beside the words: grams before percent of what is left, percent before grams of a loss."""
    at, says = named
    order = ("grams", "percent", "amount", "parts") if kind != LOSS else AMOUNTS
    role = next((one for one in order if row.text(one) and row.layout.place(one) != at), "")
    if role:
        place = row.layout.place(role) or 0
        said = (row.text("unit") if role == "amount" else "") or _unit_of(says)
        beside, text = said or _ROLES.get(role) or unit_in(row.head(role)) or amounts.unit, row.text(role)
    else:
        beyond = [one for one in filled_at(row) if one[0] > at]
        place = next((one for one, text in beyond if is_amount(text)), -1)
        if place < 0:
            return None
        said = beside = _unit_of(says) or unit_alone(row.table.cell(row.number, place + 1))
        text = row.table.cell(row.number, place)
    return _lost(kind, says, (row, place, text), row.told_at(place), beside, bare=not said)


def _lost(kind: str, says: str, where: tuple[OwnRow, int, str], told: Told, beside: str, *, bare: bool) -> Lost | None:
    row, place, text = where
    text = _ABOUT.sub("", text)
    try:
        read = figure(text, told, beside)
    except (cells.Doubt, Unreadable):
        return None
    bare = bare and not re.search(r"[^\W\d_]|%|^\s*-", text)
    value = abs(read.value) if kind == LOSS else read.value
    unit = "g" if kind != LOSS and bare and read.unit == "percent" and value > HUNDRED else read.unit
    is_share = unit == "percent" and (not bare or value >= LEFT_PERCENT) and value < HUNDRED
    counted = says_count(text, "" if bare else "g") or bool(times(text))
    if kind == MAKES and not is_share and (unit == "percent" or counted or _is_batch(row)):
        return None  # that is the batch, or what is left of it, or how many jars it makes
    return Lost(kind, says.strip(" :="), text, row.number, place, value, unit, read.slack, bare)


def _unit_of(says: str) -> str:
    """The unit that words say for the amount beside them: "Yield (g)", "Loss %"; none that stands behind a number."""
    return "" if re.search("[0-9]", says) else unit_in(says) or ("%" if "%" in says else "")


def _is_batch(row: OwnRow) -> bool:
    """Whether a row is read as the size of the batch, which may be what is left of it."""
    return bool(BATCH.fullmatch(filled(row)[0])) and titled_in(filled_at(row)).batch is not None


def _is_taken_off(row: OwnRow, formula: FormulaRows) -> bool:
    """Whether less than nothing stands beside a name, and the total below is what is left with that taken off."""
    role = next((one for one in AMOUNTS if row.text(one)), "")
    own = _signed(row, role) if role else None
    if own is None or own.value >= 0:
        return False
    read = [_signed(replace(row, number=line.row), role) for line in formula.lines] + [own]
    for number in range(row.number + 1, len(row.table.rows) + 1):
        one = replace(row, number=number, wrong=[], remarks=[])
        if not says_amount(one):
            return False
        if sums_by_name(one):
            known = [each for each in read if each is not None]
            total = amount_in(one, role)
            return total is not None and len(known) == len(read) and comes_to(total, known)
        read.append(_signed(one, role))
    return False


def _signed(row: OwnRow, role: str) -> Read | None:
    with suppress(cells.Doubt, Unreadable):
        return figure(row.text(role), row.told_of(role), "g")
    return None
