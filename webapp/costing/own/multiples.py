"""Columns of one maker's own recipe in several sizes: "single | double", "x1 | x2", whose amounts are multiples."""

from __future__ import annotations

import re
from collections.abc import Sequence

from webapp.costing.amounts import ZERO
from webapp.costing.own.columns import ABOVE, BLANK, FORMULAS, MOST_COLUMNS, Layout, OwnTable, role_of
from webapp.costing.own.heads import named_in
from webapp.costing.own.side_by_side import rough
from webapp.costing.units import MASS
from webapp.costing.written_units import unit_of

#: what says that a column is the recipe once, and what says another size of it
_ONCE = re.compile(
    r"(?:single|simple|einfach|semplice|sencill[oa]|enkel|base|1 ?x|x ?1|full|whole)(?: batch| recipe)?", re.IGNORECASE
)
_TIMES = re.compile(
    r"(?:double|triple|quadruple|half|quarter|doppelt?|dreifach|halb|halbe|demi|moiti\u00e9|doble|triple|mitad|doppio|"
    r"triplo|met\u00e0|dubbel|driedubbel|[0-9]{1,2} ?x|x ?[0-9]{1,2}|1/[24]|\u00bd|\u00bc)(?: batch| recipe)?",
    re.IGNORECASE,
)


def in_sizes(table: OwnTable) -> Layout | None:
    """The columns of a list whose recipes stand there in several sizes: the one that is it once counts, else the first.

    None where no heads say so, or where the amounts of some row are no such multiples.
    """
    for row in range(table.begins + 1, min(len(table.rows), table.begins + ABOVE) + 1):
        heads = [table.cell(row, place) for place in range(min(table.width, MOST_COLUMNS))]
        names = [_size_in(head) for head in heads]
        sizes = [place for place, one in enumerate(names) if _ONCE.fullmatch(one) or _TIMES.fullmatch(one)]
        if len(sizes) < 2 or not any(_TIMES.fullmatch(names[place]) for place in sizes):
            continue
        first = next((place for place in sizes if _ONCE.fullmatch(names[place])), sizes[0])
        left = [place for place in range(min(sizes)) if role_of(heads[place], FORMULAS) == "ingredient"]
        if not left or not _are_multiples(table, row, sizes):
            return None
        roles = {left[0]: "ingredient", first: "amount"}
        return Layout(FORMULAS, row, tuple(roles.get(place, "") for place in range(len(heads))))
    return None


def _size_in(head: str) -> str:
    """What a head says without its unit; "" for digits without one of mass: "x10" may be a price for ten."""
    name, unit = named_in(head)
    before, _, last = name.rpartition(" ")
    if not unit and unit_of(last) in MASS:
        name, unit = before, last
    return name if unit_of(unit) in MASS or not any(map(str.isdigit, name)) else ""


def _are_multiples(table: OwnTable, heads: int, places: Sequence[int]) -> bool:
    """Whether each column is the same multiple of the first one in all rows that say both, to a hundredth."""
    first, *others = places
    for other in others:
        found = []
        for row in range(heads + 1, len(table.rows) + 1):
            one, more = (table.cell(row, place) for place in (first, other))
            values = [rough(text) for text in (one, more) if text not in BLANK]
            if len(values) == 2 and values[0] and values[1]:
                found.append(values[1] / values[0])
        if not found or max(found) - min(found) > max(found) / 100 or found[0] <= ZERO:
            return False
    return True
