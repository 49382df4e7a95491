"""A day in a cell of a maker's own sheet, as people write it or as a spreadsheet counts it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.own.cells import Doubt
from webapp.costing.own.month_names import named_day
from webapp.costing.own.told import Told


def day(text: str, told: Told) -> date:
    """A day as people write it; Doubt where day and month could change places and nobody said which stands first."""
    text = text.strip()
    if iso := re.match(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[ T].*)?$", text):
        return _day(text, iso[1], iso[2], iso[3])
    if named := named_day(text):
        if not named.year and not told.year:
            words = f"{text[:40]} is of no year. Write it in the title of this sheet, or behind its days."
            raise Unreadable("date-format", words)
        return _day(text, named.year or told.year, str(named.month), str(named.day))
    found = re.fullmatch(r"([0-9]{1,2})([./-])([0-9]{1,2})\2([0-9]{4}|[0-9]{2})", text)
    if not found:
        raise Unreadable("date-format", f"{text[:40]} is no day. Write it as year-month-day: 2026-03-31.")
    first, second, year = found[1], found[3], found[4] if len(found[4]) == 4 else f"20{found[4]}"
    if first != second and int(first) <= 12 and int(second) <= 12 and found[2] != "." and not told.days:
        words = f"{text} can be the {int(first)}. or the {int(second)}. day of a month. Choose which stands first."
        raise Doubt("days", words)
    month_first = int(second) > 12 or (told.days == "month first" and found[2] != "." and int(first) <= 12)
    return _day(text, year, first if month_first else second, second if month_first else first)


def counted_day(text: str) -> date | None:
    """The day that a spreadsheet means by its number of days, as it is kept in a cell without a format for days.

    Day 1 is 1900-01-01, and 1900 is counted as a leap year (ISO/IEC 29500-1, 18.17.4.1); only 2000 to 2100 is read so.
    """
    found = date(1899, 12, 30) + timedelta(int(text)) if re.fullmatch("[0-9]{5}", text, re.ASCII) else None
    return found if found and 2000 <= found.year <= 2100 else None


def stands_first(text: str) -> str:
    """What a day such as 3/15/2026 tells of how days are written; "" where it tells nothing."""
    found = re.fullmatch(r"([0-9]{1,2})[/-]([0-9]{1,2})[/-](?:[0-9]{4}|[0-9]{2})", text)
    if not found or (int(found[1]) > 12) == (int(found[2]) > 12):
        return ""
    return "day first" if int(found[1]) > 12 else "month first"


def _day(text: str, year: str, month: str, of_month: str) -> date:
    try:
        found = date(int(year), int(month), int(of_month))
    except ValueError:
        raise Unreadable("date-format", f"There is no such day as {text[:40]}. Write it as year-month-day.") from None
    return lim.DAY.read(found.isoformat(), JSON_NOTATION)
