"""What a new channel is called: proposed by its kind, in the field as if typed, and never over what was typed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import count

from webapp.costing.limits import name_key
from webapp.pages.drawn import Form
from webapp.pages.price.channel_past import NAMES
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed


def proposed(desk: Desk, kind: str) -> str:
    """A name of that kind that no channel has yet: Stall, Stall 2; "" of a kind that is none."""
    taken = {name_key(one.name) for one in desk.book.channels.values()}
    free = (name for name in _numbered(NAMES[kind]) if name_key(name) not in taken) if kind in NAMES else iter(("",))
    return next(free)


def _numbered(name: str) -> Iterator[str]:
    yield name
    yield from (f"{name} {number}" for number in count(2))


def as_proposed(desk: Desk, name: str) -> bool:
    """Whether a name is one that was proposed for some kind, so that another kind may change it."""
    return name.strip() in {proposed(desk, kind) for kind in NAMES}


def with_name(desk: Desk, form: Form) -> Form:
    """The form of a new channel with the name that its kind proposes."""
    return replace(form, texts={**form.texts, "name": proposed(desk, form.value("kind"))})


def named(desk: Desk, typed: Typed) -> Typed:
    """The form with the proposed name where none was typed."""
    if str(typed.data.get("name", "")).strip():
        return typed
    name = proposed(desk, str(typed.data.get("kind", "")))
    return replace(typed, data={**typed.data, "name": name}) if name else typed
