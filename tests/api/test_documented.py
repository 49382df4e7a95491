"""The documented bodies, sent as they stand to the addresses that they are documented at, are all answered well."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import ABOUT, FACTS, SINGLE, STEM_OF, address_of
from tests.asked import Client
from webapp.api.docs import description
from webapp.api.examples import EXAMPLES, filled
from webapp.app import make_app
from webapp.settings import Settings
from webapp.store.opening import FILE

TODAY = date(2026, 11, 25)
PATHS = description()["paths"]
#: (method, path) -> the body that is shown there
SHOWN = {
    (method, path): operation["requestBody"]["content"]["application/json"]["example"]
    for path, methods in PATHS.items()
    for method, operation in methods.items()
    if "requestBody" in operation
}
ENTERED = [(kind, stem) for kind, stem in STEM_OF.items() if ("post", f"/api/{stem}") in SHOWN]
ENTERING = {("post", f"/api/{stem}{act}") for _, stem in ENTERED for act in ("", "/preview")}
LOADED = ("post", "/api/example")
#: they need a folder of this machine, or a backup and the ETag of the moment: tests/api/test_backups.py
OF_BACKUPS = {("post", "/api/backups/copy"), ("post", "/api/backups/{name}/restore")}
#: they need a program that is open to a network, or a device that is in: tests/api/test_devices.py
OF_DEVICES = {one for one in SHOWN if one[1].startswith("/api/devices/")}
#: they begin long work, or need some: tests/api/test_long_work.py
LONG_WORK = {one for one in SHOWN if one[1].endswith("/begin") or one[1].startswith("/api/work/")}
ELSEWHERE = {*ENTERING, LOADED, *OF_BACKUPS, *OF_DEVICES, *LONG_WORK}
ON_WHAT_IS_THERE = [one for one in SHOWN if one not in ELSEWHERE]


def test_every_kind_can_be_entered_as_it_is_shown(client: TestClient) -> None:
    """In the order of the documentation, each looked at first; what is not shown of a kind is sent between."""
    ids: dict[str, int] = {}
    seen = set()
    for name, (kind, body) in EXAMPLES.items():
        if kind in (*SINGLE, *FACTS, *ABOUT):
            continue
        address, sent = address_of(kind, ids), filled(body, ids)
        if kind not in seen:
            sent = SHOWN["post", address]
            looked = client.post(f"{address}/preview", json=SHOWN["post", f"{address}/preview"])
            assert looked.status_code == 200, looked.text
        answer = client.post(address, json=sent)
        assert answer.status_code == 201, (kind, answer.text)
        ids[name] = answer.json()["id"]
        seen.add(kind)
    assert seen == {kind for kind, _ in ENTERED}


def test_the_example_workshop_is_loaded_as_it_is_shown(client: TestClient) -> None:
    answer = client.post(LOADED[1], json=SHOWN[LOADED])
    assert answer.status_code in (200, 201), answer.text


@pytest.fixture(scope="module")
def filled_client(
    prepared: tuple[Path, dict[str, int]], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[TestClient]:
    """One installation with all examples; whoever changes it takes that back."""
    folder = tmp_path_factory.mktemp("documented")
    shutil.copy(prepared[0], folder / FILE)
    app = make_app(Settings(data=folder, database=None), today=lambda: TODAY)
    with Client(app, base_url="http://127.0.0.1") as client:
        yield client


@pytest.mark.long
@pytest.mark.parametrize(("method", "path"), ON_WHAT_IS_THERE, ids=lambda one: one.replace("/", "."))
def test_every_other_body_is_taken_as_it_is_shown(
    filled_client: TestClient, prepared: tuple[Path, dict[str, int]], method: str, path: str
) -> None:
    before = [("post", path.replace("/restore", "/retire"))] if path.endswith("/restore") else []
    made = []
    for one in [*before, (method, path)]:
        answer = sent(filled_client, prepared[1], *one)
        if answer.status_code == 422 and answer.json()["error"]["code"] == "confirm":
            # What there is to be sure of is answered as it was asked; no example can know that beforehand.
            asked = [fault["answer"] for fault in answer.json()["error"]["faults"]]
            answer = sent(filled_client, prepared[1], *one, sure=asked)
        assert answer.status_code in (200, 201), (one, answer.text)
        if not path.endswith("/preview") and answer.json().get("version"):
            made.append(answer.json()["version"])
    for version in reversed(made):
        undone = filled_client.post(f"/api/undo/{version}", json={})
        assert undone.status_code == 200, undone.text


def sent(client: TestClient, ids: dict[str, int], method: str, path: str, **more: Any) -> Any:
    """The answer to what is shown there, sent about the first example of the kind that the address names."""
    kinds = {stem: kind for kind, stem in STEM_OF.items()}
    kind = kinds.get(path.split("/")[2], "")
    epoch = client.get("/api/settings/workshop").headers["ETag"].strip('"').partition(".")[0]
    numbers = {
        "ident": next((ids[name] for name, (one, _) in EXAMPLES.items() if one == kind), 0),
        "channel": ids["channel"],
        "version": client.get("/api/changes").json()["items"][0]["version"],
    }
    if path.startswith("/api/what-ifs/{ident}"):
        client.post("/api/what-ifs", json=SHOWN["post", "/api/what-ifs"])  # where that was not sent before
        numbers["ident"] = client.get("/api/what-ifs").json()["items"][0]["id"]
    if "/verdicts/{verdict}/" in path:
        stem = path.partition("/{verdict}")[0]
        at = stem.replace("{ident}", str(numbers["ident"]))
        client.post(at, json=SHOWN["post", stem])
        numbers["verdict"] = client.get(at).json()["items"][0]["id"]
    address = re.sub(r"\{(\w+)\}", lambda found: str(numbers[found[1]]), path)
    return client.request(
        method, address, json={**SHOWN[method, path], **more}, headers={"If-Match": f'"{epoch}.999999999"'}
    )
