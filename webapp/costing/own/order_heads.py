"""Rows of a maker's own list of orders that say supplier and day of what stands below them, and are no material."""

from __future__ import annotations

import re
from dataclasses import dataclass

from webapp.costing.own.columns import BLANK, sort_of
from webapp.costing.own.rows import OwnRow, filled, mentioned

_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DAY = re.compile(
    r"(?<![0-9])(?:[0-9]{1,2}([./-])[0-9]{1,2}\1(?:[0-9]{4}|[0-9]{2})|[0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]{1,2}|"
    rf"[0-9]{{1,2}}[. ]+{_MONTH}[. ,]+[0-9]{{4}}|{_MONTH}[. ]+[0-9]{{1,2}}[ ,]+[0-9]{{4}})(?![0-9])",
    re.IGNORECASE,
)
#: what such a row begins with, and the number of an order
_ABOUT = re.compile(
    r"^(?:(?:order(?:ed)?|purchased?|bought|invoice|delivery|bestellung|bestellt|rechnung|lieferung|commande|facture|"
    r"supplier|date|from|at|of|on|bei|von|vom|am|chez|du|le)\b[\s:]*)+|\b(?:from|of|on|at|vom|am|du|le)$",
    re.IGNORECASE,
)
_NUMBER = re.compile(
    r"\b(?:order|invoice|inv|ref|po|bestellung|rechnung|commande|facture)\b\.?\s*(?:no|nr|number|n°)?\.?\s*[:#]?\s*"
    r"[a-z]{0,4}[-/]?[0-9][\w/-]*",
    re.IGNORECASE,
)
#: what says that a day beside words is none of an order
_OTHER = re.compile(
    r"\b(?:updat\w*|prices?|stock\w*|inventory|check\w*|as of|stand|revis\w*|print\w*|page|version|valid|since|until|"
    r"best before|expir\w*|batch|made|list|todo|note|recipe|preise?|preisliste|bestand|inventur|prix|stocks?)\b",
    re.IGNORECASE,
)
_MOST_WORDS = 4
#: what else may stand in a row that only says supplier and day
_OF_ORDER = {"supplier", "day", "freight", "order_tax", "currency"}
_OF_LINES = ("pack", "packs", "unit", "price", "net_price", "unit_price")


@dataclass(frozen=True, slots=True)
class OrderHead:
    """Supplier and day as a row says them, "" for none; `clear` where all of its words are read."""

    supplier: str
    day: str
    clear: bool


def head_of_order(row: OwnRow) -> OrderHead | None:
    """What a row says of an order whose lines follow; None for any other row, and for a note with a day in it."""
    here, names = filled(row), row.text("name") or row.text("inci")
    said = {role for role in mentioned(row) if row.text(role) not in BLANK}
    if not names and said & {"supplier", "day"} and said <= _OF_ORDER:
        day = row.text("day")
        return OrderHead(row.text("supplier"), day, True) if not day or is_day(day) else None
    if len(here) > 2 or (len(here) == 2 and not _are_both(row, here)):
        return None
    return _read(" - ".join(here))


def is_day(text: str) -> bool:
    """Whether a cell is a day and nothing else."""
    return bool(_DAY.fullmatch(text)) or bool(re.fullmatch("[0-9]{5}", text, re.ASCII))


def _are_both(row: OwnRow, here: list[str]) -> bool:
    """Whether of two cells one is a day and the other a name, and they are no material with a day of its own."""
    days = [text for text in here if _DAY.fullmatch(text)]
    words = [text for text in here if text not in days and sort_of(text) == "text"]
    if len(days) != 1 or len(words) != 1:
        return False
    of_lines = [role for role in _OF_LINES if row.text(role) == days[0]]
    return words[0] != row.text("name") or bool(of_lines)


def _read(text: str) -> OrderHead | None:
    """A day with a name before or behind it: "12/02/2026 - Oak Supply", "Order from Oak Supply, 12 Feb 2026"."""
    found = list(_DAY.finditer(text))
    if len(found) != 1:
        return None
    parts = [_name(part) for part in (text[: found[0].start()], text[found[0].end() :])]
    names = [part for part in parts if part]
    words = re.findall(r"[^\W\d_]+", " ".join(names))
    if _OTHER.search(text) or len(words) > _MOST_WORDS:
        return None
    clear = len(names) < 2 and not any(re.search(r"[0-9$\u00a2-\u00a5\u20a0-\u20bf]", name) for name in names)
    return OrderHead(names[0] if names and clear else "", found[0][0], clear)


def _name(part: str) -> str:
    """What is left of words beside a day once what says that they are of an order, and its number, is gone."""
    bare = _NUMBER.sub(" ", part).strip(" -\u2013\u2014,:;|()/.#")
    return _ABOUT.sub("", bare).strip(" -\u2013\u2014,:;|()/#")
