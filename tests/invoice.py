"""An invented invoice of 12 lines, from a supplier of the example workshop: as it is typed, and as it is reckoned.

12 lines of goods for 817.90, freight 24.60 shared by value, 20 % tax on all of it: 842.50 x 1.2 = 1011.00.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from tests.reckoning import Line, seed

SUPPLIER = "Pellamy Oil Mill"
TOTAL = "1011.00"
FREIGHT = "24.60"
NEW, NEW_KEY, NEW_DENSITY = "Sesame oil", "sesame", "0.918"
#: material of the example by its key, packs, in a pack, unit, price of a pack
LINES = (
    ("shea", "2", "10", "kg", "96.00"),
    ("mango", "1", "5", "kg", "88.00"),
    ("cocoa", "1", "5", "kg", "71.50"),
    ("coconut", "2", "5", "kg", "34.20"),
    ("sunflower", "4", "5", "L", "19.80"),
    ("almond", "1", "5", "L", "52.00"),
    ("jojoba", "2", "1", "L", "48.00"),
    ("castor", "1", "5", "L", "41.00"),
    ("argan", "1", "1", "L", "46.50"),
    ("avocado", "1", "2", "L", "31.00"),
    ("grapeseed", "1", "5", "L", "22.40"),
    (NEW_KEY, "1", "5", "L", "29.90"),
)
#: the cost of a jar at the stall before and then, on paper (the freight's shares: 5.78 2.65 2.15 2.06 2.38 1.56 2.89
#: 1.23 1.40 0.93 0.67 0.90, by largest remainder), to a penny
ON_PAPER = {
    # shea (211.20 + 156.80 + 192.00 + 5.78) / 65000 x 42 % = 0.0036558; mango 90.65 / 5000 x 15 % = 0.0027195;
    # infused oil: sunflower 81.58 / 18240 = 0.0044726 x 10/11 + 0.0013314 = 0.0053974 x 3300/2968 x 18 % = 0.0010802;
    # coconut 70.46 / 10000 x 23.8 % = 0.0016769; cool-down 0.0016946; together 0.0108270 x 3000 / 56 = 0.5800;
    # + 0.8435 + 0.3882 + 0.3746 + 0.2423 = 2.4286; selling it 2.8553
    "butter-50": ("5.23", "5.28"),
    # beeswax 0.0056311, candelilla 0.0011892, cocoa 73.65 / 5000 x 12 % = 0.0017676, jojoba 98.89 / 1728.4 x 10 % =
    # 0.0057215, castor 42.23 / 4790 x 51 % = 0.0044963, cedarwood 0.0007040, vitamin E 0.0001242; together 0.0196339
    # x 2000 / 38 = 1.0334, it was 1.2196: 5.9720 - 0.1862 = 5.7857
    "pomade-50": ("5.97", "5.79"),
    # shea 56 % 0.0048744, mango 14 % 0.0025382, almond 53.56 / 4580 x 26 % = 0.0030405, starch 0.0002050, cool-down
    # 0.0014121: 0.0120703, it was 0.0118894; 0.0001809 x 1600 / 20 = 0.0145 dearer: 7.1665 + 0.0145 = 7.1810
    "whipped-115": ("7.17", "7.18"),
}


def names() -> dict[str, str]:
    """What each material is called, by its key."""
    return {one["key"]: one["name"] for one in seed()["material"]} | {NEW_KEY: NEW}


def typed() -> dict[str, str]:
    """The form's fields, without its supplier."""
    called = names()
    found = {
        "invoice_total": TOTAL,
        "charges-0-kind": "freight",
        "charges-0-amount": FREIGHT,
        "charges-0-tax_rate": "20",
    }
    for number, (key, *rest) in enumerate(LINES):
        fields = zip(("packs", "size", "unit", "price"), rest, strict=True)
        found |= {f"lines-{number}-{name}": text for name, text in fields}
        found |= {f"lines-{number}-material": called[key], f"lines-{number}-tax_rate": "20"}
    at = f"lines-{len(LINES) - 1}"
    return found | {f"{at}-new_kind": "ingredient", f"{at}-density": NEW_DENSITY}


def reckoned(today: date, prices: tuple[dict[str, Any], ...] = ()) -> Line:
    """The example with the invoice of today and the prices decided with it, in exact fractions."""
    data = seed()
    density = {"since": "0 d", "value": NEW_DENSITY}
    data["material"].append({"key": NEW_KEY, "name": NEW, "nature": "oil", "density": density})
    lines = [
        {"material": key, "packs": packs, "size": size, "unit": unit, "price": price, "tax_rate": "20"}
        for key, packs, size, unit, price in LINES
    ]
    charge = {"kind": "freight", "amount": FREIGHT, "share": "value", "tax_rate": "20"}
    order = {"key": "invoice", "supplier": "pellamy", "day": "0 d", "currency": "GBP", "lines": lines}
    data["order"].append({**order, "charges": [charge]})
    data["price"] += [{"since": "0 d", **one} for one in prices]
    return Line(data, today)
