"""Texts that would be more than words in every text of every body: refused, or stored and read back, and nothing else.

What is stored already is changed by the documented body with another text in one place; every other operation gets its
documented body, or its parameters, so.
"""

from __future__ import annotations

import copy
import re
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import ABOUT, FACTS, SINGLE, STEM_OF, address_of
from tests.hostile import REFUSED, WORDS
from tests.stored import Watched
from tests.tried import tell
from webapp.api.docs import description
from webapp.api.examples import EXAMPLES, filled
from webapp.costing import limits as lim
from webapp.costing.describing import Part, Rows, Shape
from webapp.costing.shapes import SHAPES
from webapp.settings import Settings

Path = tuple[str | int, ...]
#: what is empty, too long for some, and what neither a number nor a yes may be said by
STRANGE = ("", "   ", "\n", "\t", "true", "1e999", "\u202f", "x" * 121, "x" * 4_001, "-1", "2026-02-30")
TEXTS = (*WORDS, *REFUSED, *STRANGE)
SCHEMA = description()
ASKING = [
    (method, path, operation)
    for path, methods in SCHEMA["paths"].items()
    for method, operation in methods.items()
    if "requestBody" in operation or any(one["in"] == "query" for one in operation.get("parameters", ()))
]
#: of all texts at all places, for several processes
PARTS = 8
KIND_OF = {stem: kind for kind, stem in STEM_OF.items()}
assert len(TEXTS) == len(set(TEXTS))


# --- where the texts of a body are


def texts_in(value: Any, before: Path = ()) -> Iterator[Path]:
    """Where a body holds texts, whatever they mean."""
    if isinstance(value, str):
        yield before
    elif isinstance(value, dict):
        for name, one in value.items():
            yield from texts_in(one, (*before, name))
    elif isinstance(value, list):
        for at, one in enumerate(value):
            yield from texts_in(one, (*before, at))


def words_of(shape: Shape, body: Any, before: Path = ()) -> Iterator[Path]:
    """Where a body could hold words: those fields too that the documented one leaves out."""
    for field in shape.fields:
        here, held = (*before, field.name), body.get(field.name)
        if isinstance(field.kind, lim.Text):
            yield here
        elif isinstance(field.kind, Part) and held:
            yield from words_of(field.kind.shape, held, here)
        elif isinstance(field.kind, Rows):
            for at, row in enumerate(held or ()):
                yield from words_of(field.kind.shape, row, (*here, at))


def changed(body: Any, where: Path, text: Any) -> Any:
    """The body with something else at one place."""
    found = copy.deepcopy(body)
    inner = found
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = text
    return found


def held_at(body: Any, where: Path) -> Any:
    """What stands at a place."""
    for step in where:
        body = body[step]
    return body


def may_be_kept_as(text: str) -> set[str]:
    """A text composed, without spaces at its ends, those within one each, or line by line."""
    whole = unicodedata.normalize("NFC", text)
    return {" ".join(whole.split()), "\n".join(one.rstrip() for one in whole.strip().split("\n"))}


# --- what is stored already


@dataclass(frozen=True)
class Stored:
    """Something that is stored: its kind, where it is changed, and its documented body."""

    kind: str
    address: str
    body: Any

    @classmethod
    def of(cls, name: str, ids: dict[str, int]) -> Stored:
        """The one that an example has become."""
        kind, example = EXAMPLES[name]
        address = address_of(kind, ids)
        at = address if kind in (*SINGLE, *FACTS, *ABOUT) else f"{address}/{ids[name]}"
        return cls(kind, at, filled(example, ids))

    def record(self, client: TestClient) -> dict[str, Any]:
        """What is stored, by the fields of its shape."""
        told = client.get(self.address).json()
        found = told.get("now", told)
        record = {field.name: found.get(field.name) for field in SHAPES[self.kind].fields}
        assert any(record.values()), told
        return record


def put(client: TestClient, address: str, body: Any) -> Any:
    """Change what is stored; what is asked about it is answered with yes."""
    for _ in range(3):
        answer = client.put(address, json=body, headers={"If-Match": client.get(address).headers["ETag"]})
        if answer.status_code != 422 or answer.json()["error"]["code"] != "confirm":
            break
        answers = [one["answer"] for one in answer.json()["error"]["faults"]]
        body = {**body, "sure": [*body.get("sure", ()), *answers]}
    return answer


def wrong_after(client: TestClient, one: Stored, where: Path, text: str) -> tuple[str, str]:
    """What came of a text at one place of what is stored, and what is wrong with that."""
    first = put(client, one.address, one.body)
    assert first.status_code == 200, (one.address, first.text)
    before = one.record(client)
    answer = put(client, one.address, changed(one.body, where, text))
    after = one.record(client)
    if answer.status_code != 200:
        faults = {one["field"] for one in answer.json()["error"]["faults"]}
        told = answer.status_code == 422 and any(one.startswith(str(where[0])) for one in faults)
        right = told and after == before
        return "refused", "" if right else f"answered {answer.status_code} at {faults}, or something was stored"
    kept = held_at(after, where)
    if kept not in (may_be_kept_as(text) if text.strip() else {"", None, held_at(before, where)}):
        return "kept", f"kept as {kept!r}"
    same = changed(after, where, None) == changed(before, where, None)
    return "kept", "" if same else f"something else moved: {before} {after}"


