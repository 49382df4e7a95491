"""In which row of a maker's own sheet its heads stand, and what they say of its columns."""

from __future__ import annotations

import re
from collections.abc import Sequence

from webapp.costing.own.columns import (
    ABOVE,
    AMOUNTS,
    FORMULAS,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    PRICES,
    PRODUCTS,
    OwnTable,
    known_role,
    role_of,
    roles_in,
    sort_of_most,
    words_of,
)
from webapp.costing.own.heads import is_amount, is_mass, unit_alone
from webapp.costing.own.lines import STAGE
from webapp.costing.own.price_heads import currency_said
from webapp.costing.own.rows import says_total
from webapp.costing.own.sold_heads import SOLD_AT
from webapp.costing.own.titles import titled_in
from webapp.costing.own.weight_heads import names_weight

TITLES = {
    FORMULAS: re.compile(r"formul|recipe|rezept|recette|receta|ricett|recept|blend"),
    MATERIALS: re.compile(
        r"material|ingredient|price|cost|stock|suppl|purchas|packag|einkauf|preis|rohstoff|prix|precio"
    ),
    PRODUCTS: re.compile(r"product|sold|selling|retail|produkt|verkauf|produit|vente|producto|prodott"),
}
#: a head that is the weight of a batch: "500 g", "100g batch", "Batch 1 kg"
_BATCH_OF = re.compile(
    r"(?:(?:batch|per|for|pour|f\u00fcr|para)\s+)?(?:[0-9][0-9.,]*)\s*(g|kg|oz|lb)\.?(?:\s+batch)?", re.IGNORECASE
)


def heads_in(table: OwnTable, holds: str) -> tuple[int, tuple[str, ...]]:
    """The first row with the most heads, and what they say; the first that is whole, since others may follow."""
    best: tuple[str, ...] = ()
    place = 0
    for number, row in enumerate(table.rows[table.begins : table.begins + ABOVE], table.begins + 1):
        roles = () if _is_sum(row) or says_batch(row, holds) else roles_in(row, holds)
        if sum(map(bool, roles)) > sum(map(bool, best)):
            best, place = roles, number
        if _is_whole(best, holds):
            break
    return place, _with_batch(table, place, _with_ingredient(table, place, best, holds)[:MOST_COLUMNS])


def _with_batch(table: OwnTable, row: int, roles: tuple[str, ...]) -> tuple[str, ...]:
    """The roles of a formula in percent with the grams of one batch beside them, under the weight of that as a head.

    Of several batches none is the one that is made: they are left out, and the percent say it all.
    """
    if "percent" not in roles or "ingredient" not in roles or {"grams", "amount"} & {*roles}:
        return roles
    free = [place for place, role in enumerate(roles) if not role]
    units = {place: said[1].casefold() for place in free if (said := _BATCH_OF.fullmatch(table.cell(row, place)))}
    if [*units.values()] != ["g"]:
        return roles
    return tuple("grams" if place in units else role for place, role in enumerate(roles))


def _is_whole(roles: Sequence[str], holds: str) -> bool:
    """Whether heads say all that is needed."""
    if holds == FORMULAS:
        return "ingredient" in roles and bool({*AMOUNTS} & {*roles})
    return holds == MATERIALS and "name" in roles and bool({*PRICES} & {*roles})


def _is_sum(row: Sequence[str]) -> bool:
    """Whether a row is a sum or a batch, whose words are heads too: "Total | 100 %", "Makes | 2500 | g"."""
    filled = [text for text in row if text.strip()]
    if not any(map(is_amount, filled[1:])):
        return False
    return says_total(words_of(filled[0])) or role_of(filled[0], FORMULAS) == "batch"


def says_batch(row: Sequence[str], holds: str) -> bool:
    """Whether a row says what a batch weighs, whose words are heads too: "Batch | 2 | kg"."""
    texts = [(place, text.strip()) for place, text in enumerate(row) if text.strip()]
    if holds != FORMULAS or {"ingredient", "percent"} <= {*roles_in(row, holds)}:  # "Ingredient | % | 500 g"
        return False
    return titled_in(texts).batch is not None


def _with_ingredient(table: OwnTable, row: int, roles: tuple[str, ...], holds: str) -> tuple[str, ...]:
    """The roles of a formula whose own name is the head over its ingredients: "Balm | %"."""
    phase = any(STAGE.fullmatch(text) for text in map(str.strip, table.rows[row - 1][: len(roles)])) if row else False
    amounts = (
        place
        for place, role in enumerate(roles)
        if role in ("percent", "grams", "parts")
        or (role == "amount" and (phase or is_mass(unit_alone(table.cell(row, place)))))
    )
    amount = next(amounts, 0)
    if holds != FORMULAS or "ingredient" in roles:
        return roles
    below = range(row + 1, min(len(table.rows), row + LOOKED_AT) + 1)
    for place in range(amount):
        cells = [text for one in below if (text := table.cell(one, place))]
        if not roles[place] and table.cell(row, place) and cells and sort_of_most(cells) == "text":
            return (*roles[:place], "ingredient", *roles[place + 1 :])
    return roles


def weight_of(table: OwnTable, holds: str, row: int, roles: Sequence[str]) -> int:
    """How much speaks for a kind: its heads, those that only it has twice, and the title."""
    telling = {
        MATERIALS: {"price", "net_price", "unit_price", "supplier", "pack"},
        FORMULAS: {"percent", "grams", "parts", "formula", "stage"},
        PRODUCTS: {"name", "formula", "size", "price"},
    }
    count = sum(map(bool, roles)) + sum(role in telling[holds] for role in roles)
    if holds == FORMULAS and not {"percent", "grams", "parts"} & {*roles} and says_shares(table, row, roles):
        count += 1  # a weight tells as much as grams
    needed = {MATERIALS: {*PRICES, "name"}, FORMULAS: {*AMOUNTS}, PRODUCTS: {"size"}}[holds]
    if holds == PRODUCTS and not _is_sold(table, row, roles):
        return 0
    by_parts = holds == PRODUCTS and {"name", "formula", "part"} <= {*roles}
    if not needed & set(roles) and not by_parts:
        count = min(count, 1)
    return count + bool(TITLES[holds].search(words_of(table.title))) if row else 0


def _is_sold(table: OwnTable, row: int, roles: Sequence[str]) -> bool:
    """Whether heads say that something is sold: a formula and a price or a name, or a price that is one for selling."""
    prices = [table.cell(row, place) for place, role in enumerate(roles) if role == "price"]
    at_prices = any(words_of(head) in SOLD_AT for head in prices)
    heads = [table.cell(row, place) for place in range(len(roles))]  # "Ingredients €" is what they cost
    items = [n for n, one in enumerate(heads) if role_of(one, FORMULAS) == "ingredient" and not currency_said(one)]
    if items and (items != [place for place, role in enumerate(roles) if role == "name"] or "formula" not in roles):
        return False
    if items:  # "Item | Recipe | Size | Lid | Price": an item of a recipe stands right of it, and has no lid
        return items[0] < roles.index("formula") and ("part" in roles or at_prices or bool(prices))
    return at_prices or ("formula" in roles and bool({"name", "price"} & {*roles}))


# --- without heads


def says_shares(table: OwnTable, row: int, roles: Sequence[str]) -> bool:
    """Whether heads say percent, grams or parts, or a weight in another unit."""
    head = table.cell(row, roles.index("amount")) if "amount" in roles else ""
    weights = known_role(head, FORMULAS) == "grams" or names_weight(head)
    return weights or bool({"percent", "grams", "parts"} & {*roles})
