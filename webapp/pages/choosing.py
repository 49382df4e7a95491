"""One chooser over two kinds of things: an ingredient or a formula, a part or a group of parts.

The form sends "material:12" or "formula:3" as one field of a line; the record has a field for each kind.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

WHAT = "what"
Options = list[tuple[str, list[tuple[str, str]]]]


def parted(typed: Typed, rows: str, kinds: Sequence[str]) -> Typed:
    """The same form with the chosen thing of every line under the field of its kind."""
    lines = typed.data.get(rows)
    if not isinstance(lines, list):
        return typed
    return replace(typed, data={**typed.data, rows: [_parted(line, kinds) for line in lines]})


def _parted(line: Any, kinds: Sequence[str]) -> Any:
    if not isinstance(line, Mapping) or not isinstance(line.get(WHAT), str):
        return line
    kind, _, ident = line[WHAT].partition(":")
    kept = {name: text for name, text in line.items() if name != WHAT}
    if kind in kinds:
        return {**kept, kind: ident}
    # What no chooser offers is told where one chooses, and never taken for a line that was left empty.
    return {**kept, kinds[0]: line[WHAT]} if line[WHAT].strip() else kept


def chosen(form: Form, row: str, kinds: Sequence[str]) -> str:
    """What the chooser of a line has selected."""
    return next((f"{kind}:{form.value(f'{row}-{kind}')}" for kind in kinds if form.value(f"{row}-{kind}")), "")


def options(desk: Desk, groups: Sequence[tuple[str, str, Sequence[Any]]]) -> Options:
    """The things of several kinds as one chooser offers them: (words, kind, things) each."""
    del desk
    return [(words, [(f"{kind}:{one.id}", _label(one)) for one in things]) for words, kind, things in groups if things]


def _label(thing: Any) -> str:
    return f"{thing.name} (put away)" if thing.retired else str(thing.name)
