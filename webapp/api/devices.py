"""The door by JSON, for a program at the machine: who is in, a link for one more, signed out, the network kept out."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.responses import JSONResponse, Response

from webapp.api.answers import Answer
from webapp.api.asking import Ident, TodayNow
from webapp.api.bodies import BodyNow, NoBody
from webapp.api.describing import ACT, described_body
from webapp.api.interface import Interface
from webapp.api.schemas import Schema, named
from webapp.door.pairing import make_link, no_link, reached
from webapp.door.who import ROLES, WORKSHOP
from webapp.errors import Conflict, Fault, Unprocessable
from webapp.store.devices import Device, lasts_until

router = Interface()
AT = "/devices"
TAGS: list[Any] = ["devices"]
ROLE = described_body(named("role"), {"role": WORKSHOP})


def components() -> dict[str, Schema]:
    """The schema of what is sent, by its name."""
    role: Schema = {"type": "string", "enum": list(ROLES)}
    sent = {"type": "object", "additionalProperties": False, "required": ["role"], "properties": {"role": role}}
    return {"role": sent}


def told(one: Device) -> Answer:
    """A device that is in: what it may do, since when, when it asked last, and until when it stays in so."""
    days = {"since": one.at.isoformat(), "seen": one.seen.isoformat(), "until": lasts_until(one).isoformat()}
    return {"id": one.ident, "name": one.name, "role": one.role, "may": ROLES.get(one.role, one.role), **days}


def _state(request: Request, asked: TodayNow) -> Response:
    settings, devices = request.app.state.settings, asked.store.devices
    door = devices.door()
    is_shut = door is not None and door.shut is not None
    return JSONResponse(
        {
            "served": not settings.is_loopback,
            "open": not settings.is_loopback and not is_shut,
            "addresses": list(reached(request)),
            "tls": settings.certificate is not None,
            "passphrase_set": door.at.isoformat() if door else None,
            "items": [told(one) for one in devices.all(devices.day(asked.today))],
        }
    )


State = Annotated[Response, Depends(_state)]


@router.get(AT, tags=TAGS, summary="The devices that are in", operation_id="list_devices")
def listed(state: State) -> Response:
    """Also whether others than this computer are served, at which addresses, and whether they are kept out just now.

    All of this is answered at the computer that Brimful runs on only. The passphrase is set at its page.
    """
    return state


@router.post(
    f"{AT}/link",
    tags=TAGS,
    summary="Make a link for a device",
    operation_id="make_link",
    openapi_extra=ROLE,
    status_code=201,
)
def link(request: Request, asked: TodayNow, body: BodyNow) -> Response:
    """It lets one device in, once, until `until`. It is told only now; `addresses` are ways to write the same one."""
    role = _role(body.data)
    if reason := no_link(request, asked.store.devices.door()):
        raise Conflict(f"{reason} No link was made.")
    made = make_link(request, role)
    return JSONResponse({"addresses": list(made.addresses), "until": made.until.isoformat(), "role": role}, 201)


def _role(data: Any) -> str:
    sent = data if isinstance(data, dict) else {}
    faults = [Fault(name, "unknown-field", "There is no such field here.") for name in sent.keys() - {"role"}]
    role = sent.get("role")
    if not isinstance(role, str) or role not in ROLES:
        faults.append(Fault("role", "choice", f"Say what it may do: {' or '.join(ROLES)}."))
    if faults:
        raise Unprocessable(faults)
    return str(role)


@router.post(f"{AT}/sign-out", tags=TAGS, summary="Sign all out", operation_id="sign_all_out", openapi_extra=ACT)
def all_out(request: Request, asked: TodayNow, body: NoBody) -> Response:
    """Links that wait are used up too."""
    del body
    asked.store.devices.sign_all_out(asked.store.devices.now())
    return _state(request, asked)


@router.post(
    f"{AT}/{{ident}}/sign-out", tags=TAGS, summary="Sign one out", operation_id="sign_out_device", openapi_extra=ACT
)
def out(request: Request, asked: TodayNow, ident: Ident, body: NoBody) -> Response:
    """It is out with its next request."""
    del body
    asked.store.devices.sign_out(ident, asked.store.devices.now())
    return _state(request, asked)


@router.post(f"{AT}/close", tags=TAGS, summary="Keep the network out", operation_id="close_door", openapi_extra=ACT)
def close(request: Request, asked: TodayNow, body: NoBody) -> Response:
    """Whoever asks over the network is told so, until it is opened again. Nobody is signed out."""
    del body
    _shut(asked, asked.store.devices.now())
    return _state(request, asked)


@router.post(f"{AT}/open", tags=TAGS, summary="Let the network in again", operation_id="open_door", openapi_extra=ACT)
def open_again(request: Request, asked: TodayNow, body: NoBody) -> Response:
    """Where Brimful was started for this computer only (`served` is false) it is still served to that only."""
    del body
    _shut(asked, None)
    return _state(request, asked)


def _shut(asked: TodayNow, since: datetime | None) -> None:
    if not asked.store.devices.shut(since):
        raise Conflict("There is no passphrase yet, so nobody can be let in. Set one first. Nothing was changed.")
