"""An invented workshop's own workbook, as people write one: 40 materials, 12 formulas, and what never fits.

Units stand inside cells, one number has a comma, there are titles, totals, blank rows, a gallon that does not say
whose, a pack of five sacks and a misspelt butter. `COST` has what materials cost a gram, in fractions, from what is
written.
"""

from __future__ import annotations

import io
from fractions import Fraction
from typing import Any

from openpyxl import Workbook

KG, LB, OZ, US_GALLON = Fraction(1000), Fraction("453.59237"), Fraction("28.349523125"), Fraction("3785.411784")
#: name, INCI, supplier, pack as it is written, price as it is written, note
INGREDIENTS: list[list[Any]] = [
    ["Shea butter", "Butyrospermum Parkii Butter", "The mill", "5 kg", 41, "unrefined"],
    ["Cocoa butter", "Theobroma Cacao Seed Butter", "The mill", "1 kg", 16.9, None],
    ["Mango butter", "Mangifera Indica Seed Butter", "The mill", "1000 g", "€19.20", None],
    ["Kokum butter", None, "The mill", "500 g", 13.75, None],
    ["Beeswax", "Cera Alba", "Bee yard", "1 lb", 9, "pellets"],
    ["Candelilla wax", None, "Bee yard", "250g", 8.4, None],
    ["Castor oil", "Ricinus Communis Seed Oil", "Oil house", "1 gal", 48.9, None],
    ["Jojoba oil", "Simmondsia Chinensis Seed Oil", "Oil house", "1 L", 38.5, None],
    ["Coconut oil", "Cocos Nucifera Oil", "Oil house", "5 kg", 31.2, None],
    ["Argan oil", None, "Oil house", "0.5 kg", 22, None],
    [None],
    ["Avocado oil", None, "Oil house", "2,5 kg", "27,50 €", "new supplier?"],
    ["Sweet almond oil", None, "Oil house", "16 oz", 9.6, None],
    ["Sunflower oil", None, "Oil house", "3 x 1 kg", 13.5, None],
    ["Olive oil", None, "Oil house", "5 kg", 38, None],
    ["Hemp seed oil", None, "Oil house", "1 kg", 14.3, None],
    ["Rice bran oil", None, "Oil house", "1 kg", 11.1, None],
    ["Vitamin E", "Tocopherol", "Oil house", "100 g", 7.9, None],
    ["Rosemary extract", None, "Oil house", "50 g", 12.4, None],
    ["Lavender oil", None, "Still room", "100 g", 18.75, None],
    ["Cedarwood oil", None, "Still room", "100 g", 11.2, None],
    ["Sweet orange oil", None, "Still room", "100 g", 6.3, None],
    ["Peppermint oil", None, "Still room", "50 g", 7.4, None],
    ["Rosemary oil", None, "Still room", "50 g", 8.1, None],
    ["Arrowroot", None, "Dry goods", "five sacks", 33, "was 5 kg"],
    ["Kaolin clay", None, "Dry goods", "1 kg", 5.2, None],
    ["Lanolin", None, "Dry goods", "500 g", 14, None],
    ["Carnauba wax", None, "Dry goods", "250 g", 9.9, None],
    ["Aloe powder", None, "Dry goods", "50 g", 13.2, None],
    ["Baobab oil", None, "Dry goods", "250 g", 16.4, None],
    ["Panthenol", None, "Dry goods", "100 g", 10.5, None],
]
PACKAGING: list[list[Any]] = [
    ["Tin 50 mL", None, "Tin works", "100 pcs", 38, None],
    ["Tin 100 mL", None, "Tin works", "100 pcs", 52, None],
    ["Jar 60 mL", None, "Tin works", "box of 48", 30, None],
    ["Jar 120 mL", None, "Tin works", "box of 48", 36.5, None],
    ["Black lid", None, "Tin works", "300 pieces", 46.32, None],
    ["Label round", None, "Print shop", "1000 pcs", 85, None],
    ["Label wrap", None, "Print shop", "1000 pcs", 92, None],
    ["Seal", None, "Print shop", "1000 pcs", 24.04, None],
    ["Carton", None, "Print shop", "50 pcs", 21, None],
    ["Tissue", None, "Print shop", "480 pcs", 12, None],
]
#: formulas in blocks, percent as spreadsheets keep it; one butter is misspelt, one line takes the rest
BLOCKS: dict[str, list[tuple[str, Any]]] = {
    "Firm pomade": [
        ("Castor oil", 0.5),
        ("Beeswax", 0.2),
        ("Lanolin", 0.15),
        ("Cocoa butter", 0.14),
        ("Vitamin E", 0.01),
    ],
    "Soft pomade": [("Castor oil", 0.6), ("Beeswax", 0.15), ("Lanolin", 0.24), ("Vitamin E", 0.01)],
    "Hair butter": [
        ("Shea buter", 0.45),
        ("Mango butter", 0.2),
        ("Coconut oil", 0.25),
        ("Argan oil", 0.09),
        ("Vitamin E", 0.01),
    ],
    "Melting butter": [("Shea butter", 0.55), ("Jojoba oil", 0.25), ("Cocoa butter", 0.2)],
    "Light oil": [("Sunflower oil", "q.s."), ("Argan oil", 0.1), ("Rosemary extract", 0.005)],
    "Beard oil": [("Jojoba oil", 0.5), ("Sweet almond oil", 0.48), ("Cedarwood oil", 0.02)],
    "Scalp oil": [("Castor oil", 0.3), ("Olive oil", 0.685), ("Peppermint oil", 0.015)],
    "Curl butter": [("Shea butter", 0.4), ("Avocado oil", 0.35), ("Beeswax", 0.05), ("Rice bran oil", 0.2)],
    "Balm stick": [("Beeswax", 0.3), ("Coconut oil", 0.4), ("Kokum butter", 0.3)],
    "Night balm": [("Shea butter", 0.7), ("Hemp seed oil", 0.28), ("Lavender oil", 0.02)],
}
#: formulas in a long list, in grams, their name written once
LONG: list[list[Any]] = [
    ["Shine oil", "Sunflower oil", "700 g"],
    [None, "Argan oil", "250 g"],
    [None, "Sweet orange oil", "50 g"],
    ["Dry butter", "Shea butter", "600 g"],
    [None, "Kaolin clay", "150 g"],
    [None, "Arrowroot", "250 g"],
]
#: what a gram costs, from what is written above; 0.9563 g/mL: BP 2025, Virgin Castor Oil, 0.958 against water at 20 °C
COST = {
    "Shea butter": Fraction(41) / (5 * KG),
    "Mango butter": Fraction("19.20") / KG,
    "Cocoa butter": Fraction("16.9") / KG,
    "Coconut oil": Fraction("31.2") / (5 * KG),
    "Argan oil": Fraction(22) / 500,
    "Vitamin E": Fraction("7.9") / 100,
    "Castor oil": Fraction("48.9") / (US_GALLON * Fraction("0.9563")),
    "Beeswax": Fraction(9) / LB,
    "Lanolin": Fraction(14) / 500,
    "Avocado oil": Fraction("27.50") / 2500,
    "Rice bran oil": Fraction("11.1") / KG,
    "Kaolin clay": Fraction("5.2") / KG,
    "Arrowroot": Fraction(33) / (5 * KG),
}


