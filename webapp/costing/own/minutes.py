"""Minutes in a maker's own list of products: those of one jar, or of a batch and the jars that it makes."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from functools import partial

from webapp.costing import limits as lim
from webapp.costing.amounts import ONE, Unreadable, plain
from webapp.costing.own import cells
from webapp.costing.own.cells import Doubt
from webapp.costing.own.columns import BLANK, Layout, OwnTable, words_of
from webapp.costing.own.made import is_jars, jars_in, says_count
from webapp.costing.own.minute_heads import BATCH, JAR, A, is_of_jar, of_many
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.told import Told

#: the columns that may hold minutes: for one jar, for a batch, and where the head says neither beside how many it makes
ROLES = OF_JAR, OF_BATCH, OF_EITHER = "minutes", "batch_minutes", "some_minutes"
_MINUTES = {
    **dict.fromkeys(("m", "min", "mins", "minute", "minutes", "minuten", "minutos", "minuti", "minuut"), ONE),
    **dict.fromkeys(
        ("h", "hr", "hrs", "hour", "hours", "std", "stunden", "heures", "horas", "ore", "uur"), Decimal(60)
    ),
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "sek", "sekunden"), ONE / Decimal(60)),
}
_BATCHES = re.compile(rf"{BATCH}(?: size)?|ansatzgrosse|taille du lot")
#: a time, and for what it is: "2 each", "90 a batch", "1.5 h per batch of 18 jars", "90 min for 18"
_FOR = re.compile(
    rf"(?P<time>[0-9.,]+(?:\s*(?:{'|'.join(_MINUTES)})\b\.?)?)\s*"
    rf"(?:(?P<each>each|ea\b|{A}\s*{JAR}\b)|(?P<batch>{A}\s*{BATCH}\b)|(?=(?:for|of|per|/)\s*[0-9]))\.?"
    r"\s*(?:(?:for|of|makes|per|/)\s*(?P<jars>[0-9].*))?",
    re.IGNORECASE,
)


def with_makes(table: OwnTable, layout: Layout) -> Layout:
    """The layout of a list of products with a column of batches that says how many jars each makes: "18 jars".

    Minutes beside it are for a jar or a batch then, where their head says neither.
    """
    roles = [*layout.roles]
    rows = range(layout.heads + 1, len(table.rows) + 1)
    for place in [place for place, role in enumerate(roles) if not role and layout.heads and "makes" not in roles]:
        cells = [text for row in rows if (text := table.cell(row, place)) not in BLANK]
        if _BATCHES.fullmatch(words_of(table.cell(layout.heads, place))) and cells and all(map(_is_made, cells)):
            roles[place] = "makes"
            silent = OF_JAR in roles and not is_of_jar(table.cell(layout.heads, roles.index(OF_JAR)))
            roles = [OF_EITHER if role == OF_JAR and silent else role for role in roles]
    return layout if roles == [*layout.roles] else replace(layout, roles=tuple(roles))


def _is_made(cell: str) -> bool:
    return is_jars(cell) and says_count(cell, "")


def minutes_in(row: OwnRow) -> Decimal | None:
    """The minutes for one jar; None where nothing is said, or what is said is wrong at its cell."""
    found: dict[str, Decimal] = {}
    for role in ROLES:
        said = row.read(role, partial(_said, row, role))
        if said is not None:
            found[role] = said
    if len({*found.values()}) > 1:
        one, other = list(found.values())[:2]
        words = f"{plain(one)} minutes a jar, and {plain(other)} a jar beside it: which counts?"
        row.fault(list(found)[1], f"{words} Leave one of both columns out, or empty one of the cells.")
        return None
    return next(iter(found.values()), None)


def _said(row: OwnRow, role: str, text: str, told: Told) -> Decimal | None:
    """What a cell comes to for one jar, as it says itself, else as its column is."""
    found = _FOR.fullmatch(text)
    minutes = _minutes(found["time"].strip() if found else text, told, row.head(role))
    of_batch = role == OF_BATCH if found is None else not found["each"]
    if of_batch:
        time, jars = (found["time"].strip(), found["jars"] or "") if found else (text, "")
        return _shared(row, minutes, time, jars or _said_by_head(row.head(role)))
    if found is None and role == OF_EITHER:
        choice = f"sheets-{row.sheet}-columns-{row.layout.place(role)}"
        words = f"{text[:24]}: minutes of one jar, or of a whole batch? Choose it for their column."
        raise Doubt(choice, words)
    return cells.fitting(minutes, lim.MINUTES, text)


def _said_by_head(head: str) -> str:
    """How many jars a head says that a batch makes; what it says of its weight is none."""
    said = of_many(head)
    return said if is_jars(said) else ""


def _shared(row: OwnRow, minutes: Decimal, text: str, said: str) -> Decimal | None:
    """Minutes of a batch for each of the jars that it makes, as their cell or a column says; asked where none does."""
    jars = jars_in(said) if said else row.read("makes", lambda cell, _: jars_in(cell))
    if jars is None and row.text("makes") not in BLANK:
        return None  # that is wrong
    if jars is None:
        words = f"{text[:24]} for a batch of how many jars? Type it behind, such as {text[:24]} for 18, or type the"
        raise Unreadable("number-missing", f"{words} minutes of one jar, such as 5 each.")
    each = cells.fitting(minutes / jars, lim.MINUTES, text)
    row.remarks.append(f"{plain(minutes)} minutes for a batch of {plain(jars)} jars are {plain(each)} a jar.")
    return each


def _minutes(text: str, told: Told, head: str) -> Decimal:
    found = re.fullmatch(r"([0-9.,]+)\s*([^\W\d_]*)\.?", text)
    if found is None:
        raise Unreadable("number-format", f"{text[:40]} is no time. Type minutes, such as 3.")
    said = [found[2]] if found[2] else re.findall(r"[^\W\d_]+", head)
    factor = next((_MINUTES[one] for word in said if (one := word.casefold()) in _MINUTES), None)
    if factor is None:
        raise Unreadable("unit", f"{text[:24]}: minutes or hours? Write it behind the number, such as 3 min.")
    return cells.number(found[1], told) * factor
