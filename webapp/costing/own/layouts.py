"""What each sheet of a maker's own and each of its columns holds, guessed from heads and cells, then chosen.

What is guessed is only a beginning: a person sees it beside the first rows and corrects it.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence

from webapp.costing.amounts import ZERO
from webapp.costing.limits import name_key
from webapp.costing.own.all_in import with_its_unit
from webapp.costing.own.columns import (
    AMOUNTS,
    FORMULAS,
    LOOKED_AT,
    MATERIALS,
    MOST_COLUMNS,
    NOTHING,
    PRICES,
    PRODUCTS,
    Layout,
    OwnTable,
    roles_in,
    sort_of_most,
    words_of,
)
from webapp.costing.own.counts import number_at
from webapp.costing.own.density_tabs import density_tab
from webapp.costing.own.head_rows import TITLES, heads_in, says_batch, says_shares, weight_of
from webapp.costing.own.heads import stands_beside, units_below
from webapp.costing.own.multiples import in_sizes
from webapp.costing.own.rows import says_total
from webapp.costing.own.settled import settled
from webapp.costing.own.side_by_side import BY_LOOKS, BY_PERCENT, BY_SUMS, side_by_side
from webapp.costing.own.weighed_lists import as_formula, weighed_lines


def laid_out(table: OwnTable) -> Layout:
    """What is guessed of a sheet: the kind that more of its heads speak for, else what its title or its cells say."""
    if table.hidden or not any(table.rows):
        return Layout(NOTHING)
    if (said := density_tab(table) or in_sizes(table)) is not None:
        return said
    found = {kind: heads_in(table, kind) for kind in (MATERIALS, FORMULAS, PRODUCTS)}
    weight = {kind: weight_of(table, kind, *found[kind]) for kind in found}
    plainly = says_shares(table, *found[FORMULAS])  # of two that are even, what says shares
    shares = {"ingredient", "percent", "unit_price"} <= {*found[FORMULAS][1]} and "pack" not in found[MATERIALS][1]
    if plainly and (shares or found[MATERIALS][0] > found[FORMULAS][0]):  # prices in recipes; heads further down
        weight[MATERIALS] = 0
    holds = max(weight, key=lambda kind: (weight[kind], kind == FORMULAS and plainly))
    beside = None if holds == PRODUCTS and weight[holds] > 1 else side_by_side(table)
    priced = {*PRICES} & {*found[MATERIALS][1]}
    if {"name", "pack"} <= {*found[MATERIALS][1]} and priced - {"unit_price"}:
        beside = None  # it is asked what stands beside prices of packs
    if beside is not None and beside.mixed and priced == {"unit_price"} and "unit_price" in beside.layout.roles:
        return beside.layout  # each brings its ingredients' prices for one kg
    units = beside is not None and not priced and _are_units_of(table, beside.layout, *found[FORMULAS])
    if beside is not None and (units or beside.sure >= _needed(table, found[MATERIALS][1])):
        return beside.layout
    if weight[holds] < 2:
        return guessed_by_cells(table) if beside is None else _named_alone(beside.layout)
    row, roles = found[holds]
    return settled(table, Layout(holds, row, roles))


def _are_units_of(table: OwnTable, beside: Layout, row: int, roles: Sequence[str]) -> bool:
    """Whether heads of a list are the units below the names of formulas side by side: "| % | g | parts"."""
    return "ingredient" not in roles and row == units_below(table, beside.heads) > 0


def _named_alone(beside: Layout) -> Layout:
    """Names beside numbers that may be formulas side by side, or prices: asked, since no column is one."""
    names = next(place for place, role in enumerate(beside.roles) if role in ("ingredient", "formula"))
    return Layout(
        MATERIALS, beside.heads, tuple("name" if place == names else "" for place in range(len(beside.roles)))
    )


def laid_out_together(tables: Sequence[OwnTable]) -> tuple[Layout, ...]:
    """What is guessed of each of several sheets.

    Names and amounts are a formula where most of the names have a price on another sheet; beside what each line costs
    they are one where a title, a batch or a total says so too, or as a title with a batch says alone.
    """
    layouts = [laid_out(table) for table in tables]
    cards = [_card(table, layout) for table, layout in zip(tables, layouts, strict=True)]
    priced: set[str] = set()
    for table, layout, card in zip(tables, layouts, cards, strict=True):
        prices = layout.holds == MATERIALS and {*PRICES} & {*layout.roles} and card == NO_CARD
        if prices and not weighed_lines(table, layout):
            priced |= {name_key(name) for name in _names(table, layout, "name")}
    every = zip(tables, layouts, cards, strict=True)
    return tuple(_of_priced(table, layout, card, priced) for table, layout, card in every)


#: how surely a sheet of amounts and costs is a recipe with what each line of it costs
NO_CARD, MAYBE_CARD, SURE_CARD = "", "maybe", "surely"
#: what a price list has, and no recipe
_ONLY_OF_PRICES = {"supplier", "day", "packs", "code", "currency", "net_price", "tax_rate", "density"}


def _card(table: OwnTable, layout: Layout) -> str:
    """Whether a sheet taken for prices is a recipe whose lines say what they cost: "Ingredient | Amount (oz) | Cost".

    A title and a batch above the heads say it surely; one of them, or a total of the amounts, if the rest agrees.
    """
    if layout.holds != MATERIALS or not {*PRICES} & {*layout.roles} or _ONLY_OF_PRICES & {*layout.roles}:
        return NO_CARD
    found = laid_out_as(table, FORMULAS)
    amounts = [place for place, role in enumerate(found.roles) if role in AMOUNTS]
    if not found.heads or "ingredient" not in found.roles or not amounts:
        return NO_CARD
    above = [table.rows[row - 1] for row in range(1, found.heads)]
    titles = [words_of(text) for text in (table.title, *(cell for row in above for cell in row))]
    named = any(TITLES[FORMULAS].search(title) for title in titles)
    batch = any(says_batch(row, FORMULAS) for row in above)
    if named and batch:
        return SURE_CARD
    return MAYBE_CARD if named or batch or _adds_up(table, found, amounts[0]) else NO_CARD


def _adds_up(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether a row that says it is the total is that of the amounts above it, but for rounding."""
    name, total = layout.roles.index("ingredient"), ZERO
    for row in range(layout.heads + 1, len(table.rows) + 1):
        number = number_at(table, row, place)
        if says_total(words_of(table.cell(row, name))):
            return number is not None and total > ZERO and abs(number - total) * 100 <= total
        total += number or ZERO
    return False


