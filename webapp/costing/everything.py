"""Everything that is known, whatever the day: each thing with all that holds of it from one day or another.

A `Book` is what holds on one day. This is what books of all days are made of, without what was corrected or withdrawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, TypeAlias

from webapp.costing.book import Id
from webapp.costing.describing import Field, Part, Shape
from webapp.costing.shapes import SHAPES

Identity: TypeAlias = Any  # an id, or (product, channel)


@dataclass(frozen=True, slots=True)
class WhatIfKept:
    """A what-if that is kept: its suppositions as `supposing.kept` has them; `when` is None where it is not known."""

    name: str
    rows: tuple[Mapping[str, Any], ...]
    when: datetime | None = None


@dataclass(frozen=True, slots=True)
class NoteKept:
    """A note on a product or a formula: question as `size_asking.kept`, figures as `size_figures` have them."""

    thing: Id
    day: date
    sentence: str
    question: Mapping[str, Any]
    figures: Mapping[str, Any]
    when: datetime | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """What is kept beside the book: nothing is reckoned from it. `what_ifs` by name, `notes` as they were made."""

    what_ifs: tuple[WhatIfKept, ...] = ()
    notes: tuple[NoteKept, ...] = ()


@dataclass(frozen=True, slots=True)
class Everything:
    """All facts. A version is a record as it holds from its `since` on; what has no such day has one version.

    `parts` are those of a record that have a day of their own (wages, densities), which its versions leave out:
    by (kind, field), then by the thing. `retired` are days from which things are put away.
    """

    versions: Mapping[str, Mapping[Identity, tuple[Any, ...]]] = field(default_factory=dict)
    parts: Mapping[tuple[str, str], Mapping[Id, tuple[Any, ...]]] = field(default_factory=dict)
    retired: Mapping[Id, date] = field(default_factory=dict)
    beside: Beside = field(default_factory=Beside)

    def of(self, kind: str) -> Mapping[Identity, tuple[Any, ...]]:
        """The versions of every thing of a kind, each from the earliest day on."""
        return self.versions.get(kind, {})

    def part(self, kind: str, name: str) -> Mapping[Id, tuple[Any, ...]]:
        """What every thing of a kind has in a part with days of its own, the earliest first."""
        return self.parts.get((kind, name), {})


def dated_parts(kind: str) -> Iterator[tuple[Field, Shape]]:
    """The fields of a kind that have a day of their own, with their shapes: a wage, a density."""
    for one in SHAPES[kind].fields:
        if isinstance(one.kind, Part) and any(inner.name == "since" for inner in one.kind.shape.fields):
            yield one, one.kind.shape
