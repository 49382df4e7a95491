"""Cautions beside a material, by the nature that the maker gave it (facts of the trade: common practice, no source)."""

from __future__ import annotations

from webapp.costing.book import Material

BY_NATURE = {
    "butter": "Melt it over low heat: too hot, it turns grainy. Hot fat burns; no water in it.",
    "oil": "Oils go rancid. Keep it cool and dark, and note how long it keeps; an antioxidant helps.",
    "wax": "Wax takes longest to melt. Hot wax burns: low heat, a double boiler, no water in it.",
    "essential oil": "Essential oils have skin limits and allergens that must be declared. Ask a qualified assessor.",
    "fragrance": "Ask the supplier for its skin limits and allergens; they must be declared.",
    "antioxidant": "Add it when the melt has cooled but is still liquid. It is no preservative for water.",
    "water": "What holds water needs a preservative and testing by somebody qualified.",
}
NUT = "It comes from a nut: say so on the label and where you sell."


def of_material(material: Material) -> tuple[str, ...]:
    """What to mind with it; never a clearance."""
    said = [BY_NATURE[material.nature]] if material.nature in BY_NATURE else []
    return (*said, NUT) if material.nut else tuple(said)
