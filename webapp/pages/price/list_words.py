"""What stands round the prices of a list: whose it is, from when it holds, where tax is, and the terms."""

from __future__ import annotations

from webapp.costing.book import Book
from webapp.costing.price_lists import PriceList
from webapp.exchange.price_list_sheet import Words
from webapp.pages import files
from webapp.pages.formats import Formats


def of(formats: Formats, book: Book, found: PriceList) -> Words:
    """The words of a list."""
    channel = book.channels[found.channel]
    contact = book.workshop.contact.split("\n") if book.workshop.contact else []
    above = (book.workshop.name, *contact, f"Prices from {formats.day(found.day)}.", tax(formats, found))
    below = [recommended(formats, found)] if found.wholesale else []
    if any(not one.accepted for one in found.rows):
        below.append("Prices marked suggested are not decided yet.")
    if channel.least_order:
        below.append(f"Least order: {formats.money(channel.least_order)}{', without tax' if found.rate else ''}.")
    below += channel.list_terms.split("\n") if channel.list_terms else []
    title = f"Price list: {channel.name}"
    return Words(title, above, tuple(line for line in below if line), files.sign(formats), files.paper(formats))


def tax(formats: Formats, found: PriceList) -> str:
    """Where sales tax stands in the prices of the list."""
    rate = formats.typed_percent(found.rate.scaleb(2))
    if found.tax == "in":
        return f"Prices with {rate} sales tax in them."
    if found.tax == "added":
        where = "on the invoice" if found.wholesale else "at the till"
        return f"Prices without sales tax; {rate} is added {where}."
    return "Prices without sales tax; none is charged."


def recommended(formats: Formats, found: PriceList) -> str:
    """What a recommended retail price is, and the tax in it. That it binds nobody is common practice, no source."""
    if found.stockist_tax:
        return (
            f"Recommended retail prices have {formats.typed_percent(found.stockist_tax.scaleb(2))} tax in them; "
            "each shop sets its own."
        )
    return "Recommended retail prices are without tax; each shop sets its own."
