"""Cautions beside the work: short, never a clearance, and they defer to local law and qualified people.

Facts of the trade: common practice, no source. Those of materials go by the nature that the maker gave each of them;
those of a formula look through every pre-blend. Each is a sentence as it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from webapp.costing.amounts import plain
from webapp.costing.book import Book, Formula, Material

#: nature of a material -> what to mind with it; natures that are not here have nothing of their own
BY_NATURE: Mapping[str, str] = {
    "butter": "Melt it over low heat: too hot, it turns grainy. Hot fat burns; no water in it.",
    "oil": "Oils go rancid. Keep it cool and dark, and note how long it keeps; an antioxidant helps.",
    "wax": "Wax takes longest to melt. Hot wax burns: low heat, a double boiler, no water in it.",
    "essential oil": "Essential oils have skin limits and allergens that must be declared. Ask a qualified assessor.",
    "fragrance": "Ask the supplier for its skin limits and allergens; they must be declared.",
    "antioxidant": "Add it when the melt has cooled but is still liquid. It is no preservative for water.",
    "water": "What holds water needs a preservative and testing by somebody qualified.",
}
NUT_MATERIAL = "It comes from a nut: say so on the label and where you sell."
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
CLAIM = "A claim such as growth or treatment can turn a cosmetic into a medicine."
LAW = f"Labels, safety assessment, registration and weights follow local law and a qualified assessor. {CLAIM}"
#: what to mind with every product
OF_PRODUCT = (
    "The declared weight, labels, unit prices and taxes follow local law; ask a qualified adviser.",
    CLAIM,
)
_ON_LISTS = (
    "Where a price per kilogram or litre has to stand beside each price, how tax is to be worded, and what a price "
    "list has to say is set by local law; ask whoever advises you there."
)
#: what to mind with every price list
OF_PRICE_LIST = (_ON_LISTS,)
_FATS = frozenset({"butter", "oil"})
_MELTED = frozenset({"butter", "wax"})
_SCENTS = frozenset({"essential oil", "fragrance"})


def of_material(material: Material) -> tuple[str, ...]:
    """What to mind with a material; nothing where its nature has no caution of its own."""
    said = [BY_NATURE[material.nature]] if material.nature in BY_NATURE else []
    return (*said, NUT_MATERIAL) if material.nut else tuple(said)


def of_formula(book: Book, formula: Formula) -> tuple[str, ...]:
    """What to mind when making a formula, how long it keeps first; the law of the place always, last."""
    inside = tuple(_materials(book, formula, set()))
    natures = {material.nature for material in inside}
    said = [
        (MELT, natures & _MELTED),
        (WATER, "water" in natures),
        (RANCID, natures & _FATS and "antioxidant" not in natures),
        (SCENT, natures & _SCENTS),
        (NUT, any(material.nut for material in inside)),
        (LAW, True),
    ]
    return (*_keeps(formula, inside), *(sentence for sentence, holds in said if holds))


def _keeps(formula: Formula, inside: Iterable[Material]) -> tuple[str, ...]:
    """That it keeps no longer than its shortest-lived part, where it is not said to keep as short as that."""
    lives = [(material.shelf_months, material.name) for material in inside if material.shelf_months is not None]
    months, name = min(lives, default=(None, ""))
    if months is None or (formula.shelf_months is not None and formula.shelf_months <= months):
        return ()
    time = "1 month" if months == 1 else f"{plain(months)} months"
    return (f"It keeps no longer than its shortest-lived part: {name}, {time}.",)


def _materials(book: Book, formula: Formula, seen: set[int]) -> Iterable[Material]:
    seen.add(formula.id)
    for line in formula.lines:
        if line.material is not None:
            yield book.materials[line.material]
        elif line.formula is not None and line.formula not in seen:
            yield from _materials(book, book.formulas[line.formula], seen)