def _of_priced(table: OwnTable, layout: Layout, card: str, priced: Container[str]) -> Layout:
    """A formula, where a sheet of materials has amounts of what is `priced` elsewhere; else as it is."""
    if (weighed := as_formula(table, layout, priced)) is not None:
        return weighed
    if layout.holds != MATERIALS or (card == NO_CARD and {*PRICES, "density"} & {*layout.roles}):
        return layout
    found = laid_out_as(table, FORMULAS)
    above = (table.cell(row, place) for row in range(1, found.heads) for place in range(table.width))
    titles = [words_of(title) for title in (table.title, *above)]
    if card == NO_CARD and any(TITLES[MATERIALS].search(title) or stands_beside(title) for title in titles):
        return layout
    names = (
        _names(table, found, "ingredient", above_total=card != NO_CARD)
        if {*AMOUNTS} & {*found.roles} and found.heads
        else []
    )
    known = sum(name_key(name) in priced for name in names)
    return found if names and (card == SURE_CARD or (known > 1 and known * 2 > len(names))) else layout


def _names(table: OwnTable, layout: Layout, role: str, *, above_total: bool = False) -> list[str]:
    """What stands below the head of names, but for sums; `above_total`: down to the first of them, if there is one."""
    place = layout.place(role)
    below = range(layout.heads + 1, len(table.rows) + 1) if place is not None else ()
    texts = [text for row in below if (text := table.cell(row, place or 0))]
    ends = next((at for at, text in enumerate(texts) if says_total(words_of(text))), None)
    texts = texts[:ends] if above_total and ends else texts
    return [text for text in texts if not says_total(words_of(text))]


