"""Notes beside a price: which of them may change it, and what those say that can be read in one way only."""

from __future__ import annotations

import re

from webapp.costing.own.freight_notes import freight_in, says_freight
from webapp.costing.own.pack_words import CONTAINERS, COUNTED
from webapp.costing.own.price_heads import TAX_WORD
from webapp.costing.own.rows import Noted
from webapp.costing.own.taxes import phrase_in, without_phrase
from webapp.costing.own.units import unit_first
from webapp.costing.written_units import UNIT_OF

_UNITS = "|".join(sorted((re.escape(one) for one in UNIT_OF), key=len, reverse=True))
_ONES = "|".join((*CONTAINERS.split(), *COUNTED.split(), "items?", "pieces?", "units?", "dozen", "hundred", "thousand"))
_FOR_ONE = r"(?:\b(?:per|je|pro|par|por)\s?|(?:(?<=[0-9])|^)\s?/\s?)"
_NOT_ANY_MORE = (
    r"above|over|more|on|in|if|with|near|for|during|around|before|after|undiluted|neat|at|past|than|when|while|under|"
    r"as|by|until"
)
#: what may change a price, in small letters
_SPEAKS = tuple(
    re.compile(way)
    for way in (
        rf"\b{TAX_WORD}\b",
        rf"{_FOR_ONE}(?:[0-9.,]+ ?)?(?:{_UNITS}|{_ONES})\b|\b(?:per|je|pro|par|por) [0-9]",
        r"\beach\b(?=\s*(?:$|[.,;!)]))|\bea\b\.?$|\bapiece\b",
        r"(?<!in )\bcases?\b(?=\s*(?:$|[.,;!)]))|\b(?:case|carton|pack|box|tray) (?:of [0-9]|price|only|rate)",
        r"\b(?:by|for|whole|full) (?:the |a )?(?:case|carton|box|tray|dozen)\b",
        r"^old\b[.! ]*$|\bold (?:price|list|cost|pack|size|stock)|\b(?:price|list|cost)s? (?:is |are |was )?old\b",
        r"\bout ?dated\b|\bout of date\b|\blast year|\bneeds? updating|\bveraltet|\balter preis|\bancien prix",
        rf"\b(?:don['\u2019]?t|do not|never) (?:use|buy|order|count)\b(?!\s+(?:{_NOT_ANY_MORE})\b)",
        r"\b(?:no longer|nicht mehr)\b|\bdiscontinued|\bobsolete|\bdelisted|\bausgelaufen|\bunavailable",
        r"\bnot available|\bsuperseded|\breplaced (?:by|with)|\bignore\b|\bcancelled|\brefunded|\breturned",
        r"[0-9] ?% ?off\b|\bdiscount|\brabatt|\bremise|\bsale\b|\bon offer\b|\b(?:special|intro\w*|price) offer",
        r"\bpromo|\bhalf price|\breduced|\b[0-9]+ for (?:[0-9$\u00a3\u20ac]|the price)|\bbogof\b|\bvoucher|\bcoupon",
        r"\boffer price|\bclearance",
        r"[$\u00a3\u20ac] ?[0-9]|[0-9] ?[\u20ac\u00a3$]|[0-9] ?(?:eur|gbp|usd|p|ct)\b",
        r"\b(?:price|cost|preis|prix|was|now|paid)\b[^0-9.;]{0,12}[0-9]|\b(?:price|cost)s? (?:is |are )?(?:for|of)\b",
    )
)
#: what may change a price that is not that of a day
_SINCE_THEN = re.compile(
    r"\bprices? (?:may|might|has|have|will|went|going|is|gone|up|down|rises?|increased?|changed?|to check)\b"
    r"|\b(?:gone|going|went) (?:up|down)\b"
)
#: what says nothing of this price: a dose, a day, what an order has to come to
_BESIDES = re.compile(
    r"[0-9] ?(?:drops?|ml|mg|g|kg|tsp|tbsp|%|oz|pumps?|bars?|uses?) (?:per|je|pro|par|por) [0-9]* ?\w+"
    r"|\b[0-9]{1,4}[./-][0-9]{1,2}[./-][0-9]{2,4}\b|\b(?:19|20)[0-9]{2}\b"
    r"|\b(?:free (?:delivery|postage|shipping|p ?& ?p)|min(?:imum)?\.? order)[^.;]*"
)
_PRICE_IS = re.compile(r"(?:(?:the |this )?(?:price|cost)s? ?(?:is |are |given |shown |=|: ?)?)?", re.IGNORECASE)
_PER = re.compile(r"(?:per|/|je|pro|par|por|for)\s?([0-9.,]*)\s?([^\W\d_][^0-9]*)", re.IGNORECASE)
_EACH = re.compile(
    rf"(?:each|ea|apiece|(?:(?:per|for|je|pro|par|por)\s|/)\s?(?:one |each |a )?(?:{_ONES}))", re.IGNORECASE
)
_WHOLE = re.compile(
    r"(?:(?:per|for|by|a|the|one|full|whole)\s){0,3}(?:case|carton|ctn|box|tray|pack)(?: price| only)?", re.IGNORECASE
)
_MANY_IN_ONE = frozenset("case cases carton cartons ctn box boxes tray trays dozen hundred thousand".split())


def may_change_a_price(text: str, *, dated: bool = False) -> bool:
    """Whether a note speaks of tax, of what a price is for, of another price, or that it holds no more.

    `dated`: the price is that of a day, so that it may have gone up since.
    """
    words = _BESIDES.sub(" ", " ".join(text.casefold().split()))
    if not dated and _SINCE_THEN.search(words):
        return True
    return bool(phrase_in(words).how) or any(one.search(words) for one in _SPEAKS) or says_freight(words)


def said_plainly(text: str) -> Noted | None:
    """What a note says that is nothing but one thing: "+ VAT", "per 100 g", "price is per bottle"; None for others.

    For one of how many a price "each" is depends on what stands beside it: `each` is all that is known here.
    """
    if freight := freight_in(text):
        return Noted(freight=freight)
    words = text.strip(" .!*()")
    words = words[_PRICE_IS.match(words).end() :].strip()  # type: ignore[union-attr]
    said = phrase_in(words)
    if said.how:
        return None if without_phrase(words).strip(" .!") else Noted(said)
    if found := _PER.fullmatch(words):
        unit = unit_first(found[2])
        if unit and unit == found[2].strip(" .") and unit.casefold() not in _ONES.split("|"):
            return Noted(per=f"{found[1]} {unit}".strip())
    if _WHOLE.fullmatch(words):
        return Noted(whole=True)
    if _EACH.fullmatch(words) and words.casefold().split()[-1].lstrip("/") not in _MANY_IN_ONE:
        return Noted(each=True)
    return None
