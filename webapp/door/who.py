"""Who is asking: the person at the machine, a device that was let in, or nobody yet.

The person at the machine is whoever asks from a loopback address (127.0.0.0/8, ::1) for a loopback name: both, so that
neither a page that made its own name mean this machine nor a device of the network that writes such a name is taken
for her. What other computers say about the way of a request (`X-Forwarded-*`) is never looked at.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address

WORKSHOP, FULL = "workshop", "full"
#: what a device may do, and how a page says it
ROLES = {
    WORKSHOP: "Read, and record orders, prices, batches and sales",
    FULL: "Everything but letting devices in",
}
#: how the JSON interface marks the changes that it makes
BY_PROGRAM = "json"
_MARK = re.compile(r"(json)?(?:#([1-9][0-9]{0,8}) (.*))?", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who asks. `device` is the number of a device, `name` what it calls itself, `role` one of ROLES.

    Device 0 is no device: the person at the machine where `at_machine`, else somebody who has not signed in.
    """

    at_machine: bool = False
    device: int = 0
    name: str = ""
    role: str = ""

    @property
    def is_in(self) -> bool:
        """Whether more than the way in is shown."""
        return self.at_machine or self.device > 0

    @property
    def mark(self) -> str:
        """What a change that she makes is marked with: nothing at the machine, else the device."""
        return f"#{self.device} {self.name}" if self.device else ""


AT_MACHINE = Visitor(at_machine=True, role=FULL)
NOBODY = Visitor()


def address_in(text: str) -> IPv4Address | IPv6Address | None:
    """An address as a peer or a Host header has it; one of IPv4 that is written as IPv6 is that of IPv4."""
    inner = text[1:-1] if text.startswith("[") and text.endswith("]") else text
    try:
        found = ip_address(inner.partition("%")[0])
    except ValueError:
        return None
    return getattr(found, "ipv4_mapped", None) or found


def is_loopback(text: str) -> bool:
    """Whether an address or a name of a Host header (without port) is this machine's own, reached by nobody else."""
    found = address_in(text)
    return found.is_loopback if found is not None else text.lower() == "localhost"


def is_at_machine(peer: str | None, host: str) -> bool:
    """Whether a request comes from this machine and is meant for a name that only this machine has."""
    address = address_in(peer or "")
    return address is not None and address.is_loopback and is_loopback(host)


def cookie_name(installation: str, *, secure: bool) -> str:
    """The cookie of this installation: ports share cookies, so that another one here has another name."""
    return f"{'__Host-' if secure else ''}brimful-{installation}"


def cookie_in(lines: Iterable[str], name: str) -> str:
    """What a Cookie header holds under a name; "" where there is none, or two that differ."""
    pairs = (pair.strip().partition("=") for line in lines for pair in line.split(";"))
    found = {value for key, sign, value in pairs if sign and key == name}
    return found.pop() if len(found) == 1 else ""


def set_cookie(name: str, token: str, days: int, *, secure: bool) -> str:
    """The Set-Cookie of a device, kept for so many days; with 0 the one that takes it away."""
    return f"{name}={token}; Path=/; Max-Age={days * 86_400}; HttpOnly; SameSite=Strict" + (
        "; Secure" if secure else ""
    )


def is_made_by(mark: str, device: int) -> bool:
    """Whether a change with this mark was made by a device."""
    found = _MARK.fullmatch(mark)
    return found is not None and bool(found[2]) and int(found[2]) == device


def said_by(mark: str) -> str:
    """Who made a change, in words to stand behind it: "by Bench tablet", "by a program"; "" at the machine."""
    found = _MARK.fullmatch(mark)
    if found is None or not mark:
        return ""
    program = "a program" if found[1] else ""
    return "by " + " on ".join(words for words in (program, found[3] or "") if words)
