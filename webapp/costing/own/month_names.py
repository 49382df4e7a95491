"""Days with the name of their month, in six languages, and the year of those that say none: "3 Mar", "11. März 26"."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from webapp.costing.own.columns import Layout, OwnTable

#: the months in English, German, French, Spanish, Italian and Dutch; each may be cut after three letters
_MONTHS = (
    "january januar janvier enero gennaio januari",
    "february februar fevrier febrero febbraio februari fbr",
    "march marz maerz mars marzo maart mrt",
    "april avril abril aprile",
    "may mai mayo maggio mei",
    "june juni juin junio giugno",
    "july juli juillet julio luglio",
    "august aout agosto augustus",
    "september septembre septiembre settembre",
    "october oktober octobre octubre ottobre",
    "november novembre noviembre",
    "december dezember decembre diciembre dicembre",
)
_LEAST = 3
_WORD = r"([^\W\d_]{3,10})"
_DAY = r"([0-9]{1,2})(?:st|nd|rd|th|er|\.|\u00ba|\u00b0)?"
_YEAR = r"(?:[\s.,/-]+(?:de(?:l)?\s+|of\s+)?([0-9]{4}|['\u2019]?[0-9]{2}))?"
_WEEKDAY = r"(?:[^\W\d_]{2,10}[.,]*\s+)?"
#: "3 Mar", "11th March 2026", "3. März", "1 de abril de 2026"; "Mar 3", "March 3, 2026"
_DAY_FIRST = re.compile(
    rf"{_WEEKDAY}(?:the\s+|den\s+|le\s+|el\s+|il\s+)?{_DAY}[\s./-]*(?:de\s+|of\s+)?{_WORD}\.?{_YEAR}", re.IGNORECASE
)
_MONTH_FIRST = re.compile(rf"{_WEEKDAY}{_WORD}\.?[\s.-]*{_DAY}{_YEAR}", re.IGNORECASE)
_IN_TEXT = re.compile(r"(?<![0-9])(20[0-9]{2})(?![0-9])")
#: how many days and months a year may turn between
_TURNS = 1


class NamedDay(NamedTuple):
    """A day as it is written: its year ("" where none is said), the number of its month, the day of the month."""

    year: str
    month: int
    day: int


def named_day(text: str) -> NamedDay | None:
    """A day whose month is written by its name; None for anything else."""
    for pattern, (day, month) in ((_DAY_FIRST, (1, 2)), (_MONTH_FIRST, (2, 1))):
        found = pattern.fullmatch(text.strip())
        if found and (number := _month(found[month])):
            year = (found[3] or "").strip("'\u2019")
            return NamedDay(f"20{year}" if len(year) == 2 else year, number, int(found[day]))
    return None


def _month(word: str) -> int:
    """The number of the month that a word is, or the one that it begins; 0 for none."""
    bare = unicodedata.normalize("NFKD", word.casefold())
    bare = "".join(one for one in bare if not unicodedata.combining(one))
    bare = "sep" if bare == "sept" else bare
    found = {
        number
        for number, names in enumerate(_MONTHS, 1)
        for name in names.split()
        if name == bare or (len(bare) >= _LEAST and name.startswith(bare))
    }
    return found.pop() if len(found) == 1 else 0


def year_of(table: OwnTable, layout: Layout, today: date) -> str:
    """The year of the days of a sheet that say none: that of its title, else that of its other days.

    Else the last one in which none of them is to come; "" where they turn from one year to the next, or say all.
    """
    place = layout.place("day")
    if place is None:
        return ""
    texts = [table.cell(row, place) for row in range(layout.heads + 1, len(table.rows) + 1)]
    read = [one for text in texts if (one := named_day(text))]
    without = [(one.month, one.day) for one in read if not one.year]
    if not without:
        return ""
    above = " ".join((table.title, *(cell for row in table.rows[: layout.heads] for cell in row)))
    for said in (_IN_TEXT.findall(above), [one.year for one in read if one.year] + _years(texts)):
        if said:
            return said[0] if len({*said}) == 1 else ""
    return "" if _turns(without) else str(today.year - (max(without) > (today.month, today.day)))


def _years(texts: Iterable[str]) -> list[str]:
    """The years of days that are written in figures."""
    found = (re.fullmatch(r"(?:.*[^0-9])?(20[0-9]{2})(?:[^0-9].*)?", text) for text in texts if not named_day(text))
    return [one[1] for one in found if one]


def _turns(days: list[tuple[int, int]]) -> bool:
    """Whether days go on in one direction and spring back: a new year begins between them."""
    ups, downs = (sum(sign * (later[0] - one[0]) > 0 for one, later in pairwise(days)) for sign in (1, -1))
    return bool(ups) and bool(downs) and min(ups, downs) <= _TURNS
