"""The interface fuzzed from its own description: never a 5xx, and no answer that is not described.

Half of what is sent names things that are there, with the ETag that holds, so that it reaches what reads and reckons.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from starlette.testclient import TestClient

from tests.api.sending import STEM_OF
from tests.conftest import serving
from tests.examples import AN_OPERATION
from tests.tried import tell
from webapp.api.docs import description
from webapp.api.examples import EXAMPLES
from webapp.app import make_app
from webapp.settings import Settings
from webapp.store.opening import FILE

pytestmark = pytest.mark.long

#: `.ci/run deep` sends 60; a plain run, which somebody waits for, fewer
EXAMPLES_AN_OPERATION = int(os.environ.get(AN_OPERATION, "5"))
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
SCHEMA = description()
LOADED = schemathesis.openapi.from_dict(SCHEMA)  # once: to look through all of it takes longer than most operations
OPERATIONS = [(method, path) for path, methods in SCHEMA["paths"].items() for method in methods]
#: what takes things back comes last, so that the others find them
OPERATIONS.sort(key=lambda one: re.search("retire|withdraw|undo", one[1]) is not None)


def route_of(operation: tuple[str, str]) -> tuple[str, str]:
    """The route that answers; entering is one for every kind of body."""
    method, path = operation
    if method == "post" and re.fullmatch(r"/api/[a-z]+", path):
        return operation
    return method, re.sub(
        rf"/({'|'.join(STEM_OF.values())})\b", "/STEM", re.sub(r"(price|target|sales)\b", "FACT", path)
    )


ONE_A_ROUTE = {route_of(operation): operation for operation in OPERATIONS}.values()


@dataclass(frozen=True)
class Served:
    """The examples on a real port: it stands for whoever sends requests by hand."""

    address: str
    ids: dict[str, int]
    etag: str

    def of(self, kind: str) -> int:
        """The number of the first thing of a kind."""
        return next(number for name, number in self.ids.items() if EXAMPLES[name][0] == kind)


@pytest.fixture(scope="module")
def served(prepared: tuple[Path, dict[str, int]], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    file, ids = prepared
    folder = tmp_path_factory.mktemp("fuzzed")
    shutil.copy(file, folder / FILE)
    app = make_app(Settings(data=folder, database=None), today=lambda: date(2026, 11, 25))
    with TestClient(app, base_url="http://127.0.0.1") as client:
        epoch = client.get("/api/settings/workshop").headers["ETag"].strip('"').partition(".")[0]
    with serving(app) as address:
        yield Served(address, ids, f'"{epoch}.999999999"')


def with_real_numbers(served: Served, found: Any, kind: str = "") -> Any:
    """What was generated, its references those of things that are there."""
    if isinstance(found, dict):
        return {name: with_real_numbers(served, one, name.removesuffix("s")) for name, one in found.items()}
    if isinstance(found, list):
        return [with_real_numbers(served, one, kind) for one in found]
    is_reference = isinstance(found, int) and not isinstance(found, bool) and kind in STEM_OF
    return served.of(kind) if is_reference else found


def made_real(served: Served, case: Any, path: str) -> None:
    """Let a case be about things that are there, and be a change of what holds."""
    stem = path.split("/")[2]
    kind = {one: kind for kind, one in STEM_OF.items()}.get(stem)
    numbers = {"ident": kind and served.of(kind), "channel": served.of("channel")}
    case.path_parameters.update({name: str(numbers[name]) for name in case.path_parameters if numbers.get(name)})
    case.body = with_real_numbers(served, case.body)
    case.headers["If-Match"] = served.etag
    case.headers.pop("Idempotency-Key", None)
    for name in ("on", "change"):
        case.query.pop(name, None)


def test_what_is_made_real_is_answered(served: Served) -> None:
    """The fuzzing reaches records: what it names is there."""
    kinds = {stem: kind for kind, stem in STEM_OF.items()}
    reads = [path for method, path in OPERATIONS if method == "get" and "{ident}" in path]
    kept = httpx.post(f"{served.address}/api/what-ifs", json={"name": "Kept to be read", "suppositions": []})
    assert kept.status_code == 201, kept.text
    product = httpx.get(f"{served.address}/api/products/{served.of('product')}").json()
    formula = httpx.get(f"{served.address}/api/formulas/{product['fills'][0]['formula']}").json()
    inside = next(str(line["material"]) for line in formula["lines"] if line["material"])
    for path in reads:
        stem = path.split("/")[2]
        number = kept.json()["id"] if stem == "what-ifs" else served.of(kinds[stem])
        address = path.replace("{ident}", str(number)).replace("{material}", inside)
        address = address.replace("{figure}", "margin" if "{channel}" in address else "full")
        address += "?amount=12.50" if address.endswith("/try") else ""
        answer = httpx.get(served.address + address.replace("{channel}", str(served.of("channel"))))
        assert answer.status_code == 200, path
    assert len(reads) > 25


def fuzz(served: Served, method: str, path: str, test: str) -> None:
    operation, tried, wrong = LOADED[path][method.upper()], list[str](), list[str]()

    @seed(20261125)
    @settings(
        max_examples=EXAMPLES_AN_OPERATION,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(), real=st.booleans())
    def send(case: Any, real: bool) -> None:
        if real:
            made_real(served, case, path)
        tried.append(path)
        try:
            case.call_and_validate(base_url=served.address, checks=CHECKS)
        except (Exception, FailureGroup) as error:  # noqa: BLE001 - whatever it is, it is told, and the others are tried
            wrong.append(f"{method} {path}: {type(error).__name__}: {error}")

    send()
    tell(test, len(tried), wrong, f"{EXAMPLES_AN_OPERATION} an operation")


@pytest.mark.parametrize(("method", "path"), ONE_A_ROUTE, ids=lambda one: one.replace("/", "."))
def test_an_operation_of_every_route(served: Served, method: str, path: str) -> None:
    fuzz(served, method, path, "the interface fuzzed, an operation of every route")


@pytest.mark.deep
@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=lambda one: one.replace("/", "."))
def test_every_operation(served: Served, method: str, path: str) -> None:
    fuzz(served, method, path, "the interface fuzzed, every operation")
