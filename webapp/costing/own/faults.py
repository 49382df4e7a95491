"""What has to be chosen of a maker's own sheets before any of their rows can be read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, replace

from webapp.costing.own.across import is_side_by_side
from webapp.costing.own.columns import (
    AMOUNTS,
    FORMULAS,
    MATERIALS,
    MAY_REPEAT,
    MOST_ROWS,
    NOTHING,
    OF_FORMULA,
    OF_INGREDIENT,
    PRICES,
    PRODUCTS,
    ROLES,
    Layout,
    OwnTable,
    role_of,
)
from webapp.costing.own.counts import in_doubt, is_of_goods, is_total
from webapp.costing.own.density_tabs import density_tab
from webapp.costing.own.freight import ON_TOP, speaks_of_freight
from webapp.costing.own.heads import columns_of
from webapp.costing.own.landed import adds_freight, freight_in_percent
from webapp.costing.own.money_tax import says_money
from webapp.costing.own.ounces import POUNDS
from webapp.costing.own.rows import Wrong, column_letters
from webapp.costing.own.side_by_side import beside_prices, side_by_side
from webapp.costing.own.told import OfSheet
from webapp.costing.own.weight_heads import other_unit

#: choices that are made for one sheet
PER_SHEET = tuple(one.name for one in fields(OfSheet))
#: what only a list with a row an ingredient has
_ONLY_IN_LISTS = {
    OF_FORMULA: frozenset((*AMOUNTS, "unit", "formula", "batch")),
    OF_INGREDIENT: frozenset((*AMOUNTS, "unit", "ingredient", "stage")),
}
#: how many rows are named
_NAMED = 3


def at_sheets(tables: Sequence[OwnTable], wrong: Iterable[Wrong]) -> list[Wrong]:
    """What is wrong, with the choice of one sheet at that sheet, which then names its first rows."""
    every = list(wrong)
    rows: dict[tuple[int, str], list[int]] = {}
    for one in every:
        if one.choice in PER_SHEET:
            rows.setdefault((one.sheet, one.choice), []).append(one.row)
    return [_as_it_stands(tables, _at_sheet(tables, one, rows)) for one in every]


def _as_it_stands(tables: Sequence[OwnTable], one: Wrong) -> Wrong:
    """The same with its cell as the sheet has it, so that what is sent back unchanged changes nothing."""
    return replace(one, read=tables[one.sheet].cell(one.row, one.column) or one.read)


def _at_sheet(tables: Sequence[OwnTable], one: Wrong, rows: Mapping[tuple[int, str], list[int]]) -> Wrong:
    if one.choice not in PER_SHEET:
        return one
    here = sorted(set(rows[one.sheet, one.choice]))
    more = f" and {len(here) - _NAMED} more" if len(here) > _NAMED else ""
    where = (
        f"{tables[one.sheet].title}, {'row' if len(here) == 1 else 'rows'} {', '.join(map(str, here[:_NAMED]))}{more}"
    )
    return replace(one, choice=f"sheets-{one.sheet}-{one.choice}", sentence=f"{where}: {one.sentence}")


def asked_of_sheets(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet]
) -> Iterator[tuple[str, str]]:
    """What has to be chosen of single sheets of materials beside what their rows ask."""
    for asks in (without_price, amounts_left_out, counts_left_out, freight_left_open, freight_on_top):
        yield from asks(tables, layouts, said)


def without_price(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet]
) -> tuple[tuple[str, str], ...]:
    """The sheets of materials of which no column is a price, and nobody said that there is none."""
    words = "No column is taken for a price. Which one holds it? Choose it below, or say that this sheet has no prices."
    unpriced = [
        (number, table, _beside_names(table, layout))
        for number, (table, layout) in enumerate(zip(tables, layouts, strict=True))
        if layout.holds == MATERIALS and not set(PRICES) & set(layout.roles)
        if said.get(number, OfSheet()).priced != "none"
        if "density" not in layout.roles or density_tab(table) is None
    ]
    return tuple(
        (f"sheets-{number}-holds", f"{table.title}: {beside}")
        if beside
        else (f"sheets-{number}-priced", f"{table.title}: {words}")
        for number, table, beside in unpriced
    )


def _beside_names(table: OwnTable, layout: Layout) -> str:
    """What is asked of a sheet of which nothing but the names is known, where amounts of formulas may stand beside."""
    found = side_by_side(table, layout.heads) if layout.heads and {*layout.roles} <= {"", "name", "inci"} else None
    if found is None:
        return ""
    places = [*found.layout.places(OF_FORMULA), *found.layout.places(OF_INGREDIENT)]
    first, last = (f"{column_letters(one)} ({table.cell(layout.heads, one)[:40]})" for one in (places[0], places[-1]))
    return (
        f"Columns {first} to {last} hold numbers. Are they formulas side by side? Then choose that it holds formulas. "
        "Else choose below which column holds a price, or that it holds products."
    )


def amounts_left_out(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet]
) -> Iterator[tuple[str, str]]:
    """The sheets of materials with columns of amounts that are left out, and nobody said whether they are formulas."""
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        wanted = layout.holds == MATERIALS and not said.get(number, OfSheet()).formulas
        beside = beside_prices(table, layout) if wanted else None
        if beside is not None:
            places = beside.places(OF_FORMULA)
            first, last = (
                f"{column_letters(one)} ({table.cell(layout.heads, one)[:40]})" for one in (places[0], places[-1])
            )
            words = f"{table.title}: Columns {first} to {last} hold amounts and are left out."
            yield f"sheets-{number}-formulas", f"{words} Are they formulas side by side? Say it below."


def counts_left_out(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet]
) -> Iterator[tuple[str, str]]:
    """The sheets of which a column that is left out may be how many packs a price is for, and nobody said whether.

    What are amounts of formulas, or asked as such, is not asked once more.
    """
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        told = said.get(number, OfSheet())
        wanted = layout.holds == MATERIALS and not told.counts
        places = in_doubt(table, layout, for_all=told.priced == "all") if wanted else ()
        beside = beside_prices(table, layout) if places and told.formulas != "no" else None
        places = tuple(one for one in places if beside is None or one not in beside.places(OF_FORMULA))
        if places:
            first = f"{column_letters(places[0])} ({table.cell(layout.heads, places[0])[:40] or 'without a head'})"
            words = f"{table.title}: Column {first} holds whole numbers and is left out."
            more = " If another column is, choose that for it below." if len(places) > 1 else ""
            yield f"sheets-{number}-counts", f"{words} Is it how many packs the price is for? Say it below.{more}"


def freight_left_open(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet]
) -> Iterator[tuple[str, str]]:
    """The sheets of which a head is of freight and more, or whose total may hold the freight that stands beside it."""
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        if layout.holds != MATERIALS or not layout.heads or said.get(number, OfSheet()).freight:
            continue
        place = layout.place("freight")
        heads = [table.cell(layout.heads, one) for one in range(max(table.width, len(layout.roles)))]
        named = [f"{column_letters(one)} ({head[:40]})" for one, head in enumerate(heads)]
        spoken = [one for one, head in enumerate(heads) if speaks_of_freight(head)]
        totals = [one for role in ("price", "net_price") for one in layout.places(role)]
        doubtful = [
            one for one in totals if one in spoken or (is_total(heads[one]) and not is_of_goods(table, layout, one))
        ]
        left = [one for one in spoken if not any(layout.roles[one : one + 1])]
        share = freight_in_percent(table, layout)
        if share is not None:
            words = (
                f"{table.title}: Column {named[share]} says percent. Do they come on top of each price? Say it below."
            )
            yield f"sheets-{number}-freight", words
        elif place is None and left:
            words = f"{table.title}: Column {named[left[0]]} speaks of freight and is left out."
            yield f"sheets-{number}-freight", f"{words} Choose what it holds, or say below where the freight is."
        elif place is not None and doubtful:
            words = f"{table.title}: Is the freight of column {named[place]} in column {named[doubtful[0]]} already?"
            yield f"sheets-{number}-freight", f"{words} Say it below."


def freight_on_top(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], said: Mapping[int, OfSheet]
) -> Iterator[tuple[str, str]]:
    """The sheets of which freight was said to come on top, and nothing in them is freight that can be added."""
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        told = said.get(number, OfSheet()).freight == ON_TOP and layout.holds == MATERIALS and layout.heads
        if not told or "freight" in layout.roles or adds_freight(table, layout):
            continue
        heads = {one: table.cell(layout.heads, one) for one in range(table.width)}
        left = [one for one in heads if speaks_of_freight(heads[one]) and not any(layout.roles[one : one + 1])]
        if left:
            first = f"{column_letters(left[0])} ({heads[left[0]][:40]})"
            words = f"{table.title}: Column {first} is no freight of each row, so nothing of it comes on top."
            more = "Choose what it holds, or say below that freight is in these prices or not to be counted."
            yield f"sheets-{number}-freight", f"{words} {more}"


def faults_in(tables: Sequence[OwnTable], layouts: Sequence[Layout]) -> tuple[tuple[str, str], ...]:
    """What has to be chosen before any row can be read."""
    found = []
    if all(layout.holds == NOTHING for layout in layouts):
        found.append(("sheets-0-holds", "Say which sheet holds materials with prices, formulas, or products."))
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        roles = set(layout.roles)
        if layout.holds != NOTHING and len(table.rows) > MOST_ROWS:
            words = (
                f"This sheet has {len(table.rows):,} rows, and {MOST_ROWS:,} can be taken at once. Save a part of it "
                "in a file of its own, or choose that it holds nothing that is wanted."
            )
            found.append((f"sheets-{number}-holds", words))
        if layout.holds == PRODUCTS and not {"name", "formula"} & roles:
            found.append((f"sheets-{number}-columns-0", "Choose the column with the product's name, or its formula."))
        if layout.holds == MATERIALS and not {"name", "inci"} & roles:
            found.append((f"sheets-{number}-columns-0", "Choose the column with the material's name."))
        found += [(f"sheets-{number}-{at}", words) for at, words in _of_columns(table, layout)]
    return tuple(found)


def _across(table: OwnTable, layout: Layout) -> Iterator[tuple[str, str]]:
    """What keeps such a sheet from being read: its field within the sheet, and a sentence."""
    both = OF_FORMULA in layout.roles and OF_INGREDIENT in layout.roles
    role, names = (OF_FORMULA, "ingredient") if OF_FORMULA in layout.roles else (OF_INGREDIENT, "formula")
    listed = next((place for place, one in enumerate(layout.roles) if one in _ONLY_IN_LISTS[role]), None)
    if both:
        words = "Some columns are formulas and others ingredients. Choose one of both for all of them."
        yield f"columns-{layout.places(OF_INGREDIENT)[0]}", words
    elif listed is not None:
        words = "The amounts stand in the columns that are named by their heads. Leave this one out, or choose for all."
        yield f"columns-{listed}", words
    elif names not in layout.roles:
        yield "columns-0", f"Choose the column with the {names}."
    named = columns_of(table, layout)
    blank = next((place for place in layout.places(role) if place not in named), None)
    if blank is not None:
        words = "This column has no head that names what it holds. Correct the row of the heads, or leave it out."
        yield f"columns-{blank}", words


def _not_in_grams(table: OwnTable, layout: Layout) -> Iterator[tuple[str, str]]:
    """A column that is said to hold grams, below a head that says another unit."""
    place = layout.place("grams") if layout.heads else None
    said = "" if place is None else other_unit(table.cell(layout.heads, place))
    if said and role_of(table.cell(layout.heads, place or 0), FORMULAS) != "grams":
        words = f"Its head says {said}, and it is taken for grams. Choose “{ROLES[FORMULAS]['amount']}”, or correct the"
        yield f"columns-{place}", f"{words} head in your sheet."


def _of_columns(table: OwnTable, layout: Layout) -> Iterator[tuple[str, str]]:
    """What the columns of one sheet can't be together."""
    roles = set(layout.roles)
    if is_side_by_side(layout):
        yield from _across(table, layout)
    elif layout.holds == FORMULAS:
        if "ingredient" not in roles:
            yield "columns-0", "Choose the column with the ingredient."
        if not roles & set(AMOUNTS):
            yield "columns-0", "Choose the column that says how much of each ingredient."
        yield from _not_in_grams(table, layout)
    if layout.holds == MATERIALS and says_money(table, layout, "tax_rate"):
        place = layout.roles.index("tax_rate")
        words = (
            f"{table.cell(layout.heads, place) or 'This column'} holds amounts of money, no rate of tax. Choose "
            f"“{ROLES[MATERIALS]['order_tax']}” for it, leave it out"
        )
        yield f"columns-{place}", f"{words}, or type the rate in its cells, such as 20%."
    pounds = POUNDS.get(layout.holds, "")
    if "ounces" in roles and pounds not in roles:
        words = "Ounces stand beside pounds. Choose the column with the pounds, or leave this one out."
        yield f"columns-{layout.roles.index('ounces')}", words
    once = [role for role in layout.roles if role and role not in MAY_REPEAT.get(layout.holds, ())]
    twice = next((role for role in once if once.count(role) > 1), "")
    if twice:
        words = f"Two columns are said to hold the same ({ROLES[layout.holds][twice]}). Choose one of them."
        last = len(layout.roles) - 1 - layout.roles[::-1].index(twice)
        yield f"columns-{last}", words
