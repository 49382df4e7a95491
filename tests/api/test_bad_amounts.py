"""Every published number that is none, in every amount of every documented body: refused there, nothing stored."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import send
from tests.bad_inputs import inputs_of
from tests.stored import content_hash
from tests.tried import tell
from webapp.api.examples import EXAMPLES, filled
from webapp.costing import limits as lim
from webapp.costing.describing import Part, Rows, Shape
from webapp.costing.shapes import SHAPES
from webapp.settings import Settings

pytestmark = pytest.mark.long

GIVEN = [one for group in ("numbers", "locale") for one in inputs_of(group, "purchase.price", "form")]
BAD = [one["text"] for one in GIVEN if one["expect"]["kind"] in ("number-format", "number-too-long")]
Path = tuple[str | int, ...]


def amounts(shape: Shape, body: dict[str, Any], before: Path = ()) -> Iterator[Path]:
    """Where a body holds amounts."""
    for field in shape.fields:
        held = body.get(field.name)
        here = (*before, field.name)
        if isinstance(field.kind, lim.Number):
            yield here
        elif isinstance(field.kind, Part) and held:
            yield from amounts(field.kind.shape, held, here)
        elif isinstance(field.kind, Rows):
            for at, row in enumerate(held or ()):
                yield from amounts(field.kind.shape, row, (*here, at))


def with_text(body: dict[str, Any], where: Path, text: str) -> dict[str, Any]:
    changed: Any = copy.deepcopy(body)
    inner = changed
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = text
    return dict(changed)


WITH_AMOUNTS = [name for name, (kind, body) in EXAMPLES.items() if any(amounts(SHAPES[kind], body))]


@pytest.mark.parametrize("name", WITH_AMOUNTS)
def test_a_number_that_is_none_in_every_amount(
    client: TestClient, settings: Settings, ids: dict[str, int], name: str
) -> None:
    kind, example = EXAMPLES[name]
    body = filled(example, ids)
    before = content_hash(settings)
    places = list(amounts(SHAPES[kind], body))
    wrong = []
    for where in places:
        for text in BAD:
            answer = send(client, kind, with_text(body, where, text), ids)
            faults = {one["field"] for one in answer.json()["error"].get("faults", ())} if answer.is_error else set()
            if answer.status_code != 422 or "-".join(map(str, where)) not in faults:
                wrong.append(f"{name}, {where}: {text[:30]} answered {answer.status_code} at {faults}")
    if content_hash(settings) != before:
        wrong.append(f"{name}: something was stored")
    tell("bad numbers in every amount by JSON", len(places) * len(BAD), wrong)
