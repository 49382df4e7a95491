"""Published densities as suggestions, for a material of the book or for a name; they warn and never block."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Annotated

from fastapi import Query
from starlette.responses import JSONResponse, Response

from webapp.api.answers import picked
from webapp.api.asking import AskedNow, Ident
from webapp.api.interface import Interface
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.densities import Suggestion, outside, suggested_for, suggestions, warning
from webapp.costing.limits import DENSITY, NAME_LENGTH, TEMPERATURE
from webapp.errors import Fault, Unprocessable

router = Interface()
#: what is told of a published figure
SUGGESTED = (
    *("name", "inci", "sort", "low", "high", "middle", "temperature"),
    *("at_room", "figure", "basis", "source", "standing", "usual"),
)
_NUMBERS = {"value": DENSITY, "temperature": TEMPERATURE}


def _told(found: Iterable[Suggestion], said: str | None) -> Response:
    return JSONResponse({"items": [picked(one, SUGGESTED) for one in found], "warning": said})


@router.get(
    "/materials/{ident}/densities",
    tags=["materials"],
    summary="Published densities for it",
    operation_id="material_densities",
)
def densities_of(asked: AskedNow, ident: Ident) -> Response:
    """Published figures for it, in g/mL, the usual choice first; `warning` where its own lies outside all of them."""
    material = asked.thing("material", ident)
    return _told(suggested_for(material), warning(material))


@router.get(
    "/materials/densities", tags=["materials"], summary="Published densities for a name", operation_id="find_densities"
)
def densities_by_name(
    asked: AskedNow,
    name: Annotated[str, Query(max_length=NAME_LENGTH, description="what it is called, such as Castor oil")] = "",
    inci: Annotated[str, Query(max_length=NAME_LENGTH, description="its INCI name, such as Cera Alba")] = "",
    value: Annotated[str, Query(max_length=24, description="a density in g/mL to hold against them: 0.96")] = "",
    temperature: Annotated[str, Query(max_length=24, description="at how many °C that was read: 20")] = "",
) -> Response:
    """Published figures by INCI name, else by the words of the name; `warning` where `value` lies outside all."""
    del asked
    read = _read({"value": value, "temperature": temperature})
    held = read.get("value")
    said = None if held is None else outside(held, name, inci, read.get("temperature"))
    return _told(suggestions(name, inci), said)


def _read(typed: dict[str, str]) -> dict[str, Decimal]:
    """The numbers that were sent. Unprocessable where one of them is none."""
    read: dict[str, Decimal] = {}
    faults = []
    for name, text in typed.items():
        try:
            if text:
                read[name] = _NUMBERS[name].read(text, JSON_NOTATION)
        except Unreadable as unreadable:
            faults.append(Fault(name, unreadable.code, unreadable.sentence))
    if faults:
        raise Unprocessable(faults)
    return read
