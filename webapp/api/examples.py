"""An example of every body, in an order in which they can be sent one after the other to an empty installation.

References are names of the examples before ("$shea"); the documentation shows in their place the numbers that they
get, so that whoever sends what is shown, in this order, is answered well.
"""

from __future__ import annotations

from typing import Any

#: name -> (kind, body). The first of a kind is the one that is documented.
EXAMPLES: dict[str, tuple[str, dict[str, Any]]] = {
    "workshop": (
        "workshop",
        {
            "name": "Thistle Yard Haircare",
            "currency": "EUR",
            "locale": "en_IE",
            "mass_unit": "kg",
            "basis": "latest",
            "basis_months": "12",
            "stale_months": "9",
            "contact": "Ada Quill, 4 Thistle Yard",
        },
    ),
    "terms": (
        "terms",
        {
            "since": "2026-01-01",
            "registered": False,
            "cost": "full",
            "target": "45",
            "overhead": "hours",
            "making_hours": "40",
        },
    ),
    "ada": (
        "person",
        {"name": "Ada", "whose": "own", "wage": {"since": "2026-01-01", "per_hour": "18.50", "extra": "0"}},
    ),
    "rent": ("bill", {"name": "Bench rent", "since": "2026-01-01", "a_month": "120.00"}),
    "barn": (
        "supplier",
        {"name": "Barn Door Botanicals", "currency": "EUR", "url": "https://botanicals.example"},
    ),
    "shea": (
        "material",
        {
            "name": "Shea butter",
            "kind": "ingredient",
            "nature": "butter",
            "nut": True,
            "density": {"since": "2026-01-01", "value": "0.91", "temperature": "40", "source": "supplier's sheet"},
        },
    ),
    "argan": (
        "material",
        {
            "name": "Argan oil",
            "kind": "ingredient",
            "nature": "oil",
            "density": {"since": "2026-01-01", "value": "0.912", "temperature": "20", "source": "supplier's sheet"},
        },
    ),
    "wax": ("material", {"name": "Beeswax", "nature": "wax", "starting": {"amount": "14.00", "unit": "kg"}}),
    "jar": ("material", {"name": "Jar, 120 mL", "kind": "packaging", "holds_ml": "130"}),
    "order": (
        "order",
        {
            "supplier": "$barn",
            "day": "2026-03-02",
            "currency": "EUR",
            "number": "B-1042",
            "lines": [
                {"material": "$shea", "packs": "2", "size": "5", "unit": "kg", "price": "41.50"},
                {"material": "$argan", "packs": "4", "size": "16", "unit": "US fl oz", "price": "13.25"},
                {"material": "$jar", "packs": "1", "size": "48", "unit": "pieces", "total": "38.40"},
            ],
            "charges": [{"kind": "freight", "amount": "12.60", "share": "value"}],
            "invoice_total": "187.00",
        },
    ),
    "quote": (
        "quote",
        {
            "material": "$wax",
            "supplier": "$barn",
            "since": "2026-03-01",
            "until": "2027-03-01",
            "size": "1",
            "unit": "kg",
            "price": "13.80",
            "currency": "EUR",
        },
    ),
    "review": ("review", {"since": "2026-03-06", "answer": "still right", "reason": "asked by telephone"}),
    "formula": (
        "formula",
        {
            "name": "Hair butter",
            "since": "2026-03-05",
            "way": "percent",
            "batch_grams": "2000",
            "pot_grams": "4000",
            "loss": "3",
            "lines": [
                {"material": "$shea", "amount": "70", "unit": "percent", "stage": "melt"},
                {"material": "$argan", "unit": "percent", "rest": True, "stage": "melt"},
            ],
            "work": [{"person": "$ada", "per_batch": "45"}],
        },
    ),
    "group": (
        "group",
        {
            "name": "Jar with all that belongs to it",
            "since": "2026-03-05",
            "parts": [{"material": "$jar", "pieces": "1", "spoiled": "1"}],
        },
    ),
    "channel": (
        "channel",
        {
            "name": "Saturday market",
            "since": "2026-03-05",
            "kind": "stall",
            "tax": "none",
            "pitch": "35.00",
            "jars_a_day": "25",
            "work": [{"person": "$ada", "per_day": "5"}],
            "endings": ".00 .50",
            "target": "45",
            "least_order": "60",
            "list_terms": "Payment within 14 days.",
        },
    ),
    "product": (
        "product",
        {
            "name": "Hair butter, 100 g",
            "since": "2026-03-05",
            "fills": [{"formula": "$formula", "declared": "100", "unit": "g", "overfill": "2"}],
            "parts": [{"group": "$group", "pieces": "1"}],
            "work": [{"person": "$ada", "per_jar": "1.5"}],
            "channels": ["$channel"],
            "case_jars": "12",
        },
    ),
    "batch": (
        "batch",
        {
            "day": "2026-03-06",
            "formula": "$formula",
            "lines": [
                {"material": "$shea", "planned": "1400", "grams": "1402"},
                {"material": "$argan", "planned": "600", "grams": "600"},
            ],
            "filled": [{"product": "$product", "jars": "18"}],
            "spent": [{"person": "$ada", "minutes": "64"}],
        },
    ),
    "price": ("price", {"since": "2026-03-06", "amount": "16.50", "why": "suggested"}),
    "target": ("target", {"since": "2026-03-06", "margin": "42"}),
    "sales": ("sales", {"since": "2026-03-06", "jars": "30"}),
}

#: an act that takes no fields, with a question answered
ACT: dict[str, Any] = {"sure": ["in-use-5f0c2a91b7de"]}
PRICED: dict[str, Any] = {
    "prices": [{"product": "$product", "channel": "$channel", "amount": "9.50", "why": "butter got dearer"}]
}
#: taking back the price, target or jars a month of one day
WITHDRAW: dict[str, Any] = {"since": "2026-03-06"}
#: what is a thing of its own gets a number; the others belong to the workshop, a material, or a product on a channel
NO_THINGS = ("workshop", "terms", "review", "price", "target", "sales")
FIRST_NUMBER = 2  # the workshop itself has 1


def filled(value: Any, ids: dict[str, int]) -> Any:
    """An example with numbers in place of names."""
    if isinstance(value, str) and value.startswith("$"):
        return ids[value[1:]]
    if isinstance(value, dict):
        return {name: filled(one, ids) for name, one in value.items()}
    return [filled(one, ids) for one in value] if isinstance(value, list) else value


def documented(kind: str) -> dict[str, Any]:
    """The example of a kind as it is shown."""
    return shown(next(body for one, body in EXAMPLES.values() if one == kind))


def shown(body: dict[str, Any]) -> dict[str, Any]:
    """An example with the numbers that things get in a new installation."""
    things = (name for name, (kind, _) in EXAMPLES.items() if kind not in NO_THINGS)
    found: dict[str, Any] = filled(body, {name: number for number, name in enumerate(things, FIRST_NUMBER)})
    return found
