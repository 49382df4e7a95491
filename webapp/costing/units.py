"""Mass, volume, pieces: exact factors with their source, and the way from a quantity to grams.

Factors by definition: pound and ounce, Weights and Measures Act 1985 (UK) s. 1 and Sch. 1 (and NIST Handbook 44
App. C); US gallon 231 cubic inches, imperial gallon 4.54609 dm3 (Sch. 1 Part IV). A fluid ounce names its system and
is never an avoirdupois ounce.
"""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.gaps import Figure, Gap, Ref

#: grams in one unit, exactly
MASS: dict[str, Decimal] = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "mg": Decimal("0.001"),
    "oz": Decimal("28.349523125"),
    "lb": Decimal("453.59237"),
}
#: millilitres in one unit, exactly
VOLUME: dict[str, Decimal] = {
    "mL": Decimal(1),
    "L": Decimal(1000),
    "US fl oz": Decimal("29.5735295625"),
    "US pint": Decimal("473.176473"),
    "US quart": Decimal("946.352946"),
    "US gallon": Decimal("3785.411784"),
    "imp fl oz": Decimal("28.4130625"),
    "imp pint": Decimal("568.26125"),
    "imp quart": Decimal("1136.5225"),
    "imp gallon": Decimal("4546.09"),
}
PIECES = "pieces"
#: what a supplier's pack can be measured in
PURCHASE_UNITS: tuple[str, ...] = (*MASS, *VOLUME, PIECES)
#: what a line of a formula can be written in
FORMULA_UNITS: tuple[str, ...] = ("percent", "g", "mL", "drops", "part")


def grams(quantity: Decimal, unit: str, density: Decimal | None, cure: Ref) -> Figure:
    """`quantity` of `unit` in grams; a volume needs `density` (g/mL), without one it is a gap cured at `cure`.

    ValueError for pieces or an unknown unit: pieces have no mass of their own here.
    """
    if unit in MASS:
        return quantity * MASS[unit]
    if unit not in VOLUME:
        raise ValueError(f"{unit} is neither a mass nor a volume.")
    if density is None:
        return Gap("It is bought by volume and its density is not known yet. Add its density (g/mL).", cure)
    return quantity * VOLUME[unit] * density


def drops_to_millilitres(drops: Decimal, per_ml: Decimal | None, cure: Ref) -> Figure:
    """Drops in a formula as millilitres, by the material's own drops per mL (a measured figure)."""
    if per_ml is None:
        return Gap("It is measured in drops. Say how many of its drops make one mL.", cure)
    return drops / per_ml
