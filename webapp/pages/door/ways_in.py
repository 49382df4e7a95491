"""The two ways in for a device: the passphrase, or a link that was made for it. And the way out.

Whoever is not in yet sees nothing of the book here: neither the workshop's name nor what is half entered.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass
from datetime import date

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from webapp.costing import limits
from webapp.costing.amounts import Notation, Unreadable
from webapp.door.asking import VISITOR, cookie_of, given_cookie, visitor_of
from webapp.door.secrets import hashed_token, is_passphrase, is_token, new_token
from webapp.door.who import ROLES, WORKSHOP, Visitor, cookie_in
from webapp.errors import NotFound, Problem, TooMany
from webapp.pages import addresses
from webapp.pages.data.backups import NO_SHAPE
from webapp.pages.drawn import Form
from webapp.pages.formats import formats_for
from webapp.pages.forms import TypedNow
from webapp.pages.plates import plate_of, whereabouts_of
from webapp.pages.rendering import PageFrame, render
from webapp.pages.typed import Typed
from webapp.routes import Routes
from webapp.store.devices import LIFETIME, READY, UNKNOWN, USED, Device, Devices

log = logging.getLogger("brimful.door")
router = Routes()
WRONG = "That is not the passphrase. Look whether capital letters are on, and type it once more."
NONE_SET = "There is no passphrase yet. It is set on the computer that Brimful runs on, under Settings, Devices."
GONE = {
    USED: "This link has let a device in already. Each lets one in, once. Have another made.",
    UNKNOWN: "There is no such link. It may have been mistyped, or it is too old: have another made.",
}
TOO_OLD = "This link is too old: it is good for ten minutes, until devices are signed out. Have another made."
Faults = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class WayInView:
    """Which way in it is, what stands against it, what the device may do by a link, and what may be chosen."""

    against: str = ""
    may: str = ""
    roles: tuple[tuple[str, str], ...] = tuple(ROLES.items())
    at_machine: bool = False
    days: int = LIFETIME.days


def _form(action: str, faults: Faults = (), **texts: str) -> Form:
    return Form(action, NO_SHAPE, texts, "", "", "", faults, keeps=action != addresses.SIGN_IN)


def _page(request: Request, template: str, view: WayInView, form: Form, status: int = 200) -> Response:
    """A page without a desk: nothing of the book is read for it."""
    if not visitor_of(request.scope).at_machine and (before := _signed_in_before(request)):
        # On the way in nobody is asked who it is: a device that is in already is told that it is.
        request.scope[VISITOR] = Visitor(device=before.ident, name=before.name, role=before.role)
    title = "Sign in" if template == "door/sign_in.html" else "Let this device in"
    frame = PageFrame(title, "none", places=(), plate=plate_of(request), where=whereabouts_of(request))
    text = render(formats_for("en_GB", "EUR", "kg"), template, page=frame, view=view, form=form)
    return HTMLResponse(text, status)


def _devices(request: Request) -> Devices:
    devices: Devices = request.app.state.store.devices
    return devices


def _today(request: Request) -> date:
    """The day that counts at the door."""
    return _devices(request).day(request.app.state.today())


def _named(typed: Typed) -> tuple[str, Faults]:
    """What the device is to be called, and what is wrong with that."""
    try:
        name = str(limits.NAME.read(str(typed.data.get("name", "")), Notation()) or "")
    except Unreadable as unreadable:
        return "", (("name", unreadable.sentence),)
    return name, () if name else (("name", "Give this device a name, by which it is known in the list of devices."),)


def _peer(request: Request) -> str:
    return request.client.host if request.client else ""


# --- by the passphrase


@router.get(addresses.SIGN_IN)
def sign_in_page(request: Request) -> Response:
    """Where the passphrase is typed."""
    view = WayInView(at_machine=visitor_of(request.scope).at_machine)
    return _page(request, "door/sign_in.html", view, _form(addresses.SIGN_IN, role=WORKSHOP))


@router.post(addresses.SIGN_IN)
def sign_in(request: Request, typed: TypedNow) -> Response:
    """Let a device in that knows the passphrase."""
    if visitor_of(request.scope).at_machine:
        return RedirectResponse(addresses.HOME, 303)
    texts = {name: str(typed.data.get(name, "")) for name in ("name", "role")}
    name, faults = _named(typed)
    try:
        faults = faults or _tried(request, str(typed.data.get("passphrase", "")))
        if not faults:
            return _enrolled(request, name, texts["role"] if texts["role"] in ROLES else WORKSHOP)
        status, headers = 422, {}
    except Problem as problem:
        if not isinstance(problem, TooMany):  # that is told already
            log.warning("Nobody came in from %s: %s", _peer(request), problem.sentence)
        faults = tuple((fault.field, fault.sentence) for fault in problem.faults) or (("", problem.sentence),)
        status, headers = problem.status, problem.headers
    answer = _page(request, "door/sign_in.html", WayInView(), _form(addresses.SIGN_IN, faults, **texts), status)
    answer.headers.update(headers)
    return answer


def _tried(request: Request, passphrase: str) -> Faults:
    """What is wrong with a passphrase. TooMany where it has to be waited first."""
    door = _devices(request).door()
    if door is None:
        return (("passphrase", NONE_SET),)
    devices, slowing = _devices(request), request.app.state.slowing
    slowing.begin(devices, _peer(request))
    if not is_passphrase(door.passphrase, passphrase):
        log.warning("A wrong passphrase was typed at %s.", _peer(request))
        return (("passphrase", WRONG),)
    slowing.right(devices, _peer(request))
    return ()


def _enrolled(request: Request, name: str, role: str) -> Response:
    token, devices = new_token(), _devices(request)
    devices.enrol(name, role, hashed_token(token), devices.now(), _today(request))
    return _in(request, token, "the passphrase")


def _in(request: Request, token: str, way: str) -> Response:
    """On to the first page with the cookie. What this browser was signed in as before is signed out."""
    devices = _devices(request)
    door, before = devices.door(), _signed_in_before(request)
    if came := devices.with_token(hashed_token(token), _today(request)):
        log.info("Device %s, %s, came in by %s from %s (%s).", came.ident, came.name, way, _peer(request), came.role)
    if before is not None:
        devices.sign_out(before.ident, devices.now())
    answer = RedirectResponse(addresses.HOME, 303)
    if door is not None:
        answer.headers["Set-Cookie"] = given_cookie(request.scope, door.installation, token)
    return answer


def _signed_in_before(request: Request) -> Device | None:
    devices = _devices(request)
    door = devices.door()
    lines = request.headers.getlist("cookie")
    token = cookie_in(lines, cookie_of(request.scope, door.installation)) if door else ""
    return devices.with_token(hashed_token(token), _today(request)) if is_token(token) else None


# --- by a link


@router.get(addresses.PAIR_LINK)
def pair_page(request: Request, token: str) -> Response:
    """What a link offers. Looking uses nothing up: a message that shows what is behind a link looks too."""
    devices = _devices(request)
    state, role = devices.link(hashed_token(token), devices.now()) if is_token(token) else (UNKNOWN, "")
    if state == USED and _signed_in_before(request) is not None:
        return RedirectResponse(addresses.HOME, 303)  # it let this one in: its page is shown again by a browser
    return _pairing(request, token, state, role)


def _pairing(request: Request, token: str, state: str, role: str, faults: Faults = (), **texts: str) -> Response:
    if state == UNKNOWN:
        raise NotFound(GONE[UNKNOWN])
    against = "" if state == READY else GONE.get(state, TOO_OLD)
    view = WayInView(against, ROLES.get(role, ""), at_machine=visitor_of(request.scope).at_machine)
    status = 422 if faults else 200 if state == READY else 410
    return _page(
        request, "door/pair.html", view, _form(addresses.PAIR_LINK.format(token=token), faults, **texts), status
    )


@router.post(addresses.PAIR_LINK)
def pair(request: Request, typed: TypedNow, token: str) -> Response:
    """Let this device in by a link, once."""
    devices, now = _devices(request), _devices(request).now()
    state, role = devices.link(hashed_token(token), now) if is_token(token) else (UNKNOWN, "")
    if state == UNKNOWN:
        request.app.state.slowing.begin(devices, _peer(request))
    if state != READY:
        log.warning("A link that lets nobody in (%s) was tried at %s.", state, _peer(request))
    if visitor_of(request.scope).at_machine:
        return RedirectResponse(addresses.DEVICES, 303)
    name, faults = _named(typed)
    if faults or state != READY:
        return _pairing(
            request, token, state, role, faults if state == READY else (), name=str(typed.data.get("name", ""))
        )
    fresh = new_token()
    state = devices.pair(hashed_token(token), name, hashed_token(fresh), now, _today(request))
    return _in(request, fresh, "a link") if state == READY else _pairing(request, token, state, role)


# --- and out


@router.post(addresses.SIGN_OUT)
def sign_out(request: Request) -> Response:
    """Sign this device out, and take its cookie away."""
    visitor, devices = visitor_of(request.scope), _devices(request)
    if visitor.at_machine or (door := devices.door()) is None:
        return RedirectResponse(addresses.HOME, 303)
    devices.sign_out(visitor.device, devices.now())
    answer = RedirectResponse(addresses.SIGN_IN, 303)
    answer.headers["Set-Cookie"] = given_cookie(request.scope, door.installation, "")
    if request.url.scheme == "https":  # by plain http browsers pass it over, and complain
        answer.headers["Clear-Site-Data"] = '"cache", "storage"'
    return answer
