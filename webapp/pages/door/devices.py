"""The devices of the workshop: the passphrase, links that let one in, and those that are in, each to be signed out.

The person at the machine alone comes here (`roles`).
"""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from datetime import date

from starlette.responses import Response

from webapp.door.pairing import make_link as made_link
from webapp.door.pairing import no_link, reached
from webapp.door.secrets import LEAST, LINK_MINUTES, SUGGESTED, hashed_passphrase, qr_code, read_passphrase
from webapp.door.who import ROLES, WORKSHOP
from webapp.pages import addresses, forms
from webapp.pages.changes import moment
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes
from webapp.store.devices import Device, lasts_until, names_in

log = logging.getLogger("brimful.door")
router = Routes()
PLACE = "settings"
DONE = {
    "set": "The passphrase is set. Write it down on paper and keep it where only you look.",
    "out": "The device is signed out, from now on.",
    "all-out": "Every device is signed out, and no link that was made can be used any more.",
    "closed": "Nobody of your network is let in until you open it again. Devices stay signed in.",
    "opened": "Devices of your network are let in again.",
}


@dataclass(frozen=True, slots=True)
class DeviceRow:
    """One device in the list."""

    name: str
    may: str
    since: str
    seen: str
    until: str
    out: Form


@dataclass(frozen=True, slots=True)
class LinkMade:
    """A link that was just made: its address, others by which the machine may be reached, its QR code, until when."""

    address: str
    others: tuple[str, ...]
    code: str
    until: str
    may: str


@dataclass(frozen=True, slots=True)
class DevicesView:
    """Whether it is served to the network and open, and where; the passphrase; the devices; the forms.

    `no_link` is why no link can be made just now, `shut` since when the network is kept out.
    """

    said: str
    is_served: bool
    shut: str
    no_link: str
    reached: tuple[str, ...]
    has_tls: bool
    set_on: str
    least: int
    suggested: int
    minutes: int
    rows: tuple[DeviceRow, ...]
    link: LinkMade | None
    pairing: Form
    roles: tuple[tuple[str, str], ...]
    all_out: Form
    close: Form
    open_again: Form


@router.get(addresses.DEVICES)
def listed(desk: DeskNow, did: str = "") -> Response:
    """The devices that are in."""
    return show(desk, _view(desk, passphrase_form(desk), did))


def passphrase_form(desk: Desk) -> Form:
    """The passphrase, typed twice; devices that are in are signed out unless that is unticked."""
    return replace(forms.press(desk, addresses.PASSPHRASE), texts={"all_out": "yes"})


def _view(desk: Desk, form: Form, did: str = "", link: LinkMade | None = None) -> View:
    settings, door = desk.request.app.state.settings, desk.store.devices.door()
    pairing, today = replace(forms.press(desk, addresses.PAIRING), texts={"role": WORKSHOP}), _today(desk)
    view = DevicesView(
        DONE.get(did, ""),
        not settings.is_loopback,
        moment(desk, door.shut) if door and door.shut else "",
        no_link(desk.request, door),
        reached(desk.request),
        settings.certificate is not None,
        moment(desk, door.at) if door else "",
        LEAST,
        SUGGESTED,
        LINK_MINUTES,
        tuple(_row(desk, one, today) for one in desk.store.devices.all(today)),
        link,
        pairing,
        tuple(ROLES.items()),
        *(forms.press(desk, action) for action in (addresses.ALL_OUT, addresses.SHUT, addresses.OPENED_AGAIN)),
    )
    return View("door/devices.html", "Devices", PLACE, view, form)


def _today(desk: Desk) -> date:
    """The day that counts at the door."""
    return desk.store.devices.day(desk.today)


def _row(desk: Desk, one: Device, today: date) -> DeviceRow:
    seen = "today" if one.seen == today else desk.formats.day(one.seen)
    out = forms.press(desk, addresses.DEVICE_OUT.format(ident=one.ident))
    until = desk.formats.day(lasts_until(one))
    return DeviceRow(one.name, ROLES.get(one.role, one.role), moment(desk, one.at), seen, until, out)


@router.post(addresses.PASSPHRASE)
def set_passphrase(desk: DeskNow, typed: TypedNow) -> Response:
    """Set or change the passphrase."""
    whole, faults = _read(typed, names_in(desk.book))
    all_out = typed.data.get("all_out") == "yes"
    if faults:
        form = replace(passphrase_form(desk), texts={"all_out": "yes" if all_out else ""}, faults=faults, keeps=False)
        return show(desk, _view(desk, form), 422)
    desk.store.devices.set_passphrase(hashed_passphrase(whole), desk.store.devices.now(), all_out=all_out)
    log.info("The passphrase was set%s.", "; every device is signed out" if all_out else "")
    return forms.redirect(desk, f"{addresses.DEVICES}?did=set")


def _read(typed: Typed, names: tuple[str, ...]) -> tuple[str, tuple[tuple[str, str], ...]]:
    whole, fault = read_passphrase(str(typed.data.get("passphrase", "")), names)
    again, _ = read_passphrase(str(typed.data.get("again", "")))
    if fault:
        return whole, (("passphrase", fault),)
    return whole, () if whole == again else (("again", "This differs from the first. Type both once more."),)


@router.post(addresses.PAIRING)
def make_link(desk: DeskNow, typed: TypedNow) -> Response:
    """Make a link that lets one device in, and show it once: afterwards nobody knows it, only its hash is kept."""
    role = str(typed.data.get("role", ""))
    if role not in ROLES or no_link(desk.request, desk.store.devices.door()):
        return forms.redirect(desk, addresses.DEVICES)
    made = made_link(desk.request, role)
    first, *others = made.addresses
    link = LinkMade(first, tuple(others), qr_code(first), moment(desk, made.until), ROLES[role])
    return show(desk, _view(desk, passphrase_form(desk), link=link))


@router.post(addresses.SHUT)
def close(desk: DeskNow) -> Response:
    """Keep the network out although it is served; who is in stays in and is told so."""
    desk.store.devices.shut(desk.store.devices.now())
    return forms.redirect(desk, f"{addresses.DEVICES}?did=closed")


@router.post(addresses.OPENED_AGAIN)
def open_again(desk: DeskNow) -> Response:
    """Let the network in again."""
    desk.store.devices.shut(None)
    return forms.redirect(desk, f"{addresses.DEVICES}?did=opened")


@router.post(addresses.DEVICE_OUT)
def sign_out(desk: DeskNow, ident: Ident) -> Response:
    """Sign one device out."""
    desk.store.devices.sign_out(ident, desk.store.devices.now())
    return forms.redirect(desk, f"{addresses.DEVICES}?did=out")


@router.post(addresses.ALL_OUT)
def sign_all_out(desk: DeskNow) -> Response:
    """Sign every device out."""
    desk.store.devices.sign_all_out(desk.store.devices.now())
    return forms.redirect(desk, f"{addresses.DEVICES}?did=all-out")
