"""Freight in a maker's own price sheet: heads that name it, and whose prices have it in them."""

from __future__ import annotations

import re
from functools import lru_cache

from webapp.costing.own.price_heads import FREIGHT, currency_said, plain_words, without_besides

#: what a person may say of a sheet's freight: it comes on top of its prices, or is in them already, or doesn't count
ON_TOP, INSIDE, NOT_TAKEN = "top", "in", "none"
FREE = frozenset(
    "free, included, incl, inc, frei, frei haus, franko, free delivery, gratis, kostenlos, kostenfrei, "
    "inkl, inklusive, portofrei, versandkostenfrei, "
    "offert, offerts, gratuit, gratuite, compris, inclus, franco, incluido, incluso, inbegrepen".split(", ")
)
_COSTS = r"(?:costs?|fees?|charges?|paid|kosten|gebuhr(?:en)?|anteil)"
_ORDER = r"(?:the )?(?:order|invoice|bestellung|lieferung|rechnung|commande|pedido|ordine|bestelling)"
_FREIGHT = re.compile(
    rf"(?:(?:order|total|gesamt) )?{FREIGHT} ?{_COSTS}?(?: (?:per|by|for|of|je|pro|par|por) {_ORDER})?|"
    rf"(?:costs?|price) of {FREIGHT}|(?:shipping|shpg|ship|postage|post) (?:and|&) "
    r"(?:handling|packing|packaging)|[ps] ?(?:&|and) ?[hp]|ship|shpg|post|posted|postal(?: charges?)?|handling"
)
#: beside a word for freight: that a head is about money all the same
_MONEY = re.compile(
    r"\b(?:total|sum|prices?|costs?|paid|incl|inc|including|inkl|inklusive|with|mit|plus|excl|ex|without|ohne|zzgl|"
    r"anteilig\w*|avec|sans|con|sin|senza|compris|each|item|unit|kg|lb|line|gesamt|summe|prix|cout|precio|prezzo|share|anteil|per|je|pro|par|por|"
    r"allocat\w*|apportioned)\b"
    r"|kosten|preis"
)
#: what says that a head of money is no freight alone: a price with it, or all of it
_WITH = re.compile(
    r"\b(?:total|sum|gesamt|summe|incl|inc|including|inkl|inklusive|with|mit|plus|excl|ex|without|ohne|zzgl|avec|sans|con|"
    r"sin|senza|compris|prices?|prix|precio|prezzo)\b|preis|\+|\b(?:costs?|items?|goods) (?:&|and)"
)
#: what says that it is for each pack that was bought
_EACH = re.compile(
    r"\b(?:each|ea|apiece)\b|(?:/|\b(?:per|a|je|pro|par|por)\b) ?(?:packs?|packung|item|unit|bottle|bag|jar|tub|tin|"
    r"case|box|flasche|beutel|dose|artikel|paquet|article|unite|bouteille|paquete|articulo|unidad|confezione|pezzo)\b"
)
_ANY = re.compile(rf"\b{FREIGHT}")
#: what has such a word and is none of its money
_OTHER = re.compile(r"date|datum|fecha|\b(?:day|tag|art)|time|zeit|week|weight|gewicht|note|address|method")


def is_freight(head: str) -> bool:
    """Whether a head is freight and nothing else: "Shipping (€)", "Versandkosten netto", "Port par commande"."""
    return bool(_FREIGHT.fullmatch(_words(head)))


@lru_cache(maxsize=4_096)
def speaks_of_freight(head: str) -> bool:
    """Whether a head is of money and of freight among other things: "Total incl. shipping", "Shipping per item"."""
    words = plain_words(head)
    about = bool(_MONEY.search(words) or currency_said(head))
    return bool(_ANY.search(words)) and about and not _OTHER.search(words) and not is_freight(head)


@lru_cache(maxsize=4_096)
def is_of_rows(head: str) -> bool:
    """Whether a head that speaks of freight is of each row's own: "Shipping share", and not "Total incl. shipping"."""
    return speaks_of_freight(head) and not _WITH.search(without_besides(head))


def is_of_each(head: str) -> bool:
    """Whether such a head says that it is for each pack: "Delivery each", "Shipping per item"."""
    return bool(_EACH.search(plain_words(head)))


def _words(head: str) -> str:
    return " ".join(re.sub(r"[^a-z&]+", " ", without_besides(head)).split())
