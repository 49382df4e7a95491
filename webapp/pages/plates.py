"""What stands on every page while Brimful is open to the network: who may reach it, and who this device is."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request

from webapp.door.asking import visitor_of
from webapp.pages import addresses

LISTENED = "What goes over this network by plain http can be listened to by others in it."


@dataclass(frozen=True, slots=True)
class Plate:
    """A sentence, what to mind, a link (label, address; "" where none), and where this device signs out."""

    words: str
    mind: str
    link: tuple[str, str] = ("", "")
    sign_out: str = ""


def plate_of(request: Request) -> Plate | None:
    """The plate of this request; None where only this machine is served."""
    state = request.app.state if "app" in request.scope else None
    if state is None or state.settings.is_loopback:
        return None
    visitor = visitor_of(request.scope)
    mind = "" if request.url.scheme == "https" else LISTENED
    if visitor.at_machine:
        words = "Open to your network: whoever has the passphrase or a link of yours can come in."
        return Plate(words, LISTENED if state.settings.certificate is None else "", ("Devices", addresses.DEVICES))
    if visitor.device:
        return Plate(f"This is {visitor.name}, signed in over the network.", mind, sign_out=addresses.SIGN_OUT)
    return Plate("You reach Brimful over the network, and this device is not signed in.", mind)
