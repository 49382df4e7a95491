"""How a record lies in its tables: by aspects. Reading, writing, undo and history know aspects and no table.

A kind has a head (undated), a content (what holds from a day on), optional dated parts (a wage, a density), lines of
several sorts, and may be retired. A row's value is a dict of fields, or for lines the line's own record.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Any, NamedTuple, cast

from sqlalchemy import Table

from webapp.costing.limits import name_key
from webapp.store.families import FIELD_OF, About, DatedLine, Held, Line, Named, Pair, key_of
from webapp.store.memory import reader_for

Identity = Any  # an id, or (product, channel)
Values = dict[str, Any]
HOUSEKEEPING = frozenset(("id", "made_in", "ended_in", "name_key"))


class Kept(NamedTuple):
    """A row as it is remembered: where it stands (day, position; None where it has none), its number, its value."""

    day: Any
    position: Any
    row: int
    value: Any


@dataclass(frozen=True, eq=False)
class Aspect:
    """One table of a kind. `part` is the record class of its lines or part; `within` are records held in columns."""

    row: type[Held]
    part: type[Any] | None = None
    within: Mapping[str, type[Any]] = field(default_factory=dict)

    @cached_property
    def table(self) -> Table:
        """The table itself."""
        return cast("Table", self.row.__table__)  # type: ignore[attr-defined]

    @cached_property
    def key(self) -> tuple[str, ...]:
        """The columns that tell rows apart while they hold."""
        return key_of(self.row)

    @cached_property
    def paired(self) -> bool:
        """Whether it is about a product on a channel."""
        return issubclass(self.row, Pair)

    @cached_property
    def about(self) -> bool:
        """Whether it is about a thing that has tables of its own."""
        return issubclass(self.row, About)

    @cached_property
    def identity(self) -> tuple[str, ...]:
        """The columns that say what a row is about."""
        return ("product", "channel") if self.paired else ("thing",)

    @property
    def dated(self) -> bool:
        """Whether rows hold from a day on."""
        return "from_day" in self.key

    @property
    def listed(self) -> bool:
        """Whether rows are lines, in an order."""
        return issubclass(self.row, Line | DatedLine)

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """The columns that hold a value."""
        out = HOUSEKEEPING | set(self.key) | set(self.identity)
        return tuple(column.name for column in self.table.columns if column.name not in out)

    @cached_property
    def decode(self) -> Callable[[list[Any], int], list[Any]]:
        """Columns as the database gives them, and how many rows there are, to one value a row."""
        return reader_for(self)

    def encode(self, value: Any) -> Values:
        """A value as its columns."""
        if self.part is not None and len(self.columns) == 1 and not hasattr(value, self.columns[0]):
            return {self.columns[0]: value}
        get = value.get if isinstance(value, dict) else lambda name: getattr(value, name)
        packed = {f"{name}_{one.name}": (name, one.name) for name, kind in self.within.items() for one in fields(kind)}
        values = {}
        for column in self.columns:
            name, inner = packed.get(column, (column, ""))
            found = get(FIELD_OF.get(column, name))
            values[column] = getattr(found, inner, None) if inner else found
        if issubclass(self.row, Named):
            values["name_key"] = name_key(str(values["name"]))
        return values

    def value_of(self, record: Any) -> Values:
        """What this aspect says of a record, as a dict of its fields."""
        names = [FIELD_OF.get(column, column) for column in self.columns]
        inner = {f"{name}_{one.name}" for name, kind in self.within.items() for one in fields(kind)}
        return {name: getattr(record, name) for name in (*(n for n in names if n not in inner), *self.within)}


@dataclass(frozen=True, eq=False)
class Stored:
    """A kind of record and its aspects. `parts` and `lines` are by the record's field.

    `about` is the kind of thing that it is a fact about, and the field that names it; "" where it is its own.
    """

    kind: str
    record: type[Any]
    head: Aspect | None = None
    content: Aspect | None = None
    parts: Mapping[str, Aspect] = field(default_factory=dict)
    lines: Mapping[str, Aspect] = field(default_factory=dict)
    retired: Aspect | None = None
    about: str = ""

    @cached_property
    def aspects(self) -> tuple[Aspect, ...]:
        """All of them; the one that says whether a thing is there at all comes first."""
        found = (self.head, self.content, *self.parts.values(), *self.lines.values(), self.retired)
        return tuple(aspect for aspect in found if aspect is not None)

    @cached_property
    def paired(self) -> bool:
        """Whether it is a fact about a product on a channel."""
        return self.aspects[0].paired
