"""What a person said of her sheets beside their cells: once for all of them, or of one."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from webapp.costing.own.written import Written


@dataclass(frozen=True, slots=True, kw_only=True)
class OfSheet:
    """What a person said of one sheet: the unit of amounts that have none, what its prices are for, what is beside."""

    unit: str = ""
    priced: str = ""
    """"one" or "all" of the packs, or "none" where it holds no prices."""
    formulas: str = ""
    """"yes" where amounts in columns beside its prices are formulas, "no" where they are none."""
    counts: str = ""
    """"yes" where whole numbers that are left out are how many packs were bought, "no" where they aren't."""
    freight: str = ""
    """Whether its freight comes on "top" of its prices, is "in" them, or "none" of it counts."""
    tax: str = ""
    """How tax stands in rows that say nothing of it: "in" the price, "out" (on top), "none"."""
    yes: str = ""
    """What yes and no below a head of tax mean, as `taxes.MEANINGS` has it."""
    rate: Decimal | None = None
    """The rate of tax in percent where it says none."""
    orders: str = ""
    """Whether rows that leave supplier and day blank are of the order "above" them, or of "none"."""
    each: str = ""
    """Whether its unit prices are those of a "pack" or of "one" kg, g, L, piece."""
    discount: str = ""
    """Whether a discount in a row of its own is taken "off" the rows above it, or "none" of it is."""
    order_tax: str = ""
    """Whether sales tax in money comes on "top" of its prices, is "in" them, or "none" of it counts; or is a "rate"."""
    words: str = ""
    """"unknown" where words in place of a price say that it is not known yet."""
    zero: str = ""
    """Whether a price of 0 is "free", or "unknown"."""
    shared: str = ""
    """Whether freight below orders of several suppliers is of all of its "day", of that "above" it, or "none"."""
    titles: str = ""
    """Whether the "first" or the "last" of several lines above a formula is its name."""
    method: str = ""
    """Whether words alone between ingredients are a "note", or "names" of formulas."""


@dataclass(frozen=True, slots=True)
class Told(OfSheet):
    """What a person said once for all sheets, with what was said of the one that is read; "" where nobody did."""

    sign: str = ""
    days: str = ""
    """"day first" or "month first"."""
    system: str = ""
    """"US" or "imp", for gallons, pints, fluid ounces."""
    currency: str = ""
    year: str = ""
    """Of one sheet: the year of days that say none."""
    basis: str = ""
    """Of one sheet: for one of what its title says that all of its prices are."""
    taxed: bool = False
    """Of one sheet: whether its numbers show that tax is in its prices."""
    shown: Decimal | None = None
    """Of one sheet: the rate of tax that its prices with tax and without show beside each other."""
    registered: bool = False
    """Whether the workshop reclaims the tax that it pays."""
    home: str = "EUR"
    exact: bool = field(default=False, compare=False)
    """Whether a plain number has a decimal point whatever `sign` says (it came as a number)."""
    written: Written = field(default=Written(), compare=False)
    """How figures are written in what is said."""
