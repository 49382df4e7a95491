"""What each kind of supposition is called on the page."""

from __future__ import annotations

TITLES = {
    "prices": "Prices go up or down by a percent",
    "price": "One price becomes another",
    "cost": "A material gets dearer or cheaper by a percent",
    "cost to": "A material costs so much",
    "wage": "An hour of somebody is worth so much",
    "swap": "One ingredient for another",
    "pack": "One jar, lid or label for another",
    "channel": "Selling somewhere costs so much",
    "registered": "Registered for sales tax or not",
    "formula": "A formula's batch or what is lost of it",
    "product": "A product's overfill or jars set aside",
    "bill": "A monthly bill",
    "sold": "Jars sold a month",
}