def try_stored(client: TestClient, ids: dict[str, int], test: str, texts: int) -> None:
    """So many texts at every place of every kind of record, those in turn where it is not all of them."""
    tried, met, wrong = 0, Counter[str](), []
    for name in EXAMPLES:
        one = Stored.of(name, ids)
        for where in words_of(SHAPES[one.kind], one.body):
            for turn in range(texts):
                text = TEXTS[(tried + turn) % len(TEXTS)] if texts < len(TEXTS) else TEXTS[turn]
                became, fault = wrong_after(client, one, where, text)
                met[became] += 1
                wrong += [f"{one.kind}, {where}: {text[:20]!r} {fault}"] if fault else []
            tried += texts
    how = ", ".join(f"{count} {became}" for became, count in sorted(met.items()))
    assert met["kept"] > tried / 4 < met["refused"] * 2
    tell(test, tried, wrong, how)


@pytest.mark.long
def test_a_text_in_every_place_of_what_is_stored(client: TestClient, ids: dict[str, int]) -> None:
    try_stored(client, ids, "a hostile text in every text that is stored, by JSON", 1)


@pytest.mark.deep
def test_every_text_in_every_place_of_what_is_stored(client: TestClient, ids: dict[str, int]) -> None:
    try_stored(client, ids, "every hostile text in every text that is stored, by JSON", len(TEXTS))


@pytest.mark.parametrize(
    ("after", "said"),
    [
        ({"name": "b", "note": "x"}, ""),
        ({"name": "b", "note": "y"}, "something else moved"),
        ({"name": "B", "note": "x"}, "kept as 'B'"),
    ],
)
def test_what_a_text_moves_would_be_noticed(
    client: TestClient, ids: dict[str, int], monkeypatch: pytest.MonkeyPatch, after: dict[str, str], said: str
) -> None:
    records = iter(({"name": "a", "note": "x"}, after))
    monkeypatch.setattr(Stored, "record", lambda *_: next(records))
    became, fault = wrong_after(client, Stored.of("barn", ids), ("name",), "b")
    assert (became, fault[: len(said)]) == ("kept", said)
    assert bool(fault) == bool(said)


# --- every operation


def path_of(path: str, ids: dict[str, int]) -> str:
    """An address with numbers of things that are there."""
    kind = KIND_OF.get(path.split("/")[2], "")
    number = next((number for name, number in ids.items() if EXAMPLES[name][0] == kind), 1)
    known = {"ident": number, "channel": ids["channel"], "material": ids["shea"], "figure": "full"}
    return re.sub(r"\{(\w+)\}", lambda found: str(known.get(found[1], 1)), path)


def sendings(operation: Any) -> Iterator[tuple[str, Path, Any]]:
    """Where texts go in an operation: "body" with its path and the documented body, or "query" with its name."""
    content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    if example := content.get("example"):
        yield from (("body", where, example) for where in texts_in(example))
    for one in operation.get("parameters", ()):
        if one["in"] == "query":
            yield "query", (one["name"],), None


def answer_to(client: TestClient, method: str, address: str, way: str, sent: Any) -> Any:
    """What is answered to a text in the body, or in the address."""
    if way == "query":
        return client.request(method, address, params=sent, headers={"If-Match": tag_of(client)})
    return client.request(method, address, json=sent, headers={"If-Match": tag_of(client)})


def tag_of(client: TestClient) -> str:
    """An ETag that holds for whatever is there."""
    epoch = client.get("/api/settings/workshop").headers["ETag"].strip('"').partition(".")[0]
    return f'"{epoch}.999999999"'


Try = tuple[str, str, Any, str, Path, Any, str]


def tries(texts: int) -> list[Try]:
    """So many texts at every place of every operation, those in turn where it is not all of them."""
    places = [(*one, *sent) for one in ASKING for sent in sendings(one[2])]
    return [
        (*place, TEXTS[(at + turn) % len(TEXTS) if texts < len(TEXTS) else turn])
        for at, place in enumerate(places)
        for turn in range(texts)
    ]


def try_operations(client: TestClient, settings: Settings, ids: dict[str, int], found: list[Try], test: str) -> None:
    met, wrong, watched = Counter[str](), list[str](), Watched(settings)
    before = watched.hash()
    for method, path, operation, way, where, example, text in found:
        sent = changed(filled(example, ids), where, text) if way == "body" else {where[0]: text}
        answer = answer_to(client, method, path_of(path, ids), way, sent)
        if answer.status_code == 202:  # what is begun and goes on would be stored under what is tried next
            client.app.state.jobs.find(answer.headers["location"].rpartition("/")[2]).wait(60)  # type: ignore[attr-defined]
        after = watched.hash()
        met[f"{answer.status_code // 100}xx"] += 1
        if answer.status_code >= 500 or str(answer.status_code) not in operation["responses"]:
            wrong.append(f"{method} {path}, {way} {where}: {text[:20]!r} answered {answer.status_code}")
        elif answer.is_error and after != before:
            wrong.append(f"{method} {path}, {way} {where}: {text[:20]!r} was refused and something stored")
        before = after
    assert met["4xx"] > len(found) / 10 < met["2xx"], met
    tell(test, len(found), wrong, ", ".join(f"{count} {status}" for status, count in sorted(met.items())))


@pytest.mark.long
def test_a_text_in_many_places_of_operations(client: TestClient, settings: Settings, ids: dict[str, int]) -> None:
    """Every sixth place."""
    try_operations(client, settings, ids, tries(1)[::6], "a hostile text in every sixth text that is asked with")


@pytest.mark.deep
@pytest.mark.parametrize("part", range(PARTS))
def test_every_text_in_every_place_of_every_operation(
    client: TestClient, settings: Settings, ids: dict[str, int], part: int
) -> None:
    found = tries(len(TEXTS))[part::PARTS]
    try_operations(client, settings, ids, found, "every hostile text in every text that is asked with, by JSON")
