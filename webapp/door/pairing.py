"""Links that let one device in: whether one can be made just now, and what it is, for a page and for a program."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from starlette.requests import Request

from webapp.door import hosts
from webapp.door.asking import rules_of
from webapp.door.secrets import LINK_MINUTES, hashed_token, new_token
from webapp.store.devices import Door


@dataclass(frozen=True, slots=True)
class Link:
    """A link that was just made, at every address by which a device may reach this, and until when it is good."""

    addresses: tuple[str, ...]
    until: datetime


def reached(request: Request) -> tuple[str, ...]:
    """The addresses at which a device reaches this, as it types them."""
    url, server = request.url, request.scope.get("server")
    port = server[1] if server else url.port
    names = hosts.reached_at(request.app.state.settings)
    return tuple(f"{url.scheme}://{f'[{name}]' if ':' in name else name}:{port}" for name in names)


def no_link(request: Request, door: Door | None) -> str:
    """Why no link can be made just now, in a sentence that says what to do; "" where one can."""
    if door is None:
        return "Set a passphrase first."
    if request.app.state.settings.is_loopback:
        return "Links are made while Brimful is open to your network: start it with --host 0.0.0.0."
    if door.shut is not None:
        return "Links are made while Brimful is open to your network: open it again first."
    if not reached(request):
        return "Start Brimful with the address of this computer in your network, so that a link can name it."
    return ""


def make_link(request: Request, role: str) -> Link:
    """Make a link for a device of a role. It is known only now: afterwards only its hash is kept."""
    rules, devices, token = rules_of(request.scope), request.app.state.store.devices, new_token()
    now = devices.now()
    until = now + timedelta(minutes=LINK_MINUTES)
    devices.make_link(role, hashed_token(token), now, until)
    path = rules.pair_link.format(token=token) if rules else ""
    return Link(tuple(place + path for place in reached(request)), until)
