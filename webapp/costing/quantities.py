"""What arrived, in the unit that a material is reckoned in: grams of an ingredient, pieces of everything else.

Mass converts by exact definition, volume by the material's own density as the book knows it on its day, pieces by
what one piece weighs (method.md section 1). What can't be converted is a gap that names the material and its cure.
"""

from __future__ import annotations

from decimal import Decimal

from webapp.costing import units
from webapp.costing.book import Material
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.working import Step, Working


def usable(material: Material, amount: Decimal, unit: str, at: Ref) -> Figure:
    """`amount` of a purchase `unit` in grams (ingredient) or pieces (packaging, bought-in). `at` is where it stands."""
    if not material.by_piece:
        return mass(material, amount, unit)
    if unit == units.PIECES:
        return amount
    return Gap(f"{material.name} is counted by the piece. Write its packs in pieces.", at)


def mass(material: Material, amount: Decimal, unit: str) -> Figure:
    """`amount` of a purchase `unit` in grams, of anything: what a charge by mass is shared on."""
    if unit in units.MASS:
        return amount * units.MASS[unit]
    if unit == units.PIECES:
        return _pieces_in_grams(material, amount)
    cure = Ref("material", material.id, "density-value")
    if unit in units.VOLUME and material.density is None:
        words = f"{material.name} is bought by volume and its density is not known yet. Add its density (g/mL)."
        return Gap(words, cure)
    return units.grams(amount, unit, material.density.value if material.density else None, cure)


def _pieces_in_grams(material: Material, pieces: Decimal) -> Figure:
    if material.piece_grams is None:
        return Gap(
            f"What one piece of {material.name} weighs is not known yet. Add its weight in grams.",
            Ref("material", material.id, "piece_grams"),
        )
    return pieces * material.piece_grams


def reckoned_in(material: Material) -> str:
    """The kind of a quantity of this material, as a working names it: "g" or "pieces"."""
    return "pieces" if material.by_piece else "g"


def per_one(material: Material) -> str:
    """What a unit cost of this material is per: "per g" or "per piece"."""
    return "per piece" if material.by_piece else "per g"


def conversion(material: Material, unit: str) -> tuple[Step, ...]:
    """The steps that turn a quantity in `unit` into grams; none where it is in grams or pieces already."""
    at = Ref("material", material.id, "density-value")
    if material.by_piece or unit == "g":
        return ()
    if unit == units.PIECES:
        weighs = Ref("material", material.id, "piece_grams")
        return (Step("×", material.piece_grams or Decimal(0), "g", "what one piece weighs", weighs),)
    if unit in units.MASS:
        return (Step("×", units.MASS[unit], "number", f"grams in one {unit}, exactly"),)
    millilitres = Step("×", units.VOLUME[unit], "number", f"millilitres in one {unit}, exactly")
    if material.density is None:
        return (millilitres,)
    density = Step("×", material.density.value, "number", _density_words(material), at, unit="g/mL")
    return (density,) if unit == "mL" else (millilitres, density)


def _density_words(material: Material) -> str:
    density = material.density
    if density is None or density.temperature is None:
        return "its density"
    return f"its density at {density.temperature} °C"


def working(material: Material, steps: tuple[Step, ...], unit: str, result: Figure) -> Working:
    """How a quantity became grams or pieces; `steps` say what arrived, in `unit`."""
    title = f"What arrived of {material.name}"
    return Working(title, (*steps, *conversion(material, unit)), result, reckoned_in(material))
