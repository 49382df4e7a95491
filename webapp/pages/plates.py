"""What stands on every page of who and where: who reaches it over the network, this device, where the data is."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from starlette.requests import Request

from webapp.door.asking import visitor_of
from webapp.door.who import is_loopback
from webapp.errors import Problem
from webapp.pages import addresses
from webapp.settings import Settings

LISTENED = "What goes over this network by plain http can be listened to by others in it."
DEVICES = ("Devices", addresses.DEVICES)


@dataclass(frozen=True, slots=True)
class Plate:
    """What it is about, a sentence, what to mind, a link (label, address; "" where none), where a device signs out."""

    label: str
    words: str
    mind: str
    link: tuple[str, str] = ("", "")
    sign_out: str = ""


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """The computer that the program runs on, as whoever reads calls it, and what becomes of figures there."""

    here: str = "this computer"
    stays: str = "They are worked out on this computer and stay on it."


AT_HOME = Whereabouts()
FROM_AFAR = "the computer that Brimful runs on"


def _is_shut(state: Any) -> bool:
    """Whether the network is kept out. An error's page is drawn too where the data can't be read."""
    with suppress(Problem):
        door = state.store.devices.door() if state.store is not None else None
        return door is not None and door.shut is not None
    return False


def whereabouts_of(request: Request) -> Whereabouts:
    """Where the data of this request is: seen from a device it is not on "this computer", nor is a PostgreSQL's."""
    state = request.app.state if "app" in request.scope else None
    if state is None:
        return AT_HOME
    at_machine = visitor_of(request.scope).at_machine
    here = AT_HOME.here if at_machine else FROM_AFAR
    kept = "stay on it" if state.settings.database is None else f"are kept in {database_words(state.settings)}"
    shown = "" if at_machine else " This device only shows them."
    return Whereabouts(here, f"They are worked out on {here} and {kept}.{shown}")


def database_words(settings: Settings, own: str = "its PostgreSQL") -> str:
    """Which PostgreSQL it is, by its machine (`own` where that is the program's); never what else is in its address."""
    address = settings.database.get_secret_value() if settings.database else ""
    host = urlsplit(address).hostname or ""
    return f"the PostgreSQL on {host}" if host and not is_loopback(host) else own


def plate_of(request: Request) -> Plate | None:
    """The plate of this request; None where only this machine is served."""
    state = request.app.state if "app" in request.scope else None
    if state is None or state.settings.is_loopback:
        return None
    visitor = visitor_of(request.scope)
    mind = "" if request.url.scheme == "https" else LISTENED
    if visitor.at_machine:
        return _at_machine(state)
    if visitor.device:
        words = f"This is {visitor.name}, signed in over the network."
        return Plate("Over the network", words, mind, sign_out=addresses.SIGN_OUT)
    return Plate("Over the network", "You reach Brimful over the network, and this device is not signed in.", mind)


def _at_machine(state: Any) -> Plate:
    if _is_shut(state):
        words = "Closed to your network for now: whoever asks over it is told so."
        return Plate("Closed to your network", words, "", DEVICES)
    words = "Open to your network: whoever has the passphrase or a link of yours can come in."
    return Plate("Open to your network", words, LISTENED if state.settings.certificate is None else "", DEVICES)
