"""A weight in two columns of a maker's own sheet, pounds and ounces: found by the heads, read as one weight."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.own.columns import BLANK, FORMULAS, MATERIALS, Layout, OwnTable, known_role, unit_in, words_of
from webapp.costing.own.units import OUNCES_IN_POUND, fraction_in
from webapp.costing.own.weight_heads import says_how_much
from webapp.costing.written_units import unit_of

#: what the column left of the ounces holds, by what the sheet holds
POUNDS = {MATERIALS: "pack", FORMULAS: "amount"}
#: what such heads say besides their unit, by what the sheet holds
_BESIDES = {MATERIALS: ("pack", "packs"), FORMULAS: ("amount", "grams")}
_NUMBER = re.compile(r"[0-9][0-9.,]*")


def with_ounces(table: OwnTable, layout: Layout) -> Layout:
    """The layout with the ounces that stand beside pounds; as it is where both columns say the same weight."""
    main = POUNDS.get(layout.holds, "")
    if not layout.heads or not main or "ounces" in layout.roles:
        return layout
    for place in range(table.width - 1):
        taken = {*layout.roles[place : place + 2]} - {"", main, *_BESIDES[layout.holds]}
        free = layout.place(main) in (None, place, place + 1)
        if free and not taken and _say_both(table, layout, place) and not _are_the_same(table, layout, place):
            roles = [*layout.roles, *[""] * (place + 2 - len(layout.roles))]
            ounces_first = unit_in(table.cell(layout.heads, place)) == "oz"
            roles[place : place + 2] = ["ounces", main] if ounces_first else [main, "ounces"]
            return replace(layout, roles=tuple(roles))
    return layout


def _say_both(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether two heads beside each other, or what stands below one over both, are pounds and ounces."""
    heads = [table.cell(layout.heads, one) for one in (place, place + 1)]
    if heads[0] and not heads[1]:
        below = [table.cell(layout.heads + 1, one) for one in (place, place + 1)]
        return [unit_of(one) for one in below] == ["lb", "oz"] and _besides(heads[0], layout.holds)
    same = words_of(_without_unit(heads[0])) == words_of(_without_unit(heads[1]))
    return sorted(unit_in(one) for one in heads) == ["lb", "oz"] and same and _besides(heads[0], layout.holds)


def _besides(head: str, holds: str) -> bool:
    """Whether a head says nothing but a weight."""
    rest = _without_unit(head)
    said = holds == FORMULAS and says_how_much(rest)
    return not rest or said or known_role(rest, holds) in _BESIDES[holds]


def _without_unit(head: str) -> str:
    words = re.sub(r"[(\[].*?[)\]]", " ", head).split()
    return " ".join(one for one in words if not unit_of(one.strip("/,")))


def _are_the_same(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether two columns beside each other say the same weight, in pounds and in ounces."""
    ounces_first = unit_in(table.cell(layout.heads, place)) == "oz"
    return _say_the_same(table, layout.heads, *((place + 1, place) if ounces_first else (place, place + 1)))


def in_two_parts(
    table: OwnTable, heads: int, units: Mapping[int, str], beside: Mapping[int, int]
) -> dict[int, tuple[int, int]]:
    """Of formulas side by side those with a column of pounds and one of ounces: the first -> the pounds, the ounces."""
    found = {}
    for main, other in beside.items():
        pounds, ounces = sorted((main, other), key=lambda one: unit_of(units[one]) != "lb")
        in_both = [unit_of(units[one]) for one in (pounds, ounces)] == ["lb", "oz"]
        if in_both and not _say_the_same(table, heads, pounds, ounces):
            found[main] = (pounds, ounces)
    return found


def _say_the_same(table: OwnTable, heads: int, *places: int) -> bool:
    """Whether the ounces are the pounds once more, in each row that has both, but for how both may be rounded."""
    pairs = list(_pairs(table, heads, places))
    return bool(pairs) and all(
        abs(pounds * OUNCES_IN_POUND - ounces) <= _rounding(pounds) * OUNCES_IN_POUND + _rounding(ounces)
        for pounds, ounces in pairs
    )


def _rounding(value: Decimal) -> Decimal:
    """Half of the last place of a number; whole ones are taken to be exact."""
    places = int(value.as_tuple().exponent)
    return ONE.scaleb(places) / 2 if places < 0 else ZERO


def _pairs(table: OwnTable, heads: int, places: Sequence[int]) -> Iterator[tuple[Decimal, Decimal]]:
    for row in range(heads + 1, len(table.rows) + 1):
        texts = [table.cell(row, one).replace(",", ".") for one in places]
        if all(re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,9})?", one) for one in texts):
            yield Decimal(texts[0]), Decimal(texts[1])


def joined(pounds: str, ounces: str) -> str:
    """A weight of two cells as one text: "2" and "8" are "2 lb 8 oz"."""
    if ounces in BLANK:
        return _in(pounds, "lb")
    return _in(ounces, "oz") if pounds in BLANK else f"{_in(pounds, 'lb')} {_in(ounces, 'oz')}"


def _in(text: str, unit: str) -> str:
    divided = fraction_in(text)
    bare = _NUMBER.fullmatch(text) or (divided is not None and not divided[2])
    return f"{text} {unit}" if bare else text
