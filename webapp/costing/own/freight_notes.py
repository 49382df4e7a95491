"""Notes of freight beside a price: which of them say an amount of it, or that it comes on top; not that it is free."""

from __future__ import annotations

import re
import unicodedata

from webapp.costing.own.month_names import named_day
from webapp.costing.own.price_heads import FREIGHT, TAX_WORD

#: what is no freight, but something of it: a slip, a day, what goods are sent in
_OTHER = (
    "notes?|slips?|dates?|days?|times?|weeks?|box(?:es)?|bags?|labels?|stamps?|stickers?|tubes?|bottles?|caps?|tins?|"
    "jars?|lids?|pumps?|weight|address|number|notice|wine|schein|termin|karton"
)
_FREIGHT = (
    rf"(?<![^\W\d_])(?<!heavy )(?:{FREIGHT}|(?:shipping|shpg|ship|postage|post) ?(?:and|&|\+) ?(?:handling|packing|"
    r"packaging)|[ps] ?(?:&|and|\+) ?[hp]|ship|shpg|post|postal|handling)"
    rf" ?(?:costs?|fees?|charges?|kosten|gebuhr(?:en)?|anteil)?(?![^\W\d_])(?! (?:{_OTHER})\b)"
)
_CURRENCY = (
    r"(?:[$\u00a2-\u00a5\u20a0-\u20bf]|(?:eur|euros?|gbp|usd|cad|aud|nzd|chf|sgd|zar|kes|ksh|tsh|ush|ngn|inr|rs|r|"
    r"dkk|nok|sek|kr|pln|zl)(?![^\W\d_])\.?)"
)
_AMOUNT = r"(?:[0-9]{1,3}(?:[.,][0-9]{3})+(?:[.,][0-9]{1,2})?|[0-9]+(?:[.,][0-9]{1,2})?)"
#: what stands behind a number that is no money: a time, a share, a weight, a day, or more of the number
_NO_MONEY = (
    r"[.,]?[0-9]| ?[%/:\u00d7*#-]| ?(?:x|st|nd|rd|th|h|hrs?|hours?|days?|weeks?|wks?|months?|years?|am|pm|uhr|min|"
    r"tagen?|tage?|wochen?|stunden?|jours?|semaines?|dias?|semanas?|giorni|dagen|weken|kg|g|gr|lbs?|oz|ml|l|km|miles?)\b"
)
_SUM = (
    rf"(?<![\w.,/#-])(?P<before>{_CURRENCY} ?)?(?P<sum>{_AMOUNT})(?!{_NO_MONEY})"
    rf"(?P<behind> ?(?:{_CURRENCY}|p\b))?"
)
_BETWEEN = r"(?:[ :=+(~-]|\b(?:of|is|was|cost|an?|about|approx|ca|another|extra|paid|total|de|von|on|top|plus)\b)*"
#: what stands behind a bare whole number that is money: 5 postage for all, not 2 shipping labels or delivery 2 of 3
_ENDS = re.compile(
    r" ?(?:$|[.,;:!?()+&]|(?:on top|extra|for|each|per|plus|in total|total|split|shared|to add|added|paid|if)\b)"
)
_SAID = (
    re.compile(rf"{_FREIGHT}{_BETWEEN}{_SUM}(?=(?P<rest>.*))"),
    re.compile(rf"{_SUM}{_BETWEEN}{_FREIGHT}(?=(?P<rest>.*))"),
)
_NOT = r"(?:not|n['\u2019]?t|nicht|non|no|pas|niet)"
_IN = r"(?:incl\w*|inc|inkl\w*|inbegriffen|enthalten|compris\w*|inbegrepen)\b\.?"
_ON_TOP = (
    re.compile(
        r"(?:\+|\b(?:plus|excl\w*|exkl\w*|exc?|extra|zzgl|zuzuglich|without|ohne|hors|sans|sin|senza|add)"
        rf"|{_NOT} {_IN})\.? ?(?:(?:for|of|the|de) )*{_FREIGHT}"
    ),
    re.compile(
        rf"{_FREIGHT}(?: (?:is|was|are|to be|comes?|will be|ist|kommt|en|charged))*[ :(,-]+"
        rf"(?:extra|on top|added|additional|separate(?:ly)?|to add|to pay|dazu|sus|plus|aparte?|excl\w*|{_NOT} {_IN})\b"
    ),
)
_ITS_SUM = rf"(?:[( ]*(?:{_CURRENCY} ?)?{_AMOUNT}(?: ?{_CURRENCY})?[) ]*)?"
_FREE = r"(?:free|gratis|kostenlos\w*|frei|gratuit\w*)"
#: that it is in the price, or that there is none
_NONE = re.compile(
    rf"(?<!n't )(?<!not )(?<!nicht )(?<!non )(?:\b(?:{_FREE}|no|kein\w*)|\b{_IN})"
    rf" ?(?:(?:of|the|de) )*{_ITS_SUM}{_FREIGHT}(?: (?:over|from|above|ab)\b[^.;]*)?"
    rf"|{_FREIGHT} ?(?:(?:is|was|are|ist) )?(?:{_FREE}|paid(?! ?[^.;]{{0,4}}[0-9]))\b[^.;]*"
    rf"|{_FREIGHT} ?{_ITS_SUM}(?:(?:is|was|are|ist|already) )*"
    rf"(?:{_IN}(?! ?{TAX_WORD})|in (?:the |its )?(?:price|cost)\b)"
)
#: what may stand around the freight of an order in a note that says nothing else
_AROUND = re.compile(
    r"(?:[ +:;,.!()&~-]|\b(?:plus|zzgl|zuzuglich|and|extra|on top|for|of|the|this|whole|entire|all|order|invoice|in|"
    r"total|added|paid|split|shared|fur|die|bestellung|pour|la|commande)\b)*"
)


def says_freight(note: str) -> bool:
    """Whether a note speaks of freight with an amount of it, or says that it comes on top of a price.

    A day, how long it takes, free delivery and postage that is in the price are none.
    """
    words = _NONE.sub(" ; ", _plainly(note))
    return any(one.search(words) for one in _ON_TOP) or any(
        _is_money(found) for one in _SAID for found in one.finditer(words)
    )


def freight_in(note: str) -> str:
    """The amount of a note that says nothing but the freight of an order: "4.50", "$12"; "" for any other note."""
    words = _plainly(note)
    for one in _SAID:
        found = one.search(words)
        if found and _is_money(found) and all(map(_AROUND.fullmatch, (words[: found.start()], words[found.end() :]))):
            return f"{found['before'] or ''}{found['sum']}{found['behind'] or ''}".upper()
    return ""


def _plainly(note: str) -> str:
    """A note in small letters, without accents."""
    bare = unicodedata.normalize("NFKD", note.casefold().replace("\u00df", "ss"))
    return " ".join("".join(one for one in bare if not unicodedata.combining(one)).split())


def _is_money(found: re.Match[str]) -> bool:
    """Whether a number beside a word for freight is an amount of money: not 0, no day, and no count of things."""
    if not found["sum"].strip("0.,") or named_day(f"{found['sum']} {found['rest'].strip().partition(' ')[0]}"):
        return False
    return bool(found["before"] or found["behind"] or not found["sum"].isdecimal() or _ENDS.match(found["rest"]))