def per_kg(parts: dict[str, str]) -> Fraction:
    """What a kilogram of a mixture costs: each ingredient's share times its cost."""
    whole = sum(map(Fraction, parts.values()))
    return sum((Fraction(share) * COST[name] for name, share in parts.items()), Fraction(0)) / whole * 1000


def written() -> bytes:
    """The workbook as a file."""
    book = Workbook()
    prices = book.active
    prices.title = "Shopping"
    for row in [
        ["What I pay for things"],
        [],
        ["Ingredient", "INCI", "Supplier", "Pack", "Price", "Notes"],
        *INGREDIENTS,
    ]:
        prices.append(row)
    prices.append(
        [
            "Total",
            None,
            None,
            None,
            sum(row[4] for row in INGREDIENTS if len(row) > 4 and isinstance(row[4], float | int)),
        ]
    )
    for row in [[], ["PACKAGING"], *PACKAGING]:
        prices.append(row)
    recipes = book.create_sheet("Recipes")
    for name, lines in BLOCKS.items():
        for row in [[name], ["Ingredient", "%"], *map(list, lines), ["Total", 1], []]:
            recipes.append(row)
    for (cell,) in recipes.iter_rows(min_col=2, max_col=2):
        if isinstance(cell.value, float | int):
            cell.number_format = "0.0%"
    more = book.create_sheet("More recipes")
    for row in [["Recipe", "Ingredient", "Amount"], *LONG]:
        more.append(row)
    book.create_sheet("Market diary").append(["Sunny, sold out by noon"])
    book.create_sheet("Old prices").sheet_state = "hidden"
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()
