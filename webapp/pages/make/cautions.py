"""Cautions beside a formula: short, never a clearance (facts of the trade: common practice, no source).

They go by the nature that the maker gave each ingredient, through every pre-blend.
"""

from __future__ import annotations

from collections.abc import Iterable

from webapp.costing.book import Book, Formula, Material

MELT = "Hot wax and oil burn: low heat, a double boiler, and no water in it. Butters turn grainy when they get too hot."
WATER = (
    "It holds water, so it needs a preservative and testing by somebody qualified; "
    "without water an antioxidant is enough."
)
RANCID = (
    "Fats go rancid, and no antioxidant is named in it. Makers add about a gram of vitamin E to a kitchen batch, "
    "when the melt has cooled but is still liquid."
)
SCENT = (
    "Essential oils and fragrances have skin limits, and allergens that must be declared. "
    "Add them when it has cooled but is still liquid."
)
NUT = "It holds something made from nuts. Say so on the label and where you sell."
LAW = (
    "Labels, safety assessment, registration and weights follow local law and a qualified assessor. A claim such as "
    "growth or treatment can turn a cosmetic into a medicine."
)
FATS = ("butter", "oil")
MELTED = ("butter", "wax")


def of_formula(book: Book, formula: Formula) -> tuple[str, ...]:
    """What to mind when making it."""
    inside = tuple(_materials(book, formula, set()))
    natures = {material.nature for material in inside}
    said = [
        (MELT, natures & set(MELTED)),
        (WATER, "water" in natures),
        (RANCID, natures & set(FATS) and "antioxidant" not in natures),
        (SCENT, natures & {"essential oil", "fragrance"}),
        (NUT, any(material.nut for material in inside)),
        (LAW, True),
    ]
    lives = [(material.shelf_months, material.name) for material in inside if material.shelf_months is not None]
    shortest = min(lives, default=None)
    kept = [sentence for sentence, holds in said if holds]
    if shortest and (formula.shelf_months is None or formula.shelf_months > shortest[0]):
        kept.insert(0, f"It keeps no longer than its shortest-lived part: {shortest[1]}, {shortest[0]} months.")
    return tuple(kept)


def _materials(book: Book, formula: Formula, seen: set[int]) -> Iterable[Material]:
    seen.add(formula.id)
    for line in formula.lines:
        if line.material is not None:
            yield book.materials[line.material]
        elif line.formula is not None and line.formula not in seen:
            yield from _materials(book, book.formulas[line.formula], seen)
