"""What columns of prices hold by what stands below their heads, where the heads alone leave it open."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

from webapp.costing.own.columns import (
    BLANK,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    PRICES,
    Layout,
    OwnTable,
    role_of,
    sort_of,
    unit_in,
    words_of,
)
from webapp.costing.own.counts import counts_by_head, counts_by_total, paid_by_total
from webapp.costing.own.currencies import bare_number, without_money
from webapp.costing.own.freight import FREE
from webapp.costing.own.landed import take_landed, take_landed_head
from webapp.costing.own.material_heads import NOTE_HEAD
from webapp.costing.own.money_tax import holds_money, take_tax_paid
from webapp.costing.own.ounces import with_ounces
from webapp.costing.own.paid import take_paid
from webapp.costing.own.price_heads import ALL_PACKS, packs_said, plain_words, tax_said, without_besides
from webapp.costing.own.taxes import cell_said, is_about_tax
from webapp.costing.own.units import dozens_in
from webapp.costing.units import MASS, PIECES, VOLUME
from webapp.costing.written_units import unit_of

#: days that are none of a price
_OTHER_DAYS = re.compile(
    r"\b(?:best before|use by|expir\w*|expires|bbe|bb|mhd|haltbar\w*|opened|due|made|caducidad|(?:re)?count(?:ed)?|"
    r"stock(?: ?take|ed)?|inventory|gezahlt|gez\u00e4hlt|inventur|bestand|inventaire|compt[e\u00e9]|inventario|contado|"
    r"weighed)\b"
)
_A_CENT = Decimal("0.01")
#: an amount of money without its currency, also for one of something
_MONEY = re.compile(r"[0-9]+(?:[.,' ][0-9]+)*(?:\s*(?:/|per\b|je\b|pro\b).*|[.,]?-)?")
#: heads of words for tax that do not name it
_INC_OR_EX = frozenset(("inc/ex", "inc / ex", "incl/excl", "inc or ex", "inc/exc", "in/ex", "steuern", "steuer"))
#: heads of what is taken off a price
_DISCOUNTS = frozenset(("discount", "rabatt", "remise", "descuento", "sconto", "korting", "disc", "discount %"))
#: heads of what is left of a price then
_AFTER_DISCOUNT = frozenset(
    "final price, price after discount, discounted price, discount price, after discount, net after discount, "
    "preis nach rabatt, nach rabatt, endpreis, rabattierter preis, prix remise, prix apres remise, prix final, "
    "precio final, precio con descuento, prezzo finale, prezzo scontato, prijs na korting".split(", ")
)
#: amounts that are none of a pack
_OTHER_AMOUNTS = re.compile(
    r"\b(?:stock|hand|left|remain\w*|inventory|need\w*|us(?:e|ed|age)|min\w*|max\w*|reorder|rest|waste|batch|dose|lager|"
    r"bestand|restant|existencias|scorta|voorraad|notes?|remarks?|description)\b"
)


def settled(table: OwnTable, layout: Layout) -> Layout:
    """The layout with a number of packs that is the amount in one, and a column of days or names that no head names."""
    layout = with_ounces(table, layout)
    if layout.holds != MATERIALS:
        return layout
    roles = [*layout.roles, *[""] * (min(table.width, MOST_COLUMNS) - len(layout.roles))]
    _take_taxed(table, layout, roles)
    if "freight" in roles and not _is_paid(table, layout, roles.index("freight")):
        roles[roles.index("freight")] = ""  # the day of delivery, or who delivers
    counts_by_head(table, layout, roles, [one for one in _free(roles, "unit") if _are_amounts(table, layout, one)])
    if "day" not in roles:
        _take(roles, "day", [place for place in _free(roles, "pack", "packs") if _are_days(table, layout, place)])
    if not {"name", "inci"} & set(roles) and layout.heads:
        named = [place for place in _free(roles) if _are_names(table, layout, place)]
        _take(roles, "name", [place for place in named if not table.cell(layout.heads, place)] or named)
    if {"packs", "pack", "unit_price"} <= set(roles) and "price" not in roles and _is_total(table, layout, roles):
        roles[roles.index("pack")] = "price"
    if {"price", "net_price"} <= set(roles) and layout.heads and not _is_of_tax(table, layout, roles):
        roles[roles.index("net_price")] = "price"
    _take_money_of_tax(table, layout, roles)
    if "price" in roles and layout.heads:
        roles = [role or _other_price(table, layout, place, roles.index("price")) for place, role in enumerate(roles)]
    if "pack" not in roles:
        _settle_packs(table, layout, roles)
    counts_by_total(table, layout, roles)
    paid_by_total(table, layout, roles)
    _take_discounted(table, layout, roles)
    take_paid(table, layout, roles)
    take_landed(table, layout, roles)
    take_landed_head(table, layout, roles)
    take_tax_paid(table, layout, roles)
    return Layout(layout.holds, layout.heads, tuple(roles[: max(len(layout.roles), _last(roles))]))


def _take_money_of_tax(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """Tax in money below a head of its rate: left out between a price without it and one with it, else an order's."""
    if {"price", "net_price", "tax_rate"} <= set(roles) and _is_tax_itself(table, layout, roles):
        roles[roles.index("tax_rate")] = ""
    if "tax_rate" in roles and holds_money(table, replace(layout, roles=tuple(roles))):
        roles[roles.index("tax_rate")] = "order_tax"


