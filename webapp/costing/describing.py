"""What a description of a record is made of: its fields in order, their kinds, what an empty required one says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.costing import limits as lim


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a record. `ask` is what an empty required field says."""

    name: str
    kind: lim.Kind | Part | Rows | Many
    required: bool = False
    ask: str = "Fill this in."


@dataclass(frozen=True, slots=True)
class Shape:
    """A record class and its fields; `given` are fields that the caller supplies (the identity)."""

    record: type[Any]
    fields: tuple[Field, ...]
    given: tuple[str, ...] = ()

    def field(self, name: str) -> Field:
        """The field called `name`; KeyError if there is none."""
        for entry in self.fields:
            if entry.name == name:
                return entry
        raise KeyError(name)


@dataclass(frozen=True, slots=True)
class Part:
    """A record inside a record; left out when `keys` are empty and nothing else is typed."""

    shape: Shape
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rows:
    """Lines of a record. A typed row in which `keys` are empty and nothing else is typed is spare and skipped.

    `alike` are fields that a press sets on all lines at once, so that they say nothing of one.
    """

    shape: Shape
    keys: tuple[str, ...]
    least: int = 0
    most: int = 50
    alike: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Many:
    """A list of bare values, such as ticked channels."""

    kind: lim.Reference
    most: int = 50


#: fields that many records have
SINCE = Field("since", lim.DAY)
NAME = Field("name", lim.NAME, True, "Give it a name.")
NOTE = Field("note", lim.NOTE)
