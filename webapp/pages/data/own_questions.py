"""What can be chosen beside a maker's own sheets, in words: what each choice is called, and its options."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.costing.own.answered import (
    ALL_OF_DAY,
    FREE_OF_CHARGE,
    JUST_ABOVE,
    OF_ONE,
    OF_PACK,
    RATE,
    TAKEN_OFF,
    UNKNOWN,
)
from webapp.costing.own.freight import INSIDE, NOT_TAKEN, ON_TOP
from webapp.costing.own.method import NAMES, NOTE
from webapp.costing.own.orders import AS_ABOVE, AS_BLANK
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT
from webapp.costing.own.taxes import TAX_NONE
from webapp.costing.own.title_lines import FIRST, LAST
from webapp.costing.own.totals import IN, OUT
from webapp.costing.units import PURCHASE_UNITS

#: a choice for all sheets: what it is called, and its options
CHOICES: Mapping[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "sign": (
        "Decimals are written with",
        (("", "as the sheet shows"), ("point", "a point: 12.50"), ("comma", "a comma: 12,50")),
    ),
    "days": (
        "In a day like 03/04/2026",
        (("", "choose"), ("day first", "the day stands first"), ("month first", "the month stands first")),
    ),
    "system": (
        "Gallons, pints and fluid ounces are",
        (("", "choose"), ("US", "US measures"), ("imp", "imperial measures")),
    ),
    "below": (
        "What stands below the totals of formulas is",
        (("", "choose"), (OUT, "in none of them"), (IN, "in them too")),
    ),
    "ounces": (
        "Ounces of contents are",
        (("", "choose"), ("weight", "a weight"), ("US", "US fluid ounces"), ("imp", "imperial fluid ounces")),
    ),
    "amounts": (
        "Bare amounts of formulas are",
        (("", "choose"), ("percent", "percent"), ("grams", "grams"), ("parts", "parts")),
    ),
}
#: a choice for one sheet, in the same way
OF_SHEET: Mapping[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "unit": ("an amount without a unit is in", (("", "choose"), *((one, one) for one in PURCHASE_UNITS))),
    "priced": (
        "prices are",
        (
            ("", "choose"),
            ("one", "for one pack each"),
            ("all", "for all packs of a row together"),
            ("none", "nowhere: it has none"),
        ),
    ),
    "formulas": (
        "columns of amounts that are left out are",
        (("", "choose"), ("yes", "formulas side by side"), ("no", "no formulas")),
    ),
    "counts": (
        "the whole numbers that are left out are",
        (("", "choose"), ("yes", "how many packs were bought"), ("no", "something else")),
    ),
    "freight": (
        "freight",
        (
            ("", "choose"),
            (ON_TOP, "comes on top of these prices"),
            (INSIDE, "is in these prices already"),
            (NOT_TAKEN, "is not to be counted"),
        ),
    ),
    "yes": (
        "yes below the head of tax means",
        (
            ("", "choose"),
            ("in_out", "tax is in the price; no: on top of it"),
            ("in_none", "tax is in the price; no: there is none"),
            ("out_none", "tax comes on top; no: there is none"),
            ("out_in", "tax comes on top; no: it is in the price"),
        ),
    ),
    "tax": (
        "where a row says nothing of sales tax, it",
        (("", "choose"), (TAX_IN, "is in the price"), (TAX_OUT, "comes on top of it"), (TAX_NONE, "is not due")),
    ),
    "orders": (
        "rows without a supplier or day of their own are",
        (("", "choose"), (AS_ABOVE, "of the order above them"), (AS_BLANK, "of no order that it names")),
    ),
    "each": (
        "the unit price is",
        (("", "choose"), (OF_PACK, "the price of one pack"), (OF_ONE, "the price of one kg, g, L or piece")),
    ),
    "discount": (
        "a discount in a row of its own",
        (("", "choose"), (TAKEN_OFF, "is taken off the rows above it, by value"), (NOT_TAKEN, "is not taken off")),
    ),
    "shared": (
        "freight below orders of several suppliers",
        (
            ("", "choose"),
            (ALL_OF_DAY, "is shared over all orders of its day, by value"),
            (JUST_ABOVE, "is that of the supplier right above it"),
            (NOT_TAKEN, "is not to be counted"),
        ),
    ),
    "order_tax": (
        "sales tax in plain numbers",
        (
            ("", "choose"),
            (ON_TOP, "is money that comes on top of these prices"),
            (INSIDE, "is money that is in these prices already"),
            (NOT_TAKEN, "is not to be counted"),
            (RATE, "is a rate in percent"),
        ),
    ),
    "words": ("words in place of a price mean", (("", "choose"), (UNKNOWN, "that it is not known yet"))),
    "zero": (
        "a price of 0 means",
        (("", "choose"), (FREE_OF_CHARGE, "that it is free"), (UNKNOWN, "that it is not known yet")),
    ),
    "titles": (
        "of several lines above a formula its name is",
        (("", "choose"), (FIRST, "the first"), (LAST, "the last, right above it")),
    ),
    "method": (
        "words alone between ingredients are",
        (("", "choose"), (NOTE, "notes: what to do"), (NAMES, "names of formulas that begin there")),
    ),
}