def _take_taxed(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """A column of words that say how tax stands in each row is that; what its head was taken for is another's then."""
    free = [place for place, role in enumerate(roles) if role in ("", "tax_rate", "price", "net_price")]
    place = next((one for one in free if _says_tax_by_row(table, layout, one)), None)
    if place is None:
        return
    was, roles[place] = roles[place], "taxed"
    heads = [table.cell(layout.heads, one) for one in range(len(roles))]
    other = next((one for one in _free(roles) if was and was not in roles and role_of(heads[one], MATERIALS)), None)
    if other is not None and role_of(heads[other], MATERIALS) not in roles:
        roles[other] = role_of(heads[other], MATERIALS)


def _says_tax_by_row(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether nearly all cells of a column say how tax stands: "inc", "ex VAT", "zero"; yes and no below such a head.

    Rates may stand among them where they are fewer.
    """
    cells = [cell for cell in _cells(table, layout, place) if cell not in BLANK]
    said = [(cell, one) for cell in cells if (one := cell_said(cell))]
    if not layout.heads or sum(bool(one.how) for _, one in said) * 2 <= len(cells) or len(said) * 5 < len(cells) * 4:
        return False
    head = table.cell(layout.heads, place)
    if NOTE_HEAD.search(head):
        return False  # each is asked beside its price
    others = [table.cell(layout.heads, one) for one in range(table.width) if one != place]
    is_price = role_of(head, MATERIALS) in PRICES and without_besides(head).strip("?/ ")
    if is_price and not any(role_of(one, MATERIALS) in PRICES for one in others):
        return False  # "x" below "Price ex VAT"
    by_head = is_about_tax(head) or plain_words(head) in _INC_OR_EX
    return by_head or all(is_about_tax(cell) for cell, one in said if one.how)


def _take_discounted(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """A price after what is taken off it is the price, where both stand there."""
    if "price" not in roles or not layout.heads:
        return
    heads = [plain_words(table.cell(layout.heads, place)) for place in range(len(roles))]
    found = next((place for place in _free(roles) if heads[place] in _AFTER_DISCOUNT), None)
    if found is not None:
        roles[roles.index("price")], roles[found] = "", "price"


def _free(roles: list[str], *also: str) -> list[int]:
    """The columns that hold nothing yet, or one of some that may be meant otherwise."""
    return [place for place, role in enumerate(roles) if role in ("", *also)]


def _take(roles: list[str], role: str, places: list[int]) -> None:
    """Say what a column holds where only one comes into question."""
    if len(places) == 1:
        roles[places[0]] = role


def _settle_packs(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """Where no head names the pack: units that are numbers are how many; amounts are the pack, and so may be those."""
    if "unit" in roles and "packs" not in roles and _are_numbers(table, layout, roles.index("unit")):
        roles[roles.index("unit")] = "packs"
    _take(roles, "pack", [place for place in _free(roles, "unit") if _are_amounts(table, layout, place)])
    if "packs" in roles and "pack" not in roles and _is_amount(table, layout, roles):
        roles[roles.index("packs")] = "pack"


def _last(roles: list[str]) -> int:
    return max((place for place, role in enumerate(roles, 1) if role), default=0)


def _cells(table: OwnTable, layout: Layout, place: int) -> list[str]:
    below = range(layout.heads + 1, min(len(table.rows), layout.heads + LOOKED_AT) + 1)
    return [text for row in below if (text := table.cell(row, place))]


def _are_days(table: OwnTable, layout: Layout, place: int) -> bool:
    head = words_of(table.cell(layout.heads, place)) if layout.heads else ""
    cells = _cells(table, layout, place)
    days = sum(sort_of(cell) == "day" for cell in cells)
    return not _OTHER_DAYS.search(head) and days > 0 and days * 5 >= len(cells) * 4  # nearly all: four of five


def _are_amounts(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether all of a column are amounts with their unit, or numbers below a unit that is all of the head."""
    cells = _cells(table, layout, place)
    sorts = {sort_of(cell) for cell in cells}
    head = table.cell(layout.heads, place) if layout.heads else ""
    if _OTHER_AMOUNTS.search(words_of(head)):
        return False
    return sorts == {"amount"} or (sorts == {"number"} and unit_of(head) in (*MASS, *VOLUME))


def _is_total(table: OwnTable, layout: Layout, roles: list[str]) -> bool:
    """Whether an "amount" is the money for all: how many, times the price of one, in each row."""
    places = [roles.index(role) for role in ("packs", "unit_price", "pack")]
    found = [[table.cell(row, place) for place in places] for row in range(layout.heads + 1, len(table.rows) + 1)]
    rows = [[Decimal(bare_number(cell)) for cell in row] for row in found if all(map(bare_number, row))]
    return bool(rows) and all(abs(many * one - all_of) <= _A_CENT for many, one, all_of in rows)


def _is_of_tax(table: OwnTable, layout: Layout, roles: list[str]) -> bool:
    """Whether a "net price" is one without tax, and not what is left of a price: the other says so, or a rate does."""
    heads = [table.cell(layout.heads, place) for place in range(len(roles))]
    if any(words_of(head) in _DISCOUNTS for head in heads):
        return False
    return (
        bool(tax_said(heads[roles.index("price")])) or "tax_rate" in roles or _says_tax(heads[roles.index("net_price")])
    )


def _says_tax(head: str) -> bool:
    """Whether a head names the tax itself: ex VAT, not only net."""
    return bool(words_of(head)) and not set(words_of(head).split()) & {"net", "netto", "nett"}


def _is_tax_itself(table: OwnTable, layout: Layout, roles: list[str]) -> bool:
    """Whether a column of tax is the money that lies between a price without it and one with it."""
    places = [roles.index(role) for role in ("net_price", "tax_rate", "price")]
    if any(sort_of(cell) == "money" for cell in _cells(table, layout, places[1])):
        return True
    found = [[table.cell(row, place) for place in places] for row in range(layout.heads + 1, len(table.rows) + 1)]
    rows = [[Decimal(bare_number(cell)) for cell in row] for row in found if all(map(bare_number, row))]
    return bool(rows) and all(abs(net + tax - price) <= _A_CENT for net, tax, price in rows)


def _are_numbers(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether "units" are a number of them."""
    return {sort_of(cell) for cell in _cells(table, layout, place)} == {"number"}


def _is_paid(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether amounts of money stand in a column, or words for nothing paid, and not only days and other words."""
    cells = _cells(table, layout, place)
    return any(one.casefold() in FREE or _MONEY.fullmatch(without_money(one)[0]) for one in cells)


def _are_names(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether words stand in a column, and nothing else; where its head says so, they are notes."""
    cells = _cells(table, layout, place)
    return (
        not _OTHER_AMOUNTS.search(words_of(table.cell(layout.heads, place)))
        and bool(cells)
        and all(sort_of(cell) == "text" for cell in cells)
    )


def _other_price(table: OwnTable, layout: Layout, place: int, price: int) -> str:
    """What a second column holds that is headed as a price and says another: the same, so that it is asked."""
    heads = [table.cell(layout.heads, one) for one in (place, price)]
    said = [packs_said(words_of(without_besides(one))) for one in heads]
    if role_of(heads[0], MATERIALS) != "price" or ALL_PACKS in said:
        return ""
    rows = range(layout.heads + 1, len(table.rows) + 1)
    pairs = [(table.cell(row, place), table.cell(row, price)) for row in rows]
    return "price" if any(one and other and one != other for one, other in pairs) else ""


def _is_amount(table: OwnTable, layout: Layout, roles: list[str]) -> bool:
    """Whether a "quantity" is how much is in a pack: a unit stands beside it, in its head, or behind most numbers."""
    place = roles.index("packs")
    cells = _cells(table, layout, place)
    in_cells = sum(sort_of(cell) == "amount" for cell in cells) * 2 > len(cells)
    by_head = unit_in(table.cell(layout.heads, place)) if layout.heads else ""
    return "unit" in roles or (by_head not in ("", PIECES) and not dozens_in(by_head)) or in_cells
