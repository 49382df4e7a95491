"""Units by what people write for them, alone or behind an amount."""

from __future__ import annotations

import re

from webapp.costing.units import PURCHASE_UNITS

UNIT_OF: dict[str, str] = {unit.casefold(): unit for unit in PURCHASE_UNITS} | {
    word: unit
    for unit, words in {
        "pieces": "piece pcs pc ea each units",
        "kg": "kilo kilos kilogram kilograms kilogramme kilogrammes kgs",
        "g": "gram grams gramme grammes gr gm gms",
        "mg": "milligram milligrams",
        "L": "litre litres liter liters lt ltr",
        "mL": "millilitre millilitres milliliter milliliters mls",
        "lb": "lbs pound pounds",
        "oz": "ounce ounces",
    }.items()
    for word in words.split()
}
#: measures of two systems: which of them has to be said
WHICH = re.compile(r"(fl\.? ?oz|fluid ounces?|gal|gallons?|pints?|quarts?)\.?")
AMOUNT = re.compile(r"(?P<number>[-\u22120-9.,][0-9., '\u2019]*)(?P<unit>[^0-9]*)")


def unit_of(word: str) -> str:
    """A unit by what people write for it; "" where it is none, or none of its own (a fluid ounce is US or imperial)."""
    return UNIT_OF.get(word.casefold().strip(" .:"), "")


def parted(text: str) -> tuple[str, str]:
    """An amount and the unit behind it; the text as it is and "" where no unit that is known stands there."""
    found = AMOUNT.fullmatch(text.strip())
    unit = unit_of(found["unit"]) if found else ""
    return (found["number"].strip(), unit) if found and unit else (text, "")
