"""The unit of all amounts of a maker's own recipes, as the title of their sheet says it: "Recipes (grams)"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from webapp.costing.own.columns import OwnTable, sort_of
from webapp.costing.own.heads import unit_alone
from webapp.costing.own.title_lines import is_of_all

#: in how many rows at the top such a title may stand
_TOP = 3
#: what stands behind such a title: "(grams)", "in g", "- all in grams", "amounts in oz"
_IN = re.compile(
    r".*?(?:[(\[:,\u2013\u2014]|\s-|\bin\b)\s*(?:(?:all|alle|tout|todo)\s+)?(?:in\s+)?([^\W\d]+|%)\s*[)\]]?\.?"
)
_ALL = re.compile(
    r"(?:all\s+)?(?:amounts|weights|quantities|measurements|mengen|angaben|quantit\u00e9s|cantidades)\s+(?:are\s+)?"
    r"(?:all\s+)?in\s+([^\W\d]+|%)\.?|(?:all|alles)\s+in\s+([^\W\d]+)\.?",
    re.IGNORECASE,
)


def unit_of_all(table: OwnTable) -> str:
    """The unit that the sheet's name or a line alone at its top says of all recipes; "" where none does."""
    above = [[cell for cell in row if cell.strip()] for row in table.rows[:_TOP]]
    lines = [table.title, *(row[0].strip() for row in above if len({*row}) == 1)]
    return next((unit for line in lines if (unit := _unit_in(line))), "")


def says_all(line: str) -> bool:
    """Whether a line is the title of all recipes, or says the unit of all of them: it names none."""
    return is_of_all(line) or bool(_ALL.fullmatch(line))


def _unit_in(line: str) -> str:
    said = _ALL.fullmatch(line)
    if said is not None:
        return unit_alone(said[1] or said[2])
    found = _IN.fullmatch(line) if is_of_all(line) else None
    return unit_alone(found[1]) if found else ""


def with_its_unit(table: OwnTable, roles: Sequence[str]) -> tuple[str, ...]:
    """What columns without heads hold: bare numbers are no percent among "120 g", or below "Recipes (grams)"."""
    place = roles.index("percent") if "percent" in roles else 0
    cells = [table.cell(row, place) for row in range(1, len(table.rows) + 1)]
    if "%" in "".join(cells) or not ("amount" in map(sort_of, cells) or unit_of_all(table)):
        return tuple(roles)
    return tuple("amount" if role == "percent" else role for role in roles)
