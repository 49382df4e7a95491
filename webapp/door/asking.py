"""Asked on each request while Brimful is open to the network: who it is, by the store's devices, and what it may."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.types import Scope

from webapp import STATIC
from webapp.door.secrets import hashed_token, is_token
from webapp.door.who import (
    AT_MACHINE,
    FULL,
    NOBODY,
    Visitor,
    cookie_in,
    cookie_name,
    is_at_machine,
    is_made_by,
    set_cookie,
)
from webapp.errors import Busy, Problem, Refused, SignInFirst
from webapp.store.devices import LIFETIME, Device, Door

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
VISITOR, RULES = "visitor", "rules"
NOT_YOURS = (
    "This change was made elsewhere, so this device can't take it back. It is taken back on the computer that Brimful "
    "runs on, or by the device that made it. Nothing was changed."
)


class Shut(Refused):
    """403: the network is kept out for now."""

    code = "closed"
    default = (
        "Brimful is closed to the network just now. It is opened again on the computer that it runs on, under "
        "Settings, Devices. Nothing was changed."
    )


class Refusal(Protocol):
    """Why a visitor may not ask an address, in a sentence; "" where she may."""

    def __call__(self, visitor: Visitor, path: str, *, changes: bool) -> str: ...


@dataclass(frozen=True, slots=True)
class Rules:
    """What is decided by address: who may not ask it, which change it takes back, whether it is a way in.

    `pair_link` is the address of a link, with its token to be put in.
    """

    refusal: Refusal
    undone_version: Callable[[str], int | None]
    is_way_in: Callable[[str], bool]
    pair_link: str = ""


def host_of(headers: Headers) -> str:
    """The name in the Host header, without its port."""
    host = headers.get("host", "")
    return host[: host.find("]") + 1] if host.startswith("[") else host.partition(":")[0]


def at_machine(scope: Scope) -> bool:
    """Whether it is the person at the machine who asks."""
    client = scope.get("client")
    return is_at_machine(client[0] if client else None, host_of(Headers(scope=scope)))


def visitor_of(scope: Scope) -> Visitor:
    """Who asks. Nobody is asked where only this machine is served, and then it is the person at the machine."""
    found: Visitor = scope.get(VISITOR, AT_MACHINE)
    return found


def rules_of(scope: Scope) -> Rules | None:
    """What is decided by address of whoever asks; None where nobody is asked, since only this machine is served."""
    return scope.get(RULES)


def cookie_of(scope: Scope, installation: str) -> str:
    """The name of this installation's cookie on this connection."""
    return cookie_name(installation, secure=scope["scheme"] == "https")


def given_cookie(scope: Scope, installation: str, token: str) -> str:
    """The Set-Cookie that lets a device in; with no token the one that takes the cookie away."""
    name, days = cookie_of(scope, installation), LIFETIME.days if token else 0
    return set_cookie(name, token, days, secure=scope["scheme"] == "https")


class Doorkeeper:
    """Lets a request in by writing down who asks, or raises what keeps it out. The body is not read yet then."""

    def __init__(self, rules: Rules) -> None:
        self.rules = rules

    async def let_in(self, scope: Scope) -> str:
        """Write who asks into `scope`; the answer is a Set-Cookie to send along, or "".

        Raises SignInFirst for whoever is not in, Refused where a device may not ask that.
        """
        scope[VISITOR], scope[RULES] = AT_MACHINE if at_machine(scope) else NOBODY, self.rules
        path: str = scope["path"]
        if scope[VISITOR].at_machine or path.startswith(STATIC):
            return ""
        return await run_in_threadpool(self._over_the_network, scope)

    def _over_the_network(self, scope: Scope) -> str:
        state = scope["app"].state
        if state.store is None:
            raise Busy
        door = state.store.devices.door()
        if door is not None and door.shut is not None:
            raise Shut
        return "" if self.rules.is_way_in(scope["path"]) else self._device_in(scope, door)

    def _device_in(self, scope: Scope, door: Door | None) -> str:
        state = scope["app"].state
        today = state.store.devices.day(state.today())
        device, installation, token = _device_of(scope, state, door, today)
        visitor = Visitor(device=device.ident, name=device.name, role=device.role)
        scope[VISITOR] = visitor
        self._refuse(visitor, scope, state)
        if device.seen >= today:
            return ""
        with suppress(Problem):  # data that can only be read can still be read
            state.store.devices.note_seen(device.ident, today)
        return given_cookie(scope, installation, token)

    def _refuse(self, visitor: Visitor, scope: Scope, state: Any) -> None:
        changes = scope["method"] not in SAFE_METHODS
        if reason := self.rules.refusal(visitor, scope["path"], changes=changes):
            raise Refused(reason)
        version = self.rules.undone_version(scope["path"]) if changes else None
        if version is None or visitor.role == FULL:
            return
        mark = state.store.devices.made(version)
        if mark is not None and not is_made_by(mark, visitor.device):
            raise Refused(NOT_YOURS)


def _device_of(scope: Scope, state: Any, door: Door | None, today: date) -> tuple[Device, str, str]:
    """The device whose cookie came along, the installation and the token. SignInFirst where there is none."""
    token = cookie_in(Headers(scope=scope).getlist("cookie"), cookie_of(scope, door.installation)) if door else ""
    device = state.store.devices.with_token(hashed_token(token), today) if is_token(token) else None
    if door is None or device is None:
        raise SignInFirst
    return device, door.installation, token
