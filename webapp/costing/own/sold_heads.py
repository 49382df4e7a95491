"""Heads of selling prices in a maker's own list: to whoever uses what is sold, to shops, at one kind of place."""

from __future__ import annotations

#: what says that a price is one that things are sold for: to whoever uses them, to shops, at one kind of place
RETAIL = frozenset(
    "retail price, retail, shop price, shelf price, rrp, verkaufspreis, vk, ladenpreis, endkundenpreis, "
    "prix de vente, prix public, precio de venta, pvp, prezzo di vendita, verkoopprijs, winkelprijs, "
    "vk preis, verkauf".split(", ")
)
WHOLESALE = frozenset(
    "wholesale price, wholesale, trade price, trade, price to shops, price for shops, stockist price, stockists, "
    "grosshandel, grosshandelspreis, handlerpreis, haendlerpreis, wiederverkaufspreis, prix de gros, prix gros, "
    "precio al por mayor, precio mayorista, prezzo all ingrosso, groothandelsprijs".split(", ")
)
PLACES = {
    "stall": "stall price, stall, market price, market, market stall, marktpreis, markt, vk markt",
    "web shop": "web shop price, web shop, web price, website price, website, online price, online, online shop, "
    "onlineshop, webshop, vk online, vk webshop",
    "marketplace": "marketplace price, marketplace",
    "consignment": "consignment price, consignment, kommission",
}
#: places that no kind of channel is alone: a fair is no weekly market
OTHER_PLACES = frozenset("fair price, fair".split(", "))
SOLD_AT = (
    RETAIL
    | WHOLESALE
    | OTHER_PLACES
    | frozenset(word for words in PLACES.values() for word in words.split(", "))
    | frozenset("selling price, sale price, sales price, my price".split(", "))
)
#: what a price is called
PRICE_WORDS = ("price", "prices", "preis", "preise", "prix", "precio", "prezzo", "prijs", "vk")


def without_price_words(head: str) -> str:
    """A head without what a price is called: "Webshop price" -> "Webshop"."""
    return " ".join(word for word in head.split() if word.casefold().strip("()[].,:") not in PRICE_WORDS)
