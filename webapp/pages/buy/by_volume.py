"""A published density taken over at the press of its button, in the form of a material or in a line of an order."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from webapp.costing.amounts import plain
from webapp.costing.densities import Suggestion
from webapp.pages import forms
from webapp.pages.buy.last_time import about, names_of
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed, flat

#: the button of a published density in a line of an order: which line, which of its densities
IN_A_LINE = re.compile(r"lines-(0|[1-9][0-9]{0,2})-density-([0-9])", re.ASCII)


def as_typed(desk: Desk, one: Suggestion) -> dict[str, str]:
    """A published density as it would be typed here; of a range its middle, and the source says so."""
    sign = desk.notation.decimal_sign
    warmth = "" if one.temperature is None else plain(one.temperature, sign)
    ends = f"{plain(one.low, sign)} to {plain(one.high, sign)}"
    source = one.source if one.low == one.high else f"{one.source}: middle of {ends}"
    return {"value": plain(one.middle, sign), "temperature": warmth, "source": source}


def with_published(desk: Desk, typed: Typed, but: int = 0) -> Typed:
    """The form of an order with a published density in the line whose button was pressed."""
    pressed, lines = IN_A_LINE.fullmatch(typed.more), typed.data.get("lines")
    if pressed is None or not isinstance(lines, list) or int(pressed[1]) >= len(lines):
        return typed
    row, place = int(pressed[1]), int(pressed[2])
    form = replace(forms.blank(desk, "order"), texts=flat(typed.data))
    found = about(desk, names_of(desk), form, f"lines-{row}", but).densities
    if place >= len(found) or not isinstance(lines[row], Mapping):
        return typed
    taken = as_typed(desk, found[place])
    filled = {
        "density": taken["value"],
        "density_at": taken["temperature"],
        "density_from": taken["source"],
    }
    kept = [{**line, **filled} if number == row else line for number, line in enumerate(lines)]
    return replace(typed, data={**typed.data, "lines": kept})