def laid_out_as(table: OwnTable, holds: str) -> Layout:
    """What is guessed of the columns where a person says what the sheet holds."""
    if holds == NOTHING:
        return Layout(NOTHING)
    if holds == MATERIALS and (dense := density_tab(table)) is not None:
        return dense
    if holds == FORMULAS and (sizes := in_sizes(table)) is not None:
        return sizes
    row, roles = heads_in(table, holds)
    beside = side_by_side(table) if holds == FORMULAS else None
    if beside is not None:
        return beside.layout
    if sum(map(bool, roles)) > 1:
        return settled(table, Layout(holds, row, roles))
    return Layout(holds, 0, _by_cells(table, holds))


def _needed(table: OwnTable, materials: Sequence[str]) -> int:
    """How sure formulas side by side have to be: most where there is a price, least where the title speaks of them."""
    if {*PRICES} & set(materials):
        return BY_SUMS
    return BY_LOOKS if TITLES[FORMULAS].search(words_of(table.title)) else BY_PERCENT


def laid_out_at(table: OwnTable, holds: str, heads: int) -> Layout:
    """What is guessed of the columns where a person says in which row the heads stand (0: nowhere)."""
    if not heads or holds == NOTHING:
        return Layout(holds, 0, _by_cells(table, holds)) if holds != NOTHING else Layout(NOTHING)
    beside = side_by_side(table, heads) if holds == FORMULAS else None
    if beside is not None:
        return beside.layout
    row = table.rows[heads - 1] if heads <= len(table.rows) else ()
    return settled(table, Layout(holds, heads, roles_in(row, holds)[:MOST_COLUMNS] or ("",)))


def guessed_by_cells(table: OwnTable) -> Layout:
    """A sheet without heads: text, an amount with its unit and money are prices; text and numbers a formula."""
    if {"supplier", "day", "freight"} <= {*heads_in(table, MATERIALS)[1]}:
        return Layout(NOTHING)  # what the way of each order cost
    title = words_of(table.title)
    for holds in (FORMULAS, MATERIALS):
        roles = _by_cells(table, holds)
        needed = {*PRICES} if holds == MATERIALS else {"percent", "grams", "amount"}
        if TITLES[holds].search(title) and needed & set(roles):
            return Layout(holds, 0, with_its_unit(table, roles) if holds == FORMULAS else roles)
    roles = _by_cells(table, MATERIALS)
    if "name" in roles and "price" in roles:
        return Layout(MATERIALS, 0, roles)
    roles = _by_cells(table, FORMULAS)
    listed = {"ingredient", "percent"} <= {*roles}
    return Layout(FORMULAS, 0, with_its_unit(table, roles)) if listed else Layout(NOTHING)


def _by_cells(table: OwnTable, holds: str) -> tuple[str, ...]:
    roles: list[str] = []
    for column in range(min(table.width, MOST_COLUMNS)):
        cells = [table.cell(row, column) for row in range(1, min(len(table.rows), LOOKED_AT) + 1)]
        said = sort_of_most([cell for cell in cells if cell])
        role = _BY_SORT[holds].get(said, "")
        if role in roles:
            role = "price" if holds == MATERIALS and role == "pack" and said == "number" else ""
        roles.append("" if role in roles else role)
    if holds == MATERIALS and "price" not in roles and "pack" in roles:
        roles[roles.index("pack")] = "price"
    return tuple(roles)


_BY_SORT: Mapping[str, Mapping[str, str]] = {
    MATERIALS: {"text": "name", "amount": "pack", "money": "price", "number": "pack", "day": "day"},
    PRODUCTS: {"text": "name", "amount": "size", "money": "price", "number": "price"},
    FORMULAS: {"text": "ingredient", "amount": "amount", "percent": "percent", "number": "percent"},
}
