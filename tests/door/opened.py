"""The whole program opened to a network, and three who ask it: the person at the machine, a device, a stranger."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from starlette.testclient import TestClient

from tests.asked import Client
from webapp.app import make_app
from webapp.door.secrets import hashed_token, new_token
from webapp.door.who import FULL, WORKSHOP, cookie_name
from webapp.settings import Settings

#: addresses that are for documentation (RFC 5737): the machine's in its network, a device's, another's
MACHINE, TABLET, STRANGER = "192.0.2.2", "192.0.2.9", "192.0.2.66"
PORT = 8000
HERE, THERE = f"http://127.0.0.1:{PORT}", f"http://{MACHINE}:{PORT}"
LINK = re.compile(r'href="https?://[^"]+(/pair/[\w-]{43})"')
WORDS = "four words in a jar"


class Workshop:
    """The program, its clients, and what only a test knows: the tokens."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings.model_copy(update={"host": "0.0.0.0"})  # noqa: S104 - nothing is bound here
        self.app = make_app(self.settings, today=lambda: self.day)
        #: today: the moment at which a device was let in is by the clock of this computer
        self.day = datetime.now(UTC).date()

    def client(self, base: str, peer: str, **headers: str) -> TestClient:
        return Client(self.app, base_url=base, client=(peer, 50_000), headers=headers, follow_redirects=False)

    @property
    def machine(self) -> TestClient:
        """The person at the machine."""
        return self.client(HERE, "127.0.0.1")

    def stranger(self, peer: str = STRANGER, scheme: str = "http") -> TestClient:
        """A browser of the network that is not signed in; it says where its forms come from, as browsers do."""
        base = f"{scheme}://{MACHINE}:{PORT}"
        return self.client(base, peer, Origin=base)

    def device(self, role: str = WORKSHOP, name: str = "Bench tablet") -> TestClient:
        """A device that is in; its cookie is set without a passphrase, which would take its time."""
        token, found = new_token(), self.stranger(TABLET)
        self.devices.enrol(name, role, hashed_token(token), datetime.now(UTC), self.day)
        found.cookies.set(cookie_name(self.installation, secure=False), token)
        return found

    @property
    def full(self) -> TestClient:
        """A device that may do everything but let devices in."""
        return self.device(FULL, "Office")

    @property
    def devices(self) -> Any:
        return self.app.state.store.devices

    @property
    def installation(self) -> str:
        """The name of this installation; the passphrase is set as one that nothing fits where there is none yet."""
        if self.devices.door() is None:
            self.devices.set_passphrase("none", datetime.now(UTC), all_out=False)
        return str(self.devices.door().installation)

    def set_passphrase(self, words: str = WORDS, **more: str) -> Any:
        """As the person at the machine sets it."""
        return self.machine.post("/devices/passphrase", data={"passphrase": words, "again": words, **more})

    def link(self, role: str = WORKSHOP) -> str:
        """A fresh link, by its path."""
        assert self.installation
        shown = self.machine.post("/devices/link", data={"role": role})
        found = LINK.search(shown.text)
        assert found is not None
        return found[1]


@contextmanager
def opened(settings: Settings) -> Iterator[Workshop]:
    """The program while it runs."""
    workshop = Workshop(settings)
    with TestClient(workshop.app):
        yield workshop
